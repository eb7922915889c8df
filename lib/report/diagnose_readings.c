/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/diagnose_readings.c -- the readings against the file, what was
 * seen, and what the readings say of ranges. */
#include "report/diagnose_report.h"
#include "page/screen.h"

#include <math.h>
#include <string.h>

/* ---- Figures and words ------------------------------------------------- */

struct fci_figure
fci_figure_span(fc_unit_system units, fc_dimension dimension, double low,
                double high)
{
    const struct fci_figure from = fci_figure_of(units, dimension, low);
    const char *unit = fc_unit_name(units, dimension);
    struct fci_figure to = fci_figure_of(units, dimension, high);
    struct fci_figure span;

    if (strcmp(from.text, to.text) == 0)
        snprintf(span.text, sizeof span.text, "%.20s", from.text);
    else
        snprintf(span.text, sizeof span.text, "%.15s to %.15s", from.text,
                 to.text);
    if (*unit)
        snprintf(span.text + strlen(span.text),
                 sizeof span.text - strlen(span.text), " %.8s", unit);
    return span;
}

const char *
fci_sight_said(fc_sight sight)
{
    static const char *const said[] = {
        [FC_SEEN_NOTHING] = "",           [FC_SEEN_OPEN] = "fully open",
        [FC_SEEN_SHUT] = "partly closed", [FC_SEEN_CLEAN] = "clean",
        [FC_SEEN_CLOGGED] = "clogged",    [FC_SEEN_TURNING] = "turning",
        [FC_SEEN_STILL] = "still",
    };

    return said[sight];
}

/* ---- The readings ------------------------------------------------------ */

#define READ_COLUMNS 8

/* A table of readings of one dimension, or of both with a column for the
 * unit. */
static struct fci_grid *
read_table(struct fci_doc *doc, fc_dimension dimension, bool both)
{
    const char *unit = both ? "" : fc_unit_name(doc->units, dimension);
    const struct fci_doc_column columns[READ_COLUMNS] = {
        { "reading", "", FCI_LEFT, 8 },
        { "at", "", FCI_LEFT, 8 },
        { "open", "", FCI_LEFT, 9 },
        { "read", unit, FCI_RIGHT, 0 },
        { "by file", unit, FCI_RIGHT, 0 },
        { "off by", unit, FCI_RIGHT, 0 },
        { both || dimension == FC_FLOW ? "may be off" : "gauge +/-", unit,
          FCI_RIGHT, 0 },
        { "", "", FCI_LEFT, 0 },
    };

    return fci_grid_new(doc, columns, READ_COLUMNS - !both);
}

static void
add_reading(struct fci_grid *table, fc_unit_system u,
            const fc_explained_reading *r, bool both)
{
    fci_cell(table, r->name);
    fci_cell(table, r->at);
    fci_cell(table, r->flushing);
    fci_cell(table, fci_figure_of(u, r->dimension, r->read).text);
    fci_cell(table, fci_figure_of(u, r->dimension, r->expected).text);
    fci_cell_tinted(table,
                    fci_figure_margin(u, r->dimension, r->difference).text,
                    r->as_described ? FCI_PLAIN_TINT : FCI_BAD);
    fci_cell(table, fci_figure_of(u, r->dimension, r->within).text);
    if (both)
        fci_cell(table, fc_unit_name(u, r->dimension));
}

/* Those of one dimension, if there are any, in the order of the site. */
static bool
put_all(struct fci_doc *doc, const fc_diagnosis *d, fc_dimension dimension,
        const char *heading)
{
    struct fci_grid *table = read_table(doc, dimension, false);

    for (size_t i = 0; i < d->n_readings; i++)
        if (d->readings[i].dimension == dimension)
            add_reading(table, doc->units, &d->readings[i], false);
    if (fci_grid_is_empty(table))
        return false;
    fci_doc_heading(doc, "%s", heading);
    fci_doc_put(doc, table);
    return true;
}

