/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/effects_water.c -- water a year, fixture by fixture. */
#include "report/effects_report.h"
#include "report/shapes.h"

static const struct fci_member use_rows[] = {
    FCI_TEXT(fc_fixture_use, valve, "valve",
             "Its flush valve; null: it has none"),
    FCI_RANGE(fc_fixture_use, uses, "uses", FC_NUMBER,
              "Of one valve in a year; null: not known"),
    FCI_RANGE(fc_fixture_use, flushes, "flushes", FC_NUMBER,
              "Of one valve in a year, hygiene flushes among them"),
    FCI_RANGE(fc_fixture_use, hygiene, "hygiene_flushes", FC_NUMBER,
              "Of those"),
    FCI_RANGE(fc_fixture_use, volume, "water", FC_WATER,
              "Through one valve in a year"),
};
static FCI_SHAPE(use_shape, "fixture_use", fc_fixture_use, use_rows,
                 "A flush valve over a year");

static const struct fci_member fixture_rows[] = {
    FCI_TEXT(fc_used_fixture, name, "name", "Its name"),
    FCI_INTEGER(fc_used_fixture, count, "count", "How many there are"),
    FCI_OBJECT(fc_used_fixture, states[FC_EXISTING], "existing", &use_shape,
               "Existing"),
    FCI_OBJECT(fc_used_fixture, states[FC_RETROFIT], "retrofit", &use_shape,
               "After retrofit"),
};
static FCI_SHAPE(fixture_shape, "used_fixture", fc_used_fixture, fixture_rows,
                 "A fixture over a year");

static const struct fci_member water_rows[] = {
    FCI_LIST(fc_water_use, fixtures, n_fixtures, "fixtures", &fixture_shape,
             "Fixtures with a flush valve"),
    FCI_RANGE(fc_water_use, volume[FC_EXISTING], "existing", FC_WATER,
              "All of them in a year, existing"),
    FCI_RANGE(fc_water_use, volume[FC_RETROFIT], "retrofit", FC_WATER,
              "The same after retrofit"),
    FCI_RANGE(fc_water_use, saved, "saved", FC_WATER,
              "Existing less retrofit"),
    FCI_TEXT(fc_water_use, weighs, "weighs_most",
             "What moves the saving most; null: nothing is a range"),
    FCI_RANGE(fc_water_use, saved_by_it, "saved_by_it", FC_WATER,
              "The saving over the range of that alone"),
    FCI_RANGE(fc_water_use, cost[FC_EXISTING], "cost_existing", FC_NUMBER,
              "Of the year; null: water has no price"),
    FCI_RANGE(fc_water_use, cost[FC_RETROFIT], "cost_retrofit", FC_NUMBER,
              "The same after retrofit"),
    FCI_RANGE(fc_water_use, cost_saved, "cost_saved", FC_NUMBER,
              "Existing less retrofit"),
    FCI_RANGE(fc_water_use, hygiene[FC_EXISTING], "hygiene_flushes_existing",
              FC_NUMBER, "Hygiene flushes of all valves in a year"),
    FCI_RANGE(fc_water_use, hygiene[FC_RETROFIT], "hygiene_flushes_retrofit",
              FC_NUMBER, "The same after retrofit"),
};
FCI_SHAPE(fci_water_use_shape, "water_use", fc_water_use, water_rows,
          "Water of flush valves in a year");

static void
add_range(struct fci_doc *doc, struct fci_grid *grid, fc_dimension dimension,
          fc_range range)
{
    fci_cell(grid, fci_figure_range(doc->units, dimension, range).text);
}

/* Fewer flushes than one in 200 years are none. */
static double
some_a_year(double flushes)
{
    return flushes < 0.005 ? 0 : flushes;
}

static void
put_state(struct fci_doc *doc, const fc_effects *effects, fc_state state)
{
    const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 8 },
        { "valves", "", FCI_RIGHT, 0 },
        { "uses\na year", "", FCI_RIGHT, 0 },
        { "flushes\na year", "", FCI_RIGHT, 0 },
        { "of them\nhygiene", "", FCI_RIGHT, 0 },
        { "water\na year", fc_unit_name(doc->units, FC_WATER), FCI_RIGHT, 0 },
    };
    struct fci_grid *grid = fci_grid_new(doc, columns, 6);

    for (size_t i = 0; i < effects->water->n_fixtures; i++) {
        const fc_used_fixture *f = &effects->water->fixtures[i];
        const fc_fixture_use *use = &f->states[state];
        fc_range hygiene = use->hygiene;

        if (!use->valve)
            continue;
        hygiene.nominal = some_a_year(hygiene.nominal);
        hygiene.low = some_a_year(hygiene.low);
        hygiene.high = some_a_year(hygiene.high);
        fci_cell(grid, f->name);
        fci_cell(grid, fci_figure_number(f->count, 0).text);
        add_range(doc, grid, FC_NUMBER, use->uses);
        add_range(doc, grid, FC_NUMBER, use->flushes);
        add_range(doc, grid, FC_NUMBER, hygiene);
        add_range(doc, grid, FC_WATER, use->volume);
    }
    fci_doc_heading(doc, "Use of each flush valve in a year%s",
                    fci_state_said(doc, state));
    fci_part_table(doc, grid, 1);
}

void
fci_effects_water_tables(struct fci_doc *doc, const fc_effects *effects)
{
    if (!effects->water)
        return;
    for (int s = 0; s < (effects->converted ? FC_STATES : 1); s++)
        put_state(doc, effects, (fc_state)s);
}
