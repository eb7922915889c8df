/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/element_words.c -- findings on pipes, devices and the source. */
#include "site/pipe_size.h"
#include "check/drawn.h"
#include "check/words.h"
#include "laws/friction.h"
#include "peak/source.h"
#include "units/units.h"

#include <math.h>

/* ---- Pipes ------------------------------------------------------------ */

static void
find_velocity(struct fci_check_words *w, const struct fci_element *element,
              const struct fci_demand *demand, fc_state state)
{
    const struct fci_pipe *pipe = element->pipe;
    const double most =
        fci_velocity(demand->flow[FCI_WORST], fci_pipe_bore(pipe).low);
    const double least =
        fci_velocity(demand->flow[FCI_BEST], fci_pipe_bore(pipe).high);

    if (!(most > pipe->velocity_limit * (1 + 1e-9)))
        return;
    fci_find(&w->found, FC_WARN, element->name, FC_IN(state),
             FC_FOUND_VELOCITY,
             "{carries} {velocity} at peak{when} ({flow} in {bore} bore); the "
             "limit is {limit}",
             FCI_WITH(FCI_WORD("carries", least > pipe->velocity_limit
                                              ? "carries"
                                              : "may carry"),
                      FCI_ONE("velocity", FC_VELOCITY, most),
                      FCI_ONE("flow", FC_FLOW, demand->flow[FCI_WORST]),
                      FCI_AS("bore", FC_LENGTH, pipe->bore.low,
                             fci_show_diameter(w->judge->site->settings.units,
                                               pipe->bore.low)
                                 .text),
                      FCI_ONE("limit", FC_VELOCITY, pipe->velocity_limit)));
}

/* ---- Devices ---------------------------------------------------------- */

static void
find_device(struct fci_check_words *w, const struct fci_element *element,
            const struct fci_demand *demand, fc_state state)
{
    const fc_device *device = element->part->data;
    const double flow = demand->flow[FCI_WORST];

    if (device->meter_kind && flow > device->loss.flow.nominal)
        fci_find(
            &w->found, FC_WARN, element->name, FC_IN(state), FC_FOUND_METER,
            "carries {flow} at peak{when}; the rated maximum of its size is "
            "{rated}",
            FCI_WITH(FCI_ONE("flow", FC_FLOW, flow),
                     FCI_ONE("rated", FC_FLOW, device->loss.flow.nominal)));
    if (element->curve && flow > fci_curve_end(element->curve))
        fci_find(
            &w->found, FC_WARN, element->name, FC_IN(state), FC_FOUND_CURVE,
            "carries {flow} at peak{when}; its curve ends at {curve end} "
            "and may go on in a straight line or by the square of the flow",
            FCI_WITH(
                FCI_ONE("flow", FC_FLOW, flow),
                FCI_ONE("curve end", FC_FLOW, fci_curve_end(element->curve))));
}

static void
find_reducer(struct fci_check_words *w, const struct fci_element *element,
             size_t at, fc_state state)
{
    const fc_reducer *reducer = element->part->data;
    const struct fci_pressure out = w->judge->peak[state][at].at[FCI_NOMINAL];

    if (out.direct < out.capped)
        fci_find(
            &w->found, FC_NOTE, element->name, FC_IN(state), FC_FOUND_REDUCER,
            "is wide open at peak{when}: it gets less than its setting of "
            "{setting} and passes {pressure}",
            FCI_WITH(FCI_ONE("setting", FC_PRESSURE, reducer->set.nominal),
                     FCI_ONE("pressure", FC_PRESSURE, fci_pressure_of(out))));
}

/* What a pump needs at its inlet and does not get, or may not. */
static void
find_suction(struct fci_check_words *w, const struct fci_element *element,
             fc_state state)
{
    const fc_site *site = w->judge->site;
    const fc_pump *pump = element->part->data;
    const fc_range least = fci_must_keep(site, element);
    double feeder[FCI_ENDS];
    fc_range inlet;
    fc_verdict kept;

    fci_peak_ends(w->judge, element->parent, state, feeder);
    inlet = fci_keeps(site, element, feeder, feeder);
    kept = fci_is_kept(inlet, least);
    if (kept == FC_WORKS)
        return;
    fci_find(&w->found, kept == FC_WILL_NOT_WORK ? FC_FAIL : FC_WARN,
             element->name, FC_IN(state), FC_FOUND_PUMP,
             "{has} {pressure} at its inlet at peak{when} and needs "
             "{suction}{usual}: {what to do}",
             FCI_WITH(FCI_WORD("has",
                               kept == FC_WILL_NOT_WORK ? "has" : "may have"),
                      FCI_RANGE("pressure", FC_PRESSURE, inlet),
                      FCI_RANGE("suction", FC_PRESSURE, least),
                      FCI_WORD("usual", pump->minimum_suction.given
                                            ? ""
                                            : " (usual; \"minimum suction\" "
                                              "is not given)"),
                      FCI_WORD("what to do",
                               kept == FC_WILL_NOT_WORK
                                   ? "its low-suction cut-out would stop it"
                                   : "cannot tell; take it from its data "
                                     "sheet or the setting of its low-suction "
                                     "cut-out")));
}

