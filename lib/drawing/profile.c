/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/profile.c -- the hydraulic grade along the way to a fixture.
 *
 * Across: developed length, to scale; what takes pressure at a point (a meter,
 * a preventer, the drop of the main) is given a little room of its own, so
 * that its step is seen.  Up: pressure and elevation together, so that the
 * pressure at a point is how far the grade stands over the pipe.
 */
#include "drawing/axis.h"
#include "drawing/drawings.h"
#include "drawing/grade.h"
#include "drawing/svg.h"
#include "units/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define WIDTH 760.0
#define LEFT 64.0
#define RIGHT 520.0
#define DEEP 300.0 /* the height of the plot */
#define MARGIN (WIDTH - RIGHT - 18)
#define STEP 16.0 /* what a step at a point is given */
#define ROW (FCI_LINE + 2)

/* What is told beside the end of the path. */
struct remark {
    double at, y; /* where it belongs, and where it stands */
    const char *color;
    struct fci_said said;
};

struct profile {
    const fc_site *site;
    fc_unit_system units;
    const fc_path *const *paths;
    const fc_path *judged;                     /* of the state to be */
    size_t n;                                  /* steps */
    struct fci_grade_point *points[FC_STATES]; /* NULL: no such state */
    double still[FC_STATES];
    double *x; /* of the outlets; x of the first step's inlet is LEFT */
    double scale, wide; /* px for a meter; px for a step */
    double *name_x;
    size_t *row; /* of the name of each step; SIZE_MAX: it has none */
    size_t n_rows;
    struct fci_axis y;
    double top, bottom;
};

static const struct look {
    const char *class, *color, *dash, *width, *word;
} looks[FC_STATES] = {
    { "grade existing", FCI_BLUE, "7 5", "1.6", "existing" },
    { "grade retrofit", FCI_ORANGE, "none", "3.2", "after retrofit" },
};

static double
figure(const struct profile *p, double pressure)
{
    return fc_from_si(p->units, FC_PRESSURE, pressure);
}

static double
up(const struct profile *p, double pressure)
{
    return fci_axis_at(&p->y, figure(p, pressure));
}

/* ---- Places ----------------------------------------------------------- */

static void
place_across(struct profile *p)
{
    const struct fci_grade_point *points = p->points[p->judged->state];
    const double length = points[p->n - 1].along;
    double x = LEFT, steps = 0, before = 0;
    size_t i;

    for (i = 0; i < p->n; i++)
        steps += points[i].is_step ? 1 : 0;
    p->wide = fmin(STEP, (length > 0 ? 0.5 : 1) * (RIGHT - LEFT) / steps);
    p->scale = length > 0 ? (RIGHT - LEFT - steps * p->wide) / length : 0;
    for (i = 0; i < p->n; i++) {
        x += points[i].is_step ? p->wide
                               : p->scale * (points[i].along - before);
        before = points[i].along;
        p->x[i] = x;
    }
}

static double
required_of(const fc_path *path)
{
    return path->end.required.given ? path->end.required.nominal : NAN;
}

static void
place_up(struct profile *p)
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
                              + fmax(required_of(p->paths[s]), 0));
    }
    p->y = fci_axis_make(figure(p, low), figure(p, high + 0.03 * (high - low)),
                         p->bottom, p->top, 1, 30);
}

static struct fci_said
name_step(const struct profile *p, size_t i)
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
is_named(const struct profile *p, size_t i)
{
    const fc_path_step *step = &p->judged->steps[i];

    return p->points[p->judged->state][i].is_step && (i > 0 || step->sag > 0)
           && (i + 1 < p->n || step->device_loss > 0);
}

/* From the right: a name takes the lowest row where it does not meet those to
 * its right, so that the line down from it crosses none. */
static bool
place_names(struct profile *p)
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
    p->top = 30 + ROW * (double)p->n_rows;
    p->bottom = p->top + DEEP;
    return true;
}

/* ---- Scales ----------------------------------------------------------- */

/* The px of a length: behind all steps at points that come before it. */
static double
across(const struct profile *p, double along)
{
    const struct fci_grade_point *points = p->points[p->judged->state];
    double x = LEFT;
    size_t i;

    for (i = 0; i < p->n && points[i].along <= along; i++)
        x = p->x[i];
    return x + p->scale * (along - (i > 0 ? points[i - 1].along : 0));
}

static void
draw_lengths(struct fci_svg *svg, const struct profile *p)
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
    fci_svg_label(svg, FCI_END, RIGHT, p->bottom + 36, WIDTH, text);
}

