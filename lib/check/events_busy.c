/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/events_busy.c -- how often a flush is weak in the busiest
 * period. */
#include "check/events_work.h"
#include "flow/busy_period.h"
#include "peak/flush_time.h"

#include <math.h>

/* ---- The busy period -------------------------------------------------- */

static bool
busy_known(const struct fci_running_events *r)
{
    size_t i;

    for (i = 0; i < r->site->n_fixtures; i++)
        if (r->site->fixtures[i].valve[r->state]
            && fci_flush_lacks(&r->site->fixtures[i], r->state))
            return false;
    return true;
}

/* What the ends of the ranges come to need not be known as well as what the
 * middle does. */
fc_check_options
fci_at_end(const fc_check_options *options)
{
    fc_check_options fewer = *options;

    fewer.progress = NULL;
    fewer.rough = true;
    return fewer;
}

/* The verdict is that of the ends: where chances need not be known well, what
 * they are between them matters little. */
#define STATES_IN_THE_MIDDLE 512

fc_check_options
fci_in_middle(const struct fci_running_events *r,
              const fc_check_options *options)
{
    fc_check_options middle = *options;

    if (fci_last_end(r) == FCI_BEST && middle.rough && !middle.most_states)
        middle.most_states = STATES_IN_THE_MIDDLE;
    return middle;
}

static fc_status
draw_at_end(struct fci_running_events *r, const fc_check_options *options,
            enum fci_end end)
{
    const fc_check_options fewer = fci_at_end(options);
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
    r->events->narrow &= period.narrow || !options->rough;
    fci_busy_period_free(&period);
    return FC_OK;
}

/* Where a flush's volume is not known, and with it how long it lasts, nothing
 * is sure but what is never weak. */
static fc_status
bound_busy(struct fci_running_events *r)
{
    const size_t n = r->site->n_fixtures;
    bool *never = fci_arena_array(&r->scratch, n + 1, sizeof *never);
    const fc_status status =
        never ? fci_never_weak(
            r->network, r->network->bounded ? FCI_WORST : FCI_NOMINAL, never)
              : FC_ENOMEM;
    size_t i;

    for (i = 0; i < n && status == FC_OK; i++)
        if (fci_flushes(r, i) && !never[i])
            r->events->views[i].often[FCI_WORST] = FCI_UNCLEAR;
    return status;
}

bool
fci_always_on(const struct fci_running_events *r, size_t fixture)
{
    return fci_flushes(r, fixture)
           && fci_valve_busy(r->site, &r->site->fixtures[fixture], r->state,
                             FCI_NOMINAL)
                  .capped;
}

/* Whether its valve's own minimum is known. */
bool
fci_needs_valve(const struct fci_running_events *r, size_t fixture)
{
    return fci_requirement_of(r->site, &r->site->fixtures[fixture], r->state)
        .valve.given;
}

/* In short, or of one fixture, one that is short alone is not asked how often
 * it is weak: neither its verdict nor a warning would change. */
bool
fci_is_asked(const struct fci_running_events *r, size_t fixture)
{
    const struct fci_requirement need =
        fci_requirement_of(r->site, &r->site->fixtures[fixture], r->state);

    return fci_flushes(r, fixture)
           && (r->only == FCI_NONE || r->only == fixture)
           && fci_enough_for(need.least, r->events->views[fixture].alone)
                  != FC_WILL_NOT_WORK;
}

