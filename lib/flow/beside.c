/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/beside.c -- what one valve more would have beside those that are
 * open.
 *
 * A flow q drawn at a place more than before takes off the pressure there
 *
 *     impedance q + bend q^2 / 2.
 *
 * The impedance is that of the linearised system seen from the place, all that
 * is open standing beside it: from the source on, at the end of a link whose
 * slope is R,
 *
 *     towards the source  R + g,   g = 1 / (1 / impedance_before - y),
 *     at the end          1 / (1 / (R + g) + Y),
 *
 * where Y is what all behind the end takes more per pressure, and y the same
 * of the link itself, seen from before it.  Of a flow that comes up a link the
 * part 1 - (Y_before - y) g goes on towards the source, since what stands
 * beside draws less.  What bends, a link or what stands beside, is felt by the
 * cube of the part that reaches it: twice for the square of the flow, and once
 * more on the way back, since in a linear system the two ways are alike
 * (reciprocity [DK]).
 *
 * A link's slope and bend are those of the parabola through what it takes at
 * its flow and with half a valve and a whole valve more: as little may flow
 * before, those at the flow alone would not tell.  Links that do not flow yet
 * carry q alone, and are taken by their own laws.
 *
 *   [DK]  C. A. Desoer and E. S. Kuh, Basic Circuit Theory (1969), ch. 16
 *         (from memory)
 */
#include "flow/beside.h"
#include "flow/solver_work.h"
#include "laws/friction.h"

#define E FCI_FRICTION_EXPONENT

/* What Taylor's series leaves out, as a part of what the added flow takes off:
 * a choice of this method, which tests/unit/check_beside.c measures. */
#define PART_OFF 0.1
/* The same where a curve, a reducer or a pump is on the way, or a valve that
 * is regulated is open: their laws have corners. */
#define PART_OFF_ROUGH 0.4
/* A valve that draws less than this part of what it does alone closes soon,
 * and so near to a corner of its law a reducer or a pump may turn [Pa]:
 * choices of this method, likewise. */
#define NEXT_TO_NOTHING 0.3
#define CORNER 1000.0
/* Pressures are solved to this [Pa]. */
#define LEAST_OFF 1.0
#define MANY_TIMES 8.0

/* At the end of a link that flows. */
struct end {
    bool unsure; /* something before it may turn with the flow */
    bool rough;  /* something before it has corners */
    double pressure, impedance, bend;
    double conducts, turns; /* Y, and how that grows with the pressure */
    double slope, curve;    /* sums of the links' own, up to what holds: no
                               more is taken off, whatever stands beside */
    double onward;          /* bend of all before it and of its own link, as a
                               flow up the link feels it */
};

/* From the source to the end of a link, without what is special. */
struct way {
    double still, friction, square;
    size_t special; /* the last special link of it; FCI_NONE: none is */
};

enum side { WIDE_OPEN, HOLDS, STANDS };

/* What is added by one more: slope x + bend x^2 / 2. */
struct parabola {
    double at, slope, bend; /* at: at no more */
};

struct fci_beside {
    const struct fci_network *network;
    size_t *flows, taken; /* of each link: the last time that it did, of so
                             many that were taken */
    enum fci_end end;
    struct end *ends;
    struct way *ways;
    double flow;            /* of about one valve more */
    bool rough;             /* an open valve is regulated, or has a curve */
    bool unsure;            /* one has next to nothing */
    struct parabola *grows; /* of each node's flow to the exponent */
    enum side *sides;       /* of each node */
};

/* ---- Memory ----------------------------------------------------------- */

static double
flow_of_one(const struct fci_network *network)
{
    double most = 0;
    size_t i;

    for (i = 0; i < network->site->n_fixtures; i++)
        if (network->outlets[i].flushes)
            most = fmax(most, network->outlets[i].alone);
    return most > 0 ? most : FCI_LEAST_FLOW;
}

static void
find_ways(struct fci_beside *b)
{
    const struct fci_network *network = b->network;
    size_t i;

    for (i = 0; i < network->n_links; i++) {
        const struct fci_link *link = &network->links[i];
        const struct fci_law *law = &network->laws[b->end][i];
        struct way way = { .special = FCI_NONE };

        if (link->parent != FCI_NONE)
            way = b->ways[link->parent];
        if (link->special) {
            way.special = i;
        } else {
            way.still += law->lift + law->constant;
            way.friction += law->friction;
            way.square += law->square;
        }
        b->ways[i] = way;
    }
}

