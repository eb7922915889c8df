/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/size/best.c -- sizes at least cost that do in the flush events too.
 *
 * What the events need is no sum along a tree.  Where they fall short, the
 * fixtures that do are given more pressure in hand at peak, which widens the
 * pipes that cost least to widen, until they do; where that is not enough, all
 * flush valves are.  None is given more than the sizes that take least leave
 * it, so that one which can have no more does not keep the others from theirs.
 */
#include "check/judge.h"
#include "size/attempt.h"
#include "least_cost/least_need.h"

#include <math.h>
#include <string.h>

/* Pressure in hand goes by such steps [Pa]: half a psi, finer than a gauge
 * tells. */
#define STEP 3447.38
#define MOST_STEPS 512

struct raise {
    struct fci_best *best;
    const fc_site *site;
    struct fci_size_aims aims;
    const fc_size_options *options;
    fc_diagnostics *messages;
};

/* ---- What each fixture can have --------------------------------------- */

/* In a state of the sizing; `left` and `choice` are room for the work. */
static fc_status
find_slack_in(const struct fci_attempt *a, int s, double *left, size_t *choice,
              double *slack)
{
    const struct fci_size_problem *problem = &a->problem;
    size_t blocked, i;
    double need;
    const fc_status status =
        fci_sizing_least(&problem->sizing, s, choice, &need, &blocked);

    if (status != FC_OK)
        return status;
    fci_pressures_left(problem, choice, s, left);
    for (i = 0; i < problem->site->n_fixtures; i++)
        slack[i] =
            fmax(0, left[problem->place[problem->site->fixtures[i].element]]
                        - fci_fixture_need(problem, i, s) - FCI_SAME_PRESSURE);
    return FC_OK;
}

/* Which fixtures are to have it. */
static void
mark(struct fci_best *best, bool weak_only)
{
    const struct fci_attempt *a = &best->attempt;
    const fc_site *site = a->problem.site;
    size_t i;

    for (i = 0; i < site->n_fixtures; i++)
        best->marked[i] =
            site->fixtures[i].kind->flushes
            && (!weak_only || a->trial.verdicts.fixtures[i] != FC_WORKS);
}

static fc_status
find_slack(struct fci_best *best)
{
    const struct fci_size_problem *problem = &best->attempt.problem;
    const size_t n = problem->sizing.n_nodes;
    const size_t fixtures = problem->site->n_fixtures + 1;
    struct fci_arena *arena = &best->arena;
    double *left = fci_arena_array(arena, n, sizeof *left);
    size_t *choice = fci_arena_array(arena, n, sizeof *choice);
    fc_status status = FC_OK;
    int s;

    best->marked = fci_arena_array(arena, fixtures, sizeof *best->marked);
    for (s = 0; s < problem->sizing.states; s++)
        best->slack[s] =
            fci_arena_array(arena, fixtures, sizeof *best->slack[s]);
    if (arena->failed)
        return FC_ENOMEM;
    for (s = 0; s < problem->sizing.states && status == FC_OK; s++)
        status =
            find_slack_in(&best->attempt, s, left, choice, best->slack[s]);
    return status;
}

/* So many steps give every fixture all that it can have. */
static int
most_steps(const struct fci_best *best)
{
    const struct fci_size_problem *problem = &best->attempt.problem;
    double most = 0;
    size_t i;
    int s;

    for (s = 0; s < problem->sizing.states; s++)
        for (i = 0; i < problem->site->n_fixtures; i++)
            if (best->marked[i])
                most = fmax(most, best->slack[s][i]);
    return (int)fmin(ceil(most / STEP), MOST_STEPS);
}

/* ---- Raising ---------------------------------------------------------- */

/* An attempt with so many steps in hand; kept where it works. */
static fc_status
try_steps(struct raise *r, int steps, bool *works)
{
    struct fci_attempt a;
    fc_status status;

    r->aims.in_hand = steps * STEP;
    status = fci_attempt_make(&a, r->site, &r->aims, r->options, r->messages);
    *works = status == FC_OK && fci_attempt_works(&a);
    if (!*works) {
        fci_attempt_free(&a);
        return status;
    }
    fci_attempt_free(&r->best->attempt);
    r->best->attempt = a;
    r->best->in_hand = steps * STEP;
    return FC_OK;
}

/* The fewest steps that do, by doubling and then halving. */
static fc_status
raise_in_hand(struct raise *r)
{
    const int most = most_steps(r->best);
    int low = 0, high = 0;
    bool works = false;
    fc_status status = FC_OK;

    while (status == FC_OK && !works && high < most) {
        low = high;
        high = high == 0 ? 1 : 2 * high < most ? 2 * high : most;
        status = try_steps(r, high, &works);
    }
    while (status == FC_OK && r->best->in_hand > 0 && high - low > 1) {
        const int middle = low + (high - low) / 2;

        status = try_steps(r, middle, &works);
        if (works)
            high = middle;
        else
            low = middle;
    }
    return status;
}

fc_status
fci_attempt_best(struct fci_best *best, const fc_site *site,
                 const struct fci_size_aims *aims,
                 const fc_size_options *options, fc_diagnostics *messages)
{
    struct raise raise = { best, site, *aims, options, messages };
    fc_status status;
    int s;

    memset(best, 0, sizeof *best);
    status = fci_attempt_make(&best->attempt, site, aims, options, messages);
    best->cost_at_peak = best->attempt.cost;
    memcpy(best->least, best->attempt.least, sizeof best->least);
    if (status != FC_OK || !fci_attempt_at_peak(&best->attempt)
        || fci_attempt_works(&best->attempt))
        return status;
    status = find_slack(best);
    if (status != FC_OK)
        return status;
    raise.aims.marked = best->marked;
    for (s = 0; s < FC_STATES; s++)
        raise.aims.slack[s] = best->slack[s];
    mark(best, true);
    status = raise_in_hand(&raise);
    if (status == FC_OK && !(best->in_hand > 0)) {
        mark(best, false);
        status = raise_in_hand(&raise);
    }
    return status == FC_OK && best->in_hand > 0
               ? fci_attempt_trim(&best->attempt, options, messages)
               : status;
}

bool
fci_best_is_bounded(const struct fci_best *best)
{
    const fc_site *site = best->attempt.problem.site;
    size_t i;
    int s;

    for (s = 0; best->in_hand > 0 && s < FC_STATES && best->slack[s]; s++)
        for (i = 0; i < site->n_fixtures; i++)
            if (best->marked[i] && best->slack[s][i] < best->in_hand)
                return true;
    return false;
}

void
fci_best_free(struct fci_best *best)
{
    fci_attempt_free(&best->attempt);
    fci_arena_free(&best->arena);
}
