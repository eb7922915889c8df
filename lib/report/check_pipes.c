/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_pipes.c -- the tables of peak demand and of pipes. */
#include "report/check_text.h"
#include "report/shared.h"

#include <math.h>

static void
put_as_built(struct fci_doc *doc, const fc_check_result *result)
{
    const char *l = fc_unit_name(doc->units, FC_LENGTH);
    const char *d = fc_unit_name(doc->units, FC_SIZE);
    const struct fci_doc_column columns[] = {
        { "pipe", "", FCI_LEFT, 10 },
        { "from", "", FCI_LEFT, 8 },
        { "material", "", FCI_LEFT, 8 },
        { "size", "", FCI_LEFT, 6 },
        { "bore", d, FCI_RIGHT, 0 },
        { "length", l, FCI_RIGHT, 0 },
        { "fittings", l, FCI_RIGHT, 0 },
        { "C", "", FCI_RIGHT, 0 },
        { "velocity\nlimit", fc_unit_name(doc->units, FC_VELOCITY), FCI_RIGHT,
          0 },
    };
    struct fci_grid *table =
        fci_grid_new(doc, columns, sizeof columns / sizeof *columns);

    fci_doc_heading(doc, "Pipes");
    for (size_t i = 0; i < result->n_pipes; i++) {
        const fc_checked_pipe *pipe = &result->pipes[i];

        fci_cell(table, pipe->name);
        fci_cell(table, pipe->from);
        fci_cell(table, pipe->material);
        fci_cell(table, pipe->size);
        fci_cell(
            table,
            fci_figure_of(doc->units, FC_SIZE, pipe->inside_diameter).text);
        fci_cell(table,
                 fci_figure_of(doc->units, FC_LENGTH, pipe->length).text);
        fci_cell(table,
                 fci_figure_of(doc->units, FC_LENGTH, pipe->equivalent_length)
                     .text);
        fci_cell(table, fci_figure_number(pipe->c, 0).text);
        fci_cell(
            table,
            fci_figure_of(doc->units, FC_VELOCITY, pipe->velocity_limit).text);
    }
    fci_doc_put(doc, table);
    fci_doc_say(doc, "Bore: inside diameter. Fittings: as length of pipe.");
}

/* Of what the demand table gives when it is read the other way. */
static const char *
other_heading(const fc_check_result *result)
{
    return result->demand == FC_INTERPOLATE ? "next\nrow" : "inter-\npolated";
}

/* UPC Table 610.10 stands in a column of its own where it is used. */
static bool
has_falling_units(const fc_check_result *result)
{
    for (size_t i = 0; i < result->n_pipes; i++)
        if (!isnan(result->pipes[i].states[FC_EXISTING].falling_units))
            return true;
    return false;
}

static struct fci_row
row_of(fc_unit_system u, const fc_checked_pipe *pipe, const fc_pipe_state *s,
       bool falling)
{
    const bool fast =
        s->velocity.given && s->velocity.low > pipe->velocity_limit;
    struct fci_row row = { 0 };

    fci_row_add(&row, fci_figure_number(s->fixture_units, 1));
    if (falling)
        fci_row_add(&row, fci_figure_number(s->falling_units, 1));
    fci_row_add(&row, fci_figure_range(u, FC_FLOW, s->peak_by_units));
    fci_row_add(&row, fci_figure_range(u, FC_FLOW, s->peak_by_other_reading));
    fci_row_add(&row, fci_figure_range(u, FC_FLOW, s->peak_by_probability));
    fci_row_add_tinted(&row,
                       fci_figure_range(u, FC_VELOCITY, s->velocity).text,
                       fast ? FCI_UNSURE : FCI_PLAIN_TINT);
    fci_row_add(&row, fci_figure_range(u, FC_PRESSURE, s->friction_loss));
    return row;
}

