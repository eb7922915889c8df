/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/fields.c -- the keys of a section read into a struct, by a list. */
#include "ini/fields.h"
#include "ground/characters.h"
#include "ground/diagnostics.h"
#include "ground/names.h"
#include "units/units.h"

#include <stdio.h>
#include <string.h>

#define MOST_COUNT 1e6 /* like fixtures at one place: above it, a slip */

/* What the reader of one value needs to know. */
struct value {
    const struct fci_field *field;
    const struct fci_section *section;
    const struct fci_entry *entry;
    const char *path;
    struct fci_arena *arena;
    char *part;
    fc_diagnostics *messages;
};

struct fci_heading
fci_heading(const char *kind, const char *name)
{
    struct fci_heading heading;

    snprintf(heading.text, sizeof heading.text, "[%s%s%.120s]", kind,
             *name ? " " : "", name);
    return heading;
}

static fc_status
wrong(const struct value *v, const char *what)
{
    struct fci_heading heading =
        fci_heading(v->section->kind, v->section->name);

    return fci_fail(v->messages, FC_EINPUT, v->path, v->entry->line,
                    "%s %s %s", heading.text, v->entry->key, what);
}

/* "[valve a] regulated "x"; yes or no is expected". */
static fc_status
wrong_text(const struct value *v, const char *text, const char *expected)
{
    char what[256];

    snprintf(what, sizeof what, "\"%.60s\"; %s", text, expected);
    return wrong(v, what);
}

/* ---- Lists ------------------------------------------------------------ */

/* The next item of a list separated by commas, trimmed, into `item`. */
static bool
next_item(const char **list, char *item, size_t size)
{
    const char *start = *list, *end, *after;

    if (!start)
        return false;
    end = strchr(start, ',');
    after = end ? end + 1 : NULL;
    if (!end)
        end = start + strlen(start);
    while (start < end && *start == ' ')
        start++;
    while (end > start && end[-1] == ' ')
        end--;
    snprintf(item, size, "%.*s", (int)(end - start), start);
    *list = after;
    return true;
}

static size_t
count_items(const char *list)
{
    size_t n = 1;

    for (; *list; list++)
        n += *list == ',';
    return n;
}

/* A list's array in the arena, and its place and length in the struct. */
static void *
list_array(const struct value *v, size_t item_size)
{
    size_t n = count_items(v->entry->value);
    void *array = fci_arena_array(v->arena, n, item_size);

    if (array) {
        memcpy(v->part + v->field->offset, &array, sizeof array);
        *(size_t *)(v->part + v->field->second) = n;
    }
    return array;
}

/* The count that an item starts with ("2 elbow 90"); the item is moved behind
 * it.  -1 when it starts with no whole number from 1 to MOST_COUNT. */
static int
leading_count(const char **item)
{
    const char *text = *item;
    double number;

    if (!(*text >= '0' && *text <= '9') || !fci_read_number(&text, &number)
        || *text != ' ')
        return -1;
    if (!(number >= 1 && number <= MOST_COUNT)
        || number != (double)(int)number)
        return -1;
    while (*text == ' ')
        text++;
    *item = text;
    return (int)number;
}

static fc_status
read_fittings(const struct value *v)
{
    const char *list = v->entry->value, *name;
    fc_fitting *fitting = list_array(v, sizeof *fitting);
    char item[128];

    if (!fitting)
        return FC_ENOMEM;
    for (; next_item(&list, item, sizeof item); fitting++) {
        name = item;
        fitting->count = leading_count(&name);
        if (fitting->count < 0 || !*name)
            return wrong_text(v, item,
                              "a count and a fitting are expected, such as "
                              "2 elbow 90, separated by commas");
        fitting->name = fci_arena_string(v->arena, name);
        if (!fitting->name)
            return FC_ENOMEM;
    }
    return FC_OK;
}

static fc_status
read_names(const struct value *v)
{
    const char *list = v->entry->value;
    const char **name = list_array(v, sizeof *name);
    char item[128];

    if (!name)
        return FC_ENOMEM;
    for (; next_item(&list, item, sizeof item); name++) {
        if (!*item)
            return wrong(v, "has an empty item; names separated by commas "
                            "are expected");
        *name = fci_arena_string(v->arena, item);
        if (!*name)
            return FC_ENOMEM;
    }
    return FC_OK;
}

