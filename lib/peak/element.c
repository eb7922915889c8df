/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/element.c -- what each kind of element does to the pressure: one
 * row a kind, which every other file asks.
 */
#include "peak/element.h"
#include "laws/friction.h"
#include "peak/source.h"

/* What it does to the pressure at its outlet while nothing flows. */
enum at_rest {
    PASSES, /* nothing */
    CAPS,   /* it bounds it, and loses nothing wide open */
    KEEPS   /* what it takes or gives at no flow counts, and its check valve
               keeps in what came before */
};

struct element_law {
    void (*takes)(struct fci_taking *taking, const fc_site *site,
                  const struct fci_element *element, double flow,
                  enum fci_end end);
    /* adds to a tangent that has the lift */
    void (*passes)(struct fci_tangent *tangent, const fc_site *site,
                   const struct fci_element *element, double flow,
                   enum fci_end end);
    bool (*sums)(const struct fci_element *element);
    size_t loss; /* where its struct has its loss; 0: it has none */
    enum at_rest at_rest;
    bool one_way, adds;
};

static const struct element_law *law_of(const struct fci_element *element);

const fc_loss *
fci_element_loss(const struct fci_element *element)
{
    const size_t loss = law_of(element)->loss;

    return loss ? (const void *)((const char *)element->part->data + loss)
                : NULL;
}

/* ---- Losses ------------------------------------------------------------ */

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

/* What is held back however little flows: against the flow, and of none at all
 * against the side that the sign of the zero says. */
static void
add_step(struct fci_tangent *p, double step, double flow)
{
    p->loss += copysign(step, flow);
}

static void
add_curve(struct fci_tangent *p, const struct fci_curve *curve, double flow)
{
    const double still = fci_curve_at(curve, 0);

    add_step(p, still, flow);
    p->loss += copysign(fci_curve_at(curve, fabs(flow)) - still, flow);
    p->slope += fci_curve_slope(curve, fabs(flow));
}

