/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/part_text.c -- the struct of a part as keys and values. */
#include "variants/part_text.h"
#include "ini/ini_text.h"
#include "units/number.h"
#include "units/unit_table.h"

#include <float.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define LAST_BITS (4 * DBL_EPSILON)

/* One part under way, and the value that is being put together. */
struct writer {
    const struct fci_part *part;
    const char *data;
    fc_unit_system system;
    struct fci_arena *arena;
    fc_diagnostics *messages;
    const char *key; /* of the value */
    struct fci_section *section;
    char value[FCI_LONGEST_LINE + 1];
    size_t used;
    fc_status status; /* the first failure */
};

static void
blame(struct writer *w, const char *what)
{
    if (w->status == FC_OK)
        w->status =
            fci_part_fail(w->part, w->messages, w->key,
                          "%s, which a site file has no way to put", what);
}

/* More of the value. */
static void put(struct writer *w, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void
put(struct writer *w, const char *format, ...)
{
    const size_t room = sizeof w->value - w->used;
    va_list args;
    int n;

    va_start(args, format);
    n = vsnprintf(w->value + w->used, room, format, args);
    va_end(args);
    if (n < 0 || (size_t)n >= room)
        blame(w, "does not fit on one line");
    else
        w->used += (size_t)n;
}

/* ---- Figures ---------------------------------------------------------- */

/* A number and its unit, and what they are read as. */
struct written {
    char number[40];
    const char *unit;
    double si;
};

static struct written
written(double si, const struct fci_unit *unit, int digits)
{
    const double figure = si * unit->divide / unit->multiply - unit->shift;
    struct written w = { "", unit->name, 0 };
    const char *text = w.number;
    double number;

    snprintf(w.number, sizeof w.number, "%.*g", digits, figure);
    fci_plain_number(w.number);
    if (fci_read_number(&text, &number))
        w.si = fci_to_si(unit, number);
    return w;
}

static bool
is_close(double a, double b)
{
    return fabs(a - b) <= LAST_BITS * fmax(fabs(a), fabs(b));
}

/* In the first of the units whose ten digits tell it, or else with all digits
 * in the last. */
static struct written
written_in(const int *units, size_t n, double si)
{
    struct written w;
    size_t i;

    for (i = 0; i < n; i++) {
        w = written(si, &fci_units[units[i]], 10);
        if (is_close(w.si, si))
            return w;
    }
    return written(si, &fci_units[units[n - 1]], DBL_DECIMAL_DIG);
}

static void
put_figure(struct writer *w, fc_dimension dimension, double si)
{
    const struct fci_dimension *d = fci_dimension(dimension);
    const int us[] = { d->us, d->si }, metric[] = { d->si, d->us, d->si };
    const struct written text =
        w->system == FC_SI ? written_in(metric, 3, si) : written_in(us, 2, si);

    put(w, *text.unit ? "%s %s" : "%s%s", text.number, text.unit);
}

/* As the trade names it, where that is what it is. */
static void
put_size(struct writer *w, double si)
{
    const struct fci_shown label = fci_show(FC_US, FC_SIZE, si);
    fc_range read;

    if (fci_read_figure(label.text, FC_SIZE, false, &read, NULL)
        && is_close(read.nominal, si))
        put(w, "%s", label.text);
    else
        put_figure(w, FC_SIZE, si);
}

static void
put_end(struct writer *w, fc_dimension dimension, double si)
{
    if (dimension == FC_SIZE)
        put_size(w, si);
    else
        put_figure(w, dimension, si);
}

/* A range in a file has its nominal value in the middle; that of sizes is the
 * smaller. */
static void
put_range(struct writer *w, fc_dimension dimension, fc_range value)
{
    double nominal;

    if (!value.given)
        return;
    if (!(value.low < value.high)) {
        put_end(w, dimension, value.nominal);
        return;
    }
    nominal = dimension == FC_SIZE ? value.low
                                   : fc_between(value.low, value.high).nominal;
    if (fabs(value.nominal - nominal)
        > LAST_BITS * fmax(fabs(value.low), fabs(value.high)))
        blame(w, "is a range whose nominal value is not in the middle");
    put_end(w, dimension, value.low);
    put(w, " .. ");
    put_end(w, dimension, value.high);
}

static void
put_pair(struct writer *w, fc_dimension dimension, fc_range value,
         const char *between, fc_dimension second_dimension, fc_range second)
{
    if (!value.given)
        return;
    put_range(w, dimension, value);
    put(w, " %s ", between);
    put_range(w, second_dimension, second);
}

static void
put_deviation(struct writer *w, fc_dimension dimension,
              const fc_deviation *deviation)
{
    static const int percent[] = { FCI_PERCENT };

    if (deviation->given && deviation->is_fraction)
        put(w, "%s %%", written_in(percent, 1, deviation->amount).number);
    else if (deviation->given)
        put_figure(w, dimension, deviation->amount);
}

/* ---- Lists ------------------------------------------------------------ */

static void
put_comma(struct writer *w, size_t i)
{
    if (i > 0)
        put(w, ", ");
}

static void
put_points(struct writer *w, const fc_point *points, size_t n,
           fc_dimension dimension)
{
    size_t i;

    for (i = 0; i < n && w->status == FC_OK; i++) {
        put_comma(w, i);
        put_figure(w, FC_FLOW, points[i].x);
        put(w, " ");
        put_figure(w, dimension, points[i].y);
    }
}

static void
put_loss(struct writer *w, const fc_loss *loss)
{
    switch (loss->kind) {
    case FC_NO_LOSS:
        return;
    case FC_CONSTANT_LOSS:
        put_range(w, FC_PRESSURE, loss->pressure);
        return;
    case FC_SQUARE_LOSS:
        put_pair(w, FC_PRESSURE, loss->pressure, "at", FC_FLOW, loss->flow);
        return;
    case FC_CURVE_LOSS:
        put_points(w, loss->points, loss->n_points, FC_PRESSURE);
        return;
    }
}

static void
put_fittings(struct writer *w, const fc_pipe *pipe)
{
    size_t i;

    for (i = 0; i < pipe->n_fittings && w->status == FC_OK; i++) {
        put_comma(w, i);
        put(w, "%d %s", pipe->fittings[i].count, pipe->fittings[i].name);
    }
}

static void
put_names(struct writer *w, const fc_heater *heater)
{
    size_t i;

    for (i = 0; i < heater->n_serves && w->status == FC_OK; i++) {
        put_comma(w, i);
        put(w, "%s", heater->serves[i]);
    }
}

static void
put_flushing(struct writer *w, const fc_flushing *flushing, size_t n)
{
    size_t i;

    for (i = 0; i < n && w->status == FC_OK; i++) {
        put_comma(w, i);
        if (flushing[i].count)
            put(w, "%d of ", flushing[i].count);
        put(w, "%s", flushing[i].fixture);
    }
}

static void
put_while(struct writer *w, const fc_claim *claim)
{
    if (claim->condition == FC_WHILE_ALONE)
        put(w, "alone");
    else if (claim->condition == FC_WHILE_PEAK)
        put(w, "peak");
    else if (claim->n_flushing == 0)
        put(w, "none");
    else
        put_flushing(w, claim->flushing, claim->n_flushing);
}

/* ---- Words ------------------------------------------------------------ */

/* A text of any sort from a call may be no line of text. */
static void
put_text(struct writer *w, const char *text)
{
    char plain[FCI_LONGEST_LINE + 1];
    struct fci_not_text wrong;
    size_t n = text ? strlen(text) : 0;

    if (n > FCI_LONGEST_LINE)
        blame(w, "does not fit on one line");
    else if (text && strstr(text, "{floor"))
        blame(w, "holds {floor} outside a typical floor");
    else if (!fci_plain_line(text ? text : "", n, plain, &wrong))
        blame(w, "has more than one line or a control character, or is no "
                 "text in UTF-8");
    else
        put(w, "%s", fci_trimmed(plain));
}

/* The first word of most is what stands where none is given. */
static void
put_choice(struct writer *w, const struct fci_field *field, int choice)
{
    if (choice > 0)
        put(w, "%s", field->choices[(size_t)choice - field->second]);
}

/* ---- Fields ----------------------------------------------------------- */

/* A member of the struct. */
#define AT(w, offset, type)                                                   \
    ((const type *)(const void *)((w)->data + (offset)))

static void
put_count(struct writer *w, int count)
{
    if (count)
        put(w, "%d", count);
}

static void
put_answer(struct writer *w, fc_answer answer)
{
    if (answer != FC_NOT_SAID)
        put(w, answer == FC_YES ? "yes" : "no");
}

static void
put_size_or_choose(struct writer *w, const struct fci_field *f)
{
    if (*AT(w, f->second, bool))
        put(w, "choose");
    else
        put_range(w, f->dimension, *AT(w, f->offset, fc_range));
}

static void
put_figure_at(struct writer *w, const struct fci_field *f)
{
    const fc_range *figure = AT(w, f->offset, fc_range);

    if (f->dimension != FC_FLOW && figure->low < figure->high)
        blame(w, "is a range");
    put_pair(w, f->dimension, *figure, fci_field_between(f),
             f->second_dimension, *AT(w, f->second, fc_range));
}

static void
put_field(struct writer *w, const struct fci_field *f)
{
    switch (f->type) {
    case FCI_TEXT:
    case FCI_NAME:
        put_text(w, *AT(w, f->offset, char *));
        break;
    case FCI_SIZE_OR_CHOOSE:
        put_size_or_choose(w, f);
        break;
    case FCI_FIGURE:
    case FCI_RANGE:
        put_range(w, f->dimension, *AT(w, f->offset, fc_range));
        break;
    case FCI_COUNT:
        put_count(w, *AT(w, f->offset, int));
        break;
    case FCI_YES_NO:
        put_answer(w, *AT(w, f->offset, fc_answer));
        break;
    case FCI_CHOICE:
        put_choice(w, f, *AT(w, f->offset, int));
        break;
    case FCI_LOSS:
        put_loss(w, AT(w, f->offset, fc_loss));
        break;
    case FCI_POINTS:
        put_points(w, *AT(w, f->offset, fc_point *), *AT(w, f->second, size_t),
                   f->second_dimension);
        break;
    case FCI_FIGURE_AT:
        put_figure_at(w, f);
        break;
    case FCI_FITTINGS:
        put_fittings(w, AT(w, 0, fc_pipe));
        break;
    case FCI_NAMES:
        put_names(w, AT(w, 0, fc_heater));
        break;
    case FCI_FLUSHING:
        put_flushing(w, *AT(w, f->offset, fc_flushing *),
                     *AT(w, f->second, size_t));
        break;
    case FCI_DEVIATION:
        put_deviation(w, f->dimension, AT(w, f->offset, fc_deviation));
        break;
    case FCI_WHILE:
        put_while(w, AT(w, 0, fc_claim));
        break;
    case FCI_SKIP:
        break;
    }
}

/* ---- A section -------------------------------------------------------- */

/* Keep what was put together as the value of the key, if it is anything. */
static void
end_value(struct writer *w)
{
    struct fci_entry *entry = &w->section->entries[w->section->n_entries];

    if (w->status != FC_OK || w->used == 0)
        return;
    entry->key = w->key;
    entry->value = fci_arena_string(w->arena, w->value);
    if (!entry->value)
        w->status = FC_ENOMEM;
    w->section->n_entries++;
    w->used = 0;
}

static void
put_prices(struct writer *w, const fc_prices *prices)
{
    size_t i;

    for (i = 0; i < prices->n_prices && w->status == FC_OK; i++) {
        w->key = "size";
        put_range(w, FC_SIZE, prices->prices[i].size);
        w->key = fci_arena_string(w->arena, w->value);
        w->used = 0;
        if (!w->key)
            w->status = FC_ENOMEM;
        put_figure(w, FC_NUMBER, prices->prices[i].per_length);
        end_value(w);
    }
}

static bool
begin_section(struct writer *w)
{
    const struct fci_part_kind *kind = &fci_part_kinds[w->part->kind];
    size_t room = kind->n_fields;

    if (w->part->kind == FCI_PRICES)
        room += AT(w, 0, fc_prices)->n_prices;
    w->section = fci_arena_alloc(w->arena, sizeof *w->section);
    if (!w->section)
        return false;
    w->section->kind = kind->word;
    w->section->name = fci_arena_string(w->arena, w->part->name);
    w->section->entries =
        fci_arena_array(w->arena, room, sizeof *w->section->entries);
    return w->section->name && w->section->entries;
}

fc_status
fci_part_section(const struct fci_part *part, const void *data,
                 fc_unit_system system, struct fci_arena *arena,
                 struct fci_section **section, fc_diagnostics *messages)
{
    const struct fci_part_kind *kind = &fci_part_kinds[part->kind];
    struct writer w = { .part = part,
                        .data = data,
                        .system = system,
                        .arena = arena,
                        .messages = messages };
    size_t i;

    if (!begin_section(&w))
        return FC_ENOMEM;
    for (i = 0; i < kind->n_fields && w.status == FC_OK; i++) {
        w.key = kind->fields[i].key;
        put_field(&w, &kind->fields[i]);
        end_value(&w);
    }
    if (part->kind == FCI_PRICES)
        put_prices(&w, data);
    if (w.status == FC_OK)
        *section = w.section;
    return w.status;
}
