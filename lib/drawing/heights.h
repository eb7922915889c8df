/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/heights.h -- heights in a drawing: to one scale,
 * but for stretches where nothing stands, which are cut short. */
#ifndef FCI_DRAWING_HEIGHTS_H
#define FCI_DRAWING_HEIGHTS_H

#include "ground/memory.h"

#include <stdbool.h>
#include <stddef.h>

struct fci_heights {
    double *height, *px; /* ascending; px from the lowest */
    bool *broken;        /* what lies above it is cut short */
    size_t n;
    double scale; /* px/m */
    bool any_broken;
};

/* Of n heights [m] in any order, which are sorted in place.  A stretch longer
 * than `longest` [m] is cut to `cut` px. */
bool fci_heights_make(struct fci_heights *made, double *heights, size_t n,
                      double scale, double longest, double cut,
                      struct fci_arena *arena);
/* Of one of those heights. */
double fci_heights_at(const struct fci_heights *heights, double height);

#endif
