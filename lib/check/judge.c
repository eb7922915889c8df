/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/judge.c -- every check of a fixture, as three-valued verdicts. */
#include "check/judge.h"
#include "check/drawn.h"
#include "check/refuse.h"
#include "peak/flush_time.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A bowl and a valve of the same nominal volume may be converted from litres
 * and gallons with a rounding of about a hundredth. */
#define SAME_VOLUME 0.02

/* ---- The site --------------------------------------------------------- */

double
fci_longest_known_interval(const fc_site *site)
{
    const struct fci_limit *limit =
        fci_tables_limit(site->tables, "longest interval");

    return limit ? limit->interval : INFINITY;
}

/* Not every use may flush. */
static double
between_flushes(const fc_site *site, const struct fci_fixture *fixture,
                fc_state state)
{
    const fc_valve *valve = fixture->valve[state];
    const double interval =
        fci_valve_busy(site, fixture, state, FCI_NOMINAL).interval;

    return valve && valve->flushes_per_use.given
                   && valve->flushes_per_use.nominal > 0
               ? interval / valve->flushes_per_use.nominal
               : interval;
}

double
fci_longest_interval(const fc_site *site)
{
    double longest = 0;
    size_t i;
    int state;

    for (i = 0; i < site->n_fixtures; i++)
        for (state = 0; state < FC_STATES; state++)
            if (site->fixtures[i].kind->flushes)
                longest =
                    fmax(longest, between_flushes(site, &site->fixtures[i],
                                                  (fc_state)state));
    return longest;
}

static bool
rests_on_long_interval(const fc_site *site, const struct fci_demand_as *as)
{
    return site->settings.peak == FC_PROBABILITY && !as->by_units
           && fci_longest_interval(site)
                  > fci_longest_known_interval(site) * (1 + 1e-9);
}

static bool
march_state(const fc_site *site, fc_state state,
            const struct fci_demand_as *as, struct fci_demand **demand,
            struct fci_at_peak **peak)
{
    *demand = fci_demand_new_as(site, state, as);
    *peak = *demand ? fci_march_peak(site, *demand) : NULL;
    return *peak != NULL;
}

fc_status
fci_judge_begin(struct fci_judge *judge, const fc_site *site,
                fc_diagnostics *messages)
{
    const struct fci_demand_as as_it_is = { 0 };

    return fci_judge_begin_as(judge, site, &as_it_is, messages);
}

fc_status
fci_judge_begin_as(struct fci_judge *judge, const fc_site *site,
                   const struct fci_demand_as *as, fc_diagnostics *messages)
{
    static const struct fci_demand_as by_code = { .by_units = true };
    fc_status status;
    int state;

    memset(judge, 0, sizeof *judge);
    judge->site = site;
    status = fci_refuse_unsized(site, messages);
    if (status != FC_OK)
        return status;
    judge->converted = fci_has_conversions(site);
    judge->rest = fci_march_rest(site);
    judge->supplies = fci_supplies(site);
    if (!judge->rest || !judge->supplies)
        return FC_ENOMEM;
    for (state = 0; state < FC_STATES; state++) {
        if (state == FC_RETROFIT && !judge->converted)
            break;
        status = fci_refuse_unknown_flush(site, (fc_state)state, messages);
        if (status != FC_OK)
            return status;
        if (!march_state(site, (fc_state)state, as, &judge->demand[state],
                         &judge->peak[state])
            || (rests_on_long_interval(site, as)
                && !march_state(site, (fc_state)state, &by_code,
                                &judge->code_demand[state],
                                &judge->code_peak[state])))
            return FC_ENOMEM;
        judge->drawn[state] = fci_drawn_at_peak(judge, (fc_state)state);
        if (!judge->drawn[state])
            return FC_ENOMEM;
    }
    return FC_OK;
}

void
fci_judge_end(struct fci_judge *judge)
{
    int state;

    free(judge->rest);
    free(judge->supplies);
    for (state = 0; state < FC_STATES; state++) {
        free(judge->demand[state]);
        free(judge->peak[state]);
        free(judge->code_demand[state]);
        free(judge->code_peak[state]);
        free(judge->drawn[state]);
    }
}

