/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_plan.c -- which valves are on in the busy period, and how
 * likely.
 *
 * Each valve is on with its own chance, independently.  How many are on is a
 * sum, whose distribution is found class by class [F68, XI.2: product of
 * generating functions]; without one valve of a class by dividing by its
 * factor, from the end from which that is stable.
 *
 *   [F68]  W. Feller, An Introduction to Probability Theory and Its
 *          Applications 1, 3rd ed. (1968) (from memory)
 */
#include "flow/busy_plan.h"
#include "flow/behind.h"
#include "flow/solver.h"
#include "peak/flush_time.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_randist.h>

/* That more valves are on than are counted has less chance than this. */
#define LEFT_OUT 1e-10
/* A stratum ends where it has so much of all, or where the chance of more
 * falls to so small a part of what it was at its beginning: finely where that
 * is about what is allowed of weak flushes, as these are often those of the
 * fullest states.  A choice of this method. */
#define MOST_OF_ALL 0.12
#define PART_LEFT (from > FC_MOST_WEAK / 10 ? 0.65 : 0.1)
/* No more numbers than this [8 bytes each]. */
#define MOST_NUMBERS 4000000

/* ---- Classes ---------------------------------------------------------- */

struct chance_of {
    double on;
    size_t fixture;
};

static int
by_chance(const void *a, const void *b)
{
    const struct chance_of *x = a, *y = b;

    if (x->on != y->on)
        return x->on < y->on ? -1 : 1;
    return (x->fixture > y->fixture) - (x->fixture < y->fixture);
}

/* Fixtures of one chance make one class. */
static void
fill_classes(struct fci_busy_plan *plan, const struct chance_of *list,
             size_t n)
{
    const struct fci_fixture *fixtures = plan->network->site->fixtures;
    struct fci_busy_class *class = NULL;
    size_t i, at = 0;
    int k;

    for (i = 0; i < n; i++) {
        if (!class || list[i].on > class->on) {
            class = &plan->classes[plan->n_classes++];
            class->on = list[i].on;
            class->first = at;
        }
        plan->class_of[list[i].fixture] = plan->n_classes - 1;
        for (k = 0; k < fixtures[list[i].fixture].count; k++)
            plan->valves[at++] = list[i].fixture;
        class->n = at - class->first;
    }
    plan->n_valves = at;
}

double
fci_busy_on(const struct fci_network *network, size_t fixture,
            enum fci_end end, const double *on)
{
    const fc_site *site = network->site;

    if (!network->outlets[fixture].flushes)
        return 0;
    return on ? on[fixture]
              : fci_valve_busy(site, &site->fixtures[fixture], network->state,
                               end)
                    .on;
}

static size_t
list_chances(struct fci_busy_plan *plan, struct chance_of *list,
             size_t *valves)
{
    const fc_site *site = plan->network->site;
    size_t n = 0, i;

    *valves = 0;
    for (i = 0; i < site->n_fixtures; i++) {
        plan->class_of[i] = FCI_NONE;
        list[n].on = fci_busy_on(plan->network, i, plan->end, plan->on);
        list[n].fixture = i;
        if (list[n].on > 0) {
            *valves += (size_t)site->fixtures[i].count;
            n++;
        }
    }
    return n;
}

static bool
make_classes(struct fci_busy_plan *plan)
{
    const size_t m = plan->network->site->n_fixtures;
    struct fci_arena *arena = fci_arena_of(plan);
    struct chance_of *list = malloc((m + 1) * sizeof *list);
    size_t n, valves;

    plan->class_of = fci_arena_array(arena, m + 1, sizeof *plan->class_of);
    if (list && plan->class_of) {
        n = list_chances(plan, list, &valves);
        plan->classes = fci_arena_array(arena, n + 1, sizeof *plan->classes);
        plan->valves =
            fci_arena_array(arena, valves + 1, sizeof *plan->valves);
        if (!arena->failed) {
            qsort(list, n, sizeof *list, by_chance);
            fill_classes(plan, list, n);
        }
    }
    free(list);
    return list && !arena->failed;
}

/* ---- How many --------------------------------------------------------- */

/* More valves than this are on in less than LEFT_OUT of the time (Chernoff's
 * bound of a sum of independent outcomes [F68, by Markov's inequality of an
 * exponential], taken in steps). */
static size_t
most_on(const struct fci_busy_plan *plan)
{
    double mean = 0, most;
    size_t c;

    for (c = 0; c < plan->n_classes; c++)
        mean += plan->classes[c].on * (double)plan->classes[c].n;
    for (most = mean + 1; most < (double)plan->n_valves; most++)
        if (most * log(most / mean) - (most - mean) > -log(LEFT_OUT))
            return (size_t)most;
    return plan->n_valves;
}

static void
convolve(double *to, const double *a, const double *b, size_t most)
{
    size_t i, k;

    for (k = 0; k <= most; k++)
        to[k] = 0;
    for (i = 0; i <= most; i++)
        if (a[i] > 0)
            for (k = 0; k + i <= most; k++)
                to[i + k] += a[i] * b[k];
}

static void
leave_one_out(double *others, const double *all, double on, size_t most)
{
    size_t k;

    if (on <= 0.5) {
        for (k = 0; k <= most; k++)
            others[k] = fmax(
                (all[k] - (k > 0 ? on * others[k - 1] : 0)) / (1 - on), 0);
        return;
    }
    others[most] = 0;
    for (k = most; k > 0; k--)
        others[k - 1] = fmax((all[k] - (1 - on) * others[k]) / on, 0);
}

