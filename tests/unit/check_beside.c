/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_beside.c -- one valve more, against a solution with it. */
#include "flow/beside.h"
#include "generators/buildings.h"
#include "generators/open_valves.h"
#include "generators/sites.h"

#include <math.h>
#include <stdlib.h>

#define SITES 400
#define EVENTS 6 /* of each */
/* Where laws have corners little is certain.  These minima are as near to the
 * truth as few are: a chance of a weak flush is off by far less. */
#define MOST_WRONG 2e-4
#define MOST_FAR 0.02

static const double shares[EVENTS] = { 0, 0.02, 0.05, 0.1, 0.2, 0.4 };

struct seen {
    size_t told, near, wrong;      /* whether it is weak */
    size_t pressures, untold, far; /* what it has; off by more than said */
};

/* The set with one valve more; its place in it. */
static size_t
with_one(struct fci_open *open, size_t *n, size_t fixture)
{
    size_t i = 0;

    while (i < *n && open[i].fixture != fixture)
        i++;
    if (i == *n)
        open[(*n)++] = (struct fci_open){ fixture, 0 };
    open[i].count++;
    return i;
}

/* Against minima from far below what it has to far above. */
static void
compare_spare(const struct fci_beside *beside, size_t fixture, double truth,
              struct seen *seen)
{
    static const double parts[] = { 0.5,   0.9,  0.97, 0.995,
                                    1.005, 1.03, 1.1,  1.5 };
    size_t i;

    for (i = 0; i < sizeof parts / sizeof *parts; i++) {
        const double least = parts[i] * truth;
        double off;
        const double spare = fci_beside_spare(beside, fixture, least, &off);

        if (!(truth > 1000) || fabs(spare) <= off) {
            seen->near++;
            continue;
        }
        seen->told++;
        seen->wrong += (spare < 0) != (truth < least);
    }
}

static void
compare_one(struct fci_solver *solver, const struct fci_beside *beside,
            struct fci_open *open, size_t n, size_t fixture, struct seen *seen)
{
    const size_t at = with_one(open, &n, fixture);
    double off, there = fci_beside_pressure(beside, fixture, &off), truth;

    fci_solver_forget(solver);
    ck_assert_int_eq(fci_solver_run(solver, open, n), FC_OK);
    truth = fci_solver_drawn(solver)[at].pressure;
    compare_spare(beside, fixture, truth, seen);
    if (isinf(off)) {
        seen->untold++;
    } else {
        seen->pressures++;
        seen->far += fabs(there - truth) > off;
    }
    open[at].count--;
}

static void
compare_events(const fc_site *site, enum fci_end end, gsl_rng *rng,
               struct seen *seen)
{
    struct fci_network *network = NULL;
    struct fci_solver *solver;
    struct fci_beside *beside;
    size_t k, i, n;

    ck_assert_int_eq(fci_network_new(site, FC_EXISTING, &network, NULL),
                     FC_OK);
    if (network->meshed) {
        fci_network_free(network);
        return;
    }
    if (!network->bounded)
        end = FCI_NOMINAL;
    solver = fci_solver_new(network);
    beside = fci_beside_new(network, end);
    ck_assert(solver && beside);
    fci_solver_take_whole(solver, end);
    for (k = 0; k < EVENTS; k++) {
        struct fci_open *open =
            some_open(site, FC_EXISTING, shares[k], rng, &n);

        open = realloc(open, (site->n_fixtures + 1) * sizeof *open);
        ck_assert_int_eq(fci_solver_run(solver, open, n), FC_OK);
        fci_beside_take(beside, solver);
        for (i = 0; i < site->n_fixtures; i++) {
            size_t m = 0;

            while (m < n && open[m].fixture != i)
                m++;
            if (network->outlets[i].flushes
                && (m == n || open[m].count < site->fixtures[i].count))
                compare_one(solver, beside, open, n, i, seen);
        }
        free(open);
    }
    fci_beside_free(beside);
    fci_solver_free(solver);
    fci_network_free(network);
}

static const struct building_plan plans[] = {
    { .fewest = 4, .most = 13, .small = true, .busy = true },
    { .fewest = 4, .most = 60 },
    { .fewest = 30, .most = 200, .ranges = true },
};

START_TEST(one_more)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct seen seen = { 0 };
    unsigned long seed;

    for (seed = 1; seed <= SITES; seed++) {
        fc_site *site = building_made(seed, &plans[_i]);

        compare_events(site, (enum fci_end)(seed % FCI_ENDS), rng, &seen);
        fc_site_free(site);
    }
    gsl_rng_free(rng);
    printf("# %zu told, %zu of them wrong, %zu too near; %zu pressures, %zu "
           "of them far, %zu untold\n",
           seen.told, seen.wrong, seen.near, seen.pressures, seen.far,
           seen.untold);
    ck_assert_uint_ge(seen.told, 40000);
    ck_assert_msg((double)seen.wrong <= MOST_WRONG * (double)seen.told,
                  "%zu of %zu are wrong", seen.wrong, seen.told);
    ck_assert_msg((double)seen.far <= MOST_FAR * (double)seen.pressures,
                  "%zu of %zu are far", seen.far, seen.pressures);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("beside");
    TCase *t = tcase_create("one more");

    tcase_set_timeout(t, 300);
    tcase_add_loop_test(t, one_more, 0, COUNT(plans));
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