/* At one end, of those that are `asked`. */
fc_status
fci_ask_at(struct fci_running_events *r, const fc_check_options *options,
           enum fci_end end, const bool *asked)
{
    const fc_check_options fewer =
        end == FCI_NOMINAL ? *options : fci_at_end(options);
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

/* Where it is known of the best end or of the worst what the verdict needs,
 * the middle is not asked: of the others it is, as the ends are buildings that
 * might be and no bounds. */
static bool
needs_middle(const struct fci_running_events *r, size_t fixture)
{
    const struct fci_event_view *view = &r->events->views[fixture];

    return (view->often[FCI_BEST] != FCI_TOO_OFTEN
            || !fci_needs_valve(r, fixture))
           && view->often[FCI_WORST] != FCI_TOO_OFTEN;
}

static fc_status
ask_ends(struct fci_running_events *r, const fc_check_options *options,
         bool *asked)
{
    fc_status status = fci_ask_at(r, options, FCI_BEST, asked);
    size_t i;

    for (i = 0; i < r->site->n_fixtures; i++)
        asked[i] &= needs_middle(r, i);
    if (status == FC_OK)
        status = fci_ask_at(r, options, FCI_WORST, asked);
    for (i = 0; i < r->site->n_fixtures; i++)
        asked[i] &= needs_middle(r, i);
    return status;
}

static fc_status
draw_in_short(struct fci_running_events *r, const fc_check_options *options)
{
    const bool ends = fci_last_end(r) == FCI_BEST;
    const size_t n = r->site->n_fixtures;
    bool *asked = fci_arena_array(&r->scratch, n + 1, sizeof *asked);
    fc_status status = asked ? FC_OK : FC_ENOMEM;
    size_t i;

    for (i = 0; i < n && asked; i++) {
        struct fci_event_view *view = &r->events->views[i];

        asked[i] = fci_is_asked(r, i);
        view->counted = asked[i]
                        && isfinite(fci_least_kept(r->network, i, FCI_NOMINAL))
                        && fci_valve_busy(r->site, &r->site->fixtures[i],
                                          r->state, FCI_NOMINAL)
                                   .on
                               > 0;
        view->always_on = fci_always_on(r, i);
    }
    if (status == FC_OK && ends)
        status = ask_ends(r, options, asked);
    if (status == FC_OK)
        status = fci_ask_at(r, options, FCI_NOMINAL, asked);
    for (i = 0; i < n && !ends; i++) {
        struct fci_event_view *view = &r->events->views[i];

        view->often[FCI_WORST] = view->often[FCI_BEST] =
            view->often[FCI_NOMINAL];
    }
    return status;
}

/* With all inputs at the middle. */
static fc_status
draw_middle(struct fci_running_events *r, const fc_check_options *options)
{
    struct fci_busy_period period;
    const fc_status status = fci_busy_period_run(
        r->network, FCI_NOMINAL, options, NULL, &period, r->messages);
    size_t i;

    if (status != FC_OK)
        return status;
    for (i = 0; i < r->site->n_fixtures; i++) {
        struct fci_event_view *view = &r->events->views[i];

        view->busy = period.fixtures[i];
        view->counted = view->busy.weak.given;
        view->often[FCI_NOMINAL] = period.often[i];
        view->always_on = fci_always_on(r, i);
    }
    r->events->busy = period.states > 0;
    r->events->states = period.states;
    r->events->every = period.every;
    r->events->narrow = period.narrow;
    fci_busy_period_free(&period);
    return FC_OK;
}

/* Of those whose verdict it bears on, it is to be known of the middle too. */
static fc_status
ask_middle(struct fci_running_events *r, const fc_check_options *options)
{
    const size_t n = r->site->n_fixtures;
    bool *asked = fci_arena_array(&r->scratch, n + 1, sizeof *asked);
    size_t i;

    for (i = 0; i < n && asked; i++)
        asked[i] = fci_flushes(r, i) && needs_middle(r, i)
                   && r->events->views[i].often[FCI_NOMINAL] == FCI_UNCLEAR;
    return asked ? fci_ask_at(r, options, FCI_NOMINAL, asked) : FC_ENOMEM;
}

static fc_status
draw_all(struct fci_running_events *r, const fc_check_options *options)
{
    const bool ends = fci_last_end(r) == FCI_BEST;
    const fc_check_options middle = fci_in_middle(r, options);
    fc_status status = draw_middle(r, &middle);
    size_t i;
    int end;

    for (i = 0; i < r->site->n_fixtures && !ends; i++) {
        struct fci_event_view *view = &r->events->views[i];

        view->often[FCI_WORST] = view->often[FCI_BEST] =
            view->often[FCI_NOMINAL];
    }
    if (status == FC_OK && ends && middle.rough)
        r->events->narrow = true;
    for (end = FCI_WORST; end <= (int)fci_last_end(r) && status == FC_OK;
         end++)
        status = draw_at_end(r, options, (enum fci_end)end);
    return status == FC_OK && ends && middle.rough ? ask_middle(r, options)
                                                   : status;
}

fc_status
fci_draw_busy(struct fci_running_events *r, const fc_check_options *options)
{
    if (options->no_busy_period)
        return FC_OK;
    r->events->volume_unknown = !busy_known(r);
    if (r->events->volume_unknown)
        return bound_busy(r);
    if (r->only != FCI_NONE && !r->verdicts_only)
        return fci_draw_one(r, options);
    if (options->in_short || r->only != FCI_NONE)
        return draw_in_short(r, options);
    return draw_all(r, options);
}