static fc_status
read_flushing(const struct value *v)
{
    const char *list = v->entry->value, *name;
    fc_flushing *flushing;
    char item[128];

    if (strcmp(list, "none") == 0)
        return FC_OK;
    flushing = list_array(v, sizeof *flushing);
    if (!flushing)
        return FC_ENOMEM;
    for (; next_item(&list, item, sizeof item); flushing++) {
        name = item;
        flushing->count = leading_count(&name);
        if (flushing->count > 0 && strncmp(name, "of ", 3) == 0)
            name += 3;
        else if (flushing->count > 0)
            name = "";
        else
            flushing->count = 0, name = item;
        if (!*name || strchr(name, ' '))
            return wrong_text(v, item,
                              "fixtures are expected, such as "
                              "wc-1, 3 of wc-2, or none");
        flushing->fixture = fci_arena_string(v->arena, name);
        if (!flushing->fixture)
            return FC_ENOMEM;
    }
    return FC_OK;
}

static fc_status
read_while(const struct value *v)
{
    fc_claim *claim = (fc_claim *)(void *)v->part;

    if (strcmp(v->entry->value, "alone") == 0) {
        claim->condition = FC_WHILE_ALONE;
        return FC_OK;
    }
    if (strcmp(v->entry->value, "peak") == 0) {
        claim->condition = FC_WHILE_PEAK;
        return FC_OK;
    }
    claim->condition = FC_WHILE_FLUSHING;
    return read_flushing(v);
}

static fc_status
read_points(const struct value *v, fc_point **points, size_t *n)
{
    const char *list = v->entry->value, *text;
    const fc_dimension second =
        v->field->type == FCI_LOSS ? FC_PRESSURE : v->field->second_dimension;
    struct fci_reason why;
    fc_point *point;
    char item[128];

    *n = count_items(list);
    *points = point = fci_arena_array(v->arena, *n, sizeof *point);
    if (!point)
        return FC_ENOMEM;
    for (; next_item(&list, item, sizeof item); point++) {
        text = item;
        if (!fci_read_leading_figure(&text, FC_FLOW, &point->x, &why)
            || !fci_read_leading_figure(&text, second, &point->y, &why))
            return wrong(v, why.text);
        if (*text)
            return wrong_text(v, item,
                              second == FC_PRESSURE
                                  ? "a flow and a pressure are expected for "
                                    "each point, such as 40 gpm 11.5 psi"
                                  : "a flow and a head are expected for each "
                                    "point, such as 60 gpm 84 ft");
    }
    return FC_OK;
}

/* ---- Figures ---------------------------------------------------------- */

const char *
fci_field_between(const struct fci_field *field)
{
    return field->dimension == FC_VOLUME ? "in" : "at";
}

/* "6 psi at 40 gpm" as two figures.  `at` is where " at " stands, or " in ",
 * which is as long. */
static fc_status
read_figure_at(const struct value *v, const char *at, bool range,
               fc_range *first, fc_range *second, fc_dimension dimension,
               fc_dimension second_dimension)
{
    const char *text = v->entry->value;
    struct fci_reason why;
    char head[128];

    snprintf(head, sizeof head, "%.*s", (int)(at - text), text);
    if (!fci_read_figure(head, dimension, range, first, &why)
        || !fci_read_figure(at + strlen(" at "), second_dimension, false,
                            second, &why))
        return wrong(v, why.text);
    return FC_OK;
}

static fc_status
read_loss(const struct value *v)
{
    fc_loss *loss = (fc_loss *)(void *)(v->part + v->field->offset);
    const char *text = v->entry->value, *at = strstr(text, " at ");
    struct fci_reason why;
    fc_point *points;
    fc_status status;

    if (at) {
        loss->kind = FC_SQUARE_LOSS;
        return read_figure_at(v, at, true, &loss->pressure, &loss->flow,
                              FC_PRESSURE, FC_FLOW);
    }
    if (strchr(text, ',')) {
        status = read_points(v, &points, &loss->n_points);
        loss->kind = FC_CURVE_LOSS;
        loss->points = points;
        return status;
    }
    if (!fci_read_figure(text, FC_PRESSURE, true, &loss->pressure, &why))
        return wrong(v, why.text);
    loss->kind = FC_CONSTANT_LOSS;
    return FC_OK;
}