/* How far off it is, by what it may be off. */
static double
off_by(const void *what, size_t i)
{
    const fc_explained_reading *r = &((const fc_diagnosis *)what)->readings[i];

    return fabs(r->difference) / r->within;
}

static void
say_others(struct fci_doc *doc, const fc_diagnosis *d, const size_t *order,
           size_t from)
{
    size_t off = 0;

    for (size_t k = from; k < d->n_readings; k++)
        off += !d->readings[order[k]].as_described;
    fci_doc_say(doc, "and %zu more, %s, see --full", d->n_readings - from,
                off > 0 ? "no farther off" : "all as by the file");
}

#define LEAST_READINGS 3

static void
put_worst(struct fci_doc *doc, const fc_diagnosis *d, size_t most)
{
    const size_t *order = fci_screen_order(doc, d->n_readings, off_by, d);
    const fc_dimension dimension = d->readings[0].dimension;
    const size_t least = most > 0 ? LEAST_READINGS : LEAST_READINGS - 1;
    const size_t room = most < least ? least : most;
    const size_t n = d->n_readings < room + 2 ? d->n_readings : room;
    struct fci_grid *table;
    bool both = false;

    if (!order)
        return;
    for (size_t k = 0; k < n; k++)
        both |=
            d->readings[order[k]].dimension != d->readings[order[0]].dimension;
    table = read_table(doc, both ? dimension : d->readings[order[0]].dimension,
                       both);
    for (size_t k = 0; k < n; k++)
        add_reading(table, doc->units, &d->readings[order[k]], both);
    fci_doc_heading(doc, "Readings against the file at midpoint values%s",
                    d->n_readings > 1 ? ", the worst first" : "");
    fci_doc_put(doc, table);
    if (n < d->n_readings)
        say_others(doc, d, order, n);
}

/* Length, size and rise by tape, or what was seen. */
static void
add_look(struct fci_doc *doc, struct fci_grid *table, const fc_look *look)
{
    const struct {
        const char *what;
        fc_range range;
        fc_dimension dimension;
    } measures[] = {
        { "rise", look->rise, FC_LENGTH },
        { "length", look->length, FC_LENGTH },
        { "size", look->size, FC_SIZE },
    };
    const char *text = fci_sight_said(look->shows);

    for (size_t i = 0; i < sizeof measures / sizeof *measures && text; i++)
        if (measures[i].range.given)
            text = fci_arena_printf(
                &doc->arena, "%s%s%s %s", text, *text ? ", " : "",
                measures[i].what,
                fci_figure_span(doc->units, measures[i].dimension,
                                measures[i].range.low, measures[i].range.high)
                    .text);
    fci_cell(table, look->name);
    fci_cell(table, look->at);
    fci_cell(table, text);
}

static void
put_looks(struct fci_doc *doc, const fc_diagnosis *d)
{
    static const struct fci_doc_column columns[] = {
        { "look", "", FCI_LEFT, 8 },
        { "at", "", FCI_LEFT, 8 },
        { "seen or measured", "", FCI_LEFT, 20 },
    };
    struct fci_grid *table;

    if (d->n_looks == 0)
        return;
    fci_doc_heading(doc, "Looked at");
    table = fci_doc_table(doc, columns, 3);
    for (size_t i = 0; i < d->n_looks; i++)
        add_look(doc, table, &d->looks[i]);
}

/* A screen that is full has in place of them what was asked for by hand. */
void
fci_diagnose_readings(struct fci_doc *doc, const fc_diagnosis *d, size_t most)
{
    bool pressures;

    fci_doc_for(doc, FCI_IN_BRIEF);
    if (d->n_readings > 0 && (most > 0 || d->n_by_hand == 0))
        put_worst(doc, d, most);
    else if (d->n_readings > 0)
        fci_doc_say(doc, "Readings against the file: %zu, see --full.",
                    d->n_readings);
    fci_doc_for(doc, FCI_IN_DEPTH);
    pressures = put_all(doc, d, FC_PRESSURE,
                        "The readings, against the file at midpoint values");
    put_all(doc, d, FC_FLOW,
            pressures ? "Flows read"
                      : "Flows read, against the file at midpoint values");
    put_looks(doc, d);
    fci_doc_for(doc, FCI_IN_ALL);
}

