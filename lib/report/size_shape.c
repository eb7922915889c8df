/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/size_shape.c -- what `size` tells programs. */
#include "report/size_shape.h"
#include "report/report.h"
#include "report/shapes.h"
#include "report/words.h"

static const char *const cost_list[] = { "inch-feet", "by prices" };
FCI_WORDS(fci_cost_words, cost_list);

/* ---- Pipes ------------------------------------------------------------ */

static const struct fci_member pipe_rows[] = {
    FCI_TEXT(fc_sized_pipe, name, "name", "The pipe"),
    FCI_TEXT(fc_sized_pipe, from, "from", "What feeds it"),
    FCI_TEXT(fc_sized_pipe, material, "material", "Its material"),
    FCI_TEXT(fc_sized_pipe, size, "size", "The size chosen; null: none"),
    FCI_TEXT(fc_sized_pipe, previous_size, "previous_size",
             "The size in place; null: it was to be chosen"),
    FCI_TEXT(fc_sized_pipe, previous_material, "previous_material",
             "The material in place; null: likewise"),
    FCI_FIGURE(fc_sized_pipe, length, "length", FC_LENGTH, "Its length"),
    FCI_NUMBER(fc_sized_pipe, cost, "cost", "Its cost; null: none"),
    FCI_WORD(fc_sized_pipe, state, "state", &fci_state_words,
             "The state in which most flows, for the figures that follow"),
    FCI_FIGURE(fc_sized_pipe, peak_flow, "peak_flow", FC_FLOW, "Peak demand"),
    FCI_FIGURE(fc_sized_pipe, velocity, "velocity", FC_VELOCITY,
               "Velocity at peak"),
    FCI_FIGURE(fc_sized_pipe, velocity_limit, "velocity_limit", FC_VELOCITY,
               "Its limit; null: none known"),
    FCI_FIGURE(fc_sized_pipe, friction_loss, "friction_loss", FC_PRESSURE,
               "Lost at peak, fittings with it"),
    FCI_TEXT(fc_sized_pipe, uniform_size, "uniform_size",
             "The size by uniform friction loss; null: none"),
    FCI_NUMBER(fc_sized_pipe, uniform_cost, "uniform_cost",
               "The cost of that; null: none"),
};
FCI_SHAPE(fci_sized_pipe_shape, "sized_pipe", fc_sized_pipe, pipe_rows,
          "A pipe that gets a size, every input at its worst");

/* ---- The hand method -------------------------------------------------- */

/* Pressure over length, in the units of both. */
static const void *
hand_rate(struct fci_at at, union fci_value *room)
{
    const struct fci_size_view *view = at.root;
    const fc_uniform_sizes *hand = at.object;
    const fc_unit_system u = view->result->units;

    room->number =
        fc_from_si(u, FC_PRESSURE, hand->rate) / fc_from_si(u, FC_LENGTH, 1.0);
    return hand->fixture ? &room->number : NULL;
}

static const struct fci_member hand_rows[] = {
    FCI_FLAG(fc_uniform_sizes, given, "feasible", "It finds sizes"),
    FCI_TEXT(fc_uniform_sizes, lacks, "lacks", "Why it finds none"),
    FCI_TEXT(fc_uniform_sizes, fixture, "fixture",
             "The fixture of the governing run; null: none governs"),
    FCI_WORD_IF(fc_uniform_sizes, state, fixture, "state", &fci_state_words,
                "In which state"),
    FCI_PLAIN_IF("spare_pressure", FCI_M_FIGURE, FC_PRESSURE, fc_uniform_sizes,
                 spare, fixture, "What that run has to spare for friction"),
    FCI_PLAIN_IF("developed_length", FCI_M_FIGURE, FC_LENGTH, fc_uniform_sizes,
                 developed_length, fixture,
                 "Of the pipes to be sized on it, fittings with them"),
    FCI_GET("friction_rate", FCI_M_NUMBER, FC_NUMBER, hand_rate,
            "Friction that every pipe may have: the unit of pressure per unit "
            "of length"),
    FCI_PLAIN_IF("cost", FCI_M_NUMBER, FC_NUMBER, fc_uniform_sizes, cost,
                 given, "What its sizes cost"),
    FCI_WORD_IF(fc_uniform_sizes, works, given, "verdict", &fci_verdict_words,
                "Whether they serve at peak"),
};
static FCI_SHAPE(hand_shape, "uniform_friction", fc_uniform_sizes, hand_rows,
                 "The customary hand method: uniform friction loss");

