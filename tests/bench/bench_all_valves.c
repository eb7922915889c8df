/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/bench/bench_all_valves.c -- how long one event of all valves takes,
 * beside two yardsticks.
 *
 * Run by `make bench` on the invented towers of tests/bench/tower.sh: some so
 * high that only their lowest floors get water then, which takes many steps of
 * few powers, and some so low that every valve does.  One yardstick is a
 * general sparse Newton on the same laws, from the same first guess and to the
 * same miss; its analysis is done once and not counted.  The other is a floor:
 * the calls of pow() that the library's own solution makes, counted one by
 * one, with the same arguments, and nothing else.  Processor time, medians of
 * RUNS.  Fails where the two solutions differ.
 */
#include "bench/power_calls.h"
#include "bench/sparse_newton.h"
#include "bench/stopwatch.h"

#include <math.h>
#include <string.h>

#define RUNS 9
/* Solve again for so long, so that a run is longer than the clock is coarse
 * [s]. */
#define LONG_ENOUGH 0.01
#define MOST_DIFFERENCE 1.0 /* of two solutions [Pa] */

struct all_valves {
    fc_site *site;
    struct fci_network *network;
    struct fci_solver *solver;
    struct fci_open *open;
    size_t n;
    int valves;
    struct sparse_newton *newton;
    struct fci_drawn *drawn; /* by it */
};

typedef void solve(struct all_valves *all);

static void
open_all(struct all_valves *all)
{
    size_t i;

    all->n = all->site->n_fixtures;
    all->open = malloc(all->n * sizeof *all->open);
    all->drawn = malloc(all->n * sizeof *all->drawn);
    if (!all->open || !all->drawn)
        fail("out of memory");
    for (i = 0; i < all->n; i++) {
        all->open[i].fixture = i;
        all->open[i].count = all->site->fixtures[i].count;
        all->valves += all->open[i].count;
    }
}

static void
load(struct all_valves *all, const char *path)
{
    memset(all, 0, sizeof *all);
    if (fc_site_read(path, &all->site, NULL) != FC_OK
        || fci_network_new(all->site, FC_RETROFIT, &all->network, NULL)
               != FC_OK)
        fail("the site cannot be read");
    all->solver = fci_solver_new(all->network);
    if (!all->solver)
        fail("out of memory");
    open_all(all);
    all->newton = sparse_newton_new(all->network, all->open, all->n);
}

static void
unload(struct all_valves *all)
{
    sparse_newton_free(all->newton);
    free(all->drawn);
    free(all->open);
    fci_solver_free(all->solver);
    fci_network_free(all->network);
    fc_site_free(all->site);
}

/* ---- The three --------------------------------------------------------- */

/* From the valves' flows alone. */
static void
by_library(struct all_valves *all)
{
    fci_solver_forget(all->solver);
    if (fci_solver_run(all->solver, all->open, all->n) != FC_OK)
        fail("all at once did not settle");
}

static void
by_sparse(struct all_valves *all)
{
    if (!sparse_newton_solve(all->newton, all->drawn))
        fail("the sparse Newton did not settle");
}

static void
by_powers(struct all_valves *all)
{
    (void)all;
    if (!(power_calls_again() > 0))
        fail("no pow() was noted");
}

/* Seconds of processor time. */
static double
time_once(solve *with, struct all_valves *all)
{
    const double begun = worked();
    double spent;
    int times = 0;

    do {
        with(all);
        times++;
        spent = worked() - begun;
    } while (spent < LONG_ENOUGH);
    return spent / times;
}

static int
compare(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

/* The median of several runs; the first warms up the memory. */
static double
time_of(solve *with, struct all_valves *all)
{
    double times[RUNS];
    size_t i;

    with(all);
    for (i = 0; i < RUNS; i++)
        times[i] = time_once(with, all);
    qsort(times, RUNS, sizeof *times, compare);
    return times[RUNS / 2];
}

/* The largest difference of a valve's pressure [Pa]. */
static double
difference(const struct all_valves *all)
{
    const struct fci_drawn *mine = fci_solver_drawn(all->solver);
    double worst = 0;
    size_t i;

    for (i = 0; i < all->n; i++) {
        const double off = fabs(mine[i].pressure - all->drawn[i].pressure);

        if (!(off <= worst))
            worst = off;
    }
    return worst;
}

/* The part of the valves that get water. */
static double
flowing(const struct all_valves *all)
{
    const struct fci_drawn *drawn = fci_solver_drawn(all->solver);
    int valves = 0;
    size_t i;

    for (i = 0; i < all->n; i++)
        if (drawn[i].flow > 0)
            valves += drawn[i].count;
    return (double)valves / all->valves;
}

/* ---- Rows -------------------------------------------------------------- */

static void
print_sparse(struct all_valves *all, double mine)
{
    double theirs, off;

    if (!all->newton) {
        printf("         -      -   -         -");
        return;
    }
    theirs = time_of(by_sparse, all);
    off = difference(all);
    printf("  %8.2f  %5.1f  %4d  %7.1e", 1e3 * theirs, theirs / mine,
           sparse_newton_steps(all->newton), off);
    if (!(off <= MOST_DIFFERENCE)) {
        printf("\n");
        fail("the sparse Newton found another solution");
    }
}

static void
print_row(const char *path)
{
    struct all_valves all;
    double mine, floor_of;
    size_t calls;

    load(&all, path);
    mine = time_of(by_library, &all);
    printf("%7d  %5.0f %%  %8.2f  %7.0f", all.valves, 100 * flowing(&all),
           1e3 * mine, 1e9 * mine / all.valves);
    print_sparse(&all, mine);
    power_calls_begin();
    by_library(&all);
    calls = power_calls_end();
    floor_of = time_of(by_powers, &all);
    printf("  %8zu  %8.2f  %5.2f\n", calls, 1e3 * floor_of, mine / floor_of);
    unload(&all);
}

int
main(int argc, char **argv)
{
    int i;

    if (argc < 2)
        fail("the files of tests/bench/tower.sh are expected");
    if (!sparse_newton_built())
        printf("No sparse Newton to compare with: configure found no KLU "
               "(libsuitesparse-dev)\n");
    printf(
        "All valves at once, ms of processor time; ratios to the "
        "library's\n"
        "                         library           sparse Newton          "
        "     pow() alone\n"
        " valves  with water    time  ns each      time  ratio steps  Pa off"
        "     calls      time  ratio\n");
    for (i = 1; i < argc; i++)
        print_row(argv[i]);
    return EXIT_SUCCESS;
}
