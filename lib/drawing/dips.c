/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/dips.c -- cold pressure against the number of flush valves that
 * are open.
 *
 * A panel each for the two fixtures at which cold falls most, other figures
 * apart, and for the emergency fixture with the least pressure, all to one
 * scale.  A dashed line is what must be kept.  Bars are the ranges.
 */
#include "drawing/axis.h"
#include "drawing/drawings.h"
#include "drawing/svg.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>

#define WIDTH 640.0
#define LEFT 52.0
#define HEIGHT 230.0 /* of the plots */
#define HEAD 76.0    /* above them */
#define FOOT 64.0    /* below */
#define PANELS 3
#define PANEL 194.0 /* of one, with what stands beside its plot */
#define PLOT 142.0
#define GAP 10.0
#define NARROWEST 400.0 /* of the key below, and of the words above */

static const struct look {
    const char *class, *color, *dash, *symbol, *word;
} looks[FC_STATES] = {
    { "dip existing", FCI_BLUE, "7 3", "M-4-4H4V4H-4Z", "existing" },
    { "dip retrofit", FCI_ORANGE, "none", "M0-6L6 0L0 6L-6 0Z",
      "after retrofit" },
};

struct panel {
    const fc_cold_dip_fixture *fixture;
    double left;
};

struct plot {
    const struct fci_dips *dips;
    struct fci_axis y;
    struct panel panels[PANELS];
    size_t n;
    size_t steps; /* across a panel */
};

/* ---- What is drawn ---------------------------------------------------- */

static const fc_cold_dip_state *
judged(const struct fci_dips *dips, const fc_cold_dip_fixture *f)
{
    return &f->states[dips->state];
}

static bool
is_told(const fc_cold_dip_state *told)
{
    return told->given && told->n_dips > 0;
}

static double
last_pressure(const fc_cold_dip_state *told)
{
    return told->dips[told->n_dips - 1].pressure.low;
}

/* A second one that has other figures. */
static const fc_cold_dip_fixture *
next_deepest(const struct fci_dips *dips, const fc_cold_dip_fixture *deepest)
{
    const fc_cold_dip_fixture *next = NULL;
    double most = 0;

    for (size_t i = 0; i < dips->dip->n_fixtures; i++) {
        const fc_cold_dip_fixture *f = &dips->dip->fixtures[i];
        const fc_cold_dip_state *told = judged(dips, f);
        double fall;

        if (f->emergency || !is_told(told)
            || fabs(last_pressure(told) - last_pressure(judged(dips, deepest)))
                   < 700) /* 0.1 psi */
            continue;
        fall = told->dips[told->n_dips - 1].apart.high - f->limit;
        if (!next || fall > most) {
            next = f;
            most = fall;
        }
    }
    return next;
}

static void
add_panel(struct plot *p, const fc_cold_dip_fixture *fixture)
{
    if (!fixture)
        return;
    p->panels[p->n].fixture = fixture;
    p->panels[p->n].left = LEFT + PANEL * (double)p->n;
    p->n++;
}

static const fc_cold_dip_fixture *
at(const struct fci_dips *dips, size_t place)
{
    return place == SIZE_MAX ? NULL : &dips->dip->fixtures[place];
}

static void
choose(struct plot *p)
{
    const struct fci_dips *dips = p->dips;
    const fc_cold_dip_fixture *deepest =
        at(dips, dips->dip->deepest[dips->state]);

    add_panel(p, deepest);
    if (deepest)
        add_panel(p, next_deepest(dips, deepest));
    add_panel(p, at(dips, dips->dip->lowest[dips->state]));
}

bool
fci_has_dips(const struct fci_dips *dips)
{
    return dips->dip
           && (at(dips, dips->dip->deepest[dips->state])
               || at(dips, dips->dip->lowest[dips->state]));
}

static double
printed(const struct plot *p, double si)
{
    return fc_from_si(p->dips->units, FC_PRESSURE, si);
}

