/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/sheets.h -- the sheets of a riser diagram: what the layout set
 * side by side, cut across where it is too high for a page. */
#ifndef FCI_DRAWING_SHEETS_H
#define FCI_DRAWING_SHEETS_H

#include "drawing/cells.h"

struct fci_sheet {
    size_t of;          /* sheet of the layout */
    double top, bottom; /* of what it shows, px of the cells */
    bool goes_on;       /* the next one shows what lies below */
};

struct fci_sheets {
    struct fci_sheet *list;
    size_t n;
};

/* Cut where only upright lines are, at most `tallest` apart where that can be.
 * False: out of memory. */
bool fci_sheets_make(struct fci_sheets *sheets, struct fci_diagram *diagram,
                     double tallest);
/* The one that shows a height of a cell's sheet. */
size_t fci_sheets_at(const struct fci_sheets *sheets,
                     const struct fci_cell *cell, double y);

#endif