/* ---- What is known as a range ------------------------------------------ */

/* A figure that fits only in the last part of its range at the end that is bad
 * for the valves. */
#define BAD_END 0.1

static bool
is_worse_when_high(const char *what)
{
    static const char *const high[] = { "drop", "rise", "length",
                                        "elevation" };

    for (size_t i = 0; i < sizeof high / sizeof *high; i++)
        if (strncmp(what, high[i], strlen(high[i])) == 0)
            return true;
    return false;
}

static double
given_width(const fc_learned *l)
{
    return l->given.high - l->given.low;
}

static bool
is_at_bad_end(const fc_learned *l)
{
    const double part = (l->value - l->given.low) / given_width(l);

    return is_worse_when_high(l->what) ? part > 1 - BAD_END : part < BAD_END;
}

/* What has no unit, a C apart, is a figure of the method alone. */
static bool
is_for_people(const fc_learned *l)
{
    return l->dimension != FC_NUMBER || strcmp(l->what, "C") == 0;
}

/* What is bad first, then what the readings say most of. */
static double
worth(const void *what, size_t i)
{
    const fc_learned *l = &((const fc_diagnosis *)what)->learned[i];

    if (!is_for_people(l))
        return -1;
    return is_at_bad_end(l) ? 2 : 1 - (l->high - l->low) / given_width(l);
}

static void
add_learned(struct fci_doc *doc, struct fci_grid *table, const fc_learned *l)
{
    const fc_unit_system u = doc->units;
    const double end =
        is_worse_when_high(l->what) ? l->given.high : l->given.low;

    fci_cell(table, fci_arena_printf(&doc->arena, "%s %s", l->name, l->what));
    if (is_at_bad_end(l))
        fci_cell_tinted(
            table,
            fci_arena_printf(&doc->arena, "only near %s",
                             fci_figure_span(u, l->dimension, end, end).text),
            FCI_BAD);
    else
        fci_cell(table,
                 fci_figure_span(u, l->dimension, l->value, l->value).text);
    fci_cell(table, fci_figure_span(u, l->dimension, l->low, l->high).text);
    fci_cell(
        table,
        fci_figure_span(u, l->dimension, l->given.low, l->given.high).text);
}

static void
put_learned(struct fci_doc *doc, const fc_diagnosis *d, const size_t *order,
            size_t n, unsigned forms)
{
    static const struct fci_doc_column columns[] = {
        { "", "", FCI_LEFT, 16 },
        { "about", "", FCI_RIGHT, 0 },
        { "95% sure", "", FCI_RIGHT, 0 },
        { "entered or usual", "", FCI_RIGHT, 0 },
    };
    struct fci_grid *table;

    fci_doc_for(doc, forms);
    table = fci_doc_table(doc, columns, 4);
    for (size_t k = 0; k < n; k++)
        add_learned(doc, table, &d->learned[order[k]]);
}

void
fci_diagnose_learned(struct fci_doc *doc, const fc_diagnosis *d, size_t most)
{
    const size_t *order = fci_screen_order(doc, d->n_learned, worth, d);
    size_t n = 0;

    for (size_t i = 0; i < d->n_learned; i++)
        n += is_for_people(&d->learned[i]);
    if (n == 0 || !order)
        return;
    fci_doc_for(doc, most > 0 ? FCI_IN_ALL : FCI_IN_DEPTH);
    fci_doc_heading(doc, "What the readings say of what is known as a range");
    if (n > most && most > 0)
        put_learned(doc, d, order, most, FCI_IN_BRIEF);
    put_learned(doc, d, order, n, n > most ? FCI_IN_DEPTH : FCI_IN_ALL);
    fci_screen_rest(doc, most > 0 ? n : 0, most);
}
