/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/shapes.c -- what several reports tell programs. */
#include "report/shapes.h"

#include <math.h>

static const char *const verdict_list[] = { "cannot tell", "works",
                                            "does not work" };
static const char *const too_high_list[] = { "cannot tell", "no", "yes" };
static const char *const state_list[] = { "existing", "retrofit" };
static const char *const severity_list[] = { "note", "warn", "fail" };
static const char *const governor_list[] = { NULL, "code", "valve" };
static const char *const reading_list[] = { "next row", "interpolate" };
FCI_WORDS(fci_verdict_words, verdict_list);
FCI_WORDS(fci_too_high_words, too_high_list);
FCI_WORDS(fci_state_words, state_list);
FCI_WORDS(fci_severity_words, severity_list);
FCI_WORDS(fci_governor_words, governor_list);
FCI_WORDS(fci_reading_words, reading_list);

const void *
fci_get_cautions(struct fci_at at, union fci_value *room)
{
    const char *const *cautions = fc_cautions();

    (void)at;
    room->list.items = cautions;
    room->list.n = 0;
    while (cautions[room->list.n])
        room->list.n++;
    return &room->list;
}

/* ---- Findings --------------------------------------------------------- */

/* The one state that a finding concerns; null: not just one. */
static const void *
finding_state(struct fci_at at, union fci_value *room)
{
    const fc_finding *f = at.object;

    room->word = f->states == FC_IN(FC_RETROFIT) ? FC_RETROFIT : FC_EXISTING;
    return f->states == FC_IN(FC_RETROFIT) || f->states == FC_IN(FC_EXISTING)
               ? &room->word
               : NULL;
}

static const struct fci_member finding_rows[] = {
    FCI_WORD(fc_finding, severity, "severity", &fci_severity_words,
             "How much it matters"),
    FCI_TEXT(fc_finding, subject, "subject",
             "The fixture, pipe or source it is about; empty: the building"),
    FCI_GET_WORD("state", &fci_state_words, finding_state,
                 "The one state that it concerns; null: not just one"),
    FCI_TEXT(fc_finding, about, "about", "The word to sort and count it by"),
    FCI_TEXT(fc_finding, text, "text", "The finding, a sentence"),
};
FCI_SHAPE(fci_finding_shape, "finding", fc_finding, finding_rows,
          "Something a reader should know");

/* ---- Contradictions --------------------------------------------------- */

/* Their figures are pressures, or flows where `dimension` says so; the rows of
 * both are there, and those of the other are null. */
#define OF(name, member, dim)                                                 \
    static const void *name(struct fci_at at, union fci_value *room)          \
    {                                                                         \
        const fc_contradiction *c = at.object;                                \
                                                                              \
        room->number = c->dimension == dim ? c->member : (double)NAN;         \
        return &room->number;                                                 \
    }
OF(read_pressure, read, FC_PRESSURE)
OF(read_flow, read, FC_FLOW)
OF(within_pressure, within, FC_PRESSURE)
OF(within_flow, within, FC_FLOW)
OF(low_pressure, low, FC_PRESSURE)
OF(high_pressure, high, FC_PRESSURE)
OF(low_flow, low, FC_FLOW)
OF(high_flow, high, FC_FLOW)
OF(against_pressure, against_read, FC_PRESSURE)
OF(against_flow, against_read, FC_FLOW)
OF(apart_pressure, apart, FC_PRESSURE)
OF(apart_flow, apart, FC_FLOW)

#define FIGURE(key, dimension, getter, about)                                 \
    FCI_GET(key, FCI_M_FIGURE, dimension, getter, about)

