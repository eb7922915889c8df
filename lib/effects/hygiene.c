/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/hygiene.c -- hygiene flushes that come due together.
 *
 * Valves that were last used within a time w of each other flush of themselves
 * within w of each other, a fixed time later, anywhere in it with the same
 * chance.  A flush lasts t, so that at a moment a valve is found open with the
 * chance t / w, at most 1.  (Near the ends of w it is less, down to none: what
 * is told is a little on the high side.)  That is a busy period with other
 * chances than those of use, and is solved as one (flow/busy_period.h).
 *
 * Valves of different intervals come due together where a multiple of one is
 * near to a multiple of the other, if nobody comes meanwhile: what is looked
 * at is the time at which most valves do.
 *
 * A weak hygiene flush harms nobody, as the valve is not in use: it is found,
 * and no verdict rests on it.
 */
#include "effects/hygiene.h"
#include "effects/idle.h"
#include "effects/together.h"
#include "flow/busy_period.h"
#include "peak/flush_time.h"

#include <math.h>

/* States of a fixture at the most; where they do not tell whether it is weak
 * too often it counts as if it were.  A choice of this method. */
#define MOST_STATES 4096
/* How near the least spread is found, as a part of it. */
#define NEAR 0.1
/* Of the distribution of others so much is told. */
#define MOST_OTHERS 40

/* Where the file tells no spell without use: a summer.  And so many flushes of
 * one valve in it are looked at.  Choices of this method. */
#define LONG_SPELL (75 * FCI_DAY)
#define MOST_TIMES 100

/* More valves than any building has: what more of them do is not calculated,
 * and said.  A choice of this method. */
#define MOST_TOGETHER 10000

/* One state under calculation. */
struct washing {
    struct fci_effects *e;
    fc_state state;
    fc_range within;
    fc_hygiene_state *to;
    fc_hygiene_fixture *list;
    size_t *fixtures; /* those that come due, as in the list */
    bool *due;        /* of each fixture */
    double *on;       /* likewise */
    double *time[FCI_ENDS];
    fc_diagnostics *messages;
};

/* ---- Which come due --------------------------------------------------- */

/* Whether a valve has an automatic flush whose time and flow are known. */
static bool
flushes_itself(const struct washing *w, size_t i)
{
    const struct fci_fixture *f = &w->e->site->fixtures[i];

    return w->e->network[w->state]->outlets[i].flushes
           && f->valve[w->state]->hygiene_flush.given
           && !fci_flush_lacks(f, w->state);
}

static double
interval_of(const struct washing *w, size_t i)
{
    return w->e->site->fixtures[i].valve[w->state]->hygiene_flush.nominal;
}

/* Whether a valve of that interval comes due about when the time has gone by.
 */
static bool
comes_due(const struct washing *w, double interval, double after)
{
    const double times = round(after / interval);

    return times >= 1 && fabs(times * interval - after) < w->within.high;
}

static size_t
count_due(const struct washing *w, double after)
{
    size_t n = 0;

    for (size_t i = 0; i < w->e->site->n_fixtures; i++)
        if (flushes_itself(w, i) && comes_due(w, interval_of(w, i), after))
            n += (size_t)fci_fixture_count(&w->e->site->fixtures[i],
                                           FCI_NOMINAL);
    return n;
}

/* The longest time for which nobody comes. */
static double
longest_idle(const fc_usage *usage)
{
    double longest = 0;

    for (size_t i = 0; i < usage->n_closed; i++)
        longest = fmax(longest, usage->closed[i].time);
    return (usage->n_closed > 0 ? longest : LONG_SPELL) + FCI_DAY;
}

static bool
is_among(const double *intervals, size_t n, double interval)
{
    for (size_t i = 0; i < n; i++)
        if (intervals[i] >= interval && intervals[i] <= interval)
            return true;
    return false;
}

/* An interval, and its multiples while nobody comes. */
static void
try_interval(struct washing *w, double interval, double *moment)
{
    const double longest = longest_idle(&w->e->site->usage);

    for (int k = 1; k <= MOST_TIMES && (k == 1 || k * interval <= longest);
         k++) {
        const size_t n = count_due(w, k * interval);

        if (n > w->to->together
            || (n == w->to->together && k * interval < *moment)) {
            w->to->together = n;
            *moment = k * interval;
        }
    }
}

