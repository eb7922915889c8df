/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/flush_words.c -- what a flush event found, in words. */
#include "check/drawn.h"
#include "check/flush_event.h"
#include "laws/friction.h"
#include "peak/source.h"
#include "site/pipe_size.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

/* ---- Fixtures --------------------------------------------------------- */

/* From the best end to the worst: the headline tells the former. */
static fc_range
lack_of(const fc_flush_fixture *x)
{
    const fc_range lack = { true, x->required.nominal - x->pressure.nominal,
                            x->required.low - x->pressure.high,
                            x->required.high - x->pressure.low };

    return lack;
}

static const char *
who_needs(const fc_flush_fixture *x)
{
    return x->governed_by == FC_CODE_GOVERNS ? "code minimum, flushing alone"
                                             : "valve minimum";
}

static void
find_enough(struct fci_check_words *w, const fc_flush_fixture *x,
            fc_state state)
{
    if (x->enough == FC_WILL_NOT_WORK)
        fci_find(
            &w->found, FC_FAIL, x->name, FC_IN(state),
            FC_FOUND_FLOWING_PRESSURE,
            "{pressure} flowing, {needed} required ({whose}): short by {lack}",
            FCI_WITH(FCI_RANGE("pressure", FC_PRESSURE, x->pressure),
                     FCI_WORD("whose", who_needs(x)),
                     FCI_RANGE("needed", FC_PRESSURE, x->required),
                     FCI_RANGE("lack", FC_PRESSURE, lack_of(x))));
    else if (x->enough == FC_CANNOT_TELL && x->required.given
             && x->pressure.low < x->required.high)
        fci_find(&w->found, FC_WARN, x->name, FC_IN(state),
                 FC_FOUND_FLOWING_PRESSURE,
                 "{pressure} flowing, {needed} required ({whose}): cannot "
                 "tell; read a gauge there while these flush",
                 FCI_WITH(FCI_RANGE("pressure", FC_PRESSURE, x->pressure),
                          FCI_WORD("whose", who_needs(x)),
                          FCI_RANGE("needed", FC_PRESSURE, x->required)));
    else if (x->flushing > 0 && !x->minimum.given)
        fci_find(&w->found, FC_WARN, x->name, FC_IN(state),
                 FC_FOUND_VALVE_MINIMUM,
                 "{pressure} flowing; its valve gives no minimum (\"minimum "
                 "flowing\") to compare with",
                 FCI_WITH(FCI_RANGE("pressure", FC_PRESSURE, x->pressure)));
}

static void
find_dry(struct fci_check_words *w, const fc_flush_fixture *x, fc_state state)
{
    if (x->pressure.low > 0)
        return;
    fci_find(
        &w->found, x->pressure.high <= 0 ? FC_FAIL : FC_WARN, x->name,
        FC_IN(state), FC_FOUND_BACKFLOW,
        "{has} {pressure} at its inlet, zero or below: foul water may be "
        "drawn into the drinking water",
        FCI_WITH(FCI_WORD("has", x->pressure.high <= 0 ? "down to"
                                                       : "possibly down to"),
                 FCI_ONE("pressure", FC_PRESSURE, x->pressure.low)));
}

/* What it has too much of, or may have. */
static void
find_excess(struct fci_check_words *w, const fc_flush_fixture *x,
            fc_state state)
{
    const fc_excess *excess = x->excess;

    if (!excess)
        return;
    fci_find(
        &w->found, x->too_high == FC_WILL_NOT_WORK ? FC_FAIL : FC_WARN,
        x->name, FC_IN(state),
        excess->flowing ? FC_FOUND_MAXIMUM_FLOWING : FC_FOUND_MAXIMUM_STATIC,
        "{pressure} {how}, {has} the {maximum} limit ({whose})",
        FCI_WITH(FCI_WORD("has", x->too_high == FC_WILL_NOT_WORK
                                     ? "above"
                                     : "possibly above"),
                 FCI_RANGE("pressure", FC_PRESSURE, excess->pressure),
                 FCI_WORD("how", excess->flowing ? "flowing"
                                                 : "with nothing flushing"),
                 FCI_ONE("maximum", FC_PRESSURE, excess->maximum),
                 FCI_WORD("whose", fci_whose_maximum(excess->maximum_of))));
}

/* What shares the pipes: a lavatory weakens, a shower turns hot. */
static void
find_sag(struct fci_check_words *w, const fc_flush_fixture *x,
         const struct fci_fixture *fixture, fc_state state)
{
    if (x->valve || x->pressure.low > (1 - FCI_SCALDING_FALL) * x->still.low)
        return;
    fci_find(
        &w->found, FC_WARN, x->name, FC_IN(state), FC_FOUND_COLD_PRESSURE,
        "{pressure} while these flush, down a third or more from "
        "{static}{scald}",
        FCI_WITH(FCI_ONE("static", FC_PRESSURE, x->still.low),
                 FCI_ONE("pressure", FC_PRESSURE, x->pressure.low),
                 FCI_WORD("scald", fci_scald_said(
                                       w->judge->site, fixture,
                                       1 - x->pressure.low / x->still.low))));
}

