/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/bench/bench_sizing.c -- how long least-cost sizes take.
 *
 * Run by `make bench` on invented trees: 10 sizes a pipe, lengths to a tenth
 * of a foot, costs diameter times length, losses by Hazen and Williams.  It
 * prints, never judges.  Medians of RUNS.
 */
#include "least_cost/least_need.h"
#include "bench/stopwatch.h"
#include "unit/us_units.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort_double.h>
#include <gsl/gsl_statistics_double.h>

#define RUNS 3
#define N_SIZES 10

static const double sizes[N_SIZES] = {
    0.5, 0.75, 1, 1.25, 1.5, 2, 2.5, 3, 4, 6
}; /* in */

/* ---- Trees ------------------------------------------------------------- */

struct tree {
    struct fci_sizing problem;
    struct fci_sizing_node *nodes;
    struct fci_sizing_choice *choices;
    double *valves; /* that each pipe serves */
    double *length; /* ft */
    double *height; /* of its outlet over the source [ft] */
    size_t n, capacity;
    gsl_rng *rng;
};

static struct tree
plant(size_t capacity, unsigned long seed)
{
    struct tree t = { .capacity = capacity };

    t.nodes = calloc(capacity, sizeof *t.nodes);
    t.choices = calloc(capacity * N_SIZES, sizeof *t.choices);
    t.valves = calloc(capacity, sizeof *t.valves);
    t.length = calloc(capacity, sizeof *t.length);
    t.height = calloc(capacity, sizeof *t.height);
    t.rng = gsl_rng_alloc(gsl_rng_mt19937);
    if (!t.nodes || !t.choices || !t.valves || !t.length || !t.height
        || !t.rng)
        fail("out of memory");
    gsl_rng_set(t.rng, seed);
    t.n = 1;
    return t;
}

static void
fell(struct tree *t)
{
    free(t->nodes);
    free(t->choices);
    free(t->valves);
    free(t->length);
    free(t->height);
    gsl_rng_free(t->rng);
}

/* A pipe of some length around `feet` that rises `rise`; its number. */
static size_t
add(struct tree *t, size_t parent, double feet, double rise, double valves)
{
    const size_t i = t->n;

    if (i == t->capacity)
        fail("the tree is too small");
    t->n++;
    t->nodes[i].parent = parent;
    t->length[i] =
        round(10 * feet * (0.6 + 0.8 * gsl_rng_uniform(t->rng))) / 10;
    t->height[i] = t->height[parent] + rise;
    t->valves[i] = valves;
    return i;
}

/* m3/s.  Few of many run at a time: 25 gpm of one, less of each more. */
static double
flow_of(double valves, int state)
{
    return (state == 0 ? 25 : 18) * pow(valves, state == 0 ? 0.45 : 0.5)
           * 6.30902e-5;
}

/* Pa, by Hazen and Williams, C 130; no limit of velocity, which would leave
 * less to choose. */
static double
loss_of(double flow, double feet, double inches)
{
    const double bore = inches * INCH;

    return 9790 * 10.67 * feet * FOOT * pow(flow / 130, 1.852)
           / pow(bore, 4.8704);
}

static void
offer_sizes(struct tree *t, size_t i)
{
    struct fci_sizing_choice *choices = t->choices + i * N_SIZES;
    size_t k;
    int s;

    t->nodes[i].choices = choices;
    t->nodes[i].n_choices = N_SIZES;
    for (k = 0; k < N_SIZES; k++) {
        choices[k].nominal = sizes[k] * INCH;
        choices[k].cost = sizes[k] * t->length[i];
        for (s = 0; s < FC_STATES; s++)
            choices[k].loss[s] =
                loss_of(flow_of(t->valves[i], s), t->length[i], sizes[k]);
    }
}

/* Valves add up to the root; each leaf needs 25 psi, or 35 psi in the second
 * state. */
static void
finish(struct tree *t, int states)
{
    size_t i;
    int s;

    for (i = t->n; i-- > 1;) {
        struct fci_sizing_node *node = &t->nodes[i];

        t->valves[node->parent] += t->valves[i];
        offer_sizes(t, i);
        for (s = 0; s < FC_STATES; s++) {
            node->take[s] =
                9790 * FOOT * (t->height[i] - t->height[node->parent]);
            node->need[s] = -INFINITY;
            node->most[s] = node->past[s] = INFINITY;
        }
    }
    for (i = t->n; i-- > 1;)
        if (t->valves[i] == 1) {
            t->nodes[i].need[0] = 25 * PSI;
            t->nodes[i].need[1] = 35 * PSI;
        }
    t->nodes[0].parent = SIZE_MAX;
    t->nodes[0].need[0] = t->nodes[0].need[1] = -INFINITY;
    t->nodes[0].most[0] = t->nodes[0].most[1] = INFINITY;
    t->nodes[0].past[0] = t->nodes[0].past[1] = INFINITY;
    t->problem.nodes = t->nodes;
    t->problem.n_nodes = t->n;
    t->problem.states = states;
}

/* Two risers; on each floor a main with a battery of 12 valves. */
static struct tree
building(size_t pipes)
{
    struct tree t = plant(pipes + 60, 1);
    const size_t floors = (pipes + 49) / 50;
    size_t riser, floor, valve, at, main;

    for (riser = 0; riser < 2; riser++) {
        at = add(&t, 0, 60, 0, 0);
        for (floor = 0; floor < floors && t.n + 25 < t.capacity; floor++) {
            at = add(&t, at, 12, floor < 20 ? 12 : 0, 0);
            main = add(&t, at, 30, 0, 0);
            for (valve = 0; valve < 12; valve++) {
                if (valve > 0)
                    main = add(&t, main, 4, 0, 0);
                add(&t, main, 3, 3, 1);
            }
        }
    }
    return t;
}

