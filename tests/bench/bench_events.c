/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/bench/bench_events.c -- how long flush events take.
 *
 * Run by `make bench` on the invented tower of tests/bench/tower.sh, whose
 * file is its argument.  It prints, never judges.  Medians of RUNS, of
 * processor time but where threads work side by side.
 */
#include "flow/busy_period.h"
#include "flow/ladder.h"
#include "generators/reference_solver.h"
#include "flow/solver.h"
#include "bench/stopwatch.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include <gsl/gsl_rng.h>
#include <gsl/gsl_statistics_double.h>
#include <gsl/gsl_sort_double.h>

#define RUNS 5
#define EVENTS 200 /* by both methods */
#define MANY_EVENTS 200000
#define WALK 20000
#define STATES 100000
#define MOST_VALVES 80

static double
median(double *values)
{
    gsl_sort(values, 1, RUNS);
    return gsl_stats_median_from_sorted_data(values, 1, RUNS);
}

/* ---- Sites and events ------------------------------------------------- */

struct bench_site {
    fc_site *site;
    struct fci_network *network;
    struct fci_solver *solver;
    int valves;
};

static struct bench_site
load(const char *path)
{
    struct bench_site b = { NULL, NULL, NULL, 0 };
    size_t i;

    if (fc_site_read(path, &b.site, NULL) != FC_OK
        || fci_network_new(b.site, FC_RETROFIT, &b.network, NULL) != FC_OK)
        fail("the site cannot be read");
    b.solver = fci_solver_new(b.network);
    if (!b.solver)
        fail("out of memory");
    for (i = 0; i < b.site->n_fixtures; i++)
        b.valves += b.site->fixtures[i].count;
    return b;
}

static void
unload(struct bench_site *b)
{
    fci_solver_free(b->solver);
    fci_network_free(b->network);
    fc_site_free(b->site);
}

struct event {
    struct fci_open open[MOST_VALVES];
    size_t n;
};

/* `valves` of all the building's, each as likely as another. */
static struct event
draw_event(const struct bench_site *b, int valves, gsl_rng *rng)
{
    struct event e = { .n = 0 };
    size_t i, fixture;
    int done = 0;

    while (done < valves) {
        fixture = gsl_rng_uniform_int(rng, b->site->n_fixtures);
        for (i = 0; i < e.n && e.open[i].fixture != fixture; i++)
            ;
        if (i == e.n) {
            e.open[e.n].fixture = fixture;
            e.open[e.n++].count = 1;
        } else if (e.open[i].count < b->site->fixtures[fixture].count) {
            e.open[i].count++;
        } else {
            continue;
        }
        done++;
    }
    return e;
}

static struct event *
draw_events(const struct bench_site *b, int valves, size_t n)
{
    struct event *events = malloc(n * sizeof *events);
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    size_t i;

    if (!events || !rng)
        fail("out of memory");
    for (i = 0; i < n; i++)
        events[i] = draw_event(b, valves, rng);
    gsl_rng_free(rng);
    return events;
}

/* ---- Sweeps and hybrids ----------------------------------------------- */

/* Seconds an event, each from the valves' flows alone. */
static double
time_sweeps(struct bench_site *b, const struct event *events, double *flows)
{
    double begun = worked();
    size_t i;

    for (i = 0; i < EVENTS; i++) {
        fci_solver_forget(b->solver);
        if (fci_solver_run(b->solver, events[i].open, events[i].n) != FC_OK)
            fail("an event did not settle");
        flows[i] = fci_solver_drawn(b->solver)[0].flow;
    }
    return (worked() - begun) / EVENTS;
}

static double
time_hybrids(struct reference_tree *tree, const struct event *events,
             double *flows)
{
    struct fci_drawn drawn[MOST_VALVES];
    double begun = worked();
    size_t i;

    for (i = 0; i < EVENTS; i++) {
        flows[i] = NAN;
        if (reference_tree_solve(tree, events[i].open, events[i].n, drawn))
            flows[i] = drawn[0].flow;
    }
    return (worked() - begun) / EVENTS;
}

/* The worst relative difference of the first valve's flow. */
static double
compare(const double *a, const double *b, size_t *found)
{
    double worst = 0;
    size_t i;

    for (i = 0, *found = 0; i < EVENTS; i++)
        if (!isnan(b[i])) {
            (*found)++;
            worst = fmax(worst, fabs(a[i] - b[i]) / fabs(b[i]));
        }
    return worst;
}

static void
bench_against_hybrids(struct bench_site *b)
{
    static const int numbers[] = { 5, 10, 20, 40, 80 };
    struct reference_tree *tree = reference_tree_new(b->site, FC_RETROFIT);
    static double mine[EVENTS], theirs[EVENTS];
    size_t i, run, found;

    printf("One event on %d valves, sweeps and GSL's hybrids in turn\n"
           "  valves     sweeps    hybrids   ratio   solved  difference\n",
           b->valves);
    for (i = 0; i < sizeof numbers / sizeof *numbers; i++) {
        struct event *events = draw_events(b, numbers[i], EVENTS);
        double sweeps[RUNS], hybrids[RUNS], s, h, worst;

        for (run = 0; run < RUNS; run++) {
            sweeps[run] = time_sweeps(b, events, mine);
            hybrids[run] = time_hybrids(tree, events, theirs);
        }
        s = median(sweeps);
        h = median(hybrids);
        worst = compare(mine, theirs, &found);
        printf("  %6d  %6.2f us  %6.0f us  %6.0f  %3zu/%d  %10.1e\n",
               numbers[i], 1e6 * s, 1e6 * h, h / s, found, EVENTS, worst);
        free(events);
    }
    reference_tree_free(tree);
}

