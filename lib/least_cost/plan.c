/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/least_cost/plan.c -- what is known of a tree before its sizes are
 * sought. */
#include "least_cost/plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SAME_SIZE 1e-9 /* relative: sizes come from texts in several units */

bool
fci_plan_chooses(const struct fci_plan *plan, size_t node)
{
    return node > 0 && plan->problem->nodes[node].n_choices > 0;
}

size_t
fci_plan_caps(const struct fci_plan *plan, size_t node, const double **caps)
{
    const size_t owner = plan->owner[node];

    *caps = plan->caps + plan->first_cap[owner];
    return plan->first_cap[owner + 1] - plan->first_cap[owner];
}

struct fci_window *
fci_plan_window(const struct fci_plan *plan, size_t node, size_t cap)
{
    return &plan->windows[plan->first_window[node] + cap];
}

bool
fci_plan_fits(const struct fci_sizing_choice *choice, double cap)
{
    return choice->stays || choice->nominal <= cap * (1 + SAME_SIZE);
}

bool
fci_plan_shift(const struct fci_plan *plan, size_t node, size_t choice,
               struct fci_shift *shift)
{
    const struct fci_sizing_node *n = &plan->problem->nodes[node];
    int s;

    for (s = 0; s < plan->n_states; s++) {
        const int state = plan->states[s];

        shift->take[s] = n->take[state];
        shift->most[s] = n->most[state];
        shift->past[s] = n->past[state];
        if (fci_plan_chooses(plan, node))
            shift->take[s] += n->choices[choice].loss[state];
        if (!(shift->take[s] < INFINITY))
            return false;
    }
    return true;
}

/* ---- The tree ---------------------------------------------------------- */

/* Children lie side by side: counted, then dealt out. */
static void
list_children(struct fci_plan *plan)
{
    const struct fci_sizing_node *nodes = plan->problem->nodes;
    const size_t n = plan->problem->n_nodes;
    size_t *const first = plan->first_child;
    size_t i;

    for (i = 1; i < n; i++)
        first[nodes[i].parent + 1]++;
    for (i = 0; i < n; i++)
        first[i + 1] += first[i];
    for (i = 1; i < n; i++)
        plan->children[first[nodes[i].parent]++] = i;
    memmove(first + 1, first, n * sizeof *first);
    first[0] = 0;
}

static void
find_owners(struct fci_plan *plan)
{
    size_t i;

    for (i = 1; i < plan->problem->n_nodes; i++)
        plan->owner[i] = fci_plan_chooses(plan, i)
                             ? i
                             : plan->owner[plan->problem->nodes[i].parent];
}

/* ---- The sizes --------------------------------------------------------- */

struct sized_choice {
    double nominal;
    uint32_t number;
};

static int
by_size(const void *a, const void *b)
{
    const struct sized_choice *x = a, *y = b;

    if (x->nominal != y->nominal)
        return x->nominal < y->nominal ? -1 : 1;
    return (x->number > y->number) - (x->number < y->number);
}

/* Whose list is sorted: what stays goes first. */
static void
deal_out(struct fci_plan *plan, size_t node, const struct sized_choice *list)
{
    const struct fci_sizing_node *v = &plan->problem->nodes[node];
    uint32_t *const order = plan->order + plan->first_choice[node];
    size_t staying = 0, moving = 0, i;

    for (i = 0; i < v->n_choices; i++)
        moving += v->choices[i].stays;
    for (i = 0; i < v->n_choices; i++)
        if (v->choices[list[i].number].stays)
            order[staying++] = list[i].number;
        else
            order[moving++] = list[i].number;
}

/* One node's choices by size, and its different sizes.  Returns how many. */
static size_t
order_node(struct fci_plan *plan, size_t node, struct sized_choice *list)
{
    const struct fci_sizing_node *v = &plan->problem->nodes[node];
    uint32_t *const cap_of = plan->cap_of + plan->first_choice[node];
    double *const caps = plan->caps + plan->first_cap[node];
    size_t i, n = 0;

    for (i = 0; i < v->n_choices; i++) {
        list[i].nominal = v->choices[i].nominal;
        list[i].number = (uint32_t)i;
    }
    qsort(list, v->n_choices, sizeof *list, by_size);
    deal_out(plan, node, list);
    for (i = 0; i < v->n_choices; i++) {
        if (n == 0 || list[i].nominal > caps[n - 1] * (1 + SAME_SIZE))
            caps[n++] = list[i].nominal;
        cap_of[list[i].number] = (uint32_t)(n - 1);
    }
    return n;
}

static void
order_choices(struct fci_plan *plan, struct sized_choice *list)
{
    size_t i, n;

    for (i = 0; i < plan->problem->n_nodes; i++) {
        n = 0;
        if (i == 0)
            plan->caps[n++] = INFINITY;
        else if (fci_plan_chooses(plan, i))
            n = order_node(plan, i, list);
        plan->first_cap[i + 1] = plan->first_cap[i] + n;
    }
}

/* ---- Making ------------------------------------------------------------ */

static fc_status
allocate_windows(struct fci_plan *plan)
{
    const double *caps;
    size_t i;

    for (i = 0; i < plan->problem->n_nodes; i++)
        plan->first_window[i + 1] =
            plan->first_window[i] + fci_plan_caps(plan, i, &caps);
    plan->windows = fci_arena_array(&plan->arena, plan->first_window[i],
                                    sizeof *plan->windows);
    return plan->windows ? FC_OK : FC_ENOMEM;
}

fc_status
fci_plan_make(struct fci_plan *plan, const struct fci_sizing *problem,
              const int *states, int n_states)
{
    struct fci_arena *arena = &plan->arena;
    const size_t n = problem->n_nodes;
    struct sized_choice *list;
    size_t choices = 0, most = 0, i;

    memset(plan, 0, sizeof *plan);
    plan->problem = problem;
    plan->n_states = n_states;
    memcpy(plan->states, states, (size_t)n_states * sizeof *states);
    for (i = 0; i < n; i++) {
        choices += problem->nodes[i].n_choices;
        if (problem->nodes[i].n_choices > most)
            most = problem->nodes[i].n_choices;
    }
    plan->first_child =
        fci_arena_array(arena, n + 1, sizeof *plan->first_child);
    plan->children = fci_arena_array(arena, n + 1, sizeof *plan->children);
    plan->owner = fci_arena_array(arena, n + 1, sizeof *plan->owner);
    plan->first_choice =
        fci_arena_array(arena, n + 1, sizeof *plan->first_choice);
    plan->order = fci_arena_array(arena, choices + 1, sizeof *plan->order);
    plan->cap_of = fci_arena_array(arena, choices + 1, sizeof *plan->cap_of);
    plan->first_cap = fci_arena_array(arena, n + 1, sizeof *plan->first_cap);
    plan->caps = fci_arena_array(arena, choices + 1, sizeof *plan->caps);
    plan->first_window =
        fci_arena_array(arena, n + 1, sizeof *plan->first_window);
    list = fci_arena_array(arena, most + 1, sizeof *list);
    if (arena->failed)
        return FC_ENOMEM;
    for (i = 0; i < n; i++)
        plan->first_choice[i + 1] =
            plan->first_choice[i] + problem->nodes[i].n_choices;
    list_children(plan);
    find_owners(plan);
    order_choices(plan, list);
    return allocate_windows(plan);
}