static void
draw_pressures(struct fci_svg *svg, const struct profile *p)
{
    char text[80];
    size_t i;

    for (i = 0; i < p->y.n_ticks; i++) {
        const double y = fci_axis_at(&p->y, p->y.ticks[i]);

        fc_show_number(FC_NEAREST, p->y.decimals, p->y.ticks[i], text,
                       sizeof text);
        fci_svg_open(svg, "g", "stroke", "#d4d4d4", NULL);
        fci_svg_line(svg, LEFT - 4, y, RIGHT, y);
        fci_svg_close(svg);
        fci_svg_label(svg, FCI_END, LEFT - 8, y + 4, 56, text);
    }
    fci_svg_open(svg, "g", "stroke", FCI_INK, NULL);
    fci_svg_line(svg, LEFT, p->top, LEFT, p->bottom);
    fci_svg_line(svg, LEFT, p->bottom, RIGHT, p->bottom);
    fci_svg_close(svg);
    snprintf(text, sizeof text, "pressure and elevation together, %s",
             fc_unit_name(p->units, FC_PRESSURE));
    fci_svg_label(svg, FCI_START, 8, 16, WIDTH, text);
}

/* ---- Lines ------------------------------------------------------------ */

static void
draw_names(struct fci_svg *svg, const struct profile *p)
{
    const fc_state state = p->judged->state;
    size_t i;

    for (i = 0; i < p->n; i++) {
        const double x = p->name_x[i];
        const double y = p->top - 4 - ROW * (double)p->row[i];

        if (p->row[i] == SIZE_MAX)
            continue;
        fci_svg_open(svg, "g", "stroke", FCI_FAINT, "stroke-dasharray", "1 3",
                     NULL);
        fci_svg_line(svg, x, y - 8, x, up(p, p->points[state][i].grade));
        fci_svg_close(svg);
        fci_svg_label(svg, FCI_START, x + 4, y, WIDTH - x - 8,
                      name_step(p, i).text);
    }
}

