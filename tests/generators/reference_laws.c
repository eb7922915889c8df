/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/reference_laws.c -- see generators/reference_laws.h.
 *
 * Hazen-Williams in its original form, V = 1.318 C R^0.63 S^0.54 in feet and
 * seconds; NFPA 291's exponent for a street main; Steffen's cubic by GSL.
 */
#include "generators/reference_laws.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_math.h>

#define FOOT 0.3048
#define POWER (1 / 0.54)

/* ---- Curves ----------------------------------------------------------- */

static struct reference_points
points_of(const fc_point *points, size_t n)
{
    struct reference_points p = { .points = points, .n = n };
    size_t i;

    if (n < 3)
        return p;
    p.x = malloc(n * sizeof *p.x);
    p.y = malloc(n * sizeof *p.y);
    p.steffen = gsl_interp_alloc(gsl_interp_steffen, n);
    if (!p.x || !p.y || !p.steffen)
        abort();
    for (i = 0; i < n; i++) {
        p.x[i] = points[i].x;
        p.y[i] = points[i].y;
    }
    gsl_interp_init(p.steffen, p.x, p.y, n);
    return p;
}

static void
free_points(struct reference_points *p)
{
    free(p->x);
    free(p->y);
    gsl_interp_free(p->steffen);
}

const fc_loss *
reference_loss_of(const struct fci_part *part)
{
    switch (part->kind) {
    case FCI_METER:
    case FCI_BACKFLOW:
    case FCI_DEVICE:
        return &((const fc_device *)part->data)->loss;
    case FCI_REDUCER:
        return &((const fc_reducer *)part->data)->loss;
    default:
        return NULL;
    }
}

void *
reference_room(size_t n, size_t size)
{
    void *memory = calloc(n ? n : 1, size);

    if (!memory)
        abort();
    return memory;
}

static struct reference_points
loss_points(const fc_loss *loss)
{
    if (loss && loss->kind == FC_CURVE_LOSS)
        return points_of(loss->points, loss->n_points);
    return points_of(NULL, 0);
}

struct reference_curves
reference_curves_of(const fc_site *site)
{
    struct reference_curves c;
    size_t i;

    c.n_elements = site->n_elements;
    c.n_stops = site->n_fixtures;
    c.elements = reference_room(c.n_elements, sizeof *c.elements);
    c.stops = reference_room(c.n_stops, sizeof *c.stops);
    for (i = 0; i < c.n_elements; i++) {
        const struct fci_part *part = site->elements[i].part;
        const fc_pump *pump = part->data;

        c.elements[i] = part->kind == FCI_PUMP
                            ? points_of(pump->curve, pump->n_curve)
                            : loss_points(reference_loss_of(part));
        c.elements[i].falls = part->kind == FCI_PUMP;
    }
    for (i = 0; i < c.n_stops; i++)
        c.stops[i] = loss_points(&site->fixtures[i].given->stop);
    return c;
}

void
reference_curves_free(struct reference_curves *c)
{
    size_t i;

    for (i = 0; i < c->n_elements; i++)
        free_points(&c->elements[i]);
    for (i = 0; i < c->n_stops; i++)
        free_points(&c->stops[i]);
    free(c->elements);
    free(c->stops);
}

/* The middle of a straight line and of y = first + rise (x / last)^2. */
static struct reference_value
beyond(const struct reference_points *p, double line, double steep, double x)
{
    const fc_point first = p->points[0], last = p->points[p->n - 1];
    struct reference_value v;
    double from = first.y, k;

    /* where the points do not grow, or a head does not fall, from none, or
     * from twice the last of a head down to it */
    if (p->falls ? last.y >= first.y || steep >= 0
                 : last.y <= first.y || steep <= 0)
        from = p->falls ? 2 * last.y : 0;
    k = (last.y - from) / pow(last.x, 2);
    v.at = (line + from + k * pow(x, 2)) / 2;
    v.slope = (steep + 2 * k * x) / 2;
    return v;
}

