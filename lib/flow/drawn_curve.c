/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/drawn_curve.c -- what is drawn behind a link, by the pressure
 * before it.
 *
 * Curves are kept at nodes, as straight pieces that are nowhere below what is
 * drawn.  Between two nodes a flow that is straight in the pressure at the end
 * is concave in the pressure before the link, since losses are convex in the
 * flow, and lies under its tangents at both; of a law that is not known to be
 * convex it is no more than at the upper node.  Taken to the nodes of the
 * branch before it, a curve is raised by as much as it lies over the straight
 * line.  What is shared out is then no less than what is drawn between nodes
 * either, the sum of lines being one.
 */
#include "flow/drawn_curve.h"

/* Steps to find where a reducer holds. */
#define HALVINGS 40

/* Pieces to look through before all are. */
#define NEARBY 2

/* ---- On a curve --------------------------------------------------------- */

static double
line_at(const struct fci_drawn_curve *c, size_t i, double pressure)
{
    double part;

    if (pressure <= c->before[0])
        return c->flow[0];
    if (i + 1 >= c->n)
        return c->flow[c->n - 1];
    part = (pressure - c->before[i]) / (c->before[i + 1] - c->before[i]);
    return c->flow[i] + (part < 1 ? part : 1) * (c->flow[i + 1] - c->flow[i]);
}

/* The piece that a pressure is in. */
static size_t
piece_of(const struct fci_drawn_curve *c, double pressure, size_t near)
{
    size_t low = 0, high = c->n;

    if (near < c->n && c->before[near] <= pressure) {
        low = near;
        if (near + NEARBY < c->n && c->before[near + NEARBY] > pressure)
            high = near + NEARBY;
    } else if (near < c->n) {
        high = near > 0 ? near : 1;
        if (near > NEARBY && c->before[near - NEARBY] <= pressure)
            low = near - NEARBY;
    }
    while (high - low > 1) {
        const size_t middle = low + (high - low) / 2;

        if (c->before[middle] <= pressure)
            low = middle;
        else
            high = middle;
    }
    return low;
}

double
fci_drawn_at(const struct fci_drawn_curve *c, double pressure, size_t *near)
{
    *near = piece_of(c, pressure, *near);
    return line_at(c, *near, pressure) + c->above[*near];
}

double
fci_drawn_end(const struct fci_drawn_curve *c, double pressure)
{
    const size_t i = piece_of(c, pressure, 0);
    double part;

    if (i + 1 >= c->n || pressure <= c->before[0])
        return c->end[i];
    part = (pressure - c->before[i]) / (c->before[i + 1] - c->before[i]);
    return c->end[i] + part * (c->end[i + 1] - c->end[i]);
}

/* `slope` of what the link takes at that flow. */
static void
push_node(const struct fci_passing *p, struct fci_drawn_curve *c, double end,
          double flow, double before, double slope)
{
    p->slope[c->n] = slope;
    c->end[c->n] = end;
    c->flow[c->n] = flow;
    c->before[c->n] = before;
    c->above[c->n++] = 0;
}

/* ---- From the ends of a link to before it ------------------------------- */

static struct fci_tangent
tangent_of(const struct fci_passing *p, double flow)
{
    return fci_link_tangent(p->network, p->link, p->end, flow);
}

/* The most that is left behind what holds, between two nodes. */
static void
push_held(const struct fci_passing *p, struct fci_drawn_curve *c, double end,
          double flow)
{
    const size_t i = c->n - 1;
    double low = c->end[i], high = end, at, there;
    struct fci_tangent tangent;
    int k;

    for (k = 0; k < HALVINGS; k++) {
        at = (low + high) / 2;
        there = c->flow[i]
                + (flow - c->flow[i]) * (at - c->end[i]) / (end - c->end[i]);
        tangent = tangent_of(p, there);
        if (fci_is_over(&tangent, at, there))
            high = at;
        else
            low = at;
    }
    there = c->flow[i]
            + (flow - c->flow[i]) * (high - c->end[i]) / (end - c->end[i]);
    tangent = tangent_of(p, there);
    push_node(p, c, high, there, fci_larger(high + tangent.loss, c->before[i]),
              tangent.slope);
    if (!isinf(tangent.past))
        push_node(p, c, high, there,
                  fci_larger(high + fci_larger(tangent.loss, tangent.past),
                             c->before[i + 1]),
                  tangent.slope);
}