/* Its limit in a state [Pa]. */
static double
limit_of(const struct plot *p, const fc_cold_dip_fixture *f)
{
    return f->emergency ? f->minimum
                        : (1 - f->limit) * judged(p->dips, f)->at_rest.nominal;
}

static void
set_scale(struct plot *p)
{
    double low = 0, high = 0;

    p->steps = FC_MOST_DIPPING;
    for (size_t i = 0; i < p->n; i++) {
        const fc_cold_dip_fixture *f = p->panels[i].fixture;

        high = fmax(high, printed(p, limit_of(p, f)));
        for (int s = 0; s < FC_STATES; s++)
            if (is_told(&f->states[s])) {
                low = fmin(low, printed(p, last_pressure(&f->states[s])));
                high = fmax(high, printed(p, f->states[s].at_rest.high));
                if (f->states[s].n_dips > p->steps)
                    p->steps = f->states[s].n_dips;
            }
    }
    p->y = fci_axis_make(low, high * 1.04, HEAD + HEIGHT, HEAD, 1, 36);
}

static double
y_of(const struct plot *p, double si)
{
    return fci_axis_at(&p->y, printed(p, si));
}

static double
x_of(const struct plot *p, const struct panel *panel, size_t place)
{
    return panel->left + 6 + (PLOT - 12) * (double)place / (double)p->steps;
}

/* At the places from the left; at the first no valve is open. */
static fc_range
pressure_of(const fc_cold_dip_state *told, size_t place)
{
    return place == 0 ? told->at_rest : told->dips[place - 1].pressure;
}

/* How many valves are open there: "3", "11, 8" in the two states. */
static struct fci_said
valves_at(const struct panel *panel, size_t place)
{
    const fc_cold_dip_state *s = panel->fixture->states;
    size_t n[FC_STATES] = { place, place };

    for (int i = 0; i < FC_STATES; i++)
        if (place > 0 && place <= s[i].n_dips)
            n[i] = s[i].dips[place - 1].open;
    for (int i = 0; i < FC_STATES; i++)
        if (place > s[i].n_dips)
            n[i] = place > s[1 - i].n_dips ? place : n[1 - i];
    return n[0] == n[1] ? fci_said("%zu", n[0])
                        : fci_said("%zu, %zu", n[0], n[1]);
}

/* ---- One panel -------------------------------------------------------- */

static void
draw_grid(struct fci_svg *svg, const struct plot *p, const struct panel *panel)
{
    for (size_t i = 0; i < p->y.n_ticks; i++) {
        const double y = fci_axis_at(&p->y, p->y.ticks[i]);

        fci_svg_open(svg, "g", "stroke", "#d4d4d4", NULL);
        fci_svg_line(svg, panel->left, y, panel->left + PLOT, y);
        fci_svg_close(svg);
    }
    fci_svg_open(svg, "g", "stroke", FCI_INK, NULL);
    fci_svg_line(svg, panel->left, HEAD, panel->left, HEAD + HEIGHT);
    fci_svg_line(svg, panel->left, HEAD + HEIGHT, panel->left + PLOT,
                 HEAD + HEIGHT);
    fci_svg_close(svg);
    for (size_t k = 0; k <= p->steps; k++) {
        const struct fci_said valves = valves_at(panel, k);

        fci_svg_label(svg, FCI_MIDDLE, x_of(p, panel, k), HEAD + HEIGHT + 17,
                      36, valves.text);
    }
}

static void
open_limit(struct fci_svg *svg)
{
    fci_svg_open(svg, "g", "class", "limit", "stroke", FCI_INK, "stroke-width",
                 "1.5", "stroke-dasharray", "2 2", NULL);
}

static void
draw_limit(struct fci_svg *svg, const struct plot *p,
           const struct panel *panel)
{
    const fc_cold_dip_fixture *f = panel->fixture;
    const double y = y_of(p, limit_of(p, f));
    open_limit(svg);
    fci_svg_line(svg, panel->left, y, panel->left + PLOT, y);
    fci_svg_close(svg);
}