struct fci_beside *
fci_beside_new(const struct fci_network *network, enum fci_end end)
{
    struct fci_beside *b = fci_object_new(sizeof *b);
    struct fci_arena *arena = b ? fci_arena_of(b) : NULL;

    if (!b)
        return NULL;
    b->network = network;
    b->end = end;
    b->ends = fci_arena_array(arena, network->n_links + 1, sizeof *b->ends);
    b->ways = fci_arena_array(arena, network->n_links + 1, sizeof *b->ways);
    b->flows = fci_arena_array(arena, network->n_links + 1, sizeof *b->flows);
    b->grows = fci_arena_array(arena, network->n_links + 1, sizeof *b->grows);
    b->sides = fci_arena_array(arena, network->n_links + 1, sizeof *b->sides);
    if (arena->failed) {
        fci_beside_free(b);
        return NULL;
    }
    b->flow = flow_of_one(network);
    find_ways(b);
    return b;
}

void
fci_beside_free(struct fci_beside *b)
{
    fci_object_free(b);
}

/* ---- One link --------------------------------------------------------- */

/* Which of its three laws a reducer or a pump follows, and by how much. */
static enum side
side_of(const struct fci_tangent *at, double in, double flow, double *by)
{
    const double held = at->cap - at->fall * flow;
    const double open = in - at->loss, past = in - at->past;

    *by = fmin(fabs(held - open),
               isinf(at->past) ? INFINITY
                               : fmin(fabs(past - held), fabs(past - open)));
    if (held < open && !(past > held))
        return HOLDS;
    return past > held && past < open ? STANDS : WIDE_OPEN;
}

/* What friction grows with, to some six digits, which is far more than a
 * parabola has. */
static double
power(double flow)
{
    return flow > 0 ? (double)powf((float)flow, (float)E) : 0;
}

static struct parabola
through(double at, double half, double whole, double flow)
{
    return (struct parabola){ at, (4 * (half - at) - (whole - at)) / flow,
                              4 * (whole - 2 * half + at) / (flow * flow) };
}

/* What a special link takes off at a flow, on one side. */
static double
special_loss(const struct fci_beside *b, size_t link, double flow,
             enum side side)
{
    const fc_site *site = b->network->site;
    const struct fci_tangent at = fci_tangent_at(
        site, &site->elements[b->network->links[link].element], flow, b->end);

    return side == HOLDS    ? at.fall * flow - at.cap
           : side == STANDS ? at.past
                            : at.loss;
}

/* What a link takes at its flow and with one valve more. */
static struct parabola
taken_by(const struct fci_beside *b, const struct fci_solver *s, size_t link)
{
    const struct fci_node *node = &s->nodes[s->slot[link]];
    const enum side side = b->sides[s->slot[link]];
    const struct parabola *grows = &b->grows[s->slot[link]];
    const struct fci_law *law = &b->network->laws[b->end][link];
    const double flow = node->flow;

    if (node->special)
        return through(special_loss(b, link, flow, side),
                       special_loss(b, link, flow + b->flow / 2, side),
                       special_loss(b, link, flow + b->flow, side), b->flow);
    return (struct parabola){
        law->lift + law->constant + law->friction * grows->at
            + law->square * flow * flow,
        law->friction * grows->slope + 2 * law->square * flow,
        law->friction * grows->bend + 2 * law->square
    };
}

/* What is behind a link's end, seen from before it. */
struct seen {
    double conducts, turns;
};

static struct seen
seen_from_before(bool holds, const struct parabola *taken,
                 const struct end *end)
{
    const double part = 1 / (1 + taken->slope * end->conducts);
    const double y = end->conducts;

    if (holds)
        return (struct seen){ 0, 0 };
    return (struct seen){
        part * y, part * part * part * (end->turns - y * y * y * taken->bend)
    };
}

/* ---- All that flows --------------------------------------------------- */

/* Of a special node, at its flow. */
static struct fci_tangent
tangent_of(const struct fci_solver *s, size_t i)
{
    return (struct fci_tangent){ s->nodes[i].loss, s->nodes[i].slope,
                                 s->asides[i].cap, s->asides[i].fall,
                                 s->asides[i].past };
}

/* Of a flow that is many times that of one valve more its tangent parabola is
 * as good. */
static struct parabola
growth(double flow, double more)
{
    const double at = power(flow);

    if (flow > MANY_TIMES * more)
        return (struct parabola){ at, E * at / flow,
                                  E * (E - 1) * at / (flow * flow) };
    return through(at, power(flow + more / 2), power(flow + more), more);
}

