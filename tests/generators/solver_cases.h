/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/solver_cases.h -- what tests of flush events share. */
#ifndef TESTS_GENERATORS_SOLVER_CASES_H
#define TESTS_GENERATORS_SOLVER_CASES_H

#include "generators/buildings.h"
#include "generators/open_valves.h"
#include "flow/solver.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

TCase *solver_agreement(void);  /* with a second solution */
TCase *solver_properties(void); /* what holds in every building */
TCase *solver_sameness(void);   /* what changes nothing */
TCase *solver_by_hand(void);    /* small cases with an answer by hand */
TCase *solver_settles(void);    /* what is hard to find */

/* A site with its network and its solver, and room for a spread. */
struct solved {
    fc_site *site;
    struct fci_network *network;
    struct fci_solver *solver;
    struct fci_at_flow *elements;
};

/* Owns the site from now on; a NULL site fails the test. */
struct solved solved_site(fc_site *site, fc_state state);
struct solved solved_building(const struct building *b, fc_state state);
void solved_end(struct solved *s);

/* Runs and spreads, or the test fails and names the seed of the building. */
const struct fci_drawn *solved_run(struct solved *s, unsigned long seed,
                                   const struct fci_open *open, size_t n);
/* All that the valves and the steady draws take. */
double solved_total(const struct solved *s, size_t n);

size_t solved_fixture(const struct solved *s, const char *name);
size_t solved_element(const struct solved *s, const char *name);

/* Random numbers of a test, for a seed; never NULL. */
gsl_rng *solver_random(unsigned long seed);

_Noreturn void solver_fails(unsigned long seed, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* One of thousands of conditions: Check hears only of those that fail. */
#define HOLDS(seed, condition, ...)                                           \
    do {                                                                      \
        if (!(condition))                                                     \
            solver_fails((seed), __VA_ARGS__);                                \
    } while (0)

#endif