static const char *
pair_expected(const struct fci_field *field)
{
    switch (field->dimension) {
    case FC_FLOW:
        return "a flow at a pressure is expected, such as 25 gpm at 25 psi";
    case FC_VOLUME:
        return "a volume in a time is expected, such as 59 oz in 5 s";
    default:
        return "a pressure at a flow is expected, such as 6 psi at 60 gpm";
    }
}

static fc_status
read_at(const struct value *v)
{
    const struct fci_field *field = v->field;
    const char *at = strstr(v->entry->value,
                            field->dimension == FC_VOLUME ? " in " : " at ");

    if (!at)
        return wrong_text(v, v->entry->value, pair_expected(field));
    return read_figure_at(v, at, field->dimension == FC_FLOW,
                          (fc_range *)(void *)(v->part + field->offset),
                          (fc_range *)(void *)(v->part + field->second),
                          field->dimension, field->second_dimension);
}

static fc_status
read_figure(const struct value *v)
{
    struct fci_reason why;

    if (!fci_read_figure(
            v->entry->value, v->field->dimension, v->field->type != FCI_FIGURE,
            (fc_range *)(void *)(v->part + v->field->offset), &why))
        return wrong(v, why.text);
    return FC_OK;
}

static fc_status
read_size_or_choose(const struct value *v)
{
    const char *value = v->entry->value;

    if (fci_same_name(value, "choose")) {
        *(bool *)(v->part + v->field->second) = true;
        return FC_OK;
    }
    if (fci_is_letter(*value) && fci_lower(*value) != 'd')
        return wrong_text(v, value,
                          "a nominal size is expected, such as 1-1/4 in or "
                          "DN32, or \"choose\"");
    return read_figure(v);
}

static fc_status
read_deviation(const struct value *v)
{
    struct fci_reason why;

    if (!fci_read_deviation(
            v->entry->value, v->field->dimension,
            (fc_deviation *)(void *)(v->part + v->field->offset), &why))
        return wrong(v, why.text);
    return FC_OK;
}

static fc_status
read_count(const struct value *v)
{
    fc_range number;
    struct fci_reason why;

    if (!fci_read_figure(v->entry->value, FC_NUMBER, false, &number, &why)
        || !(number.nominal >= 1 && number.nominal <= MOST_COUNT)
        || number.nominal != (double)(int)number.nominal)
        return wrong_text(v, v->entry->value,
                          "a whole number from 1 to 1,000,000 is expected");
    *(int *)(void *)(v->part + v->field->offset) = (int)number.nominal;
    return FC_OK;
}

/* ---- Words ------------------------------------------------------------ */

static fc_status
read_yes_no(const struct value *v)
{
    fc_answer *answer = (fc_answer *)(void *)(v->part + v->field->offset);

    if (fci_same_name(v->entry->value, "yes"))
        *answer = FC_YES;
    else if (fci_same_name(v->entry->value, "no"))
        *answer = FC_NO;
    else
        return wrong_text(v, v->entry->value, "yes or no is expected");
    return FC_OK;
}

/* "us or si", "street main, tank or fixed". */
static void
list_choices(const struct fci_field *field, char *text, size_t size)
{
    const char *const *choices = field->choices;
    size_t i, used = 0;

    for (i = 0; choices[i] && used < size; i++)
        used += (size_t)snprintf(text + used, size - used, "%s%s",
                                 i == 0           ? ""
                                 : choices[i + 1] ? ", "
                                                  : " or ",
                                 choices[i]);
}

/* Choices count up from the value the enum gives its first word, which is 1
 * where 0 means "not given". */
static fc_status
read_choice(const struct value *v)
{
    const char *const *choices = v->field->choices;
    char expected[128], words[100];
    size_t i;

    for (i = 0; choices[i]; i++)
        if (fci_same_name(v->entry->value, choices[i])) {
            int choice = (int)i + (int)v->field->second;

            memcpy(v->part + v->field->offset, &choice, sizeof choice);
            return FC_OK;
        }
    list_choices(v->field, words, sizeof words);
    snprintf(expected, sizeof expected, "%s is expected", words);
    return wrong_text(v, v->entry->value, expected);
}

