/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/events_ladder.c -- how many valves at once, and which
 * set starves a valve first. */
#include "check/events_work.h"
#include "ground/ties.h"

#include <math.h>
#include <string.h>

/* ---- The ladder ------------------------------------------------------- */

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
    ladder->could = ladder->could_low = ladder->could_high = rungs->could;
    ladder->all = rungs->all;
    ladder->worst_sets = rungs->worst;
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
fci_climb_at(struct fci_running_events *r, size_t fixture, enum fci_end end,
             enum fci_ladder_depth depth)
{
    struct fci_event_view *view = &r->events->views[fixture];
    struct fci_rungs rungs;
    const fc_status status =
        fci_ladder_climb(r->ladder, fixture, end,
                         fci_minimum_of(r, fixture, end), depth, &rungs);

    if (status != FC_OK)
        return status;
    if (end == FCI_NOMINAL)
        return keep_rungs(r, &rungs, view);
    if (end == FCI_WORST) {
        view->ladder.low = rungs.most;
        view->ladder.could_low = rungs.could;
    } else {
        view->ladder.high = rungs.most;
        view->ladder.could_high = rungs.could;
    }
    return FC_OK;
}

fc_status
fci_climb(struct fci_running_events *r, size_t fixture)
{
    const fc_valve *valve = r->site->fixtures[fixture].valve[r->state];
    fc_status status;
    int end;

    if (!valve->minimum_flowing.given)
        return FC_OK;
    status = fci_climb_at(r, fixture, FCI_NOMINAL, FCI_EVERY_NUMBER);
    for (end = FCI_WORST; end <= (int)fci_last_end(r) && status == FC_OK;
         end++)
        status = fci_climb_at(r, fixture, (enum fci_end)end, FCI_MOST_ALONE);
    return status;
}

/* ---- The building ----------------------------------------------------- */

/* Starved by fewer valves, or by as many but further below. */
static bool
starves_sooner(const struct fci_running_events *r, size_t a, size_t b)
{
    const fc_ladder *x = &r->events->views[a].ladder;
    const fc_ladder *y = &r->events->views[b].ladder;

    if (x->could != y->could)
        return x->could < y->could;
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