static const struct fci_member contradiction_rows[] = {
    FCI_TEXT(fc_contradiction, reading, "reading", "The reading"),
    FCI_TEXT(fc_contradiction, at, "at", "Where it was taken"),
    FCI_WORD(fc_contradiction, state, "state", &fci_state_words,
             "With the valves of which state"),
    FCI_TEXT(fc_contradiction, flushing, "flushing", "What flowed"),
    FIGURE("read", FC_PRESSURE, read_pressure, "The pressure read"),
    FIGURE("read_flow", FC_FLOW, read_flow, "The flow read"),
    FIGURE("within", FC_PRESSURE, within_pressure,
           "What the gauge may be off by"),
    FIGURE("within_flow", FC_FLOW, within_flow, "What the flow may be off by"),
    FIGURE("low", FC_PRESSURE, low_pressure, "The least the site gives"),
    FIGURE("high", FC_PRESSURE, high_pressure, "The most the site gives"),
    FIGURE("low_flow", FC_FLOW, low_flow, "The least flow the site gives"),
    FIGURE("high_flow", FC_FLOW, high_flow, "The most flow the site gives"),
    FCI_TEXT(fc_contradiction, against, "against",
             "The other reading; null: the site"),
    FCI_TEXT(fc_contradiction, against_at, "against_at",
             "Where the other one was taken"),
    FIGURE("against_read", FC_PRESSURE, against_pressure,
           "What the other one read"),
    FIGURE("against_read_flow", FC_FLOW, against_flow,
           "The flow of the other one"),
    FCI_TEXT(
        fc_contradiction, beside, "beside",
        "Another reading by the same gauge, where the figures are of what "
        "the two differ by"),
    FIGURE("apart", FC_PRESSURE, apart_pressure,
           "How far apart they are, elevation counted"),
    FIGURE("apart_flow", FC_FLOW, apart_flow, "How far apart the flows are"),
    FCI_TEXT(fc_contradiction, text, "text", "The contradiction, a sentence"),
};
FCI_SHAPE(fci_contradiction_shape, "contradiction", fc_contradiction,
          contradiction_rows,
          "A gauge reading that cannot be true beside another, or beside the "
          "site file");

/* ---- The rest --------------------------------------------------------- */

static const struct fci_member override_rows[] = {
    FCI_TEXT(fc_override, what, "what", "What the file sets"),
    FCI_TEXT(fc_override, set, "set", "To what"),
    FCI_TEXT(fc_override, code, "code",
             "What it is by the code or the built-in tables"),
    FCI_TEXT(fc_override, text, "text", "The same, a sentence"),
};
FCI_SHAPE(fci_override_shape, "override", fc_override, override_rows,
          "What the file sets otherwise than the code or the tables");

/* A limit's figure by what it is of. */
static const void *
limit_of(struct fci_at at, union fci_value *room, fc_dimension dimension)
{
    const fc_proviso *proviso = at.object;

    room->number =
        proviso->dimension == dimension ? proviso->limit : (double)NAN;
    return &room->number;
}

#define LIMIT(name, dimension)                                                \
    static const void *name(struct fci_at at, union fci_value *room)          \
    {                                                                         \
        return limit_of(at, room, dimension);                                 \
    }
LIMIT(limit_pressure, FC_PRESSURE)
LIMIT(limit_flow, FC_FLOW)
LIMIT(limit_length, FC_LENGTH)
LIMIT(limit_number, FC_NUMBER)
LIMIT(limit_size, FC_SIZE)

static const struct fci_member proviso_rows[] = {
    FCI_TEXT(fc_proviso, input, "input", "The input that settles it"),
    FCI_TEXT(fc_proviso, of, "of", "What it is an input of"),
    FCI_FLAG(fc_proviso, at_most, "at_most",
             "It works with the input at most the limit; else at least"),
    FIGURE("limit_pressure", FC_PRESSURE, limit_pressure,
           "The limit, where it is a pressure"),
    FIGURE("limit_flow", FC_FLOW, limit_flow, "Where it is a flow"),
    FIGURE("limit_length", FC_LENGTH, limit_length, "Where it is a length"),
    FIGURE("limit_size", FC_SIZE, limit_size, "Where it is a size"),
    FCI_GET("limit", FCI_M_NUMBER, FC_NUMBER, limit_number,
            "Where it is a number"),
    FCI_FIGURE(fc_proviso, flow, "at_flow", FC_FLOW,
               "The flow that the limit is of"),
    FCI_TEXT(fc_proviso, text, "text", "The same, in words"),
    FCI_TEXT(fc_proviso, measure, "measure", "What to measure"),
};
FCI_SHAPE(
    fci_proviso_shape, "proviso", fc_proviso, proviso_rows,
    "The one figure that would settle it where the verdict is cannot tell");

const void *
fci_proviso_or_null(const fc_proviso *proviso)
{
    return proviso->given ? proviso : NULL;
}

