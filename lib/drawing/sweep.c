/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/sweep.c -- the least margin against a swept input.
 *
 * A step's symbol tells its verdict, and so does a word in the key.  Where the
 * verdict flips a dashed line stands at the value where it is the better one;
 * labels that would meet stand in rows over each other.
 */
#include "drawing/axis.h"
#include "drawing/drawings.h"
#include "drawing/svg.h"

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
    const char *symbol, *color, *fill, *class, *word;
};

static const struct look looks[] = {
    { "M-5-5L5 5M-5 5L5-5", FCI_ORANGE, "none", "step fails",
      "does not work" },
    { "M0-6L6 5L-6 5Z", FCI_ORANGE, FCI_ORANGE, "step high",
      "too much pressure" },
    { "M-5-5H5V5H-5Z", FCI_FAINT, "#fff", "step unclear", "not certain" },
    { "M-5 0a5 5 0 1 0 10 0a5 5 0 1 0-10 0Z", FCI_BLUE, FCI_BLUE, "step works",
      "works" },
};

struct plot {
    const fc_sweep_result *sweep;
    struct fci_axis x, y;
    double top, bottom;
    size_t rows; /* of labels of flips */
    size_t row[MOST_FLIPS];
    size_t n_flips;
};

static const struct look *
look_of(const fc_site_line *line)
{
    return line->works == FC_WILL_NOT_WORK      ? &looks[0]
           : line->too_high == FC_WILL_NOT_WORK ? &looks[1]
           : line->works == FC_CANNOT_TELL || line->too_high == FC_CANNOT_TELL
               ? &looks[2]
               : &looks[3];
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

static const fc_sweep_step *
better_of(const fc_sweep_flip *flip)
{
    const fc_site_line *a = &flip->before.line, *b = &flip->after.line;

    return !b->calculated || (a->calculated && look_of(a) > look_of(b))
               ? &flip->before
               : &flip->after;
}

/* A label takes the first row in which it meets none before it. */
static void
place_flips(struct plot *p)
{
    double start[MOST_FLIPS], end[MOST_FLIPS];
    size_t i, k, row;

    p->n_flips =
        p->sweep->n_flips < MOST_FLIPS ? p->sweep->n_flips : MOST_FLIPS;
    for (i = 0; i < p->n_flips; i++) {
        const fc_sweep_step *step = better_of(&p->sweep->flips[i]);
        const double half = fci_svg_width(step->value) / 2 + GAP;

        start[i] = label_at(x_of(p, step), step->value) - half;
        end[i] = start[i] + 2 * half;
        for (row = 0, k = 0; k < i; k++)
            if (p->row[k] == row && start[i] < end[k] && start[k] < end[i]) {
                row++;
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
        const fc_sweep_step *step = better_of(&p->sweep->flips[i]);
        const double x = x_of(p, step);
        const double y = p->top - 8 - FCI_LINE * (double)p->row[i];

        fci_svg_open(svg, "g", "class", "flip", "data-value", step->value,
                     NULL);
        fci_svg_open(svg, "g", "stroke", FCI_INK, "stroke-dasharray", "5 3",
                     NULL);
        fci_svg_line(svg, x, y + 3, x, p->bottom);
        fci_svg_close(svg);
        fci_svg_label(svg, FCI_MIDDLE, label_at(x, step->value), y, WIDTH,
                      step->value);
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
        const struct look *look = look_of(&step->line);

        if (!has_margin(step) || fabs(x_of(p, step) - last) < APART)
            continue;
        last = x_of(p, step);
        fci_svg_open(svg, "g", "class", look->class, "data-value", step->value,
                     "fill", look->fill, "stroke", look->color, "stroke-width",
                     "2", NULL);
        fci_svg_shape(svg, x_of(p, step),
                      fci_axis_at(&p->y, margin_of(sweep, step)),
                      look->symbol);
        fci_svg_close(svg);
    }
}

static void
draw_key(struct fci_svg *svg, const struct plot *p)
{
    const double y = p->bottom + KEY + 8;
    double x = LEFT;
    size_t i, k;

    for (i = 0; i < sizeof looks / sizeof *looks; i++) {
        for (k = 0; k < p->sweep->n_steps; k++)
            if (has_margin(&p->sweep->steps[k])
                && look_of(&p->sweep->steps[k].line) == &looks[i])
                break;
        if (k == p->sweep->n_steps)
            continue;
        fci_svg_open(svg, "g", "fill", looks[i].fill, "stroke", looks[i].color,
                     "stroke-width", "2", NULL);
        fci_svg_shape(svg, x, y - 4, looks[i].symbol);
        fci_svg_close(svg);
        fci_svg_label(svg, FCI_START, x + 12, y, WIDTH, looks[i].word);
        x += 12 + fci_svg_width(looks[i].word) + 2 * GAP;
    }
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
    for (i = 0; i < p.n_flips; i++)
        desc = fci_said("%s %s.", desc.text, sweep->flips[i].text);
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
