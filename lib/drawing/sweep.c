/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/sweep.c -- the least margin against a swept input.
 *
 * A step's symbol tells its verdict, a triangle over it too much pressure, and
 * so do words in the key.  Where one flips a dashed line stands at the value
 * that the sentences tell;
 * labels that would meet stand in rows over each other.
 */
#include "drawing/axis.h"
#include "drawing/drawings.h"
#include "drawing/svg.h"
#include "words/verdict.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define WIDTH 640.0
#define LEFT 64.0
#define RIGHT 612.0
#define HEIGHT 300.0 /* of the plot */
#define HEAD 34.0    /* above it, without flips */
#define MOST_FLIPS 6 /* labels */
#define GAP 10.0
#define KEY 54.0
#define APART 14.0 /* of two symbols */

struct look {
    const char *symbol, *color, *fill, *class;
    fc_verdict works;
};

static const struct look looks[] = {
    { "M-5-5L5 5M-5 5L5-5", FCI_ORANGE, "none", "step fails",
      FC_WILL_NOT_WORK },
    { "M-5-5H5V5H-5Z", FCI_FAINT, "#fff", "step unclear", FC_CANNOT_TELL },
    { "M-5 0a5 5 0 1 0 10 0a5 5 0 1 0-10 0Z", FCI_BLUE, FCI_BLUE, "step works",
      FC_WORKS },
};
/* Too much pressure stands over the symbol of the other verdict. */
static const struct look highs[] = {
    { "M0-17L5-9L-5-9Z", FCI_ORANGE, FCI_ORANGE, "high", FC_WILL_NOT_WORK },
    { "M0-17L5-9L-5-9Z", FCI_FAINT, "#fff", "high unclear", FC_CANNOT_TELL },
};
#define LOOKS (sizeof looks / sizeof *looks)
#define HIGHS (sizeof highs / sizeof *highs)

struct plot {
    const fc_sweep_result *sweep;
    struct fci_axis x, y;
    double top, bottom;
    size_t rows; /* of labels of flips */
    const fc_sweep_step *flips[MOST_FLIPS];
    size_t row[MOST_FLIPS];
    size_t n_flips;
};

/* NULL: none has it. */
static const struct look *
look_of(const struct look *list, size_t n, fc_verdict verdict)
{
    for (size_t i = 0; i < n; i++)
        if (list[i].works == verdict)
            return &list[i];
    return NULL;
}

static bool
has_margin(const fc_sweep_step *step)
{
    return step->line.calculated
           && step->line.states[step->line.judged].margin.given;
}

static double
margin_of(const fc_sweep_result *sweep, const fc_sweep_step *step)
{
    return fc_from_si(sweep->units, FC_PRESSURE,
                      step->line.states[step->line.judged].margin.low);
}

/* ---- Scales ----------------------------------------------------------- */

static void
set_scales(struct plot *p)
{
    const fc_sweep_result *sweep = p->sweep;
    const fc_sweep_step *last = &sweep->steps[sweep->n_steps - 1];
    double from = sweep->steps[0].figure, to = last->figure;
    double low = 0, high = 0, room;
    size_t i;

    for (i = 0; i < sweep->n_steps; i++)
        if (has_margin(&sweep->steps[i])) {
            low = fmin(low, margin_of(sweep, &sweep->steps[i]));
            high = fmax(high, margin_of(sweep, &sweep->steps[i]));
        }
    room = fmax(0.06 * (high - low), 0.5);
    p->y = fci_axis_make(low - room, high + room, p->bottom, p->top, 1, 32);
    if (from > to) {
        const double kept = from;

        from = to;
        to = kept;
    }
    if (from == to)
        to = from + 1;
    p->x = fci_axis_make(from, to, LEFT + 8, RIGHT - 8, 1, 60);
}

static double
x_of(const struct plot *p, const fc_sweep_step *step)
{
    return fci_axis_at(&p->x, step->figure);
}

/* Where a label of a value stands, within the drawing. */
static double
label_at(double x, const char *text)
{
    const double half = fci_svg_width(text) / 2 + 2;

    return fmax(half, fmin(x, WIDTH - half));
}

/* ---- Flips ------------------------------------------------------------ */

/* The one in which it works rather, as the sentences have it; the other where
 * there is only more pressure. */
static const fc_sweep_step *
better_of(const fc_sweep_flip *flip)
{
    const fc_site_line *a = &flip->before.line, *b = &flip->after.line;

    if (!a->calculated || !b->calculated)
        return a->calculated ? &flip->before : &flip->after;
    if (a->works != b->works)
        return b->works == FC_WORKS || a->works == FC_WILL_NOT_WORK
                   ? &flip->after
                   : &flip->before;
    return b->too_high == FC_WILL_NOT_WORK || a->too_high == FC_WORKS
               ? &flip->after
               : &flip->before;
}

