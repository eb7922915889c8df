/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/fuzz/reports.c -- a report in each form: data by its shape, the same
 * in either system of units, text that steers nothing. */
#include "fuzz/fuzz.h"
#include "page/shape.h"
#include "report/check_shape.h"

#include <jansson.h>
#include <math.h>
#include <string.h>

/* ---- Data by its shape ------------------------------------------------- */

static const char *try_object(const json_t *object,
                              const struct fci_shape *shape, size_t *known);

static const char *
try_whole(const json_t *object, const struct fci_shape *shape)
{
    size_t known = 0;

    HOLDS(json_is_object(object));
    ALL_HOLD(try_object(object, shape, &known));
    HOLDS(json_object_size(object) == known);
    return NULL;
}

static bool
is_word(const struct fci_words *words, const char *text)
{
    size_t i;

    for (i = 0; i < words->n; i++)
        if (words->words[i] && strcmp(words->words[i], text) == 0)
            return true;
    return false;
}

static const char *
try_items(const json_t *list, const struct fci_member *member)
{
    const json_t *item;
    size_t i;

    HOLDS(json_is_array(list));
    json_array_foreach(list, i, item)
    {
        if (member->type == FCI_M_TEXTS)
            HOLDS(json_is_string(item) || json_is_null(item));
        else if (member->type == FCI_M_FIGURES)
            HOLDS(json_is_number(item) || json_is_null(item));
        else
            ALL_HOLD(try_whole(item, member->shape));
    }
    return NULL;
}

static const char *
try_value(const json_t *value, const struct fci_member *member)
{
    if (json_is_null(value))
        return NULL;
    switch (member->type) {
    case FCI_M_TEXT:
        HOLDS(json_is_string(value));
        return NULL;
    case FCI_M_WORD:
        HOLDS(json_is_string(value)
              && is_word(member->words, json_string_value(value)));
        return NULL;
    case FCI_M_COUNT:
        HOLDS(json_is_integer(value) && json_integer_value(value) >= 0);
        return NULL;
    case FCI_M_INTEGER:
        HOLDS(json_is_integer(value));
        return NULL;
    case FCI_M_FLAG:
        HOLDS(json_is_boolean(value));
        return NULL;
    case FCI_M_OBJECT:
        return try_whole(value, member->shape);
    case FCI_M_LIST:
    case FCI_M_TEXTS:
    case FCI_M_FIGURES:
        return try_items(value, member);
    default:
        HOLDS(json_is_number(value));
        HOLDS(isfinite(json_number_value(value)));
        return NULL;
    }
}

static const json_t *
end_of(const json_t *object, const struct fci_member *member, const char *end)
{
    char key[80];

    snprintf(key, sizeof key, "%s_%s", member->key, end);
    return json_object_get(object, key);
}

/* As the digits of data tell them. */
static const char *
try_ends(const json_t *object, const struct fci_member *member, size_t *known)
{
    const json_t *low = end_of(object, member, "low");
    const json_t *high = end_of(object, member, "high");
    const double a = json_number_value(low), b = json_number_value(high);
    const double middle =
        json_number_value(json_object_get(object, member->key));
    const double off = 1e-8 * (fabs(a) + fabs(b));

    HOLDS(!low == !high);
    if (!low)
        return NULL;
    *known += 2;
    HOLDS(json_is_number(low) && json_is_number(high));
    HOLDS(a <= middle + off && middle <= b + off);
    return NULL;
}

static const char *
try_object(const json_t *object, const struct fci_shape *shape, size_t *known)
{
    size_t i;

    for (i = 0; i < shape->n_members; i++) {
        const struct fci_member *member = &shape->members[i];
        const json_t *value = json_object_get(object, member->key);

        if (member->type == FCI_M_SPREAD) {
            ALL_HOLD(try_object(object, member->shape, known));
            continue;
        }
        HOLDS(value);
        ++*known;
        ALL_HOLD(try_value(value, member));
        if (member->type == FCI_M_RANGE)
            ALL_HOLD(try_ends(object, member, known));
    }
    return NULL;
}