bool
fci_judge_variant(struct fci_judge *judge, const struct fci_judge *of,
                  const fc_site *site, fc_state state, bool flows)
{
    *judge = *of;
    judge->site = site;
    judge->peak[state] = NULL;
    judge->drawn[state] = NULL;
    judge->rest = fci_march_rest(site);
    judge->supplies = fci_supplies(site);
    if (flows)
        judge->demand[state] = fci_demand_new(site, state);
    if (judge->demand[state])
        judge->peak[state] = fci_march_peak(site, judge->demand[state]);
    if (judge->peak[state])
        judge->drawn[state] = fci_drawn_at_peak(judge, state);
    return judge->rest && judge->supplies && judge->drawn[state];
}

void
fci_judge_variant_end(struct fci_judge *judge, const struct fci_judge *of,
                      fc_state state)
{
    free(judge->rest);
    free(judge->supplies);
    free(judge->peak[state]);
    free(judge->drawn[state]);
    if (judge->demand[state] != of->demand[state])
        free(judge->demand[state]);
}

/* ---- Verdicts --------------------------------------------------------- */

/* Whether what is left over is at least 0. */
static fc_verdict
at_least_nothing(fc_range left)
{
    return left.low >= -FCI_SAME_PRESSURE    ? FC_WORKS
           : left.high >= -FCI_SAME_PRESSURE ? FC_CANNOT_TELL
                                             : FC_WILL_NOT_WORK;
}

/* Both ends of a - b, when nothing ties them together. */
static fc_range
difference(fc_range a, fc_range b)
{
    fc_range d = { true, a.nominal - b.nominal, a.low - b.high,
                   a.high - b.low };

    return d;
}

fc_verdict
fci_under_limit(fc_range pressure, double limit)
{
    return at_least_nothing(difference(fc_exactly(limit), pressure));
}

/* A fixture whose need is not known: a flush valve cannot be judged; of
 * another fixture nothing is asked but that water comes. */
static void
judge_without_need(struct fci_judgement *j, const struct fci_fixture *fixture)
{
    j->no_pipe = FC_WORKS;
    j->pressure =
        fixture->kind->flushes ? FC_CANNOT_TELL : at_least_nothing(j->flowing);
}

static void
judge_need(struct fci_judgement *j)
{
    j->margin = difference(j->flowing, j->need.pressure);
    j->pressure = at_least_nothing(j->margin);
    j->no_pipe = at_least_nothing(difference(j->ceiling, j->need.pressure));
}

static void
judge_supply(struct fci_judgement *j)
{
    const fc_range size = j->supplied.size;
    const double least = j->need.supply_size * (1 - 1e-6);

    j->supply = FC_WORKS;
    if (isnan(least) || !size.given || size.low >= least)
        return;
    j->supply = size.high < least ? FC_WILL_NOT_WORK : FC_CANNOT_TELL;
}

static void
judge_volume(struct fci_judgement *j, const struct fci_fixture *fixture,
             fc_state state)
{
    const fc_valve *valve = fixture->valve[state];
    const fc_range bowl = fixture->bowl[state];

    j->volume = FC_WORKS;
    if (bowl.given && valve && valve->full_flush.given
        && valve->full_flush.nominal < bowl.nominal * (1 - SAME_VOLUME))
        j->volume = FC_WILL_NOT_WORK;
}

/* How far the supply may fall until so much is left behind an element: a pump
 * that holds may stand still or run for it, so that the need is followed back
 * to the source. */
static double
spare_at_source(const struct fci_judge *judge, size_t at, fc_state state,
                double need, enum fci_end end)
{
    const fc_site *site = judge->site;

    for (; site->elements[at].parent != FCI_NONE;
         at = site->elements[at].parent)
        need = fci_element_asks(site, &site->elements[at], need,
                                judge->demand[state][at].flow[end], end);
    return judge->peak[state][at].at[end].direct - need;
}

/* -INFINITY: no supply leaves so much.  With a reducer on the way the pressure
 * does not fall one for one. */
static double
spare_at(const struct fci_judge *judge, size_t at, fc_state state, double need,
         enum fci_end end)
{
    const struct fci_at_peak *peak = &judge->peak[state][at];

    if (peak->held)
        return spare_at_source(judge, at, state, need, end);
    return peak->at[end].capped < need - FCI_SAME_PRESSURE
               ? -INFINITY
               : peak->at[end].direct - need;
}

