/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/riser.c -- the riser diagram: sheet by sheet, its lines, symbols
 * and texts. */
#include "drawing/cells.h"
#include "drawing/drawings.h"
#include "drawing/legend.h"
#include "drawing/symbols.h"
#include "units/units.h"

#include <math.h>
#include <stdlib.h>

#define WIDEST 980.0 /* of the cells of a sheet */
#define NARROWEST 420.0
#define LEFT 66.0 /* elevations stand there */
#define RIGHT 10.0
#define TOP 34.0
#define PAD 14.0
#define SYMBOL 14.0 /* from a cell's line to its symbol's middle */

struct sheet {
    struct fci_svg *svg;
    const struct fci_diagram *d;
    size_t number;
    double width, height;
    double down;        /* from a cell's px to the sheet's */
    double top, bottom; /* of its cells, as px of cells */
};

/* ---- Places ----------------------------------------------------------- */

static const struct fci_element *
element_of(const struct sheet *s, size_t cell)
{
    const struct fci_diagram *d = s->d;

    return &d->site->elements[d->fold.drawn[d->shown[cell].drawn].element];
}

static bool
has_symbol(const struct sheet *s, size_t cell)
{
    return s->d->shown[cell].stance != FCI_HUNG
           && fci_symbol_word(element_of(s, cell));
}

static double
line_of(const struct sheet *s, size_t cell)
{
    return LEFT + s->d->cells[cell].left + FCI_CELL_LINE;
}

/* Where what it feeds begins. */
static double
out_of(const struct sheet *s, size_t cell)
{
    return line_of(s, cell) + (has_symbol(s, cell) ? 2 * SYMBOL : 0);
}

static bool
is_here(const struct sheet *s, size_t cell)
{
    return s->d->cells[cell].sheet == s->number;
}

/* ---- Elevations ------------------------------------------------------- */