/* The time at which most do, the earliest of these; each interval is tried
 * once.  `tried` has room for one of each fixture. */
static double
find_moment(struct washing *w, double *tried)
{
    double moment = 0;
    size_t n = 0;

    for (size_t i = 0; i < w->e->site->n_fixtures; i++) {
        if (!flushes_itself(w, i))
            continue;
        w->to->valves +=
            (size_t)fci_fixture_count(&w->e->site->fixtures[i], FCI_NOMINAL);
        if (is_among(tried, n, interval_of(w, i)))
            continue;
        tried[n++] = interval_of(w, i);
        try_interval(w, tried[n - 1], &moment);
    }
    return moment;
}

static fc_range
time_of(const struct washing *w, size_t i)
{
    const struct fci_fixture *f = &w->e->site->fixtures[i];

    return (fc_range){ true, fci_full_flush_time(f, w->state, FCI_NOMINAL),
                       fci_full_flush_time(f, w->state, FCI_BEST),
                       fci_full_flush_time(f, w->state, FCI_WORST) };
}

static void
list_due(struct washing *w, double moment)
{
    for (size_t i = 0; i < w->e->site->n_fixtures; i++) {
        const struct fci_fixture *f = &w->e->site->fixtures[i];
        fc_hygiene_fixture *to = &w->list[w->to->n_fixtures];

        if (!flushes_itself(w, i) || !comes_due(w, interval_of(w, i), moment))
            continue;
        w->due[i] = true;
        for (int end = 0; end < FCI_ENDS; end++)
            w->time[end][i] =
                fci_full_flush_time(f, w->state, (enum fci_end)end);
        to->name = f->given->name;
        to->count = fci_fixture_count(f, FCI_NOMINAL);
        to->interval = fc_exactly(interval_of(w, i));
        to->time = time_of(w, i);
        to->busy.mean = to->busy.fifth = NAN;
        w->fixtures[w->to->n_fixtures++] = i;
    }
    w->to->interval = fc_exactly(moment);
}

/* ---- How many at once ------------------------------------------------- */

static bool
count_at_once(struct washing *w)
{
    const size_t n = w->to->together;
    double *lasts = fci_arena_array(&w->e->scratch, n + 1, sizeof *lasts);
    const size_t most = n - 1 < MOST_OTHERS ? n - 1 : MOST_OTHERS;
    double *others = fci_arena_array(w->e->arena, most + 1, sizeof *others);
    struct fci_events events = { 0, lasts, w->within.nominal };
    struct fci_at_once worst;
    struct fci_at_once at_once;

    if (!lasts || !others)
        return false;
    for (size_t i = 0; i < w->to->n_fixtures; i++)
        for (int k = 0; k < w->list[i].count && events.n < n; k++)
            lasts[events.n++] = w->list[i].time.nominal;
    if (!fci_at_once(&events, &at_once)
        || !fci_others_on(&events, most, others))
        return false;
    /* the closer, the more at once */
    events.within = w->within.low;
    if (!fci_at_once(&events, &worst))
        return false;
    w->to->at_once = at_once.mean;
    w->to->up_to = worst.most_often;
    w->to->others = others;
    w->to->n_others = most + 1;
    return true;
}

/* ---- How often they are weak ------------------------------------------ */

static void
take_chances(struct washing *w, enum fci_end end, double within)
{
    for (size_t i = 0; i < w->e->site->n_fixtures; i++)
        w->on[i] = w->due[i] ? fmin(w->time[end][i] / within, 1) : 0;
}

static fc_status
solve(struct washing *w, enum fci_end end, double within, bool verdicts,
      struct fci_busy_period *period)
{
    const fc_check_options options = { .rough = end != FCI_NOMINAL,
                                       .most_states = MOST_STATES };

    take_chances(w, end, within);
    return fci_busy_period_at(w->e->network[w->state], end, w->on, &options,
                              verdicts ? w->due : NULL, period, w->messages);
}