static void
draw_state(struct fci_svg *svg, const struct plot *p,
           const struct panel *panel, fc_state state)
{
    const fc_cold_dip_state *told = &panel->fixture->states[state];
    const struct look *look = &looks[state];
    const double aside = state == FC_EXISTING ? -2 : 2; /* of its bars */
    double points[FC_DIPS + 1][2];

    for (size_t k = 0; k <= told->n_dips; k++) {
        points[k][0] = x_of(p, panel, k);
        points[k][1] = y_of(p, pressure_of(told, k).nominal);
    }
    fci_svg_open(svg, "g", "class", look->class, "stroke", look->color, NULL);
    for (size_t k = 0; k <= told->n_dips; k++) {
        const fc_range range = pressure_of(told, k);

        fci_svg_line(svg, points[k][0] + aside, y_of(p, range.low),
                     points[k][0] + aside, y_of(p, range.high));
    }
    fci_svg_open(svg, "g", "fill", "none", "stroke-width", "2",
                 "stroke-dasharray", look->dash, NULL);
    fci_svg_polyline(svg, (const double(*)[2])points, told->n_dips + 1);
    fci_svg_close(svg);
    fci_svg_open(svg, "g", "class", "point", "fill", "#fff", "stroke-width",
                 "2", NULL);
    for (size_t k = 0; k <= told->n_dips; k++)
        fci_svg_shape(svg, points[k][0], points[k][1], look->symbol);
    fci_svg_close(svg);
    fci_svg_close(svg);
}

/* Beside their last points the figures, kept apart. */
static void
draw_figures(struct fci_svg *svg, const struct plot *p,
             const struct panel *panel)
{
    const int states = p->dips->converted ? FC_STATES : 1;
    double y[FC_STATES], gap;
    bool told[FC_STATES] = { false, false };

    for (int s = 0; s < states; s++) {
        told[s] = is_told(&panel->fixture->states[s]);
        if (told[s])
            y[s] = y_of(p, pressure_of(&panel->fixture->states[s],
                                       panel->fixture->states[s].n_dips)
                               .nominal);
    }
    if (told[0] && told[1]) {
        gap = FCI_LINE - fabs(y[0] - y[1]);
        if (gap > 0) {
            y[0] += y[0] >= y[1] ? gap / 2 : -gap / 2;
            y[1] += y[0] >= y[1] ? -gap / 2 : gap / 2;
        }
    }
    for (int s = 0; s < states; s++) {
        const fc_cold_dip_state *state = &panel->fixture->states[s];
        char digits[40];

        if (!told[s])
            continue;
        fc_show(p->dips->units, FC_PRESSURE, FC_NEAREST, 0,
                pressure_of(state, state->n_dips).nominal, digits,
                sizeof digits);
        fci_svg_open(svg, "g", "fill", looks[s].color, NULL);
        fci_svg_label(svg, FCI_START, x_of(p, panel, state->n_dips) + 12,
                      y[s] + 4, PANEL - PLOT, digits);
        fci_svg_close(svg);
    }
}

static void
draw_panel(struct fci_svg *svg, const struct plot *p,
           const struct panel *panel)
{
    const fc_cold_dip_fixture *f = panel->fixture;
    struct fci_said said;
    char digits[40];

    fci_svg_open(svg, "g", "class", "panel", "data-fixture", f->name, NULL);
    fci_svg_open(svg, "g", "font-weight", "bold", NULL);
    fci_svg_label(svg, FCI_START, panel->left, HEAD - 30, PANEL - GAP - 16,
                  f->name);
    fci_svg_close(svg);
    fc_show(p->dips->units, FC_PRESSURE, FC_NEAREST, 0, limit_of(p, f), digits,
            sizeof digits);
    said = fci_said("%s, limit %s", f->kind, digits);
    fci_svg_label(svg, FCI_START, panel->left, HEAD - 14, PANEL - GAP,
                  said.text);
    draw_grid(svg, p, panel);
    draw_limit(svg, p, panel);
    for (int s = 0; s < (p->dips->converted ? FC_STATES : 1); s++)
        if (is_told(&f->states[s]))
            draw_state(svg, p, panel, (fc_state)s);
    draw_figures(svg, p, panel);
    fci_svg_close(svg);
}

