/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/least_cost/trace_back.c -- a tree searched, and choices followed through
 * it.
 *
 * The frontiers are made from the leaves to the root (least_cost/search.c); a
 * choice is found again from the root to the leaves.  No point tells where it
 * comes from: behind a node that has chosen, the cheapest is taken that needs
 * no more than is left, which is what the point was made of.
 */
#include "least_cost/trace_back.h"

#include <math.h>

/* Where a choice is followed to: a candidate at a node's inlet. */
struct fci_place {
    double need[FC_STATES];
    struct fci_shift shift; /* from its outlet to its inlet */
    size_t cap;             /* at its outlet */
};

fc_status
fci_pass_run(struct fci_pass *pass, const struct fci_sizing *problem,
             const int *states, int n_states, enum fci_search_kind kind)
{
    fc_status status = fci_plan_make(&pass->plan, problem, states, n_states);

    if (status != FC_OK)
        return status;
    pass->places = fci_arena_array(&pass->plan.arena, problem->n_nodes,
                                   sizeof *pass->places);
    if (!pass->places)
        return FC_ENOMEM;
    fci_plan_least(&pass->plan);
    status = fci_plan_narrow(&pass->plan);
    if (status == FC_OK)
        status = fci_search_run(&pass->search, &pass->plan, kind);
    fci_search_tidy(&pass->search);
    return status;
}

void
fci_pass_free(struct fci_pass *pass)
{
    fci_search_free(&pass->search);
    fci_arena_free(&pass->plan.arena);
}

double
fci_pass_least_cost(const struct fci_pass *pass)
{
    const struct fci_frontier *root = &pass->search.root;
    double least = INFINITY;
    size_t i;

    for (i = 0; i < root->n; i++)
        least = fmin(least, root->candidates[i].cost);
    return least;
}

/* ---- Following --------------------------------------------------------- */

/* Whether a candidate at an inlet is served by the one before it.  The sum is
 * that of which the latter was made, so that rounding has no say. */
static bool
is_served(const struct fci_family *family, size_t i,
          const struct fci_place *from, int n_states)
{
    int s;

    for (s = 0; s < n_states; s++)
        if (fci_shifted(&from->shift, s, family->need[s][i]) > from->need[s])
            return false;
    return true;
}

/* With one state the costs fall as the needs ascend. */
static size_t
last_served(const struct fci_family *family, size_t low, size_t high,
            const struct fci_place *from)
{
    while (low + 1 < high) {
        const size_t middle = low + (high - low) / 2;

        if (is_served(family, middle, from, 1))
            low = middle;
        else
            high = middle;
    }
    return low;
}

static size_t
cheapest_served(const struct fci_family *family, size_t low, size_t high,
                const struct fci_place *from)
{
    size_t i, best = low;
    double cost = INFINITY;

    for (i = low; i < high; i++)
        if (family->cost[i] < cost && is_served(family, i, from, FC_STATES)) {
            cost = family->cost[i];
            best = i;
        }
    return best;
}

/* A node's choice, after its parent's.  Its place is filled. */
static size_t
follow(const struct fci_pass *pass, size_t node)
{
    const struct fci_plan *plan = &pass->plan;
    const struct fci_family *family = &pass->search.families[node];
    const struct fci_place *from =
        &pass->places[plan->problem->nodes[node].parent];
    struct fci_place *to = &pass->places[node];
    const size_t low = family->first[from->cap];
    const size_t high = family->first[from->cap + 1];
    const size_t at = plan->n_states > 1
                          ? cheapest_served(family, low, high, from)
                          : last_served(family, low, high, from);
    const size_t choice = family->choice[at];
    int s;

    for (s = 0; s < plan->n_states; s++)
        to->need[s] = family->need[s][at];
    to->cap = fci_plan_chooses(plan, node)
                  ? plan->cap_of[plan->first_choice[node] + choice]
                  : from->cap;
    fci_plan_shift(plan, node, choice, &to->shift);
    return choice;
}

/* The root's cheapest candidate that is served; NULL: none is. */
static const struct fci_candidate *
find_candidate(const struct fci_pass *pass, const double *available)
{
    const struct fci_frontier *root = &pass->search.root;
    const struct fci_candidate *best = NULL;
    size_t i;
    int s;

    for (i = 0; i < root->n; i++) {
        const struct fci_candidate *candidate = &root->candidates[i];

        for (s = 0; s < pass->plan.n_states; s++)
            if (candidate->need[s] > available[pass->plan.states[s]])
                break;
        if (s == pass->plan.n_states
            && (!best || candidate->cost < best->cost))
            best = candidate;
    }
    return best;
}

bool
fci_pass_choose(const struct fci_pass *pass, const double available[FC_STATES],
                size_t *choice, double *cost)
{
    const struct fci_plan *plan = &pass->plan;
    const struct fci_candidate *candidate = find_candidate(pass, available);
    size_t i;
    int s;

    if (!candidate)
        return false;
    for (s = 0; s < plan->n_states; s++)
        pass->places[0].need[s] = candidate->need[s];
    choice[0] = 0;
    *cost = 0;
    for (i = 1; i < plan->problem->n_nodes; i++) {
        choice[i] = follow(pass, i);
        if (fci_plan_chooses(plan, i))
            *cost += plan->problem->nodes[i].choices[choice[i]].cost;
    }
    return true;
}
