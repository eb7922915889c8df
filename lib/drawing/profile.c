/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/profile.c -- the hydraulic grade along the way to a fixture.
 *
 * Across: developed length, to scale; what takes pressure at a point (a meter,
 * a preventer, the drop of the main) is given a little room of its own, so
 * that its step is seen.  Up: pressure and elevation together, so that the
 * pressure at a point is how far the grade stands over the pipe.
 */
#include "drawing/drawings.h"
#include "drawing/profile.h"
#include "units/units.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

const struct fci_profile_look fci_profile_looks[FC_STATES] = {
    { "grade existing", FCI_BLUE, "7 5", "1.6", "existing" },
    { "grade retrofit", FCI_ORANGE, "none", "3.2", "after retrofit" },
};

#define STEP 16.0 /* what a step at a point is given */

/* ---- Places ----------------------------------------------------------- */

static void
place_across(struct fci_profile *p)
{
    const struct fci_grade_point *points = p->points[p->judged->state];
    const double length = points[p->n - 1].along;
    double x = FCI_PROFILE_LEFT, steps = 0, before = 0;
    size_t i;

    for (i = 0; i < p->n; i++)
        steps += points[i].is_step ? 1 : 0;
    p->wide = fmin(STEP, (length > 0 ? 0.5 : 1)
                             * (FCI_PROFILE_RIGHT - FCI_PROFILE_LEFT) / steps);
    p->scale =
        length > 0
            ? (FCI_PROFILE_RIGHT - FCI_PROFILE_LEFT - steps * p->wide) / length
            : 0;
    for (i = 0; i < p->n; i++) {
        x += points[i].is_step ? p->wide
                               : p->scale * (points[i].along - before);
        before = points[i].along;
        p->x[i] = x;
    }
}

static void
place_up(struct fci_profile *p)
{
    double low = INFINITY, high = -INFINITY;
    size_t i;
    int s;

    for (s = 0; s < FC_STATES; s++) {
        const struct fci_grade_point *points = p->points[s];

        if (!points)
            continue;
        high = fmax(high, p->still[s]);
        for (i = 0; i < p->n; i++) {
            low = fmin(low, fmin(points[i].elevation, points[i].grade));
            high = fmax(high, points[i].grade);
        }
        high = fmax(high, points[p->n - 1].elevation
                              + fmax(fci_profile_required(p->paths[s]), 0));
    }
    p->y = fci_axis_make(fci_profile_figure(p, low),
                         fci_profile_figure(p, high + 0.03 * (high - low)),
                         p->bottom, p->top, 1, 30);
}

static struct fci_said
name_step(const struct fci_profile *p, size_t i)
{
    const fc_path_step *step = &p->judged->steps[i];
    const double lost = step->device_loss + step->sag;
    const struct fci_shown shown = fci_show(
        p->units, FC_PRESSURE, step->set > 0 ? step->set : fabs(lost));

    if (step->set > 0)
        return fci_said("PRV %s, set to %s", step->element, shown.text);
    if (i == 0)
        return fci_said("%s drops %s", step->element, shown.text);
    return fci_said(lost < 0 ? "%s gives %s" : "%s %s", step->element,
                    shown.text);
}

/* The last step is the fixture itself: it is told at the end, unless its stop
 * takes something. */
static bool
is_named(const struct fci_profile *p, size_t i)
{
    const fc_path_step *step = &p->judged->steps[i];

    return p->points[p->judged->state][i].is_step && (i > 0 || step->sag > 0)
           && (i + 1 < p->n || step->device_loss > 0);
}

/* From the right: a name takes the lowest row where it does not meet those to
 * its right, so that the line down from it crosses none. */
static bool
place_names(struct fci_profile *p)
{
    double *ends = calloc(p->n, sizeof *ends); /* where each row begins */
    double width;
    size_t i, r;

    if (!ends)
        return false;
    for (i = p->n; i-- > 0;) {
        p->row[i] = SIZE_MAX;
        if (!is_named(p, i))
            continue;
        p->name_x[i] = p->x[i] - p->wide / 2;
        width = fci_svg_width(name_step(p, i).text) + 8;
        for (r = 0; r < p->n_rows && p->name_x[i] + width > ends[r]; r++)
            ;
        p->n_rows += r == p->n_rows;
        ends[r] = p->name_x[i];
        p->row[i] = r;
    }
    free(ends);
    p->top = 30 + FCI_PROFILE_ROW * (double)p->n_rows;
    p->bottom = p->top + FCI_PROFILE_DEEP;
    return true;
}

