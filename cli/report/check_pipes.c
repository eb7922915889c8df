/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/check_pipes.c -- the tables of pipes. */
#include "report/check_text.h"
#include "page/figure.h"
#include "page/table.h"
#include "page/words.h"

#include <math.h>
#include <string.h>

static void
print_as_built(struct page *page, const fc_check_result *result)
{
    const char *l = fc_unit_name(page->units, FC_LENGTH);
    const char *d = fc_unit_name(page->units, FC_SIZE);
    const struct column columns[] = {
        { "pipe", "", ALIGN_LEFT, 10 },
        { "from", "", ALIGN_LEFT, 8 },
        { "material", "", ALIGN_LEFT, 8 },
        { "size", "", ALIGN_LEFT, 6 },
        { "inside\ndiameter", d, ALIGN_RIGHT, 0 },
        { "length", l, ALIGN_RIGHT, 0 },
        { "fittings\nas length", l, ALIGN_RIGHT, 0 },
        { "C", "", ALIGN_RIGHT, 0 },
    };
    struct table table = table_new(columns, sizeof columns / sizeof *columns);

    page_heading(page, "Pipes");
    for (size_t i = 0; i < result->n_pipes; i++) {
        const fc_checked_pipe *pipe = &result->pipes[i];

        table_add(&table, pipe->name);
        table_add(&table, pipe->from);
        table_add(&table, pipe->material);
        table_add(&table, pipe->size);
        table_add(&table,
                  figure_of(page->units, FC_SIZE, pipe->inside_diameter).text);
        table_add(&table,
                  figure_of(page->units, FC_LENGTH, pipe->length).text);
        table_add(
            &table,
            figure_of(page->units, FC_LENGTH, pipe->equivalent_length).text);
        table_add(&table, figure_number(pipe->c, 0).text);
    }
    table_print(&table, page);
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
add_flow_row(struct table *table, const struct page *page,
             const fc_checked_pipe *pipe, const fc_pipe_state *s, bool falling)
{
    fc_unit_system u = page->units;
    bool fast = s->velocity.given && s->velocity.low > pipe->velocity_limit;

    table_add(table, pipe->name);
    table_add(table, figure_number(s->fixture_units, 1).text);
    if (falling)
        table_add(table, figure_number(s->falling_units, 1).text);
    table_add(table, figure_range(u, FC_FLOW, s->peak_by_units).text);
    table_add(table, figure_range(u, FC_FLOW, s->peak_by_other_reading).text);
    table_add(table, figure_range(u, FC_FLOW, s->peak_by_probability).text);
    table_add_tinted(table, figure_range(u, FC_VELOCITY, s->velocity).text,
                     fast ? TINT_UNSURE : TINT_NONE);
    table_add(table, figure_of(u, FC_VELOCITY, pipe->velocity_limit).text);
    table_add(table, figure_range(u, FC_PRESSURE, s->friction_loss).text);
}

static void
print_flows(struct page *page, const fc_check_result *result, fc_state state,
            const char *when)
{
    fc_unit_system u = page->units;
    bool falling = has_falling_units(result);
    const struct column name = { "pipe", "", ALIGN_LEFT, 8 };
    const struct column units = { "fixture\nunits", "", ALIGN_RIGHT, 0 };
    const struct column by_number = { "falling\nunits", "", ALIGN_RIGHT, 0 };
    const struct column flow = { "peak by\nunits", fc_unit_name(u, FC_FLOW),
                                 ALIGN_RIGHT, 0 };
    const struct column other = { other_heading(result),
                                  fc_unit_name(u, FC_FLOW), ALIGN_RIGHT, 0 };
    const struct column probable = { "probable\npeak",
                                     fc_unit_name(u, FC_FLOW), ALIGN_RIGHT,
                                     0 };
    const struct column velocity = { "velocity", fc_unit_name(u, FC_VELOCITY),
                                     ALIGN_RIGHT, 0 };
    const struct column limit = { "velocity\nlimit",
                                  fc_unit_name(u, FC_VELOCITY), ALIGN_RIGHT,
                                  0 };
    const struct column loss = { "friction\nloss",
                                 fc_unit_name(u, FC_PRESSURE), ALIGN_RIGHT,
                                 0 };
    const struct column with[] = { name,     units,    by_number, flow, other,
                                   probable, velocity, limit,     loss };
    const struct column without[] = { name,     units,    flow,  other,
                                      probable, velocity, limit, loss };
    struct table table = falling ? table_new(with, 9) : table_new(without, 8);

    page_heading(page, "Flow in the pipes at peak, %s", when);
    for (size_t i = 0; i < result->n_pipes; i++)
        add_flow_row(&table, page, &result->pipes[i],
                     &result->pipes[i].states[state], falling);
    table_print(&table, page);
    page_say(page, 2, 2, "Velocity and loss: at the %s.",
             result->peak == FC_PROBABILITY ? "probable peak"
                                            : "peak by fixture units");
    page_say(page, 2, 2,
             "Peak by units: the demand table read %s; beside it %s.",
             result->demand == FC_INTERPOLATE ? "by interpolation"
                                              : "at the next row up",
             result->demand == FC_INTERPOLATE ? "at the next row up"
                                              : "by interpolation");
    if (falling)
        page_say(page, 2, 2,
                 "Falling units: by the number of valves, UPC "
                 "Table 610.10, for comparison.");
}

/* Both peaks of the whole building, side by side. */
static void
print_peaks(struct page *page, const fc_check_result *result)
{
    static const char *const states[] = { "as it stands",
                                          "after the retrofit" };
    const char *flow = fc_unit_name(page->units, FC_FLOW);
    const struct column columns[] = {
        { "", "", ALIGN_LEFT, 12 },
        { "by fixture\nunits", flow, ALIGN_RIGHT, 0 },
        { other_heading(result), flow, ALIGN_RIGHT, 0 },
        { "by\nprobability", flow, ALIGN_RIGHT, 0 },
    };
    struct table table = table_new(columns, sizeof columns / sizeof *columns);

    page_heading(page, "Peak demand of the whole building");
    for (int s = 0; s < (result->converted ? FC_STATES : 1); s++) {
        const fc_checked_state *state = &result->states[s];

        table_add(&table, states[s]);
        table_add(
            &table,
            figure_range(page->units, FC_FLOW, state->peak_by_units).text);
        table_add(&table, figure_range(page->units, FC_FLOW,
                                       state->peak_by_other_reading)
                              .text);
        table_add(&table, figure_range(page->units, FC_FLOW,
                                       state->peak_by_probability)
                              .text);
    }
    table_print(&table, page);
    page_say(page, 2, 2, "The verdict rests on the peak by %s.",
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

        if (strcmp(figure_number(s[0].fixture_units, 1).text,
                   figure_number(s[1].fixture_units, 1).text)
                != 0
            || strcmp(figure_number(s[0].falling_units, 1).text,
                      figure_number(s[1].falling_units, 1).text)
                   != 0
            || !same_range(s[0].peak_by_units, s[1].peak_by_units)
            || !same_range(s[0].peak_by_probability, s[1].peak_by_probability))
            return false;
    }
    return true;
}

void
check_text_pipes(struct page *page, const fc_check_result *result)
{
    print_peaks(page, result);
    if (result->n_pipes == 0)
        return;
    print_as_built(page, result);
    if (!result->converted) {
        print_flows(page, result, FC_EXISTING, "as it stands");
    } else if (same_in_both(result)) {
        print_flows(page, result, FC_RETROFIT,
                    "as it stands and after the retrofit: the same in both");
    } else {
        print_flows(page, result, FC_RETROFIT, "after the retrofit");
        print_flows(page, result, FC_EXISTING, "as it stands");
    }
}
