/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/verify_shape.c -- what `verify` tells programs, and a record. */
#include "report/report.h"
#include "report/shapes.h"
#include "report/verify_report.h"

static const char *const support_list[] = { "undecided", "supported",
                                            "contradicted" };
static const char *const condition_list[] = { "not said", "peak", "flushing",
                                              "alone" };
static const char *const doubt_list[] = {
    NULL, "sampling", "model", "alike", "sure by independence", "not given"
};
FCI_WORDS(fci_support_words, support_list);
static FCI_WORDS(condition_words, condition_list);
static FCI_WORDS(doubt_words, doubt_list);

/* ---- Claims ----------------------------------------------------------- */

static const void *
claim_by_model(struct fci_at at, union fci_value *room)
{
    const fc_checked_claim *c = at.object;

    room->word = (int)c->by_model;
    return c->why_not ? NULL : &room->word;
}

#define TEXT(part, key, about) FCI_TEXT(fc_checked_claim, part, key, about)
#define PRESSURE(part, key, about)                                            \
    FCI_FIGURE(fc_checked_claim, part, key, FC_PRESSURE, about)

static const struct fci_member claim_rows[] = {
    TEXT(name, "name", "Its name"),
    FCI_WORD(fc_checked_claim, verdict, "verdict", &fci_support_words,
             "By the reading where there is one, else as computed"),
    TEXT(fixture, "fixture", "The fixture it is about"),
    TEXT(kind, "kind", "Its kind, as the code calls it"),
    TEXT(stated_in, "stated_in", "The document that states it"),
    FCI_WORD(fc_checked_claim, state, "state", &fci_state_words,
             "With the valves of which state"),
    FCI_FLAG(fc_checked_claim, state_said, "state_said",
             "The file says that state"),
    FCI_WORD(fc_checked_claim, condition, "condition", &condition_words,
             "What flows meanwhile"),
    FCI_FLAG(fc_checked_claim, condition_said, "condition_said",
             "The file says that condition"),
    TEXT(event, "event", "The condition in words"),
    TEXT(judged, "judged", "All conditions and states it is judged under"),
    TEXT(holds, "holds",
         "Where these differ: under which it is so, and what to say"),
    TEXT(not_flowing, "not_flowing",
         "Why the condition is no flowing one; null: it is"),
    FCI_FLAG(fc_checked_claim, can_be_read, "can_be_read",
             "A gauge can be read under the condition"),
    FCI_FIGURE(fc_checked_claim, elevation, "elevation", FC_LENGTH,
               "Of the fixture's inlet"),
    FCI_FIGURE(fc_checked_claim, flow, "flow", FC_FLOW,
               "Of the valves that flush, or the peak demand"),
    PRESSURE(supply, "supply",
             "Static pressure of the source on the claim's day; null: as the "
             "site has it"),
    PRESSURE(claimed, "claimed", "At least this flowing pressure is claimed"),
    PRESSURE(code_minimum, "code_minimum", "The code's minimum there"),
    TEXT(code, "code_source", "Code, edition and table of that minimum"),
    PRESSURE(valve_minimum, "valve_minimum", "The valve's own minimum"),
    TEXT(but_under, "but_under",
         "Under which of these minimums less is claimed"),
    TEXT(why_not, "why_not", "Why it cannot be computed; null: it can"),
    PRESSURE(computed, "computed", "At midpoint values of the ranges"),
    PRESSURE(still, "static_pressure", "With no flow"),
    PRESSURE(low, "low", "95% of the outcomes lie between this"),
    PRESSURE(high, "high", "and this"),
    FCI_NUMBER(fc_checked_claim, probability, "probability",
               "Share of the outcomes that reach the claim"),
    FCI_NUMBER(fc_checked_claim, probability_low, "probability_low",
               "Wilson's interval of 95% of that share, for so many draws"),
    FCI_NUMBER(fc_checked_claim, probability_high, "probability_high",
               "Its upper end"),
    FCI_INTEGER(fc_checked_claim, drawn, "drawn", "How many were drawn"),
    FCI_WORD(fc_checked_claim, doubt, "doubt", &doubt_words,
             "What makes a computed verdict less sure"),
    TEXT(rests_on, "rests_on", "The inputs that doubt is about"),
    FCI_FLAG(fc_checked_claim, certain, "certain",
             "The same with every input at its worst, or at its best"),
    FCI_GET_WORD("by_model", &fci_support_words, claim_by_model,
                 "The verdict as computed"),
    TEXT(decided_by, "decided_by", "The input that controls"),
    FCI_PLAIN_IF("share", FCI_M_NUMBER, FC_NUMBER, fc_checked_claim, share,
                 decided_by, "Its share of the variance"),
    TEXT(reading, "reading", "The reading under the claim's own condition"),
    PRESSURE(read, "read", "What it comes to at the fixture's inlet"),
    PRESSURE(within, "within", "What that may be off by"),
    TEXT(against, "against", "A reading that cannot be true beside it"),
    TEXT(still_reading, "static_reading", "A reading of static pressure"),
    PRESSURE(still_read, "static_read",
             "What it comes to at the fixture's inlet"),
    PRESSURE(still_within, "static_within", "What that may be off by"),
    TEXT(carried_reading, "carried_reading",
         "A reading under another condition"),
    TEXT(carried_event, "carried_event", "What flowed then"),
    FCI_FLAG(fc_checked_claim, carried_flows, "carried_flows",
             "Something flowed then"),
    FCI_WORD_IF(fc_checked_claim, carried_state, carried_reading,
                "carried_state", &fci_state_words,
                "Which valves were in place then"),
    PRESSURE(carried_read, "carried_read",
             "What it came to at the fixture's inlet then"),
    PRESSURE(carried, "carried", "As it is carried to the claim's condition"),
    PRESSURE(carried_within, "carried_within", "What the gauge may be off by"),
    PRESSURE(carried_low, "carried_low", "The least it can be carried to"),
    PRESSURE(carried_high, "carried_high", "The most it can be carried to"),
    TEXT(refuted_by, "refuted_by",
         "A reading that the site as entered cannot give"),
    TEXT(refuted_beside, "refuted_beside",
         "Another, where it cannot give both"),
    TEXT(unproved, "unproved", "A street main without a flow test"),
    TEXT(borne_out_by, "borne_out_by",
         "A carried reading without which it would be undecided"),
    TEXT(drawn_down, "drawn_down",
         "What is drawn below what it must keep, or may be"),
};
static FCI_SHAPE(claim_shape, "claim", fc_checked_claim, claim_rows,
                 "A claim, judged; of several cases by the harshest");