static void
find_growth(struct fci_beside *b, const struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->n_nodes; i++) {
        const struct fci_node *node = &s->nodes[i];
        double by;

        b->sides[i] = WIDE_OPEN;
        if (node->special) {
            const struct fci_tangent at = tangent_of(s, i);

            b->sides[i] = side_of(
                &at, node->parent == FCI_NONE ? 0 : s->at[node->parent].exact,
                node->flow, &by);
        } else {
            b->grows[i] = growth(node->flow, b->flow);
        }
    }
}

/* What a valve passes at a pressure p grows by 1 / slope, and that falls. */
static void
add_valve(struct end *end, const struct fci_open_valve *valve)
{
    if (valve->state != FCI_FLOWS || !(valve->slope > 0))
        return;
    end->conducts += valve->count / valve->slope;
    end->turns -= valve->count * 2 * valve->square
                  / (valve->slope * valve->slope * valve->slope);
}

/* What all behind each end takes more per pressure there. */
static void
find_conducts(struct fci_beside *b, const struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->n_active; i++)
        b->ends[s->active[i]].conducts = b->ends[s->active[i]].turns = 0;
    b->rough = b->unsure = false;
    for (i = 0; i < s->n_valves; i++) {
        const struct fci_open_valve *valve = &s->valves[i];

        b->rough |= isfinite(valve->most) || valve->curved;
        b->unsure |=
            valve->flow < NEXT_TO_NOTHING * s->outlets[i].outlet->alone;
        add_valve(&b->ends[s->outlets[i].outlet->link], valve);
    }
    for (i = s->n_active; i-- > 0;) {
        const size_t link = s->active[i];
        const size_t before = b->network->links[link].parent;
        const struct parabola taken = taken_by(b, s, link);
        struct seen seen;

        if (before == FCI_NONE)
            continue;
        seen = seen_from_before(b->sides[s->slot[link]] == HOLDS, &taken,
                                &b->ends[link]);
        b->ends[before].conducts += seen.conducts;
        b->ends[before].turns += seen.turns;
    }
}

/* Whether it may follow another one with one valve more. */
static bool
may_turn(const struct fci_beside *b, const struct fci_solver *s, size_t link,
         double in, double g)
{
    const size_t i = s->slot[link], element = b->network->links[link].element;
    const double flow = s->nodes[i].flow + b->flow, fall = g * b->flow;
    struct fci_tangent now, then;
    double by_now, by_then;

    if (!s->nodes[i].special || isinf(s->asides[i].cap))
        return false;
    now = tangent_of(s, i);
    then = fci_tangent_at(b->network->site,
                          &b->network->site->elements[element], flow, b->end);
    return side_of(&now, in, s->nodes[i].flow, &by_now)
               != side_of(&then, in - fall, flow, &by_then)
           || fmin(by_now, by_then) < fall / 4 + CORNER;
}

static void
find_end(struct fci_beside *b, const struct fci_solver *s, size_t link)
{
    static const struct end source = { 0 };
    const size_t parent = b->network->links[link].parent;
    const struct end *before = parent == FCI_NONE ? &source : &b->ends[parent];
    const bool special = s->nodes[s->slot[link]].special;
    const struct parabola taken = taken_by(b, s, link);
    struct end *end = &b->ends[link];
    const bool holds = b->sides[s->slot[link]] == HOLDS;
    const struct seen own = seen_from_before(holds, &taken, end);
    const double g =
        before->impedance / (1 - own.conducts * before->impedance);
    const double on = 1 - (before->conducts - own.conducts) * g;
    const double towards = taken.slope + (holds ? 0 : g);
    double up;

    end->pressure =
        special ? s->at[s->slot[link]].exact : before->pressure - taken.at;
    end->unsure = before->unsure || may_turn(b, s, link, before->pressure, g)
                  || taken.slope < 0 || taken.slope + taken.bend * b->flow < 0;
    end->onward = holds ? taken.bend
                        : taken.bend + (before->turns - own.turns) * g * g * g
                              + on * on * on * before->onward;
    end->slope = taken.slope + (holds ? 0 : before->slope);
    end->curve = taken.bend + (holds ? 0 : before->curve);
    end->impedance = towards / (1 + towards * end->conducts);
    up = 1 - end->conducts * end->impedance;
    end->bend =
        up * up * up * end->onward
        + end->turns * end->impedance * end->impedance * end->impedance;
}

void
fci_beside_take(struct fci_beside *b, const struct fci_solver *s)
{
    size_t i;

    b->taken++;
    find_growth(b, s);
    find_conducts(b, s);
    for (i = 0; i < s->n_active; i++) {
        find_end(b, s, s->active[i]);
        b->flows[s->active[i]] = b->taken;
    }
}

/* ---- One valve more --------------------------------------------------- */

