/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/tables/table_rows.c -- the fields and the rows of a section of tables.
 *
 * Keys that begin with a figure ("1-1/4 in", "20") are rows; all others are
 * fields, read by a list of them.
 */
#include "tables/table_entries.h"
#include "ground/plain_print.h"
#include "ground/diagnostics.h"
#include "units/units.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void
fci_table_note(struct fci_table_reader *r, fc_status status)
{
    if (status != FC_OK && r->worst != FC_ENOMEM)
        r->worst = status;
}

void
fci_table_wrong(struct fci_table_reader *r, const struct fci_entry *entry,
                const char *format, ...)
{
    const struct fci_section *section = &r->part->section;
    struct fci_heading heading = fci_heading(section->kind, section->name);
    char what[512];
    va_list args;

    if (r->worst == FC_ENOMEM)
        return; /* for want of memory it may only seem so */
    va_start(args, format);
    fci_vprint(what, sizeof what, format, args);
    va_end(args);
    if (entry)
        fci_table_note(r, fci_fail(r->messages, FC_EINPUT,
                                   r->part->paths[entry - section->entries],
                                   entry->line, "%s %s %s", heading.text,
                                   entry->key, what));
    else
        fci_table_note(r,
                       fci_fail(r->messages, FC_EINPUT, r->part->path,
                                section->line, "%s %s", heading.text, what));
}

void
fci_table_wrong_value(struct fci_table_reader *r,
                      const struct fci_entry *entry, const char *expected)
{
    fci_table_wrong(r, entry, "\"%.60s\"; %s is expected", entry->value,
                    expected);
}

const struct fci_entry *
fci_table_blamed(const struct fci_table_reader *r,
                 const struct fci_entry *first, const struct fci_entry *second)
{
    const struct fci_entry *entries = r->part->section.entries;

    return r->part->paths[second - entries] == r->part->path ? second : first;
}

/* ---- Fields ----------------------------------------------------------- */

static bool
is_row(const char *key)
{
    if (strncmp(key, "dn", 2) == 0)
        key += 2;
    return *key >= '0' && *key <= '9';
}

/* Whether figures lie in their domain, as in the parts of a site. */
static void
check_domain(struct fci_table_reader *r, const struct fci_field *field,
             const fc_range *value)
{
    const struct fci_entry *entry =
        fci_section_entry(&r->part->section, field->key);
    char expected[80];

    if (!value->given || !entry)
        return;
    if (!(fmax(-value->low, value->high) <= fci_largest(field->dimension))) {
        fci_table_wrong_value(r, entry, "a figure that can be true");
    } else if (field->domain == FCI_POSITIVE
               && !(value->low >= fci_least(field->dimension))) {
        snprintf(expected, sizeof expected, "%s above 0",
                 fci_dimension_name(field->dimension));
        fci_table_wrong_value(r, entry, expected);
    } else if (field->domain == FCI_NOT_NEGATIVE && !(value->low >= 0)) {
        snprintf(expected, sizeof expected, "%s of 0 or more",
                 fci_dimension_name(field->dimension));
        fci_table_wrong_value(r, entry, expected);
    } else if (field->domain == FCI_FRACTION
               && !(value->low >= 0 && value->high <= 1)) {
        fci_table_wrong_value(r, entry, "a figure from 0 to 1");
    }
}

static void
check_domains(struct fci_table_reader *r, const struct fci_field *fields,
              size_t n, const void *data)
{
    size_t i;

    for (i = 0; i < n; i++) {
        const char *place = (const char *)data + fields[i].offset;
        struct fci_field at = fields[i]; /* "4 gpm at 8 psi": the second one */
        fc_range value;

        if (fields[i].type != &fci_figure_field
            && fields[i].type != &fci_range_field
            && fields[i].type != &fci_figure_at_field)
            continue;
        memcpy(&value, place, sizeof value);
        check_domain(r, &fields[i], &value);
        if (fields[i].type != &fci_figure_at_field)
            continue;
        memcpy(&value, (const char *)data + fields[i].second, sizeof value);
        at.dimension = fields[i].second_dimension;
        check_domain(r, &at, &value);
    }
}