/* ---- Readings, cases and what it rests on ----------------------------- */

static const struct fci_member reading_rows[] = {
    FCI_TEXT(fc_listed_reading, name, "name", "Its name"),
    FCI_TEXT(fc_listed_reading, at, "at", "Where it was taken"),
    FCI_TEXT(fc_listed_reading, event, "event", "What flowed"),
    FCI_WORD(fc_listed_reading, state, "state", &fci_state_words,
             "With the valves of which state"),
    FCI_FIGURE(fc_listed_reading, pressure, "pressure", FC_PRESSURE,
               "The pressure read"),
    FCI_FIGURE(fc_listed_reading, flow, "flow", FC_FLOW, "The flow read"),
    FCI_FIGURE(fc_listed_reading, flush_time, "flush_time", FC_TIME,
               "How long a flush took [s]"),
    FCI_FIGURE(fc_listed_reading, within, "within", FC_PRESSURE,
               "What the gauge may be off by"),
    FCI_FLAG(fc_listed_reading, within_said, "within_said",
             "The file says so; else it is the usual figure"),
    FCI_TEXT(fc_listed_reading, gauge, "gauge", "The gauge"),
    FCI_TEXT(fc_listed_reading, number, "number", "Its number"),
    FCI_TEXT(fc_listed_reading, calibrated, "calibrated",
             "When it was calibrated"),
    FCI_TEXT(fc_listed_reading, used_for, "used_for",
             "The claims it was used for, and how"),
    FCI_TEXT(fc_listed_reading, disagrees, "disagrees",
             "With what it disagrees, and by how much"),
};
static FCI_SHAPE(reading_shape, "verify_reading", fc_listed_reading,
                 reading_rows, "A reading of the file, and what became of it");

