/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/restart.c -- every valve opens when water comes back. */
#include "effects/restart.h"
#include "units/range_sums.h"
#include "flow/ladder.h"
#include "ground/ties.h"
#include "laws/boyle.h"
#include "peak/march.h"
#include "peak/source.h"
#include "words/verdict.h"

#include <math.h>
#include <stdlib.h>

struct restarting {
    const struct fci_network *network;
    const fc_site *site;
    struct fci_solver *solver;
    struct fci_ladder *ladder;
    fc_restart_state *told;
    fc_restart_valve *list;
    size_t *fixture_of;    /* of each of the list */
    struct fci_open *open; /* every flush valve, in the order of the list */
    fc_restart_valve **by_need;
    size_t n;
    double most; /* valves times links, as of fci_restart_find() */
    const struct fci_telling *telling;
    fc_range refill;
    double main_drop; /* what a main that nobody tested may drop while a few
                         valves run [Pa] */
};

/* ---- What closes a valve ---------------------------------------------- */

static void
list_valves(struct restarting *r)
{
    const fc_state state = r->network->state;
    size_t i;

    for (i = 0; i < r->site->n_fixtures; i++) {
        const struct fci_fixture *fixture = &r->site->fixtures[i];
        const fc_valve *valve = fixture->valve[state];
        fc_restart_valve *v = &r->list[r->n];

        if (!valve)
            continue;
        v->name = fixture->given->name;
        v->on = fixture->given->on;
        v->floor = fixture->given->floor;
        v->count = fixture->count;
        v->assumed = !valve->closes_at.given;
        v->closes_at = v->assumed ? valve->minimum_flowing : valve->closes_at;
        r->open[r->n] = (struct fci_open){ i, fixture->count };
        r->fixture_of[r->n++] = i;
        r->told->valves += fixture->count;
    }
}

/* Whether it closes at a pressure.  What a valve needs to flush it may not
 * need to close, so that by that alone nothing surely runs on; nor does
 * anything where the ends of the inputs bound no pressure. */
static fc_verdict
closes(const struct restarting *r, const fc_restart_valve *v,
       fc_range pressure, double main_drop)
{
    const bool bounded = r->network->bounded || r->network->exact;

    if (!v->closes_at.given || !bounded)
        return FC_CANNOT_TELL;
    if (pressure.low - main_drop >= v->closes_at.high - FCI_SOLVED_TO)
        return FC_WORKS;
    return pressure.high < v->closes_at.low - FCI_SOLVED_TO && !v->assumed
               ? FC_WILL_NOT_WORK
               : FC_CANNOT_TELL;
}

/* Whether the tank that feeds it may be empty. */
static bool
tank_may_be_empty(const fc_site *site)
{
    size_t i;

    if (site->tank)
        return true;
    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].part->kind == FCI_SOURCE
            && ((const fc_source *)site->elements[i].part->data)->volume.given)
            return true;
    return false;
}

static bool
is_running_pump(const struct fci_element *element)
{
    return element->part->kind == FCI_PUMP
           && ((const fc_pump *)element->part->data)->running != FC_NO;
}

/* Where pipes close loops any pump may be upstream. */
static bool
pump_may_stand_still(const fc_site *site, size_t fixture)
{
    size_t i, at = site->fixtures[fixture].element;
    bool loops = site->n_sources > 1, any = false;

    for (i = 0; i < site->n_elements; i++) {
        loops = loops || site->elements[i].to != FCI_NONE;
        any = any || is_running_pump(&site->elements[i]);
    }
    if (loops)
        return any;
    for (; at != FCI_NONE; at = site->elements[at].parent)
        if (is_running_pump(&site->elements[at]))
            return true;
    return false;
}

/* A full tank and a running pump give the most, so that only what closes is in
 * doubt. */
static void
take_doubt(const struct restarting *r, size_t i)
{
    fc_restart_valve *v = &r->list[i];

    if (v->closes_alone != FC_WORKS)
        return;
    if (tank_may_be_empty(r->site))
        v->doubt = FC_TANK_MAY_BE_EMPTY;
    else if (pump_may_stand_still(r->site, r->fixture_of[i]))
        v->doubt = FC_PUMP_MAY_STAND_STILL;
    else
        return;
    v->closes_alone = FC_CANNOT_TELL;
    v->closes_all = fci_worse_of(v->closes_all, FC_CANNOT_TELL);
}

/* ---- All of them, and one alone --------------------------------------- */

static enum fci_end
last_end(const struct fci_network *network)
{
    return network->exact || !network->bounded ? FCI_NOMINAL : FCI_BEST;
}

/* What the i-th of the list has alone at every end. */
static fc_status
pressure_at_ends(struct restarting *r, size_t i, const struct fci_open *open,
                 double ends[FCI_ENDS])
{
    fc_status status = FC_OK;
    int end;

    for (end = FCI_NOMINAL;
         end <= (int)last_end(r->network) && status == FC_OK; end++) {
        fci_solver_take(r->solver, (enum fci_end)end, r->fixture_of[i]);
        status = fci_solver_run(r->solver, open, 1);
        if (status == FC_OK)
            ends[end] = fci_solver_drawn(r->solver)[0].pressure;
    }
    if (status == FC_OK && last_end(r->network) == FCI_NOMINAL)
        ends[FCI_WORST] = ends[FCI_BEST] = ends[FCI_NOMINAL];
    return status;
}

