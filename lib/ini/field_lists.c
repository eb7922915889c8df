/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/field_lists.c -- keys that hold a list of names. */
#include "ground/names.h"
#include "ground/call.h"
#include "ground/synonyms.h"
#include "ini/field_type.h"
#include "units/units.h"

#include <stdio.h>
#include <string.h>

/* The count that an item starts with ("2 elbow 90"); the item is moved behind
 * it.  -1 when it starts with no whole number from 1 to FCI_MOST_COUNT. */
static int
leading_count(const char **item)
{
    const char *text = *item;
    double number;

    if (!(*text >= '0' && *text <= '9') || !fci_read_number(&text, &number)
        || *text != ' ')
        return -1;
    if (!(number >= 1 && number <= FCI_MOST_COUNT)
        || number != (double)(int)number)
        return -1;
    while (*text == ' ')
        text++;
    *item = text;
    return (int)number;
}

static void *
list_array(const struct fci_value *v, char *part)
{
    return fci_list_array(v, v->field->type->item, part + v->field->offset,
                          FCI_INTO(part, v->field->second, size_t));
}

/* The list, and the string of each item. */
static bool
copy_list(const struct fci_field *field, char *part, struct fci_arena *arena)
{
    const struct fci_field_type *type = field->type;
    const size_t n = *FCI_AT(part, field->second, size_t);
    const char **string;
    char *list;
    size_t i;

    if (!fci_copy_array(part + field->offset, n * type->item, arena))
        return false;
    memcpy(&list, part + field->offset, sizeof list);
    for (i = 0; i < n; i++) {
        string = FCI_INTO(list, i * type->item + type->string, const char *);
        if (*string && !(*string = fci_arena_string(arena, *string)))
            return false;
    }
    return true;
}

/* ---- Fittings --------------------------------------------------------- */

/* "90 45": 90 fittings, or one that is called "90" and another.  What has its
 * name in full is counted: "45 tee run". */
static bool
may_be_two(const char *item, const char *name, struct fci_meanings two[2])
{
    char first[16];
    size_t i;

    snprintf(first, sizeof first, "%.*s", (int)strcspn(item, " "), item);
    two[0] = fci_meanings("fittings", first);
    two[1] = fci_meanings("fittings", name);
    for (i = 0; i < two[1].n; i++)
        if (fci_same_words(two[1].at[i].means, name))
            return false;
    return two[0].n > 0 && two[1].n > 0;
}

static fc_status
read_fittings(struct fci_value *v, char *part)
{
    const char *list = v->text, *name;
    struct fci_meanings two[2];
    fc_fitting *fitting;
    char item[128];

    if (fci_same_name(list, "none")) {
        FCI_INTO(part, 0, fc_pipe)->no_fittings = true;
        return FC_OK;
    }
    fitting = list_array(v, part);
    if (!fitting)
        return FC_ENOMEM;
    for (; fci_next_item(&list, item, sizeof item); fitting++) {
        name = item;
        fitting->count = leading_count(&name);
        if (fitting->count > 0 && fci_meanings("fittings", item).n > 0)
            return fci_value_fail(
                v,
                "\"%.60s\" could be one fitting or %d of them; a count before "
                "\"%.60s\" is expected",
                item, fitting->count, item);
        if (fitting->count > 0 && may_be_two(item, name, two))
            return fci_value_fail(
                v, "\"%.60s\" could be \"1 %s, 1 %s\" or \"%d %s\"; say which",
                item, two[0].at->means,
                two[1].n == 1 ? two[1].at->means : name, fitting->count,
                two[1].n == 1 ? two[1].at->means : name);
        if (fitting->count < 0 || !*name)
            return fci_value_wrong(
                v, item,
                "a count and a fitting are expected, such as 2 elbow 90, "
                "separated by commas, or none");
        fitting->name = fci_arena_string(v->arena, name);
        if (!fitting->name)
            return FC_ENOMEM;
    }
    return FC_OK;
}

static void
check_fittings(struct fci_value *v, const char *data)
{
    const fc_fitting *fittings = *FCI_AT(data, v->field->offset, fc_fitting *);
    const size_t n = *FCI_AT(data, v->field->second, size_t);
    size_t i;

    for (i = 0; i < n; i++)
        if (fittings[i].count < 1 || fittings[i].count > FCI_MOST_COUNT
            || !fittings[i].name)
            fci_value_fail(v,
                           "item %zu is not a fitting; a count from 1 to "
                           "1,000,000 and a name are expected",
                           i + 1);
        else if (!v->where.section)
            fci_check_text(v, fittings[i].name);
    if (n > 0 && FCI_AT(data, 0, fc_pipe)->no_fittings)
        fci_value_fail(
            v,
            "are listed and also given as none; one of the two is expected");
}