/* From the base down to a link: one special link or more are between. */
static double
pass_down(const struct fci_beside *b, size_t link, size_t base,
          double pressure, double flow, double power)
{
    const struct fci_network *network = b->network;
    const struct fci_law *law;
    struct fci_tangent at;

    if (link == base)
        return pressure;
    law = &network->laws[b->end][link];
    pressure =
        pass_down(b, network->links[link].parent, base, pressure, flow, power);
    if (!network->links[link].special)
        return pressure - law->lift - law->constant - law->friction * power
               - law->square * flow * flow;
    at = fci_tangent_at(network->site,
                        &network->site->elements[network->links[link].element],
                        flow, b->end);
    return fci_tangent_out(&at, pressure, flow);
}

/* The last link of the way to the end of one that flows; FCI_NONE: none
 * does. */
static size_t
base_of(const struct fci_beside *b, size_t link)
{
    while (link != FCI_NONE && b->flows[link] != b->taken)
        link = b->network->links[link].parent;
    return link;
}

/* At the end of a link, with a flow more there. */
static double
pressure_with(const struct fci_beside *b, size_t link, double flow,
              double *off)
{
    static const struct way source = { .special = FCI_NONE };
    static const struct end nothing = { 0 };
    const size_t base = base_of(b, link);
    const struct end *end = base == FCI_NONE ? &nothing : &b->ends[base];
    const struct way *to = &b->ways[link];
    const struct way *from = base == FCI_NONE ? &source : &b->ways[base];
    const double power = flow > 0 ? pow(flow, E) : 0;
    const double fall = (end->impedance + end->bend * flow / 2) * flow;
    double pressure = end->pressure - fall;

    *off = LEAST_OFF
           + (end->rough || b->rough ? PART_OFF_ROUGH : PART_OFF) * fabs(fall);
    if (base != FCI_NONE && end->pressure > 0)
        *off += fall * fall / end->pressure;
    if (b->unsure)
        *off =
            LEAST_OFF
            + fmax(fall, (end->slope + end->curve * flow / 2) * flow - fall);
    if (end->unsure)
        *off = INFINITY;
    if (to->special != from->special)
        return pass_down(b, link, base, pressure, flow, power);
    return pressure - (to->still - from->still)
           - (to->friction - from->friction) * power
           - (to->square - from->square) * flow * flow;
}

/* Without the lift of what stands at the valve itself. */
static double
needed_at(const struct fci_outlet_law *law, double flow)
{
    return law->stop.lift + law->stop.constant
           + (law->need + law->stop.square) * flow * flow;
}

double
fci_beside_spare(const struct fci_beside *b, size_t fixture, double least,
                 double *off)
{
    const struct fci_outlet *outlet = &b->network->outlets[fixture];
    const struct fci_outlet_law *law = &outlet->law[b->end];
    const double flow = fmin(sqrt(fmax(least, 0) / law->need), law->most);
    const double there = pressure_with(b, outlet->link, flow, off);

    if (outlet->curved_stop)
        *off = INFINITY;
    return there - needed_at(law, flow)
           - fmax(least - law->need * flow * flow, 0);
}

/* What stop and valve leave over at a flow, by which they draw more. */
static double
left_over(const struct fci_beside *b, const struct fci_outlet *outlet,
          double flow, double *off)
{
    return pressure_with(b, outlet->link, flow, off)
           - needed_at(&outlet->law[b->end], flow);
}

#define HALVINGS 30

/* By regula falsi (Illinois): what is left over falls with the flow. */
double
fci_beside_pressure(const struct fci_beside *b, size_t fixture, double *off)
{
    const struct fci_outlet *outlet = &b->network->outlets[fixture];
    const struct fci_outlet_law *law = &outlet->law[b->end];
    double low = 0, high = fmin(2 * outlet->alone, law->most);
    double over = left_over(b, outlet, low, off), flow = 0;
    double under = left_over(b, outlet, high, off);
    int i;

    if (outlet->curved_stop || (under > 0 && high < law->most))
        *off = INFINITY;
    if (!(over > 0))
        return over;
    if (under >= 0)
        return under + law->need * high * high;
    for (i = 0; i < HALVINGS && (high - low) * law->need * high > 1; i++) {
        double left;

        flow = (low * under - high * over) / (under - over);
        left = left_over(b, outlet, flow, off);
        if (left > 0) {
            under = low > 0 && over > left ? under : under / 2;
            low = flow;
            over = left;
        } else {
            over = over / 2;
            high = flow;
            under = left;
        }
        if (fabs(left) < 1)
            break;
    }
    if (outlet->curved_stop)
        *off = INFINITY;
    return law->need * flow * flow;
}
