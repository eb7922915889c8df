/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_draw.c -- states of the busy period, drawn and solved.
 *
 * Each valve is on with its own chance.  Few are on at a time, so that they
 * are not asked one by one: the number of valves that are off before the next
 * one that is on has a geometric distribution, drawn by inverting it [D86,
 * X.2].
 *
 *   [D86]  L. Devroye, Non-Uniform Random Variate Generation (1986) (from
 *          memory)
 */
#include "flow/busy_draw.h"
#include "peak/flush_time.h"
#include "ground/gsl_guard.h"
#include "ground/memory.h"
#include "ground/seed.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_rng.h>

/* More than what a logarithm may be off by. */
#define HAIR 1e-9

struct fci_busy_drawer {
    const struct fci_busy_plan *plan;
    struct fci_solver *solver;
    gsl_rng *rng;
    struct fci_open *open;
    struct fci_tally *tallies;
};

/* ---- The plan --------------------------------------------------------- */

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
            class->scale = list[i].on < 1 ? 1 / log1p(-list[i].on) : 0;
            class->first = at;
        }
        for (k = 0; k < fixtures[list[i].fixture].count; k++)
            plan->valves[at++] = list[i].fixture;
        class->n = at - class->first;
        class->none = (1 - HAIR) * exp((double)class->n * log1p(-class->on));
    }
    plan->n_valves = at;
}