/* ---- Scales ----------------------------------------------------------- */

/* The px of a length: behind all steps at points that come before it. */
static double
across(const struct fci_profile *p, double along)
{
    const struct fci_grade_point *points = p->points[p->judged->state];
    double x = FCI_PROFILE_LEFT;
    size_t i;

    for (i = 0; i < p->n && points[i].along <= along; i++)
        x = p->x[i];
    return x + p->scale * (along - (i > 0 ? points[i - 1].along : 0));
}

static void
draw_lengths(struct fci_svg *svg, const struct fci_profile *p)
{
    const double unit = fc_from_si(p->units, FC_LENGTH, 1);
    const double length = p->points[p->judged->state][p->n - 1].along * unit;
    const struct fci_axis axis =
        fci_axis_make(0, length, 0, fmax(length / unit * p->scale, 1), 1, 50);
    char text[64];
    size_t i;

    for (i = 0; i < axis.n_ticks && axis.ticks[i] <= length; i++) {
        const double x = across(p, axis.ticks[i] / unit);

        fc_show_number(FC_NEAREST, axis.decimals, axis.ticks[i], text,
                       sizeof text);
        fci_svg_open(svg, "g", "stroke", FCI_INK, NULL);
        fci_svg_line(svg, x, p->bottom, x, p->bottom + 4);
        fci_svg_close(svg);
        fci_svg_label(svg, FCI_MIDDLE, x, p->bottom + 18, 48, text);
    }
    snprintf(text, sizeof text, "developed length, %s",
             fc_unit_name(p->units, FC_LENGTH));
    fci_svg_label(svg, FCI_END, FCI_PROFILE_RIGHT, p->bottom + 36,
                  FCI_PROFILE_WIDTH, text);
}

static void
draw_pressures(struct fci_svg *svg, const struct fci_profile *p)
{
    char text[80];
    size_t i;

    for (i = 0; i < p->y.n_ticks; i++) {
        const double y = fci_axis_at(&p->y, p->y.ticks[i]);

        fc_show_number(FC_NEAREST, p->y.decimals, p->y.ticks[i], text,
                       sizeof text);
        fci_svg_open(svg, "g", "stroke", "#d4d4d4", NULL);
        fci_svg_line(svg, FCI_PROFILE_LEFT - 4, y, FCI_PROFILE_RIGHT, y);
        fci_svg_close(svg);
        fci_svg_label(svg, FCI_END, FCI_PROFILE_LEFT - 8, y + 4, 56, text);
    }
    fci_svg_open(svg, "g", "stroke", FCI_INK, NULL);
    fci_svg_line(svg, FCI_PROFILE_LEFT, p->top, FCI_PROFILE_LEFT, p->bottom);
    fci_svg_line(svg, FCI_PROFILE_LEFT, p->bottom, FCI_PROFILE_RIGHT,
                 p->bottom);
    fci_svg_close(svg);
    snprintf(text, sizeof text, "pressure and elevation together, %s",
             fc_unit_name(p->units, FC_PRESSURE));
    fci_svg_label(svg, FCI_START, 8, 16, FCI_PROFILE_WIDTH, text);
}

/* ---- Lines ------------------------------------------------------------ */

static void
draw_names(struct fci_svg *svg, const struct fci_profile *p)
{
    const fc_state state = p->judged->state;
    size_t i;

    for (i = 0; i < p->n; i++) {
        const double x = p->name_x[i];
        const double y = p->top - 4 - FCI_PROFILE_ROW * (double)p->row[i];

        if (p->row[i] == SIZE_MAX)
            continue;
        fci_svg_open(svg, "g", "stroke", FCI_FAINT, "stroke-dasharray", "1 3",
                     NULL);
        fci_svg_line(svg, x, y - 8, x,
                     fci_profile_up(p, p->points[state][i].grade));
        fci_svg_close(svg);
        fci_svg_label(svg, FCI_START, x + 4, y, FCI_PROFILE_WIDTH - x - 8,
                      name_step(p, i).text);
    }
}