/* Of how many valves the ends are searched. */
static size_t
most_bounded(const struct restarting *r)
{
    const double most = fmax(r->most / (double)r->network->n_links, 1);

    return last_end(r->network) != FCI_NOMINAL && most < (double)r->n
               ? (size_t)most
               : r->n;
}

/* How far it is below what closes it. */
static double
below(const fc_restart_valve *v)
{
    return v->closes_at.given ? v->closes_at.nominal - v->all_open.nominal
                              : -v->all_open.nominal;
}

static int
by_need(const void *a, const void *b)
{
    const fc_restart_valve *const *x = a, *const *y = b;
    const double p = below(*x), q = below(*y);

    return p > q ? -1 : p < q ? 1 : (*x > *y) - (*x < *y);
}

/* One end of the first n by need, and then the other: what is solved begins
 * with what was solved last. */
static fc_status
find_end_open(struct restarting *r, enum fci_end end, size_t n)
{
    fc_status status = FC_OK;

    for (size_t k = 0; k < n && status == FC_OK; k++) {
        fc_restart_valve *v = r->by_need[k];
        const size_t i = (size_t)(v - r->list);
        double there;

        fci_solver_take(r->solver, end, r->fixture_of[i]);
        status = fci_solver_run(r->solver, r->open, r->n);
        if (status != FC_OK)
            break;
        there = fci_solver_drawn(r->solver)[i].pressure;
        v->all_open.low = fmin(v->all_open.low, there);
        v->all_open.high = fmax(v->all_open.high, there);
        fci_tell(r->telling, ((double)k / (double)n + (end != FCI_WORST)) / 4);
    }
    return status;
}

/* Those to which it matters most have their own ends; of the others there is
 * nothing but that no pressure is below a full vacuum, and that find_alone()
 * has the most of it. */
static fc_status
find_ends_open(struct restarting *r)
{
    const size_t bounded = most_bounded(r);
    fc_status status = FC_OK;

    for (size_t i = 0; i < r->n; i++)
        r->by_need[i] = &r->list[i];
    qsort(r->by_need, r->n, sizeof *r->by_need, by_need);
    for (size_t k = bounded; k < r->n; k++) {
        r->by_need[k]->loose = true;
        r->by_need[k]->all_open.low = -INFINITY;
        r->by_need[k]->all_open.high = INFINITY;
    }
    for (int end = FCI_WORST;
         end <= (int)last_end(r->network) && status == FC_OK; end++)
        status = find_end_open(r, (enum fci_end)end, bounded);
    return status;
}

/* At the nominal inputs one solution is that of all of them. */
static fc_status
find_all_open(struct restarting *r)
{
    const struct fci_drawn *drawn = fci_solver_drawn(r->solver);
    fc_status status;
    size_t i;

    fci_solver_forget(r->solver);
    fci_solver_take(r->solver, FCI_NOMINAL, FCI_NONE);
    status = fci_solver_run(r->solver, r->open, r->n);
    for (i = 0; i < r->n && status == FC_OK; i++) {
        r->list[i].all_open = fc_exactly(drawn[i].pressure);
        r->told->flow += drawn[i].flow * drawn[i].count;
    }
    return status == FC_OK ? find_ends_open(r) : status;
}

static fc_status
find_alone(struct restarting *r, size_t i)
{
    const struct fci_open open = { r->fixture_of[i], 1 };
    fc_restart_valve *v = &r->list[i];
    const fc_valve *valve =
        r->site->fixtures[r->fixture_of[i]].valve[r->network->state];
    double ends[FCI_ENDS];
    fc_status status;
    fc_range flow;

    fci_solver_forget(r->solver);
    status = pressure_at_ends(r, i, &open, ends);
    if (status != FC_OK)
        return status;
    v->alone = fci_as_range(ends);
    v->all_open.high = fmin(v->all_open.high, v->alone.high);
    fci_solver_take(r->solver, FCI_NOMINAL, FCI_NONE);
    status = fci_solver_run(r->solver, &open, 1);
    if (status != FC_OK)
        return status;
    flow = fc_exactly(fci_solver_drawn(r->solver)[0].flow);
    flow.low =
        fmin(flow.low,
             fci_flow_at_end(valve, v->alone.low - r->main_drop, FCI_WORST));
    flow.high =
        fmax(flow.high, fci_flow_at_end(valve, v->alone.high, FCI_BEST));
    v->volume =
        (fc_range){ true, r->refill.nominal * flow.nominal,
                    r->refill.low * flow.low, r->refill.high * flow.high };
    return FC_OK;
}

/* ---- How many at a time ----------------------------------------------- */