/* Those of the existing state have no margin here. */
static bool
is_drawn(const fc_sweep_flip *flip)
{
    const fc_site_line *a = &flip->before.line, *b = &flip->after.line;

    return a->calculated != b->calculated || a->works != b->works
           || a->too_high != b->too_high;
}

/* Labels stand on the left of their lines. */
#define BESIDE 4.0

static double
start_of(const struct plot *p, const fc_sweep_step *step)
{
    return x_of(p, step) - BESIDE - fci_svg_width(step->value);
}

/* Whether the label of flip i meets that of k, on its left, or its line, which
 * reaches as high as the label of k. */
static bool
meets(const struct plot *p, size_t i, size_t k, size_t row)
{
    return p->row[k] >= row
           && start_of(p, p->flips[i]) < x_of(p, p->flips[k]) + BESIDE
           && (p->row[k] == row
               || x_of(p, p->flips[k]) < x_of(p, p->flips[i]) - BESIDE);
}

/* From left to right, a label takes the first row in which it meets none
 * before it and no line crosses it. */
static void
place_flips(struct plot *p)
{
    size_t i, k, row;

    for (i = 0; i < p->sweep->n_flips && p->n_flips < MOST_FLIPS; i++) {
        const fc_sweep_step *step = better_of(&p->sweep->flips[i]);

        if (!is_drawn(&p->sweep->flips[i]))
            continue;
        for (k = p->n_flips; k > 0 && p->flips[k - 1]->figure > step->figure;
             k--)
            p->flips[k] = p->flips[k - 1];
        p->flips[k] = step;
        p->n_flips++;
    }
    for (i = 0; i < p->n_flips; i++) {
        for (row = 0, k = 0; k < i; k++)
            if (meets(p, i, k, row)) {
                row = p->row[k] + 1;
                k = (size_t)-1;
            }
        p->row[i] = row;
        p->rows = row + 1 > p->rows ? row + 1 : p->rows;
    }
}

static void
draw_flips(struct fci_svg *svg, const struct plot *p)
{
    size_t i;

    for (i = 0; i < p->n_flips; i++) {
        const fc_sweep_step *step = p->flips[i];
        const double x = x_of(p, step);
        const double y = p->top - 8 - FCI_LINE * (double)p->row[i];

        fci_svg_open(svg, "g", "class", "flip", "data-value", step->value,
                     NULL);
        fci_svg_open(svg, "g", "stroke", FCI_INK, "stroke-dasharray", "5 3",
                     NULL);
        fci_svg_line(svg, x, y - 8, x, p->bottom);
        fci_svg_close(svg);
        fci_svg_label(svg, FCI_END, x - BESIDE, y, WIDTH, step->value);
        fci_svg_close(svg);
    }
}

/* ---- The drawing ------------------------------------------------------ */

static void
draw_grid(struct fci_svg *svg, const struct plot *p)
{
    const double zero = fci_axis_at(&p->y, 0);
    char digits[40];
    size_t i;

    for (i = 0; i < p->y.n_ticks; i++) {
        const double at = fci_axis_at(&p->y, p->y.ticks[i]);

        fc_show_number(FC_NEAREST, p->y.decimals, p->y.ticks[i], digits,
                       sizeof digits);
        fci_svg_open(svg, "g", "stroke", "#d4d4d4", NULL);
        fci_svg_line(svg, LEFT - 4, at, RIGHT, at);
        fci_svg_close(svg);
        fci_svg_label(svg, FCI_END, LEFT - 8, at + 4, 60, digits);
    }
    fci_svg_open(svg, "g", "stroke", FCI_INK, NULL);
    fci_svg_line(svg, LEFT, p->top, LEFT, p->bottom);
    fci_svg_line(svg, LEFT, p->bottom, RIGHT, p->bottom);
    fci_svg_close(svg);
    fci_svg_open(svg, "g", "class", "required", "stroke", FCI_INK,
                 "stroke-width", "2", NULL);
    fci_svg_line(svg, LEFT, zero, RIGHT, zero);
    fci_svg_close(svg);
}

static void
draw_values(struct fci_svg *svg, const struct plot *p)
{
    const fc_sweep_result *sweep = p->sweep;
    double last = -INFINITY;
    size_t i;

    for (i = 0; i < sweep->n_steps; i++) {
        const fc_sweep_step *step =
            &sweep->steps[sweep->steps[0].figure
                                  > sweep->steps[sweep->n_steps - 1].figure
                              ? sweep->n_steps - 1 - i
                              : i];
        const double half = fci_svg_width(step->value) / 2 + GAP / 2;

        const double x = label_at(x_of(p, step), step->value);

        if (x - half < last)
            continue;
        last = x + half;
        fci_svg_label(svg, FCI_MIDDLE, x, p->bottom + 18, WIDTH, step->value);
    }
}

