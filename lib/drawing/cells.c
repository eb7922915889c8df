/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/cells.c -- the cells of a riser diagram; see cells.h. */
#include "drawing/cells.h"

#include <math.h>
#include <stdlib.h>

#define USUAL_FLOOR 3.4 /* m, where no pipe runs up: 11 ft */
#define LEAST_SCALE 14.0
#define MOST_SCALE 76.0  /* px/m */
#define LEAST_FLOOR 72.0 /* px: a riser's own texts stand between floors */
#define CUT 72.0         /* px that are left of a stretch that is cut short */
#define CLEAR 8.0        /* from a text to a line that leaves */
#define TAG 20.0

static int
by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

/* The one that `part` of them are no more than. */
static double
share_of(double *figures, size_t n, double part, double none)
{
    if (n == 0)
        return none;
    qsort(figures, n, sizeof *figures, by_size);
    return figures[(size_t)(part * (double)(n - 1))];
}

/* ---- Heights ---------------------------------------------------------- */

static double
height_in(const struct fci_diagram *d, const struct fci_drawn *drawn)
{
    const struct fci_drawn *parent;

    if (drawn->parent == SIZE_MAX)
        return d->height[drawn->element];
    parent = &d->fold.drawn[drawn->parent];
    return d->height[drawn->onward ? parent->last : parent->element];
}

/* From floor to floor, as most upright pipes run. */
static double
floor_height(const struct fci_diagram *d, double *room)
{
    const fc_site *site = d->site;
    size_t i, n = 0;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_element *element = &site->elements[i];
        const double rise = fabs(element->rise.nominal);

        if (element->pipe && rise > 1
            && rise > 0.5 * element->pipe->length.nominal)
            room[n++] = rise;
    }
    return share_of(room, n, 0.5, USUAL_FLOOR);
}

static bool
has_children(const struct fci_diagram *d, size_t drawn)
{
    return d->cells[drawn].width > 0; /* noted there until it is measured */
}

/* What most of the cells with outlets take. */
static double
cell_height(struct fci_diagram *d, double *room)
{
    struct fci_drawn_cell trial = { 0 };
    size_t i, n = 0;

    for (i = 0; i < d->fold.n_drawn; i++) {
        const struct fci_drawn *drawn = &d->fold.drawn[i];

        if (drawn->n_outlets > 0
            && fci_tell(d, drawn, !has_children(d, i), true, &trial))
            room[n++] = trial.told_height + 3 * CLEAR;
    }
    return share_of(room, n, 0.95, LEAST_FLOOR);
}

static bool
make_heights(struct fci_diagram *d)
{
    const size_t n = d->fold.n_drawn;
    double *room =
        fci_arena_array(&d->arena, 3 * d->site->n_elements + 1, sizeof *room);
    double *all = fci_arena_array(&d->arena, 3 * n + 1, sizeof *all);
    double floor, scale;
    size_t i, k = 0;

    if (d->arena.failed)
        return false;
    floor = floor_height(d, room);
    scale = fmax(cell_height(d, room), LEAST_FLOOR) / floor;
    scale = fmin(fmax(scale, LEAST_SCALE), MOST_SCALE);
    for (i = 0; i < n; i++) {
        all[k++] = height_in(d, &d->fold.drawn[i]);
        all[k++] = d->height[d->fold.drawn[i].element];
        all[k++] = d->height[d->fold.drawn[i].last];
    }
    return fci_heights_make(&d->heights, all, k, scale, 1.6 * floor, CUT,
                            &d->arena);
}

/* ---- How a cell stands ------------------------------------------------ */

/* Down the sheet. */
static double
px(const struct fci_diagram *d, double height)
{
    return d->heights.px[d->heights.n - 1]
           - fci_heights_at(&d->heights, height);
}

static double
width_of(const struct fci_drawn_cell *shown)
{
    double width = 0;
    size_t i;

    for (i = 0; i < shown->n_told; i++) {
        const struct fci_told *told = &shown->told[i];

        width =
            fmax(width, fmin(fci_svg_width(told->text), FCI_CELL_WIDEST)
                            + (told->aside ? FCI_CELL_OUTLET : FCI_CELL_TEXT));
    }
    if (shown->note)
        width = fmax(width, fmin(fci_svg_width(shown->note), FCI_CELL_WIDEST)
                                + FCI_CELL_TEXT);
    return fmax(FCI_CELL_LINE + width + 12, 64);
}

static enum fci_stance
stance_of(const struct fci_drawn_cell *shown, bool upright, bool leaf,
          double texts)
{
    const double up = shown->level - shown->out;

    if (!upright)
        return FCI_LEVEL;
    if (up >= texts + 2 * CLEAR)
        return FCI_UP;
    if (-up >= texts + 2 * CLEAR || (leaf && -up >= 2 * CLEAR))
        return FCI_DOWN;
    return FCI_LEVEL;
}

