/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/element.c -- what each kind of element does to the pressure: one
 * row a kind, which every other file asks.
 */
#include "peak/element.h"
#include "laws/friction.h"
#include "peak/pair.h"
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

/* A loss, or the head of a pump, and its derivative, at a flow of 0 or more.
 */
struct value {
    double y, slope;
};

/* What the points of a curve leave open beyond the last one: between the
 * straight line and the square law. */
static struct value
curve_value(const struct fci_curve *curve, double flow, bool more, bool falls)
{
    struct value line = { fci_curve_at(curve, flow),
                          fci_curve_slope(curve, flow) };
    struct value square;

    if (flow <= fci_curve_end(curve))
        return line;
    square.y = fci_curve_beyond(curve, flow, falls, &square.slope);
    return (square.y > line.y) == more ? square : line;
}

static struct value
between(struct value least, struct value most, double shape)
{
    return (struct value){ least.y + shape * (most.y - least.y),
                           least.slope + shape * (most.slope - least.slope) };
}

/* Of a loss.  Up to the last point the lower curve is nowhere over the other,
 * but beyond it may be, as it comes out of its dip more steeply. */
static struct value
loss_value(const struct fci_curve *curve, const struct fci_curve *lower,
           double flow, bool more)
{
    const struct value one = curve_value(curve, flow, more, false);
    struct value other;

    if (lower == curve)
        return one;
    other = curve_value(lower, flow, more, false);
    return (other.y > one.y) == more ? other : one;
}

/* `lower`: see struct fci_element; NULL: `curve` itself. */
static struct value
shaped_curve(const struct fci_curve *curve, const struct fci_curve *lower,
             double flow, double shape)
{
    lower = lower ? lower : curve;
    return between(loss_value(curve, lower, flow, false),
                   loss_value(curve, lower, flow, true), shape);
}

/* Of a preventer of which one point is known, the loss lies between the square
 * law and a constant. */
static struct value
shaped_point(const fc_loss *loss, double flow, double shape, enum fci_end end)
{
    const double p = fci_more_is_worse(loss->pressure, end);
    const double ratio = flow / loss->flow.nominal;
    const struct value constant = { p, 0 };
    const struct value square = { p * ratio * ratio,
                                  2 * p * ratio / loss->flow.nominal };

    return ratio > 1 ? between(constant, square, shape)
                     : between(square, constant, shape);
}

static struct value
square_value(const fc_loss *loss, double flow, enum fci_end end)
{
    const double at_one = fci_more_is_worse(loss->pressure, end)
                          / (loss->flow.nominal * loss->flow.nominal);

    return (struct value){ at_one * flow * flow, 2 * at_one * flow };
}

/* Where nobody gave it one nothing is drawn beyond the points, but what a code
 * counts on may be. */
static double
shape_of(fc_range shape, enum fci_end end)
{
    if (shape.given)
        return fci_more_is_worse(shape, end);
    return end == FCI_WORST ? 1 : end == FCI_BEST ? 0 : 0.5;
}

static struct value
stop_value(const fc_loss *loss, const struct fci_curve *curve,
           const struct fci_curve *lower, fc_range shape, double flow,
           enum fci_end end)
{
    switch (loss->kind) {
    case FC_NO_LOSS:
        break;
    case FC_CONSTANT_LOSS:
        return (struct value){ fci_more_is_worse(loss->pressure, end), 0 };
    case FC_SQUARE_LOSS:
        return square_value(loss, flow, end);
    case FC_CURVE_LOSS:
        return shaped_curve(curve, lower, flow, shape_of(shape, end));
    }
    return (struct value){ 0, 0 };
}

/* Whether it is a preventer of which one point is known. */
static bool
holds_back(const struct fci_element *element, const fc_loss *loss)
{
    return element->part->kind == FCI_BACKFLOW && element->shape.given
           && loss->kind == FC_SQUARE_LOSS;
}

/* Whether it is a meter that may lose more where its large meter opens. */
static bool
changes_over(const struct fci_element *element, const fc_loss *loss)
{
    return element->change_over > 0 && loss->kind == FC_SQUARE_LOSS;
}

