/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/least_cost/least_cost.c -- least-cost sizes of a tree of pipes, from
 * figures alone.
 *
 * Two states take far longer than one.  Mostly one of them asks for all that
 * is chosen: if the least of one alone serves the other too, it is the least
 * for both.
 */
#include "least_cost/trace_back.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct fci_sized {
    const struct fci_sizing *problem;
    struct fci_pass pass;             /* in all states that count */
    struct fci_pass alone[FC_STATES]; /* of two states, without the other */
    struct fci_sizing_point *points;
    size_t n_points;
    bool is_least; /* what is found for all that is available */
    double bound;
    size_t *choice; /* room to try one */
    double *need;   /* and to weigh it, by node */
};

/* ---- States ------------------------------------------------------------ */

static bool
is_harder_at(const struct fci_sizing_node *node, int a, int b)
{
    size_t i;

    if (node->take[a] < node->take[b] || node->past[a] < node->past[b]
        || node->need[a] < node->need[b] || node->most[a] > node->most[b])
        return false;
    for (i = 0; i < node->n_choices; i++)
        if (node->choices[i].loss[a] < node->choices[i].loss[b])
            return false;
    return true;
}

/* Whether what serves state a serves b too. */
static bool
is_harder(const struct fci_sizing *problem, int a, int b)
{
    size_t i;

    if (problem->available[a] > problem->available[b])
        return false;
    for (i = 0; i < problem->n_nodes; i++)
        if (!is_harder_at(&problem->nodes[i], a, b))
            return false;
    return true;
}

/* Two states only where neither stands for both. */
static int
choose_states(const struct fci_sizing *problem, int states[FC_STATES])
{
    states[0] = 0;
    states[1] = 1;
    if (problem->states < 2 || is_harder(problem, 0, 1))
        return 1;
    if (!is_harder(problem, 1, 0))
        return 2;
    states[0] = 1;
    return 1;
}

/* ---- One state alone --------------------------------------------------- */

/* At the root's outlet; INFINITY: it is not allowed. */
static double
weigh(const struct fci_sized *sized, int s, const size_t *choice)
{
    const struct fci_sizing_node *nodes = sized->problem->nodes;
    double *const need = sized->need;
    struct fci_shift shift;
    size_t i;

    for (i = 0; i < sized->problem->n_nodes; i++)
        need[i] = nodes[i].need[s];
    for (i = sized->problem->n_nodes; i-- > 0;) {
        if (i == 0)
            break;
        if (!fci_plan_shift(&sized->alone[s].plan, i, choice[i], &shift))
            return INFINITY;
        need[nodes[i].parent] =
            fmax(need[nodes[i].parent], fci_shifted(&shift, 0, need[i]));
    }
    return need[0] > nodes[0].most[s] ? INFINITY : need[0];
}

/* The least in one state, if it serves the other too. */
static bool
choose_alone(const struct fci_sized *sized, int s,
             const double available[FC_STATES], size_t *choice, double *cost)
{
    return fci_pass_choose(&sized->alone[s], available, choice, cost)
           && weigh(sized, !s, choice) <= available[!s];
}

/* What no choice in these states can cost less than raises the bound. */
static fc_status
raise_bound(struct fci_sized *sized, const struct fci_pass *found)
{
    struct fci_pass pass = { 0 };
    fc_status status = FC_OK;

    if (!found->search.thinned) {
        sized->bound = fmax(sized->bound, fci_pass_least_cost(found));
        return FC_OK;
    }
    status = fci_pass_run(&pass, sized->problem, found->plan.states,
                          found->plan.n_states, FCI_OPTIMISTIC);
    if (status == FC_OK)
        sized->bound = fmax(sized->bound, fci_pass_least_cost(&pass));
    fci_pass_free(&pass);
    return status;
}

static fc_status
run_alone(struct fci_sized *sized)
{
    fc_status status = FC_OK;
    double cost;
    int s;

    for (s = 0; s < FC_STATES && status == FC_OK; s++) {
        status = fci_pass_run(&sized->alone[s], sized->problem, &s, 1,
                              FCI_THOROUGH);
        if (status == FC_OK)
            status = raise_bound(sized, &sized->alone[s]);
    }
    for (s = 0; s < FC_STATES && status == FC_OK; s++)
        if (!sized->alone[s].search.thinned
            && choose_alone(sized, s, sized->problem->available, sized->choice,
                            &cost))
            sized->is_least = true;
    return status;
}

/* ---- Running ----------------------------------------------------------- */

static int
by_cost(const void *a, const void *b)
{
    const struct fci_sizing_point *x = a, *y = b;
    int s;

    if (x->cost != y->cost)
        return x->cost < y->cost ? -1 : 1;
    for (s = 0; s < FC_STATES; s++)
        if (x->need[s] != y->need[s])
            return x->need[s] < y->need[s] ? -1 : 1;
    return 0;
}

