/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/passage.c -- what one element takes at a flow, and how fast it
 * grows.
 *
 * The same laws as peak/element.c marches along, with the derivative that a
 * solver needs, and odd in the flow where water may turn.
 */
#include "peak/passage.h"
#include "laws/friction.h"
#include "peak/element.h"

#include <math.h>

static void
add_power(struct fci_passage *p, double resistance, double flow)
{
    const double slope =
        resistance * pow(fabs(flow), FCI_FRICTION_EXPONENT - 1);

    p->loss += slope * flow;
    p->slope += FCI_FRICTION_EXPONENT * slope;
}

/* What is held back however little flows: against the flow, and of none at all
 * against the side that the sign of the zero says. */
static void
add_step(struct fci_passage *p, double step, double flow)
{
    p->loss += copysign(step, flow);
}

static void
add_curve(struct fci_passage *p, const struct fci_curve *curve, double flow)
{
    const double still = fci_curve_at(curve, 0);

    add_step(p, still, flow);
    p->loss += copysign(fci_curve_at(curve, fabs(flow)) - still, flow);
    p->slope += fci_curve_slope(curve, fabs(flow));
}

void
fci_passage_add(struct fci_passage *p, const fc_loss *loss,
                const struct fci_curve *curve, double flow, enum fci_end end)
{
    double at_one;

    switch (loss->kind) {
    case FC_NO_LOSS:
        break;
    case FC_CONSTANT_LOSS:
        add_step(p, fci_more_is_worse(loss->pressure, end), flow);
        break;
    case FC_SQUARE_LOSS:
        at_one = fci_more_is_worse(loss->pressure, end)
                 / (loss->flow.nominal * loss->flow.nominal);
        p->loss += at_one * fabs(flow) * flow;
        p->slope += 2 * at_one * fabs(flow);
        break;
    case FC_CURVE_LOSS:
        add_curve(p, curve, flow);
        break;
    }
}

static void
pass_source(struct fci_passage *p, const fc_site *site,
            const fc_source *source, double flow, enum fci_end end)
{
    p->loss = -fci_source_pressure(source, site->water_weight, flow, end);
    p->slope = fci_source_slope(source, flow, end);
}

static void
pass_reducer(struct fci_passage *p, const struct fci_element *element,
             double flow, enum fci_end end)
{
    const fc_reducer *reducer = element->part->data;

    fci_passage_add(p, &reducer->loss, element->curve, flow, end);
    p->cap = fci_less_is_worse(reducer->set, end);
    if (reducer->fall_off.given)
        p->fall = reducer->fall_off.nominal / reducer->fall_off_flow.nominal;
}

static void
pass_pump(struct fci_passage *p, const fc_site *site,
          const struct fci_element *element, double flow, enum fci_end end)
{
    const fc_pump *pump = element->part->data;

    if (pump->running == FC_NO)
        return;
    p->past = p->loss; /* the lift */
    p->loss -= fci_pump_gain(site, element, flow);
    p->slope -= site->water_weight * fci_curve_slope(element->curve, flow);
    p->cap = fci_pump_holds(element, end);
}

struct fci_passage
fci_passage_at(const fc_site *site, const struct fci_element *element,
               double flow, enum fci_end end)
{
    struct fci_passage p = { 0, 0, INFINITY, 0, INFINITY };
    const fc_device *device = element->part->data;

    if (element->part->kind == FCI_SOURCE) {
        pass_source(&p, site, element->part->data, flow, end);
        return p;
    }
    p.loss = site->water_weight * fci_more_is_worse(element->rise, end);
    switch (element->part->kind) {
    case FCI_PIPE:
        add_power(&p, element->pipe->resistance[end], flow);
        break;
    case FCI_METER:
    case FCI_BACKFLOW:
    case FCI_DEVICE:
        fci_passage_add(&p, &device->loss, element->curve, flow, end);
        break;
    case FCI_REDUCER:
        pass_reducer(&p, element, flow, end);
        break;
    case FCI_PUMP:
        pass_pump(&p, site, element, flow, end);
        break;
    default:
        break;
    }
    return p;
}