/* Of nothing when nothing flows. */
static struct value
changing_over(const struct fci_element *element, double flow, double shape)
{
    const double most = shape * element->change_over;

    return flow < FCI_HARDLY_FLOWING
               ? (struct value){ most * flow / FCI_HARDLY_FLOWING,
                                 most / FCI_HARDLY_FLOWING }
               : (struct value){ most, 0 };
}

static struct value
device_value(const struct fci_element *element, double flow, enum fci_end end)
{
    const fc_loss *loss = fci_element_loss(element);
    const double shape = shape_of(element->shape, end);
    struct value v;

    if (holds_back(element, loss))
        return shaped_point(loss, flow, shape, end);
    if (loss->kind == FC_CURVE_LOSS)
        return shaped_curve(element->curve, element->lower, flow, shape);
    v = stop_value(loss, NULL, NULL, element->shape, flow, end);
    if (loss->kind == FC_CONSTANT_LOSS && loss->flow.given
        && flow < loss->flow.nominal)
        v = (struct value){ v.y * flow / loss->flow.nominal,
                            v.y / loss->flow.nominal };
    if (changes_over(element, loss)) {
        const struct value more = changing_over(element, flow, shape);

        v = (struct value){ v.y + more.y, v.slope + more.slope };
    }
    return v;
}

double
fci_loss_at(const fc_loss *loss, const struct fci_curve *curve,
            const struct fci_curve *lower, fc_range shape, double flow,
            enum fci_end end)
{
    return stop_value(loss, curve, lower, shape, flow, end).y;
}

double
fci_element_loss_at(const struct fci_element *element, double flow,
                    enum fci_end end)
{
    return device_value(element, flow, end).y;
}

/* What is held back however little flows is so against the flow, and of none
 * at all against the side that the sign of the zero says. */
static void
add_value(struct fci_tangent *p, struct value still, struct value v,
          double flow)
{
    p->loss += copysign(still.y, flow);
    p->loss += copysign(v.y - still.y, flow);
    p->slope += v.slope;
}

void
fci_tangent_add(struct fci_tangent *p, const fc_loss *loss,
                const struct fci_curve *curve, const struct fci_curve *lower,
                fc_range shape, double flow, enum fci_end end)
{
    add_value(p, stop_value(loss, curve, lower, shape, 0, end),
              stop_value(loss, curve, lower, shape, fabs(flow), end), flow);
}

static void
device_takes(struct fci_taking *t, const fc_site *site,
             const struct fci_element *element, double flow, enum fci_end end)
{
    (void)site;
    t->loss = fci_element_loss_at(element, flow, end);
}

static void
device_passes(struct fci_tangent *p, const fc_site *site,
              const struct fci_element *element, double flow, enum fci_end end)
{
    (void)site;
    add_value(p, device_value(element, 0, end),
              device_value(element, fabs(flow), end), flow);
}

static bool
device_sums(const struct fci_element *element)
{
    const fc_loss *loss = fci_element_loss(element);

    return loss->kind != FC_CURVE_LOSS && !holds_back(element, loss)
           && !changes_over(element, loss);
}

/* ---- Sources ----------------------------------------------------------- */

static void
source_passes(struct fci_tangent *p, const fc_site *site,
              const struct fci_element *element, double flow, enum fci_end end)
{
    const fc_source *source = element->part->data;

    fci_source_tangent(source, element->shape, site->water_weight, flow, end,
                       &p->loss, &p->slope);
    p->loss = -p->loss;
}