/* ---- Elements --------------------------------------------------------- */

static void
find_source(struct fci_check_words *w, const struct fci_element *element,
            const struct fci_at_flow *at, fc_state state)
{
    const fc_source *source = element->part->data;

    if (at->flow < 0)
        fci_find(&w->found, FC_WARN, element->name, FC_IN(state),
                 FC_FOUND_BACKFLOW,
                 "takes in {flow} from another source: a check valve is "
                 "missing, or the plan is wrong",
                 FCI_WITH(FCI_ONE("flow", FC_FLOW, -at->flow)));
    if (source->kind != FC_STREET_MAIN)
        return;
    if (source->residual.given && fci_source_untested(source, at->flow))
        fci_find(
            &w->found, FC_WARN, element->name, FC_IN(state),
            FC_FOUND_FLOW_TEST,
            "{flow}, beyond the {tested} of its flow test: extrapolated",
            FCI_WITH(FCI_ONE("flow", FC_FLOW, at->flow),
                     FCI_ONE("tested", FC_FLOW, source->residual_flow.low)));
}

/* A street main, or a pump's inlet, that is drawn too low or may be. */
static void
find_kept(struct fci_check_words *w, const struct fci_flush_event *e,
          size_t at)
{
    const struct fci_element *element = &e->site->elements[at];
    const fc_range least = fci_must_keep(e->site, element);
    const fc_verdict kept = fci_is_kept(e->kept[at], least);
    const bool source = element->part->kind == FCI_SOURCE;

    if (kept == FC_WORKS)
        return;
    fci_find(
        &w->found, kept == FC_WILL_NOT_WORK ? FC_FAIL : FC_WARN, element->name,
        FC_IN(e->state), source ? FC_FOUND_STREET_MAIN : FC_FOUND_PUMP,
        source ? "{pressure}; a public main must keep {limit}{doubt}"
               : "{pressure} at its inlet, {limit} required{doubt}",
        FCI_WITH(
            FCI_WORD("doubt", kept == FC_WILL_NOT_WORK ? "" : ": cannot tell"),
            FCI_RANGE("pressure", FC_PRESSURE, e->kept[at]),
            FCI_RANGE("limit", FC_PRESSURE, least)));
}

/* A source that stands on the plan alone. */
static void
find_idle_sources(struct fci_check_words *w, const fc_site *site)
{
    bool *feeds =
        fci_arena_array(w->found.arena, site->n_elements, sizeof *feeds);
    size_t i;

    for (i = 0; feeds && i < site->n_elements; i++) {
        if (site->elements[i].parent != FCI_NONE)
            feeds[site->elements[i].parent] = true;
        if (site->elements[i].to != FCI_NONE)
            feeds[site->elements[i].to] = true;
    }
    for (i = 0; feeds && i < site->n_fixtures; i++)
        feeds[site->fixtures[i].element] = true;
    for (i = 0; feeds && i < site->n_elements; i++)
        if (site->elements[i].part->kind == FCI_SOURCE && !feeds[i])
            fci_find(&w->found, FC_WARN, site->elements[i].name, 0,
                     FC_FOUND_SOURCE,
                     "feeds nothing: no part has \"from = {source}\"",
                     FCI_WITH(FCI_WORD("source", site->elements[i].name)));
}

/* At the nominal flow; the bore may be a range. */
static void
find_fast(struct fci_check_words *w, const struct fci_element *element,
          double flow, fc_state state)
{
    const fc_unit_system units = w->found.units;
    const double limit = element->pipe->velocity_limit;
    const fc_range bore = fci_pipe_bore(element->pipe);
    const double most = fci_velocity(fabs(flow), bore.low);
    const bool certain = fci_velocity(fabs(flow), bore.high) > limit;
    const struct fci_shown said = fci_show(units, FC_VELOCITY, most);

    if (!(most > limit)
        || strcmp(said.text, fci_show(units, FC_VELOCITY, limit).text) == 0)
        return;
    fci_find(&w->found, FC_WARN, element->name, FC_IN(state),
             FC_FOUND_VELOCITY,
             "{up to}{velocity} while these flush ({flow}), limit {limit}",
             FCI_WITH(FCI_WORD("up to", certain ? "" : "up to "),
                      FCI_ONE("velocity", FC_VELOCITY, most),
                      FCI_ONE("flow", FC_FLOW, fabs(flow)),
                      FCI_ONE("limit", FC_VELOCITY, limit)));
}