static void
write_fittings(struct fci_value *v, const char *data)
{
    const fc_fitting *fittings = *FCI_AT(data, v->field->offset, fc_fitting *);
    const size_t n = *FCI_AT(data, v->field->second, size_t);
    size_t i;

    if (FCI_AT(data, 0, fc_pipe)->no_fittings)
        fci_put(v, "none");
    for (i = 0; i < n && v->status == FC_OK; i++) {
        fci_put_comma(v, i);
        fci_put(v, "%d %s", fittings[i].count, fittings[i].name);
    }
}

static void
forget_fittings(char *part)
{
    FCI_INTO(part, 0, fc_pipe)->no_fittings = false;
}

const struct fci_field_type fci_fittings_field = {
    .at = sizeof(fc_fitting *),
    .second = sizeof(size_t),
    .item = sizeof(fc_fitting),
    .string = offsetof(fc_fitting, name),
    .read = read_fittings,
    .check = check_fittings,
    .write = write_fittings,
    .copy = copy_list,
    .forget = forget_fittings,
};

/* ---- Names ------------------------------------------------------------ */

static fc_status
read_names(struct fci_value *v, char *part)
{
    const char *list = v->text;
    const char **name = list_array(v, part);
    char item[128];

    if (!name)
        return FC_ENOMEM;
    for (; fci_next_item(&list, item, sizeof item); name++) {
        if (!*item)
            return fci_value_fail(v, "has an empty item; names separated by "
                                     "commas are expected");
        *name = fci_arena_string(v->arena, item);
        if (!*name)
            return FC_ENOMEM;
    }
    return FC_OK;
}

static void
check_names(struct fci_value *v, const char *data)
{
    const char *const *names = *FCI_AT(data, v->field->offset, char *const *);
    const size_t n = *FCI_AT(data, v->field->second, size_t);
    size_t i;

    if (v->where.section)
        return; /* the reader has said it */
    if (v->field->required && n == 0)
        fci_value_fail(v, "is empty; names of fixtures are expected");
    for (i = 0; i < n; i++)
        if (!names[i])
            fci_value_fail(v, "item %zu is not given; a name is expected",
                           i + 1);
        else
            fci_check_text(v, names[i]);
}

static void
write_names(struct fci_value *v, const char *data)
{
    const char *const *names = *FCI_AT(data, v->field->offset, char *const *);
    const size_t n = *FCI_AT(data, v->field->second, size_t);
    size_t i;

    for (i = 0; i < n && v->status == FC_OK; i++) {
        fci_put_comma(v, i);
        fci_put(v, "%s", names[i]);
    }
}

const struct fci_field_type fci_names_field = {
    .at = sizeof(const char **),
    .second = sizeof(size_t),
    .needed = "a name, or several separated by commas,",
    .item = sizeof(const char *),
    .read = read_names,
    .check = check_names,
    .write = write_names,
    .copy = copy_list,
};

/* ---- Fixtures that flush ---------------------------------------------- */

/* "wc-2:3", as the command line has it: whether it is that; the name alone is
 * left of the item. */
static bool
counted_behind(char *item, int *count)
{
    char *colon = strrchr(item, ':');
    const char *number = colon ? colon + 1 : "";
    double n;

    if (!(*number >= '0' && *number <= '9') || !fci_read_number(&number, &n)
        || *number || !(n >= 1 && n <= FCI_MOST_COUNT) || n != (double)(int)n)
        return false;
    *count = (int)n;
    *colon = '\0';
    return true;
}

/* The fixture of "wc-1", "3 of wc-2" or "wc-2:3"; "": it is none of these. */
static const char *
flushing_name(char *item, int *count)
{
    const char *name = item;

    if (counted_behind(item, count))
        return item;
    *count = leading_count(&name);
    if (*count < 0) {
        *count = 0;
        return item;
    }
    return strncmp(name, "of ", 3) == 0 ? name + 3 : "";
}

