/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/layout.c -- where the cells of a riser diagram stand; see
 * layout.h. */
#include "drawing/layout.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#define GAP 4.0      /* between two cells */
#define PASS 8.0     /* what a level line needs above and below it */
#define LOOK_BACK 24 /* so many columns back a tagged cell looks for room */

/* What is taken of a column: by a cell and those upright in line with it, or
 * by a line that passes. */
struct taken {
    double top, bottom;
    size_t feeder; /* what is fed from the same end may share its level */
    bool passes;
};

struct column {
    struct taken *taken;
    size_t n, room;
    double width;
    size_t sheet;
};

struct work {
    struct fci_cell *cells;
    size_t n;
    double widest;
    struct column *columns;
    size_t n_columns, columns_room;
    size_t *first, *children; /* of cells */
    size_t *onward;           /* the cell straight on; SIZE_MAX: none */
    double *weight;           /* cells in the subtree */
    size_t *stack;            /* heads of cells in line, to be placed */
    size_t n_stack;
};

/* ---- Columns ---------------------------------------------------------- */

static bool
meets(const struct taken *t, double top, double bottom)
{
    return t->top < bottom && top < t->bottom;
}

static bool
has_room(const struct column *column, const struct taken *cell)
{
    size_t i;

    for (i = 0; i < column->n; i++) {
        const struct taken *t = &column->taken[i];

        if (meets(t, cell->top - GAP, cell->bottom + GAP)
            && !(t->passes && t->feeder == cell->feeder))
            return false;
    }
    return true;
}

static bool
lets_pass(const struct column *column, double level, size_t feeder)
{
    size_t i;

    for (i = 0; i < column->n; i++)
        if (meets(&column->taken[i], level - PASS, level + PASS)
            && column->taken[i].feeder != feeder)
            return false;
    return true;
}

static bool
take(struct column *column, struct taken what)
{
    struct taken *taken =
        fci_grow(column->taken, column->n, &column->room, sizeof *taken);

    if (!taken)
        return false;
    column->taken = taken;
    column->taken[column->n++] = what;
    return true;
}

static double
sheet_width(const struct work *w, size_t sheet)
{
    double width = 0;
    size_t i;

    for (i = w->n_columns; i-- > 0 && w->columns[i].sheet >= sheet;)
        if (w->columns[i].sheet == sheet)
            width += w->columns[i].width;
    return width;
}

/* Whether a column may be so wide, on the sheet it is on. */
static bool
may_widen(const struct work *w, size_t column, double width)
{
    const struct column *c = &w->columns[column];

    return width <= c->width
           || sheet_width(w, c->sheet) - c->width + width <= w->widest;
}

/* Whether a column more is one of the last sheet. */
static bool
has_width(const struct work *w, double width)
{
    return w->n_columns == 0
           || sheet_width(w, w->columns[w->n_columns - 1].sheet) + width
                  <= w->widest;
}

static bool
add_column(struct work *w, double width)
{
    const bool begins = !has_width(w, width);
    struct column *columns =
        fci_grow(w->columns, w->n_columns, &w->columns_room, sizeof *columns);
    size_t sheet;

    if (!columns)
        return false;
    w->columns = columns;
    sheet = w->n_columns > 0 ? columns[w->n_columns - 1].sheet : 0;
    sheet += begins ? 1 : 0;
    columns[w->n_columns++] = (struct column){ .sheet = sheet };
    return true;
}

/* ---- One line of cells ------------------------------------------------ */

static struct taken
extent(const struct work *w, size_t head, double *width)
{
    const struct fci_cell *cells = w->cells;
    struct taken t = { cells[head].top, cells[head].bottom, cells[head].parent,
                       false };
    size_t at;

    *width = 0;
    for (at = head; at != SIZE_MAX; at = w->onward[at]) {
        t.top = fmin(t.top, cells[at].top);
        t.bottom = fmax(t.bottom, cells[at].bottom);
        *width = fmax(*width, cells[at].width);
    }
    return t;
}

/* The width of the widest cell that one line of cells feeds; 0: it feeds less
 * than two. */
