/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/small_buildings.h -- invented buildings with a dozen flush
 * valves at most, so that every set of open valves can be tried.
 */
#ifndef TESTS_GENERATORS_SMALL_BUILDINGS_H
#define TESTS_GENERATORS_SMALL_BUILDINGS_H

#include "flow/solver.h"

#define SMALL_VALVES 12
#define SMALL_GROUPS 6

struct small_plan {
    bool ranges; /* some figures as ranges */
    bool busy;   /* volumes of flushes, and intervals so short that several
                    valves are on at a time */
};

/* A site file, the same for one seed; malloc'ed. */
char *small_text(unsigned long seed, const struct small_plan *plan);
/* The finished site of it. */
fc_site *small_site(unsigned long seed, const struct small_plan *plan);

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
