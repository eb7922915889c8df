/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/events.c -- what the flush events tell of every fixture. */
#include "check/events.h"
#include "check/drawn.h"
#include "flow/busy_period.h"
#include "peak/flush_time.h"
#include "flow/ladder.h"
#include "flow/surely.h"
#include "ground/ties.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

struct running {
    struct fci_arena scratch;
    const fc_site *site;
    fc_state state;
    struct fci_arena *arena;
    struct fci_events *events;
    const struct fci_events *other; /* of the other state; NULL: none */
    struct fci_network *network;
    struct fci_solver *solver;
    struct fci_ladder *ladder;
    double (*at_places)[FCI_ENDS]; /* room for the work */
    double *drawn_alone;           /* of each fixture, what it draws alone */
    bool verdicts_only, in_short;
    fc_diagnostics *messages;
};

/* ---- What is drawn down ----------------------------------------------- */

static bool
find_places(struct running *r)
{
    const fc_site *site = r->site;
    struct fci_arena *arena = r->arena ? r->arena : &r->scratch;
    struct fci_drawn_down *drawn =
        fci_arena_array(arena, site->n_elements + 1, sizeof *drawn);
    size_t i;

    r->events->drawn = drawn;
    for (i = 0; drawn && i < site->n_elements; i++) {
        const fc_range least = fci_must_keep(site, &site->elements[i]);

        if (least.given)
            drawn[r->events->n_drawn++] =
                (struct fci_drawn_down){ i, FCI_NONE, { 0 }, least, FC_WORKS };
    }
    return drawn != NULL;
}

static bool
is_upstream(const fc_site *site, size_t of, size_t element)
{
    while (of != element && of != FCI_NONE)
        of = site->elements[of].parent;
    return of != FCI_NONE;
}

/* The pressures at an end at an outlet and at that of its feeder, of every
 * place on the way to a fixture; `ends` has room for two of each place. */
static void
note_places(struct running *r, size_t fixture, enum fci_end end,
            double (*ends)[FCI_ENDS])
{
    const fc_site *site = r->site;
    size_t i;

    for (i = 0; i < r->events->n_drawn; i++) {
        const size_t at = r->events->drawn[i].element;
        const size_t parent = site->elements[at].parent;

        if (!is_upstream(site, site->fixtures[fixture].element, at))
            continue;
        ends[2 * i][end] = fci_solver_at(r->solver, at);
        ends[2 * i + 1][end] =
            parent == FCI_NONE ? 0 : fci_solver_at(r->solver, parent);
    }
}

static void
judge_places(struct running *r, size_t fixture, double (*ends)[FCI_ENDS])
{
    const fc_site *site = r->site;
    size_t i;

    for (i = 0; i < r->events->n_drawn; i++) {
        struct fci_drawn_down *drawn = &r->events->drawn[i];
        fc_range there;

        if (!is_upstream(site, site->fixtures[fixture].element,
                         drawn->element))
            continue;
        there = fci_keeps(site, &site->elements[drawn->element], ends[2 * i],
                          ends[2 * i + 1]);
        if (drawn->fixture != FCI_NONE
            && !fci_is_less(there.low, drawn->pressure.low))
            continue;
        drawn->fixture = fixture;
        drawn->pressure = there;
        drawn->kept = fci_is_kept(there, drawn->least);
    }
}

/* The worst of the places on the way to a fixture. */
static fc_verdict
drawn_down(const struct running *r, size_t fixture)
{
    fc_verdict worst = FC_WORKS;
    size_t i;

    for (i = 0; i < r->events->n_drawn; i++) {
        const struct fci_drawn_down *drawn = &r->events->drawn[i];

        if (drawn->kept != FC_WORKS
            && is_upstream(r->site, r->site->fixtures[fixture].element,
                           drawn->element))
            worst = fci_worse_of(worst, drawn->kept);
    }
    return worst;
}

/* ---- Alone ------------------------------------------------------------ */