/* Of the second riser's valves the first state asks less, the second more, so
 * that neither state decides by itself. */
static void
mix(struct tree *t)
{
    size_t i;

    for (i = t->n / 2; i < t->n; i++)
        if (t->valves[i] == 1) {
            t->nodes[i].need[0] = 10 * PSI;
            t->nodes[i].need[1] = 55 * PSI;
        }
}

/* One riser with a branch at every floor. */
static struct tree
long_riser(size_t pipes)
{
    struct tree t = plant(pipes + 2, 2);
    size_t at = 0;

    while (t.n < pipes) {
        at = add(&t, at, 5, t.height[at] < 200 ? 5 : 0, 0);
        add(&t, at, 8, 3, 1);
    }
    return t;
}

/* All on one manifold, each by two pipes. */
static struct tree
wide(size_t pipes)
{
    struct tree t = plant(pipes + 2, 3);
    const size_t manifold = add(&t, 0, 50, 10, 0);

    while (t.n < pipes)
        add(&t, add(&t, manifold, 50, 10, 0), 10, 3, 1);
    return t;
}

/* Each on any of the 20 before it. */
static struct tree
scattered(size_t pipes)
{
    struct tree t = plant(pipes + 1, 4);
    char *parent = calloc(pipes + 2, 1);
    size_t i;

    if (!parent)
        fail("out of memory");
    while (t.n < pipes) {
        const size_t back = gsl_rng_uniform_int(t.rng, 20);
        const size_t on = t.n > back + 1 ? t.n - 1 - back : 0;

        parent[on] = 1;
        add(&t, on, 6, 1, 0);
    }
    for (i = 1; i < t.n; i++)
        if (!parent[i])
            t.valves[i] = 1;
    free(parent);
    return t;
}

/* ---- Times ------------------------------------------------------------- */

static double
median(double *values)
{
    gsl_sort(values, 1, RUNS);
    return gsl_stats_median_from_sorted_data(values, 1, RUNS);
}

/* What the best of every size needs, and so much more. */
static void
supply(struct tree *t, double spare)
{
    size_t *choice = calloc(t->n, sizeof *choice), blocked;
    double need;
    int s;

    for (s = 0; s < t->problem.states; s++) {
        if (!choice
            || fci_sizing_least(&t->problem, s, choice, &need, &blocked)
                   != FC_OK)
            fail("out of memory");
        t->problem.available[s] = need + spare;
    }
    free(choice);
}

static void
report(const char *shape, const struct tree *t, double spare, double time,
       double followed, const struct fci_sized *sized, double cost)
{
    size_t n;

    fci_sized_points(sized, &n);
    printf("  %-10s %6zu %d %5.0f kPa  %7.3f s  %7.2f ms %7zu %7zu  %8.0f  ",
           shape, t->n - 1, t->problem.states, spare / 1e3, time,
           1e3 * followed, fci_sized_longest(sized), n, cost);
    if (fci_sized_is_least(sized))
        printf("exact\n");
    else
        printf("at most %.2g %% too much\n",
               100 * (cost / fci_sized_bound(sized) - 1));
}

static void
bench(const char *shape, struct tree t, int states, bool mixed, double spare)
{
    double times[RUNS], followed[RUNS], cost = NAN;
    struct fci_sized *sized = NULL;
    size_t *choice = calloc(t.n, sizeof *choice);
    int run;

    finish(&t, states);
    if (mixed)
        mix(&t);
    supply(&t, spare);
    for (run = 0; run < RUNS; run++) {
        const double begun = now();

        fci_sized_free(sized);
        if (!choice || fci_sizing_run(&t.problem, &sized) != FC_OK)
            fail("out of memory");
        times[run] = now() - begun;
        if (!fci_sized_choose(sized, t.problem.available, choice, &cost))
            fail("nothing serves it");
        followed[run] = now() - begun - times[run];
    }
    report(shape, &t, spare, median(times), median(followed), sized, cost);
    fflush(stdout);
    fci_sized_free(sized);
    free(choice);
    fell(&t);
}

int
main(void)
{
    static const double spares[] = { 20e3, 50e3, 100e3, 200e3 };
    size_t i, n;
    int states;

    printf("Least-cost sizes, %d to a pipe: spare pressure, time, time to "
           "follow a choice,\nthe longest frontier, the root's, the cost "
           "[in ft]\n",
           N_SIZES);
    for (states = 1; states <= 2; states++)
        for (i = 0; i < sizeof spares / sizeof *spares; i++)
            bench("building", building(1000), states, false, spares[i]);
    for (states = 1; states <= 2; states++) {
        bench("long riser", long_riser(1000), states, false, 50e3);
        bench("wide", wide(1000), states, false, 50e3);
        bench("scattered", scattered(1000), states, false, 50e3);
    }
    for (i = 0; i < sizeof spares / sizeof *spares; i++)
        bench("mixed", building(1000), 2, true, spares[i]);
    for (states = 1; states <= 2; states++) {
        for (n = 2000; n < 10000; n *= 2)
            bench("building", building(n), states, false, 50e3);
        bench("building", building(10000), states, false, 50e3);
    }
    bench("mixed", building(10000), 2, true, 50e3);
    return EXIT_SUCCESS;
}
