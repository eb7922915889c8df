/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/bench/sparse_newton.h -- an event as a general sparse Newton solves
 * it.
 *
 * For comparison of speed.  Flows of links and valves and pressures of places
 * are the unknowns; each step the flows are eliminated, and what is left for
 * the pressures, one equation a place, is factorised by KLU (T. A. Davis and
 * E. Palamadai Natarajan, ACM Transactions on Mathematical Software 37, 2010,
 * algorithm 907).  Its pattern is analysed once.  Of the network's being a
 * tree it makes no more than that flows are added up after a step, which
 * spares it three steps of four. */
#ifndef TESTS_BENCH_SPARSE_NEWTON_H
#define TESTS_BENCH_SPARSE_NEWTON_H

#include "flow/solver.h"

struct sparse_newton;

/* Whether it was built: with KLU. */
bool sparse_newton_built(void);

/* For events with these fixtures on a network without loops, pumps and
 * reducers; NULL: built without KLU, or it has such, or out of memory. */
struct sparse_newton *sparse_newton_new(const struct fci_network *network,
                                        const struct fci_open *open, size_t n);
void sparse_newton_free(struct sparse_newton *newton);

/* Solve from the valves' flows alone; drawn[i] belongs to open[i].  Whether
 * every law holds to 0.01 Pa. */
bool sparse_newton_solve(struct sparse_newton *newton,
                         struct fci_drawn *drawn);
/* The factorisations of the last solution. */
int sparse_newton_steps(const struct sparse_newton *newton);

#endif
