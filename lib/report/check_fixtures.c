/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_fixtures.c -- the tables of fixtures: where they are, and
 * what they have at peak. */
#include "report/check_text.h"
#include "report/shared.h"
#include "report/words.h"

static void
put_places(struct fci_doc *doc, const fc_check_result *result)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const char *l = fc_unit_name(doc->units, FC_LENGTH);
    const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 10 },  { "kind", "", FCI_LEFT, 12 },
        { "on", "", FCI_LEFT, 8 },        { "count", "", FCI_RIGHT, 0 },
        { "elevation", l, FCI_RIGHT, 0 }, { "static", p, FCI_RIGHT, 0 },
    };
    struct fci_grid *grid =
        fci_grid_new(doc, columns, sizeof columns / sizeof *columns);

    fci_doc_heading(doc, "Fixtures");
    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_checked_fixture *f = &result->fixtures[i];

        fci_cell(grid, f->name);
        fci_cell(grid, f->kind);
        fci_cell(grid, f->on);
        fci_cell(grid, fci_count_text(doc, f));
        fci_cell(grid,
                 fci_figure_of(doc->units, FC_LENGTH, f->elevation).text);
        fci_cell(grid,
                 fci_figure_range(doc->units, FC_PRESSURE, f->static_pressure)
                     .text);
    }
    fci_part_table(doc, grid, 3);
}

static struct fci_row
row_of(fc_unit_system u, const fc_fixture_state *end)
{
    struct fci_row row = { 0 };

    fci_row_add(&row, fci_figure_range(u, FC_PRESSURE, end->required));
    fci_row_add(&row, fci_figure_range(u, FC_PRESSURE, end->flowing));
    fci_row_add(&row, fci_figure_margin_range(u, FC_PRESSURE, end->margin));
    fci_row_add_tinted(&row, fci_fixture_verdict_word(end),
                       fci_verdict_tint(end->works));
    return row;
}

static void
put_pressures(struct fci_doc *doc, const fc_check_result *result)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 10 }, { "required", p, FCI_RIGHT, 0 },
        { "flowing", p, FCI_RIGHT, 0 },  { "margin", p, FCI_RIGHT, 0 },
        { "verdict", "", FCI_LEFT, 0 },
    };
    struct fci_grid *grid = fci_check_table(doc, result, columns,
                                            sizeof columns / sizeof *columns);

    fci_doc_heading(doc, "Flowing pressure at peak");
    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_checked_fixture *f = &result->fixtures[i];
        const struct fci_row rows[] = {
            row_of(doc->units, &f->states[FC_EXISTING]),
            row_of(doc->units, &f->states[FC_RETROFIT]),
        };

        fci_check_rows(grid, result, f->name, rows);
    }
    fci_part_table(doc, grid, 1);
}

/* A rate is held whatever the pressure comes to. */
static bool
any_below_zero(const fc_check_result *result)
{
    for (size_t i = 0; i < result->n_fixtures; i++)
        for (int s = 0; s < (result->converted ? FC_STATES : 1); s++)
            if (result->fixtures[i].states[s].flowing.low < 0.0)
                return true;
    return false;
}

void
fci_check_text_fixtures(struct fci_doc *doc, const fc_check_result *result)
{
    put_places(doc, result);
    put_pressures(doc, result);
    fci_doc_say(doc,
                "Flowing: at peak, upstream of the fixture. %sA group counts "
                "as many as it has.",
                result->converted ? "After: after retrofit. " : "");
    if (any_below_zero(result))
        fci_doc_say(
            doc, "A flowing pressure below zero is not real: the valves then "
                 "flow less than their data sheets say.");
}
