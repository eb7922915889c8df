/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/events_one.c -- of the flush events what one fixture's report
 * tells. */
#include "check/events_work.h"
#include "flow/busy_every.h"
#include "flow/busy_period.h"
#include "peak/flush_time.h"

/* ---- How many at once --------------------------------------------------- */

/* In short nothing tells who is starved first, but for what that leaves to a
 * fixture without a flush valve. */
bool
fci_needs_ladder(const struct fci_running_events *r)
{
    if (r->verdicts_only || r->only == FCI_NONE)
        return !r->verdicts_only;
    return !r->in_short || !r->site->fixtures[r->only].valve[r->state];
}

/* ---- The busy period ---------------------------------------------------- */

/* `always`: its chance too where the verdict is sure without. */
static fc_status
ask_at(struct fci_running_events *r, const fc_check_options *options,
       enum fci_end end, bool always)
{
    const fc_check_options own =
        end == FCI_NOMINAL ? fci_in_middle(r, options) : fci_at_end(options);
    struct fci_event_view *view = &r->events->views[r->only];
    fc_chance *const chances[FCI_ENDS] = {
        [FCI_NOMINAL] = &view->busy.weak,
        [FCI_WORST] = &view->busy.weak_worst,
        [FCI_BEST] = &view->busy.weak_best,
    };
    struct fci_busy_period period;
    const fc_status status = fci_busy_period_of(r->network, end, &own, r->only,
                                                always, &period, r->messages);

    if (status != FC_OK)
        return status;
    view->often[end] = period.often[r->only];
    *chances[end] = period.fixtures[r->only].weak;
    fci_busy_period_free(&period);
    return FC_OK;
}

/* Where its chance may be rough its verdict may not. */
static fc_status
ask_middle(struct fci_running_events *r, const fc_check_options *options)
{
    fc_status status = ask_at(r, options, FCI_NOMINAL, false);
    bool *asked;

    if (status != FC_OK || !options->rough
        || r->events->views[r->only].often[FCI_NOMINAL] != FCI_UNCLEAR)
        return status;
    asked = fci_arena_array(&r->scratch, r->site->n_fixtures, sizeof *asked);
    if (!asked)
        return FC_ENOMEM;
    asked[r->only] = true;
    return fci_ask_at(r, options, FCI_NOMINAL, asked);
}

/* Where it is known of the best end and of the worst what the verdict needs,
 * the middle is not asked. */
static fc_status
ask_for_verdict(struct fci_running_events *r, const fc_check_options *options)
{
    struct fci_event_view *view = &r->events->views[r->only];
    fc_status status;

    if (fci_last_end(r) != FCI_BEST) {
        status = ask_at(r, options, FCI_NOMINAL, false);
        view->often[FCI_WORST] = view->often[FCI_BEST] =
            view->often[FCI_NOMINAL];
        return status;
    }
    status = ask_at(r, options, FCI_BEST, false);
    if (status != FC_OK
        || (view->often[FCI_BEST] == FCI_TOO_OFTEN
            && fci_needs_valve(r, r->only)))
        return status;
    status = ask_at(r, options, FCI_WORST, false);
    if (status == FC_OK && view->often[FCI_WORST] != FCI_TOO_OFTEN)
        status = ask_middle(r, options);
    return status;
}

/* The chances that are told of it. */
static fc_status
ask_for_figures(struct fci_running_events *r, const fc_check_options *options)
{
    struct fci_event_view *view = &r->events->views[r->only];
    const bool ends = fci_last_end(r) == FCI_BEST;
    fc_status status = FC_OK;
    bool all;

    fci_judge_view(r, r->only, view);
    all = ends && view->seldom == FC_CANNOT_TELL && !view->unclear;
    if (view->seldom == FC_WORKS && (!r->short_at_peak || r->in_short))
        return FC_OK;
    if (!view->busy.weak.given)
        status = ask_at(r, options, FCI_NOMINAL, true);
    if (status == FC_OK && all && !view->busy.weak_worst.given)
        status = ask_at(r, options, FCI_WORST, true);
    if (status == FC_OK && all && !view->busy.weak_best.given)
        status = ask_at(r, options, FCI_BEST, true);
    return status;
}

fc_status
fci_draw_one(struct fci_running_events *r, const fc_check_options *options)
{
    fc_status status;

    if (!fci_flushes(r, r->only))
        return FC_OK;
    r->events->busy = fci_busy_states(r->network, FCI_NOMINAL, NULL) > 1;
    r->events->every = fci_busy_is_small(r->network, FCI_NOMINAL, NULL);
    r->events->views[r->only].always_on = fci_always_on(r, r->only);
    if (!fci_is_asked(r, r->only))
        return FC_OK;
    status = ask_for_verdict(r, options);
    if (status == FC_OK)
        status = ask_for_figures(r, options);
    r->events->views[r->only].counted =
        r->events->views[r->only].busy.weak.given;
    return status;
}
