/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/size/attempt.c -- sizes at least cost for some aims, and their check. */
#include "size/attempt.h"
#include "check/checked.h"
#include "least_cost/least_need.h"

#include <math.h>
#include <string.h>

/* The cheapest choice, if there is one. */
static fc_status
choose(struct fci_attempt *a)
{
    struct fci_sized *sized = NULL;
    const fc_status status = fci_sizing_run(&a->problem.sizing, &sized);

    if (status != FC_OK)
        return status;
    a->found = fci_sized_choose(sized, a->problem.sizing.available, a->choice,
                                &a->cost);
    a->bound = fci_sized_bound(sized);
    a->least_proved = fci_sized_is_least(sized);
    a->longest = fci_sized_longest(sized);
    fci_sized_free(sized);
    return FC_OK;
}

/* At a node's outlet, of what is at its inlet. */
static double
left_behind(const struct fci_sizing_node *node, size_t choice, int s,
            double in)
{
    double left = in - node->take[s];

    if (node->n_choices > 0)
        left -= node->choices[choice].loss[s];
    return fmin(left, fmax(node->most[s], in - node->past[s]));
}

bool
fci_pressures_left(const struct fci_size_problem *problem,
                   const size_t *choice, int s, double *left)
{
    bool served = true;
    size_t i;

    for (i = 0; i < problem->sizing.n_nodes; i++) {
        const struct fci_sizing_node *node = &problem->nodes[i];

        left[i] = i == 0 ? fmin(problem->sizing.available[s], node->most[s])
                         : left_behind(node, choice[i], s, left[node->parent]);
        served = served && left[i] >= node->need[s];
    }
    return served;
}

static bool
serves(const struct fci_size_problem *problem, const size_t *choice,
       double *left)
{
    int s;

    for (s = 0; s < problem->sizing.states; s++)
        if (!fci_pressures_left(problem, choice, s, left))
            return false;
    return true;
}

/* The choice that takes least in a state; where nothing else was found, and it
 * comes least near what is available, it is taken. */
static fc_status
try_least(struct fci_attempt *a, int s, size_t *choice, double *worst)
{
    const struct fci_sizing *sizing = &a->problem.sizing;
    size_t blocked;
    const fc_status status =
        fci_sizing_least(sizing, s, choice, &a->least[s], &blocked);

    if (status != FC_OK || a->found
        || !(a->least[s] - sizing->available[s] > *worst))
        return status;
    *worst = a->least[s] - sizing->available[s];
    a->lacking = s;
    a->any = !isinf(*worst);
    a->blocked = blocked;
    if (a->any)
        memcpy(a->choice, choice, sizing->n_nodes * sizeof *choice);
    return FC_OK;
}

/* In a thinned search what serves may have been lost: then the sizes that take
 * least serve, though they are not the cheapest. */
static fc_status
choose_least(struct fci_attempt *a)
{
    const size_t n = a->problem.sizing.n_nodes;
    struct fci_arena *arena = &a->problem.arena;
    size_t *choice = fci_arena_array(arena, n, sizeof *choice);
    double *left = fci_arena_array(arena, n, sizeof *left);
    fc_status status = choice && left ? FC_OK : FC_ENOMEM;
    double worst = -INFINITY;
    int s;

    for (s = 0; s < a->problem.sizing.states && status == FC_OK; s++)
        status = try_least(a, s, choice, &worst);
    if (status == FC_OK && !a->found && a->any
        && serves(&a->problem, a->choice, left)) {
        a->found = true;
        a->cost = fci_choice_cost(&a->problem, a->choice);
    }
    return status;
}

/* The first sizes of pipes to be chosen are mostly those that are told, with
 * all of their check. */
static fc_status
take_from_check(struct fci_attempt *a, fc_diagnostics *messages)
{
    struct fci_verdicts *v = &a->trial.verdicts;
    const fc_status status = fci_attempt_check(a, messages);
    size_t i;

    for (i = 0; status == FC_OK && i < a->check->n_fixtures; i++)
        v->fixtures[i] = a->check->fixtures[i].states[v->state].works;
    if (status != FC_OK)
        return status;
    v->works = a->check->works;
    v->too_high = a->check->too_high;
    return FC_OK;
}

fc_status
fci_attempt_make(struct fci_attempt *a, const fc_site *site,
                 const struct fci_size_aims *aims,
                 const fc_size_options *options, fc_diagnostics *messages)
{
    const fc_check_options peak = { .peak_only = true,
                                    .steady_main = true,
                                    .no_proviso = true };
    fc_status status;

    memset(a, 0, sizeof *a);
    a->cost = NAN;
    status = fci_size_problem_make(&a->problem, site, aims, messages);
    if (status != FC_OK)
        return status;
    a->problem.sizing.most_points = options->most_points;
    a->choice = fci_arena_array(&a->problem.arena, site->n_elements,
                                sizeof *a->choice);
    status = a->choice ? choose(a) : FC_ENOMEM;
    a->any = a->found;
    if (status == FC_OK)
        status = choose_least(a);
    if (status != FC_OK || !a->any)
        return status;
    a->how = a->found ? options->check : peak;
    if (!fci_choice_changes(&a->problem, a->choice, &a->changes))
        return FC_ENOMEM;
    status = fci_trial_make(&a->trial, site, &a->changes, &peak, messages);
    if (status != FC_OK || !fci_attempt_at_peak(a) || a->how.peak_only)
        return status;
    if (!aims->replace && !(aims->in_hand > 0))
        return take_from_check(a, messages);
    fci_verdicts_free(&a->trial.verdicts);
    return fci_verdicts_make(&a->trial.verdicts, a->trial.site, &a->how,
                             messages);
}

void
fci_attempt_free(struct fci_attempt *a)
{
    fc_check_result_free(a->check);
    fci_trial_free(&a->trial);
    fci_change_list_free(&a->changes);
    fci_size_problem_free(&a->problem);
}

bool
fci_attempt_works(const struct fci_attempt *a)
{
    return a->found && a->trial.verdicts.works == FC_WORKS;
}

bool
fci_attempt_at_peak(const struct fci_attempt *a)
{
    return a->found && a->trial.verdicts.at_peak == FC_WORKS;
}

fc_status
fci_attempt_check_as_known(struct fci_attempt *a, fc_diagnostics *messages)
{
    a->how.steady_main = a->how.no_proviso = false;
    fc_check_result_free(a->check);
    a->check = NULL;
    return fci_attempt_check(a, messages);
}

fc_status
fci_attempt_check(struct fci_attempt *a, fc_diagnostics *messages)
{
    return a->check ? FC_OK
                    : fci_check(a->trial.site, &a->how, a->evidence, &a->check,
                                messages);
}