static void
find_element(struct fci_check_words *w, const struct fci_element *element,
             const struct fci_at_flow *at, fc_state state)
{
    if (element->curve && at->flow > fci_curve_end(element->curve))
        fci_find(&w->found, FC_WARN, element->name, FC_IN(state),
                 FC_FOUND_CURVE,
                 "{flow}, beyond the end of its curve at {curve end}: "
                 "extended in a straight line or by the square of the flow",
                 FCI_WITH(FCI_ONE("flow", FC_FLOW, at->flow),
                          FCI_ONE("curve end", FC_FLOW,
                                  fci_curve_end(element->curve))));
    if (at->pressure <= 0 && element->part->kind != FCI_SOURCE)
        fci_find(&w->found, FC_FAIL, element->name, FC_IN(state),
                 FC_FOUND_BACKFLOW,
                 "{pressure} at its outlet, zero or below: foul water may be "
                 "drawn into the drinking water",
                 FCI_WITH(FCI_ONE("pressure", FC_PRESSURE, at->pressure)));
}

/* ---- The whole -------------------------------------------------------- */

/* What an open valve does at a pressure below its minimum differs by its
 * kind, and nothing is promised. */
static void
find_closing(struct fci_check_words *w, const struct fci_flush_event *e)
{
    const fc_flush_result *result = e->result;
    int short_ones = 0;
    size_t i;

    for (i = 0; i < result->n_fixtures; i++)
        if (result->fixtures[i].enough != FC_WORKS)
            short_ones += result->fixtures[i].flushing;
    if (!e->all)
        return;
    if (short_ones > 0)
        fci_find(&w->found,
                 result->enough == FC_WILL_NOT_WORK ? FC_FAIL : FC_WARN, "",
                 FC_IN(e->state), FC_FOUND_ALL_AT_ONCE,
                 "all valves open at once, as when water or power returns: "
                 "{short} of {valves} below minimum, or possibly so, and may "
                 "not close again; shut the stops and open them one at a time",
                 FCI_WITH(FCI_COUNT("short", short_ones),
                          FCI_COUNT("valves", result->flushing)));
    else if (!result->tank_ends)
        fci_find(&w->found, FC_NOTE, "", FC_IN(e->state), FC_FOUND_ALL_AT_ONCE,
                 "all {valves} valves keep their minimum with all open at "
                 "once: low pressure does not hold them open",
                 FCI_WITH(FCI_COUNT("valves", result->flushing)));
}

/* The pressures are those before the tank falls. */
static void
find_tank(struct fci_check_words *w, const struct fci_flush_event *e)
{
    if (e->result->flushing > 0)
        fci_tell_unknown_tank(&w->found, e->site, e->state);
    if (e->result->flushing > 0 && fci_tank_ends(e->site))
        fci_find(&w->found, e->result->tank_ends ? FC_WARN : FC_NOTE,
                 e->site->elements[e->site->order[0]].name, FC_IN(e->state),
                 FC_FOUND_TANK,
                 e->result->tank_ends
                     ? "may fall too low before these flushes end: its water "
                       "at the cut-in is too little, or not known to be "
                       "enough; see flushcalc effects"
                     : "lasts until these flushes end, begun at its cut-in; "
                       "flushcalc effects tells how many in a row",
                 NULL);
}

void
fci_find_flush(struct fci_check_words *w, const struct fci_flush_event *e)
{
    const fc_site *site = e->site;
    size_t i;

    find_closing(w, e);
    find_tank(w, e);
    find_idle_sources(w, site);
    for (i = 0; i < site->n_fixtures && !w->found.arena->failed; i++) {
        const fc_flush_fixture *x = &e->result->fixtures[i];

        find_enough(w, x, e->state);
        find_dry(w, x, e->state);
        find_excess(w, x, e->state);
        find_sag(w, x, &site->fixtures[i], e->state);
    }
    for (i = 0; i < site->n_elements && !w->found.arena->failed; i++) {
        find_element(w, &site->elements[i], &e->flowing[i], e->state);
        if (site->elements[i].pipe)
            find_fast(w, &site->elements[i], e->flowing[i].flow, e->state);
        find_kept(w, e, i);
        if (site->elements[i].part->kind == FCI_SOURCE)
            find_source(w, &site->elements[i], &e->flowing[i], e->state);
    }
}

/* ---- Assumptions ------------------------------------------------------ */

static bool
has_generic(const struct fci_check_words *w, const struct fci_fixture *fixture,
            const void *data)
{
    const struct fci_flush_event *e = data;

    (void)w;
    return fixture->valve[e->state] && fixture->generic[e->state];
}

void
fci_assume_flush(struct fci_check_words *w, const struct fci_flush_event *e)
{
    const char *generic = fci_name_some(w, has_generic, e);

    fci_assume_usual(w, FCI_NONE, e->state);
    fci_assume_tank(&w->found, e->site);
    fci_assume_valves(&w->found);
    fci_assume_generic(&w->found, generic);
    fci_assume_stops(&w->found);
    fci_assume_others(&w->found);
    if (fci_untested_main(e->site))
        fci_assume(&w->found, "a city main without a flow test is taken not "
                              "to drop under flow, which is unproved");
    if (!e->result->bounded)
        fci_assume(&w->found,
                   !e->network->bounded
                       ? "ranges are taken at midpoint values: with loops or "
                         "several sources their ends bound nothing"
                       : "ranges are taken at midpoint values: the building "
                         "is too large to follow each of them");
}
