/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_shape.c -- what `check` tells programs. */
#include "report/check_shape.h"
#include "report/path_shape.h"
#include "report/report.h"
#include "report/shapes.h"
#include "report/words.h"

#include <math.h>

static const fc_check_result *
result_of(struct fci_at at)
{
    return ((const struct fci_check_view *)at.root)->result;
}

/* The object of the state after retrofit; null: there is none. */
#define AFTER(name, type)                                                     \
    static const void *name(struct fci_at at, union fci_value *room)          \
    {                                                                         \
        (void)room;                                                           \
        return result_of(at)->converted                                       \
                   ? &((const type *)at.object)->states[FC_RETROFIT]          \
                   : NULL;                                                    \
    }
AFTER(fixture_after, fc_checked_fixture)
AFTER(pipe_after, fc_checked_pipe)
AFTER(building_after, fc_check_result)

#define STATES(of, shape, after, about)                                       \
    FCI_OBJECT(of, states[FC_EXISTING], "existing", shape,                    \
               about ", "                                                     \
                     "existing"),                                             \
        FCI_GET_OBJECT("retrofit", shape, after,                              \
                       about ", after retrofit; null: the building is not "   \
                             "converted")

/* The name of a fixture by its place; null: of none. */
static const void *
name_at(struct fci_at at, size_t fixture, union fci_value *room)
{
    const fc_check_result *result = result_of(at);

    room->text =
        fixture < result->n_fixtures ? result->fixtures[fixture].name : NULL;
    return &room->text;
}

#define NAME_AT(name, type, member)                                           \
    static const void *name(struct fci_at at, union fci_value *room)          \
    {                                                                         \
        return name_at(at, ((const type *)at.object)->member, room);          \
    }
NAME_AT(zone_governing, fc_zone, governing)
NAME_AT(governing, fc_checked_state, governing)
NAME_AT(too_high_at, fc_checked_state, too_high_at)
NAME_AT(starved, fc_checked_state, starved)

/* ---- Flush events ----------------------------------------------------- */

/* Below are sums of chances whose last digits another processor has
 * otherwise. */
#define CHANCES_TO 1e-10

#define CHANCE(name)                                                          \
    static const void *chance_##name(struct fci_at at, union fci_value *room) \
    {                                                                         \
        const fc_chance *chance = at.object;                                  \
                                                                              \
        room->number = round(chance->name / CHANCES_TO) * CHANCES_TO;         \
        return &room->number;                                                 \
    }

CHANCE(estimate)
CHANCE(low)
CHANCE(high)

static const struct fci_member chance_rows[] = {
    FCI_GET("estimate", FCI_M_NUMBER, FC_NUMBER, chance_estimate,
            "The part, as sampled, to 1e-10"),
    FCI_GET("low", FCI_M_NUMBER, FC_NUMBER, chance_low, "It lies from here"),
    FCI_GET("high", FCI_M_NUMBER, FC_NUMBER, chance_high,
            "to here, with 95% confidence"),
};
FCI_SHAPE(fci_chance_shape, "chance", fc_chance, chance_rows,
          "A part of all flushes");

/* ---- Fixtures --------------------------------------------------------- */

static const char *const change_list[] = {
    NULL,          "keeps working", "stops working", "starts working",
    "still short", "cannot tell",
};
static FCI_WORDS(change_words, change_list);

/* Margins in the order of `quoted_minima`. */
static const void *
against_minima(struct fci_at at, union fci_value *room)
{
    const fc_fixture_state *end = at.object;

    room->list.items = end->against_minima;
    room->list.n = end->against_minima ? result_of(at)->n_minima : 0;
    return &room->list;
}