static void
draw_symbol(struct fci_svg *svg, const struct look *look, double x, double y,
            const char *value)
{
    fci_svg_open(svg, "g", "class", look->class, "data-value", value, "fill",
                 look->fill, "stroke", look->color, "stroke-width", "2", NULL);
    fci_svg_shape(svg, x, y, look->symbol);
    fci_svg_close(svg);
}

static void
draw_steps(struct fci_svg *svg, const struct plot *p)
{
    const fc_sweep_result *sweep = p->sweep;
    double last = -INFINITY;
    size_t i;

    fci_svg_open(svg, "g", "stroke", FCI_INK, "stroke-width", "1.2", NULL);
    for (i = 0; i + 1 < sweep->n_steps; i++)
        if (has_margin(&sweep->steps[i]) && has_margin(&sweep->steps[i + 1]))
            fci_svg_line(
                svg, x_of(p, &sweep->steps[i]),
                fci_axis_at(&p->y, margin_of(sweep, &sweep->steps[i])),
                x_of(p, &sweep->steps[i + 1]),
                fci_axis_at(&p->y, margin_of(sweep, &sweep->steps[i + 1])));
    fci_svg_close(svg);
    for (i = 0; i < sweep->n_steps; i++) {
        const fc_sweep_step *step = &sweep->steps[i];
        const struct look *high;
        double x, y;

        if (!has_margin(step) || fabs(x_of(p, step) - last) < APART)
            continue;
        x = last = x_of(p, step);
        y = fci_axis_at(&p->y, margin_of(sweep, step));
        draw_symbol(svg, look_of(looks, LOOKS, step->line.works), x, y,
                    step->value);
        high = look_of(highs, HIGHS, step->line.too_high);
        if (high)
            draw_symbol(svg, high, x, y, step->value);
    }
}

/* Whether a step has that verdict, on too much pressure or on too little. */
static bool
is_used(const struct plot *p, fc_verdict verdict, bool high)
{
    for (size_t k = 0; k < p->sweep->n_steps; k++) {
        const fc_site_line *line = &p->sweep->steps[k].line;

        if (has_margin(&p->sweep->steps[k])
            && (high ? line->too_high : line->works) == verdict)
            return true;
    }
    return false;
}

static double
draw_word(struct fci_svg *svg, const struct look *look, double x, double y,
          double down, const char *word)
{
    draw_symbol(svg, look, x, y + down, word);
    fci_svg_label(svg, FCI_START, x + 12, y + 4, WIDTH, word);
    return x + 12 + fci_svg_width(word) + 2 * GAP;
}

static void
draw_key(struct fci_svg *svg, const struct plot *p)
{
    const double y = p->bottom + KEY + 4;
    double x = LEFT;

    for (size_t i = 0; i < LOOKS; i++)
        if (is_used(p, looks[i].works, false))
            x = draw_word(svg, &looks[i], x, y, 0,
                          fci_verdict_said(looks[i].works, FC_WORKS));
    for (size_t i = 0; i < HIGHS; i++) /* its symbol stands on the line */
        if (is_used(p, highs[i].works, true))
            x = draw_word(svg, &highs[i], x, y, 12,
                          fci_verdict_said(FC_WORKS, highs[i].works));
}

bool
fci_draw_sweep(xmlTextWriterPtr out, const fc_sweep_result *sweep)
{
    struct plot p = { .sweep = sweep };
    struct fci_svg svg;
    struct fci_said desc = fci_said("The least margin over %s.", sweep->input);
    char text[120];
    size_t i;

    set_scales(&p);
    place_flips(&p);
    p.top = HEAD + FCI_LINE * (double)p.rows;
    p.bottom = p.top + HEIGHT;
    set_scales(&p);
    for (i = 0; i < sweep->n_told; i++)
        desc = fci_said("%s %s", desc.text, sweep->told[i]);
    fci_svg_begin(&svg, out, "drawing sweep", WIDTH, p.bottom + KEY + 24);
    fci_svg_title(&svg, "Margin over the input", desc.text);
    snprintf(text, sizeof text, "least margin, %s; 0: just what is required",
             fc_unit_name(sweep->units, FC_PRESSURE));
    fci_svg_label(&svg, FCI_START, 8, 16, WIDTH - 16, text);
    fci_svg_label(&svg, FCI_END, RIGHT, p.bottom + 36, WIDTH - 80,
                  sweep->input);
    draw_grid(&svg, &p);
    draw_values(&svg, &p);
    draw_flips(&svg, &p);
    draw_steps(&svg, &p);
    draw_key(&svg, &p);
    return fci_svg_end(&svg);
}