static bool
draw_elevation(struct fci_svg *svg, const struct profile *p)
{
    const struct fci_grade_point *points = p->points[p->judged->state];
    double(*line)[2] = calloc(p->n + 3, sizeof *line);
    size_t i;

    if (!line)
        return false;
    line[0][0] = line[1][0] = LEFT;
    line[0][1] = p->bottom;
    line[1][1] = up(p, points[0].elevation);
    for (i = 0; i < p->n; i++) {
        line[i + 2][0] = p->x[i];
        line[i + 2][1] = up(p, points[i].elevation);
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
draw_grade(struct fci_svg *svg, const struct profile *p, fc_state state)
{
    const struct fci_grade_point *points = p->points[state];
    const struct look *look = &looks[state];
    double(*line)[2] = calloc(p->n + 1, sizeof *line);
    size_t i;

    if (!line)
        return false;
    line[0][0] = LEFT;
    line[0][1] = up(p, p->still[state]);
    for (i = 0; i < p->n; i++) {
        line[i + 1][0] = p->x[i];
        line[i + 1][1] = up(p, points[i].grade);
    }
    fci_svg_open(svg, "g", "class", look->class, "fill", "none", "stroke",
                 look->color, "stroke-width", look->width, "stroke-dasharray",
                 look->dash, NULL);
    fci_svg_polyline(svg, (const double(*)[2])line, p->n + 1);
    fci_svg_close(svg);
    free(line);
    return true;
}

/* ---- The end ---------------------------------------------------------- */

/* No more firmly than the verdict is. */
static const char *
outcome(const fc_fixture_state *end)
{
    if (end->works == FC_CANNOT_TELL)
        return ", cannot tell";
    if (end->works == FC_WORKS)
        return "";
    return end->margin.given && end->margin.nominal < 0 ? ", short"
                                                        : ", does not work";
}

static struct fci_said
tell_end(const struct profile *p, fc_state state)
{
    const fc_fixture_state *end = &p->paths[state]->end;

    return fci_said("%s %s%s",
                    p->paths[FC_RETROFIT] ? looks[state].word : "residual",
                    fci_show(p->units, FC_PRESSURE, end->flowing.nominal).text,
                    outcome(end));
}

static int
by_place(const void *a, const void *b)
{
    const struct remark *x = a, *y = b;

    return (x->at > y->at) - (x->at < y->at);
}

/* Apart from each other, and as near to where they belong as that allows. */
static void
spread(const struct profile *p, struct remark *remarks, size_t n)
{
    double least = p->top + 8;
    size_t i;

    qsort(remarks, n, sizeof *remarks, by_place);
    for (i = 0; i < n; i++) {
        remarks[i].y = fmax(remarks[i].at + 4, least);
        least = remarks[i].y + ROW;
    }
    for (i = n, least = p->bottom; i-- > 0; least = remarks[i].y - ROW)
        remarks[i].y = fmin(remarks[i].y, least);
}

static size_t
gather(const struct profile *p, struct remark *remarks)
{
    const struct fci_grade_point *points = p->points[p->judged->state];
    const bool same = p->paths[FC_EXISTING] && p->paths[FC_RETROFIT]
                      && required_of(p->paths[FC_EXISTING])
                             == required_of(p->paths[FC_RETROFIT]);
    size_t n = 0;
    int s;

    for (s = 0; s < FC_STATES; s++) {
        const double required = p->paths[s] ? required_of(p->paths[s]) : NAN;

        if (!p->paths[s])
            continue;
        remarks[n].color = looks[s].color;
        remarks[n].at = up(p, p->points[s][p->n - 1].grade);
        remarks[n].said = tell_end(p, (fc_state)s);
        n++;
        if (isnan(required) || (same && s == FC_EXISTING))
            continue;
        remarks[n].color = same ? FCI_INK : looks[s].color;
        remarks[n].at = up(p, points[p->n - 1].elevation + required);
        remarks[n].said = fci_said(
            "required %s%s", fci_show(p->units, FC_PRESSURE, required).text,
            p->paths[FC_RETROFIT] && s == FC_EXISTING ? ", existing" : "");
        n++;
    }
    remarks[n].color = "#6a6a6a";
    remarks[n].at = up(p, points[p->n - 1].elevation);
    remarks[n].said =
        fci_said("elevation %s",
                 fci_show(p->units, FC_LENGTH,
                          points[p->n - 1].elevation / p->site->water_weight)
                     .text);
    return n + 1;
}

/* A required pressure is a bar over the end; what is there, a dot. */
static void
draw_end(struct fci_svg *svg, const struct profile *p)
{
    struct remark remarks[2 * FC_STATES + 1] = { { 0 } };
    const size_t n = gather(p, remarks);
    size_t i;

    spread(p, remarks, n);
    for (i = 0; i < n; i++) {
        const bool bar = strncmp(remarks[i].said.text, "required", 8) == 0;

        fci_svg_open(svg, "g", "stroke", remarks[i].color, "fill",
                     remarks[i].color, "stroke-width", bar ? "3" : "1", NULL);
        if (bar)
            fci_svg_line(svg, RIGHT - 14, remarks[i].at, RIGHT + 4,
                         remarks[i].at);
        fci_svg_close(svg);
        fci_svg_open(svg, "g", "stroke", FCI_FAINT, NULL);
        fci_svg_line(svg, RIGHT + 4, remarks[i].at, RIGHT + 14,
                     remarks[i].y - 4);
        fci_svg_close(svg);
        fci_svg_open(svg, "g", "fill", remarks[i].color, NULL);
        fci_svg_label(svg, FCI_START, RIGHT + 18, remarks[i].y, MARGIN,
                      remarks[i].said.text);
        fci_svg_close(svg);
    }
}

static void
draw_key(struct fci_svg *svg, const struct profile *p)
{
    double x = LEFT;
    const double y = p->bottom + 58;
    int s;

    for (s = 0; s < FC_STATES; s++) {
        if (!p->paths[s])
            continue;
        fci_svg_open(svg, "g", "class", "symbol", "stroke", looks[s].color,
                     "stroke-width", looks[s].width, "stroke-dasharray",
                     looks[s].dash, NULL);
        fci_svg_line(svg, x, y - 4, x + 28, y - 4);
        fci_svg_close(svg);
        fci_svg_label(svg, FCI_START, x + 34, y, 160,
                      p->judged->state == FC_EXISTING ? "hydraulic grade"
                                                      : looks[s].word);
        x += 160;
    }
    fci_svg_open(svg, "g", "class", "symbol", "fill", "#e9e9e9", "stroke",
                 "#8a8a8a", NULL);
    fci_svg_shape(svg, x, y - 8, "M0 0H28V10H0Z");
    fci_svg_close(svg);
    fci_svg_label(svg, FCI_START, x + 34, y, 220, "elevation of the pipe");
}

/* ---- The drawing ------------------------------------------------------ */

static void
describe(struct fci_svg *svg, const struct profile *p)
{
    struct fci_said desc = { "" };
    size_t i;
    int s;

    for (s = 0; s < FC_STATES; s++)
        if (p->paths[s])
            desc = fci_said("%s%s at the fixture. ", desc.text,
                            tell_end(p, (fc_state)s).text);
    for (i = 0; i < p->n; i++)
        if (is_named(p, i))
            desc = fci_said("%s%s. ", desc.text, name_step(p, i).text);
    fci_svg_title(
        svg, fci_said("Pressure on the way to %s", p->judged->fixture).text,
        desc.text);
}

static bool
draw(const struct profile *p, xmlTextWriterPtr out)
{
    struct fci_svg svg;
    int s;

    fci_svg_begin(&svg, out, "drawing profile", WIDTH, p->bottom + 72);
    describe(&svg, p);
    svg.failed |= !draw_elevation(&svg, p);
    draw_pressures(&svg, p);
    draw_lengths(&svg, p);
    draw_names(&svg, p);
    /* the dashes of the one over the other, which may be the same */
    for (s = FC_STATES; s-- > 0;)
        if (p->paths[s])
            svg.failed |= !draw_grade(&svg, p, (fc_state)s);
    draw_end(&svg, p);
    draw_key(&svg, p);
    return fci_svg_end(&svg);
}

bool
fci_draw_profile(xmlTextWriterPtr out, const fc_site *site,
                 const fc_check_result *result,
                 const fc_path *const paths[FC_STATES])
{
    struct profile p = { .site = site,
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