static const char *const head_keys[] = { "report", "schema",        "program",
                                         "site",   "made",          "digest",
                                         "units",  "tables_digest", "set" };

static const char *
try_root(const json_t *root, const struct fci_shape *shape)
{
    size_t known = 0, i;

    HOLDS(json_is_object(root));
    for (i = 0; i < sizeof head_keys / sizeof *head_keys; i++)
        known += json_object_get(root, head_keys[i]) != NULL;
    HOLDS(known >= sizeof head_keys / sizeof *head_keys - 1);
    ALL_HOLD(try_object(root, shape, &known));
    HOLDS(json_object_size(root) == known);
    return NULL;
}

static const char *
try_json(const char *text, size_t size, const struct fci_shape *shape)
{
    json_t *root = json_loadb(text, size, JSON_REJECT_DUPLICATES, NULL);
    const char *broken;

    HOLDS(root);
    broken = try_root(root, shape);
    json_decref(root);
    return broken;
}

/* ---- Text -------------------------------------------------------------- */

/* UTF-8, no control character but line feeds: as try_line() of each line. */
static const char *
try_lines(char *text, size_t size)
{
    char *at, *end;

    HOLDS(strlen(text) == size);
    HOLDS(size > 0 && text[size - 1] == '\n');
    for (at = text; *at; at = end + 1) {
        end = strchr(at, '\n');
        *end = '\0';
        if (*at)
            ALL_HOLD(try_line(at));
    }
    return NULL;
}

static const char *
try_cells(const char *text, size_t size)
{
    size_t columns = 0, column = 1;
    bool quoted = false;

    HOLDS(size > 1 && memcmp(text + size - 2, "\r\n", 2) == 0);
    for (; *text; text++) {
        if (*text == '"')
            quoted = !quoted;
        HOLDS(quoted || (unsigned char)*text >= ' ' || *text == '\r'
              || *text == '\n');
        if (quoted || (*text != ',' && *text != '\n'))
            continue;
        column += *text == ',';
        if (*text != '\n')
            continue;
        columns = columns ? columns : column;
        HOLDS(column == columns);
        column = 1;
    }
    HOLDS(!quoted);
    return NULL;
}

/* A figure that is none, printed; `input` may have such a word. */
static const char *
try_figures(const char *text, const struct fuzz_input *input)
{
    static const char *const none[] = { " nan", " -nan", " inf ", " -inf",
                                        "(null)" };
    size_t i;

    for (i = 0; i < sizeof none / sizeof *none; i++)
        if (strstr(text, none[i]) && !strstr(input->text, none[i] + 1))
            return none[i];
    return NULL;
}

static const char *
try_form(const fc_report *report, fc_form form,
         const fc_report_options *options, const struct fci_shape *shape,
         const struct fuzz_input *input)
{
    char *text = NULL;
    size_t size = 0;
    const char *broken;

    HOLDS(fc_report_write(report, form, options, &text, &size, NULL) == FC_OK);
    broken = form == FC_HTML ? NULL : try_figures(text, input);
    if (!broken)
        broken = form == FC_JSON  ? try_json(text, size, shape)
                 : form == FC_CSV ? try_cells(text, size)
                                  : try_lines(text, size);
    fc_free(text);
    return broken;
}

static const char *
try_forms(const fc_report *report, const struct fci_shape *shape,
          const struct fuzz_input *input)
{
    const fc_report_options brief = { .site = input->path };
    const fc_report_options full = { .full = true, .width = 60 };
    const unsigned pick = fuzz_pick(input, 'f');

    ALL_HOLD(try_form(report, FC_JSON, &brief, shape, input));
    ALL_HOLD(try_form(report, FC_TEXT, &brief, shape, input));
    if (fuzz_thorough || pick % 3 == 0)
        ALL_HOLD(try_form(report, FC_TEXT, &full, shape, input));
    if (fuzz_thorough || pick % 3 == 1)
        ALL_HOLD(try_form(report, FC_HTML, &brief, shape, input));
    if (fuzz_thorough || pick % 3 == 2)
        ALL_HOLD(try_form(report, FC_CSV, &brief, shape, input));
    return NULL;
}

