/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/csv.c -- one table of a report as RFC 4180 has it.
 *
 * Every list of objects is a table, named by its key ("fixtures",
 * "existing.zones").  Objects within a row are spread over columns
 * ("existing.margin [psi]"), a range over three, lists of texts or figures
 * are joined in one; lists of objects within a row are left out.
 *
 * A spreadsheet runs a cell as a formula that starts with "=", "+", "-", "@",
 * a tab or a return: such a text, unless it is a number, gets an apostrophe
 * before it.
 */
#include "ground/text_stream.h"
#include "ground/plain_print.h"
#include "page/forms.h"
#include "page/terminal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct csv {
    FILE *out;
    const struct fci_data *data;
    const void *root; /* for getters */
    size_t column;    /* in the line at hand */
};

static void
next_cell(struct csv *csv)
{
    if (csv->column++ > 0)
        fputc(',', csv->out);
}

static void
write_quoted(struct csv *csv, const char *text)
{
    if (*text && strchr("=+-@\t\r", *text))
        fputc('\'', csv->out);
    for (const char *s = text; *s;) {
        const struct fci_char c = fci_text_next(s);

        if (*s == '"')
            fputc('"', csv->out);
        if (c.printable || *s == '\n')
            fwrite(s, 1, c.bytes, csv->out);
        else
            fputc('?', csv->out);
        s += c.bytes;
    }
}

static void
write_text(struct csv *csv, const char *text)
{
    next_cell(csv);
    if (!text || !*text)
        return;
    fputc('"', csv->out);
    write_quoted(csv, text);
    fputc('"', csv->out);
}

/* The JSON's digits; nothing of what is not finite. */
static void
put_digits(struct csv *csv, double value)
{
    if (isfinite(value))
        fci_print_to(csv->out, "%.*g", FCI_DIGITS, value + 0.0);
}

static void
write_number(struct csv *csv, double value)
{
    next_cell(csv);
    put_digits(csv, value);
}

static void
write_figure(struct csv *csv, const struct fci_member *member, double si)
{
    write_number(csv, fc_from_si(csv->data->units, member->dimension, si));
}

static void
write_list(struct csv *csv, const struct fci_member *member,
           const struct fci_list *list)
{
    next_cell(csv);
    if (!list || list->n == 0)
        return;
    fputc('"', csv->out);
    for (size_t i = 0; i < list->n; i++) {
        if (i > 0)
            fputs("; ", csv->out);
        if (member->type == FCI_M_TEXTS)
            write_quoted(csv, ((const char *const *)list->items)[i]);
        else
            put_digits(csv, fc_from_si(csv->data->units, member->dimension,
                                       ((const double *)list->items)[i]));
    }
    fputc('"', csv->out);
}

/* One member of an object, which is NULL where it is not there. */
static void
write_value(struct csv *csv, const struct fci_member *member,
            const void *value)
{
    static const fc_range none = { false, 0, 0, 0 };
    const fc_range *range =
        member->type == FCI_M_RANGE && value ? value : &none;

    switch (member->type) {
    case FCI_M_TEXT:
        write_text(csv, value ? *(const char *const *)value : NULL);
        break;
    case FCI_M_WORD:
        write_text(csv, value ? fci_word_of(member->words,
                                            (int)*(const unsigned *)value)
                              : NULL);
        break;
    case FCI_M_COUNT:
        write_number(csv, value ? (double)*(const size_t *)value : NAN);
        break;
    case FCI_M_INTEGER:
        write_number(csv, value ? (double)*(const int *)value : (double)NAN);
        break;
    case FCI_M_FLAG:
        write_text(csv, !value                 ? NULL
                        : *(const bool *)value ? "true"
                                               : "false");
        break;
    case FCI_M_NUMBER:
        write_number(csv, value ? *(const double *)value : NAN);
        break;
    case FCI_M_FIGURE:
        write_figure(csv, member, value ? *(const double *)value : NAN);
        break;
    case FCI_M_RANGE:
        write_figure(csv, member, range->given ? range->nominal : NAN);
        write_figure(csv, member, range->given ? range->low : NAN);
        write_figure(csv, member, range->given ? range->high : NAN);
        break;
    default:
        write_list(csv, member, value);
        break;
    }
}

static bool
is_object(const struct fci_member *member)
{
    return member->type == FCI_M_OBJECT || member->type == FCI_M_SPREAD;
}

/* "existing.", of what stands within an object. */
static void
name_inner(char *inner, size_t size, const char *prefix,
           const struct fci_member *member)
{
    snprintf(inner, size, "%s%s%s", prefix, member->key,
             member->type == FCI_M_OBJECT ? "." : "");
}