void
fci_tangent_add(struct fci_tangent *p, const fc_loss *loss,
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
device_takes(struct fci_taking *t, const fc_site *site,
             const struct fci_element *element, double flow, enum fci_end end)
{
    (void)site;
    t->loss =
        fci_loss_at(fci_element_loss(element), element->curve, flow, end);
}

static void
device_passes(struct fci_tangent *p, const fc_site *site,
              const struct fci_element *element, double flow, enum fci_end end)
{
    (void)site;
    fci_tangent_add(p, fci_element_loss(element), element->curve, flow, end);
}

static bool
device_sums(const struct fci_element *element)
{
    return fci_element_loss(element)->kind != FC_CURVE_LOSS;
}

/* ---- Sources ----------------------------------------------------------- */

static void
source_passes(struct fci_tangent *p, const fc_site *site,
              const struct fci_element *element, double flow, enum fci_end end)
{
    const fc_source *source = element->part->data;

    p->loss = -fci_source_pressure(source, site->water_weight, flow, end);
    p->slope = fci_source_slope(source, flow, end);
}

static bool
source_sums(const struct fci_element *element)
{
    return fci_source_sums(element->part->data);
}

/* ---- Pipes ------------------------------------------------------------- */

static void
pipe_takes(struct fci_taking *t, const fc_site *site,
           const struct fci_element *element, double flow, enum fci_end end)
{
    (void)site;
    t->loss = fci_friction_loss(element->pipe->resistance[end], flow);
}

static void
pipe_passes(struct fci_tangent *p, const fc_site *site,
            const struct fci_element *element, double flow, enum fci_end end)
{
    const double slope = element->pipe->resistance[end]
                         * pow(fabs(flow), FCI_FRICTION_EXPONENT - 1);

    (void)site;
    p->loss += slope * flow;
    p->slope += FCI_FRICTION_EXPONENT * slope;
}

/* ---- Reducers ---------------------------------------------------------- */

static void
reducer_takes(struct fci_taking *t, const fc_site *site,
              const struct fci_element *element, double flow, enum fci_end end)
{
    const fc_reducer *reducer = element->part->data;

    device_takes(t, site, element, flow, end);
    t->most = fci_less_is_worse(reducer->set, end);
    if (reducer->fall_off.given)
        t->most -=
            reducer->fall_off.nominal * flow / reducer->fall_off_flow.nominal;
}

static void
reducer_passes(struct fci_tangent *p, const fc_site *site,
               const struct fci_element *element, double flow,
               enum fci_end end)
{
    const fc_reducer *reducer = element->part->data;

    device_passes(p, site, element, flow, end);
    p->cap = fci_less_is_worse(reducer->set, end);
    if (reducer->fall_off.given)
        p->fall = reducer->fall_off.nominal / reducer->fall_off_flow.nominal;
}

static bool
never_sums(const struct fci_element *element)
{
    (void)element;
    return false;
}

/* ---- Pumps ------------------------------------------------------------- */

static bool
pump_is_off(const struct fci_element *element)
{
    return ((const fc_pump *)element->part->data)->running == FC_NO;
}

/* One that gets more than it holds stands still, and water passes it by: to
 * hold is no way to take pressure away. */
static void
pump_takes(struct fci_taking *t, const fc_site *site,
           const struct fci_element *element, double flow, enum fci_end end)
{
    const fc_pump *pump = element->part->data;

    if (pump_is_off(element))
        return;
    t->loss = -(site->water_weight * fci_curve_at(element->curve, flow));
    t->past = fmax(t->loss, 0);
    if (pump->hold.given)
        t->most = fci_less_is_worse(pump->hold, end);
}

static void
pump_passes(struct fci_tangent *p, const fc_site *site,
            const struct fci_element *element, double flow, enum fci_end end)
{
    struct fci_taking taking = { 0, 0, INFINITY, INFINITY };

    if (pump_is_off(element))
        return;
    pump_takes(&taking, site, element, flow, end);
    p->past = p->loss; /* the lift */
    p->loss += taking.loss;
    p->slope -= site->water_weight * fci_curve_slope(element->curve, flow);
    p->cap = taking.most;
}

/* ---- The kinds --------------------------------------------------------- */

static const struct element_law laws[FCI_KINDS] = {
    [FCI_SOURCE] = { .passes = source_passes, .sums = source_sums },
    [FCI_PIPE] = { .takes = pipe_takes, .passes = pipe_passes },
    [FCI_METER] = { device_takes, device_passes, device_sums,
                    offsetof(fc_device, loss), .one_way = true },
    [FCI_BACKFLOW] = { device_takes, device_passes, device_sums,
                       offsetof(fc_device, loss), KEEPS, .one_way = true },
    [FCI_DEVICE] = { .takes = device_takes,
                     .passes = device_passes,
                     .sums = device_sums,
                     .loss = offsetof(fc_device, loss) },
    [FCI_REDUCER] = { reducer_takes, reducer_passes, never_sums,
                      offsetof(fc_reducer, loss), CAPS, .one_way = true },
    [FCI_PUMP] = { pump_takes, pump_passes, pump_is_off, 0, KEEPS,
                   .one_way = true, .adds = true },
};

static const struct element_law *
law_of(const struct fci_element *element)
{
    return &laws[element->part->kind];
}

bool
fci_is_one_way(const struct fci_element *element)
{
    return law_of(element)->one_way;
}

bool
fci_adds_pressure(const struct fci_element *element)
{
    return law_of(element)->adds;
}

bool
fci_element_sums(const struct fci_element *element)
{
    return !law_of(element)->sums || law_of(element)->sums(element);
}

bool
fci_element_steps(const struct fci_element *element)
{
    const fc_loss *loss = fci_element_loss(element);

    if (!loss)
        return false;
    return loss->kind == FC_CURVE_LOSS ? loss->points[0].y > 0
                                       : loss->kind == FC_CONSTANT_LOSS;
}

bool
fci_parts_zones(const struct fci_element *element)
{
    return law_of(element)->at_rest != PASSES || fci_element_steps(element);
}

/* ---- Forwards ---------------------------------------------------------- */

struct fci_taking
fci_element_takes(const fc_site *site, const struct fci_element *element,
                  double flow, enum fci_end end)
{
    struct fci_taking taking = {
        .lift = site->water_weight * fci_more_is_worse(element->rise, end),
        .most = INFINITY,
        .past = INFINITY
    };

    law_of(element)->takes(&taking, site, element, flow, end);
    return taking;
}

struct fci_tangent
fci_tangent_at(const fc_site *site, const struct fci_element *element,
               double flow, enum fci_end end)
{
    struct fci_tangent tangent = {
        .loss = site->water_weight * fci_more_is_worse(element->rise, end),
        .cap = INFINITY,
        .past = INFINITY
    };

    law_of(element)->passes(&tangent, site, element, flow, end);
    return tangent;
}

static struct fci_pressure
less(struct fci_pressure p, double loss)
{
    p.direct -= loss;
    p.capped -= loss;
    return p;
}

/* `p` is before it, its rise counted. */
static struct fci_pressure
behind(const struct fci_taking *taking, struct fci_pressure p)
{
    if (fci_may_hold(taking) && fci_pressure_of(p) > taking->most)
        return less(p, taking->past);
    p = less(p, taking->loss);
    p.capped = fmin(p.capped, taking->most);
    return p;
}

struct fci_pressure
fci_element_passes(const fc_site *site, const struct fci_element *element,
                   struct fci_pressure in, double flow, enum fci_end end)
{
    const struct fci_taking taking =
        fci_element_takes(site, element, flow, end);

    return behind(&taking, less(in, taking.lift));
}

bool
fci_stands_still(const fc_site *site, const struct fci_element *element,
                 struct fci_pressure in, enum fci_end end)
{
    const struct fci_taking taking = fci_element_takes(site, element, 0, end);

    return fci_may_hold(&taking)
           && fci_pressure_of(less(in, taking.lift)) > taking.most;
}

double
fci_element_still(const fc_site *site, const struct fci_element *element,
                  double in, bool trapped, enum fci_end end)
{
    const enum at_rest at_rest = law_of(element)->at_rest;
    const double p =
        in - site->water_weight * fci_more_is_worse(element->rise, end);
    struct fci_taking taking;
    double out;

    if (at_rest == PASSES)
        return p;
    taking = fci_element_takes(site, element, 0, end);
    if (at_rest == CAPS)
        return fmin(p, taking.most);
    out =
        fci_pressure_of(behind(&taking, (struct fci_pressure){ p, INFINITY }));
    return trapped ? fmax(out, p) : out;
}

/* ---- Backwards --------------------------------------------------------- */

double
fci_element_asks(const fc_site *site, const struct fci_element *element,
                 double out, double flow, enum fci_end end)
{
    const struct fci_taking taking =
        fci_element_takes(site, element, flow, end);
    const bool above = out > taking.most + FCI_SAME_PRESSURE;

    if (fci_adds_pressure(element))
        return out + (above ? taking.past : taking.loss) + taking.lift;
    return above ? INFINITY : out + (taking.lift + taking.loss);
}
