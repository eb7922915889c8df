/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/shapes.c -- what several reports tell programs. */
#include "report/shapes.h"

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
static FCI_WORDS(severity_words, severity_list);
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

/* The one state that something concerns; null: not just one. */
static const void *
one_state(unsigned states, union fci_value *room)
{
    room->word = states == FC_IN(FC_RETROFIT) ? FC_RETROFIT : FC_EXISTING;
    return states == FC_IN(FC_RETROFIT) || states == FC_IN(FC_EXISTING)
               ? &room->word
               : NULL;
}

static const void *
finding_state(struct fci_at at, union fci_value *room)
{
    return one_state(((const fc_finding *)at.object)->states, room);
}

static const struct fci_member finding_rows[] = {
    FCI_WORD(fc_finding, severity, "severity", &severity_words,
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

static const struct fci_member contradiction_rows[] = {
    FCI_TEXT(fc_contradiction, reading, "reading", "The reading"),
    FCI_TEXT(fc_contradiction, at, "at", "Where it was taken"),
    FCI_WORD(fc_contradiction, state, "state", &fci_state_words,
             "With the valves of which state"),
    FCI_TEXT(fc_contradiction, flushing, "flushing", "What flowed"),
    FCI_FIGURE_OF(fc_contradiction, read, "read", FC_PRESSURE,
                  "The pressure read"),
    FCI_FIGURE_OF(fc_contradiction, read, "read_flow", FC_FLOW,
                  "The flow read"),
    FCI_FIGURE_OF(fc_contradiction, within, "within", FC_PRESSURE,
                  "What the gauge may be off by"),
    FCI_FIGURE_OF(fc_contradiction, within, "within_flow", FC_FLOW,
                  "What the flow may be off by"),
    FCI_FIGURE_OF(fc_contradiction, low, "low", FC_PRESSURE,
                  "The least the site gives"),
    FCI_FIGURE_OF(fc_contradiction, high, "high", FC_PRESSURE,
                  "The most the site gives"),
    FCI_FIGURE_OF(fc_contradiction, low, "low_flow", FC_FLOW,
                  "The least flow the site gives"),
    FCI_FIGURE_OF(fc_contradiction, high, "high_flow", FC_FLOW,
                  "The most flow the site gives"),
    FCI_TEXT(fc_contradiction, against, "against",
             "The other reading; null: the site"),
    FCI_TEXT(fc_contradiction, against_at, "against_at",
             "Where the other one was taken"),
    FCI_FIGURE_OF(fc_contradiction, against_read, "against_read", FC_PRESSURE,
                  "What the other one read"),
    FCI_FIGURE_OF(fc_contradiction, against_read, "against_read_flow", FC_FLOW,
                  "The flow of the other one"),
    FCI_TEXT(
        fc_contradiction, beside, "beside",
        "Another reading by the same gauge, where the figures are of what "
        "the two differ by"),
    FCI_FIGURE_OF(fc_contradiction, apart, "apart", FC_PRESSURE,
                  "How far apart they are, elevation counted"),
    FCI_FIGURE_OF(fc_contradiction, apart, "apart_flow", FC_FLOW,
                  "How far apart the flows are"),
    FCI_TEXT(fc_contradiction, text, "text", "The contradiction, a sentence"),
};
FCI_SHAPE(fci_contradiction_shape, "contradiction", fc_contradiction,
          contradiction_rows,
          "A gauge reading that cannot be true beside another, or beside the "
          "site file");

/* ---- The rest --------------------------------------------------------- */

static const void *
override_state(struct fci_at at, union fci_value *room)
{
    return one_state(((const fc_override *)at.object)->states, room);
}

static const struct fci_member override_rows[] = {
    FCI_TEXT(fc_override, what, "what", "What the file sets"),
    FCI_TEXT(fc_override, set, "set", "To what"),
    FCI_TEXT(fc_override, code, "code",
             "What it is by the code or the built-in tables"),
    FCI_GET_WORD("state", &fci_state_words, override_state,
                 "The one state that it applies to; null: not just one"),
    FCI_TEXT(fc_override, text, "text", "The same, a sentence"),
};
FCI_SHAPE(fci_override_shape, "override", fc_override, override_rows,
          "What the file sets otherwise than the code or the tables");

static const struct fci_member proviso_rows[] = {
    FCI_TEXT(fc_proviso, input, "input", "The input that settles it"),
    FCI_TEXT(fc_proviso, of, "of", "What it is an input of"),
    FCI_FLAG(fc_proviso, at_most, "at_most",
             "It works with the input at most the limit; else at least"),
    FCI_FIGURE_OF(fc_proviso, limit, "limit_pressure", FC_PRESSURE,
                  "The limit, where it is a pressure"),
    FCI_FIGURE_OF(fc_proviso, limit, "limit_flow", FC_FLOW,
                  "Where it is a flow"),
    FCI_FIGURE_OF(fc_proviso, limit, "limit_length", FC_LENGTH,
                  "Where it is a length"),
    FCI_FIGURE_OF(fc_proviso, limit, "limit_size", FC_SIZE,
                  "Where it is a size"),
    FCI_FIGURE_OF(fc_proviso, limit, "limit", FC_NUMBER,
                  "Where it is a number"),
    FCI_FIGURE(fc_proviso, flow, "at_flow", FC_FLOW,
               "The flow that the limit is of"),
    FCI_TEXT(fc_proviso, text, "text", "The same, in words"),
    FCI_TEXT(fc_proviso, measure, "measure", "What to measure"),
};
FCI_SHAPE(
    fci_proviso_shape, "proviso", fc_proviso, proviso_rows,
    "The one figure that would settle it where the verdict is cannot tell");

static const char *const flowing_list[] = { "static", "flowing" };
static const char *const maximum_list[] = { "site", "valve", "fixture" };
static FCI_WORDS(flowing_words, flowing_list);
static FCI_WORDS(maximum_words, maximum_list);

static const struct fci_member excess_rows[] = {
    FCI_FLAG_WORD(fc_excess, flowing, "of", &flowing_words,
                  "Which pressure is too high"),
    FCI_RANGE(fc_excess, pressure, "pressure", FC_PRESSURE, "At the fixture"),
    FCI_FIGURE(fc_excess, maximum, "maximum", FC_PRESSURE, "The limit"),
    FCI_WORD(fc_excess, maximum_of, "maximum_of", &maximum_words,
             "Whose limit"),
    FCI_TEXT(fc_excess, reducer, "prv", "The PRV upstream; null: none"),
    FCI_TEXT(fc_excess, surge_at, "surge_at",
             "Element whose rating static and surge exceed; null: it is too "
             "high without"),
    FCI_FLAG(fc_excess, static_alone, "static_alone",
             "Static exceeds that rating without surge"),
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

/* ---- Sets of valves ---------------------------------------------------- */

static const struct fci_member flushed_rows[] = {
    FCI_TEXT(fc_flushing, fixture, "fixture", "The fixture"),
    FCI_INTEGER(fc_flushing, count, "count", "How many of it are open"),
};
FCI_SHAPE(fci_flushed_shape, "flushed", fc_flushing, flushed_rows,
          "Valves that are open");
