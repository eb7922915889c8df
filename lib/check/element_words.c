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
    fci_find(
        &w->found, FC_WARN, element->name, FC_IN(state), FC_FOUND_VELOCITY,
        "{carries}{velocity} at peak{when} ({flow} in {bore} bore), "
        "limit {limit}",
        FCI_WITH(
            FCI_WORD("carries", least > pipe->velocity_limit ? "" : "up to "),
            FCI_AS("velocity", FC_VELOCITY, most,
                   fci_show_beyond(w->judge->site->settings.units, FC_VELOCITY,
                                   most, pipe->velocity_limit)
                       .text),
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
            "{flow} at peak{when}, above the {rated} rated maximum of its "
            "size",
            FCI_WITH(FCI_ONE("flow", FC_FLOW, flow),
                     FCI_ONE("rated", FC_FLOW, device->loss.flow.nominal)));
    if (element->curve && flow > fci_curve_end(element->curve))
        fci_find(
            &w->found, FC_WARN, element->name, FC_IN(state), FC_FOUND_CURVE,
            "{flow} at peak{when}, beyond the end of its curve at {curve "
            "end}: loss taken from a straight line to the square of the flow",
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

    if (out.direct < out.capped && !fci_is_second(element))
        fci_find(
            &w->found, FC_NOTE, element->name, FC_IN(state), FC_FOUND_REDUCER,
            "wide open at peak{when}: inlet too low for its set pressure of "
            "{setting}; {pressure} downstream",
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
    fci_find(
        &w->found, kept == FC_WILL_NOT_WORK ? FC_FAIL : FC_WARN, element->name,
        FC_IN(state), FC_FOUND_PUMP,
        "{pressure} at its inlet at peak{when}, {suction} required{usual}: "
        "{what to do}",
        FCI_WITH(
            FCI_RANGE("pressure", FC_PRESSURE, inlet),
            FCI_RANGE("suction", FC_PRESSURE, least),
            FCI_WORD("usual", pump->minimum_suction.given
                                  ? ""
                                  : " (usual; \"minimum suction\" "
                                    "is not given)"),
            FCI_WORD("what to do",
                     kept == FC_WILL_NOT_WORK
                         ? "its low-suction cut-out would stop it"
                         : "cannot tell; take it from its data sheet or its "
                           "low-suction cut-out setting")));
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
                 FC_FOUND_PUMP, "not running: water bypasses it without loss",
                 NULL);
        return;
    }
    if (flow > fci_curve_end(element->curve))
        fci_find(&w->found, FC_WARN, element->name, FC_IN(state),
                 FC_FOUND_PUMP,
                 "{flow} at peak{when}, beyond the end of its curve at {curve "
                 "end}: its head there is a guess",
                 FCI_WITH(FCI_ONE("flow", FC_FLOW, flow),
                          FCI_ONE("curve end", FC_FLOW,
                                  fci_curve_end(element->curve))));
    if (pump->hold.given && inlet > pump->hold.nominal)
        fci_find(
            &w->found, FC_WARN, element->name, FC_IN(state), FC_FOUND_PUMP,
            "{pressure} at its inlet at peak{when}, above its discharge set "
            "pressure of {held}: it stops, and water bypasses it unreduced",
            FCI_WITH(FCI_ONE("pressure", FC_PRESSURE, inlet),
                     FCI_ONE("held", FC_PRESSURE, pump->hold.nominal)));
    if (inlet <= 0)
        fci_find(
            &w->found, FC_FAIL, element->name, FC_IN(state), FC_FOUND_BACKFLOW,
            "{pressure} at its inlet at peak{when}: its low-suction cut-out "
            "would stop it; a pump must not pull the supply down to zero",
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
        "{pressure} at peak{when}; a public main must keep {limit} "
        "({source}){doubt}",
        FCI_WITH(
            FCI_WORD("doubt", kept == FC_WILL_NOT_WORK ? "" : ": cannot tell"),
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
                 "{units} fixture units{when}, beyond the last row of the "
                 "demand table: extended along its last two rows",
                 FCI_WITH(FCI_AS("units", FC_NUMBER, units,
                                 fci_one_decimal(units).text)));
    if (source->kind != FC_STREET_MAIN)
        return;
    if (source->residual.given
        && fci_source_untested(source, demand->flow[FCI_WORST]))
        fci_find(
            &w->found, FC_WARN, element->name, FC_IN(state),
            FC_FOUND_FLOW_TEST,
            "{flow} at peak{when}, beyond the {tested} of its flow test: "
            "extrapolated; test it at the peak flow",
            FCI_WITH(FCI_ONE("flow", FC_FLOW, demand->flow[FCI_WORST]),
                     FCI_ONE("tested", FC_FLOW, source->residual_flow.low)));
    find_drawn_main(w, element, at, state);
}

/* Of each element, whether it leads to the fixture; NULL: out of memory. */
static const bool *
leading_to(struct fci_check_words *w, size_t fixture)
{
    const fc_site *site = w->judge->site;
    bool *leads =
        fci_arena_array(w->found.arena, site->n_elements, sizeof *leads);
    size_t at = site->fixtures[fixture].element;

    for (; leads && at != FCI_NONE; at = site->elements[at].parent)
        leads[at] = true;
    return leads;
}

void
fci_find_elements(struct fci_check_words *w, fc_state state, size_t fixture)
{
    const fc_site *site = w->judge->site;
    const struct fci_demand *demand = w->judge->demand[state];
    const bool *leads = fixture == FCI_NONE ? NULL : leading_to(w, fixture);
    size_t i;

    for (i = 0; i < site->n_elements && !w->found.arena->failed; i++) {
        const struct fci_element *element = &site->elements[i];

        if (leads && !leads[i])
            continue;
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