static const char *const flowing_list[] = { "static", "flowing" };
static const char *const maximum_list[] = { "site", "valve" };
static FCI_WORDS(flowing_words, flowing_list);
static FCI_WORDS(maximum_words, maximum_list);

static const void *
excess_flowing(struct fci_at at, union fci_value *room)
{
    room->word = ((const fc_excess *)at.object)->flowing;
    return &room->word;
}

static const void *
excess_of_valve(struct fci_at at, union fci_value *room)
{
    room->word = ((const fc_excess *)at.object)->of_valve;
    return &room->word;
}

static const struct fci_member excess_rows[] = {
    FCI_GET_WORD("of", &flowing_words, excess_flowing,
                 "Which pressure is too high"),
    FCI_RANGE(fc_excess, pressure, "pressure", FC_PRESSURE, "At the fixture"),
    FCI_FIGURE(fc_excess, maximum, "maximum", FC_PRESSURE, "The limit"),
    FCI_GET_WORD("maximum_of", &maximum_words, excess_of_valve, "Whose limit"),
    FCI_TEXT(fc_excess, reducer, "prv", "The PRV upstream; null: none"),
};
FCI_SHAPE(fci_excess_shape, "excess", fc_excess, excess_rows,
          "Too much pressure, or maybe");

static const struct fci_member end_rows[] = {
    FCI_WORD(fc_fixture_state, works, "verdict", &fci_verdict_words,
             "Of all checks together, but for too much pressure"),
    FCI_WORD(fc_fixture_state, pressure, "pressure_verdict",
             &fci_verdict_words, "Of the margin at peak alone"),
    FCI_TEXT(fc_fixture_state, valve, "valve",
             "Its flush valve; null: it has none"),
    FCI_FLAG(fc_fixture_state, valve_assumed, "valve_assumed",
             "No valve is named: a generic class"),
    FCI_RANGE(fc_fixture_state, required, "required", FC_PRESSURE,
              "Flowing pressure required, the reserve with it"),
    FCI_WORD(fc_fixture_state, governed_by, "governed_by", &fci_governor_words,
             "Whose minimum it is"),
    FCI_FIGURE(fc_fixture_state, code_minimum, "code_minimum", FC_PRESSURE,
               "The code's minimum"),
    FCI_TEXT(fc_fixture_state, code_source, "code_source",
             "Code, edition and table of that minimum"),
    FCI_FIGURE(fc_fixture_state, reserve, "reserve", FC_PRESSURE,
               "Reserve in the required pressure"),
    FCI_RANGE(fc_fixture_state, valve_minimum, "valve_minimum", FC_PRESSURE,
              "The valve minimum"),
    FCI_RANGE(fc_fixture_state, flowing, "flowing", FC_PRESSURE,
              "Flowing pressure at peak"),
    FCI_RANGE(fc_fixture_state, margin, "margin", FC_PRESSURE,
              "Flowing less required"),
    FCI_RANGE(fc_fixture_state, spare, "spare", FC_PRESSURE,
              "How far the supply may fall before it is short; negative: how "
              "far it must rise"),
    FCI_TEXT(fc_fixture_state, decided_by, "decided_by",
             "Where the verdict is cannot tell: the input that controls"),
    FCI_WORD(fc_fixture_state, too_high, "too_high", &fci_too_high_words,
             "Whether it has too much pressure"),
    FCI_POINTER(fc_fixture_state, excess, "excess", &fci_excess_shape,
                "What is too high; null: nothing"),
};
FCI_SHAPE(fci_end_shape, "fixture_judged", fc_fixture_state, end_rows,
          "What a fixture is judged by in one state");

static const struct fci_member told_rows[] = {
    FCI_LIST(fc_check_result, findings, n_findings, "findings",
             &fci_finding_shape, "What was found, the most severe first"),
    FCI_LIST(fc_check_result, overrides, n_overrides, "overrides",
             &fci_override_shape,
             "What the file sets otherwise than the code"),
    FCI_TEXTS(fc_check_result, assumptions, n_assumptions, "assumptions",
              "What is assumed, not given"),
    FCI_CAUTIONS_ROW,
};
FCI_SHAPE(fci_told_shape, "told", fc_check_result, told_rows,
          "What is told beside the figures");