/* FC_WORKS: none is weak too often, FC_CANNOT_TELL: it is not clear. */
static fc_verdict
verdict_of(const struct washing *w, const struct fci_busy_period *period)
{
    fc_verdict verdict = FC_WORKS;

    for (size_t i = 0; i < w->to->n_fixtures; i++) {
        const enum fci_often often = period->often[w->fixtures[i]];

        if (often == FCI_TOO_OFTEN)
            return FC_WILL_NOT_WORK;
        if (often == FCI_UNCLEAR)
            verdict = FC_CANNOT_TELL;
    }
    return verdict;
}

static fc_status
solve_middle(struct washing *w)
{
    struct fci_busy_period period;
    const fc_status status =
        solve(w, FCI_NOMINAL, w->within.nominal, false, &period);

    if (status != FC_OK)
        return status;
    w->to->seldom_weak = verdict_of(w, &period);
    w->to->states_drawn = period.states;
    w->to->narrow = period.narrow;
    for (size_t i = 0; i < w->to->n_fixtures; i++) {
        const size_t weakest = w->to->weakest;

        w->list[i].busy = period.fixtures[w->fixtures[i]];
        if (w->list[i].busy.weak.given
            && (weakest == SIZE_MAX
                || w->list[i].busy.weak.estimate
                       > w->list[weakest].busy.weak.estimate))
            w->to->weakest = i;
    }
    fci_busy_period_free(&period);
    return FC_OK;
}

static fc_status
solve_end(struct washing *w, enum fci_end end, fc_verdict *verdict)
{
    struct fci_busy_period period;
    const fc_status status =
        solve(w, end, fci_less_is_worse(w->within, end), false, &period);

    if (status != FC_OK)
        return status;
    *verdict = verdict_of(w, &period);
    for (size_t i = 0; i < w->to->n_fixtures; i++) {
        const fc_chance weak = period.fixtures[w->fixtures[i]].weak;

        if (end == FCI_WORST)
            w->list[i].busy.weak_worst = weak;
        else
            w->list[i].busy.weak_best = weak;
    }
    fci_busy_period_free(&period);
    return FC_OK;
}

/* The ends bound the flows where no flow turns. */
static fc_status
solve_ends(struct washing *w)
{
    const struct fci_network *network = w->e->network[w->state];
    fc_verdict worst, best;
    fc_status status;

    if (!network->bounded || (network->exact && fci_is_exact(w->within)))
        return FC_OK;
    status = solve_end(w, FCI_WORST, &worst);
    if (status == FC_OK)
        status = solve_end(w, FCI_BEST, &best);
    if (status == FC_OK)
        w->to->seldom_weak = worst == FC_WORKS          ? FC_WORKS
                             : best == FC_WILL_NOT_WORK ? FC_WILL_NOT_WORK
                                                        : FC_CANNOT_TELL;
    return status;
}

/* ---- Spread ----------------------------------------------------------- */

static fc_status
is_spread(struct washing *w, enum fci_end end, double within, bool *enough)
{
    struct fci_busy_period period;
    const fc_status status = solve(w, end, within, true, &period);

    if (status != FC_OK)
        return status;
    *enough = verdict_of(w, &period) == FC_WORKS;
    fci_busy_period_free(&period);
    return FC_OK;
}

/* The shortest time over which they may come due, from above; NAN: not even
 * their interval is enough. */
static fc_status
find_spread(struct washing *w, enum fci_end end, double *spread)
{
    const double most = w->to->interval.nominal;
    double low = fci_less_is_worse(w->within, end), high = low;
    bool enough = false;
    fc_status status = is_spread(w, end, high, &enough);

    while (status == FC_OK && !enough && high < most) {
        low = high;
        high = fmin(2 * high, most);
        status = is_spread(w, end, high, &enough);
    }
    *spread = enough ? high : NAN;
    while (status == FC_OK && !isnan(*spread)
           && *spread - low > NEAR * *spread) {
        const double middle = (low + *spread) / 2;

        status = is_spread(w, end, middle, &enough);
        if (enough)
            *spread = middle;
        else
            low = middle;
    }
    return status;
}