static void
fill_counts(struct fci_busy_plan *plan)
{
    const size_t most = plan->most, row = most + 1;
    double sum = 0;
    size_t c, k;

    plan->rest[plan->n_classes * row] = 1;
    for (c = plan->n_classes; c-- > 0;) {
        const struct fci_busy_class *class = &plan->classes[c];

        for (k = 0; k <= most; k++)
            plan->own[c * row + k] =
                k <= class->n ? gsl_ran_binomial_pdf((unsigned)k, class->on,
                                                     (unsigned)class->n)
                              : 0;
        convolve(&plan->rest[c * row], &plan->own[c * row],
                 &plan->rest[(c + 1) * row], most);
    }
    plan->chance = plan->rest;
    for (c = 0; c < plan->n_classes; c++)
        leave_one_out(&plan->others[c * row], plan->chance,
                      plan->classes[c].on, most);
    for (k = 0; k <= most; k++)
        sum += plan->chance[k];
    plan->left_out = most < plan->n_valves ? fmax(1 - sum, LEFT_OUT) : 0;
}

static void
fill_strata(struct fci_busy_plan *plan)
{
    double left = 1, from = 1;
    size_t k;

    for (k = 0; k <= plan->most; k++) {
        struct fci_stratum *last = NULL;

        if (plan->n_strata > 0)
            last = &plan->strata[plan->n_strata - 1];
        if (!last
            || (plan->n_strata < FCI_STRATA
                && (last->chance + plan->chance[k] > MOST_OF_ALL
                    || left < PART_LEFT * from))) {
            last = &plan->strata[plan->n_strata++];
            last->low = k;
            from = left;
        }
        last->high = k;
        last->chance += plan->chance[k];
        left = fmax(left - plan->chance[k], 0);
    }
}

static fc_status
make_counts(struct fci_busy_plan *plan)
{
    struct fci_arena *arena = fci_arena_of(plan);
    size_t row;

    plan->most = most_on(plan);
    row = plan->most + 1;
    if ((double)row * (double)(3 * plan->n_classes + 1) > MOST_NUMBERS)
        return FC_OK;
    plan->own =
        fci_arena_array(arena, plan->n_classes * row + 1, sizeof *plan->own);
    plan->rest = fci_arena_array(arena, (plan->n_classes + 1) * row,
                                 sizeof *plan->rest);
    plan->others = fci_arena_array(arena, plan->n_classes * row + 1,
                                   sizeof *plan->others);
    if (arena->failed)
        return FC_ENOMEM;
    fill_counts(plan);
    fill_strata(plan);
    return FC_OK;
}

double
fci_busy_part(const struct fci_busy_plan *plan, size_t class, size_t stratum,
              bool with)
{
    const struct fci_stratum *s = &plan->strata[stratum];
    const double *others = &plan->others[class * (plan->most + 1)];
    double sum = 0;
    size_t k;

    for (k = s->low; k <= s->high; k++)
        if (!with)
            sum += others[k];
        else if (k > 0)
            sum += others[k - 1];
    return sum;
}

/* ---- Limits ----------------------------------------------------------- */

/* The pressure of every fixture alone, and its valve's minimum. */
static fc_status
find_limits(struct fci_busy_plan *plan, fc_diagnostics *messages)
{
    const struct fci_network *network = plan->network;
    const fc_site *site = network->site;
    struct fci_solver *solver = fci_solver_new(network);
    fc_status status = solver ? FC_OK : FC_ENOMEM;
    size_t i;

    if (solver)
        fci_solver_take_whole(solver, plan->end);
    for (i = 0; i < site->n_fixtures && status == FC_OK; i++) {
        const struct fci_open open = { i, 1 };

        plan->least[i] = fci_least_kept(network, i, plan->end);
        if (!network->outlets[i].flushes)
            continue;
        status = fci_solver_run(solver, &open, 1);
        if (status == FC_OK) {
            plan->top[i] = fci_solver_drawn(solver)[0].pressure;
            plan->flow[i] = fci_solver_drawn(solver)[0].flow;
        }
    }
    if (solver)
        status = fci_solver_fail(solver, status, messages);
    fci_solver_free(solver);
    return status;
}

fc_status
fci_busy_plan_new(const struct fci_network *network, enum fci_end end,
                  const double *on, struct fci_busy_plan **plan,
                  fc_diagnostics *messages)
{
    struct fci_busy_plan *p = fci_object_new(sizeof *p);
    const size_t n = network->site->n_fixtures;
    fc_status status = FC_ENOMEM;

    if (!p)
        return FC_ENOMEM;
    p->network = network;
    p->end = end;
    p->on = on;
    p->monotone = fci_more_leaves_less(network);
    p->least = fci_arena_array(fci_arena_of(p), n + 1, sizeof *p->least);
    p->top = fci_arena_array(fci_arena_of(p), n + 1, sizeof *p->top);
    p->flow = fci_arena_array(fci_arena_of(p), n + 1, sizeof *p->flow);
    if (p->least && p->top && p->flow && make_classes(p))
        status = make_counts(p);
    if (status == FC_OK)
        status = find_limits(p, messages);
    if (status == FC_OK)
        *plan = p;
    else
        fci_busy_plan_free(p);
    return status;
}

void
fci_busy_plan_free(struct fci_busy_plan *plan)
{
    fci_object_free(plan);
}