static bool
make_classes(struct fci_busy_plan *plan)
{
    const struct fci_network *network = plan->network;
    const fc_site *site = network->site;
    struct fci_arena *arena = fci_arena_of(plan);
    struct chance_of *list = malloc((site->n_fixtures + 1) * sizeof *list);
    size_t n = 0, valves = 0, i;

    for (i = 0; list && i < site->n_fixtures; i++) {
        if (!network->outlets[i].flushes)
            continue;
        list[n].on =
            fci_valve_busy(site, &site->fixtures[i], network->state, plan->end)
                .on;
        list[n].fixture = i;
        if (list[n].on > 0) {
            valves += (size_t)site->fixtures[i].count;
            n++;
        }
    }
    plan->classes = fci_arena_array(arena, n + 1, sizeof *plan->classes);
    plan->valves = fci_arena_array(arena, valves + 1, sizeof *plan->valves);
    if (list && !arena->failed) {
        qsort(list, n, sizeof *list, by_chance);
        fill_classes(plan, list, n);
    }
    free(list);
    return list && !arena->failed;
}

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
                  unsigned long seed, struct fci_busy_plan **plan,
                  fc_diagnostics *messages)
{
    struct fci_busy_plan *p = fci_object_new(sizeof *p);
    const size_t n = network->site->n_fixtures;
    fc_status status = FC_ENOMEM;

    if (!p)
        return FC_ENOMEM;
    p->network = network;
    p->end = end;
    p->seed = seed;
    p->least = fci_arena_array(fci_arena_of(p), n + 1, sizeof *p->least);
    p->top = fci_arena_array(fci_arena_of(p), n + 1, sizeof *p->top);
    p->flow = fci_arena_array(fci_arena_of(p), n + 1, sizeof *p->flow);
    if (p->least && p->top && p->flow && make_classes(p))
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

/* ---- One thread ------------------------------------------------------- */

struct fci_busy_drawer *
fci_busy_drawer_new(const struct fci_busy_plan *plan)
{
    struct fci_busy_drawer *d = fci_object_new(sizeof *d);
    const size_t n = plan->network->site->n_fixtures;
    gsl_error_handler_t *host;

    if (!d)
        return NULL;
    d->plan = plan;
    d->solver = fci_solver_new(plan->network);
    d->open = fci_arena_array(fci_arena_of(d), n + 1, sizeof *d->open);
    d->tallies = fci_arena_array(fci_arena_of(d), n + 1, sizeof *d->tallies);
    host = fci_gsl_quiet();
    d->rng = gsl_rng_alloc(gsl_rng_mt19937);
    fci_gsl_restore(host);
    if (!d->solver || !d->open || !d->tallies || !d->rng) {
        fci_busy_drawer_free(d);
        return NULL;
    }
    fci_solver_take_whole(d->solver, plan->end);
    return d;
}

void
fci_busy_drawer_free(struct fci_busy_drawer *d)
{
    if (!d)
        return;
    fci_solver_free(d->solver);
    if (d->rng)
        gsl_rng_free(d->rng);
    fci_object_free(d);
}

struct fci_tally *
fci_busy_tallies(struct fci_busy_drawer *d)
{
    return d->tallies;
}

const struct fci_solver *
fci_busy_solver(const struct fci_busy_drawer *d)
{
    return d->solver;
}

/* ---- One state -------------------------------------------------------- */

/* Valves off until the next one on, no more than `most`: by a number that is
 * spread evenly between 0 and 1. */
static size_t
skip(double drawn, double scale, size_t most)
{
    const double n = log(drawn) * scale;

    return n < (double)most ? (size_t)n : most;
}

/* The same from the first valve of a class; mostly none of it is on, which is
 * told without a logarithm. */
static size_t
skip_first(gsl_rng *rng, const struct fci_busy_class *class)
{
    const double drawn = gsl_rng_uniform_pos(rng);

    return drawn < class->none ? class->n
                               : skip(drawn, class->scale, class->n);
}

/* The valves of a fixture stand together, so that one comparison counts
 * them. */
static size_t
draw_state(struct fci_busy_drawer *d)
{
    const struct fci_busy_plan *plan = d->plan;
    size_t c, n = 0;

    for (c = 0; c < plan->n_classes; c++) {
        const struct fci_busy_class *class = &plan->classes[c];
        size_t at = skip_first(d->rng, class);

        while (at < class->n) {
            const size_t fixture = plan->valves[class->first + at];

            if (n == 0 || d->open[n - 1].fixture != fixture) {
                d->open[n].fixture = fixture;
                d->open[n++].count = 0;
            }
            d->open[n - 1].count++;
            at++;
            at +=
                skip(gsl_rng_uniform_pos(d->rng), class->scale, class->n - at);
        }
    }
    return n;
}

static void
count_flushes(struct fci_busy_drawer *d, size_t n)
{
    const struct fci_drawn *drawn = fci_solver_drawn(d->solver);
    size_t i;

    for (i = 0; i < n; i++) {
        const size_t fixture = drawn[i].fixture;

        fci_tally_add(&d->tallies[fixture], drawn[i].count, drawn[i].pressure,
                      d->plan->least[fixture], d->plan->top[fixture]);
    }
}

/* Whether a fixture is weak in a state, where that is sure without solving. */
static bool
is_told(const struct fci_busy_plan *plan, size_t fixture, int valves)
{
    return plan->at_once
           && (plan->at_once[fixture] == FCI_ALWAYS_WEAK
               || valves <= plan->at_once[fixture]);
}

static int
count_valves(const struct fci_busy_drawer *d, size_t n)
{
    int valves = 0;
    size_t i;

    for (i = 0; i < n; i++)
        valves += d->open[i].count;
    return valves;
}

/* Count the flushes of a state that need not be solved; false: it has to be.
 */
static bool
count_told(struct fci_busy_drawer *d, size_t n)
{
    const int valves = count_valves(d, n);
    size_t i;

    for (i = 0; i < n; i++)
        if (!is_told(d->plan, d->open[i].fixture, valves))
            return false;
    for (i = 0; i < n; i++) {
        const size_t fixture = d->open[i].fixture;

        fci_tally_count(&d->tallies[fixture], d->open[i].count,
                        d->plan->at_once[fixture] == FCI_ALWAYS_WEAK);
    }
    return true;
}

fc_status
fci_busy_draw(struct fci_busy_drawer *d, size_t block)
{
    fc_status status = FC_OK;
    size_t i, n;

    gsl_rng_set(d->rng, fci_seed_of_block(d->plan->seed, block));
    fci_solver_forget(d->solver);
    for (i = 0; i < FCI_BUSY_BLOCK && status == FC_OK; i++) {
        n = draw_state(d);
        if (n == 0 || count_told(d, n))
            continue;
        status = fci_solver_run(d->solver, d->open, n);
        if (status == FC_OK)
            count_flushes(d, n);
    }
    return status;
}

/* ---- A state with one valve on ---------------------------------------- */

/* The valves of a fixture are alike: where k of its n are on, the given one is
 * among them with a chance of k / n, else it is one more. */
static size_t
turn_on(struct fci_busy_drawer *d, size_t fixture, size_t n)
{
    const int count = d->plan->network->site->fixtures[fixture].count;
    size_t i = 0;

    while (i < n && d->open[i].fixture != fixture)
        i++;
    if (i == n) {
        d->open[n].fixture = fixture;
        d->open[n++].count = 0;
    }
    if (gsl_rng_uniform(d->rng) * count >= d->open[i].count)
        d->open[i].count++;
    return n;
}

static void
count_flush(struct fci_busy_drawer *d, size_t fixture)
{
    const struct fci_drawn *drawn = fci_solver_drawn(d->solver);

    while (drawn->fixture != fixture)
        drawn++;
    fci_tally_add(&d->tallies[fixture], 1, drawn->pressure,
                  d->plan->least[fixture], d->plan->top[fixture]);
}

fc_status
fci_busy_draw_with(struct fci_busy_drawer *d, size_t fixture, size_t block)
{
    const unsigned long seed =
        fci_seed_of_block(d->plan->seed, SIZE_MAX - fixture);
    fc_status status = FC_OK;
    size_t i, n;

    gsl_rng_set(d->rng, fci_seed_of_block(seed, block));
    fci_solver_forget(d->solver);
    for (i = 0; i < FCI_BUSY_BLOCK && status == FC_OK; i++) {
        n = turn_on(d, fixture, draw_state(d));
        if (is_told(d->plan, fixture, count_valves(d, n))) {
            fci_tally_count(&d->tallies[fixture], 1,
                            d->plan->at_once[fixture] == FCI_ALWAYS_WEAK);
            continue;
        }
        status = fci_solver_run(d->solver, d->open, n);
        if (status == FC_OK)
            count_flush(d, fixture);
    }
    return status;
}