void
fci_table_fields(struct fci_table_reader *r, const struct fci_field *fields,
                 size_t n, const char *const *skipped, void *data)
{
    struct fci_section rest = r->part->section;
    size_t i, k;

    rest.entries =
        fci_arena_array(r->arena, rest.n_entries, sizeof *rest.entries);
    if (!rest.entries) {
        r->worst = FC_ENOMEM;
        return;
    }
    rest.n_entries = 0;
    for (i = 0; i < r->part->section.n_entries; i++) {
        const struct fci_entry *entry = &r->part->section.entries[i];

        for (k = 0; skipped && skipped[k]; k++)
            if (strcmp(skipped[k], entry->key) == 0)
                break;
        if (!(skipped && skipped[k]) && (skipped || !is_row(entry->key)))
            rest.entries[rest.n_entries++] = *entry;
    }
    fci_table_note(r, fci_fields_read(fields, n, &rest, r->part->path,
                                      r->arena, data, r->messages));
    check_domains(r, fields, n, data);
}

/* ---- Rows ------------------------------------------------------------- */

static int
by_place(const void *a, const void *b)
{
    const struct fci_table_row *first = a, *second = b;

    if (first->place < second->place)
        return -1;
    if (first->place > second->place)
        return 1;
    /* in the order of the file: the later one is reported */
    return first->entry < second->entry ? -1 : first->entry > second->entry;
}

static bool
read_place(struct fci_table_reader *r, const struct fci_entry *entry,
           fc_dimension dimension, double *place)
{
    struct fci_reason why;
    fc_range value;

    if (!fci_read_figure(entry->key, dimension, false, &value, &why)) {
        fci_table_wrong(r, entry, "is not a key of a row; %s",
                        dimension == FC_SIZE ? "a nominal size is expected"
                                             : "a number is expected");
        return false;
    }
    *place = value.nominal;
    if (!(*place >= fci_least(dimension)
          && *place <= fci_largest(dimension))) {
        fci_table_wrong(r, entry,
                        "is not a key of a row; a figure above 0 is expected");
        return false;
    }
    return true;
}

/* The rows of the part in ascending order, one a place; NULL: none that can
 * be used, which has been said. */
struct fci_table_row *
fci_table_rows(struct fci_table_reader *r, fc_dimension dimension, size_t *n)
{
    const struct fci_section *section = &r->part->section;
    struct fci_table_row *rows =
        fci_arena_array(r->arena, section->n_entries, sizeof *rows);
    size_t i, seen = 0, kept = 0;

    *n = 0;
    if (!rows) {
        r->worst = FC_ENOMEM;
        return NULL;
    }
    for (i = 0; i < section->n_entries; i++) {
        if (!is_row(section->entries[i].key))
            continue;
        seen++;
        rows[kept].entry = &section->entries[i];
        if (read_place(r, rows[kept].entry, dimension, &rows[kept].place))
            kept++;
    }
    if (seen == 0)
        fci_table_wrong(r, NULL, "has no rows; %s",
                        dimension == FC_SIZE
                            ? "a key for each size, such as 3/4 in, is needed"
                            : "a key for each number is needed");
    if (kept == 0)
        return NULL;
    qsort(rows, kept, sizeof *rows, by_place);
    for (i = 0; i < kept; i++)
        if (*n > 0 && !(rows[i].place - rows[*n - 1].place > 1e-9))
            fci_table_wrong(r, rows[i].entry,
                            "is the same row as \"%.40s\"; each row once is "
                            "expected",
                            rows[*n - 1].entry->key);
        else
            rows[(*n)++] = rows[i];
    return rows;
}

void *
fci_table_array(struct fci_table_reader *r, size_t n, size_t size)
{
    void *array = fci_arena_array(r->arena, n, size);

    if (!array)
        r->worst = FC_ENOMEM;
    return array;
}

/* The next item of a list separated by commas, trimmed and cut to fit. */
bool
fci_table_next_item(const char **list, char *item, size_t size)
{
    const char *start = *list, *end;

    if (!start)
        return false;
    end = start + strcspn(start, ",");
    *list = *end ? end + 1 : NULL;
    while (start < end && *start == ' ')
        start++;
    while (end > start && end[-1] == ' ')
        end--;
    snprintf(item, size, "%.*s", (int)(end - start), start);
    return true;
}

/* "-" as NAN, else a figure; false: neither, `why` says so. */
bool
fci_table_figure_or_dash(const char *text, fc_dimension dimension,
                         double *value, struct fci_reason *why)
{
    fc_range figure;

    *value = (double)NAN;
    if (strcmp(text, "-") == 0)
        return true;
    if (!fci_read_figure(text, dimension, false, &figure, why))
        return false;
    *value = figure.nominal;
    if (fabs(*value) <= fci_largest(dimension))
        return true;
    snprintf(why->text, sizeof why->text,
             "\"%.40s\" is too large to be true; %s that a building can have "
             "is expected",
             text, fci_dimension_name(dimension));
    return false;
}