static fc_status
read_flushing(struct fci_value *v, char *part)
{
    const char *list = v->text, *name;
    fc_flushing *flushing;
    char item[128];

    if (strcmp(list, "none") == 0)
        return FC_OK;
    flushing = list_array(v, part);
    if (!flushing)
        return FC_ENOMEM;
    for (; fci_next_item(&list, item, sizeof item); flushing++) {
        name = flushing_name(item, &flushing->count);
        if (!*name || strchr(name, ' '))
            return fci_value_wrong(v, item,
                                   "fixtures are expected, such as wc-1, 3 of "
                                   "wc-2, or none");
        flushing->fixture = fci_arena_string(v->arena, name);
        if (!flushing->fixture)
            return FC_ENOMEM;
    }
    return FC_OK;
}

static void
check_flushing(struct fci_value *v, const char *data)
{
    const fc_flushing *flushing =
        *FCI_AT(data, v->field->offset, fc_flushing *);
    const size_t n = *FCI_AT(data, v->field->second, size_t);
    size_t i;

    for (i = 0; i < n && !v->where.section; i++)
        if (flushing[i].count < 0 || flushing[i].count > FCI_MOST_COUNT
            || !flushing[i].fixture)
            fci_value_fail(v,
                           "item %zu is no fixture that flushes; a count up "
                           "to 1,000,000, or 0 for all, and a name are "
                           "expected",
                           i + 1);
        else
            fci_check_text(v, flushing[i].fixture);
}

static void
write_flushing(struct fci_value *v, const char *data)
{
    const fc_flushing *flushing =
        *FCI_AT(data, v->field->offset, fc_flushing *);
    const size_t n = *FCI_AT(data, v->field->second, size_t);
    size_t i;

    for (i = 0; i < n && v->status == FC_OK; i++) {
        fci_put_comma(v, i);
        if (flushing[i].count)
            fci_put(v, "%d of ", flushing[i].count);
        fci_put(v, "%s", flushing[i].fixture);
    }
}

const struct fci_field_type fci_flushing_field = {
    .at = sizeof(fc_flushing *),
    .second = sizeof(size_t),
    .item = sizeof(fc_flushing),
    .string = offsetof(fc_flushing, fixture),
    .read = read_flushing,
    .check = check_flushing,
    .write = write_flushing,
    .copy = copy_list,
};

const struct fci_field_type fci_open_field = {
    .at = sizeof(fc_flushing *),
    .second = sizeof(size_t),
    .item = sizeof(fc_flushing),
    .string = offsetof(fc_flushing, fixture),
    .read = read_flushing,
    .copy = copy_list,
};

/* ---- What flows meanwhile, of a claim --------------------------------- */

static fc_status
read_while(struct fci_value *v, char *part)
{
    fc_claim *claim = FCI_INTO(part, 0, fc_claim);

    if (strcmp(v->text, "alone") == 0)
        claim->condition = FC_WHILE_ALONE;
    else if (strcmp(v->text, "peak") == 0)
        claim->condition = FC_WHILE_PEAK;
    else {
        claim->condition = FC_WHILE_FLUSHING;
        return read_flushing(v, part);
    }
    return FC_OK;
}

static void
check_while(struct fci_value *v, const char *data)
{
    const fc_claim *claim = FCI_AT(data, 0, fc_claim);

    if (!FCI_IS_ENUM(claim->condition, FC_WHILE_ALONE))
        fci_value_fail(v, "is not a value of its enum; a condition of a claim "
                          "is expected");
    else if (claim->condition != FC_WHILE_FLUSHING && claim->n_flushing > 0)
        fci_value_fail(v, "lists what flushes under another condition; "
                          "flushing is expected with it");
    check_flushing(v, data);
}

static void
write_while(struct fci_value *v, const char *data)
{
    const fc_claim *claim = FCI_AT(data, 0, fc_claim);

    if (claim->condition == FC_WHILE_NOT_SAID)
        return;
    if (claim->condition == FC_WHILE_ALONE)
        fci_put(v, "alone");
    else if (claim->condition == FC_WHILE_PEAK)
        fci_put(v, "peak");
    else if (claim->n_flushing == 0)
        fci_put(v, "none");
    else
        write_flushing(v, data);
}

static void
forget_while(char *part)
{
    FCI_INTO(part, 0, fc_claim)->condition = FC_WHILE_NOT_SAID;
}

const struct fci_field_type fci_while_field = {
    .at = sizeof(fc_flushing *),
    .second = sizeof(size_t),
    .item = sizeof(fc_flushing),
    .string = offsetof(fc_flushing, fixture),
    .read = read_while,
    .check = check_while,
    .write = write_while,
    .copy = copy_list,
    .forget = forget_while,
};