static const struct fci_member flushing_rows[] = {
    FCI_GET("margins_against_quoted", FCI_M_FIGURES, FC_PRESSURE,
            against_minima,
            "Of a flush valve: its worst flowing pressure less each of "
            "`quoted_minima`"),
    FCI_RANGE(fc_fixture_state, alone, "alone", FC_PRESSURE,
              "Flowing pressure while it flushes alone"),
    FCI_RANGE(fc_fixture_state, shared, "shared", FC_PRESSURE,
              "Of a fixture without a flush valve: left to it while the set "
              "flushes that starves a valve first"),
    FCI_PLAIN_IF(
        "most_at_once", FCI_M_INTEGER, FC_NUMBER, fc_fixture_state,
        ladder.most, ladder.given,
        "Valves open at once, this one among them and whichever the others "
        "are, until it is below its valve minimum: proved, never too many"),
    FCI_PLAIN_IF("most_at_once_low", FCI_M_INTEGER, FC_NUMBER,
                 fc_fixture_state, ladder.low, ladder.given,
                 "The same in the worst case"),
    FCI_PLAIN_IF("most_at_once_high", FCI_M_INTEGER, FC_NUMBER,
                 fc_fixture_state, ladder.high, ladder.given,
                 "The same in the best case"),
    FCI_PLAIN_IF("could_at_once", FCI_M_INTEGER, FC_NUMBER, fc_fixture_state,
                 ladder.could, ladder.given,
                 "It could be so many, where proof took too much work; one "
                 "more can starve it"),
    FCI_PLAIN_IF("could_at_once_low", FCI_M_INTEGER, FC_NUMBER,
                 fc_fixture_state, ladder.could_low, ladder.given,
                 "The same in the worst case"),
    FCI_PLAIN_IF("could_at_once_high", FCI_M_INTEGER, FC_NUMBER,
                 fc_fixture_state, ladder.could_high, ladder.given,
                 "The same in the best case"),
    FCI_FIGURES(fc_fixture_state, ladder.pressures, ladder.n_pressures,
                "pressures_at_once", FC_PRESSURE,
                "Its pressure with 1, 2, ... valves open"),
    FCI_PLAIN_IF("pressures_are_least", FCI_M_FLAG, FC_NUMBER,
                 fc_fixture_state, ladder.worst_sets, ladder.given,
                 "Whether each of them is the least that any so many valves "
                 "leave; else some so many leave it"),
    FCI_OBJECT_IF(fc_fixture_state, busy.weak, busy.weak.given,
                  "weak_flush_chance", &fci_chance_shape,
                  "Part of its flushes in the busiest period that are below "
                  "the valve minimum"),
    FCI_OBJECT_IF(fc_fixture_state, busy.weak_worst, busy.weak_worst.given,
                  "weak_flush_chance_worst", &fci_chance_shape,
                  "The same with all inputs at their worst"),
    FCI_OBJECT_IF(fc_fixture_state, busy.weak_best, busy.weak_best.given,
                  "weak_flush_chance_best", &fci_chance_shape,
                  "The same with all inputs at their best"),
    FCI_PLAIN_IF("mean_pressure", FCI_M_FIGURE, FC_PRESSURE, fc_fixture_state,
                 busy.mean, busy.weak.given,
                 "Mean flowing pressure in the busiest period"),
    FCI_PLAIN_IF("fifth_percentile_pressure", FCI_M_FIGURE, FC_PRESSURE,
                 fc_fixture_state, busy.fifth, busy.weak.given,
                 "5% of its flushes have less"),
};
static FCI_SHAPE(flushing_shape, "fixture_flushing", fc_fixture_state,
                 flushing_rows, "A fixture in the flush events");

static const struct fci_member fixture_state_rows[] = {
    FCI_SPREAD_ITSELF(&fci_end_shape),
    FCI_SPREAD_ITSELF(&flushing_shape),
};
static FCI_SHAPE(fixture_state_shape, "checked_fixture_state",
                 fc_fixture_state, fixture_state_rows,
                 "A fixture in one state");

