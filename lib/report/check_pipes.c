/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_pipes.c -- the tables of pipes. */
#include "report/check_text.h"
#include "page/figure.h"
#include "report/words.h"

#include <math.h>
#include <string.h>

static void
print_as_built(struct fci_doc *doc, const fc_check_result *result)
{
    const char *l = fc_unit_name(doc->units, FC_LENGTH);
    const char *d = fc_unit_name(doc->units, FC_SIZE);
    const struct fci_doc_column columns[] = {
        { "pipe", "", FCI_LEFT, 10 },
        { "from", "", FCI_LEFT, 8 },
        { "material", "", FCI_LEFT, 8 },
        { "size", "", FCI_LEFT, 6 },
        { "inside\ndiameter", d, FCI_RIGHT, 0 },
        { "length", l, FCI_RIGHT, 0 },
        { "fittings\nas length", l, FCI_RIGHT, 0 },
        { "C", "", FCI_RIGHT, 0 },
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
    }
    fci_doc_put(doc, table);
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

static void
add_flow_row(struct fci_grid *table, const struct fci_doc *doc,
             const fc_checked_pipe *pipe, const fc_pipe_state *s, bool falling)
{
    fc_unit_system u = doc->units;
    bool fast = s->velocity.given && s->velocity.low > pipe->velocity_limit;

    fci_cell(table, pipe->name);
    fci_cell(table, fci_figure_number(s->fixture_units, 1).text);
    if (falling)
        fci_cell(table, fci_figure_number(s->falling_units, 1).text);
    fci_cell(table, fci_figure_range(u, FC_FLOW, s->peak_by_units).text);
    fci_cell(table,
             fci_figure_range(u, FC_FLOW, s->peak_by_other_reading).text);
    fci_cell(table, fci_figure_range(u, FC_FLOW, s->peak_by_probability).text);
    fci_cell_tinted(table, fci_figure_range(u, FC_VELOCITY, s->velocity).text,
                    fast ? FCI_UNSURE : FCI_PLAIN_TINT);
    fci_cell(table, fci_figure_of(u, FC_VELOCITY, pipe->velocity_limit).text);
    fci_cell(table, fci_figure_range(u, FC_PRESSURE, s->friction_loss).text);
}

static void
print_flows(struct fci_doc *doc, const fc_check_result *result, fc_state state,
            const char *when)
{
    fc_unit_system u = doc->units;
    bool falling = has_falling_units(result);
    const struct fci_doc_column name = { "pipe", "", FCI_LEFT, 8 };
    const struct fci_doc_column units = { "fixture\nunits", "", FCI_RIGHT, 0 };
    const struct fci_doc_column by_number = { "falling\nunits", "", FCI_RIGHT,
                                              0 };
    const struct fci_doc_column flow = { "peak by\nunits",
                                         fc_unit_name(u, FC_FLOW), FCI_RIGHT,
                                         0 };
    const struct fci_doc_column other = { other_heading(result),
                                          fc_unit_name(u, FC_FLOW), FCI_RIGHT,
                                          0 };
    const struct fci_doc_column probable = { "probable\npeak",
                                             fc_unit_name(u, FC_FLOW),
                                             FCI_RIGHT, 0 };
    const struct fci_doc_column velocity = { "velocity",
                                             fc_unit_name(u, FC_VELOCITY),
                                             FCI_RIGHT, 0 };
    const struct fci_doc_column limit = { "velocity\nlimit",
                                          fc_unit_name(u, FC_VELOCITY),
                                          FCI_RIGHT, 0 };
    const struct fci_doc_column loss = { "friction\nloss",
                                         fc_unit_name(u, FC_PRESSURE),
                                         FCI_RIGHT, 0 };
    const struct fci_doc_column with[] = { name,     units, by_number,
                                           flow,     other, probable,
                                           velocity, limit, loss };
    const struct fci_doc_column without[] = {
        name, units, flow, other, probable, velocity, limit, loss
    };
    struct fci_grid *table =
        falling ? fci_grid_new(doc, with, 9) : fci_grid_new(doc, without, 8);

    fci_doc_heading(doc, "Flow in the pipes at peak, %s", when);
    for (size_t i = 0; i < result->n_pipes; i++)
        add_flow_row(table, doc, &result->pipes[i],
                     &result->pipes[i].states[state], falling);
    fci_doc_put(doc, table);
    fci_doc_say(doc, "Velocity and loss: at the %s.",
                result->peak == FC_PROBABILITY ? "probable peak"
                                               : "peak by fixture units");
    fci_doc_say(doc, "Peak by units: the demand table read %s; beside it %s.",
                result->demand == FC_INTERPOLATE ? "by interpolation"
                                                 : "at the next row up",
                result->demand == FC_INTERPOLATE ? "at the next row up"
                                                 : "by interpolation");
    if (falling)
        fci_doc_say(doc, "Falling units: by the number of valves, UPC "
                         "Table 610.10, for comparison.");
}

/* Both peaks of the whole building, side by side. */
static void
print_peaks(struct fci_doc *doc, const fc_check_result *result)
{
    static const char *const states[] = { "as it stands",
                                          "after the retrofit" };
    const char *flow = fc_unit_name(doc->units, FC_FLOW);
    const struct fci_doc_column columns[] = {
        { "", "", FCI_LEFT, 12 },
        { "by fixture\nunits", flow, FCI_RIGHT, 0 },
        { other_heading(result), flow, FCI_RIGHT, 0 },
        { "by\nprobability", flow, FCI_RIGHT, 0 },
    };
    struct fci_grid *table =
        fci_grid_new(doc, columns, sizeof columns / sizeof *columns);

    fci_doc_heading(doc, "Peak demand of the whole building");
    for (int s = 0; s < (result->converted ? FC_STATES : 1); s++) {
        const fc_checked_state *state = &result->states[s];

        fci_cell(table, states[s]);
        fci_cell(
            table,
            fci_figure_range(doc->units, FC_FLOW, state->peak_by_units).text);
        fci_cell(table, fci_figure_range(doc->units, FC_FLOW,
                                         state->peak_by_other_reading)
                            .text);
        fci_cell(table, fci_figure_range(doc->units, FC_FLOW,
                                         state->peak_by_probability)
                            .text);
    }
    fci_doc_put(doc, table);
    fci_doc_say(doc, "The verdict rests on the peak by %s.",
                result->peak == FC_PROBABILITY ? "probability"
                                               : "fixture units, the code's");
}

static bool
same_range(fc_range a, fc_range b)
{
    return a.given == b.given && !(a.low < b.low) && !(a.low > b.low)
           && !(a.high < b.high) && !(a.high > b.high);
}

static bool
same_in_both(const fc_check_result *result)
{
    for (size_t i = 0; i < result->n_pipes; i++) {
        const fc_pipe_state *s = result->pipes[i].states;

        if (strcmp(fci_figure_number(s[0].fixture_units, 1).text,
                   fci_figure_number(s[1].fixture_units, 1).text)
                != 0
            || strcmp(fci_figure_number(s[0].falling_units, 1).text,
                      fci_figure_number(s[1].falling_units, 1).text)
                   != 0
            || !same_range(s[0].peak_by_units, s[1].peak_by_units)
            || !same_range(s[0].peak_by_probability, s[1].peak_by_probability))
            return false;
    }
    return true;
}

void
fci_check_text_pipes(struct fci_doc *doc, const fc_check_result *result)
{
    print_peaks(doc, result);
    if (result->n_pipes == 0)
        return;
    print_as_built(doc, result);
    if (!result->converted) {
        print_flows(doc, result, FC_EXISTING, "as it stands");
    } else if (same_in_both(result)) {
        print_flows(doc, result, FC_RETROFIT,
                    "as it stands and after the retrofit: the same in both");
    } else {
        print_flows(doc, result, FC_RETROFIT, "after the retrofit");
        print_flows(doc, result, FC_EXISTING, "as it stands");
    }
}