static void
set_extent(struct fci_drawn_cell *shown, struct fci_cell *cell, bool leaf,
           bool symbol)
{
    const double texts = shown->told_height;
    const double top = fmin(fmin(shown->level, shown->out), shown->end);
    const double bottom = fmax(fmax(shown->level, shown->out), shown->end);

    cell->level = shown->level;
    cell->tag = shown->stance == FCI_UP ? -TAG : symbol ? TAG + 9 : TAG;
    cell->top = top - CLEAR - (symbol ? 4 : 0);
    cell->bottom = bottom + CLEAR;
    cell->blocks = symbol;
    if (shown->stance == FCI_UP || (shown->stance == FCI_DOWN && !leaf))
        shown->text_top = (shown->level + shown->out - texts) / 2;
    else if (shown->stance == FCI_LEVEL)
        shown->text_top =
            fmax(shown->level, shown->out) + (symbol ? 14 : CLEAR - 1);
    else
        /* outlets hang where it ends */
        shown->text_top = fmax(shown->level + CLEAR - 1, shown->out - texts);
    cell->bottom = fmax(cell->bottom, shown->text_top + texts + 4);
    cell->width = width_of(shown);
}

/* Of whichever sheet it is on. */
static double
tag_width(const struct fci_diagram *d, size_t drawn)
{
    const struct fci_element *element =
        &d->site->elements[d->fold.drawn[drawn].element];
    const double width =
        fci_svg_width(fci_said("sheet 999: %s", element->name).text);

    return FCI_CELL_LINE + FCI_CELL_TEXT + fmin(width, FCI_CELL_WIDEST) + 12;
}

/* Outlets hang on their pipe where nothing else leaves it there. */
static bool
has_hung(const struct fci_diagram *d, size_t i, bool leaf)
{
    const struct fci_drawn *drawn = &d->fold.drawn[i];
    const enum fci_stance stance = d->shown[i].stance;

    return drawn->n_outlets > 0
           && (stance == FCI_UP || (stance == FCI_DOWN && !leaf)
               || (stance == FCI_LEVEL
                   && d->shown[i].out < d->shown[i].level - 1)
               || fci_symbol_word(&d->site->elements[drawn->element]));
}

static bool
hang_outlets(struct fci_diagram *d, size_t drawn, size_t parent)
{
    struct fci_drawn_cell *shown = &d->shown[d->n_cells];
    struct fci_cell *cell = &d->cells[d->n_cells];

    d->n_cells++;
    *shown = (struct fci_drawn_cell){ .drawn = drawn, .stance = FCI_HUNG };
    shown->level = shown->out = shown->end = d->shown[parent].out;
    if (!fci_tell(d, &d->fold.drawn[drawn], false, true, shown))
        return false;
    *cell = (struct fci_cell){ .parent = parent,
                               .tag_width = tag_width(d, drawn) };
    set_extent(shown, cell, true, false);
    return true;
}

/* Whether a cell may stand in line with its parent: what goes on behind floors
 * that are cut short, or anything where there are none. */
static bool
may_go_on(const struct fci_diagram *d, const struct fci_drawn *drawn,
          enum fci_stance stance)
{
    return drawn->parent != SIZE_MAX
           && (stance == FCI_UP || stance == FCI_DOWN)
           && d->shown[drawn->parent].stance == stance
           && (drawn->onward || d->fold.drawn[drawn->parent].floors == 1);
}

/* In line with each stands the one that feeds most. */
static bool
set_straight(struct fci_diagram *d)
{
    const size_t n = d->fold.n_drawn;
    size_t *best = fci_arena_array(&d->arena, n + 1, sizeof *best);
    size_t *feeds = fci_arena_array(&d->arena, n + 1, sizeof *feeds);
    size_t i;

    if (d->arena.failed)
        return false;
    for (i = n; i-- > 0;) {
        const struct fci_drawn *drawn = &d->fold.drawn[i];

        feeds[i]++;
        if (drawn->parent == SIZE_MAX)
            continue;
        feeds[drawn->parent] += feeds[i];
        if (may_go_on(d, drawn, d->shown[i].stance)
            && (best[drawn->parent] == 0
                || feeds[i] > feeds[best[drawn->parent]]))
            best[drawn->parent] = i; /* never 0: that is a source */
    }
    for (i = 0; i < n; i++)
        if (best[i] > 0)
            d->cells[best[i]].straight = true;
    return true;
}