static const struct fci_member fixture_rows[] = {
    FCI_TEXT(fc_checked_fixture, name, "name", "Its name"),
    FCI_TEXT(fc_checked_fixture, on, "on", "The element that feeds it"),
    FCI_TEXT(fc_checked_fixture, kind, "kind", "What it is"),
    FCI_INTEGER(fc_checked_fixture, count, "count",
                "How many it stands for, at most"),
    FCI_INTEGER(fc_checked_fixture, count_least, "count_least",
                "How many at least"),
    FCI_FIGURE(fc_checked_fixture, elevation, "elevation", FC_LENGTH,
               "Its elevation"),
    FCI_RANGE(fc_checked_fixture, static_pressure, "static", FC_PRESSURE,
              "Static pressure"),
    FCI_WORD(fc_checked_fixture, change, "change", &change_words,
             "What the retrofit makes of it"),
    STATES(fc_checked_fixture, &fixture_state_shape, fixture_after,
           "The fixture"),
};
static FCI_SHAPE(fixture_shape, "checked_fixture", fc_checked_fixture,
                 fixture_rows, "A fixture, or several alike");

/* ---- Pipes ------------------------------------------------------------ */

static const struct fci_member pipe_state_rows[] = {
    FCI_NUMBER(fc_pipe_state, fixture_units, "fixture_units",
               "Fixture units downstream"),
    FCI_NUMBER(fc_pipe_state, falling_units, "falling_units",
               "The same with UPC Table 610.10"),
    FCI_RANGE(fc_pipe_state, peak_flow, "peak_flow", FC_FLOW,
              "The peak that counts"),
    FCI_RANGE(fc_pipe_state, peak_by_units, "peak_flow_by_units", FC_FLOW,
              "Peak by fixture units, the code's"),
    FCI_RANGE(fc_pipe_state, peak_by_other_reading,
              "peak_flow_by_other_reading", FC_FLOW,
              "The same with the demand table read the other way"),
    FCI_RANGE(fc_pipe_state, peak_by_probability, "peak_flow_by_probability",
              FC_FLOW, "Peak by the probability of flushes"),
    FCI_RANGE(fc_pipe_state, velocity, "velocity", FC_VELOCITY,
              "Velocity at the peak that counts"),
    FCI_RANGE(fc_pipe_state, friction_loss, "friction_loss", FC_PRESSURE,
              "Loss in pipe and fittings then"),
};
static FCI_SHAPE(pipe_state_shape, "checked_pipe_state", fc_pipe_state,
                 pipe_state_rows, "A pipe in one state");

static const struct fci_member pipe_rows[] = {
    FCI_TEXT(fc_checked_pipe, name, "name", "Its name"),
    FCI_TEXT(fc_checked_pipe, from, "from", "What feeds it"),
    FCI_ANY_TEXT(fc_checked_pipe, material, "material", "Its material"),
    FCI_ANY_TEXT(fc_checked_pipe, size, "size", "Its nominal size"),
    FCI_FIGURE(fc_checked_pipe, inside_diameter, "inside_diameter", FC_SIZE,
               "Its inside diameter"),
    FCI_FIGURE(fc_checked_pipe, length, "length", FC_LENGTH, "Its length"),
    FCI_FIGURE(fc_checked_pipe, equivalent_length, "equivalent_length",
               FC_LENGTH, "Its fittings as length of pipe"),
    FCI_NUMBER(fc_checked_pipe, c, "c", "C of Hazen-Williams"),
    FCI_FIGURE(fc_checked_pipe, velocity_limit, "velocity_limit", FC_VELOCITY,
               "The velocity that is advised at most"),
    STATES(fc_checked_pipe, &pipe_state_shape, pipe_after, "The pipe"),
};
static FCI_SHAPE(pipe_shape, "checked_pipe", fc_checked_pipe, pipe_rows,
                 "A pipe");

/* ---- The building in one state ---------------------------------------- */

