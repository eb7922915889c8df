/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/source.c -- what a source gives, at a flow.
 *
 *   [N291]  NFPA 291, Recommended Practice for Water Flow Testing and Marking
 *           of Hydrants: flow goes with the 0.54th power of the pressure drop
 *           (from memory)
 */
#include "peak/source.h"
#include "laws/friction.h"
#include "peak/element.h"

#include <math.h>

/* Up to so many times the last tested flow a main is followed by its law.
 * Beyond, nothing says that it falls so far: mains that were tested at several
 * flows fell less (common practice). */
#define FOLLOWED 1.5

/* ---- The fall of a main under flow ------------------------------------- */

/* [N291] by the power of a flow, a main falls along a straight line. */
static double
power_of(double flow)
{
    return pow(fabs(flow), FCI_FRICTION_EXPONENT);
}

/* How far a main falls: by `line` times the power of the flow from a point
 * on, where it has fallen by `drop`. */
struct fall {
    double power, drop, line;
};

/* A point of the test, at an end; all points are off alike.  A main never
 * rises under flow, whatever ranges and gauges say. */
static struct fall
point_of(const fc_source *s, size_t i, enum fci_end end)
{
    const double residual = fci_less_is_worse(s->residual, end);
    const double still = fci_more_is_worse(
        s->test_static.given ? s->test_static : s->static_pressure, end);
    struct fall point = { 0 };
    double off, part;

    if (s->n_flow_test == 0) {
        point.power = power_of(fci_less_is_worse(s->residual_flow, end));
        point.drop = fmax(still - residual, 0);
    } else {
        off = residual - s->flow_test[s->n_flow_test - 1].y;
        part = fci_less_is_worse(s->residual_flow, end)
               / s->flow_test[s->n_flow_test - 1].x;
        point.power = power_of(part * s->flow_test[i].x);
        point.drop = fmax(still - (s->flow_test[i].y + off), 0);
    }
    return point;
}

/* Beyond the last point lies what the straight line from none to it foretells,
 * or the line through the last two. */
static void
follow(struct fall *last, struct fall before, double beyond)
{
    const double law = last->drop / last->power;
    const double line =
        (last->drop - before.drop) / (last->power - before.power);

    last->line =
        fmin(law, line) + beyond * (fmax(law, line) - fmin(law, line));
}

/* The piece of the fall that a flow lies on; between points the data rule. */
static struct fall
piece_at(const fc_source *s, double power, enum fci_end end, double beyond)
{
    const size_t n = s->n_flow_test > 0 ? s->n_flow_test : 1;
    struct fall from = { 0 }, to = { 0 };
    size_t i;

    for (i = 0; i < n; i++) {
        to = point_of(s, i, end);
        if (power <= to.power) {
            from.line = (to.drop - from.drop) / (to.power - from.power);
            return from;
        }
        if (i + 1 == n)
            follow(&to, from, beyond);
        from = to;
    }
    return to;
}

static bool
is_tested(const fc_source *source)
{
    return source->kind == FC_STREET_MAIN && source->residual.given;
}

/* ---- Pressure ----------------------------------------------------------- */

static double
street_main(const fc_source *s, double flow, enum fci_end end, double beyond)
{
    const double still = fci_less_is_worse(s->static_pressure, end);
    const double power = power_of(flow);
    struct fall piece;
    double drop;

    if (!s->residual.given)
        return still;
    piece = piece_at(s, power, end, beyond);
    drop = piece.line * (power - piece.power);
    if (piece.power > 0 && power > power_of(FOLLOWED * s->residual_flow.low))
        drop *= beyond;
    drop += piece.drop;
    /* odd, for a main that another source feeds backwards */
    return still - copysign(drop, flow);
}

/* What nobody gave a shape is not drawn beyond its test, or is as it may be at
 * that end. */
static double
beyond_of(fc_range shape, enum fci_end end)
{
    if (shape.given)
        return fci_more_is_worse(shape, end);
    return end == FCI_BEST ? 0 : 1;
}

double
fci_source_pressure(const fc_source *source, fc_range shape, double weight,
                    double flow, enum fci_end end)
{
    switch (source->kind) {
    case FC_STREET_MAIN:
        return street_main(source, flow, end, beyond_of(shape, end));
    case FC_TANK:
        return weight
               * (fci_less_is_worse(source->water_level, end)
                  - fci_more_is_worse(source->elevation, end));
    case FC_FIXED:
    case FC_WELL: /* feeds a tank, which has the pressure */
        break;
    }
    return fci_less_is_worse(source->pressure, end);
}

void
fci_source_tangent(const fc_source *source, fc_range shape, double weight,
                   double flow, enum fci_end end, double *pressure,
                   double *slope)
{
    const double power = power_of(flow), beyond = beyond_of(shape, end);
    struct fall piece;

    *slope = 0;
    *pressure = fci_source_pressure(source, shape, weight, 0, end);
    if (!is_tested(source))
        return;
    piece = piece_at(source, power, end, beyond);
    if (piece.power > 0 && flow > source->residual_flow.nominal)
        piece.line *= beyond; /* a jump further on would have no solution */
    *pressure -=
        copysign(piece.drop + piece.line * (power - piece.power), flow);
    if (fabs(flow) > 0)
        *slope = piece.line * FCI_FRICTION_EXPONENT * power / fabs(flow);
}

bool
fci_source_is_surface(const fc_source *source, double pressure)
{
    return source->kind == FC_TANK && pressure <= 0
           && pressure > -FCI_SAME_PRESSURE;
}

bool
fci_source_untested(const fc_source *source, double flow)
{
    return source->kind == FC_STREET_MAIN
           && (!source->residual.given
               || flow > source->residual_flow.low * (1 + 1e-9));
}

const char *
fci_untested_main(const fc_site *site)
{
    const struct fci_element *element;
    size_t i, seen = 0;

    /* each stands before what it feeds, so that all are soon seen */
    for (i = 0; i < site->n_elements && seen < site->n_sources; i++) {
        element = &site->elements[site->order[i]];
        if (element->part->kind != FCI_SOURCE)
            continue;
        seen++;
        if (fci_source_untested(element->part->data, 0))
            return element->name;
    }
    return NULL;
}

/* A main with a flow test of several points, or with ranges in one, is no sum
 * of powers. */
bool
fci_source_sums(const fc_source *source)
{
    return !is_tested(source)
           || (source->n_flow_test < 2 && fci_is_exact(source->static_pressure)
               && fci_is_exact(source->test_static)
               && fci_is_exact(source->residual)
               && fci_is_exact(source->residual_flow));
}
