/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/quick_shape.c -- what `quick` tells programs. */
#include "report/report.h"
#include "report/shapes.h"

static const char *const place_list[] = {
    [FC_LOST_UNKNOWN] = NULL,    [FC_LOST_SHARED] = "shared",
    [FC_LOST_OWN] = "own",       [FC_LOST_BOTH] = "both",
    [FC_LOST_EITHER] = "either",
};
static FCI_WORDS(place_words, place_list);

static const struct fci_member step_rows[] = {
    FCI_INTEGER(fc_quick_step, flushing, "flushing", "How many flush at once"),
    FCI_RANGE(fc_quick_step, pressure, "pressure", FC_PRESSURE,
              "What is known of the flowing pressure at the valve"),
    FCI_RANGE(fc_quick_step, modeled, "modeled", FC_PRESSURE,
              "What flush gives there, of the site file"),
    FCI_FIGURE(fc_quick_step, read, "read", FC_PRESSURE,
               "By the gauge; null: not read"),
    FCI_FIGURE(fc_quick_step, within, "within", FC_PRESSURE,
               "What that reading may be off by"),
    FCI_FLAG(fc_quick_step, far, "far",
             "Whether more than twice what was measured flows"),
    FCI_FLAG(fc_quick_step, at_most, "at_most",
             "Whether a loss that nobody measured is yet to come off it"),
    FCI_WORD(fc_quick_step, enough, "verdict", &fci_verdict_words,
             "Whether it is what is required"),
};
static FCI_SHAPE(step_shape, "quick_step", fc_quick_step, step_rows,
                 "With so many valves flushing");

static const struct fci_member result_rows[] = {
    FCI_TEXT(fc_quick_result, title, "title", "Title of the site"),
    FCI_WORD(fc_quick_result, works, "verdict", &fci_verdict_words,
             "Whether the valve has what is required with up to so many "
             "flushing"),
    FCI_INTEGER(fc_quick_result, flushing, "flushing",
                "How many flush at once, for the verdict"),
    FCI_WORD(fc_quick_result, too_high, "too_high", &fci_too_high_words,
             "Whether its static pressure is too high"),
    FCI_POINTER(fc_quick_result, excess, "excess", &fci_excess_shape,
                "What is too high; null: nothing"),
    FCI_RANGE(fc_quick_result, ceiling, "static", FC_PRESSURE,
              "Static pressure at the valve"),
    FCI_FLAG(fc_quick_result, ceiling_known, "static_known",
             "Whether gauges tell it; else it is only between its ends"),
    FCI_RANGE(fc_quick_result, required, "required", FC_PRESSURE,
              "Flowing pressure that it requires"),
    FCI_FLAG(fc_quick_result, required_given, "required_given",
             "Whether that was said, or else is what is usual"),
    FCI_RANGE(fc_quick_result, spare, "spare", FC_PRESSURE,
              "Static less required: what all losses together may take"),
    FCI_LIST(fc_quick_result, steps, n_steps, "steps", &step_shape,
             "With 1, 2, ... flushing"),
    FCI_WORD(fc_quick_result, lost_at, "lost_at", &place_words,
             "Where it is lost, by the readings; null: they do not tell"),
    FCI_RANGE(fc_quick_result, lost, "lost", FC_PRESSURE,
              "Static less flowing, at the least number that was read"),
    FCI_RANGE(fc_quick_result, pipe_loss, "pipe_loss", FC_PRESSURE,
              "What the pipe as given loses of that"),
    FCI_OBJECT_IF(fc_quick_result, proviso, proviso.given, "works_if",
                  &fci_proviso_shape,
                  "What would settle it where the verdict is cannot tell"),
    FCI_TEXT(fc_quick_result, gauges, "gauges",
             "How two static gauges agree; null: there are not two"),
    FCI_FLAG(fc_quick_result, gauges_agree, "gauges_agree",
             "Whether they do, within what they may be off"),
    FCI_TEXT(fc_quick_result, found, "found",
             "Where pressure is lost, in words"),
    FCI_TEXT(fc_quick_result, next, "next", "What to measure or do next"),
    FCI_LIST(fc_quick_result, contradictions, n_contradictions,
             "contradictions", &fci_contradiction_shape,
             "Readings that contradict each other"),
    FCI_TEXTS(fc_quick_result, assumptions, n_assumptions, "assumptions",
              "What is assumed, not given"),
    FCI_TEXT(fc_quick_result, fixture, "fixture",
             "Name of the valves in the site file"),
    FCI_TEXT(fc_quick_result, text, "site_file",
             "The site file of it, as --write keeps it"),
    FCI_CAUTIONS_ROW,
};
static FCI_SHAPE(result_shape, "quick_result", fc_quick_result, result_rows,
                 "A first answer");

static const struct fci_member view_rows[] = {
    FCI_SPREAD(struct fci_quick_view, result, &result_shape),
};
FCI_SHAPE(fci_quick_shape, "quick", struct fci_quick_view, view_rows,
          "What a handful of figures tell at once");
