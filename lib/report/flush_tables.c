/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/flush_tables.c -- what each gauge reads: valves, other
 * fixtures, and the elements on the way. */
#include "page/figure.h"
#include "report/flush_report.h"
#include "report/shared.h"
#include "report/words.h"

#include <math.h>

fc_range
fci_flush_margin(const fc_flush_fixture *f)
{
    fc_range margin = { 0 };

    margin.given = f->pressure.given && f->required.given;
    margin.nominal = f->pressure.nominal - f->required.nominal;
    margin.low = f->pressure.low - f->required.high;
    margin.high = f->pressure.high - f->required.low;
    return margin;
}

bool
fci_flush_ranges(const fc_flush_result *result)
{
    for (size_t i = 0; i < result->n_fixtures; i++)
        if (fci_figure_differs(result->units, FC_PRESSURE,
                               result->fixtures[i].pressure))
            return true;
    return false;
}

static void
add_pressure(struct fci_grid *table, const struct fci_doc *doc, double si)
{
    fci_cell(table, fci_figure_of(doc->units, FC_PRESSURE, si).text);
}

/* "short" is what this verdict says of a valve. */
static const char *
enough_word(const fc_flush_fixture *f)
{
    return !f->required.given            ? "no minimum"
           : f->enough == FC_WORKS       ? "works"
           : f->enough == FC_CANNOT_TELL ? "cannot tell"
                                         : "short";
}

static void
add_flushing(struct fci_grid *table, const struct fci_doc *doc,
             const fc_flush_fixture *f, bool ranges)
{
    fc_unit_system u = doc->units;
    enum fci_tint tint =
        f->required.given ? fci_verdict_tint(f->enough) : FCI_PLAIN_TINT;
    struct fci_figure margin =
        fci_figure_margin_range(u, FC_PRESSURE, fci_flush_margin(f));
    char open[32];

    snprintf(open, sizeof open, "%d of %d", f->flushing, f->count);
    fci_cell(table, f->name);
    fci_cell(table, open);
    fci_cell(table, fci_figure_range(u, FC_FLOW, f->flow).text);
    fci_cell(table, fci_figure_range(u, FC_PRESSURE, f->still).text);
    fci_cell(table, fci_figure_range(u, FC_PRESSURE, f->pressure).text);
    fci_cell(table, fci_figure_range(u, FC_PRESSURE, f->required).text);
    if (ranges) { /* there is no room for a word */
        fci_cell_tinted(table, margin.text, tint);
    } else {
        fci_cell(table, margin.text);
        fci_cell_tinted(table, enough_word(f), tint);
    }
}

static void
print_flushing(struct fci_doc *doc, const fc_flush_result *result, bool ranges)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const char *q = fc_unit_name(doc->units, FC_FLOW);
    const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 10 },     { "open", "", FCI_LEFT, 0 },
        { "flow\nof one", q, FCI_RIGHT, 0 }, { "static", p, FCI_RIGHT, 0 },
        { "flowing", p, FCI_RIGHT, 0 },      { "required", p, FCI_RIGHT, 0 },
        { "margin", p, FCI_RIGHT, 0 },       { "verdict", "", FCI_LEFT, 0 },
    };
    struct fci_grid *table = fci_grid_new(doc, columns, ranges ? 7 : 8);

    fci_doc_heading(doc, "Valves that flush");
    for (size_t i = 0; i < result->n_fixtures; i++)
        if (result->fixtures[i].flushing > 0)
            add_flushing(table, doc, &result->fixtures[i], ranges);
    fci_part_table(doc, table, 1);
    fci_doc_say(doc,
                "Flowing: at the inlet of the valve, where a gauge would read "
                "it. Required: the valve minimum, or the code minimum where "
                "that is more and the valve flushes alone. A negative margin "
                "is short.");
}

