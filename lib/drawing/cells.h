/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/cells.h -- the cells of a riser diagram: what each tells, and
 * how it stands. */
#ifndef FCI_DRAWING_CELLS_H
#define FCI_DRAWING_CELLS_H

#include "drawing/fold.h"
#include "drawing/heights.h"
#include "drawing/layout.h"
#include "drawing/symbols.h"

/* From the left of a cell to its line, from there to its own texts and to the
 * texts of its outlets [px]. */
#define FCI_CELL_LINE 12.0
#define FCI_CELL_TEXT 6.0
#define FCI_CELL_OUTLET 28.0
#define FCI_CELL_WIDEST 190.0 /* of a text */

/* One line of text. */
struct fci_told {
    const char *text;
    const struct fci_outlet *outlet; /* this line begins it; else NULL */
    bool aside; /* a symbol stands before it, or before others of its outlet */
    enum fci_mark mark;
    double top; /* below the first line's [px] */
};

enum fci_stance {
    FCI_LEVEL, /* its line runs level; texts hang below it */
    FCI_UP,    /* its line runs up, or down, past its texts */
    FCI_DOWN,
    FCI_HUNG /* outlets alone, on the end of another cell */
};

struct fci_drawn_cell {
    size_t drawn; /* of the fold; whose outlets, of a FCI_HUNG one */
    enum fci_stance stance;
    double level, out, end; /* px: where it begins, where it ends, where the
                               last of its floors does */
    const struct fci_told *told;
    size_t n_told;
    double told_height;
    const char *note; /* of its floors, where they are cut short; NULL: none */
    double text_top;
};

struct fci_diagram {
    const fc_site *site;
    const fc_check_result *result;
    const struct fci_points *points;
    fc_unit_system units;
    struct fci_fold fold;
    const fc_checked_pipe **pipes; /* by element; NULL: none, or unchecked */
    double *height;                /* by element [m] */
    size_t *joined; /* by element: a pipe of a loop that ends there, and */
    size_t *joins;  /* the next one that does; FCI_NONE */
    struct fci_heights heights;
    struct fci_drawn_cell *shown; /* beside `cells` */
    struct fci_cell *cells;
    size_t n_cells;
    struct fci_layout layout;
    struct fci_arena arena;
};

/* All of it, laid out on sheets at most `widest` px wide.  False: out of
 * memory.  To be freed in any case. */
bool fci_diagram_make(struct fci_diagram *diagram, const fc_site *site,
                      const fc_check_result *result,
                      const struct fci_points *points, double widest);
void fci_diagram_free(struct fci_diagram *diagram);

/* ---- What is told (drawing/told.c) ------------------------------------ */

/* Lines of a drawn element, of its floors too where cell->note does not tell
 * them, and after them those of its outlets. */
bool fci_tell(struct fci_diagram *diagram, const struct fci_drawn *drawn,
              bool own, bool outlets, struct fci_drawn_cell *cell);
/* Of a run of floors. */
const char *fci_tell_floors(struct fci_diagram *diagram,
                            const struct fci_drawn *drawn);

#endif
