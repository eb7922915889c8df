/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/size/trim.c -- what pressure in hand gave without need is given back.
 *
 * One amount in hand for several fixtures may widen more than the flush events
 * ask for.  Pipe by pipe, the dearest step first, one size is given back as
 * long as check still finds that all works.
 */
#include "size/attempt.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A step back of one pipe. */
struct step {
    size_t node, choice;
    double saved;
};

struct trim {
    struct fci_attempt *a;
    const fc_size_options *options;
    fc_diagnostics *messages;
    struct step *steps;
    size_t n;
};

#define MOST_CHECKED 200u /* steps: each takes a check */

/* ---- What may be given back ------------------------------------------- */

/* The next cheaper choice of a node; its own: there is none. */
static size_t
cheaper(const struct fci_sizing_node *node, size_t now)
{
    size_t k, best = now;

    for (k = 0; k < node->n_choices; k++) {
        const struct fci_sizing_choice *c = &node->choices[k];

        if (isinf(c->loss[0]) || isinf(c->loss[1])
            || !(c->cost < node->choices[now].cost))
            continue;
        if (best == now || c->cost > node->choices[best].cost)
            best = k;
    }
    return best;
}

/* The nearest node upstream that has a size; 0: there is none. */
static size_t
feeder_of(const struct fci_size_problem *problem, size_t node)
{
    do
        node = problem->nodes[node].parent;
    while (node > 0 && problem->nodes[node].n_choices == 0);
    return node;
}

/* Whether no pipe that is put in is larger than the one that feeds it. */
static bool
is_nested(const struct fci_size_problem *problem, const size_t *choice)
{
    size_t i;

    for (i = 1; i < problem->sizing.n_nodes; i++) {
        const struct fci_sizing_node *node = &problem->nodes[i];
        const size_t feeder = feeder_of(problem, i);

        if (node->n_choices == 0 || node->choices[choice[i]].stays
            || feeder == 0)
            continue;
        if (node->choices[choice[i]].nominal
            > problem->nodes[feeder].choices[choice[feeder]].nominal
                  * (1 + 1e-9))
            return false;
    }
    return true;
}

static int
dearest_first(const void *a, const void *b)
{
    const struct step *x = a, *y = b;

    if (x->saved != y->saved)
        return x->saved > y->saved ? -1 : 1;
    return (x->node > y->node) - (x->node < y->node);
}

static void
list_steps(struct trim *t)
{
    const struct fci_size_problem *problem = &t->a->problem;
    size_t i;

    t->n = 0;
    for (i = 1; i < problem->sizing.n_nodes; i++) {
        const struct fci_sizing_node *node = &problem->nodes[i];
        const size_t now = t->a->choice[i];
        size_t next;

        if (node->n_choices == 0)
            continue;
        next = cheaper(node, now);
        if (next != now)
            t->steps[t->n++] = (struct step){
                i, next, node->choices[now].cost - node->choices[next].cost
            };
    }
    qsort(t->steps, t->n, sizeof *t->steps, dearest_first);
}

/* ---- Trying ----------------------------------------------------------- */

/* Whether both states have their pressure, and the state to be works. */
static bool
all_works(const struct fci_size_problem *problem,
          const struct fci_verdicts *verdicts)
{
    int s;

    for (s = 0; s < problem->sizing.states; s++)
        if (verdicts->pressure[problem->states[s]] != FC_WORKS)
            return false;
    return verdicts->works == FC_WORKS;
}

static fc_status
check_choice(struct trim *t, const fc_check_options *options,
             struct fci_change_list *changes, struct fci_trial *trial,
             bool *works)
{
    fc_status status;

    fci_change_list_free(changes);
    fci_trial_free(trial);
    if (!fci_choice_changes(&t->a->problem, t->a->choice, changes))
        return FC_ENOMEM;
    status = fci_trial_make(trial, t->a->problem.site, changes, options,
                            t->messages);
    *works = status == FC_OK && all_works(&t->a->problem, &trial->verdicts);
    return status;
}

/* The attempt with a step back; it is kept where it works. */
static fc_status
try_step(struct trim *t, const struct step *step, bool *works)
{
    const fc_check_options peak = { .peak_only = true };
    struct fci_attempt *a = t->a;
    const size_t before = a->choice[step->node];
    struct fci_change_list changes = { 0 };
    struct fci_trial trial = { 0 };
    fc_status status = FC_OK;

    a->choice[step->node] = step->choice;
    *works = is_nested(&a->problem, a->choice);
    if (*works)
        status = check_choice(t, &peak, &changes, &trial, works);
    if (status == FC_OK && *works)
        status = check_choice(t, &t->options->check, &changes, &trial, works);
    if (status == FC_OK && *works) {
        fci_change_list_free(&a->changes);
        fci_trial_free(&a->trial);
        fc_check_result_free(a->check);
        a->check = NULL;
        a->changes = changes;
        a->trial = trial;
        a->cost = fci_choice_cost(&a->problem, a->choice);
        return FC_OK;
    }
    a->choice[step->node] = before;
    fci_change_list_free(&changes);
    fci_trial_free(&trial);
    return status;
}

fc_status
fci_attempt_trim(struct fci_attempt *a, const fc_size_options *options,
                 fc_diagnostics *messages)
{
    struct trim t = { a, options, messages, NULL, 0 };
    size_t i, checked = 0;
    bool works = true;
    fc_status status = FC_OK;

    t.steps = fci_arena_array(&a->problem.arena, a->problem.sizing.n_nodes,
                              sizeof *t.steps);
    if (!t.steps)
        return FC_ENOMEM;
    while (works && status == FC_OK) {
        works = false;
        list_steps(&t);
        for (i = 0; i < t.n && !works && status == FC_OK; i++)
            status = checked++ < MOST_CHECKED
                         ? try_step(&t, &t.steps[i], &works)
                         : FC_OK;
    }
    return status;
}