static void
print_others(struct fci_doc *doc, const fc_flush_result *result, bool ranges)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const char *l = fc_unit_name(doc->units, FC_LENGTH);
    const struct fci_doc_column name = { "fixture", "", FCI_LEFT, 10 };
    const struct fci_doc_column kind = { "kind", "", FCI_LEFT, 12 };
    const struct fci_doc_column height = { "elevation", l, FCI_RIGHT, 0 };
    const struct fci_doc_column still = { "static", p, FCI_RIGHT, 0 };
    const struct fci_doc_column now = { "residual", p, FCI_RIGHT, 0 };
    const struct fci_doc_column drop = { "drop", p, FCI_RIGHT, 0 };
    const struct fci_doc_column ends = { "low..high", p, FCI_RIGHT, 0 };
    const struct fci_doc_column columns[] = { name, kind, height, still,
                                              now,  drop, ends };
    struct fci_grid *table = fci_grid_new(doc, columns, ranges ? 7 : 6);

    fci_doc_heading(doc, "Other fixtures meanwhile");
    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_flush_fixture *f = &result->fixtures[i];

        if (f->flushing > 0)
            continue;
        fci_cell(table, f->name);
        fci_cell(table, f->kind);
        fci_cell(table,
                 fci_figure_of(doc->units, FC_LENGTH, f->elevation).text);
        add_pressure(table, doc, f->still.nominal);
        add_pressure(table, doc, f->pressure.nominal);
        fci_cell(table,
                 fci_figure_margin(doc->units, FC_PRESSURE,
                                   f->still.nominal - f->pressure.nominal)
                     .text);
        if (ranges)
            fci_cell(
                table,
                fci_figure_range(doc->units, FC_PRESSURE, f->pressure).text);
    }
    fci_part_table(doc, table, 1);
}

static void
print_elements(struct fci_doc *doc, const fc_flush_result *result)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column columns[] = {
        { "element", "", FCI_LEFT, 10 },
        { "kind", "", FCI_LEFT, 0 },
        { "elevation", fc_unit_name(doc->units, FC_LENGTH), FCI_RIGHT, 0 },
        { "flow", fc_unit_name(doc->units, FC_FLOW), FCI_RIGHT, 0 },
        { "velocity", fc_unit_name(doc->units, FC_VELOCITY), FCI_RIGHT, 0 },
        { "static", p, FCI_RIGHT, 0 },
        { "residual", p, FCI_RIGHT, 0 },
        { "drop", p, FCI_RIGHT, 0 },
    };
    struct fci_grid *table =
        fci_grid_new(doc, columns, sizeof columns / sizeof *columns);

    fci_doc_heading(doc, "At the outlet of each element");
    for (size_t i = 0; i < result->n_elements; i++) {
        const fc_flush_element *e = &result->elements[i];

        fci_cell(table, e->name);
        fci_cell(table, e->kind);
        fci_cell(table,
                 fci_figure_of(doc->units, FC_LENGTH, e->elevation).text);
        fci_cell(table, fci_figure_of(doc->units, FC_FLOW, e->flow).text);
        fci_cell(
            table,
            isnan(e->velocity)
                ? ""
                : fci_figure_of(doc->units, FC_VELOCITY, e->velocity).text);
        add_pressure(table, doc, e->still);
        add_pressure(table, doc, e->pressure);
        fci_cell(table, fci_figure_margin(doc->units, FC_PRESSURE,
                                          e->still - e->pressure)
                            .text);
    }
    fci_part_table(doc, table, 1);
    fci_doc_say(doc, "Pressures at the elevation given.");
}

static bool
any_turned(const fc_flush_result *result)
{
    for (size_t i = 0; i < result->n_elements; i++)
        if (result->elements[i].flow < 0.0)
            return true;
    return false;
}

void
fci_flush_tables(struct fci_doc *doc, const fc_flush_result *result)
{
    bool ranges = fci_flush_ranges(result);
    size_t others = 0;

    for (size_t i = 0; i < result->n_fixtures; i++)
        others += result->fixtures[i].flushing == 0;
    if (result->flushing > 0)
        print_flushing(doc, result, ranges);
    if (others > 0)
        print_others(doc, result, ranges);
    print_elements(doc, result);
    if (any_turned(result))
        fci_doc_say(doc, "A negative flow runs backward through the element.");
    if (ranges)
        fci_doc_say(doc,
                    "Single figures are at midpoint values of the ranges.");
}