/* ---- The drawing ------------------------------------------------------ */

static void
draw_scale(struct fci_svg *svg, const struct plot *p)
{
    char digits[40];

    for (size_t i = 0; i < p->y.n_ticks; i++) {
        fc_show_number(FC_NEAREST, p->y.decimals, p->y.ticks[i], digits,
                       sizeof digits);
        fci_svg_label(svg, FCI_END, LEFT - 8,
                      fci_axis_at(&p->y, p->y.ticks[i]) + 4, LEFT - 8, digits);
    }
}

static void
draw_key(struct fci_svg *svg, const struct plot *p)
{
    const double y = HEAD + HEIGHT + FOOT - 18;
    double x = LEFT;

    for (int s = 0; s < (p->dips->converted ? FC_STATES : 1); s++) {
        fci_svg_open(svg, "g", "class", looks[s].class, "stroke",
                     looks[s].color, "stroke-width", "2", NULL);
        fci_svg_open(svg, "g", "stroke-dasharray", looks[s].dash, NULL);
        fci_svg_line(svg, x, y - 4, x + 32, y - 4);
        fci_svg_close(svg);
        fci_svg_open(svg, "g", "class", "point", "fill", "#fff", NULL);
        fci_svg_shape(svg, x + 16, y - 4, looks[s].symbol);
        fci_svg_close(svg);
        fci_svg_close(svg);
        fci_svg_label(svg, FCI_START, x + 40, y, 120, looks[s].word);
        x += 40 + fci_svg_width(looks[s].word) + 3 * GAP;
    }
    open_limit(svg);
    fci_svg_line(svg, x, y - 4, x + 32, y - 4);
    fci_svg_close(svg);
    fci_svg_label(svg, FCI_START, x + 40, y, 120, "limit");
}

static struct fci_said
described(const struct plot *p)
{
    struct fci_said said =
        fci_said("Cold pressure by how many flush valves are open.");

    for (size_t i = 0; i < p->n; i++) {
        const fc_cold_dip_fixture *f = p->panels[i].fixture;
        const fc_cold_dip_state *told = judged(p->dips, f);
        char from[40], to[40];

        fc_show(p->dips->units, FC_PRESSURE, FC_NEAREST, 0,
                told->at_rest.nominal, from, sizeof from);
        fc_show(p->dips->units, FC_PRESSURE, FC_NEAREST, 0,
                pressure_of(told, told->n_dips).nominal, to, sizeof to);
        said = fci_said("%s %.60s: %s with none, %s %s with %zu.", said.text,
                        f->name, from, to,
                        fc_unit_name(p->dips->units, FC_PRESSURE),
                        told->dips[told->n_dips - 1].open);
    }
    return said;
}

bool
fci_draw_dips(xmlTextWriterPtr out, const struct fci_dips *dips)
{
    struct plot p = { .dips = dips };
    struct fci_svg svg;
    struct fci_said said;

    choose(&p);
    set_scale(&p);
    said = described(&p);
    fci_svg_begin(&svg, out, "drawing dips",
                  p.n == PANELS
                      ? WIDTH
                      : fmax(LEFT + PANEL * (double)p.n + GAP, NARROWEST),
                  HEAD + HEIGHT + FOOT);
    fci_svg_title(&svg, "Cold pressure while flush valves are open",
                  said.text);
    said = fci_said("cold pressure, %s, by flush valves open",
                    fc_unit_name(dips->units, FC_PRESSURE));
    fci_svg_label(&svg, FCI_START, 8, 16, WIDTH - 16, said.text);
    draw_scale(&svg, &p);
    for (size_t i = 0; i < p.n; i++)
        draw_panel(&svg, &p, &p.panels[i]);
    draw_key(&svg, &p);
    return fci_svg_end(&svg);
}