static bool
source_sums(const struct fci_element *element)
{
    return !element->shape.given && fci_source_sums(element->part->data);
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

bool
fci_may_pass_nothing(const fc_site *site, const struct fci_element *element,
                     enum fci_end end)
{
    const struct fci_element *other = fci_beside(site, element);
    const fc_reducer *reducer = element->part->data;

    return other && end != FCI_BEST && !reducer->fall_off_flow.given
           && reducer->set.nominal
                  > ((const fc_reducer *)other->part->data)->set.nominal;
}

/* Its fall-off at a flow: linear in it, and beyond the flow that it is given
 * at between that and the square; or, where it is only usual, the same at any.
 */
static struct value
falling(const fc_site *site, const struct fci_element *element, double flow,
        enum fci_end end)
{
    const fc_reducer *reducer = element->part->data;
    const double most = fci_may_pass_nothing(site, element, end)
                            ? fci_less_is_worse(reducer->set, end)
                            : fci_more_is_worse(reducer->fall_off, end);
    const double part = reducer->fall_off_flow.given
                            ? flow / reducer->fall_off_flow.nominal
                            : 0;
    struct value line, square;

    if (!reducer->fall_off.given)
        return (struct value){ 0, 0 };
    if (reducer->fall_off_flow.given) {
        line.slope = most / reducer->fall_off_flow.nominal;
        line.y = most * part;
        square.slope = 2 * part * line.slope;
        square.y = most * part * part;
        return part > 1 ? between(line, square, shape_of(element->shape, end))
                        : line;
    }
    if (flow < FCI_HARDLY_FLOWING)
        return (struct value){ most * flow / FCI_HARDLY_FLOWING,
                               most / FCI_HARDLY_FLOWING };
    return (struct value){ most, 0 };
}

static void
reducer_takes(struct fci_taking *t, const fc_site *site,
              const struct fci_element *element, double flow, enum fci_end end)
{
    const fc_reducer *reducer = element->part->data;

    device_takes(t, site, element, flow, end);
    t->most = fci_less_is_worse(reducer->set, end)
              - falling(site, element, flow, end).y;
}

static void
reducer_passes(struct fci_tangent *p, const fc_site *site,
               const struct fci_element *element, double flow,
               enum fci_end end)
{
    const fc_reducer *reducer = element->part->data;
    const struct value fall = falling(site, element, fabs(flow), end);

    device_passes(p, site, element, flow, end);
    p->fall = fall.slope;
    p->cap = fci_less_is_worse(reducer->set, end)
             - (fall.y - fall.slope * fabs(flow));
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

/* At its worst it has the least head. */
static struct value
head_of(const struct fci_element *element, double flow, enum fci_end end)
{
    return between(curve_value(element->curve, flow, false, true),
                   curve_value(element->curve, flow, true, true),
                   1 - shape_of(element->shape, end));
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
    t->loss = -site->water_weight * head_of(element, flow, end).y;
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
    p->slope -= site->water_weight * head_of(element, flow, end).slope;
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
    return loss->kind == FC_CURVE_LOSS
               ? loss->points[0].y > 0
               : loss->kind == FC_CONSTANT_LOSS || holds_back(element, loss);
}

bool
fci_parts_zones(const struct fci_element *element)
{
    return law_of(element)->at_rest != PASSES || fci_element_steps(element);
}

/* ---- Forwards ---------------------------------------------------------- */

/* A second reducer rises as the first one does. */
static double
lift_of(const fc_site *site, const struct fci_element *element,
        enum fci_end end)
{
    const struct fci_element *of =
        fci_is_second(element) ? fci_beside(site, element) : element;

    return site->water_weight * fci_more_is_worse(of->rise, end);
}

struct fci_taking
fci_one_takes(const fc_site *site, const struct fci_element *element,
              double flow, enum fci_end end)
{
    struct fci_taking taking = { .lift = lift_of(site, element, end),
                                 .most = INFINITY,
                                 .past = INFINITY };

    law_of(element)->takes(&taking, site, element, flow, end);
    return taking;
}

struct fci_taking
fci_element_takes(const fc_site *site, const struct fci_element *element,
                  double flow, enum fci_end end)
{
    return element->beside > 0 ? fci_pair_takes(site, element, flow, end)
                               : fci_one_takes(site, element, flow, end);
}

struct fci_tangent
fci_tangent_at(const fc_site *site, const struct fci_element *element,
               double flow, enum fci_end end)
{
    struct fci_tangent tangent = { .loss = lift_of(site, element, end),
                                   .cap = INFINITY,
                                   .past = INFINITY };

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

    return element->beside > 0
               ? fci_pair_passes(site, element, &taking, in, flow, end)
               : behind(&taking, less(in, taking.lift));
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
    const double p = in - lift_of(site, element, end);
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

    if (element->beside > 0 && !above)
        return fci_pair_asks(site, element, &taking, out, flow, end);
    if (fci_adds_pressure(element))
        return out + (above ? taking.past : taking.loss) + taking.lift;
    return above ? INFINITY : out + (taking.lift + taking.loss);
}
