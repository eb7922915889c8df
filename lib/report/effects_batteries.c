/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/effects_batteries.c -- batteries, fixture by fixture and year by
 * year. */
#include "report/effects_report.h"
#include "report/shapes.h"

static const struct fci_member battery_rows[] = {
    FCI_TEXT(fc_battery, fixture, "fixture", "Of its sensor valves"),
    FCI_INTEGER(fc_battery, count, "count", "Valves, each with a set"),
    FCI_RANGE(fc_battery, flushes, "flushes", FC_NUMBER,
              "Of one valve in a year; null: not known"),
    FCI_RANGE(fc_battery, set, "flushes_of_set", FC_NUMBER,
              "That a set of batteries gives"),
    FCI_FLAG(fc_battery, set_usual, "flushes_of_set_usual",
             "As is usual; the file does not say"),
    FCI_RANGE(fc_battery, years, "years", FC_NUMBER,
              "That a set lasts; null: not known"),
    FCI_RANGE(fc_battery, sets, "sets", FC_NUMBER,
              "A year in the mean, of all valves of the fixture"),
};
static FCI_SHAPE(battery_shape, "battery", fc_battery, battery_rows,
                 "The batteries of a fixture");

static const struct fci_member year_rows[] = {
    FCI_INTEGER(fc_battery_year, year, "year", "How many years are over"),
    FCI_RANGE(fc_battery_year, sets, "sets", FC_NUMBER,
              "That have fallen due by then"),
};
static FCI_SHAPE(year_shape, "battery_year", fc_battery_year, year_rows,
                 "Sets of batteries that have fallen due");

static const struct fci_member batteries_rows[] = {
    FCI_LIST(fc_batteries, fixtures, n_fixtures, "fixtures", &battery_shape,
             "The soonest due first"),
    FCI_RANGE(fc_batteries, sets, "sets", FC_NUMBER,
              "A year in the mean, of the building"),
    FCI_RANGE(fc_batteries, cost, "cost", FC_NUMBER,
              "Of them; null: a set has no price"),
    FCI_LIST(fc_batteries, calendar, n_calendar, "calendar", &year_shape,
             "After all sets were new"),
};
FCI_SHAPE(fci_batteries_shape, "batteries", fc_batteries, batteries_rows,
          "Batteries of sensor valves");

static void
put_fixtures(struct fci_doc *doc, const fc_batteries *batteries)
{
    static const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 8 },
        { "valves", "", FCI_RIGHT, 0 },
        { "flushes\na year", "", FCI_RIGHT, 0 },
        { "flushes\nof a set", "", FCI_RIGHT, 0 },
        { "a set lasts\nyears", "", FCI_RIGHT, 0 },
        { "sets\na year", "", FCI_RIGHT, 0 },
    };
    struct fci_grid *grid = fci_grid_new(doc, columns, 6);

    for (size_t i = 0; i < batteries->n_fixtures; i++) {
        const fc_battery *b = &batteries->fixtures[i];

        fci_cell(grid, b->fixture);
        fci_cell(grid, fci_figure_number(b->count, 0).text);
        fci_cell(grid,
                 fci_figure_range(doc->units, FC_NUMBER, b->flushes).text);
        fci_cell(grid, fci_figure_range(doc->units, FC_NUMBER, b->set).text);
        fci_cell(grid, fci_figure_range(doc->units, FC_NUMBER, b->years).text);
        fci_cell(grid, fci_figure_range(doc->units, FC_NUMBER, b->sets).text);
    }
    fci_part_table(doc, grid, 1);
}

static void
put_calendar(struct fci_doc *doc, const fc_batteries *batteries)
{
    static const struct fci_doc_column columns[] = {
        { "after\nyears", "", FCI_RIGHT, 0 },
        { "sets due\nbest case", "", FCI_RIGHT, 0 },
        { "sets due\nmidpoint", "", FCI_RIGHT, 0 },
        { "sets due\nworst case", "", FCI_RIGHT, 0 },
    };
    struct fci_grid *grid = fci_grid_new(doc, columns, 4);

    for (size_t i = 0; i < batteries->n_calendar; i++) {
        const fc_battery_year *y = &batteries->calendar[i];

        fci_cell(grid, fci_figure_number(y->year, 0).text);
        fci_cell(grid, fci_figure_number(y->sets.low, 0).text);
        fci_cell(grid, fci_figure_number(y->sets.nominal, 0).text);
        fci_cell(grid, fci_figure_number(y->sets.high, 0).text);
    }
    fci_doc_put(doc, grid);
}

void
fci_effects_battery_tables(struct fci_doc *doc, const fc_effects *effects)
{
    const fc_batteries *batteries = effects->batteries[effects->state];

    if (!batteries || !batteries->sets.given)
        return;
    fci_doc_heading(doc, "Batteries%s", fci_state_said(doc, effects->state));
    put_fixtures(doc, batteries);
    if (batteries->n_calendar > 0
        && !(batteries->calendar[batteries->n_calendar - 1].sets.high > 0)) {
        fci_doc_say(doc, "No set falls due in %zu years.",
                    batteries->n_calendar);
        return;
    }
    fci_doc_say(doc, "Sets that fall due when all are new at the start, added "
                     "up over the years:");
    put_calendar(doc, batteries);
}
