/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/solver.h -- flows and pressures while some valves flush. */
#ifndef FCI_FLOW_SOLVER_H
#define FCI_FLOW_SOLVER_H

#include "flow/network.h"

/* `count` valves of a fixture flush, 1 <= count <= the fixture's. */
struct fci_open {
    size_t fixture;
    int count;
};

/* What one valve of an open fixture has. */
struct fci_drawn {
    size_t fixture;
    int count;
    double flow;     /* of one valve [m3/s] */
    double pressure; /* at its inlet, behind its stop [Pa] */
};

struct fci_solver; /* the memory of one thread */

struct fci_solver *fci_solver_new(const struct fci_network *network);
void fci_solver_free(struct fci_solver *solver);

/* At which end of the inputs' ranges to solve from now on.  FCI_NOMINAL: all
 * nominal, `fixture` does not matter.  FCI_WORST, FCI_BEST: the end that is
 * worst or best for `fixture`.  What leads to it is taken at that end and all
 * else at the other, since a neighbour whose pipes are wide starves it more.
 * On a tree this bounds its pressure exactly; a meshed network has only its
 * nominal values. */
void fci_solver_take(struct fci_solver *solver, enum fci_end end,
                     size_t fixture);

/* The same for the flow of the fixture alone, not its pressure: FCI_BEST where
 * it draws most, by the highest rate that it may have; FCI_WORST least. */
void fci_solver_take_flow(struct fci_solver *solver, enum fci_end end,
                          size_t fixture);

/* Every input at its own worst or best end at once, whomever it serves: one
 * building that might be, not a bound for each fixture. */
void fci_solver_take_whole(struct fci_solver *solver, enum fci_end end);

/* Begin the next run from the valves' flows alone, not from those of earlier
 * runs.  What is found is the same up to the tolerance. */
void fci_solver_forget(struct fci_solver *solver);

/* Solve with these open; each fixture at most once, in any order.
 *
 * FC_OK; FC_ENOCONV: it did not settle, and fci_solver_culprit() tells where;
 * FC_ENOMEM (loops only). */
fc_status fci_solver_run(struct fci_solver *solver,
                         const struct fci_open *open, size_t n);
/* What the open valves have, in the order of `open`. */
const struct fci_drawn *fci_solver_drawn(const struct fci_solver *solver);
/* The name of the element where the last run did not settle. */
const char *fci_solver_culprit(const struct fci_solver *solver);

/* How fast the pressure that a link takes grows with its flow, after a run
 * [Pa s/m3]; 0 where it does not flow. */
double fci_solver_slope(const struct fci_solver *solver, size_t link);

/* The same as a failure at the line of that element, with the state and how
 * many valves were open; another status as it is. */
fc_status fci_solver_fail(const struct fci_solver *solver, fc_status status,
                          fc_diagnostics *messages);

/* What was solved holds to this [Pa]: pressures nearer to each other are the
 * same, far below what a gauge tells. */
#define FCI_SOLVED_TO 0.1

/* An element after a run. */
struct fci_at_flow {
    double flow;     /* through it; negative: against its direction */
    double pressure; /* at its outlet [Pa] */
};

/* Every element after a run, marched afresh from the sources by the laws of
 * the single elements: an audit of what was solved.  FC_ENOCONV where a law
 * does not hold to 0.1 Pa or a flow does not balance. */
fc_status fci_solver_spread(struct fci_solver *solver,
                            struct fci_at_flow *elements);
/* At the inlet of a fixture that does not flush, after a run, in time that
 * grows with the elements on the way to it alone. */
double fci_solver_at_rest(struct fci_solver *solver, size_t fixture);
/* The same at the outlet of an element. */
double fci_solver_at(struct fci_solver *solver, size_t element);
/* The same of all elements on the way to one, itself the last; `pressures` has
 * room for every element of the site, and keeps what it has of the others. */
void fci_solver_way(struct fci_solver *solver, size_t element,
                    double *pressures);

#endif
