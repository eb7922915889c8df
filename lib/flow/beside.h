/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/beside.h -- what one valve more would have beside those that are
 * open, of every fixture, from one solution of the open ones.
 */
#ifndef FCI_FLOW_BESIDE_H
#define FCI_FLOW_BESIDE_H

#include "flow/solver.h"

struct fci_beside; /* the memory of one thread */

/* Of a tree, solved with all inputs at one end (fci_solver_take_whole()). */
struct fci_beside *fci_beside_new(const struct fci_network *network,
                                  enum fci_end end);
void fci_beside_free(struct fci_beside *beside);

/* Take over what was solved last.  What is told afterwards does not change
 * with later runs. */
void fci_beside_take(struct fci_beside *beside,
                     const struct fci_solver *solver);

/* The pressure at a fixture's valve if one more of its valves were open [Pa],
 * and how far that may be off; INFINITY where nothing is told of it.  About
 * the square of the added flow is counted, not more [Pa]. */
double fci_beside_pressure(const struct fci_beside *beside, size_t fixture,
                           double *off);

/* Whether that is below `least`, likewise: by how much the pressure at its
 * link's end exceeds what the valve needs for it there; `off` as above. */
double fci_beside_spare(const struct fci_beside *beside, size_t fixture,
                        double least, double *off);

#endif