static bool
flushes(const struct running *r, size_t fixture)
{
    return r->network->outlets[fixture].flushes;
}

static enum fci_end
last_end(const struct running *r)
{
    return r->network->exact || !r->network->bounded ? FCI_NOMINAL : FCI_BEST;
}

static fc_status
pressure_alone(struct running *r, size_t fixture, enum fci_end end,
               double *pressure)
{
    const struct fci_open open = { fixture, 1 };
    fc_status status;

    fci_solver_forget(r->solver);
    fci_solver_take(r->solver, end, fixture);
    status = fci_solver_run(r->solver, &open, 1);
    if (status == FC_OK)
        *pressure = fci_solver_drawn(r->solver)[0].pressure;
    return status;
}

/* Where nothing is a range, or no end bounds it, one end is all of them. */
static void
fill_ends(double ends[FCI_ENDS])
{
    ends[FCI_WORST] = ends[FCI_BEST] = ends[FCI_NOMINAL];
}

static fc_status
find_alone(struct running *r, size_t fixture, fc_range *alone)
{
    const size_t places = 2 * r->events->n_drawn;
    double ends[FCI_ENDS];
    fc_status status = FC_OK;
    size_t i;
    int end;

    for (end = 0; end <= (int)last_end(r) && status == FC_OK; end++) {
        status = pressure_alone(r, fixture, (enum fci_end)end, &ends[end]);
        if (status == FC_OK)
            note_places(r, fixture, (enum fci_end)end, r->at_places);
        if (status == FC_OK && end == FCI_NOMINAL)
            r->drawn_alone[fixture] = fci_solver_drawn(r->solver)[0].flow;
    }
    if (status != FC_OK)
        return status;
    if (end < FCI_ENDS) {
        fill_ends(ends);
        for (i = 0; i < places; i++)
            fill_ends(r->at_places[i]);
    }
    judge_places(r, fixture, r->at_places);
    *alone = fci_as_range(ends);
    return FC_OK;
}

/* ---- The ladder ------------------------------------------------------- */

/* At its worst a valve needs the most. */
static double
least_of(const fc_valve *valve, enum fci_end end)
{
    return fci_more_is_worse(valve->minimum_flowing, end);
}