static fc_status
read_text(const struct value *v)
{
    char *text = fci_arena_string(v->arena, v->entry->value);

    *(const char **)(void *)(v->part + v->field->offset) = text;
    return text ? FC_OK : FC_ENOMEM;
}

static fc_status
read_list_of_points(const struct value *v)
{
    fc_point *points;
    fc_status status = read_points(
        v, &points, (size_t *)(void *)(v->part + v->field->second));

    *(const fc_point **)(void *)(v->part + v->field->offset) = points;
    return status;
}

static fc_status
read_value(const struct value *v)
{
    switch (v->field->type) {
    case FCI_TEXT:
    case FCI_NAME:
        return read_text(v);
    case FCI_FIGURE:
    case FCI_RANGE:
        return read_figure(v);
    case FCI_COUNT:
        return read_count(v);
    case FCI_YES_NO:
        return read_yes_no(v);
    case FCI_CHOICE:
        return read_choice(v);
    case FCI_LOSS:
        return read_loss(v);
    case FCI_POINTS:
        return read_list_of_points(v);
    case FCI_FIGURE_AT:
        return read_at(v);
    case FCI_FITTINGS:
        return read_fittings(v);
    case FCI_NAMES:
        return read_names(v);
    case FCI_FLUSHING:
        return read_flushing(v);
    case FCI_DEVIATION:
        return read_deviation(v);
    case FCI_SIZE_OR_CHOOSE:
        return read_size_or_choose(v);
    case FCI_WHILE:
        return read_while(v);
    case FCI_SKIP:
        break;
    }
    return FC_OK;
}

/* ---- A section -------------------------------------------------------- */

/* NULL: there is no such key. */
static const struct fci_field *
find_field(const struct fci_field *fields, size_t n, const char *key)
{
    size_t i;

    for (i = 0; i < n; i++)
        if (strcmp(fields[i].key, key) == 0)
            return &fields[i];
    return NULL;
}

static const char *
nearest_key(const struct fci_field *fields, size_t n, const char *key)
{
    struct fci_nearest nearest = fci_nearest_to(key);
    size_t i;

    for (i = 0; i < n; i++)
        fci_nearest_try(&nearest, fields[i].key);
    return fci_nearest_word(&nearest);
}

bool
fci_fields_may_have(const struct fci_field *fields, size_t n_fields,
                    const struct fci_section *section, const char *key)
{
    const char *nearest;
    size_t i;

    if (section->incomplete || fci_section_entry(section, key))
        return true;
    for (i = 0; i < section->n_entries; i++) {
        if (find_field(fields, n_fields, section->entries[i].key))
            continue;
        nearest = nearest_key(fields, n_fields, section->entries[i].key);
        if (nearest && strcmp(nearest, key) == 0)
            return true;
    }
    return false;
}

static fc_status
unknown_key(const struct fci_field *fields, size_t n, const struct value *v)
{
    struct fci_heading heading =
        fci_heading(v->section->kind, v->section->name);
    const char *nearest = nearest_key(fields, n, v->entry->key);
    char known[256] = "";
    size_t i, used = 0;

    if (nearest)
        return fci_fail(v->messages, FC_EINPUT, v->path, v->entry->line,
                        "%s has no key \"%.60s\"; the nearest known is "
                        "\"%s\"",
                        heading.text, v->entry->key, nearest);
    for (i = 0; i < n && used < sizeof known; i++)
        used += (size_t)snprintf(known + used, sizeof known - used, "%s%s",
                                 i ? ", " : "", fields[i].key);
    return fci_fail(v->messages, FC_EINPUT, v->path, v->entry->line,
                    "%s has no key \"%.60s\"; its keys are %s", heading.text,
                    v->entry->key, known);
}