const char *
try_report(fc_report *report, const struct fci_shape *shape,
           const struct fuzz_input *input)
{
    const char *broken = try_forms(report, shape, input);

    fc_report_free(report);
    return broken;
}

/* ---- Two systems of units ---------------------------------------------- */

/* The SI figure of one that is told in a system. */
static double
to_si(fc_unit_system system, fc_dimension dimension, double told)
{
    const double none = fc_from_si(system, dimension, 0);

    return (told - none) / (fc_from_si(system, dimension, 1) - none);
}

/* To the digits that data have. */
static bool
same_figure(const json_t *us, const json_t *si, fc_dimension dimension)
{
    const double a = to_si(FC_US, dimension, json_number_value(us));
    const double b = to_si(FC_SI, dimension, json_number_value(si));

    return fabs(a - b) <= 1e-7 * (fabs(a) + fabs(b)) + 1e-9;
}

static const char *try_alike(const json_t *us, const json_t *si,
                             const struct fci_shape *shape);

static const char *
try_list_alike(const json_t *us, const json_t *si,
               const struct fci_member *member)
{
    size_t i;

    HOLDS(json_array_size(us) == json_array_size(si));
    for (i = 0; i < json_array_size(us); i++) {
        const json_t *a = json_array_get(us, i), *b = json_array_get(si, i);

        if (member->type == FCI_M_FIGURES)
            HOLDS(same_figure(a, b, member->dimension));
        else if (member->type == FCI_M_LIST)
            ALL_HOLD(try_alike(a, b, member->shape));
    }
    return NULL;
}

static const char *
try_member_alike(const json_t *us, const json_t *si,
                 const struct fci_member *member)
{
    HOLDS(json_typeof(us) == json_typeof(si));
    if (json_is_null(us))
        return NULL;
    switch (member->type) {
    case FCI_M_TEXT: /* may hold figures */
        return NULL;
    case FCI_M_NUMBER:
        HOLDS(same_figure(us, si, FC_NUMBER));
        return NULL;
    case FCI_M_FIGURE:
    case FCI_M_RANGE:
        HOLDS(same_figure(us, si, member->dimension));
        return NULL;
    case FCI_M_OBJECT:
        return try_alike(us, si, member->shape);
    case FCI_M_LIST:
    case FCI_M_TEXTS:
    case FCI_M_FIGURES:
        return try_list_alike(us, si, member);
    default:
        HOLDS(json_equal(us, si));
        return NULL;
    }
}

static const char *
try_alike(const json_t *us, const json_t *si, const struct fci_shape *shape)
{
    size_t i;

    for (i = 0; i < shape->n_members; i++) {
        const struct fci_member *member = &shape->members[i];

        /* the system itself */
        if (strcmp(member->key, "units") == 0)
            continue;
        if (member->type == FCI_M_SPREAD)
            ALL_HOLD(try_alike(us, si, member->shape));
        else
            ALL_HOLD(try_member_alike(json_object_get(us, member->key),
                                      json_object_get(si, member->key),
                                      member));
    }
    return NULL;
}

static json_t *
data_in(fc_site *site, fc_unit_system units)
{
    fc_check_result *result = NULL;
    fc_report *report = NULL;
    json_t *data = NULL;
    char *text = NULL;

    fc_site_set_units(site, units);
    if (fc_check_with(site, &fuzz_options, &result, NULL) == FC_OK
        && fc_report_check(site, result, NULL, &report) == FC_OK
        && fc_report_write(report, FC_JSON, NULL, &text, NULL, NULL) == FC_OK)
        data = json_loads(text, 0, NULL);
    fc_free(text);
    fc_report_free(report);
    fc_check_result_free(result);
    return data;
}

const char *
try_units(fc_site *site, const fc_check_result *result)
{
    const fc_unit_system own = fc_site_units(site);
    json_t *us = data_in(site, FC_US), *si = data_in(site, FC_SI);
    const char *broken = us && si ? try_alike(us, si, &fci_check_shape)
                                  : "there are data in both units";

    fc_site_set_units(site, own);
    json_decref(us);
    json_decref(si);
    HOLDS(broken || result->units == own);
    return broken;
}
