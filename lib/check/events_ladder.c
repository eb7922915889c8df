/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/events_ladder.c -- how many valves at once, and which
 * set starves a valve first. */
#include "check/events_work.h"
#include "flow/surely.h"
#include "ground/ties.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- The ladder ------------------------------------------------------- */

/* At its worst a valve needs the most. */
static double
least_of(const fc_valve *valve, enum fci_end end)
{
    return fci_more_is_worse(valve->minimum_flowing, end);
}

static fc_flushing *
name_set(const struct fci_running_events *r, const struct fci_rungs *rungs)
{
    fc_flushing *set = fci_arena_array(r->arena, rungs->n_set, sizeof *set);
    size_t i;

    for (i = 0; set && i < rungs->n_set; i++) {
        set[i].count = rungs->set[i].count;
        set[i].fixture = r->site->fixtures[rungs->set[i].fixture].given->name;
    }
    return set;
}

static fc_status
keep_rungs(const struct fci_running_events *r, const struct fci_rungs *rungs,
           struct fci_event_view *view)
{
    fc_ladder *ladder = &view->ladder;

    ladder->given = true;
    ladder->most = ladder->low = ladder->high = rungs->most;
    ladder->all = rungs->all;
    ladder->n_pressures = rungs->n_pressures;
    ladder->pressures =
        fci_arena_copy(r->arena, rungs->pressures,
                       rungs->n_pressures * sizeof *rungs->pressures);
    ladder->n_first = rungs->n_set;
    ladder->first = name_set(r, rungs);
    view->set = fci_arena_copy(r->arena, rungs->set,
                               rungs->n_set * sizeof *rungs->set);
    return ladder->pressures && ladder->first && view->set ? FC_OK : FC_ENOMEM;
}

fc_status
fci_climb(struct fci_running_events *r, size_t fixture)
{
    const fc_valve *valve = r->site->fixtures[fixture].valve[r->state];
    struct fci_event_view *view = &r->events->views[fixture];
    struct fci_rungs rungs;
    fc_status status;
    int end;

    if (!valve->minimum_flowing.given)
        return FC_OK;
    status = fci_ladder_climb(r->ladder, fixture, FCI_NOMINAL,
                              least_of(valve, FCI_NOMINAL), 0, &rungs);
    if (status == FC_OK)
        status = keep_rungs(r, &rungs, view);
    for (end = FCI_WORST; end <= (int)fci_last_end(r) && status == FC_OK;
         end++) {
        status =
            fci_ladder_climb(r->ladder, fixture, (enum fci_end)end,
                             least_of(valve, (enum fci_end)end), 0, &rungs);
        if (end == FCI_WORST)
            view->ladder.low = rungs.most;
        else
            view->ladder.high = rungs.most;
    }
    return status;
}

/* ---- In short --------------------------------------------------------- */

/* Of a fixture that may have the shortest ladder. */
struct rung {
    size_t fixture;
    int surely; /* so many at once do not starve it */
};

static int
by_surely(const void *a, const void *b)
{
    const struct rung *x = a, *y = b;

    if (x->surely != y->surely)
        return x->surely < y->surely ? -1 : 1;
    return (x->fixture > y->fixture) - (x->fixture < y->fixture);
}

/* What a valve of each fixture draws at most while one is judged at an end.
 * Beside one at its worst it draws by its higher rate what it has at most. */
static double
drawn_at_most(const struct fci_running_events *r, size_t fixture,
              enum fci_end end)
{
    const struct fci_outlet_law *law =
        &r->network->outlets[fixture].beside[FCI_WORST];

    if (end == FCI_NOMINAL)
        return r->drawn_alone[fixture];
    return fmin(law->most, sqrt(fmax(r->events->views[fixture].alone.high, 0)
                                / law->need));
}

/* The shortest first, as far as that is sure without a climb.  `rest` without
 * a network: nothing is sure of it. */
static bool
list_rungs(struct fci_running_events *r, enum fci_end end, int valves,
           struct fci_rest *rest, struct rung *list, size_t *n)
{
    const size_t m = r->site->n_fixtures;
    double *most = fci_arena_array(&r->scratch, m + 1, sizeof *most);
    const bool known = fci_more_leaves_less(r->network);
    const struct fci_told_of of = {
        .end = end, .side = fci_other_end(end), .beside = true, .most = most
    };
    size_t i;

    if (!most)
        return false;
    *n = 0;
    for (i = 0; i < m; i++)
        if (fci_flushes(r, i))
            most[i] = drawn_at_most(r, i, end);
    if (known && !fci_rest_find(rest, &r->scratch, r->network, &of))
        return false;
    for (i = 0; i < m; i++) {
        const fc_valve *valve = r->site->fixtures[i].valve[r->state];

        if (!fci_flushes(r, i) || !valve->minimum_flowing.given)
            continue;
        list[*n].fixture = i;
        list[(*n)++].surely = known ? fci_surely_at_once(
                                  rest, i, least_of(valve, end), valves, false)
                                    : 0;
    }
    qsort(list, *n, sizeof *list, by_surely);
    return true;
}

static fc_status
climb_one(struct fci_running_events *r, const struct rung *rung,
          enum fci_end end, int *most)
{
    const size_t fixture = rung->fixture;
    const fc_valve *valve = r->site->fixtures[fixture].valve[r->state];
    struct fci_event_view *view = &r->events->views[fixture];
    struct fci_rungs rungs;
    fc_status status = fci_ladder_climb(
        r->ladder, fixture, end, least_of(valve, end), rung->surely, &rungs);

