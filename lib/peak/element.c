/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/element.c -- what sources give and devices take, at a flow.
 *
 *   [N291]  NFPA 291, Recommended Practice for Water Flow Testing and Marking
 *           of Hydrants: flow goes with the 0.54th power of the pressure drop
 *           (from memory)
 */
#include "peak/element.h"
#include "laws/curve.h"
#include "laws/friction.h"

#include <math.h>

/* ---- Sources ---------------------------------------------------------- */

/* A main's pressure is still - drop * sag, sag = (flow / tested)^(1/0.54). */
struct main_fall {
    double still, drop;
};

static struct main_fall
fall_from(double still, double residual)
{
    /* Where the ranges of static and residual overlap, a main cannot be said
     * to rise under flow. */
    return (struct main_fall){ still, fmax(still - residual, 0) };
}

static double
sag_of(const fc_source *s, double flow, enum fci_end end)
{
    const double tested = fci_less_is_worse(s->residual_flow, end);

    /* odd, for a main that another source feeds backwards */
    return copysign(pow(fabs(flow) / tested, FCI_FRICTION_EXPONENT), flow);
}

static double
fallen(struct main_fall fall, double sag)
{
    return fall.still - fall.drop * sag;
}

/* [N291] p = static - (static - residual) (flow / tested)^(1/0.54).
 *
 * Monotone in each input, but beyond the tested flow a higher static pressure
 * with the same residual means a weaker main, so its worse end changes
 * sides. */
static struct main_fall
fall_of(const fc_source *s, double sag, enum fci_end end)
{
    const double residual = fci_less_is_worse(s->residual, end);
    const fc_range still = s->static_pressure;
    struct main_fall low, high;

    if (end == FCI_NOMINAL || sag <= 1)
        return fall_from(fci_less_is_worse(still, end), residual);
    if (end == FCI_BEST) /* where the main does not sag at all, or least */
        return fall_from(fmin(fmax(residual, still.low), still.high),
                         residual);
    low = fall_from(still.low, residual);
    high = fall_from(still.high, residual);
    return fallen(low, sag) < fallen(high, sag) ? low : high;
}

static double
street_main(const fc_source *s, double flow, enum fci_end end)
{
    double sag;

    if (!s->residual.given)
        return fci_less_is_worse(s->static_pressure, end);
    sag = sag_of(s, flow, end);
    return fallen(fall_of(s, sag, end), sag);
}

double
fci_source_slope(const fc_source *source, double flow, enum fci_end end)
{
    double sag;

    if (source->kind != FC_STREET_MAIN || !source->residual.given
        || fabs(flow) <= 0)
        return 0;
    sag = sag_of(source, flow, end);
    return fall_of(source, sag, end).drop * FCI_FRICTION_EXPONENT * sag / flow;
}

double
fci_source_pressure(const fc_source *source, double weight, double flow,
                    enum fci_end end)
{
    switch (source->kind) {
    case FC_STREET_MAIN:
        return street_main(source, flow, end);
    case FC_TANK:
        return weight
               * (fci_less_is_worse(source->water_level, end)
                  - fci_more_is_worse(source->elevation, end));
    case FC_FIXED:
        break;
    }
    return fci_less_is_worse(source->pressure, end);
}

bool
fci_source_untested(const fc_source *source, double flow)
{
    return source->kind == FC_STREET_MAIN
           && (!source->residual.given
               || flow > source->residual_flow.low * (1 + 1e-9));
}

/* ---- Devices ---------------------------------------------------------- */

double
fci_loss_at(const fc_loss *loss, const struct fci_curve *curve, double flow,
            enum fci_end end)
{
    double ratio;

    switch (loss->kind) {
    case FC_NO_LOSS:
        return 0;
    case FC_CONSTANT_LOSS:
        return fci_more_is_worse(loss->pressure, end);
    case FC_SQUARE_LOSS:
        ratio = flow / loss->flow.nominal;
        return fci_more_is_worse(loss->pressure, end) * ratio * ratio;
    case FC_CURVE_LOSS:
        break;
    }
    return fci_curve_at(curve, flow);
}

static struct fci_pressure
less(struct fci_pressure p, double loss)
{
    p.direct -= loss;
    p.capped -= loss;
    return p;
}

static struct fci_pressure
bounded(struct fci_pressure p, double cap)
{
    p.capped = fmin(p.capped, cap);
    return p;
}