static bool
make_cell(struct fci_diagram *d, size_t i, bool leaf)
{
    const struct fci_drawn *drawn = &d->fold.drawn[i];
    const struct fci_element *element = &d->site->elements[drawn->element];
    struct fci_drawn_cell *shown = &d->shown[i];
    struct fci_cell *cell = &d->cells[i];
    const bool symbol = fci_symbol_word(element) != NULL;

    *shown = (struct fci_drawn_cell){ .drawn = i };
    shown->level = px(d, height_in(d, drawn));
    shown->out = px(d, d->height[drawn->element]);
    shown->end = px(d, d->height[drawn->last]);
    if (drawn->floors > 1
        && fabs(shown->end - shown->out) >= FCI_LINE + 2 * CLEAR)
        shown->note = fci_tell_floors(d, drawn);
    if (!fci_tell(d, drawn, true, false, shown))
        return false;
    shown->stance =
        stance_of(shown, element->pipe != NULL, leaf, shown->told_height);
    *cell = (struct fci_cell){ .parent = drawn->parent };
    if (drawn->parent != SIZE_MAX)
        cell->tag_width = tag_width(d, drawn->parent);
    if (drawn->n_outlets > 0 && !has_hung(d, i, leaf)
        && !fci_tell(d, drawn, true, true, shown))
        return false;
    set_extent(shown, cell, leaf, symbol);
    return true;
}

static bool
make_cells(struct fci_diagram *d, const bool *leaf)
{
    size_t i;

    d->n_cells = d->fold.n_drawn;
    for (i = 0; i < d->fold.n_drawn; i++)
        if (!make_cell(d, i, leaf[i]))
            return false;
    for (i = 0; i < d->fold.n_drawn; i++)
        if (has_hung(d, i, leaf[i]) && !hang_outlets(d, i, i))
            return false;
    return set_straight(d);
}

/* ---- The diagram ------------------------------------------------------ */

static bool
find_loops(struct fci_diagram *d)
{
    const size_t n = d->site->n_elements;
    size_t i, to;

    d->joined = fci_arena_array(&d->arena, n, sizeof *d->joined);
    d->joins = fci_arena_array(&d->arena, n, sizeof *d->joins);
    if (d->arena.failed)
        return false;
    for (i = 0; i < n; i++)
        d->joined[i] = FCI_NONE;
    for (i = n; i-- > 0;) {
        d->joins[i] = FCI_NONE;
        to = d->site->elements[i].to;
        if (to == FCI_NONE)
            continue;
        d->joins[i] = d->joined[to];
        d->joined[to] = i;
    }
    return true;
}

static bool
find_pipes(struct fci_diagram *d)
{
    const fc_site *site = d->site;
    size_t i, k = 0;

    d->pipes = fci_arena_array(&d->arena, site->n_elements,
                               sizeof(const fc_checked_pipe *));
    d->height =
        fci_arena_array(&d->arena, site->n_elements, sizeof *d->height);
    if (d->arena.failed)
        return false;
    fci_heights(site, d->height);
    for (i = 0; d->result && i < site->n_elements; i++)
        if (site->elements[i].pipe)
            d->pipes[i] = &d->result->pipes[k++];
    return true;
}

static bool
make(struct fci_diagram *d, double widest)
{
    const size_t n = d->fold.n_drawn;
    bool *leaf = fci_arena_array(&d->arena, n + 1, sizeof *leaf);
    size_t i;

    d->shown = fci_arena_array(&d->arena, 2 * n + 1, sizeof *d->shown);
    d->cells = fci_arena_array(&d->arena, 2 * n + 1, sizeof *d->cells);
    if (d->arena.failed)
        return false;
    for (i = 0; i < n; i++)
        leaf[i] = true;
    for (i = 0; i < n; i++)
        if (d->fold.drawn[i].parent != SIZE_MAX) {
            leaf[d->fold.drawn[i].parent] = false;
            d->cells[d->fold.drawn[i].parent].width = 1;
        }
    return make_heights(d) && make_cells(d, leaf)
           && fci_layout_make(&d->layout, d->cells, d->n_cells, widest,
                              &d->arena);
}

bool
fci_diagram_make(struct fci_diagram *d, const fc_site *site,
                 const fc_check_result *result,
                 const struct fci_points *points, double widest)
{
    *d = (struct fci_diagram){ .site = site,
                               .result = result,
                               .points = points };
    d->units = result ? result->units : site->settings.units;
    return find_pipes(d) && find_loops(d)
           && fci_fold_make(&d->fold, site, result, points, &d->arena)
           && make(d, widest);
}

void
fci_diagram_free(struct fci_diagram *d)
{
    fci_arena_free(&d->arena);
}