static double
fed_width(const struct work *w, size_t head)
{
    double width = 0;
    size_t at, i, n = 0;

    for (at = head; at != SIZE_MAX; at = w->onward[at])
        for (i = w->first[at]; i < w->first[at + 1]; i++)
            if (w->children[i] != w->onward[at]) {
                width = fmax(width, w->cells[w->children[i]].width);
                n++;
            }
    return n < 2 ? 0 : width;
}

/* The column that a line can be led to; SIZE_MAX: none.  One may be added, if
 * what stands there has room beside it for what it feeds. */
static size_t
led_to(struct work *w, const struct fci_cell *cell, const struct taken *t,
       double width, double fed)
{
    const struct fci_cell *parent = &w->cells[cell->parent];
    size_t c;

    for (c = parent->column + 1;; c++) {
        if (c == w->n_columns
            && (!has_width(w, width + fed) || !add_column(w, width)))
            return SIZE_MAX;
        if (w->columns[c].sheet != parent->sheet)
            return SIZE_MAX;
        if (has_room(&w->columns[c], t) && may_widen(w, c, width))
            return c;
        if (!lets_pass(&w->columns[c], cell->level, cell->parent))
            return SIZE_MAX;
    }
}

/* From the first column of the parent's sheet on, but for those far back. */
static size_t
room_for(struct work *w, const struct fci_cell *cell, const struct taken *t,
         double width)
{
    const size_t parent =
        cell->parent == SIZE_MAX ? 0 : w->cells[cell->parent].column;
    size_t c = parent;

    while (c > 0 && w->columns[c - 1].sheet == w->columns[parent].sheet)
        c--;
    if (w->n_columns > LOOK_BACK && c < w->n_columns - LOOK_BACK)
        c = w->n_columns - LOOK_BACK;
    for (;; c++) {
        if (c == w->n_columns && !add_column(w, width))
            return SIZE_MAX;
        if (has_room(&w->columns[c], t) && may_widen(w, c, width))
            return c;
    }
}

static void
tag(struct work *w, size_t head, struct taken *t, double *width)
{
    struct fci_cell *cell = &w->cells[head];

    cell->tagged = true;
    cell->width = fmax(cell->width, cell->tag_width);
    *width = fmax(*width, cell->width);
    if (cell->tag > 0)
        cell->top = fmin(cell->top, cell->level - cell->tag);
    else
        cell->bottom = fmax(cell->bottom, cell->level - cell->tag);
    t->top = fmin(t->top, cell->top);
    t->bottom = fmax(t->bottom, cell->bottom);
    t->feeder = SIZE_MAX;
}

/* Out of memory: false. */
static bool
place(struct work *w, size_t head)
{
    struct fci_cell *cell = &w->cells[head];
    double width;
    struct taken t = extent(w, head, &width);
    size_t c = SIZE_MAX, at, from;

    if (cell->parent != SIZE_MAX)
        c = led_to(w, cell, &t, width, fed_width(w, head));
    if (c == SIZE_MAX && cell->parent != SIZE_MAX)
        tag(w, head, &t, &width);
    from = cell->parent == SIZE_MAX ? 0 : w->cells[cell->parent].column + 1;
    if (c == SIZE_MAX)
        c = room_for(w, cell, &t, width);
    if (cell->blocks)
        t.feeder = SIZE_MAX;
    if (c == SIZE_MAX || !take(&w->columns[c], t))
        return false;
    w->columns[c].width = fmax(w->columns[c].width, width);
    for (at = head; at != SIZE_MAX; at = w->onward[at]) {
        w->cells[at].column = c;
        w->cells[at].sheet = w->columns[c].sheet;
    }
    t = (struct taken){ cell->level - PASS, cell->level + PASS, cell->parent,
                        true };
    for (; cell->parent != SIZE_MAX && !cell->tagged && from < c; from++)
        if (!take(&w->columns[from], t))
            return false;
    return true;
}

/* ---- The order -------------------------------------------------------- */

/* Of what one line of cells feeds: the lowest first, as texts hang down, so
 * that a line above them is free; at one level the smallest first. */
struct turn {
    size_t cell;
    double level, weight;
};

