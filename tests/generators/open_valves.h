/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/open_valves.h -- flush valves that are open at once: at
 * random, or in a small building every set of them. */
#ifndef TESTS_GENERATORS_OPEN_VALVES_H
#define TESTS_GENERATORS_OPEN_VALVES_H

#include "flow/solver.h"

#include <gsl/gsl_rng.h>

#define SMALL_VALVES 12
#define SMALL_GROUPS 6

/* Some of the flush valves of a site, each of them with the chance `share`;
 * of groups some; malloc'ed. */
struct fci_open *some_open(const fc_site *site, fc_state state, double share,
                           gsl_rng *rng, size_t *n);

/* The chance that an existing valve is on: volume over rate over interval, as
 * a file gives them. */
double small_chance_on(const struct fci_fixture *fixture);

/* Flush valves of a network, and how many of each there are. */
struct small_groups {
    size_t n, fixture[SMALL_GROUPS];
    int count[SMALL_GROUPS], valves;
};

void small_groups_of(const struct fci_network *network,
                     struct small_groups *groups);

/* The next choice of how many of each group are open, beginning with none in
 * `open`; false after the last. */
bool small_next(const struct small_groups *groups, int open[SMALL_GROUPS]);

/* Solve it and set the pressures of those that are open.  Returns how many
 * valves are; -1 when it does not settle. */
int small_solve(struct fci_solver *solver, const struct small_groups *groups,
                const int open[SMALL_GROUPS], double pressures[SMALL_GROUPS]);

#endif
