/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/flush_shape.c -- what `flush` tells programs. */
#include "report/flush_report.h"
#include "report/shapes.h"

/* ---- Fixtures --------------------------------------------------------- */

static const void *
margin(struct fci_at at, union fci_value *room)
{
    room->range = fci_flush_margin(at.object);
    return &room->range;
}

static const struct fci_member fixture_rows[] = {
    FCI_TEXT(fc_flush_fixture, name, "name", "Its name"),
    FCI_TEXT(fc_flush_fixture, on, "on", "The element that feeds it"),
    FCI_TEXT(fc_flush_fixture, kind, "kind", "What it is"),
    FCI_TEXT(fc_flush_fixture, valve, "valve",
             "Its flush valve; null: it has none"),
    FCI_INTEGER(fc_flush_fixture, count, "count", "How many there are"),
    FCI_INTEGER(fc_flush_fixture, flushing, "flushing",
                "How many of them flush"),
    FCI_FIGURE(fc_flush_fixture, elevation, "elevation", FC_LENGTH,
               "Of the inlet of its valve"),
    FCI_RANGE(fc_flush_fixture, pressure, "pressure", FC_PRESSURE,
              "At its inlet: flowing where it flushes, else the residual"),
    FCI_RANGE(fc_flush_fixture, still, "static", FC_PRESSURE,
              "The same with nothing flushing; steady draws run"),
    FCI_RANGE(fc_flush_fixture, flow, "flow", FC_FLOW,
              "Of one valve; 0 where none flushes"),
    FCI_RANGE(fc_flush_fixture, minimum, "valve_minimum", FC_PRESSURE,
              "The valve minimum"),
    FCI_RANGE(fc_flush_fixture, required, "required", FC_PRESSURE,
              "That minimum; of one valve that flushes alone the code's, "
              "where that is more"),
    FCI_WORD(fc_flush_fixture, governed_by, "governed_by", &fci_governor_words,
             "Whose minimum it is"),
    FCI_GET("margin", FCI_M_RANGE, FC_PRESSURE, margin,
            "Pressure less required"),
    FCI_WORD_IF(fc_flush_fixture, enough, flushing, "verdict",
                &fci_verdict_words,
                "Whether it keeps its minimum; null: it does not flush"),
    FCI_WORD(fc_flush_fixture, too_high, "too_high", &fci_too_high_words,
             "Whether it has too much pressure"),
    FCI_POINTER(fc_flush_fixture, excess, "excess", &fci_excess_shape,
                "What is too high; null: nothing"),
};
static FCI_SHAPE(fixture_shape, "flush_fixture", fc_flush_fixture,
                 fixture_rows, "A fixture while these flush");

/* ---- Elements --------------------------------------------------------- */

static const struct fci_member element_rows[] = {
    FCI_TEXT(fc_flush_element, name, "name", "Its name"),
    FCI_TEXT(fc_flush_element, kind, "kind", "What it is"),
    FCI_FIGURE(fc_flush_element, elevation, "elevation", FC_LENGTH,
               "Of its outlet"),
    FCI_FIGURE(fc_flush_element, flow, "flow", FC_FLOW,
               "Through it; negative: against the direction it is drawn in"),
    FCI_FIGURE(fc_flush_element, velocity, "velocity", FC_VELOCITY,
               "Of a pipe"),
    FCI_FIGURE(fc_flush_element, velocity_limit, "velocity_limit", FC_VELOCITY,
               "Of a pipe: of its material"),
    FCI_FIGURE(fc_flush_element, pressure, "pressure", FC_PRESSURE,
               "Residual at its outlet"),
    FCI_FIGURE(fc_flush_element, still, "static", FC_PRESSURE,
               "The same with nothing flushing; steady draws run"),
};
static FCI_SHAPE(element_shape, "flush_element", fc_flush_element,
                 element_rows, "An element while these flush");

/* ---- The whole -------------------------------------------------------- */

static const struct fci_member event_rows[] = {
    FCI_TEXT(fc_flush_result, title, "title", "Title of the site"),
    FCI_WORD(fc_flush_result, state, "state", &fci_state_words,
             "With which valves"),
    FCI_WORD(fc_flush_result, enough, "verdict", &fci_verdict_words,
             "Whether every valve that flushes keeps its minimum, no pressure "
             "comes near zero, and no main or pump is drawn too low"),
    FCI_OBJECT_IF(fc_flush_result, proviso, proviso.given, "works_if",
                  &fci_proviso_shape,
                  "What would settle it where the verdict is cannot tell"),
    FCI_WORD(fc_flush_result, too_high, "too_high", &fci_too_high_words,
             "Whether any fixture has too much pressure"),
    FCI_FLAG(fc_flush_result, bounded, "bounded",
             "The ranges of the inputs are in those of the pressures"),
    FCI_INTEGER(fc_flush_result, flushing, "flushing", "Valves at once"),
    FCI_FIGURE(fc_flush_result, flow, "flow", FC_FLOW, "From all sources"),
    FCI_LIST(fc_flush_result, fixtures, n_fixtures, "fixtures", &fixture_shape,
             "All fixtures"),
    FCI_LIST(fc_flush_result, elements, n_elements, "elements", &element_shape,
             "All elements, each after the one that feeds it"),
    FCI_LIST(fc_flush_result, findings, n_findings, "findings",
             &fci_finding_shape, "What was found, the most severe first"),
    FCI_LIST(fc_flush_result, contradictions, n_contradictions,
             "contradictions", &fci_contradiction_shape,
             "Readings that contradict the file or each other"),
    FCI_LIST(fc_flush_result, overrides, n_overrides, "overrides",
             &fci_override_shape,
             "What the file sets otherwise than the code"),
    FCI_TEXTS(fc_flush_result, assumptions, n_assumptions, "assumptions",
              "What is assumed, not given"),
    FCI_CAUTIONS_ROW,
};
static FCI_SHAPE(event_shape, "event", fc_flush_result, event_rows,
                 "A flush event");

static const struct fci_member flush_rows[] = {
    FCI_SPREAD(struct fci_flush_view, result, &event_shape),
};
FCI_SHAPE(fci_flush_shape, "flush", struct fci_flush_view, flush_rows,
          "What every gauge would read while some valves flush");