/* Proved with every input at its worst, whichever the others are. */
static fc_status
find_at_once(struct restarting *r, size_t i)
{
    const enum fci_end end =
        last_end(r->network) == FCI_NOMINAL ? FCI_NOMINAL : FCI_WORST;
    fc_restart_valve *v = &r->list[i];
    struct fci_rungs rungs;
    fc_status status;

    if (v->closes_alone != FC_WORKS)
        return FC_OK;
    status = fci_ladder_climb(r->ladder, r->fixture_of[i], end,
                              v->closes_at.high + r->main_drop, FCI_MOST_ALONE,
                              &rungs);
    if (status == FC_OK)
        v->at_once = rungs.most;
    return status;
}

/* ---- The whole -------------------------------------------------------- */

/* Where the law of the pipes has less the column of water has parted. */
static fc_range
above_vacuum(fc_range pressure)
{
    return (fc_range){ pressure.given, fmax(pressure.nominal, -FCI_ATMOSPHERE),
                       fmax(pressure.low, -FCI_ATMOSPHERE),
                       fmax(pressure.high, -FCI_ATMOSPHERE) };
}

static void
tell_above_vacuum(struct restarting *r)
{
    for (size_t i = 0; i < r->n; i++) {
        fc_restart_valve *v = &r->list[i];

        v->all_open = above_vacuum(v->all_open);
        v->alone = above_vacuum(v->alone);
    }
}

static void
judge(struct restarting *r)
{
    fc_restart_state *told = r->told;
    size_t i;

    told->closes_all = told->closes_alone = FC_WORKS;
    told->at_once = told->valves;
    told->volume = fc_exactly(0);
    for (i = 0; i < r->n; i++) {
        const fc_restart_valve *v = &r->list[i];

        told->closes_all = fci_worse_of(told->closes_all, v->closes_all);
        told->closes_alone = fci_worse_of(told->closes_alone, v->closes_alone);
        told->running_on += v->closes_all == FC_WORKS ? 0 : v->count;
        if (v->at_once < told->at_once)
            told->at_once = v->at_once;
        if (below(v) > below(&r->list[told->least_at]))
            told->least_at = i;
        told->volume =
            fci_range_with(told->volume, fci_range_times(v->volume, v->count));
    }
    tell_above_vacuum(r);
    told->least = r->list[told->least_at].all_open;
    told->list = r->list;
    told->n_list = r->n;
}

static fc_status
find_all(struct restarting *r)
{
    fc_status status = find_all_open(r);
    size_t i;

    for (i = 0; i < r->n && status == FC_OK; i++) {
        fc_restart_valve *v = &r->list[i];

        status = find_alone(r, i);
        /* what a main does with all of them open nobody knows */
        v->closes_all =
            closes(r, v, v->all_open, r->main_drop > 0 ? INFINITY : 0);
        v->closes_alone = closes(r, v, v->alone, r->main_drop);
        take_doubt(r, i);
        if (status == FC_OK)
            status = find_at_once(r, i);
        fci_tell(r->telling, 0.5 + (double)i / (double)r->n / 2);
    }
    return status;
}

bool
fci_valves_known(const fc_site *site, fc_state state)
{
    size_t i;
    bool any = false;

    for (i = 0; i < site->n_fixtures; i++) {
        const fc_valve *valve = site->fixtures[i].valve[state];

        any |= valve != NULL;
        if (valve && !fci_has_rate(valve))
            return false;
    }
    return any;
}

fc_status
fci_restart_find(const struct fci_network *network, struct fci_solver *solver,
                 double most, const struct fci_telling *telling,
                 struct fci_arena *arena, fc_restart_state *told)
{
    const size_t m = network->site->n_fixtures;
    struct fci_arena scratch = { 0 };
    struct restarting r = { .network = network,
                            .site = network->site,
                            .solver = solver,
                            .most = most,
                            .telling = telling,
                            .told = told };
    fc_status status = FC_ENOMEM;

    *told = (fc_restart_state){ 0 };
    if (!fci_valves_known(network->site, network->state))
        return FC_OK;
    r.refill =
        fci_tables_usual(network->site->tables, FCI_USUAL_REFILL)->range;
    if (fci_untested_main(network->site))
        r.main_drop =
            fci_tables_usual(network->site->tables, FCI_USUAL_MAIN_DROP)
                ->range.high;
    r.list = fci_arena_array(arena, m, sizeof *r.list);
    r.open = fci_arena_array(&scratch, m, sizeof *r.open);
    r.fixture_of = fci_arena_array(&scratch, m, sizeof *r.fixture_of);
    r.by_need = fci_arena_array(&scratch, m, sizeof *r.by_need);
    r.ladder = fci_ladder_new(network, solver);
    if (r.list && !scratch.failed && r.ladder) {
        list_valves(&r);
        status = find_all(&r);
    }
    if (status == FC_OK) {
        judge(&r);
        told->given = true;
        if (!fci_restart_order(told, arena, r.refill))
            status = FC_ENOMEM;
    }
    fci_ladder_free(r.ladder);
    fci_arena_free(&scratch);
    return status;
}