static void
bench_rate(struct bench_site *b)
{
    struct event *events = draw_events(b, 20, MANY_EVENTS);
    double rates[RUNS];
    size_t run, i;

    for (run = 0; run < RUNS; run++) {
        double begun = worked();

        for (i = 0; i < MANY_EVENTS; i++)
            if (fci_solver_run(b->solver, events[i].open, events[i].n)
                != FC_OK)
                fail("an event did not settle");
        rates[run] = MANY_EVENTS / (worked() - begun);
    }
    printf("Events of 20 valves one after the other, one core: %.0f a "
           "second\n",
           median(rates));
    free(events);
}

/* ---- From one state to the next --------------------------------------- */

/* Each differs from the one before in one fixture. */
static struct event *
draw_walk(const struct bench_site *b, int valves, size_t n)
{
    struct event *events = draw_events(b, valves, n);
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    size_t i, k, j, fixture;

    if (!rng)
        fail("out of memory");
    for (i = 1; i < n; i++) {
        events[i] = events[i - 1];
        k = gsl_rng_uniform_int(rng, events[i].n);
        do {
            fixture = gsl_rng_uniform_int(rng, b->site->n_fixtures);
            for (j = 0;
                 j < events[i].n && events[i].open[j].fixture != fixture; j++)
                ;
        } while (j < events[i].n);
        events[i].open[k].fixture = fixture;
        events[i].open[k].count = 1;
    }
    gsl_rng_free(rng);
    return events;
}

/* Seconds an event. */
static double
time_walk(struct bench_site *b, const struct event *events, size_t n,
          bool forget)
{
    double times[RUNS];
    size_t run, i;

    for (run = 0; run < RUNS; run++) {
        const double begun = worked();

        for (i = 0; i < n; i++) {
            if (forget)
                fci_solver_forget(b->solver);
            if (fci_solver_run(b->solver, events[i].open, events[i].n)
                != FC_OK)
                fail("an event did not settle");
        }
        times[run] = (worked() - begun) / (double)n;
    }
    return median(times);
}

static void
print_walk(struct bench_site *b, const char *what, struct event *events)
{
    const double alone = time_walk(b, events, WALK, true);
    const double after = time_walk(b, events, WALK, false);

    printf("  %-27s %6.2f us  %6.2f us  %4.0f %%\n", what, 1e6 * alone,
           1e6 * after, 100 * (1 - after / alone));
    free(events);
}

static void
bench_walk(struct bench_site *b)
{
    printf("One event of 20 valves from the valves' flows alone, and from "
           "the flows of the\nevent before it\n"
           "                                  alone      after  saved\n");
    print_walk(b, "that differs in one fixture", draw_walk(b, 20, WALK));
    print_walk(b, "that differs in all", draw_events(b, 20, WALK));
}

/* ---- The busy period and the ladder ----------------------------------- */

static void
bench_busy(const struct bench_site *b)
{
    unsigned threads;

    for (threads = 1; threads <= 2; threads++) {
        const fc_check_options options = { .threads = threads,
                                           .most_states = STATES };
        struct fci_busy_period period;
        double times[RUNS];
        size_t run;

        for (run = 0; run < RUNS; run++) {
            const double begun = now();

            if (fci_busy_period_run(b->network, FCI_NOMINAL, &options, NULL,
                                    &period, NULL)
                != FC_OK)
                fail("the busy period did not settle");
            times[run] = now() - begun;
            fci_busy_period_free(&period);
        }
        printf("Busy period, %zu states, %u thread%s: %.3f s\n", period.states,
               threads, threads > 1 ? "s" : "", median(times));
    }
}

static void
bench_ladder(struct bench_site *b)
{
    struct fci_ladder *ladder = fci_ladder_new(b->network, b->solver);
    const double begun = worked();
    struct fci_rungs rungs;
    size_t i, total = 0;

    if (!ladder)
        fail("out of memory");
    for (i = 0; i < b->site->n_fixtures; i++) {
        const fc_valve *valve = b->site->fixtures[i].valve[FC_RETROFIT];

        if (fci_ladder_climb(ladder, i, FCI_NOMINAL,
                             valve->minimum_flowing.nominal, FCI_EVERY_NUMBER,
                             &rungs)
            != FC_OK)
            fail("a ladder did not settle");
        total += rungs.n_pressures;
    }
    printf("Ladders of %zu fixtures, %zu rungs: %.2f s\n", b->site->n_fixtures,
           total, worked() - begun);
    fci_ladder_free(ladder);
}

int
main(int argc, char **argv)
{
    struct bench_site tower;

    if (argc != 2)
        fail("the file of tests/bench/tower.sh is expected");
    tower = load(argv[1]);
    bench_against_hybrids(&tower);
    bench_rate(&tower);
    bench_walk(&tower);
    bench_busy(&tower);
    bench_ladder(&tower);
    unload(&tower);
    return EXIT_SUCCESS;
}
