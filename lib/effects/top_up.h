/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/top_up.h -- the least water that renews what lags in a tree. */
#ifndef FCI_EFFECTS_TOP_UP_H
#define FCI_EFFECTS_TOP_UP_H

#include "ground/memory.h"

/* A tree of pipes, and of valves at their ends.  All volumes in one unit. */
struct fci_top_up {
    size_t n_pipes;
    const size_t *order;  /* pipes, each after the one before it */
    const size_t *parent; /* of each pipe; SIZE_MAX: the source */
    const double *need;   /* that must pass each; 0: it does not lag */
    const double *holds;  /* what each contains, to choose the far end by */
    size_t n_valves;
    const size_t *on;    /* pipe that each valve is on */
    const double *flush; /* of each valve; 0: it cannot be flushed */

    /* What comes out. */
    double least;    /* all that needs to be drawn at the least, whatever it
                        is drawn by */
    size_t *flushes; /* of each valve */
    double water;    /* that those take */
    size_t left;     /* pipes in need with no valve downstream, */
    bool one_volume; /* all valves flush the same, so that no fewer flushes
                        of them do */
};

/* `flushes` is made in the arena; false: out of memory. */
bool fci_top_up_find(struct fci_top_up *t, struct fci_arena *arena);

#endif