    if (status != FC_OK)
        return status;
    if (end == FCI_NOMINAL)
        status = keep_rungs(r, &rungs, view);
    else
        view->ladder.low = rungs.most;
    if (rungs.most < *most)
        *most = rungs.most;
    return status;
}

/* Where that decides whether to climb, or for how long. */
static int
look_closer(const struct fci_running_events *r, enum fci_end end,
            const struct fci_rest *rest, int most, struct rung *rung)
{
    const fc_valve *valve = r->site->fixtures[rung->fixture].valve[r->state];

    if (rest->network && rung->surely <= most)
        rung->surely = fci_surely_at_once(
            rest, rung->fixture, least_of(valve, end), most + 1, true);
    return rung->surely;
}

/* Only the shortest ladder tells how many valves at once starve the first one,
 * and which.  One that surely is longer is as good as one of all. */
fc_status
fci_climb_shortest(struct fci_running_events *r, enum fci_end end)
{
    struct rung *list =
        fci_arena_array(&r->scratch, r->site->n_fixtures + 1, sizeof *list);
    struct fci_rest rest = { .network = NULL };
    fc_status status = FC_OK;
    int valves = 0, most;
    size_t n = 0, i;

    for (i = 0; i < r->site->n_fixtures; i++)
        valves += fci_flushes(r, i) ? r->site->fixtures[i].count : 0;
    if (!list || !list_rungs(r, end, valves, &rest, list, &n))
        return FC_ENOMEM;
    most = valves;
    for (i = 0; i < n && status == FC_OK; i++) {
        const int closer = look_closer(r, end, &rest, most, &list[i]);
        const int surely = closer < valves ? closer : valves;
        fc_ladder *ladder = &r->events->views[list[i].fixture].ladder;

        /* at the middle the one of several that is furthest below counts */
        if (surely < valves && surely <= most - (end != FCI_NOMINAL)) {
            status = climb_one(r, &list[i], end, &most);
        } else if (end == FCI_NOMINAL) {
            ladder->given = ladder->all = true;
            ladder->most = ladder->low = surely;
        } else {
            ladder->low = surely;
        }
    }
    return status;
}

/* ---- The building ----------------------------------------------------- */

/* Starved by fewer valves, or by as many but further below. */
static bool
starves_sooner(const struct fci_running_events *r, size_t a, size_t b)
{
    const fc_ladder *x = &r->events->views[a].ladder;
    const fc_ladder *y = &r->events->views[b].ladder;

    if (x->most != y->most)
        return x->most < y->most;
    return fci_is_less(x->pressures[x->n_pressures - 1],
                       y->pressures[y->n_pressures - 1]);
}

void
fci_find_starved(struct fci_running_events *r)
{
    struct fci_events *events = r->events;
    size_t i;

    events->starved = FCI_NONE;
    for (i = 0; i < r->site->n_fixtures; i++) {
        const fc_ladder *ladder = &events->views[i].ladder;

        if (!ladder->given || ladder->all)
            continue;
        if (events->starved == FCI_NONE
            || starves_sooner(r, i, events->starved))
            events->starved = i;
    }
}

/* The set that starves a valve first, or all of them. */
static size_t
open_worst_set(const struct fci_running_events *r, struct fci_open *open)
{
    const struct fci_events *events = r->events;
    size_t n = 0, i;

    if (events->starved != FCI_NONE) {
        n = events->views[events->starved].ladder.n_first;
        memcpy(open, events->views[events->starved].set, n * sizeof *open);
        return n;
    }
    for (i = 0; i < r->site->n_fixtures; i++)
        if (fci_flushes(r, i)) {
            open[n].fixture = i;
            open[n++].count = r->site->fixtures[i].count;
        }
    return n;
}

static fc_status
left_at(struct fci_running_events *r, const struct fci_open *open, size_t n,
        size_t fixture, enum fci_end end, double *pressure)
{
    fc_status status;

    fci_solver_take(r->solver, end, fixture);
    status = fci_solver_run(r->solver, open, n);
    if (status == FC_OK)
        *pressure = fci_solver_at_rest(r->solver, fixture);
    return status;
}

/* What that leaves to a fixture that does not flush. */
static fc_status
find_left(struct fci_running_events *r, const struct fci_open *open, size_t n,
          size_t fixture)
{
    double ends[FCI_ENDS];
    fc_status status = FC_OK;
    int end;

    ends[FCI_NOMINAL] = r->events->views[fixture].shared.nominal;
    for (end = FCI_WORST; end <= (int)fci_last_end(r) && status == FC_OK;
         end++)
        status = left_at(r, open, n, fixture, (enum fci_end)end, &ends[end]);
    if (status == FC_OK && end == FCI_ENDS)
        r->events->views[fixture].shared = fci_as_range(ends);
    return status;
}

fc_status
fci_find_shared(struct fci_running_events *r)
{
    const fc_site *site = r->site;
    struct fci_open *open =
        fci_arena_array(&r->scratch, site->n_fixtures + 1, sizeof *open);
    size_t n, i;
    fc_status status;

    if (!open)
        return FC_ENOMEM;
    n = open_worst_set(r, open);
    fci_solver_take(r->solver, FCI_NOMINAL, FCI_NONE);
    status = fci_solver_run(r->solver, open, n);
    /* all at once, before another end is solved */
    for (i = 0; i < site->n_fixtures && status == FC_OK; i++)
        if (!site->fixtures[i].valve[r->state])
            r->events->views[i].shared =
                fc_exactly(fci_solver_at_rest(r->solver, i));
    for (i = 0; i < site->n_fixtures && status == FC_OK; i++)
        if (!site->fixtures[i].valve[r->state])
            status = find_left(r, open, n, i);
    return status;
}