/* Whether one of them is weak with no other open. */
static fc_status
look_alone(struct washing *w)
{
    struct fci_solver *solver = w->e->solver[w->state];
    const struct fci_network *network = w->e->network[w->state];
    fc_status status = FC_OK;

    fci_solver_take_whole(solver, FCI_NOMINAL);
    for (size_t i = 0; i < w->to->n_fixtures && status == FC_OK; i++) {
        const struct fci_open open = { w->fixtures[i], 1 };
        const double least =
            fci_least_kept(network, w->fixtures[i], FCI_NOMINAL);

        status = fci_solver_fail(solver, fci_solver_run(solver, &open, 1),
                                 w->messages);
        if (status == FC_OK
            && fci_solver_drawn(solver)->pressure < least - FCI_SOLVED_TO)
            w->to->alone_weak = true;
    }
    return status;
}

/* Where they are weak too often, or may be: at what spread no more. */
static fc_status
advise(struct washing *w)
{
    const struct fci_network *network = w->e->network[w->state];
    double nominal = NAN, worst = NAN;
    fc_status status = look_alone(w);

    if (status != FC_OK || w->to->alone_weak)
        return status;
    status = find_spread(w, FCI_NOMINAL, &nominal);
    if (status == FC_OK && network->bounded)
        status = find_spread(w, FCI_WORST, &worst);
    if (status != FC_OK || isnan(nominal))
        return status;
    w->to->spread = nominal;
    w->to->spread_worst = network->bounded ? worst : nominal;
    return FC_OK;
}

/* ---- The whole -------------------------------------------------------- */

static bool
make_room(struct washing *w)
{
    struct fci_arena *scratch = &w->e->scratch;
    const size_t n = w->e->site->n_fixtures;

    w->list = fci_arena_array(w->e->arena, n + 1, sizeof *w->list);
    w->fixtures = fci_arena_array(scratch, n + 1, sizeof *w->fixtures);
    w->due = fci_arena_array(scratch, n + 1, sizeof *w->due);
    w->on = fci_arena_array(scratch, n + 1, sizeof *w->on);
    for (int end = 0; end < FCI_ENDS; end++)
        w->time[end] = fci_arena_array(scratch, n + 1, sizeof *w->time[end]);
    return !scratch->failed && !w->e->arena->failed;
}

static fc_status
find_state(struct washing *w)
{
    fc_status status;

    if (!make_room(w))
        return FC_ENOMEM;
    w->to->fixtures = w->list;
    /* before the chances are taken their room is free */
    list_due(w, find_moment(w, w->on));
    if (w->to->together > MOST_TOGETHER) {
        fci_assume(&w->e->found,
                   "what hygiene flushes at once do is not calculated: "
                   "%zu of them come due together, more than %d",
                   w->to->together, MOST_TOGETHER);
        w->to->together = w->to->n_fixtures = 0;
    }
    if (w->to->together == 0)
        return FC_OK;
    if (!count_at_once(w))
        return FC_ENOMEM;
    status = solve_middle(w);
    if (status == FC_OK)
        status = solve_ends(w);
    if (status == FC_OK && w->to->seldom_weak != FC_WORKS)
        status = advise(w);
    return status;
}

fc_status
fci_effects_hygiene(struct fci_effects *e, fc_diagnostics *messages)
{
    const fc_range given = e->site->usage.last_use_within;
    fc_hygiene *hygiene = fci_arena_alloc(e->arena, sizeof *hygiene);
    fc_status status = FC_OK;

    if (!hygiene)
        return FC_ENOMEM;
    hygiene->usual = !given.given;
    hygiene->last_use_within =
        given.given
            ? given
            : fci_tables_usual(e->site->tables, FCI_USUAL_LAST_USE)->range;
    for (int s = 0; s < FC_STATES; s++) {
        hygiene->states[s].spread = hygiene->states[s].spread_worst = NAN;
        hygiene->states[s].weakest = SIZE_MAX;
    }
    for (int s = 0; s < fci_effect_states(e) && status == FC_OK; s++) {
        struct washing w = { .e = e,
                             .state = (fc_state)s,
                             .within = hygiene->last_use_within,
                             .to = &hygiene->states[s],
                             .messages = messages };

        status = find_state(&w);
    }
    if (status != FC_OK)
        return status;
    if (hygiene->states[FC_EXISTING].together > 0
        || hygiene->states[FC_RETROFIT].together > 0) {
        e->result->hygiene = hygiene;
        fci_hygiene_words(e, hygiene);
    }
    fci_hygiene_not_said(e);
    return e->arena->failed ? FC_ENOMEM : FC_OK;
}