/* What a key of each type fills in: so much at its place and its second. */
static const struct {
    size_t at, second;
} filled[] = {
    [FCI_TEXT] = { sizeof(const char *), 0 },
    [FCI_NAME] = { sizeof(const char *), 0 },
    [FCI_FIGURE] = { sizeof(fc_range), 0 },
    [FCI_RANGE] = { sizeof(fc_range), 0 },
    [FCI_COUNT] = { sizeof(int), 0 },
    [FCI_YES_NO] = { sizeof(fc_answer), 0 },
    [FCI_CHOICE] = { sizeof(int), 0 },
    [FCI_LOSS] = { sizeof(fc_loss), 0 },
    [FCI_POINTS] = { sizeof(fc_point *), sizeof(size_t) },
    [FCI_FIGURE_AT] = { sizeof(fc_range), sizeof(fc_range) },
    [FCI_FITTINGS] = { sizeof(fc_fitting *), sizeof(size_t) },
    [FCI_NAMES] = { sizeof(const char **), sizeof(size_t) },
    [FCI_FLUSHING] = { sizeof(fc_flushing *), sizeof(size_t) },
    [FCI_DEVIATION] = { sizeof(fc_deviation), 0 },
    [FCI_SIZE_OR_CHOOSE] = { sizeof(fc_range), sizeof(bool) },
    [FCI_WHILE] = { sizeof(fc_flushing *), sizeof(size_t) },
    [FCI_SKIP] = { 0, 0 },
};

/* What a key fills in stands as not given from here on. */
static void
forget(const struct value *v)
{
    const struct fci_field *field = v->field;

    memset(v->part + field->offset, 0, filled[field->type].at);
    if (filled[field->type].second > 0)
        memset(v->part + field->second, 0, filled[field->type].second);
    if (field->type == FCI_WHILE)
        ((fc_claim *)(void *)v->part)->condition = FC_WHILE_ALONE;
}

/* What was half read before an error is forgotten too, so that nothing more is
 * said about it. */
static fc_status
read_entry(const struct fci_field *fields, size_t n, struct value *v)
{
    fc_status status;

    v->field = find_field(fields, n, v->entry->key);
    if (!v->field)
        return unknown_key(fields, n, v);
    forget(v);
    if (!v->entry->value)
        return FC_OK;
    status = read_value(v);
    if (status != FC_OK)
        forget(v);
    return status;
}

/* What a key that is missing should have held. */
static const char *
needed(const struct fci_field *field)
{
    switch (field->type) {
    case FCI_NAME:
        return "a name";
    case FCI_NAMES:
        return "a name, or several separated by commas,";
    case FCI_POINTS:
        return "a curve of two points or more, such as 0 gpm 95 ft, 60 gpm "
               "84 ft,";
    default:
        return fci_dimension_name(field->dimension);
    }
}

static fc_status
missing_keys(const struct fci_field *fields, size_t n, const struct value *v)
{
    struct fci_heading heading =
        fci_heading(v->section->kind, v->section->name);
    fc_status status = FC_OK;
    char words[128];
    size_t i;

    for (i = 0; i < n && status != FC_ENOMEM; i++) {
        if (!fields[i].required
            || fci_fields_may_have(fields, n, v->section, fields[i].key))
            continue;
        if (fields[i].type == FCI_CHOICE)
            list_choices(&fields[i], words, sizeof words);
        status = fci_fail(
            v->messages, FC_EINPUT, v->path, v->section->line,
            "%s lacks \"%s\"; %s is needed", heading.text, fields[i].key,
            fields[i].type == FCI_CHOICE ? words : needed(&fields[i]));
    }
    return status;
}

fc_status
fci_fields_change(const struct fci_field *fields, size_t n_fields,
                  const struct fci_section *section, const char *path,
                  struct fci_arena *arena, void *part,
                  fc_diagnostics *messages)
{
    struct value v = { NULL, section, NULL, path, arena, part, messages };
    fc_status status, worst = FC_OK;
    size_t i;

    for (i = 0; i < section->n_entries; i++) {
        v.entry = &section->entries[i];
        status = read_entry(fields, n_fields, &v);
        if (status == FC_ENOMEM)
            return status;
        if (status != FC_OK)
            worst = status;
    }
    return worst;
}

fc_status
fci_fields_read(const struct fci_field *fields, size_t n_fields,
                const struct fci_section *section, const char *path,
                struct fci_arena *arena, void *part, fc_diagnostics *messages)
{
    const struct value v = {
        NULL, section, NULL, path, arena, part, messages
    };
    const fc_status read = fci_fields_change(fields, n_fields, section, path,
                                             arena, part, messages);
    fc_status status;

    if (read == FC_ENOMEM)
        return read;
    status = missing_keys(fields, n_fields, &v);
    return status != FC_OK ? status : read;
}