/* ---- The source ------------------------------------------------------- */

static const struct fci_member need_rows[] = {
    FCI_FIGURE(fc_source_need, flow, "peak_flow", FC_FLOW, "Peak demand"),
    FCI_FIGURE(fc_source_need, pressure, "flowing_pressure", FC_PRESSURE,
               "What the source gives then"),
    FCI_FIGURE(fc_source_need, least, "least_pressure", FC_PRESSURE,
               "What works with the sizes that lose least; null: no pressure"),
};
static FCI_SHAPE(need_shape, "source_need", fc_source_need, need_rows,
                 "The source at peak, in one state");

static const struct fci_member source_rows[] = {
    FCI_OBJECT_IF(fc_size_result, source[FC_EXISTING],
                  source[FC_EXISTING].given, "existing", &need_shape,
                  "Existing; null: it does not count"),
    FCI_OBJECT_IF(fc_size_result, source[FC_RETROFIT],
                  source[FC_RETROFIT].given, "retrofit", &need_shape,
                  "After retrofit; null: the building is not converted"),
};
static FCI_SHAPE(source_shape, "source_needs", fc_size_result, source_rows,
                 "What the source gives, and what would work");

/* ---- The whole -------------------------------------------------------- */

/* Of the fixture that governs with these sizes; null: none does. */
static const void *
least_margin(struct fci_at at, union fci_value *room)
{
    const fc_check_result *check = ((const fc_size_result *)at.object)->check;
    const fc_state state = check ? fci_judged_state(check) : FC_EXISTING;

    if (!check || check->states[state].governing >= check->n_fixtures)
        return NULL;
    room->range =
        check->fixtures[check->states[state].governing].states[state].margin;
    return &room->range;
}

static const struct fci_member result_rows[] = {
    FCI_TEXT(fc_size_result, title, "title", "Title of the site"),
    FCI_WORD(fc_size_result, works, "verdict", &fci_verdict_words,
             "Of the building with the sizes found"),
    FCI_WORD(fc_size_result, too_high, "too_high", &fci_too_high_words,
             "Whether a fixture then has too much pressure"),
    FCI_GET("margin", FCI_M_RANGE, FC_PRESSURE, least_margin,
            "Of the fixture that governs with them; null: none does"),
    FCI_FLAG(fc_size_result, found, "found",
             "There are sizes that serve every fixture at peak"),
    FCI_FLAG(fc_size_result, feasible, "feasible",
             "The building with them passes check"),
    FCI_TEXT(fc_size_result, reason, "reason", "Why it does not"),
    FCI_FLAG_WORD(fc_size_result, by_prices, "cost_unit", &fci_cost_words,
                  "What costs are in: nominal inches times feet, or [prices]"),
    FCI_NUMBER(fc_size_result, cost, "cost",
               "What the sizes cost; null: there are none"),
    FCI_NUMBER(fc_size_result, least_cost, "lowest_cost",
               "Less than this no sizes that serve can cost"),
    FCI_FLAG(fc_size_result, exact, "exact", "The two are the same"),
    FCI_NUMBER(fc_size_result, cost_at_peak, "cost_at_peak",
               "What peak demand alone would cost"),
    FCI_LIST(fc_size_result, pipes, n_pipes, "pipes", &fci_sized_pipe_shape,
             "The pipes whose size was to be chosen"),
    FCI_FIGURE(fc_size_result, in_hand, "event_margin", FC_PRESSURE,
               "Pressure kept beyond peak demand for the flush events"),
    FCI_TEXTS(fc_size_result, in_hand_at, n_in_hand_at, "event_margin_at",
              "At these fixtures"),
    FCI_OBJECT(fc_size_result, uniform, "uniform_friction", &hand_shape,
               "The hand method beside them"),
    FCI_ITSELF("source", &source_shape,
               "What the source gives, and what would work"),
    FCI_LIST(fc_size_result, contradictions, n_contradictions,
             "contradictions", &fci_contradiction_shape,
             "Readings that contradict the file or each other"),
};
static FCI_SHAPE(result_shape, "sizes", fc_size_result, result_rows, "Sizes");

static const struct fci_member size_rows[] = {
    FCI_SPREAD(struct fci_size_view, result, &result_shape),
    FCI_SPREAD_IN(struct fci_size_view, told, &fci_told_shape),
};
FCI_SHAPE(fci_size_shape, "size", struct fci_size_view, size_rows,
          "Pipe sizes at the lowest cost");
