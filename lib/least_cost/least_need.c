/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/least_cost/least_need.c -- the choice that needs least, whatever it
 * costs, or the place where there is none. */
#include "least_cost/least_need.h"
#include "least_cost/plan.h"

#include <math.h>

/* The need at a node's inlet with a choice, fed through a cap; INFINITY: it
 * cannot be. */
static double
need_with(const struct fci_plan *plan, size_t node, size_t cap, size_t choice)
{
    const struct fci_sizing_node *v = &plan->problem->nodes[node];
    struct fci_shift shift;

    if (fci_plan_chooses(plan, node)) {
        const double *caps;

        fci_plan_caps(plan, v->parent, &caps);
        if (!fci_plan_fits(&v->choices[choice], caps[cap]))
            return INFINITY;
        cap = plan->cap_of[plan->first_choice[node] + choice];
    }
    if (!fci_plan_shift(plan, node, choice, &shift))
        return INFINITY;
    return fci_shifted(&shift, 0, fci_plan_window(plan, node, cap)->least[0]);
}

/* The choice of least need under a cap, and the need. */
static size_t
best_choice(const struct fci_plan *plan, size_t node, size_t cap, double *need)
{
    const size_t n = plan->problem->nodes[node].n_choices;
    size_t k, best = 0;

    *need = need_with(plan, node, cap, 0);
    for (k = 1; k < n; k++) {
        const double other = need_with(plan, node, cap, k);

        if (other < *need) {
            *need = other;
            best = k;
        }
    }
    return best;
}

/* Whether nothing serves what is behind a node, whatever feeds it. */
static bool
is_blocked(const struct fci_plan *plan, size_t node)
{
    const double *caps;
    const size_t n =
        fci_plan_caps(plan, plan->problem->nodes[node].parent, &caps);
    double need;
    size_t cap;

    for (cap = 0; cap < n; cap++) {
        best_choice(plan, node, cap, &need);
        if (need < INFINITY)
            return false;
    }
    return true;
}

/* From the root on, each choice under the cap that its parent's is. */
static fc_status
follow(struct fci_plan *plan, size_t *choice)
{
    const size_t n = plan->problem->n_nodes;
    size_t *cap =
        fci_arena_array(&plan->arena, n, sizeof *cap); /* at the outlets */
    double need;
    size_t i;

    if (!cap)
        return FC_ENOMEM;
    choice[0] = 0;
    for (i = 1; i < n; i++) {
        cap[i] = cap[plan->problem->nodes[i].parent];
        choice[i] = best_choice(plan, i, cap[i], &need);
        if (fci_plan_chooses(plan, i))
            cap[i] = plan->cap_of[plan->first_choice[i] + choice[i]];
    }
    return FC_OK;
}

fc_status
fci_sizing_least(const struct fci_sizing *problem, int state, size_t *choice,
                 double *need, size_t *blocked)
{
    struct fci_plan plan;
    fc_status status = fci_plan_make(&plan, problem, &state, 1);
    size_t i;

    if (status == FC_OK) {
        fci_plan_least(&plan);
        *need = fci_plan_window(&plan, 0, 0)->least[0];
        *blocked = 0;
        for (i = problem->n_nodes; isinf(*need) && i-- > 1;)
            if (is_blocked(&plan, i)) {
                *blocked = i;
                break;
            }
        if (*need < INFINITY)
            status = follow(&plan, choice);
    }
    fci_arena_free(&plan.arena);
    return status;
}