static const void *
zone_margin(struct fci_at at, union fci_value *room)
{
    const fc_zone *zone = at.object;
    const fc_check_result *result = result_of(at);
    const fc_checked_state *after = &result->states[FC_RETROFIT];
    fc_state state = FC_EXISTING;

    /* a zone is of the state in whose list it stands */
    for (size_t i = 0; i < after->n_zones; i++)
        if (zone == &after->zones[i])
            state = FC_RETROFIT;
    room->range.given = false;
    return zone->governing < result->n_fixtures
               ? &result->fixtures[zone->governing].states[state].margin
               : &room->range;
}

static const struct fci_member zone_rows[] = {
    FCI_TEXT(fc_zone, reducer, "prv",
             "The PRV that it lies downstream of; null: of none"),
    FCI_COUNT(fc_zone, n_fixtures, "fixtures", "Fixtures, each counted"),
    FCI_GET("governing_fixture", FCI_M_TEXT, FC_NUMBER, zone_governing,
            "The fixture with the least margin; null: nothing is required"),
    FCI_GET("margin", FCI_M_RANGE, FC_PRESSURE, zone_margin, "Its margin"),
};
static FCI_SHAPE(zone_shape, "zone", fc_zone, zone_rows,
                 "What lies downstream of a PRV, up to the next");

/* The ladder of the fixture that the fewest valves at once starve. */
static const fc_ladder *
starving(struct fci_at at)
{
    const fc_checked_state *s = at.object;
    const fc_check_result *result = result_of(at);

    return s->starved < result->n_fixtures
               ? &result->fixtures[s->starved]
                      .states[s == &result->states[FC_RETROFIT] ? FC_RETROFIT
                                                                : FC_EXISTING]
                      .ladder
               : NULL;
}

static const void *
starving_number(struct fci_at at, union fci_value *room)
{
    const fc_ladder *ladder = starving(at);

    room->integer = ladder ? ladder->could + 1 : 0;
    return ladder ? &room->integer : NULL;
}

static const void *
starving_set(struct fci_at at, union fci_value *room)
{
    const fc_ladder *ladder = starving(at);

    room->list.items = ladder ? ladder->first : NULL;
    room->list.n = ladder ? ladder->n_first : 0;
    return &room->list;
}

static const struct fci_member starving_rows[] = {
    FCI_GET("number", FCI_M_INTEGER, FC_NUMBER, starving_number,
            "So many valves at once starve it"),
    FCI_GET("fixture", FCI_M_TEXT, FC_NUMBER, starved, "The fixture"),
    FCI_GET_LIST("set", &fci_flushed_shape, starving_set, "Those valves"),
};
static FCI_SHAPE(starving_shape, "starving", fc_checked_state, starving_rows,
                 "The least number of valves at once that starves a fixture");

static const void *
least_that_starves(struct fci_at at, union fci_value *room)
{
    (void)room;
    return starving(at) ? at.object : NULL;
}

static const char *const limit_list[] = {
    "none",        "street main",         "pump inlet",
    "backflow",    "backflow at fixture", "tank",
    "short alone", "maybe short alone",   "main not tested",
    "readings"
};
static FCI_WORDS(limit_words, limit_list);

static const struct fci_member at_once_rows[] = {
    FCI_INTEGER(fc_at_once, valves, "valves", "Flush valves that there are"),
    FCI_INTEGER(fc_at_once, low, "sure",
                "So many of them, whichever they are, flush at once for sure, "
                "the inputs at their worst: `flush` says the same"),
    FCI_INTEGER(fc_at_once, most, "nominal", "The same at midpoint values"),
    FCI_INTEGER(fc_at_once, high, "best",
                "With the inputs at their best, by their minimums alone"),
    FCI_WORD(fc_at_once, limit, "limit", &limit_words,
             "What lets no more be sure beside their own minimums"),
    FCI_TEXT(fc_at_once, limit_at, "limit_at",
             "The part or the fixture of that; null: none"),
};
static FCI_SHAPE(at_once_shape, "at_once", fc_at_once, at_once_rows,
                 "How many flush valves may be open at once");