static struct fci_pressure
through_reducer(const struct fci_element *element, struct fci_pressure p,
                double flow, enum fci_end end)
{
    const fc_reducer *reducer = element->part->data;
    double set = fci_less_is_worse(reducer->set, end);

    if (reducer->fall_off.given)
        set -=
            reducer->fall_off.nominal * flow / reducer->fall_off_flow.nominal;
    return bounded(
        less(p, fci_loss_at(&reducer->loss, element->curve, flow, end)), set);
}

double
fci_pump_gain(const fc_site *site, const struct fci_element *element,
              double flow)
{
    const fc_pump *pump = element->part->data;

    return pump->running == FC_NO
               ? 0
               : site->water_weight * fci_curve_at(element->curve, flow);
}

double
fci_pump_holds(const struct fci_element *element, enum fci_end end)
{
    const fc_pump *pump = element->part->data;

    return pump->running != FC_NO && pump->hold.given
               ? fci_less_is_worse(pump->hold, end)
               : INFINITY;
}

/* One that gets more than it holds stands still, and water passes it by: to
 * hold is no way to take pressure away. */
static struct fci_pressure
through_pump(const fc_site *site, const struct fci_element *element,
             struct fci_pressure p, double flow, enum fci_end end)
{
    const double gain = fci_pump_gain(site, element, flow);
    const double hold = fci_pump_holds(element, end);

    if (fci_pressure_of(p) > hold)
        return less(p, fmax(-gain, 0));
    return bounded(less(p, -gain), hold);
}

static double
lift(const fc_site *site, const struct fci_element *element, enum fci_end end)
{
    return site->water_weight * fci_more_is_worse(element->rise, end);
}

bool
fci_stands_still(const fc_site *site, const struct fci_element *element,
                 struct fci_pressure in, enum fci_end end)
{
    return element->part->kind == FCI_PUMP
           && fci_pressure_of(less(in, lift(site, element, end)))
                  > fci_pump_holds(element, end);
}

struct fci_pressure
fci_element_passes(const fc_site *site, const struct fci_element *element,
                   struct fci_pressure in, double flow, enum fci_end end)
{
    const struct fci_pressure p = less(in, lift(site, element, end));
    const fc_device *device = element->part->data;

    switch (element->part->kind) {
    case FCI_PIPE:
        return less(p,
                    fci_friction_loss(element->pipe->resistance[end], flow));
    case FCI_METER:
    case FCI_BACKFLOW:
    case FCI_DEVICE:
        return less(p, fci_loss_at(&device->loss, element->curve, flow, end));
    case FCI_REDUCER:
        return through_reducer(element, p, flow, end);
    case FCI_PUMP:
        return through_pump(site, element, p, flow, end);
    default:
        return p;
    }
}

double
fci_element_still(const fc_site *site, const struct fci_element *element,
                  double in, bool trapped, enum fci_end end)
{
    const double p = in - lift(site, element, end);
    const struct fci_pressure free = { p, INFINITY };
    const fc_device *device = element->part->data;
    double out;

    switch (element->part->kind) {
    case FCI_BACKFLOW:
        return trapped
                   ? p
                   : p - fci_loss_at(&device->loss, element->curve, 0, end);
    case FCI_REDUCER:
        /* nothing flows: no fall-off, and no loss wide open */
        return fmin(p,
                    fci_less_is_worse(
                        ((const fc_reducer *)element->part->data)->set, end));
    case FCI_PUMP:
        out = fci_pressure_of(through_pump(site, element, free, 0, end));
        /* one that adds less than nothing keeps in what came before */
        return trapped ? fmax(out, p) : out;
    default:
        return p;
    }
}

/* ---- Backwards --------------------------------------------------------- */

/* The pressure at a pump's inlet, its rise counted. */
static double
before_pump(const fc_site *site, const struct fci_element *element, double out,
            double flow, enum fci_end end)
{
    const double gain = fci_pump_gain(site, element, flow);

    return out > fci_pump_holds(element, end) + FCI_SAME_PRESSURE
               ? out - fmin(gain, 0)
               : out - gain;
}

double
fci_element_asks(const fc_site *site, const struct fci_element *element,
                 double out, double flow, enum fci_end end)
{
    const struct fci_pressure none = { 0, INFINITY };
    struct fci_pressure p;

    if (element->part->kind == FCI_PUMP)
        return before_pump(site, element, out, flow, end)
               + lift(site, element, end);
    p = fci_element_passes(site, element, none, flow, end);
    return out > p.capped + FCI_SAME_PRESSURE ? INFINITY : out - p.direct;
}
