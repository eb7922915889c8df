/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_draw.h -- states of the busy period, drawn and solved. */
#ifndef FCI_FLOW_BUSY_DRAW_H
#define FCI_FLOW_BUSY_DRAW_H

#include "flow/busy_plan.h"
#include "flow/busy_tally.h"
#include "flow/solver.h"

/* What is asked of the states of a plan; threads share it. */
struct fci_busy_asked {
    const struct fci_busy_plan *plan;
    unsigned long seed;
    size_t *fixtures; /* whose chance is */
    size_t n;
    bool verdicts;      /* no more than whether it is over FC_MOST_WEAK */
    bool pressures;     /* what their flushes have, too */
    const int *at_once; /* of each fixture of the building: so many valves at
                           once surely leave it its minimum */
    size_t first; /* stratum: in none before it a fixture of the building is
                     weak */
    struct fci_busy_told *told; /* [n][n_strata] */
};

/* Which blocks of a stratum tell of a fixture. */
struct fci_busy_told {
    size_t from, to; /* those of this round: to - from of them */
    int one_in;      /* so many of its flushes that a state leaves open, one
                        is solved, which then stands for all of them */
    uint64_t weight; /* of a flush among the fixture's pressures */
};

/* Some states of one stratum, drawn one after the other.  Their numbers depend
 * on the seed, the stratum and `number` alone. */
struct fci_busy_block {
    size_t stratum, number;
};
#define FCI_BUSY_BLOCK 16

struct fci_busy_drawer; /* the memory of one thread */

struct fci_busy_drawer *
fci_busy_drawer_new(const struct fci_busy_asked *asked);
void fci_busy_drawer_free(struct fci_busy_drawer *drawer);
/* Draw and solve one block and count what it tells of those that it is to tell
 * of.  FC_OK, FC_ENOCONV. */
fc_status fci_busy_draw(struct fci_busy_drawer *drawer,
                        const struct fci_busy_block *block);
/* How many states were solved. */
size_t fci_busy_solved(const struct fci_busy_drawer *drawer);
/* [n][n_strata], and [n] where pressures are asked for. */
struct fci_tally *fci_busy_tallies(struct fci_busy_drawer *drawer);
struct fci_pressures *fci_busy_pressures(struct fci_busy_drawer *drawer);
const struct fci_solver *fci_busy_solver(const struct fci_busy_drawer *drawer);

/* Whether the states tell of a class by its valves that are off, to which one
 * is added, or by those that are on. */
bool fci_busy_adds(const struct fci_busy_plan *plan, size_t class);

#endif