static const struct fci_member judged_rows[] = {
    FCI_WORD(fc_claim_case, state, "state", &fci_state_words,
             "With the valves of which state"),
    FCI_WORD(fc_claim_case, condition, "condition", &condition_words,
             "What flows meanwhile"),
    FCI_TEXT(fc_claim_case, event, "event", "The condition in words"),
    FCI_FIGURE(fc_claim_case, computed, "computed", FC_PRESSURE,
               "At midpoint values of the ranges"),
    FCI_NUMBER(fc_claim_case, probability, "probability",
               "Share of the outcomes that reach the claim"),
    FCI_TEXT(fc_claim_case, reading, "reading", "The reading that decides"),
    FCI_WORD(fc_claim_case, verdict, "verdict", &fci_support_words,
             "Its verdict"),
};
static FCI_SHAPE(judged_shape, "claim_judged", fc_claim_case, judged_rows,
                 "A claim under one condition and with one state's valves");

static const struct fci_member case_rows[] = {
    FCI_TEXT(struct fci_claim_case_view, claim, "claim", "Of which claim"),
    FCI_SPREAD(struct fci_claim_case_view, judged, &judged_shape),
};
static FCI_SHAPE(case_shape, "claim_case", struct fci_claim_case_view,
                 case_rows,
                 "A claim under one condition; more than one where the file "
                 "does not say it");

static const struct fci_member basis_rows[] = {
    FCI_TEXT(fc_basis, what, "what", "What"),
    FCI_TEXT(fc_basis, text, "text", "How, a sentence"),
};
static FCI_SHAPE(basis_shape, "verify_basis", fc_basis, basis_rows,
                 "What the figures rest on");

/* ---- The whole -------------------------------------------------------- */

static const void *
head_seed(struct fci_at at, union fci_value *room)
{
    room->count = ((const fc_verify_result *)at.object)->seed;
    return &room->count;
}

static const struct fci_member head_rows[] = {
    FCI_TEXT(fc_verify_result, title, "title", "Title of the site"),
    FCI_TEXT(fc_verify_result, address, "address", "Its address"),
    FCI_TEXT(fc_verify_result, prepared_by, "prepared_by",
             "Who prepared the file"),
    FCI_TEXT(fc_verify_result, date, "date", "The date of the file"),
    FCI_TEXT(fc_verify_result, tables, "tables",
             "The file that amends the tables"),
    FCI_WORD(fc_verify_result, verdict, "verdict", &fci_support_words,
             "Of all claims together, the worst"),
    FCI_TEXT(fc_verify_result, source, "source", "The first source"),
    FCI_RANGE(fc_verify_result, source_static, "source_static", FC_PRESSURE,
              "Its static pressure; null: a tank"),
    FCI_COUNT(fc_verify_result, draws, "draws",
              "Buildings drawn; 1: no input is a range"),
    FCI_GET("seed", FCI_M_COUNT, FC_NUMBER, head_seed,
            "What they are drawn from"),
    FCI_COUNT(fc_verify_result, varied, "varied", "Inputs that are ranges"),
    FCI_LIST(fc_verify_result, claims, n_claims, "claims", &claim_shape,
             "The claims, in the order of the file"),
    FCI_LIST(fc_verify_result, readings, n_readings, "readings",
             &reading_shape, "All readings of the file"),
};
static FCI_SHAPE(head_shape, "verified", fc_verify_result, head_rows,
                 "Claims and readings");

static const struct fci_member rest_rows[] = {
    FCI_LIST(fc_verify_result, basis, n_basis, "basis", &basis_shape,
             "What the figures rest on"),
    FCI_LIST(fc_verify_result, findings, n_findings, "findings",
             &fci_finding_shape,
             "What was found, the most severe first; subject: a claim"),
    FCI_LIST(fc_verify_result, overrides, n_overrides, "overrides",
             &fci_override_shape,
             "What the file sets otherwise than the code"),
    FCI_TEXTS(fc_verify_result, assumptions, n_assumptions, "assumptions",
              "What is assumed, not given"),
    FCI_CAUTIONS_ROW,
};
static FCI_SHAPE(rest_shape, "verified_by", fc_verify_result, rest_rows,
                 "What else is told");

static const struct fci_member verify_rows[] = {
    FCI_SPREAD(struct fci_verify_view, result, &head_shape),
    FCI_LIST(struct fci_verify_view, cases, n_cases, "cases", &case_shape,
             "Under which conditions each claim was judged"),
    FCI_SPREAD(struct fci_verify_view, result, &rest_shape),
};
FCI_SHAPE(fci_verify_shape, "verify", struct fci_verify_view, verify_rows,
          "Whether the claimed flowing pressures are true");