static bool
draw_elevation(struct fci_svg *svg, const struct fci_profile *p)
{
    const struct fci_grade_point *points = p->points[p->judged->state];
    double(*line)[2] = calloc(p->n + 3, sizeof *line);
    size_t i;

    if (!line)
        return false;
    line[0][0] = line[1][0] = FCI_PROFILE_LEFT;
    line[0][1] = p->bottom;
    line[1][1] = fci_profile_up(p, points[0].elevation);
    for (i = 0; i < p->n; i++) {
        line[i + 2][0] = p->x[i];
        line[i + 2][1] = fci_profile_up(p, points[i].elevation);
    }
    line[p->n + 2][0] = p->x[p->n - 1];
    line[p->n + 2][1] = p->bottom;
    fci_svg_open(svg, "g", "fill", "#e9e9e9", "stroke", "#8a8a8a", NULL);
    fci_svg_polyline(svg, (const double(*)[2])line, p->n + 3);
    fci_svg_close(svg);
    free(line);
    return true;
}

static bool
draw_grade(struct fci_svg *svg, const struct fci_profile *p, fc_state state)
{
    const struct fci_grade_point *points = p->points[state];
    const struct fci_profile_look *look = &fci_profile_looks[state];
    double(*line)[2] = calloc(p->n + 1, sizeof *line);
    size_t i;

    if (!line)
        return false;
    line[0][0] = FCI_PROFILE_LEFT;
    line[0][1] = fci_profile_up(p, p->still[state]);
    for (i = 0; i < p->n; i++) {
        line[i + 1][0] = p->x[i];
        line[i + 1][1] = fci_profile_up(p, points[i].grade);
    }
    fci_svg_open(svg, "g", "class", look->class, "fill", "none", "stroke",
                 look->color, "stroke-width", look->width, "stroke-dasharray",
                 look->dash, NULL);
    fci_svg_polyline(svg, (const double(*)[2])line, p->n + 1);
    fci_svg_close(svg);
    free(line);
    return true;
}

/* ---- The drawing ------------------------------------------------------ */

static void
describe(struct fci_svg *svg, const struct fci_profile *p)
{
    struct fci_said desc = { "" };
    size_t i;
    int s;

    for (s = 0; s < FC_STATES; s++)
        if (p->paths[s])
            desc = fci_said("%s%s at the fixture. ", desc.text,
                            fci_profile_tell(p, (fc_state)s).text);
    for (i = 0; i < p->n; i++)
        if (is_named(p, i))
            desc = fci_said("%s%s. ", desc.text, name_step(p, i).text);
    fci_svg_title(
        svg, fci_said("Pressure on the way to %s", p->judged->fixture).text,
        desc.text);
}

static bool
draw(const struct fci_profile *p, xmlTextWriterPtr out)
{
    struct fci_svg svg;
    int s;

    fci_svg_begin(&svg, out, "drawing profile", FCI_PROFILE_WIDTH,
                  p->bottom + 72);
    describe(&svg, p);
    svg.failed |= !draw_elevation(&svg, p);
    draw_pressures(&svg, p);
    draw_lengths(&svg, p);
    draw_names(&svg, p);
    /* the dashes of the one over the other, which may be the same */
    for (s = FC_STATES; s-- > 0;)
        if (p->paths[s])
            svg.failed |= !draw_grade(&svg, p, (fc_state)s);
    fci_profile_end(&svg, p);
    fci_profile_key(&svg, p);
    return fci_svg_end(&svg);
}

bool
fci_draw_profile(xmlTextWriterPtr out, const fc_site *site,
                 const fc_check_result *result,
                 const fc_path *const paths[FC_STATES])
{
    struct fci_profile p = { .site = site,
                             .units =
                                 result ? result->units : site->settings.units,
                             .paths = paths };
    struct fci_arena arena = { 0 };
    bool done;
    int s;

    p.judged = paths[paths[FC_RETROFIT] ? FC_RETROFIT : FC_EXISTING];
    p.n = p.judged->n_steps;
    p.x = fci_arena_array(&arena, p.n, sizeof *p.x);
    p.name_x = fci_arena_array(&arena, p.n, sizeof *p.name_x);
    p.row = fci_arena_array(&arena, p.n, sizeof *p.row);
    for (s = 0; s < FC_STATES; s++)
        if (paths[s])
            p.points[s] = fci_arena_array(&arena, p.n, sizeof **p.points);
    done = !arena.failed;
    for (s = 0; s < FC_STATES && done; s++)
        if (paths[s])
            fci_grade(site, paths[s], p.points[s], &p.still[s]);
    if (done) {
        place_across(&p);
        done = place_names(&p);
    }
    if (done) {
        place_up(&p);
        done = draw(&p, out);
    }
    fci_arena_free(&arena);
    return done;
}