static void
write_row(struct csv *csv, const struct fci_shape *shape, const void *object)
{
    const struct fci_at at = { csv->root, object };

    for (size_t i = 0; i < shape->n_members; i++) {
        const struct fci_member *member = &shape->members[i];
        union fci_value room;
        const void *value = NULL;

        if (member->type == FCI_M_LIST)
            continue;
        if (object)
            fci_member_value(member, at, &room, &value);
        if (is_object(member))
            write_row(csv, member->shape, value);
        else
            write_value(csv, member, value);
    }
}

static void
write_item(struct csv *csv, const struct fci_shape *shape, const void *object)
{
    write_row(csv, shape, object);
}

/* "existing.margin low [psi]" */
static void
write_heading(struct csv *csv, const char *prefix,
              const struct fci_member *member, const char *end)
{
    const char *unit = fc_unit_name(csv->data->units, member->dimension);

    next_cell(csv);
    fprintf(csv->out, "%s%s%s", prefix, member->key, end);
    if (*unit)
        fprintf(csv->out, " [%s]", unit);
}

static void
write_headings(struct csv *csv, const struct fci_shape *shape,
               const char *prefix)
{
    for (size_t i = 0; i < shape->n_members; i++) {
        const struct fci_member *member = &shape->members[i];
        char inner[160];

        if (member->type == FCI_M_LIST)
            continue;
        if (is_object(member)) {
            name_inner(inner, sizeof inner, prefix, member);
            write_headings(csv, member->shape, inner);
            continue;
        }
        write_heading(csv, prefix, member, "");
        if (member->type == FCI_M_RANGE) {
            write_heading(csv, prefix, member, "_low");
            write_heading(csv, prefix, member, "_high");
        }
    }
}

/* Every row tells what was set over the file: it may be all that is kept. */
static void
end_line(struct csv *csv)
{
    if (csv->data->set_said)
        write_text(csv, csv->data->set_said);
    fputs("\r\n", csv->out);
    csv->column = 0;
}

static void
write_table(struct csv *csv, const struct fci_member *member,
            const struct fci_list *list)
{
    if (member->type == FCI_M_LIST) {
        write_headings(csv, member->shape, "");
    } else {
        write_heading(csv, "", member, "");
    }
    fputs(csv->data->set_said ? ",set\r\n" : "\r\n", csv->out);
    csv->column = 0;
    for (size_t i = 0; list && i < list->n; i++) {
        if (member->type == FCI_M_LIST)
            write_item(csv, member->shape,
                       (const char *)list->items + i * member->shape->size);
        else if (member->type == FCI_M_TEXTS)
            write_text(csv, ((const char *const *)list->items)[i]);
        else
            write_figure(csv, member, ((const double *)list->items)[i]);
        end_line(csv);
    }
}

static bool
is_table(const struct fci_member *member)
{
    return member->type == FCI_M_LIST || member->type == FCI_M_TEXTS
           || member->type == FCI_M_FIGURES;
}

/* The first table, or the one of this name, at or below an object, which is
 * NULL where it is not there. */
static bool
find_table(struct csv *csv, const struct fci_shape *shape, const void *object,
           const char *prefix, const char *name)
{
    const struct fci_at at = { csv->root, object };
    bool found = false;

    for (size_t i = 0; i < shape->n_members && !found; i++) {
        const struct fci_member *member = &shape->members[i];
        union fci_value room;
        const void *value = NULL;
        char path[160];

        snprintf(path, sizeof path, "%s%s", prefix, member->key);
        if (object)
            fci_member_value(member, at, &room, &value);
        if (is_table(member) && (!name || strcmp(name, path) == 0)) {
            write_table(csv, member, value);
            return true;
        }
        if (!is_object(member))
            continue;
        name_inner(path, sizeof path, prefix, member);
        found = find_table(csv, member->shape, value, path, name);
    }
    return found;
}

bool
fci_csv_form(const struct fci_data *data, const char *table, FILE *out,
             bool *found)
{
    struct csv csv = { out, data, data->root, 0 };

    *found = find_table(&csv, data->shape, data->root, "", table);
    return true;
}

static void
list_tables(FILE *out, const struct fci_shape *shape, const char *prefix,
            bool *any)
{
    for (size_t i = 0; i < shape->n_members; i++) {
        const struct fci_member *member = &shape->members[i];
        char path[160];

        if (is_table(member)) {
            fprintf(out, "%s%s%s", *any ? ", " : "", prefix, member->key);
            *any = true;
        } else if (is_object(member)) {
            name_inner(path, sizeof path, prefix, member);
            list_tables(out, member->shape, path, any);
        }
    }
}

char *
fci_csv_tables(const struct fci_shape *shape)
{
    char *text = NULL;
    size_t size = 0;
    FILE *out = fci_text_stream(&text, &size);
    bool any = false;

    if (!out)
        return NULL;
    list_tables(out, shape, "", &any);
    if (fclose(out) == 0)
        return text;
    free(text);
    return NULL;
}
