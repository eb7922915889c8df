/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/all_sets.h -- every set of so many valves, solved. */
#ifndef FCI_FLOW_ALL_SETS_H
#define FCI_FLOW_ALL_SETS_H

#include "flow/solver.h"

struct fci_all_sets; /* the memory of one thread */

struct fci_all_sets *fci_all_sets_new(const struct fci_network *network,
                                      struct fci_solver *solver);
void fci_all_sets_free(struct fci_all_sets *sets);

/* From now on for this fixture at this end; what is known of another is
 * forgotten, but at the nominal end, where one solution is for all of them. */
void fci_all_sets_take(struct fci_all_sets *sets, enum fci_end end,
                       size_t fixture);

/* The least that any set of n valves leaves the fixture, its own among them;
 * FC_EUNSUPPORTED where those are too many, or some did not settle. */
fc_status fci_all_sets_least(struct fci_all_sets *sets, size_t n,
                             double *pressure);

/* The set that did, the fixture's own first; `open` has room for every
 * fixture. */
void fci_all_sets_worst(struct fci_all_sets *sets, size_t n,
                        struct fci_open *open, size_t *n_open);

#endif