/* How far the supply may fall until the need is just met. */
static fc_range
spare_of(const struct fci_judge *judge, size_t at, fc_state state,
         const struct fci_judgement *j, const double drop[FCI_ENDS])
{
    double spare[FCI_ENDS];
    fc_range none = { false, 0, 0, 0 };
    int i;

    if (!j->need.pressure.given)
        return none;
    for (i = 0; i < FCI_ENDS; i++) {
        const enum fci_end end = (enum fci_end)i;
        const double need = fci_more_is_worse(j->need.pressure, end) + drop[i];

        spare[i] = spare_at(judge, at, state, need, end);
        if (isinf(spare[i]))
            return none;
    }
    return fci_as_range(spare);
}

/* What works by chance alone, and only if its valves flush more seldom than is
 * known of any building, is not known to work. */
static void
doubt_interval(const struct fci_judge *judge,
               const struct fci_fixture *fixture, fc_state state,
               struct fci_judgement *j)
{
    struct fci_judge by_code = *judge;

    if (!judge->code_peak[state] || j->works != FC_WORKS)
        return;
    by_code.demand[state] = judge->code_demand[state];
    by_code.peak[state] = judge->code_peak[state];
    by_code.code_peak[state] = NULL;
    j->long_interval =
        fci_judge_fixture(&by_code, fixture, state).works != FC_WORKS;
    if (j->long_interval)
        j->works = FC_CANNOT_TELL;
}

struct fci_judgement
fci_judge_fixture(const struct fci_judge *judge,
                  const struct fci_fixture *fixture, fc_state state)
{
    const fc_site *site = judge->site;
    const struct fci_at_rest *rest = &judge->rest[fixture->element];
    const struct fci_at_peak *peak = &judge->peak[state][fixture->element];
    const fc_range flow = fci_fixture_flow(site, fixture, state);
    struct fci_judgement j = { .need =
                                   fci_requirement_of(site, fixture, state) };
    double flowing[FCI_ENDS], drop[FCI_ENDS], ceiling[FCI_ENDS],
        trapped[FCI_ENDS], lowest[FCI_ENDS];
    int i;

    for (i = 0; i < FCI_ENDS; i++) {
        const enum fci_end end = (enum fci_end)i;
        const double lift =
            site->water_weight * fci_more_is_worse(fixture->given->rise, end);

        drop[i] =
            fci_fixture_drop(site, fixture, fci_more_is_worse(flow, end), end);
        flowing[i] = fci_pressure_of(peak->at[i]) - drop[i];
        lowest[i] = fmin(peak->lowest[i], flowing[i]);
        ceiling[i] = rest->ceiling[i] - lift;
        trapped[i] = rest->trapped[i] - lift;
    }
    j.flowing = fci_as_range(flowing);
    j.ceiling = fci_as_range(ceiling);
    j.trapped = fci_as_range(trapped);
    j.lowest = fci_as_range(lowest);
    j.spare = spare_of(judge, fixture->element, state, &j, drop);
    if (j.need.pressure.given)
        judge_need(&j);
    else
        judge_without_need(&j, fixture);
    j.maximum = fci_under_limit(j.trapped, j.need.maximum_static);
    j.strong = fci_under_limit(j.flowing, j.need.maximum_flowing);
    j.on_way = j.lowest.low > 0    ? FC_WORKS
               : j.lowest.high > 0 ? FC_CANNOT_TELL
                                   : FC_WILL_NOT_WORK;
    j.drawn = judge->drawn[state][fixture->element];
    j.supplied = fci_supply_of(judge, fixture);
    judge_supply(&j);
    judge_volume(&j, fixture, state);
    j.works = fci_worse_of(fci_worse_of(j.pressure, j.drawn),
                           fci_worse_of(fci_worse_of(j.on_way, j.no_pipe),
                                        fci_worse_of(j.supply, j.volume)));
    doubt_interval(judge, fixture, state, &j);
    return j;
}

/* ---- Too much --------------------------------------------------------- */

fc_verdict
fci_too_high(const struct fci_judgement *j)
{
    return fci_worse_of(j->maximum, j->strong);
}

double
fci_over_maximum(const struct fci_judgement *j, fc_range alone)
{
    const double flowing =
        alone.given ? fmax(j->flowing.high, alone.high) : j->flowing.high;

    return fmax(j->trapped.high - j->need.maximum_static,
                flowing - j->need.maximum_flowing);
}