static void
put_flows(struct fci_doc *doc, const fc_check_result *result)
{
    const fc_unit_system u = doc->units;
    const bool falling = has_falling_units(result);
    const char *flow = fc_unit_name(u, FC_FLOW);
    const struct fci_doc_column all[] = {
        { "pipe", "", FCI_LEFT, 8 },
        { "fixture\nunits", "", FCI_RIGHT, 0 },
        { "falling\nunits", "", FCI_RIGHT, 0 },
        { "peak by\nunits", flow, FCI_RIGHT, 0 },
        { other_heading(result), flow, FCI_RIGHT, 0 },
        { "probable\npeak", flow, FCI_RIGHT, 0 },
        { "velocity", fc_unit_name(u, FC_VELOCITY), FCI_RIGHT, 0 },
        { "loss", fc_unit_name(u, FC_PRESSURE), FCI_RIGHT, 0 },
    };
    struct fci_doc_column columns[sizeof all / sizeof *all];
    size_t n = 0;
    struct fci_grid *grid;

    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        if (i != 2 || falling)
            columns[n++] = all[i];
    grid = fci_check_table(doc, result, columns, n);
    fci_doc_heading(doc, "Flow in the pipes at peak");
    for (size_t i = 0; i < result->n_pipes; i++) {
        const fc_checked_pipe *pipe = &result->pipes[i];
        const struct fci_row rows[] = {
            row_of(u, pipe, &pipe->states[FC_EXISTING], falling),
            row_of(u, pipe, &pipe->states[FC_RETROFIT], falling),
        };

        fci_check_rows(grid, result, pipe->name, rows);
    }
    fci_part_table(doc, grid, 1);
    fci_doc_say(doc, "Velocity and loss: at the %s.",
                result->peak == FC_PROBABILITY ? "probable peak"
                                               : "peak by fixture units");
    if (falling)
        fci_doc_say(doc, "Falling units: by the number of valves, UPC "
                         "Table 610.10, for comparison.");
}

/* All peaks of the whole building, side by side. */
static void
put_peaks(struct fci_doc *doc, const fc_check_result *result)
{
    const fc_unit_system u = doc->units;
    const char *flow = fc_unit_name(u, FC_FLOW);
    const struct fci_doc_column columns[] = {
        { "source", "", FCI_LEFT, 8 },
        { "by fixture\nunits", flow, FCI_RIGHT, 0 },
        { other_heading(result), flow, FCI_RIGHT, 0 },
        { "by\nprobability", flow, FCI_RIGHT, 0 },
    };
    struct fci_grid *grid = fci_check_table(doc, result, columns,
                                            sizeof columns / sizeof *columns);
    struct fci_row rows[FC_STATES] = { { 0 }, { 0 } };

    for (int s = 0; s < FC_STATES; s++) {
        const fc_checked_state *state = &result->states[s];

        fci_row_add(&rows[s],
                    fci_figure_range(u, FC_FLOW, state->peak_by_units));
        fci_row_add(&rows[s], fci_figure_range(u, FC_FLOW,
                                               state->peak_by_other_reading));
        fci_row_add(&rows[s],
                    fci_figure_range(u, FC_FLOW, state->peak_by_probability));
    }
    fci_doc_heading(doc, "Peak demand of the whole building");
    fci_check_rows(grid, result, result->source, rows);
    fci_doc_put(doc, grid);
    fci_doc_say(doc,
                "The verdict rests on the peak by %s. By fixture units: "
                "the demand table read %s; beside it %s.",
                result->peak == FC_PROBABILITY ? "probability"
                                               : "fixture units, the code's",
                result->demand == FC_INTERPOLATE ? "by interpolation"
                                                 : "at the next row up",
                result->demand == FC_INTERPOLATE ? "at the next row up"
                                                 : "by interpolation");
}

void
fci_check_text_pipes(struct fci_doc *doc, const fc_check_result *result)
{
    put_peaks(doc, result);
    if (result->n_pipes == 0)
        return;
    fci_doc_for(doc, FCI_IN_FULL); /* a page has its calculation sheet */
    put_as_built(doc, result);
    fci_doc_for(doc, FCI_IN_DEPTH);
    put_flows(doc, result);
}
