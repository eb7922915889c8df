/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/cold_dip_work.h -- cold pressure of others at work, for its own
 * files. */
#ifndef FCI_EFFECTS_COLD_DIP_WORK_H
#define FCI_EFFECTS_COLD_DIP_WORK_H

#include "effects/cold_dip.h"
#include "flow/ladder.h"

struct fci_dipping {
    struct fci_arena scratch, *arena;
    const fc_site *site;
    fc_state state;
    const struct fci_telling *telling;
    struct fci_network *network;
    struct fci_solver *solver;
    struct fci_ladder *ladder;
    struct fci_open *open; /* room for a set */
    size_t n_valves;       /* flush valves of the building */
    size_t most;           /* of them that may be open at once */
    double main_drop;      /* what a main that nobody tested may drop [Pa] */
    double *height;        /* of each element's outlet [m] */
};

/* One fixture at work. */
struct fci_dipped {
    size_t fixture, heater;                    /* element or FCI_NONE */
    double rest[FCI_ENDS], hot_rest[FCI_ENDS]; /* hot at its height */
    double left[FCI_ENDS], hot[FCI_ENDS];
    double all; /* what all valves leave, where it is not proved which of fewer
                   leave least; else INFINITY */
};

/* With n of `open` open, which has room for one more, at an end: what is left
 * at the fixture, and hot at its height (effects/cold_dip.c). */
fc_status fci_dip_solve(struct fci_dipping *d, const struct fci_dipped *x,
                        enum fci_end end, size_t n, double *left, double *hot);
static inline bool
fci_dip_runs(const struct fci_dipping *d, size_t fixture)
{
    return d->site->fixtures[fixture].kind->emergency;
}

/* What k valves leave at an end, those that leave least
 * (effects/cold_dip_sets.c). */
fc_status fci_dip_end(struct fci_dipping *d, struct fci_dipped *x, size_t k,
                      enum fci_end end, fc_dip *dip);

#endif