static const void *
at_once_of(struct fci_at at, union fci_value *room)
{
    (void)room;
    return ((const fc_checked_state *)at.object)->at_once;
}

static const struct fci_member state_rows[] = {
    FCI_WORD(fc_checked_state, works, "verdict", &fci_verdict_words,
             "Whether it works"),
    FCI_WORD(fc_checked_state, too_high, "too_high", &fci_too_high_words,
             "Whether some fixture has too much pressure"),
    FCI_GET("too_high_at", FCI_M_TEXT, FC_NUMBER, too_high_at,
            "The fixture that is most above its maximum"),
    FCI_COUNT(fc_checked_state, working, "fixtures_working",
              "Fixtures that work, each counted"),
    FCI_COUNT(fc_checked_state, failing, "fixtures_failing",
              "Fixtures that do not"),
    FCI_COUNT(fc_checked_state, unclear, "fixtures_unclear",
              "Fixtures that are not certain"),
    FCI_GET("governing_fixture", FCI_M_TEXT, FC_NUMBER, governing,
            "The fixture with the least margin; null: nothing is required"),
    FCI_RANGE(fc_checked_state, peak_flow, "peak_flow", FC_FLOW,
              "Peak demand that counts, at the source"),
    FCI_RANGE(fc_checked_state, peak_by_units, "peak_flow_by_units", FC_FLOW,
              "Peak by fixture units, the code's"),
    FCI_RANGE(fc_checked_state, peak_by_other_reading,
              "peak_flow_by_other_reading", FC_FLOW,
              "The same with the demand table read the other way"),
    FCI_RANGE(fc_checked_state, peak_by_probability,
              "peak_flow_by_probability", FC_FLOW,
              "Peak by the probability of flushes"),
    FCI_RANGE(fc_checked_state, source_pressure, "source_flowing", FC_PRESSURE,
              "Residual at the source at peak"),
    FCI_RANGE(fc_checked_state, spare_pressure, "spare", FC_PRESSURE,
              "How far the supply may fall before a fixture is short; "
              "negative: how far it must rise"),
    FCI_COUNT(fc_checked_state, states_drawn, "states_drawn",
              "States of the busiest period that were solved"),
    FCI_OBJECT_IF(fc_checked_state, proviso, proviso.given, "works_if",
                  &fci_proviso_shape,
                  "What would settle it where the verdict is cannot tell"),
    FCI_GET_OBJECT("at_once", &at_once_shape, at_once_of,
                   "null: not calculated"),
    FCI_GET_OBJECT("least_that_starves", &starving_shape, least_that_starves,
                   "null: even all valves at once starve none"),
    FCI_LIST(fc_checked_state, zones, n_zones, "zones", &zone_shape,
             "PRV zones; empty: one pressure zone"),
};
static FCI_SHAPE(state_shape, "checked_state", fc_checked_state, state_rows,
                 "The building in one state");

/* ---- The whole -------------------------------------------------------- */

static const char *const peak_list[] = { "fixture units", "probability" };
static FCI_WORDS(peak_words, peak_list);

static const struct fci_member minimum_rows[] = {
    FCI_FIGURE(fc_quoted_minimum, pressure, "pressure", FC_PRESSURE,
               "The minimum flowing pressure"),
    FCI_TEXT(fc_quoted_minimum, source, "source", "Who quotes it"),
};
static FCI_SHAPE(minimum_shape, "quoted_minimum", fc_quoted_minimum,
                 minimum_rows,
                 "A minimum that codes and handbooks quote, for comparison");

static const struct fci_member source_rows[] = {
    FCI_TEXT(fc_check_result, source, "name", "Its name"),
    FCI_RANGE(fc_check_result, source_static, "static", FC_PRESSURE,
              "Its static pressure"),
};
static FCI_SHAPE(source_shape, "source", fc_check_result, source_rows,
                 "The source of the water");