static fc_status
tell_points(struct fci_sized *sized)
{
    const struct fci_frontier *root = &sized->pass.search.root;
    const int last = sized->pass.plan.n_states - 1;
    size_t i;

    sized->points = fci_arena_array(fci_arena_of(sized), root->n + 1,
                                    sizeof *sized->points);
    if (!sized->points)
        return FC_ENOMEM;
    for (i = 0; i < root->n; i++) {
        sized->points[i].need[0] = root->candidates[i].need[0];
        sized->points[i].need[1] = root->candidates[i].need[last];
        sized->points[i].cost = root->candidates[i].cost;
    }
    sized->n_points = root->n;
    qsort(sized->points, root->n, sizeof *sized->points, by_cost);
    return FC_OK;
}

/* The bound is the cost itself where that is the least. */
static fc_status
find_bound(struct fci_sized *sized)
{
    size_t *choice = fci_arena_array(fci_arena_of(sized),
                                     sized->problem->n_nodes, sizeof *choice);
    fc_status status = choice ? FC_OK : FC_ENOMEM;
    double cost;

    if (!sized->pass.search.thinned)
        sized->is_least = true;
    if (status == FC_OK && !sized->is_least)
        status = raise_bound(sized, &sized->pass);
    if (status == FC_OK) {
        if (!fci_sized_choose(sized, sized->problem->available, choice, &cost))
            cost = INFINITY;
        sized->bound = sized->is_least ? cost : fmin(sized->bound, cost);
    }
    return status;
}

static fc_status
run(struct fci_sized *sized, const struct fci_sizing *problem)
{
    int states[FC_STATES];
    const int n_states = choose_states(problem, states);
    struct fci_arena *arena = fci_arena_of(sized);
    fc_status status = FC_OK;

    sized->problem = problem;
    sized->choice =
        fci_arena_array(arena, problem->n_nodes, sizeof *sized->choice);
    sized->need =
        fci_arena_array(arena, problem->n_nodes, sizeof *sized->need);
    if (arena->failed)
        return FC_ENOMEM;
    if (n_states > 1)
        status = run_alone(sized);
    if (status == FC_OK)
        status = fci_pass_run(&sized->pass, problem, states, n_states,
                              sized->is_least ? FCI_HASTY : FCI_THOROUGH);
    if (status == FC_OK)
        status = tell_points(sized);
    return status == FC_OK ? find_bound(sized) : status;
}

fc_status
fci_sizing_run(const struct fci_sizing *problem, struct fci_sized **sized)
{
    fc_status status = FC_ENOMEM;

    *sized = fci_object_new(sizeof **sized);
    if (*sized)
        status = run(*sized, problem);
    if (status != FC_OK) {
        fci_sized_free(*sized);
        *sized = NULL;
    }
    return status;
}

void
fci_sized_free(struct fci_sized *sized)
{
    int s;

    if (!sized)
        return;
    fci_pass_free(&sized->pass);
    for (s = 0; s < FC_STATES; s++)
        fci_pass_free(&sized->alone[s]);
    fci_object_free(sized);
}

/* ---- What was found ---------------------------------------------------- */

const struct fci_sizing_point *
fci_sized_points(const struct fci_sized *sized, size_t *n)
{
    *n = sized->n_points;
    return sized->points;
}

double
fci_sized_bound(const struct fci_sized *sized)
{
    return sized->bound;
}

bool
fci_sized_is_least(const struct fci_sized *sized)
{
    return sized->is_least;
}

bool
fci_sized_thinned(const struct fci_sized *sized)
{
    return sized->pass.search.thinned;
}

size_t
fci_sized_longest(const struct fci_sized *sized)
{
    return sized->pass.search.longest;
}

/* ---- The choice -------------------------------------------------------- */

/* What is computed in one state for two is as much for either. */
static bool
choose_for_all(const struct fci_sized *sized,
               const double available[FC_STATES], size_t *choice, double *cost)
{
    const double less = fmin(available[0], available[1]);
    const double both[FC_STATES] = { less, less };

    if (sized->problem->states > sized->pass.plan.n_states)
        available = both;
    return fci_pass_choose(&sized->pass, available, choice, cost);
}

/* Thinned frontiers may have lost what one state alone finds. */
static bool
choose_thinned(const struct fci_sized *sized,
               const double available[FC_STATES], size_t *choice, double *cost)
{
    const size_t size = sized->problem->n_nodes * sizeof *choice;
    bool found = choose_for_all(sized, available, choice, cost);
    double other;
    int s;

    for (s = 0; s < FC_STATES; s++)
        if (choose_alone(sized, s, available, sized->choice, &other)
            && (!found || other < *cost)) {
            memcpy(choice, sized->choice, size);
            *cost = other;
            found = true;
        }
    return found;
}

bool
fci_sized_choose(const struct fci_sized *sized,
                 const double available[FC_STATES], size_t *choice,
                 double *cost)
{
    if (sized->pass.search.thinned && sized->pass.plan.n_states > 1)
        return choose_thinned(sized, available, choice, cost);
    return choose_for_all(sized, available, choice, cost);
}
