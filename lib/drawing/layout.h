/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/layout.h -- where the cells of a riser diagram stand.
 *
 * A cell is the line of one element with its texts.  Its heights are given;
 * the layout finds its column.  A cell stands upright in its parent's column,
 * or it is led to from its parent's line by a level line, to the right.  No
 * two cells of a column meet, and no level line crosses a cell, so that
 * nothing lies over anything else.  A cell that no line can be led to, or that
 * would lie on another sheet, stands where there is room and is tagged: it
 * says itself what feeds it.
 */
#ifndef FCI_DRAWING_LAYOUT_H
#define FCI_DRAWING_LAYOUT_H

#include "ground/memory.h"

#include <stdbool.h>
#include <stddef.h>

struct fci_cell {
    size_t parent;      /* a cell before it; SIZE_MAX: nothing feeds it */
    bool straight;      /* goes on in its parent's column; at most one does */
    bool blocks;        /* a symbol stands on its level: no line passes it */
    double level;       /* of the line that leads to it, where its parent ends
                           [px, downward] */
    double top, bottom; /* of all that it takes of its column */
    double tag;         /* what a tag takes above its level; below, where the
                           line goes up: then negative */
    double width, tag_width; /* the latter where it is tagged */

    /* Set by the layout. */
    bool tagged;
    size_t column, sheet;
    double left; /* in its sheet */
};

struct fci_layout {
    size_t n_columns, n_sheets;
    double *widths; /* of the sheets */
};

/* Sheets are at most `widest` wide, unless one column is.  Linear in the cells
 * but for the search of a column.  False: out of memory. */
bool fci_layout_make(struct fci_layout *layout, struct fci_cell *cells,
                     size_t n, double widest, struct fci_arena *arena);

#endif