static void
find_pump(struct fci_check_words *w, const struct fci_element *element,
          size_t at, fc_state state)
{
    const fc_pump *pump = element->part->data;
    const double flow = w->judge->demand[state][at].flow[FCI_WORST];
    const double inlet =
        fci_pressure_of(w->judge->peak[state][element->parent].at[FCI_NOMINAL])
        - w->judge->site->water_weight * element->rise.nominal;

    if (pump->running == FC_NO) {
        fci_find(&w->found, FC_NOTE, element->name, FC_IN(state),
                 FC_FOUND_PUMP,
                 "does not run: water passes it by without loss", NULL);
        return;
    }
    if (flow > fci_curve_end(element->curve))
        fci_find(&w->found, FC_WARN, element->name, FC_IN(state),
                 FC_FOUND_PUMP,
                 "carries {flow} at peak{when}, beyond its curve, which ends "
                 "at {curve end}: what it gives there is a guess",
                 FCI_WITH(FCI_ONE("flow", FC_FLOW, flow),
                          FCI_ONE("curve end", FC_FLOW,
                                  fci_curve_end(element->curve))));
    if (pump->hold.given && inlet > pump->hold.nominal)
        fci_find(
            &w->found, FC_WARN, element->name, FC_IN(state), FC_FOUND_PUMP,
            "gets {pressure} at peak{when}, above the {held} it holds: it "
            "does not throttle that but stands still, and water passes it by",
            FCI_WITH(FCI_ONE("pressure", FC_PRESSURE, inlet),
                     FCI_ONE("held", FC_PRESSURE, pump->hold.nominal)));
    if (inlet <= 0)
        fci_find(&w->found, FC_FAIL, element->name, FC_IN(state),
                 FC_FOUND_BACKFLOW,
                 "has {pressure} at its inlet at peak{when}: a pump must not "
                 "draw the supply down to nothing; its low-suction cut-out "
                 "would stop it",
                 FCI_WITH(FCI_ONE("pressure", FC_PRESSURE, inlet)));
    find_suction(w, element, state);
}

/* ---- Source ----------------------------------------------------------- */

/* Below what a public main is to keep. */
static void
find_drawn_main(struct fci_check_words *w, const struct fci_element *element,
                size_t at, fc_state state)
{
    const struct fci_limit *floor =
        fci_tables_limit(w->judge->site->tables, "street main residual");
    const fc_verdict kept = w->judge->drawn[state][at];
    double ends[FCI_ENDS];

    if (kept == FC_WORKS || !floor)
        return;
    fci_peak_ends(w->judge, at, state, ends);
    fci_find(
        &w->found, kept == FC_WILL_NOT_WORK ? FC_FAIL : FC_WARN, element->name,
        FC_IN(state), FC_FOUND_STREET_MAIN,
        "{is} drawn down to {pressure} at peak{when}; a public main is "
        "not to be drawn below {limit} ({source})",
        FCI_WITH(FCI_WORD("is", kept == FC_WILL_NOT_WORK ? "is" : "may be"),
                 FCI_RANGE("pressure", FC_PRESSURE, fci_as_range(ends)),
                 FCI_ONE("limit", FC_PRESSURE, floor->pressure),
                 FCI_WORD("source", floor->head.source)));
}

static void
find_source(struct fci_check_words *w, const struct fci_element *element,
            size_t at, fc_state state)
{
    const fc_source *source = element->part->data;
    const struct fci_demand *demand = &w->judge->demand[state][at];
    const double units = w->judge->site->settings.peak == FC_PROBABILITY
                             ? demand->other_units
                             : demand->units;

    if (demand->beyond)
        fci_find(&w->found, FC_NOTE, element->name, FC_IN(state),
                 FC_FOUND_DEMAND,
                 "has {units} fixture units{when}, beyond the last row of the "
                 "demand table: the last two rows' line is taken on",
                 FCI_WITH(FCI_AS("units", FC_NUMBER, units,
                                 fci_one_decimal(units).text)));
    if (source->kind != FC_STREET_MAIN)
        return;
    if (source->residual.given
        && fci_source_untested(source, demand->flow[FCI_WORST]))
        fci_find(
            &w->found, FC_WARN, element->name, FC_IN(state),
            FC_FOUND_FLOW_TEST,
            "gives {flow} at peak{when}, beyond the {tested} it was tested "
            "at: an extrapolation; test it at the peak flow",
            FCI_WITH(FCI_ONE("flow", FC_FLOW, demand->flow[FCI_WORST]),
                     FCI_ONE("tested", FC_FLOW, source->residual_flow.low)));
    find_drawn_main(w, element, at, state);
}

void
fci_find_elements(struct fci_check_words *w, fc_state state)
{
    const fc_site *site = w->judge->site;
    const struct fci_demand *demand = w->judge->demand[state];
    size_t i;

    for (i = 0; i < site->n_elements && !w->found.arena->failed; i++) {
        const struct fci_element *element = &site->elements[i];

        switch (element->part->kind) {
        case FCI_SOURCE:
            find_source(w, element, i, state);
            break;
        case FCI_PIPE:
            find_velocity(w, element, &demand[i], state);
            break;
        case FCI_METER:
        case FCI_BACKFLOW:
        case FCI_DEVICE:
            find_device(w, element, &demand[i], state);
            break;
        case FCI_REDUCER:
            find_reducer(w, element, i, state);
            break;
        case FCI_PUMP:
            find_pump(w, element, i, state);
            break;
        default:
            break;
        }
    }
}