struct reference_value
reference_fall(const fc_reducer *reducer, double q)
{
    const double at = reducer->fall_off_flow.nominal;
    const double fall = reducer->fall_off.nominal / at;
    struct reference_value v = { fall * q, fall };

    if (!reducer->fall_off.given)
        return (struct reference_value){ 0, 0 };
    if (q > at) { /* halfway between the line and the square */
        v.at = fall * (q + pow(q, 2) / at) / 2;
        v.slope = fall * (1 + 2 * q / at) / 2;
    }
    return v;
}

struct reference_value
reference_points_at(const struct reference_points *p, double x)
{
    const fc_point *last = &p->points[p->n - 1];
    const double steep = (last->y - last[-1].y) / (last->x - last[-1].x);
    struct reference_value v = { p->points[0].y, 0 };

    if (x <= p->points[0].x)
        return v;
    if (x > last->x) /* between the straight line and the square law */
        return beyond(p, last->y + steep * (x - last->x), steep, x);
    if (x >= last->x || !p->steffen) {
        v.at = last->y + steep * (x - last->x);
        v.slope = steep;
        return v;
    }
    v.at = gsl_interp_eval(p->steffen, p->x, p->y, x, NULL);
    v.slope = gsl_interp_eval_deriv(p->steffen, p->x, p->y, x, NULL);
    return v;
}

/* ---- Pipes ------------------------------------------------------------ */

struct reference_value
reference_power(double k, double q, double least)
{
    const double square = q * q + least * least;
    const double half = (POWER - 1) / 2, grown = pow(square, half);
    struct reference_value v;

    v.at = k * q * grown;
    v.slope = k * (grown + 2 * half * q * q * grown / square);
    return v;
}

/* In feet and seconds, with the head lost in feet of water. */
double
reference_pipe(const struct fci_pipe *pipe, double weight)
{
    const double bore = (1 - pipe->scale.nominal) * pipe->bore.nominal / FOOT;
    const double length = (pipe->length.nominal + pipe->equivalent) / FOOT;
    const double velocity =
        1 / (FOOT * FOOT * FOOT) / (M_PI * bore * bore / 4);
    const double gradient =
        pow(velocity / (1.318 * pipe->c.nominal * pow(bore / 4, 0.63)), POWER);

    return weight * gradient * length * FOOT;
}

/* ---- Losses and sources ----------------------------------------------- */

struct reference_value
reference_loss(const fc_loss *loss, const struct reference_points *points,
               double q)
{
    struct reference_value v = { 0, 0 };

    switch (loss->kind) {
    case FC_NO_LOSS:
        break;
    case FC_CONSTANT_LOSS:
        v.at = loss->pressure.nominal;
        break;
    case FC_SQUARE_LOSS:
        v.slope = loss->pressure.nominal / pow(loss->flow.nominal, 2);
        v.at = v.slope * q * fabs(q);
        v.slope *= 2 * fabs(q);
        break;
    case FC_CURVE_LOSS:
        v = reference_points_at(points, q);
        break;
    }
    return v;
}

double
reference_step(const fc_loss *loss)
{
    if (loss->kind == FC_CONSTANT_LOSS)
        return loss->pressure.nominal;
    return loss->kind == FC_CURVE_LOSS ? loss->points[0].y : 0;
}

struct reference_value
reference_source(const fc_source *s, double weight, double q, double least)
{
    struct reference_value v = { 0, 0 }, sag;

    if (s->kind == FC_TANK) {
        v.at = weight * (s->water_level.nominal - s->elevation.nominal);
    } else if (s->kind == FC_FIXED) {
        v.at = s->pressure.nominal;
    } else {
        v.at = s->static_pressure.nominal;
        if (!s->residual.given)
            return v;
        sag =
            reference_power((s->static_pressure.nominal - s->residual.nominal)
                                / pow(s->residual_flow.nominal, POWER),
                            q, least);
        v.at -= sag.at;
        v.slope -= sag.slope;
    }
    return v;
}