static fc_flushing *
name_set(const struct running *r, const struct fci_rungs *rungs)
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
keep_rungs(const struct running *r, const struct fci_rungs *rungs,
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

static fc_status
climb(struct running *r, size_t fixture)
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
    for (end = FCI_WORST; end <= (int)last_end(r) && status == FC_OK; end++) {
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

static fc_status
climb_all(struct running *r)
{
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; i < r->site->n_fixtures && status == FC_OK; i++) {
        if (!flushes(r, i))
            continue;
        status = find_alone(r, i, &r->events->views[i].alone);
        if (status == FC_OK && r->ladder && !r->in_short)
            status = climb(r, i);
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
drawn_at_most(const struct running *r, size_t fixture, enum fci_end end)
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
list_rungs(struct running *r, enum fci_end end, int valves,
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
        if (flushes(r, i))
            most[i] = drawn_at_most(r, i, end);
    if (known && !fci_rest_find(rest, &r->scratch, r->network, &of))
        return false;
    for (i = 0; i < m; i++) {
        const fc_valve *valve = r->site->fixtures[i].valve[r->state];

        if (!flushes(r, i) || !valve->minimum_flowing.given)
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
climb_one(struct running *r, const struct rung *rung, enum fci_end end,
          int *most)
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
look_closer(const struct running *r, enum fci_end end,
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
static fc_status
climb_shortest(struct running *r, enum fci_end end)
{
    struct rung *list =
        fci_arena_array(&r->scratch, r->site->n_fixtures + 1, sizeof *list);
    struct fci_rest rest = { .network = NULL };
    fc_status status = FC_OK;
    int valves = 0, most;
    size_t n = 0, i;

    for (i = 0; i < r->site->n_fixtures; i++)
        valves += flushes(r, i) ? r->site->fixtures[i].count : 0;
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
starves_sooner(const struct running *r, size_t a, size_t b)
{
    const fc_ladder *x = &r->events->views[a].ladder;
    const fc_ladder *y = &r->events->views[b].ladder;

    if (x->most != y->most)
        return x->most < y->most;
    return fci_is_less(x->pressures[x->n_pressures - 1],
                       y->pressures[y->n_pressures - 1]);
}

static void
find_starved(struct running *r)
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
open_worst_set(const struct running *r, struct fci_open *open)
{
    const struct fci_events *events = r->events;
    size_t n = 0, i;

    if (events->starved != FCI_NONE) {
        n = events->views[events->starved].ladder.n_first;
        memcpy(open, events->views[events->starved].set, n * sizeof *open);
        return n;
    }
    for (i = 0; i < r->site->n_fixtures; i++)
        if (flushes(r, i)) {
            open[n].fixture = i;
            open[n++].count = r->site->fixtures[i].count;
        }
    return n;
}

static fc_status
left_at(struct running *r, const struct fci_open *open, size_t n,
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
find_left(struct running *r, const struct fci_open *open, size_t n,
          size_t fixture)
{
    double ends[FCI_ENDS];
    fc_status status = FC_OK;
    int end;

    ends[FCI_NOMINAL] = r->events->views[fixture].shared.nominal;
    for (end = FCI_WORST; end <= (int)last_end(r) && status == FC_OK; end++)
        status = left_at(r, open, n, fixture, (enum fci_end)end, &ends[end]);
    if (status == FC_OK && end == FCI_ENDS)
        r->events->views[fixture].shared = fci_as_range(ends);
    return status;
}

static fc_status
find_shared(struct running *r)
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

static fc_verdict
enough_for(fc_range least, fc_range pressure)
{
    if (!least.given)
        return FC_WORKS;
    if (pressure.high < least.low - FCI_SOLVED_TO)
        return FC_WILL_NOT_WORK;
    return pressure.low < least.high - FCI_SOLVED_TO ? FC_CANNOT_TELL
                                                     : FC_WORKS;
}

/* ---- The busy period -------------------------------------------------- */

static bool
busy_known(const struct running *r)
{
    size_t i;

    for (i = 0; i < r->site->n_fixtures; i++)
        if (r->site->fixtures[i].valve[r->state]
            && fci_flush_lacks(&r->site->fixtures[i], r->state))
            return false;
    return true;
}

/* What the ends of the ranges come to need not be known as well as what the
 * middle does: so many states at most. */
#define STATES_AT_END 40000

static fc_check_options
at_end(const fc_check_options *options)
{
    fc_check_options fewer = *options;

    if (!fewer.most_states || fewer.most_states > STATES_AT_END)
        fewer.most_states = STATES_AT_END;
    fewer.progress = NULL;
    return fewer;
}

static fc_status
draw_at_end(struct running *r, const fc_check_options *options,
            enum fci_end end)
{
    const fc_check_options fewer = at_end(options);
    struct fci_busy_period period;
    fc_status status;
    size_t i;

    status = fci_busy_period_run(r->network, end, &fewer, NULL, &period,
                                 r->messages);
    if (status != FC_OK)
        return status;
    for (i = 0; i < r->site->n_fixtures; i++) {
        fc_busy *busy = &r->events->views[i].busy;

        r->events->views[i].often[end] = period.often[i];
        if (end == FCI_WORST)
            busy->weak_worst = period.fixtures[i].weak;
        else
            busy->weak_best = period.fixtures[i].weak;
    }
    fci_busy_period_free(&period);
    return FC_OK;
}

/* Where a flush's volume is not known, and with it how long it lasts, nothing
 * is sure but what is never weak. */
static fc_status
bound_busy(struct running *r)
{
    const size_t n = r->site->n_fixtures;
    bool *never = fci_arena_array(&r->scratch, n + 1, sizeof *never);
    const fc_status status =
        never ? fci_never_weak(
            r->network, r->network->bounded ? FCI_WORST : FCI_NOMINAL, never)
              : FC_ENOMEM;
    size_t i;

    for (i = 0; i < n && status == FC_OK; i++)
        if (flushes(r, i) && !never[i])
            r->events->views[i].often[FCI_WORST] = FCI_UNCLEAR;
    return status;
}

static bool
always_on(const struct running *r, size_t fixture)
{
    return flushes(r, fixture)
           && fci_valve_busy(r->site, &r->site->fixtures[fixture], r->state,
                             FCI_NOMINAL)
                  .capped;
}

/* Whether its valve's own minimum is known. */
static bool
needs_valve(const struct running *r, size_t fixture)
{
    return fci_requirement_of(r->site, &r->site->fixtures[fixture], r->state)
        .valve.given;
}

/* In short a fixture that is short alone is not asked how often it is weak:
 * neither its verdict nor a warning would change. */
static bool
is_asked(const struct running *r, size_t fixture)
{
    const struct fci_requirement need =
        fci_requirement_of(r->site, &r->site->fixtures[fixture], r->state);

    return flushes(r, fixture)
           && enough_for(need.least, r->events->views[fixture].alone)
                  != FC_WILL_NOT_WORK;
}

/* At one end, of those that are `asked`. */
static fc_status
ask_at(struct running *r, const fc_check_options *options, enum fci_end end,
       const bool *asked)
{
    const fc_check_options fewer =
        end == FCI_NOMINAL ? *options : at_end(options);
    struct fci_busy_period period;
    fc_status status = FC_OK;
    bool any = false;
    size_t i;

    for (i = 0; i < r->site->n_fixtures; i++)
        any |= asked[i];
    if (any)
        status = fci_busy_period_run(r->network, end, &fewer, asked, &period,
                                     r->messages);
    if (status != FC_OK || !any)
        return status;
    for (i = 0; i < r->site->n_fixtures; i++)
        if (asked[i])
            r->events->views[i].often[end] = period.often[i];
    fci_busy_period_free(&period);
    return FC_OK;
}

/* Where it is known of the best end and of the worst what the verdict needs,
 * the middle is not asked. */
static fc_status
ask_ends(struct running *r, const fc_check_options *options, bool *asked)
{
    fc_status status = ask_at(r, options, FCI_BEST, asked);
    size_t i;

    for (i = 0; i < r->site->n_fixtures; i++)
        asked[i] &= r->events->views[i].often[FCI_BEST] != FCI_TOO_OFTEN
                    || !needs_valve(r, i);
    if (status == FC_OK)
        status = ask_at(r, options, FCI_WORST, asked);
    for (i = 0; i < r->site->n_fixtures; i++)
        asked[i] &= r->events->views[i].often[FCI_WORST] != FCI_TOO_OFTEN;
    return status;
}

static fc_status
draw_in_short(struct running *r, const fc_check_options *options)
{
    const bool ends = last_end(r) == FCI_BEST;
    const size_t n = r->site->n_fixtures;
    bool *asked = fci_arena_array(&r->scratch, n + 1, sizeof *asked);
    fc_status status = asked ? FC_OK : FC_ENOMEM;
    size_t i;

    for (i = 0; i < n && asked; i++) {
        struct fci_event_view *view = &r->events->views[i];

        asked[i] = is_asked(r, i);
        view->busy.weak.given =
            asked[i] && isfinite(fci_least_kept(r->network, i, FCI_NOMINAL))
            && fci_valve_busy(r->site, &r->site->fixtures[i], r->state,
                              FCI_NOMINAL)
                       .on
                   > 0;
        view->always_on = always_on(r, i);
    }
    if (status == FC_OK && ends)
        status = ask_ends(r, options, asked);
    if (status == FC_OK)
        status = ask_at(r, options, FCI_NOMINAL, asked);
    for (i = 0; i < n && !ends; i++) {
        struct fci_event_view *view = &r->events->views[i];

        view->often[FCI_WORST] = view->often[FCI_BEST] =
            view->often[FCI_NOMINAL];
    }
    return status;
}

static fc_status
draw_busy(struct running *r, const fc_check_options *options)
{
    struct fci_busy_period period;
    fc_status status;
    size_t i;
    int end;

    if (options->no_busy_period)
        return FC_OK;
    r->events->volume_unknown = !busy_known(r);
    if (r->events->volume_unknown)
        return bound_busy(r);
    if (options->in_short)
        return draw_in_short(r, options);
    status = fci_busy_period_run(r->network, FCI_NOMINAL, options, NULL,
                                 &period, r->messages);
    if (status != FC_OK)
        return status;
    for (i = 0; i < r->site->n_fixtures; i++) {
        struct fci_event_view *view = &r->events->views[i];

        view->busy = period.fixtures[i];
        view->often[FCI_NOMINAL] = period.often[i];
        view->always_on = always_on(r, i);
    }
    r->events->states = period.states;
    r->events->narrow = period.narrow;
    fci_busy_period_free(&period);
    for (i = 0; i < r->site->n_fixtures; i++) {
        struct fci_event_view *view = &r->events->views[i];

        view->often[FCI_WORST] = view->often[FCI_BEST] =
            view->often[FCI_NOMINAL];
    }
    for (end = FCI_WORST; end <= (int)last_end(r) && status == FC_OK; end++)
        status = draw_at_end(r, options, (enum fci_end)end);
    return status;
}

/* ---- Verdicts --------------------------------------------------------- */

/* Where the inputs are ranges, what the middle says decides nothing; nor does
 * a chance that drawing does not tell from the limit. */
static fc_verdict
seldom_weak(const struct fci_event_view *view)
{
    if (view->often[FCI_BEST] == FCI_TOO_OFTEN)
        return FC_WILL_NOT_WORK;
    return view->often[FCI_NOMINAL] == FCI_SELDOM
                   && view->often[FCI_WORST] == FCI_SELDOM
               ? FC_WORKS
               : FC_CANNOT_TELL;
}

static void
judge_view(const struct running *r, size_t fixture,
           struct fci_event_view *view)
{
    const struct fci_requirement need =
        fci_requirement_of(r->site, &r->site->fixtures[fixture], r->state);

    view->enough = view->strong = view->seldom = FC_WORKS;
    view->drawn = drawn_down(r, fixture);
    if (!r->site->fixtures[fixture].valve[r->state] || !view->alone.given)
        return;
    view->enough = enough_for(need.least, view->alone);
    view->strong = fci_under_limit(view->alone, need.maximum_flowing);
    view->seldom = seldom_weak(view);
    /* by the code's least alone nothing surely fails */
    if (!need.valve.given && view->seldom == FC_WILL_NOT_WORK)
        view->seldom = FC_CANNOT_TELL;
    if (view->seldom == FC_CANNOT_TELL && r->events->volume_unknown)
        view->lacks = "how long a flush lasts, its volume not given: take "
                      "\"full flush\" from the valve's data sheet";
    else if (view->seldom == FC_CANNOT_TELL && !need.valve.given)
        view->lacks = "the valve minimum, not given: take \"minimum flowing\" "
                      "from its data sheet";
    view->unclear = view->seldom == FC_CANNOT_TELL
                    && view->often[FCI_NOMINAL] != FCI_TOO_OFTEN
                    && view->often[FCI_WORST] != FCI_TOO_OFTEN;
}

static void
judge_views(struct running *r)
{
    size_t i;

    for (i = 0; i < r->site->n_fixtures; i++)
        judge_view(r, i, &r->events->views[i]);
}

fc_verdict
fci_events_verdict(fc_verdict works, const struct fci_event_view *view)
{
    works = fci_worse_of(works, fci_worse_of(view->enough, view->drawn));
    if (works == FC_WILL_NOT_WORK || view->enough == FC_CANNOT_TELL)
        return works;
    /* the peak says yes and the busy period no: the two disagree */
    return view->seldom == FC_WORKS ? works : FC_CANNOT_TELL;
}

void
fci_events_decide(fc_fixture_state *s, const struct fci_event_view *view)
{
    if (s->works == FC_CANNOT_TELL && !s->decided_by)
        s->decided_by =
            view->enough == FC_CANNOT_TELL
                ? "its pressure flushing alone: read a gauge there while it "
                  "flushes"
            : view->seldom == FC_CANNOT_TELL && view->lacks ? view->lacks
            : view->unclear
                ? "how many flush at once in the busiest period, its weak "
                  "flushes being too close to the 1% allowed: count the uses "
                  "in an hour and give \"interval\""
            : view->drawn == FC_CANNOT_TELL
                ? "how far the supply drops while a valve flushes alone: read "
                  "a gauge there while it flushes"
            : view->seldom == FC_CANNOT_TELL
                ? "the ranges, with too many weak flushes in the worst case: "
                  "narrow them"
                : "how many flush at once in the busiest period: count the "
                  "uses in an hour and give \"interval\"";
    if (s->works != FC_CANNOT_TELL)
        s->decided_by = NULL;
}

/* ---- The whole -------------------------------------------------------- */

static const fc_valve *
unknown_rate(const fc_site *site, fc_state state)
{
    size_t i;

    for (i = 0; i < site->n_fixtures; i++) {
        const fc_valve *valve = site->fixtures[i].valve[state];

        if (valve && !fci_has_rate(valve))
            return valve;
    }
    return NULL;
}

/* Every rung of every valve's ladder follows its way to the source.  A
 * building whose ways are so long together, in links, would take minutes. */
#define MOST_WAYS 5e7

static fc_status
find_too_large(struct running *r)
{
    const struct fci_network *network = r->network;
    size_t *depth =
        fci_arena_array(&r->scratch, network->n_links, sizeof *depth);
    double sum = 0;
    size_t i;

    if (!depth)
        return FC_ENOMEM;
    for (i = 0; i < network->n_links; i++)
        depth[i] = network->links[i].parent == FCI_NONE
                       ? 1
                       : depth[network->links[i].parent] + 1;
    for (i = 0; i < r->site->n_fixtures; i++)
        if (flushes(r, i))
            sum += (double)depth[network->outlets[i].link];
    r->events->too_large = sum > MOST_WAYS;
    return FC_OK;
}

static fc_status
make_room(struct running *r)
{
    fc_status status =
        fci_network_new(r->site, r->state, &r->network, r->messages);

    if (status != FC_OK)
        return status;
    if (!find_places(r))
        return FC_ENOMEM;
    r->at_places = fci_arena_array(&r->scratch, 2 * r->events->n_drawn + 1,
                                   sizeof *r->at_places);
    r->drawn_alone = fci_arena_array(&r->scratch, r->site->n_fixtures + 1,
                                     sizeof *r->drawn_alone);
    r->solver = fci_solver_new(r->network);
    return r->solver && !r->scratch.failed ? FC_OK : FC_ENOMEM;
}

static void
free_room(struct running *r)
{
    fci_ladder_free(r->ladder);
    fci_solver_free(r->solver);
    fci_network_free(r->network);
    fci_arena_free(&r->scratch);
}

/* Only how long a flush lasts differs, which nothing but the busy period asks
 * for. */
static bool
is_as_other(const struct running *r)
{
    return r->other && r->other->views && !r->other->unknown
           && !r->other->too_large && fci_flows_alike(r->site);
}

static void
take_other(struct running *r)
{
    struct fci_events *events = r->events;
    size_t i;

    for (i = 0; i < r->site->n_fixtures; i++) {
        const struct fci_event_view *from = &r->other->views[i];
        struct fci_event_view *to = &events->views[i];

        to->alone = from->alone;
        to->shared = from->shared;
        to->ladder = from->ladder;
        to->set = from->set;
    }
    for (i = 0; i < events->n_drawn; i++)
        events->drawn[i] = r->other->drawn[i];
    events->starved = r->other->starved;
}

/* What flushes leave of the pressure, however long they last. */
static fc_status
flush_all(struct running *r)
{
    fc_status status;

    if (!r->verdicts_only) {
        r->ladder = fci_ladder_new(r->network, r->solver);
        if (!r->ladder)
            return FC_ENOMEM;
    }
    status = climb_all(r);
    if (status == FC_OK && r->ladder && r->in_short) {
        status = climb_shortest(r, FCI_NOMINAL);
        if (status == FC_OK && last_end(r) == FCI_BEST)
            status = climb_shortest(r, FCI_WORST);
    }
    if (status == FC_OK && r->ladder) {
        find_starved(r);
        status = find_shared(r);
    }
    return fci_solver_fail(r->solver, status, r->messages);
}

static fc_status
work_out(struct running *r, const fc_check_options *options)
{
    fc_status status = find_too_large(r);

    if (status != FC_OK || r->events->too_large)
        return status;
    if (is_as_other(r))
        take_other(r);
    else
        status = flush_all(r);
    return status == FC_OK ? draw_busy(r, options) : status;
}

static fc_status
run(struct running *r, const fc_check_options *options)
{
    const fc_site *site = r->site;
    struct fci_events *events = r->events;
    fc_status status = FC_OK;

    *events = (struct fci_events){ .starved = FCI_NONE };
    events->views =
        fci_arena_array(r->arena, site->n_fixtures, sizeof *events->views);
    if (!events->views)
        return FC_ENOMEM;
    events->unknown = unknown_rate(site, r->state);
    if (!events->unknown)
        status = make_room(r);
    if (status == FC_OK && r->solver)
        status = work_out(r, options);
    if (status == FC_OK)
        judge_views(r);
    free_room(r);
    return status;
}

fc_status
fci_events_run(const fc_site *site, fc_state state,
               const struct fci_events *other, const fc_check_options *options,
               struct fci_arena *arena, struct fci_events *events,
               fc_diagnostics *messages)
{
    struct running r = { .site = site,
                         .state = state,
                         .other = other,
                         .arena = arena,
                         .events = events,
                         .in_short = options->in_short,
                         .messages = messages };

    return run(&r, options);
}

fc_status
fci_events_judge(const fc_site *site, fc_state state,
                 const fc_check_options *options, struct fci_arena *arena,
                 struct fci_events *events, fc_diagnostics *messages)
{
    struct running r = { .site = site,
                         .state = state,
                         .arena = arena,
                         .events = events,
                         .verdicts_only = true,
                         .messages = messages };

    return run(&r, options);
}

fc_status
fci_events_alone(const fc_site *site, fc_state state, size_t fixture,
                 struct fci_event_view *view, fc_diagnostics *messages)
{
    struct fci_events events = { .starved = FCI_NONE };
    struct running r = {
        .site = site, .state = state, .events = &events, .messages = messages
    };
    fc_status status;

    *view = (struct fci_event_view){ .enough = FC_WORKS,
                                     .strong = FC_WORKS,
                                     .drawn = FC_WORKS,
                                     .seldom = FC_WORKS };
    if (!fci_has_rate(site->fixtures[fixture].valve[state]))
        return FC_OK;
    status = make_room(&r);
    if (status == FC_OK)
        status = fci_solver_fail(
            r.solver, find_alone(&r, fixture, &view->alone), messages);
    if (status == FC_OK)
        judge_view(&r, fixture, view);
    free_room(&r);
    return status;
}
