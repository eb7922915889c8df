/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/path_shape.c -- what `path` tells programs. */
#include "report/path_shape.h"
#include "report/report.h"
#include "report/shapes.h"

#include <math.h>

/* ---- Steps and their sums --------------------------------------------- */

static const void *
step_set(struct fci_at at, union fci_value *room)
{
    const fc_path_step *step = at.object;

    room->number = step->set > 0.0 ? step->set : (double)NAN;
    return &room->number;
}

static const struct fci_member step_rows[] = {
    FCI_TEXT(fc_path_step, element, "element", "Its name"),
    FCI_TEXT(fc_path_step, kind, "kind", "What it is"),
    FCI_TEXT(fc_path_step, beside, "beside",
             "The PRV side by side with it; null: none"),
    FCI_FIGURE(fc_path_step, flow, "flow", FC_FLOW, "Peak flow"),
    FCI_FIGURE(fc_path_step, elevation_loss, "elevation_loss", FC_PRESSURE,
               "Lost to elevation; negative: gained"),
    FCI_FIGURE(fc_path_step, friction_loss, "friction_loss", FC_PRESSURE,
               "Lost to pipe friction"),
    FCI_FIGURE(fc_path_step, fitting_loss, "fitting_loss", FC_PRESSURE,
               "Lost in fittings"),
    FCI_FIGURE(fc_path_step, device_loss, "device_loss", FC_PRESSURE,
               "Lost in the device; negative: a pump's boost"),
    FCI_FIGURE(fc_path_step, darcy_loss, "darcy_loss", FC_PRESSURE,
               "Friction and fittings by Darcy-Weisbach, for comparison"),
    FCI_FIGURE(fc_path_step, sag, "street_main_drop", FC_PRESSURE,
               "Of a street main: static less its pressure at peak"),
    FCI_GET("set_pressure", FCI_M_FIGURE, FC_PRESSURE, step_set,
            "Of a PRV that controls: its set pressure"),
    FCI_FIGURE(fc_path_step, throttled, "throttled", FC_PRESSURE,
               "What that PRV throttles, which is no loss"),
    FCI_FIGURE(fc_path_step, pressure, "pressure", FC_PRESSURE,
               "Residual downstream of it"),
};
FCI_SHAPE(fci_step_shape, "budget_step", fc_path_step, step_rows,
          "A step of the pressure budget");

static const struct fci_member budget_rows[] = {
    FCI_TEXT(fc_path, fixture, "fixture", "The fixture at its end"),
    FCI_WORD(fc_path, state, "state", &fci_state_words, "Which state"),
    FCI_TEXT(fc_path, budget.from, "prv",
             "The last PRV that controls, where it starts; null: the source"),
    FCI_TEXT(fc_path, budget.beside, "beside",
             "The PRV side by side with that one; null: none"),
    FCI_FIGURE(fc_path, budget.start, "start", FC_PRESSURE,
               "Pressure that it starts from"),
    FCI_FIGURE(fc_path, budget.throttled, "throttled", FC_PRESSURE,
               "What that PRV throttles, which is no loss"),
    FCI_FIGURE(fc_path, budget.sag, "street_main_drop", FC_PRESSURE,
               "Drop of the street main"),
    FCI_FIGURE(fc_path, budget.elevation, "elevation_loss", FC_PRESSURE,
               "Lost to elevation"),
    FCI_FIGURE(fc_path, budget.friction, "friction_loss", FC_PRESSURE,
               "Lost to pipe friction"),
    FCI_FIGURE(fc_path, budget.fittings, "fitting_loss", FC_PRESSURE,
               "Lost in fittings"),
    FCI_FIGURE(fc_path, budget.devices, "device_loss", FC_PRESSURE,
               "Lost in meters, other devices and the stop"),
    FCI_FIGURE(fc_path, budget.backflow, "backflow_loss", FC_PRESSURE,
               "Lost in backflow preventers"),
    FCI_FIGURE(fc_path, budget.reducers, "prv_loss", FC_PRESSURE,
               "Fall-off of PRVs, or their loss wide open"),
    FCI_FIGURE(fc_path, budget.pumps, "pump_boost", FC_PRESSURE,
               "Given by pumps"),
    FCI_FIGURE(fc_path, end.flowing.nominal, "pressure", FC_PRESSURE,
               "Flowing pressure at the fixture: start less all of these"),
};
FCI_SHAPE(fci_budget_shape, "budget", fc_path, budget_rows,
          "What becomes of the pressure on the way to a fixture");

/* ---- The whole -------------------------------------------------------- */

static const struct fci_member way_rows[] = {
    FCI_TEXT(fc_path, fixture, "fixture", "The fixture"),
    FCI_WORD(fc_path, state, "state", &fci_state_words, "Which state"),
    FCI_OBJECT_IF(fc_path, proviso, proviso.given, "works_if",
                  &fci_proviso_shape,
                  "What would settle it where the verdict is cannot tell"),
    FCI_LIST(fc_path, steps, n_steps, "steps", &fci_step_shape,
             "The budget, from the source on"),
    FCI_ITSELF("budget", &fci_budget_shape, "Its sums"),
    FCI_LIST(fc_path, contradictions, n_contradictions, "contradictions",
             &fci_contradiction_shape,
             "Readings that contradict the file or each other"),
};
static FCI_SHAPE(way_shape, "way", fc_path, way_rows, "The way");

static const struct fci_member title_rows[] = {
    FCI_TEXT(fc_check_result, title, "title", "Title of the site"),
};
static FCI_SHAPE(title_shape, "title", fc_check_result, title_rows, "Title");

static const struct fci_member told_rows[] = {
    FCI_LIST(fc_check_result, overrides, n_overrides, "overrides",
             &fci_override_shape,
             "What the file sets otherwise than the code"),
    FCI_TEXTS(fc_check_result, assumptions, n_assumptions, "assumptions",
              "What is assumed, not given"),
    FCI_CAUTIONS_ROW,
};
static FCI_SHAPE(told_shape, "told_of_way", fc_check_result, told_rows,
                 "What is told beside the figures");

static const struct fci_member outlet_rows[] = {
    FCI_TEXT(fc_checked_fixture, kind, "kind", "Kind of the fixture"),
    FCI_INTEGER(fc_checked_fixture, count, "count",
                "How many there are, at most"),
    FCI_INTEGER(fc_checked_fixture, count_least, "count_least",
                "How many at least"),
    FCI_TEXT(fc_checked_fixture, on, "on", "What feeds it"),
    FCI_RANGE(fc_checked_fixture, static_pressure, "static", FC_PRESSURE,
              "Static pressure at its inlet"),
    FCI_FIGURE(fc_checked_fixture, elevation, "elevation", FC_LENGTH,
               "Of its inlet"),
};
static FCI_SHAPE(outlet_shape, "outlet", fc_checked_fixture, outlet_rows,
                 "The fixture");

static const struct fci_member path_rows[] = {
    FCI_SPREAD(struct fci_path_view, result, &title_shape),
    FCI_SPREAD(struct fci_path_view, fixture, &outlet_shape),
    FCI_SPREAD(struct fci_path_view, end, &fci_end_shape),
    FCI_SPREAD(struct fci_path_view, path, &way_shape),
    FCI_LIST(struct fci_path_view, findings, n_findings, "findings",
             &fci_finding_shape,
             "What was found of the fixture and on the way to it, the most "
             "severe first"),
    FCI_SPREAD(struct fci_path_view, result, &told_shape),
};
FCI_SHAPE(fci_path_shape, "path", struct fci_path_view, path_rows,
          "Where the pressure goes on the way to one fixture");