static int
by_figure(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

/* Of all that something leaves, the lowest first; those too near to the one
 * before are not told. */
static void
draw_elevations(struct sheet *s, double *room)
{
    const struct fci_diagram *d = s->d;
    const double lowest = d->heights.px[d->heights.n - 1];
    double before = INFINITY, y;
    size_t i, n = 0, at;

    for (i = 0; i < d->n_cells; i++)
        if (is_here(s, i))
            room[n++] = d->shown[i].out;
    qsort(room, n, sizeof *room, by_figure);
    for (i = n; i-- > 0;) {
        if (before - room[i] < FCI_LINE + 4)
            continue;
        before = room[i];
        for (at = 0; at + 1 < d->heights.n
                     && d->heights.px[at] < lowest - room[i] - 0.01;
             at++)
            ;
        y = room[i] + s->down;
        fci_svg_open(s->svg, "g", "stroke", "#dedede", NULL);
        fci_svg_line(s->svg, LEFT - 6, y, s->width - RIGHT, y);
        fci_svg_close(s->svg);
        fci_svg_open(s->svg, "g", "fill", FCI_FAINT, NULL);
        fci_svg_label(
            s->svg, FCI_END, LEFT - 10, y + 4, LEFT - 12,
            fci_show(d->units, FC_LENGTH, d->heights.height[at]).text);
        fci_svg_close(s->svg);
    }
}

/* ---- Lines ------------------------------------------------------------ */

static void
draw_lead(struct sheet *s, size_t i)
{
    const struct fci_cell *cell = &s->d->cells[i];
    const double y = cell->level + s->down, x = line_of(s, i);

    if (cell->tagged)
        fci_svg_line(s->svg, x - FCI_CELL_LINE + 2, y, x, y);
    else if (cell->parent != SIZE_MAX && !cell->straight)
        fci_svg_line(s->svg, out_of(s, cell->parent), y, x, y);
}

static void
draw_pipe(struct sheet *s, size_t i)
{
    const struct fci_drawn_cell *shown = &s->d->shown[i];
    const double level = shown->level + s->down, out = shown->out + s->down;
    const double end = shown->end + s->down, x = out_of(s, i);

    draw_lead(s, i);
    if (has_symbol(s, i) && s->d->cells[i].parent != SIZE_MAX)
        fci_svg_line(s->svg, line_of(s, i), level, x, level);
    if (shown->out != shown->level)
        fci_svg_line(s->svg, x, level, x, out);
    if (shown->end != shown->out)
        fci_svg_line(s->svg, x, out, x, end);
}

/* Down to the last outlet, with a short piece to each. */
static void
draw_stub(struct sheet *s, size_t i)
{
    const struct fci_drawn_cell *shown = &s->d->shown[i];
    const double x = line_of(s, i);
    double y = 0, from;
    size_t k;

    for (k = 0; k < shown->n_told; k++)
        if (shown->told[k].outlet) {
            y = shown->text_top + s->down + shown->told[k].top + 7;
            fci_svg_line(s->svg, x, y, x + 6, y);
        }
    from = shown->stance == FCI_DOWN ? shown->out : shown->level;
    if (y > from + s->down)
        fci_svg_line(s->svg, x, from + s->down, x, y);
}

static void
draw_lines(struct sheet *s)
{
    const struct fci_diagram *d = s->d;
    size_t i;

    fci_svg_open(s->svg, "g", "class", "pipes", "stroke", FCI_INK,
                 "stroke-width", "2", "fill", "none", NULL);
    for (i = 0; i < d->n_cells; i++) {
        if (!is_here(s, i))
            continue;
        draw_pipe(s, i);
        draw_stub(s, i);
    }
    fci_svg_close(s->svg);
}

/* A stretch that is left out: two strokes across the line. */
static void
draw_break(struct sheet *s, size_t i)
{
    const struct fci_drawn_cell *shown = &s->d->shown[i];
    const double y = (shown->out + shown->end) / 2 + s->down;

    fci_svg_open(s->svg, "g", "stroke", "#fff", "stroke-width", "5", NULL);
    fci_svg_shape(s->svg, out_of(s, i), y, "M-1 0H1");
    fci_svg_close(s->svg);
    fci_svg_open(s->svg, "g", "stroke", FCI_INK, "stroke-width", "1.2", NULL);
    fci_svg_shape(s->svg, out_of(s, i), y, "M-6 0L6-6M-6 6L6 0");
    fci_svg_close(s->svg);
}

/* ---- Symbols and texts ------------------------------------------------ */

static void
draw_symbols(struct sheet *s, size_t i)
{
    const struct fci_diagram *d = s->d;
    const struct fci_drawn_cell *shown = &d->shown[i];
    const double x = line_of(s, i) + SYMBOL;
    size_t k;

    if (has_symbol(s, i))
        fci_symbol_element(s->svg, element_of(s, i), x,
                           shown->level + s->down);
    if (shown->stance != FCI_HUNG && shown->note)
        draw_break(s, i);
    for (k = 0; k < shown->n_told; k++) {
        const struct fci_told *told = &shown->told[k];
        const double y = shown->text_top + s->down + shown->told[k].top + 7;

        if (told->outlet)
            fci_symbol_outlet(s->svg,
                              told->outlet->is_draw
                                  ? NULL
                                  : &d->site->fixtures[told->outlet->shown],
                              x, y);
        fci_symbol_mark(s->svg, told->mark, x, y);
    }
}

static void
draw_tag(struct sheet *s, size_t i)
{
    const struct fci_diagram *d = s->d;
    const struct fci_cell *cell = &d->cells[i];
    const char *from = element_of(s, cell->parent)->name;
    const size_t sheet = d->cells[cell->parent].sheet;
    const double y = cell->level + s->down
                     + (cell->tag < 0      ? 16
                        : has_symbol(s, i) ? -15
                                           : -6);

    fci_svg_open(s->svg, "g", "fill", FCI_FAINT, NULL);
    fci_svg_label(s->svg, FCI_START, line_of(s, i) + FCI_CELL_TEXT, y,
                  cell->width - FCI_CELL_LINE - FCI_CELL_TEXT - 4,
                  sheet == s->number
                      ? fci_said("from %s", from).text
                      : fci_said("sheet %zu: %s", sheet + 1, from).text);
    fci_svg_close(s->svg);
}

static const char *
color_of(const struct fci_told *told)
{
    return told->mark == FCI_MARK_SHORT   ? FCI_ORANGE
           : told->mark == FCI_MARK_DOUBT ? FCI_BLUE
                                          : FCI_INK;
}

static void
draw_texts(struct sheet *s, size_t i)
{
    const struct fci_drawn_cell *shown = &s->d->shown[i];
    const double x = line_of(s, i);
    size_t k;

    /* white about the letters, where the line of an elevation runs */
    fci_svg_open(s->svg, "g", "stroke", "#fff", "stroke-width", "3",
                 "paint-order", "stroke", NULL);
    for (k = 0; k < shown->n_told; k++) {
        const struct fci_told *told = &shown->told[k];

        fci_svg_open(s->svg, "g", "fill", color_of(told), NULL);
        fci_svg_label(s->svg, FCI_START,
                      x + (told->of_outlet ? FCI_CELL_OUTLET : FCI_CELL_TEXT),
                      shown->text_top + s->down + shown->told[k].top + 11,
                      FCI_CELL_WIDEST, told->text);
        fci_svg_close(s->svg);
    }
    if (shown->note)
        fci_svg_label(s->svg, FCI_START, x + FCI_CELL_TEXT + 4,
                      (shown->out + shown->end) / 2 + s->down + 4,
                      FCI_CELL_WIDEST, shown->note);
    if (s->d->cells[i].tagged)
        draw_tag(s, i);
    fci_svg_close(s->svg);
}

/* ---- Sheets ----------------------------------------------------------- */

static void
measure(struct sheet *s)
{
    const struct fci_diagram *d = s->d;
    size_t i;

    s->top = INFINITY;
    s->bottom = -INFINITY;
    for (i = 0; i < d->n_cells; i++)
        if (is_here(s, i)) {
            s->top = fmin(s->top, d->cells[i].top);
            s->bottom = fmax(s->bottom, d->cells[i].bottom);
        }
    s->width = LEFT + fmax(d->layout.widths[s->number], NARROWEST) + RIGHT;
    s->down = TOP - s->top;
    s->height = s->bottom + s->down + PAD;
}

static void
describe(struct sheet *s)
{
    const struct fci_diagram *d = s->d;
    const size_t n = d->layout.n_sheets;
    const struct fci_said desc = fci_said(
        "%zu elements and %zu groups of fixtures, drawn as %zu and %zu.",
        d->site->n_elements, d->site->n_fixtures, d->fold.n_drawn,
        d->fold.n_outlets);

    if (n > 1)
        fci_svg_title(
            s->svg,
            fci_said("Riser diagram, sheet %zu of %zu", s->number + 1, n).text,
            desc.text);
    else
        fci_svg_title(s->svg, "Riser diagram", desc.text);
    fci_svg_open(s->svg, "g", "fill", FCI_FAINT, NULL);
    fci_svg_label(s->svg, FCI_START, 8, 16, LEFT + 60, "elevation");
    if (n > 1)
        fci_svg_label(s->svg, FCI_END, s->width - RIGHT, 16, 200,
                      fci_said("sheet %zu of %zu", s->number + 1, n).text);
    fci_svg_close(s->svg);
}

static bool
draw_sheet(struct sheet *s, xmlTextWriterPtr out, double *room)
{
    const struct fci_diagram *d = s->d;
    const double legend_width = s->width - RIGHT - 8;
    const double legend =
        s->number == 0 ? fci_legend_height(d, legend_width) : 0;
    size_t i;

    fci_svg_begin(s->svg, out, "drawing riser", s->width, s->height + legend);
    describe(s);
    draw_elevations(s, room);
    draw_lines(s);
    for (i = 0; i < d->n_cells; i++)
        if (is_here(s, i))
            draw_symbols(s, i);
    for (i = 0; i < d->n_cells; i++)
        if (is_here(s, i))
            draw_texts(s, i);
    if (s->number == 0)
        fci_legend_draw(s->svg, d, 8, s->height - PAD / 2, legend_width);
    return fci_svg_end(s->svg);
}

bool
fci_draw_riser_with(xmlTextWriterPtr out, const fc_site *site,
                    const fc_check_result *result,
                    const struct fci_points *points)
{
    struct fci_diagram d;
    struct fci_svg svg;
    struct sheet sheet = { .svg = &svg, .d = &d };
    bool done = fci_diagram_make(&d, site, result, points, WIDEST);
    double *room =
        done ? fci_arena_array(&d.arena, d.n_cells + 1, sizeof *room) : NULL;

    done = room != NULL;
    for (; done && sheet.number < d.layout.n_sheets; sheet.number++) {
        measure(&sheet);
        done = draw_sheet(&sheet, out, room);
    }
    fci_diagram_free(&d);
    return done;
}

bool
fci_draw_riser(xmlTextWriterPtr out, const fc_site *site,
               const fc_check_result *result)
{
    return fci_draw_riser_with(out, site, result, NULL);
}
