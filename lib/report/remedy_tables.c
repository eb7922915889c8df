/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/remedy_tables.c -- pipes to replace, minima by floor, set
 * pressures of PRVs */
#include "page/figure.h"
#include "report/remedy_report.h"

#include <gsl/gsl_const_mksa.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- Pipes ------------------------------------------------------------ */

/* "1-1/2 in", and of what where it is another material. */
static struct fci_figure
in_place(const fc_sized_pipe *p)
{
    struct fci_figure f = { "-" };

    if (!p->previous_size)
        return f;
    if (strcmp(p->previous_material, p->material) == 0)
        snprintf(f.text, sizeof f.text, "%.20s", p->previous_size);
    else
        snprintf(f.text, sizeof f.text, "%.12s %.30s", p->previous_size,
                 p->previous_material);
    return f;
}

void
fci_remedy_pipes(struct fci_doc *doc, const fc_remedies *remedies,
                 const fc_remedy *remedy)
{
    const int decimals = remedies->by_prices ? 2 : 1; /* money has two */
    const fc_unit_system u = doc->units;
    const struct fci_doc_column columns[] = {
        { "pipe", "", FCI_LEFT, 10 },
        { "material", "", FCI_LEFT, 8 },
        { "in place", "", FCI_LEFT, 0 },
        { "new", "", FCI_LEFT, 0 },
        { "length", fc_unit_name(u, FC_LENGTH), FCI_RIGHT, 0 },
        { "peak", fc_unit_name(u, FC_FLOW), FCI_RIGHT, 0 },
        { "velocity", fc_unit_name(u, FC_VELOCITY), FCI_RIGHT, 0 },
        { "loss", fc_unit_name(u, FC_PRESSURE), FCI_RIGHT, 0 },
        { "cost", "", FCI_RIGHT, 0 },
    };
    struct fci_grid *table =
        fci_grid_new(doc, columns, sizeof columns / sizeof *columns);

    for (size_t i = 0; i < remedy->n_pipes; i++) {
        const fc_sized_pipe *p = &remedy->pipes[i];

        fci_cell(table, p->name);
        fci_cell(table, p->material);
        fci_cell(table, in_place(p).text);
        fci_cell(table, p->size);
        fci_cell(table, fci_figure_of(u, FC_LENGTH, p->length).text);
        fci_cell(table, fci_figure_of(u, FC_FLOW, p->peak_flow).text);
        fci_cell(table, fci_figure_of(u, FC_VELOCITY, p->velocity).text);
        fci_cell(table, fci_figure_of(u, FC_PRESSURE, p->friction_loss).text);
        fci_cell(table, fci_figure_number(p->cost, decimals).text);
    }
    fci_doc_put(doc, table);
}

/* ---- Psi for a foot of pipe ------------------------------------------- */

#define GAINS_SAID 12u

static const char *
way_said(fc_pipe_way way)
{
    return way == FC_LOOP          ? "loop"
           : way == FC_SECOND_PIPE ? "second pipe"
                                   : "larger";
}

/* Three digits: it is a small figure that is compared. */
static struct fci_figure
per_length(fc_unit_system units, double gain, double length)
{
    const double one =
        units == FC_US ? GSL_CONST_MKSA_PSI / GSL_CONST_MKSA_FOOT : 1e3;

    return fci_figure_number(gain / length / one, 3);
}

static void
put_gains(struct fci_doc *doc, const fc_remedies *remedies)
{
    const fc_unit_system u = doc->units;
    const char *p = fc_unit_name(u, FC_PRESSURE);
    const char *l = fc_unit_name(u, FC_LENGTH);
    const char *each = u == FC_US ? "psi/ft" : "kPa/m";
    const struct fci_doc_column columns[] = {
        { "new pipe", "", FCI_LEFT, 0 },
        { "where", "", FCI_LEFT, 16 },
        { "size", "", FCI_LEFT, 0 },
        { "length", l, FCI_RIGHT, 0 },
        { "gain\nat peak", p, FCI_RIGHT, 0 },
        { "\nthat is", each, FCI_RIGHT, 0 },
        { "gain\ntogether", p, FCI_RIGHT, 0 },
        { "\nthat is", each, FCI_RIGHT, 0 },
    };
    struct fci_grid *table =
        fci_grid_new(doc, columns, sizeof columns / sizeof *columns);

    for (size_t i = 0; i < remedies->n_gains && i < GAINS_SAID; i++) {
        const fc_pipe_gain *g = &remedies->gains[i];

        fci_cell(table, way_said(g->way));
        fci_cell(table, g->where);
        fci_cell(table, g->size ? g->size : "-");
        fci_cell(table, fci_figure_of(u, FC_LENGTH, g->length).text);
        fci_cell(table, fci_figure_of(u, FC_PRESSURE, g->gain).text);
        fci_cell(table, per_length(u, g->gain, g->length).text);
        fci_cell(table, fci_figure_of(u, FC_PRESSURE, g->together).text);
        fci_cell(table, per_length(u, g->together, g->length).text);
    }
    fci_doc_put(doc, table);
}