static int
by_turn(const void *a, const void *b)
{
    const struct turn *x = a, *y = b;

    if (x->level != y->level)
        return x->level > y->level ? -1 : 1;
    if (x->weight != y->weight)
        return x->weight < y->weight ? -1 : 1;
    return (x->cell > y->cell) - (x->cell < y->cell);
}

static void
push_fed(struct work *w, size_t head, struct turn *turns)
{
    size_t at, i, n = 0;

    for (at = head; at != SIZE_MAX; at = w->onward[at])
        for (i = w->first[at]; i < w->first[at + 1]; i++) {
            const size_t child = w->children[i];

            if (child != w->onward[at])
                turns[n++] = (struct turn){ child, w->cells[child].level,
                                            w->weight[child] };
        }
    qsort(turns, n, sizeof *turns, by_turn);
    while (n-- > 0)
        w->stack[w->n_stack++] = turns[n].cell;
}

static void
link_cells(struct work *w)
{
    struct fci_cell *cells = w->cells;
    size_t i;

    for (i = 0; i < w->n; i++) {
        w->onward[i] = SIZE_MAX;
        if (cells[i].parent != SIZE_MAX)
            w->first[cells[i].parent + 2]++;
    }
    for (i = 0; i < w->n; i++)
        w->first[i + 2] += w->first[i + 1];
    for (i = 0; i < w->n; i++) {
        if (cells[i].parent == SIZE_MAX)
            continue;
        w->children[w->first[cells[i].parent + 1]++] = i;
        if (cells[i].straight)
            w->onward[cells[i].parent] = i;
    }
    for (i = w->n; i-- > 0;) {
        w->weight[i]++;
        if (cells[i].parent != SIZE_MAX)
            w->weight[cells[i].parent] += w->weight[i];
    }
}

static bool
place_all(struct work *w, struct turn *turns)
{
    size_t i, head;

    for (i = w->n; i-- > 0;)
        if (w->cells[i].parent == SIZE_MAX)
            w->stack[w->n_stack++] = i;
    while (w->n_stack > 0) {
        head = w->stack[--w->n_stack];
        if (!place(w, head))
            return false;
        push_fed(w, head, turns);
    }
    return true;
}

/* ---- Sheets ----------------------------------------------------------- */

static bool
measure_sheets(struct fci_layout *layout, const struct work *w,
               struct fci_arena *arena)
{
    double *lefts = fci_arena_array(arena, w->n_columns + 1, sizeof *lefts);
    size_t i;

    layout->n_columns = w->n_columns;
    layout->n_sheets =
        w->n_columns > 0 ? w->columns[w->n_columns - 1].sheet + 1 : 0;
    layout->widths =
        fci_arena_array(arena, layout->n_sheets + 1, sizeof *layout->widths);
    if (arena->failed)
        return false;
    for (i = 0; i < w->n_columns; i++) {
        double *width = &layout->widths[w->columns[i].sheet];

        lefts[i] = *width;
        *width += w->columns[i].width;
    }
    for (i = 0; i < w->n; i++)
        w->cells[i].left = lefts[w->cells[i].column];
    return true;
}

bool
fci_layout_make(struct fci_layout *layout, struct fci_cell *cells, size_t n,
                double widest, struct fci_arena *arena)
{
    struct work w = { .cells = cells, .n = n, .widest = widest };
    struct turn *turns = fci_arena_array(arena, n + 1, sizeof *turns);
    bool done;
    size_t i;

    *layout = (struct fci_layout){ 0 };
    w.first = fci_arena_array(arena, n + 2, sizeof *w.first);
    w.children = fci_arena_array(arena, n + 1, sizeof *w.children);
    w.onward = fci_arena_array(arena, n + 1, sizeof *w.onward);
    w.weight = fci_arena_array(arena, n + 1, sizeof *w.weight);
    w.stack = fci_arena_array(arena, n + 1, sizeof *w.stack);
    if (arena->failed)
        return false;
    link_cells(&w);
    done = place_all(&w, turns) && measure_sheets(layout, &w, arena);
    for (i = 0; i < w.n_columns; i++)
        free(w.columns[i].taken);
    free(w.columns);
    return done;
}
