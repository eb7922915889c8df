/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/ladder.h -- how many valves may be open before one is short. */
#ifndef FCI_FLOW_LADDER_H
#define FCI_FLOW_LADDER_H

#include "flow/solver.h"

/* Where all may be open the climb stops after so many. */
#define FCI_RUNGS_SHOWN 8

/* One climb.  The arrays are borrowed and last until the next climb. */
struct fci_rungs {
    int most;                /* valves at once, the fixture's own among them */
    bool all;                /* that is every valve */
    const double *pressures; /* with 1, 2, ... n open [Pa] */
    size_t n_pressures;
    const struct fci_open *set; /* the most + 1 that starve it; none of all */
    size_t n_set;
};

struct fci_ladder; /* the memory of one thread */

struct fci_ladder *fci_ladder_new(const struct fci_network *network,
                                  struct fci_solver *solver);
void fci_ladder_free(struct fci_ladder *ladder);

/* Open the valves that hurt `fixture` most, one more at a time, until it has
 * less than `least` [Pa] at its inlet.  `surely`: so many at once leave it
 * that whichever they are, so that no set of so many is looked for; 0: that
 * is not known.  FC_ENOCONV as the solver. */
fc_status fci_ladder_climb(struct fci_ladder *ladder, size_t fixture,
                           enum fci_end end, double least, int surely,
                           struct fci_rungs *rungs);

#endif
