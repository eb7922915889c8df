/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/likeness.h -- which parts of a building are alike, by a number
 * for each that is the same for those alike. */
#ifndef FCI_DRAWING_LIKENESS_H
#define FCI_DRAWING_LIKENESS_H

#include "drawing/drawings.h"
#include "site/site.h"

#include <stdint.h>

/* Children, fixtures and draws of an element, those alike side by side. */
struct fci_listed {
    size_t *first; /* by element, and one more */
    size_t *items;
};

struct fci_likeness {
    uint64_t *subtree; /* by element: with all that it feeds */
    uint64_t *floor;   /* the same without what `onward` feeds */
    size_t *onward;    /* the next pipe of the same riser or main; FCI_NONE */
    uint64_t *fixture, *draw;
    struct fci_listed children, fixtures, draws;
};

bool fci_likeness_make(struct fci_likeness *alike, const fc_site *site,
                       const fc_check_result *result,
                       const struct fci_points *points,
                       struct fci_arena *arena);

#endif
