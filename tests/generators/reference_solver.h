/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/reference_solver.h -- a second solution of what flows while
 * valves flush, by another way than the library's.
 *
 * The flow of every element and of every valve and the pressure at every
 * outlet are unknowns of one system, found by GSL's hybridsj; which valve is
 * shut, which reducer holds and so on is settled outside of it, by trying.
 */
#ifndef TESTS_GENERATORS_REFERENCE_SOLVER_H
#define TESTS_GENERATORS_REFERENCE_SOLVER_H

#include "site/site.h"
#include "flow/solver.h"

struct reference; /* one site in one state */

struct reference *reference_new(const fc_site *site, fc_state state);
void reference_free(struct reference *reference);

struct reference_flows {
    double total;                 /* of all valves and draws [m3/s] */
    struct fci_at_flow *elements; /* of the site */
    struct fci_drawn *drawn;      /* in the order of `open` */
    bool *flows; /* whether the outlet of an element is one of the places
                    whose pressure the flows decide */
};

/* Whether it was found; verified by the residual and by every condition. */
bool reference_solve(struct reference *reference, const struct fci_open *open,
                     size_t n, struct reference_flows *flows);
void reference_flows_free(struct reference_flows *flows);

/* ---- A tree as a user of GSL would solve it --------------------------- */

/* For comparison of speed: the flows of the open valves are the only unknowns
 * of GSL's hybrids; the pressure at a valve follows from them by adding up the
 * flows towards the source and taking off the losses on the way back. */
struct reference_tree;

struct reference_tree *reference_tree_new(const fc_site *site, fc_state state);
void reference_tree_free(struct reference_tree *tree);
/* Whether it was found; drawn[i] belongs to open[i]. */
bool reference_tree_solve(struct reference_tree *tree,
                          const struct fci_open *open, size_t n,
                          struct fci_drawn *drawn);

#endif
