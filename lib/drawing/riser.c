/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/riser.c -- the riser diagram: sheet by sheet, its lines, symbols
 * and texts. */
#include "drawing/cells.h"
#include "drawing/drawings.h"
#include "drawing/legend.h"
#include "drawing/sheets.h"
#include "drawing/symbols.h"
#include "units/units.h"

#include <math.h>
#include <stdlib.h>

#define WIDEST 1020.0 /* of the cells of a sheet */
#define TALLEST 1250.0
#define NARROWEST 420.0
#define LEFT 66.0 /* elevations stand there */
#define RIGHT 10.0
#define TOP 34.0
#define PAD 14.0
#define ONWARD 18.0 /* for where an upright line goes on */
#define SYMBOL 14.0 /* from a cell's line to its symbol's middle */

struct sheet {
    struct fci_svg *svg;
    const struct fci_diagram *d;
    const struct fci_sheets *sheets;
    const struct fci_sheet *shown;
    size_t number;
    double width, height;
    double down; /* from a cell's px to the sheet's */
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

/* Whether a height of a cell is shown here. */
static bool
shows(const struct sheet *s, size_t cell, double y)
{
    return s->d->cells[cell].sheet == s->shown->of && y >= s->shown->top
           && y <= s->shown->bottom;
}

/* Whether its texts are. */
static bool
is_here(const struct sheet *s, size_t cell)
{
    return shows(s, cell, s->d->shown[cell].text_top);
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
        if (shows(s, i, d->shown[i].out))
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

/* As much of an upright line as is shown here. */
static void
draw_upright(struct sheet *s, double x, double from, double to)
{
    const double top = fmax(fmin(from, to), s->shown->top);
    const double bottom = fmin(fmax(from, to), s->shown->bottom);

    if (top < bottom)
        fci_svg_line(s->svg, x, top + s->down, x, bottom + s->down);
}

static void
draw_lead(struct sheet *s, size_t i)
{
    const struct fci_cell *cell = &s->d->cells[i];
    const double y = cell->level + s->down, x = line_of(s, i);

    if (cell->tagged)
        fci_svg_line(s->svg, x - FCI_CELL_LINE + 2, y, x, y);
    else if (cell->parent != SIZE_MAX && !cell->straight)
        fci_svg_line(s->svg, out_of(s, cell->parent), y, x, y);
    if (has_symbol(s, i) && cell->parent != SIZE_MAX)
        fci_svg_line(s->svg, x, y, out_of(s, i), y);
}

static void
draw_pipe(struct sheet *s, size_t i)
{
    const struct fci_drawn_cell *shown = &s->d->shown[i];
    const double x = out_of(s, i);

    if (shows(s, i, shown->level))
        draw_lead(s, i);
    draw_upright(s, x, shown->level, shown->out);
    draw_upright(s, x, shown->out, shown->end);
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
        if (d->cells[i].sheet == s->shown->of)
            draw_pipe(s, i);
        if (is_here(s, i))
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

    if (has_symbol(s, i) && shows(s, i, shown->level))
        fci_symbol_element(s->svg, element_of(s, i), x,
                           shown->level + s->down);
    if (shown->note && shows(s, i, (shown->out + shown->end) / 2))
        draw_break(s, i);
    for (k = 0; is_here(s, i) && k < shown->n_told; k++) {
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
    const size_t sheet =
        fci_sheets_at(s->sheets, &d->cells[cell->parent], cell->level);
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
    for (k = 0; is_here(s, i) && k < shown->n_told; k++) {
        const struct fci_told *told = &shown->told[k];

        fci_svg_open(s->svg, "g", "fill", color_of(told), NULL);
        fci_svg_label(s->svg, FCI_START,
                      x + (told->aside ? FCI_CELL_OUTLET : FCI_CELL_TEXT),
                      shown->text_top + s->down + shown->told[k].top + 11,
                      FCI_CELL_WIDEST, told->text);
        fci_svg_close(s->svg);
    }
    if (shown->note && shows(s, i, (shown->out + shown->end) / 2))
        fci_svg_label(s->svg, FCI_START, x + FCI_CELL_TEXT + 4,
                      (shown->out + shown->end) / 2 + s->down + 4,
                      FCI_CELL_WIDEST, shown->note);
    if (s->d->cells[i].tagged && shows(s, i, shown->level))
        draw_tag(s, i);
    fci_svg_close(s->svg);
}

/* Where an upright line runs on above or below the sheet. */
static void
draw_onward(struct sheet *s, size_t i, double cut, size_t other, double y)
{
    const struct fci_drawn_cell *shown = &s->d->shown[i];
    const double top = fmin(fmin(shown->level, shown->out), shown->end);
    const double bottom = fmax(fmax(shown->level, shown->out), shown->end);

    if (s->d->cells[i].sheet != s->shown->of || top >= cut || bottom <= cut)
        return;
    fci_svg_open(s->svg, "g", "fill", FCI_FAINT, NULL);
    fci_svg_label(s->svg, FCI_START, out_of(s, i) + FCI_CELL_TEXT, y,
                  s->d->cells[i].width - FCI_CELL_LINE - FCI_CELL_TEXT - 4,
                  fci_said("sheet %zu", other + 1).text);
    fci_svg_close(s->svg);
    fci_svg_open(s->svg, "g", "stroke", FCI_INK, "stroke-width", "2",
                 "stroke-dasharray", "2 2", NULL);
    fci_svg_line(s->svg, out_of(s, i), cut + s->down, out_of(s, i),
                 cut + s->down + (y > cut + s->down ? ONWARD : -ONWARD));
    fci_svg_close(s->svg);
}

static void
draw_ends(struct sheet *s)
{
    const struct fci_sheet *shown = s->shown;
    const bool above = s->number > 0 && shown[-1].goes_on;
    size_t i;

    for (i = 0; i < s->d->n_cells; i++) {
        if (above)
            draw_onward(s, i, shown->top, s->number - 1,
                        shown->top + s->down - 6);
        if (shown->goes_on)
            draw_onward(s, i, shown->bottom, s->number + 1,
                        shown->bottom + s->down + 14);
    }
}

/* ---- Sheets ----------------------------------------------------------- */

static void
measure(struct sheet *s)
{
    const struct fci_sheet *shown = &s->sheets->list[s->number];
    const bool above = s->number > 0 && shown[-1].goes_on;

    s->shown = shown;
    s->width = LEFT + fmax(s->d->layout.widths[shown->of], NARROWEST) + RIGHT;
    s->down = TOP - shown->top + (above ? ONWARD : 0);
    s->height = shown->bottom + s->down + PAD + (shown->goes_on ? ONWARD : 0);
}

/* For who cannot see it. */
static struct fci_said
description(const struct fci_diagram *d)
{
    const fc_checked_state *state;
    const struct fci_said drawn = fci_said(
        "%zu elements and %zu groups of fixtures, drawn as %zu and %zu.",
        d->site->n_elements, d->site->n_fixtures, d->fold.n_drawn,
        d->fold.n_outlets);

    if (!d->result)
        return drawn;
    state = &d->result->states[fci_judged(d->result)];
    return fci_said("%s %s%zu fixtures work, %zu do not, %zu are not certain.",
                    drawn.text, d->result->converted ? "After retrofit " : "",
                    state->working, state->failing, state->unclear);
}

static void
describe(struct sheet *s)
{
    const struct fci_diagram *d = s->d;
    const size_t n = s->sheets->n;
    const struct fci_said desc = description(d);

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
        if (d->cells[i].sheet == s->shown->of)
            draw_symbols(s, i);
    for (i = 0; i < d->n_cells; i++)
        if (d->cells[i].sheet == s->shown->of)
            draw_texts(s, i);
    draw_ends(s);
    if (s->number == 0)
        fci_legend_draw(s->svg, d, 8, s->height - PAD / 2, legend_width);
    return fci_svg_end(s->svg);
}

bool
fci_draw_riser(xmlTextWriterPtr out, const fc_site *site,
               const fc_check_result *result, const struct fci_points *points)
{
    struct fci_diagram d;
    struct fci_svg svg;
    struct fci_sheets sheets;
    struct sheet sheet = { .svg = &svg, .d = &d, .sheets = &sheets };
    bool done = fci_diagram_make(&d, site, result, points, WIDEST)
                && fci_sheets_make(&sheets, &d, TALLEST);
    double *room =
        done ? fci_arena_array(&d.arena, d.n_cells + 1, sizeof *room) : NULL;

    done = room != NULL;
    for (; done && sheet.number < sheets.n; sheet.number++) {
        measure(&sheet);
        done = draw_sheet(&sheet, out, room);
    }
    fci_diagram_free(&d);
    return done;
}