static bool
has_loop(const fc_remedies *remedies)
{
    for (size_t i = 0; i < remedies->n_gains && i < GAINS_SAID; i++)
        if (remedies->gains[i].way == FC_LOOP)
            return true;
    return false;
}

void
fci_remedy_gains(struct fci_doc *doc, const fc_remedies *remedies)
{
    if (remedies->n_gains == 0)
        return;
    fci_doc_heading(doc,
                    "What %s gains by new pipe, most for its length first",
                    remedies->governing);
    put_gains(doc, remedies);
    fci_doc_say(doc, "At peak: worst case. The next size up; a second pipe as "
                     "large as those that it runs beside, and as long.");
    if (remedies->together == 0)
        return;
    if (remedies->together == 1)
        fci_doc_say(doc, "Together: nominal, while it flushes alone.");
    else
        fci_doc_say(doc,
                    "Together: nominal, while the %d valves flush that starve "
                    "it.",
                    remedies->together);
    if (has_loop(remedies))
        fci_doc_say(doc, "What a loop gains at peak is not known: fixture "
                         "units add up along branches only. A loop counts as "
                         "long as the pipes that join its ends now.");
}

/* ---- Floors ----------------------------------------------------------- */

/* Down to the digit shown: what is printed must do. */
static struct fci_figure
at_most(fc_unit_system units, double pressure)
{
    return fci_figure_with(units, FC_PRESSURE, FC_DOWN, 0, pressure);
}

void
fci_remedy_floors(struct fci_doc *doc, const fc_remedies *remedies)
{
    const fc_unit_system u = doc->units;
    const char *p = fc_unit_name(u, FC_PRESSURE);
    const struct fci_doc_column columns[] = {
        { "elevation", fc_unit_name(u, FC_LENGTH), FCI_RIGHT, 0 },
        { "least at", "", FCI_LEFT, 10 },
        { "minimum\nat most", p, FCI_RIGHT, 0 },
        { "valves\nrequire", p, FCI_RIGHT, 0 },
        { "code\nminimum", p, FCI_RIGHT, 0 },
    };
    struct fci_grid *table;

    if (remedies->n_floors == 0)
        return;
    fci_doc_heading(doc, "The highest valve minimum that works, by elevation");
    table = fci_grid_new(doc, columns, sizeof columns / sizeof *columns);
    for (size_t i = 0; i < remedies->n_floors; i++) {
        const fc_floor_minimum *f = &remedies->floors[i];

        fci_cell(table, fci_figure_of(u, FC_LENGTH, f->elevation).text);
        fci_cell(table, f->fixture);
        fci_cell_tinted(table, at_most(u, f->most).text,
                        f->needed > f->most || f->code > f->most
                            ? FCI_BAD
                            : FCI_PLAIN_TINT);
        fci_cell(table, fci_figure_of(u, FC_PRESSURE, f->needed).text);
        fci_cell(table, fci_figure_of(u, FC_PRESSURE, f->code).text);
    }
    fci_doc_put(doc, table);
    fci_doc_say(
        doc,
        "Residual at peak, worst case, less any reserve: the most a valve "
        "there may require.");
}

/* ---- PRVs --------------------------------------------------------- */

/* The lowest setting, rounded up, and the highest, rounded down: what is
 * printed must do. */
static struct fci_figure
at_least(fc_unit_system units, double pressure)
{
    return fci_figure_with(units, FC_PRESSURE, FC_UP, 0, pressure);
}

static struct fci_figure
bounded(fc_unit_system units, double pressure)
{
    struct fci_figure any = { "any" };

    return isinf(pressure) ? any : at_most(units, pressure);
}

