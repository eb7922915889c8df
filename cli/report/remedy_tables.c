/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/remedy_tables.c -- pipes to replace, minima by floor, reducer
 * windows */
#include "page/figure.h"
#include "report/remedy_report.h"
#include "page/table.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- Pipes ------------------------------------------------------------ */

/* "1-1/2 in", and of what where it is another material. */
static struct figure
in_place(const fc_sized_pipe *p)
{
    struct figure f = { "-" };

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
remedy_pipes(struct page *page, const fc_remedies *remedies,
             const fc_remedy *remedy)
{
    const int decimals = remedies->by_prices ? 2 : 1; /* money has two */
    const fc_unit_system u = page->units;
    const struct column columns[] = {
        { "pipe", "", ALIGN_LEFT, 10 },
        { "material", "", ALIGN_LEFT, 8 },
        { "in place", "", ALIGN_LEFT, 0 },
        { "new", "", ALIGN_LEFT, 0 },
        { "length", fc_unit_name(u, FC_LENGTH), ALIGN_RIGHT, 0 },
        { "peak", fc_unit_name(u, FC_FLOW), ALIGN_RIGHT, 0 },
        { "velocity", fc_unit_name(u, FC_VELOCITY), ALIGN_RIGHT, 0 },
        { "loss", fc_unit_name(u, FC_PRESSURE), ALIGN_RIGHT, 0 },
        { "cost", "", ALIGN_RIGHT, 0 },
    };
    struct table table = table_new(columns, sizeof columns / sizeof *columns);

    for (size_t i = 0; i < remedy->n_pipes; i++) {
        const fc_sized_pipe *p = &remedy->pipes[i];

        table_add(&table, p->name);
        table_add(&table, p->material);
        table_add(&table, in_place(p).text);
        table_add(&table, p->size);
        table_add(&table, figure_of(u, FC_LENGTH, p->length).text);
        table_add(&table, figure_of(u, FC_FLOW, p->peak_flow).text);
        table_add(&table, figure_of(u, FC_VELOCITY, p->velocity).text);
        table_add(&table, figure_of(u, FC_PRESSURE, p->friction_loss).text);
        table_add(&table, figure_number(p->cost, decimals).text);
    }
    table_print(&table, page);
}

/* ---- Floors ----------------------------------------------------------- */

/* Down to the digit shown: what is printed must do. */
static struct figure
at_most(fc_unit_system units, double pressure)
{
    return figure_with(units, FC_PRESSURE, FC_DOWN, 0, pressure);
}

void
remedy_floors(struct page *page, const fc_remedies *remedies)
{
    const fc_unit_system u = page->units;
    const char *p = fc_unit_name(u, FC_PRESSURE);
    const struct column columns[] = {
        { "height", fc_unit_name(u, FC_LENGTH), ALIGN_RIGHT, 0 },
        { "least at", "", ALIGN_LEFT, 10 },
        { "minimum\nat most", p, ALIGN_RIGHT, 0 },
        { "valves\nask", p, ALIGN_RIGHT, 0 },
        { "the code\nasks", p, ALIGN_RIGHT, 0 },
    };
    struct table table;

    if (remedies->n_floors == 0)
        return;
    page_heading(page, "The highest minimum that works, by height");
    table = table_new(columns, sizeof columns / sizeof *columns);
    for (size_t i = 0; i < remedies->n_floors; i++) {
        const fc_floor_minimum *f = &remedies->floors[i];

        table_add(&table, figure_of(u, FC_LENGTH, f->elevation).text);
        table_add(&table, f->fixture);
        table_add_tinted(&table, at_most(u, f->most).text,
                         f->needed > f->most || f->code > f->most ? TINT_BAD
                                                                  : TINT_NONE);
        table_add(&table, figure_of(u, FC_PRESSURE, f->needed).text);
        table_add(&table, figure_of(u, FC_PRESSURE, f->code).text);
    }
    table_print(&table, page);
    page_say(
        page, 2, 2,
        "What is left at peak at the worst end, less any reserve: a valve "
        "there may need no more.");
}

/* ---- Reducers --------------------------------------------------------- */

/* The lowest setting, rounded up, and the highest, rounded down: what is
 * printed must do. */
static struct figure
at_least(fc_unit_system units, double pressure)
{
    return figure_with(units, FC_PRESSURE, FC_UP, 0, pressure);
}

static struct figure
bounded(fc_unit_system units, double pressure)
{
    struct figure any = { "any" };

    return isinf(pressure) ? any : at_most(units, pressure);
}

/* A name may be missing where nothing limits. */
static void
add_zone(struct table *table, const struct page *page,
         const fc_reducer_zone *zone)
{
    const bool low = zone->short_first != NULL;

    table_add(table, low ? at_least(page->units, zone->low).text : "-");
    table_add_tinted(table, bounded(page->units, zone->high).text,
                     zone->possible ? TINT_NONE : TINT_BAD);
    table_add(table, low ? zone->short_first : "-");
    table_add(table, zone->high_first ? zone->high_first : "-");
}

static void
print_windows(struct page *page, const fc_remedies *remedies)
{
    const char *p = fc_unit_name(page->units, FC_PRESSURE);
    const struct column columns[] = {
        { "reducer", "", ALIGN_LEFT, 10 },
        { "set", p, ALIGN_RIGHT, 0 },
        { "at least", p, ALIGN_RIGHT, 0 },
        { "at most", p, ALIGN_RIGHT, 0 },
        { "below: short", "", ALIGN_LEFT, 12 },
        { "above: too much", "", ALIGN_LEFT, 12 },
    };
    struct table table = table_new(columns, sizeof columns / sizeof *columns);

    for (size_t i = 0; i < remedies->n_windows; i++) {
        const fc_reducer_window *w = &remedies->windows[i];

        table_add(&table, w->reducer ? w->reducer : "none yet");
        table_add(&table, figure_range(page->units, FC_PRESSURE, w->set).text);
        add_zone(&table, page, &w->all);
    }
    table_print(&table, page);
    page_say(page, 2, 2,
             "Short at peak, with the reducer's fall-off; too much with no "
             "flow.");
}

static void
print_zones(struct page *page, const fc_reducer_window *w)
{
    const char *p = fc_unit_name(page->units, FC_PRESSURE);
    const char *l = fc_unit_name(page->units, FC_LENGTH);
    const struct column columns[] = {
        { "heights\nfrom", l, ALIGN_RIGHT, 0 },
        { "to", l, ALIGN_RIGHT, 0 },
        { "at least", p, ALIGN_RIGHT, 0 },
        { "at most", p, ALIGN_RIGHT, 0 },
        { "below: short", "", ALIGN_LEFT, 12 },
        { "above: too much", "", ALIGN_LEFT, 12 },
    };
    struct table table = table_new(columns, sizeof columns / sizeof *columns);

    for (size_t i = 0; i < w->n_zones; i++) {
        table_add(&table,
                  figure_of(page->units, FC_LENGTH, w->zones[i].lowest).text);
        table_add(&table,
                  figure_of(page->units, FC_LENGTH, w->zones[i].highest).text);
        add_zone(&table, page, &w->zones[i]);
    }
    table_print(&table, page);
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
say_window(struct page *page, const fc_reducer_window *w)
{
    const char *name = w->reducer ? w->reducer : "one";

    if (!w->reducer)
        page_say(page, 2, 4,
                 "There is no reducer, and some fixture has too much with no "
                 "flow; these are the settings of one behind %s.",
                 w->behind);
    if (figure_differs(page->units, FC_PRESSURE, w->set))
        page_say(page, 2, 4,
                 "The setting of %s is known to %s only; at least and at most "
                 "are the middles of settings that may be off as far.",
                 name,
                 figure_range_said(page->units, FC_PRESSURE, w->set).text);
    if (isnan(w->all.lowest))
        page_say(page, 2, 4, "No fixture is behind %s.", name);
    else if (w->all.short_first && w->all.low > w->reaches)
        page_say(page, 2, 4,
                 "However %s is set, it can pass no more than %s at peak.",
                 name, figure_said(page->units, FC_PRESSURE, w->reaches).text);
    if (w->all.possible || w->n_zones == 0)
        return;
    page_say(
        page, 2, 4,
        all_possible(w)
            ? "No setting of %s serves all. Split into so few zones, each "
              "with a reducer of its own:"
            : "No setting of %s serves all, nor even the fixtures at one "
              "height that have no setting here:",
        name);
    print_zones(page, w);
}

void
remedy_windows(struct page *page, const fc_remedies *remedies)
{
    if (remedies->n_windows == 0)
        return;
    page_heading(page, "Settings of pressure reducers");
    print_windows(page, remedies);
    for (size_t i = 0; i < remedies->n_windows; i++)
        say_window(page, &remedies->windows[i]);
}