static const struct fci_member head_rows[] = {
    FCI_TEXT(fc_check_result, title, "title", "Title of the site"),
    FCI_TEXT(fc_check_result, address, "address", "Its address"),
    FCI_TEXT(fc_check_result, prepared_by, "prepared_by", "Who prepared it"),
    FCI_TEXT(fc_check_result, date, "date", "When"),
    FCI_TEXT(fc_check_result, code, "code", "The plumbing code"),
    FCI_WORD(fc_check_result, peak, "peak", &peak_words,
             "Which peak demand the verdict rests on"),
    FCI_WORD(fc_check_result, demand, "demand", &fci_reading_words,
             "How the demand table is read"),
    FCI_FLAG(fc_check_result, converted, "converted",
             "Some fixture has a retrofit valve; the verdict is then of the "
             "state after retrofit"),
    FCI_WORD(fc_check_result, works, "verdict", &fci_verdict_words,
             "Whether the building works"),
    FCI_WORD(fc_check_result, too_high, "too_high", &fci_too_high_words,
             "Whether some fixture has too much pressure"),
    FCI_ITSELF("source", &source_shape, "The source"),
};
static FCI_SHAPE(head_shape, "check_head", fc_check_result, head_rows,
                 "Verdicts and what they rest on");

static const struct fci_member states_rows[] = {
    STATES(fc_check_result, &state_shape, building_after, "The building"),
};
static FCI_SHAPE(states_shape, "check_states", fc_check_result, states_rows,
                 "Both states");

static const struct fci_member table_rows[] = {
    FCI_LIST(fc_check_result, fixtures, n_fixtures, "fixtures", &fixture_shape,
             "The fixtures"),
    FCI_LIST(fc_check_result, pipes, n_pipes, "pipes", &pipe_shape,
             "The pipes"),
};
static FCI_SHAPE(tables_shape, "check_tables", fc_check_result, table_rows,
                 "Fixtures and pipes");

static const struct fci_member more_rows[] = {
    FCI_LIST(fc_check_result, minima, n_minima, "quoted_minima",
             &minimum_shape, "Minimums that are quoted, for comparison"),
    FCI_LIST(fc_check_result, contradictions, n_contradictions,
             "contradictions", &fci_contradiction_shape,
             "Readings that contradict the file or each other"),
};
static FCI_SHAPE(more_shape, "check_more", fc_check_result, more_rows,
                 "Minimums and contradictions");

/* The way to the governing fixture in the judged state. */
static const void *
governing_path(struct fci_at at, union fci_value *room)
{
    const struct fci_check_view *view = at.object;

    (void)room;
    return view->paths[fci_judged_state(view->result)];
}

static const void *
governing_steps(struct fci_at at, union fci_value *room)
{
    const struct fci_check_view *view = at.object;
    const fc_path *path = view->paths[fci_judged_state(view->result)];

    room->list = path ? (struct fci_list){ path->steps, path->n_steps }
                      : (struct fci_list){ NULL, 0 };
    return &room->list;
}

/* The lists of the states stand behind those of the building, so that the
 * first table is that of the fixtures. */
static const struct fci_member check_rows[] = {
    FCI_SPREAD(struct fci_check_view, result, &head_shape),
    FCI_SPREAD(struct fci_check_view, result, &tables_shape),
    FCI_SPREAD(struct fci_check_view, result, &fci_told_shape),
    FCI_SPREAD(struct fci_check_view, result, &more_shape),
    FCI_SPREAD(struct fci_check_view, result, &states_shape),
    FCI_GET_OBJECT("budget", &fci_budget_shape, governing_path,
                   "Where the pressure goes on the way to the governing "
                   "fixture"),
    FCI_GET_LIST("steps", &fci_step_shape, governing_steps,
                 "The way there, from the source on"),
};
FCI_SHAPE(fci_check_shape, "check", struct fci_check_view, check_rows,
          "Will every fixture work, existing and after retrofit?");
