/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/branching.h -- where floors that are short leave their riser, and
 * what could feed them instead. */
#ifndef FCI_REMEDY_BRANCHING_H
#define FCI_REMEDY_BRANCHING_H

#include "remedy/remedies.h"
#include "site/tree.h"

/* Where a floor leaves its riser, and what leaves it there. */
struct fci_branching {
    size_t at; /* element */
    double height;
    const struct fci_part **moved;
    size_t n_moved;
    size_t like;     /* pipe that a new one is like; FCI_NONE: there is none */
    size_t *targets; /* elements that could feed it */
    size_t n_targets;
};

struct fci_branchings {
    const struct fci_cures *c;
    struct fci_tree tree;
    double *height;  /* by element */
    double *lowest;  /* by element: of the fixtures' inlets behind it, */
    double *highest; /* in the arena, as `height` is */
    struct fci_branching *of; /* from the top down */
    size_t n;
};

/* Of all that check finds wanting, in the arena. */
fc_status fci_branchings_find(const struct fci_cures *cures,
                              struct fci_branchings *all);
/* The target of the same riser as one of the top place's; FCI_NONE: none is.
 * Where there are several, one behind another, as far down as that. */
size_t fci_branching_target(const struct fci_branchings *all,
                            const struct fci_branching *branching,
                            size_t of_top);

#endif