/* How much a piece of a convex link is over the straight line. */
static double
over_line(const struct fci_passing *p, const struct fci_drawn_curve *c,
          size_t i)
{
    const double rise = c->flow[i + 1] - c->flow[i];
    const double wide = c->before[i + 1] - c->before[i];
    const double ends = c->end[i + 1] - c->end[i];
    const double line = rise / wide, steep = rise / ends;
    double from, to;

    if (rise <= 0 || wide <= 0 || ends <= 0)
        return fci_larger(rise, 0);
    from = steep / (1 + p->slope[i] * steep);
    to = steep / (1 + p->slope[i + 1] * steep);
    return from > line && line > to
               ? wide * (from - line) * (line - to) / (from - to)
               : 0;
}

void
fci_drawn_pass(struct fci_drawn_curve *c, const struct fci_passing *p,
               const struct fci_nodes *at_end, const double *flow)
{
    const bool convex = fci_link_is_convex(p->network, p->link);
    size_t i;

    for (i = 0; i <= at_end->cells; i++) {
        const double end = fci_node(at_end, i);
        const struct fci_tangent at = tangent_of(p, flow[i]);
        const bool over = fci_is_over(&at, end, flow[i]);
        double before = fci_tangent_in(&at, end, flow[i]);

        if (over && i > 0
            && c->n == i) /* not over before, as there are no more nodes */
            push_held(p, c, end, flow[i]);
        if (isinf(before)) {
            if (i == 0)
                push_node(p, c, end, flow[0], end + at.loss, at.slope);
            break;
        }
        if (c->n > 0)
            before = fci_larger(before, c->before[c->n - 1]);
        push_node(p, c, end, flow[i], before, at.slope);
    }
    for (i = 0; i + 1 < c->n; i++)
        c->above[i] = convex ? over_line(p, c, i)
                             : fci_larger(c->flow[i + 1] - c->flow[i], 0);
}

/* ---- From before it to the ends of another ------------------------------ */

/* At nodes, raised by what is over the line on either side. */
static void
raise(double *flow, const double *over, size_t cells)
{
    size_t i;

    for (i = 0; i <= cells; i++) {
        flow[i] +=
            fci_larger(i > 0 ? over[i - 1] : 0, i < cells ? over[i] : 0);
        if (i > 0)
            flow[i] = fci_larger(flow[i], flow[i - 1]);
    }
}

/* Of a curve over the line through what it has at two nodes. */
static double
curve_over(const struct fci_drawn_curve *c, size_t *piece, double from,
           double to, double at_from, double at_to)
{
    const double slope = (at_to - at_from) / (to - from);
    double above = 0, over = 0;
    size_t i = *piece;

    for (;; i++) {
        above = fci_larger(above, c->above[i]);
        if (i + 1 >= c->n || c->before[i + 1] >= to)
            break;
        if (c->before[i + 1] > from)
            over = fci_larger(
                over, c->flow[i + 1]
                          - (at_from + slope * (c->before[i + 1] - from)));
    }
    *piece = i;
    return above + over;
}

void
fci_drawn_by_curve(const struct fci_drawn_curve *c, const struct fci_nodes *to,
                   double *flow, double *over)
{
    const size_t cells = to->cells;
    size_t i, piece = 0;

    for (i = 0; i <= cells; i++) {
        const double pressure = fci_node(to, i);

        while (piece + 1 < c->n && c->before[piece + 1] <= pressure)
            piece++;
        flow[i] = line_at(c, piece, pressure);
    }
    piece = 0;
    for (i = 0; i < cells; i++) {
        const double pressure = fci_node(to, i);

        over[i] = curve_over(c, &piece, pressure, pressure + to->step, flow[i],
                             flow[i + 1]);
    }
    raise(flow, over, cells);
}

/* Of a valve over the line through what it draws at two pressures. */
static double
valve_over(const struct fci_outlet_law *law, double from, double to,
           double at_from, double at_to)
{
    const double need = law->need + law->stop.square;
    const double slope = (at_to - at_from) / (to - from);
    double flow, pressure;

    if (slope <= 0)
        return 0;
    flow = fmin(1 / (2 * need * slope), law->most);
    pressure = law->stop.lift + law->stop.constant + need * flow * flow;
    if (pressure < from || pressure > to)
        return 0;
    return fmax(flow - (at_from + slope * (pressure - from)), 0);
}

void
fci_drawn_by_valve(const struct fci_outlet_law *law,
                   const struct fci_nodes *to, double *flow, double *over)
{
    const size_t cells = to->cells;
    size_t i;

    for (i = 0; i <= cells; i++)
        flow[i] = fci_one_draws(law, fci_node(to, i));
    for (i = 0; i < cells; i++)
        over[i] = valve_over(law, fci_node(to, i), fci_node(to, i + 1),
                             flow[i], flow[i + 1]);
    raise(flow, over, cells);
}