/* A name may be missing where nothing limits. */
static void
add_zone(struct fci_grid *table, const struct fci_doc *doc,
         const fc_reducer_zone *zone)
{
    const bool low = zone->short_first != NULL;

    fci_cell(table, low ? at_least(doc->units, zone->low).text : "-");
    fci_cell_tinted(table, bounded(doc->units, zone->high).text,
                    zone->possible ? FCI_PLAIN_TINT : FCI_BAD);
    fci_cell(table, low ? zone->short_first : "-");
    fci_cell(table, zone->high_first ? zone->high_first : "-");
}

static void
print_windows(struct fci_doc *doc, const fc_remedies *remedies)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column columns[] = {
        { "PRV", "", FCI_LEFT, 10 },
        { "set", p, FCI_RIGHT, 0 },
        { "at least", p, FCI_RIGHT, 0 },
        { "at most", p, FCI_RIGHT, 0 },
        { "below: short", "", FCI_LEFT, 12 },
        { "above: too much", "", FCI_LEFT, 12 },
    };
    struct fci_grid *table =
        fci_grid_new(doc, columns, sizeof columns / sizeof *columns);

    for (size_t i = 0; i < remedies->n_windows; i++) {
        const fc_reducer_window *w = &remedies->windows[i];

        fci_cell(table, w->reducer ? w->reducer : "none yet");
        fci_cell(table,
                 fci_figure_range(doc->units, FC_PRESSURE, w->set).text);
        add_zone(table, doc, &w->all);
    }
    fci_doc_put(doc, table);
    fci_doc_say(doc,
                "Short at peak, with the PRV's fall-off; too much static.");
}

static void
print_zones(struct fci_doc *doc, const fc_reducer_window *w)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const char *l = fc_unit_name(doc->units, FC_LENGTH);
    const struct fci_doc_column columns[] = {
        { "elevation\nfrom", l, FCI_RIGHT, 0 },
        { "to", l, FCI_RIGHT, 0 },
        { "at least", p, FCI_RIGHT, 0 },
        { "at most", p, FCI_RIGHT, 0 },
        { "below: short", "", FCI_LEFT, 12 },
        { "above: too much", "", FCI_LEFT, 12 },
    };
    struct fci_grid *table =
        fci_grid_new(doc, columns, sizeof columns / sizeof *columns);

    for (size_t i = 0; i < w->n_zones; i++) {
        fci_cell(
            table,
            fci_figure_of(doc->units, FC_LENGTH, w->zones[i].lowest).text);
        fci_cell(
            table,
            fci_figure_of(doc->units, FC_LENGTH, w->zones[i].highest).text);
        add_zone(table, doc, &w->zones[i]);
    }
    fci_doc_put(doc, table);
}

static bool
all_possible(const fc_reducer_window *w)
{
    for (size_t i = 0; i < w->n_zones; i++)
        if (!w->zones[i].possible)
            return false;
    return true;
}

/* What the table does not tell of one. */
static void
say_window(struct fci_doc *doc, const fc_reducer_window *w)
{
    const char *name = w->reducer ? w->reducer : "one";

    if (!w->reducer)
        fci_doc_say(doc,
                    "There is no PRV, and some fixture has too much static: "
                    "set pressures "
                    "of a PRV downstream of %s.",
                    w->behind);
    if (fci_figure_differs(doc->units, FC_PRESSURE, w->set))
        fci_doc_say(
            doc,
            "The set pressure of %s is known to %s only; at least and at most "
            "are midpoints that may be off as far.",
            name, fci_figure_range_said(doc->units, FC_PRESSURE, w->set).text);
    if (isnan(w->all.lowest))
        fci_doc_say(doc, "No fixture is downstream of %s.", name);
    else if (w->all.short_first && w->all.low > w->reaches)
        fci_doc_say(
            doc, "However %s is set, it can pass no more than %s at peak.",
            name, fci_figure_said(doc->units, FC_PRESSURE, w->reaches).text);
    if (w->all.possible || w->n_zones == 0)
        return;
    fci_doc_say(
        doc,
        all_possible(w)
            ? "No set pressure of %s serves all. Split into so few zones, "
              "each "
              "with a PRV of its own:"
            : "No set pressure of %s serves all, nor even the fixtures at one "
              "elevation that have none here:",
        name);
    print_zones(doc, w);
}

void
fci_remedy_windows(struct fci_doc *doc, const fc_remedies *remedies)
{
    if (remedies->n_windows == 0)
        return;
    fci_doc_heading(doc, "Set pressures of PRVs");
    print_windows(doc, remedies);
    for (size_t i = 0; i < remedies->n_windows; i++)
        say_window(doc, &remedies->windows[i]);
}
