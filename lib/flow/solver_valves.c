/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/solver_valves.c -- the open valves of an event. */
#include "flow/solver_work.h"

#include <math.h>

/* A valve's flow falls to no less than this part of it in one step. */
#define LEAST_PART 0.1

/* ---- Their laws ------------------------------------------------------- */

/* What stop and valve take at its flow. */
static void
valve_law(const struct fci_solver *s, size_t i)
{
    struct fci_open_valve *valve = &s->valves[i];
    double constant = valve->still;
    struct fci_tangent stop = { 0 };

    if (valve->curved) {
        const struct fci_open_outlet *at = &s->outlets[i];

        constant = at->law->stop.constant;
        stop =
            fci_curved_stop(s->network, at->outlet, valve->flow, at->law->end);
    }
    valve->taken =
        valve->square * valve->flow * valve->flow + constant + stop.loss;
    valve->slope = 2 * valve->square * valve->flow + stop.slope;
}

/* As fmin() and fmax(): the second where the first is not a number. */
static inline double
less_of(double a, double b)
{
    return a < b ? a : b;
}

static inline double
more_of(double a, double b)
{
    return a > b ? a : b;
}

/* One that flows next to nothing is a slope of nothing, and would hold the
 * pressure there at what it is, whatever its neighbors did.  Its slope is
 * therefore taken over all of the way that its miss of a moment ago asks for,
 * which is the same where the miss is small.  What its miss would move moves.
 */
static void
be_careful(struct fci_open_valve *valve, bool turning)
{
    const double square = valve->square;

    if (!turning
        && (valve->state == FCI_DRY
                ? valve->drive > 0
                : valve->state == FCI_FULL && valve->drive < 0))
        valve->state = FCI_FLOWS;
    valve->slope = fmax(valve->slope, sqrt(square * fabs(valve->drive)));
    valve->slope = fmax(valve->slope, square * FCI_LEAST_FLOW);
}

void
fci_valves_gather(struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->n_valves; i++) {
        struct fci_open_valve *valve = &s->valves[i];
        struct fci_sum *sum = &s->sums[valve->node];

        if (valve->state == FCI_DRY && !s->careful) {
            valve->taken = valve->still;
            continue;
        }
        valve_law(s, i);
        if (s->careful)
            be_careful(valve, s->turning);
        sum->flow += valve->count * valve->flow;
        if (valve->state == FCI_FULL) {
            sum->a += valve->count * valve->most;
        } else if (valve->state == FCI_FLOWS) {
            sum->a +=
                valve->count
                * (valve->flow - (valve->taken + valve->lift) / valve->slope);
            sum->b += valve->count / valve->slope;
        }
    }
}

/* ---- How far off they are, and a step --------------------------------- */

/* By how much the pressure there exceeds what stop and valve take. */
static double
miss_of(const struct fci_open_valve *valve, double pressure)
{
    const double there = pressure - valve->lift;

    switch (valve->state) {
    case FCI_FULL:
        return fmin(there - valve->taken, 0);
    case FCI_DRY:
        return fmax(there - valve->still, 0);
    default:
        return there - valve->taken;
    }
}

double
fci_valves_miss(struct fci_solver *s)
{
    double worst = 0;
    size_t i;

    s->drive = s->drive_before = 0;
    for (i = 0; i < s->n_valves; i++) {
        struct fci_open_valve *valve = &s->valves[i];
        const double pressure = s->at[valve->node].exact;
        const double miss = fabs(miss_of(valve, pressure));
        const double step = valve->count * (valve->flow - valve->before);

        valve->drive = pressure - valve->lift - valve->taken;
        s->drive += step * valve->drive;
        s->drive_before += step * valve->drive_before;
        if (!(miss <= worst)) { /* NaN is the worst */
            worst = miss;
            s->culprit = s->network->links[s->outlets[i].outlet->link].element;
        }
    }
    return worst;
}

/* No more than valve and stop let through at the pressure `there`. */
static double
most_through(const struct fci_open_valve *valve, double there)
{
    return sqrt(there / valve->square);
}

/* What one would draw by its tangent. */
static double
by_tangent(const struct fci_solver *s, const struct fci_open_valve *valve)
{
    return valve->flow
           + (s->at[valve->node].pressure - valve->lift - valve->taken)
                 / valve->slope;
}

static enum fci_valve_state
state_at(const struct fci_open_valve *valve, double flow)
{
    return flow <= 0 ? FCI_DRY : flow >= valve->most ? FCI_FULL : FCI_FLOWS;
}

bool
fci_valves_turn(struct fci_solver *s)
{
    bool turned = false;
    size_t i;

    for (i = 0; i < s->n_valves; i++) {
        struct fci_open_valve *valve = &s->valves[i];
        const enum fci_valve_state to = state_at(valve, by_tangent(s, valve));

        turned |= to != valve->state;
        valve->state = to;
    }
    return turned;
}

void
fci_valve_set(struct fci_open_valve *valve, double to)
{
    valve->flow = less_of(more_of(to, 0), valve->most);
    valve->state = state_at(valve, valve->flow);
}

static void
step_in_haste(struct fci_open_valve *valve, double pressure)
{
    const double there = pressure - valve->lift - valve->still;
    const double taken = valve->taken - valve->still;

    if (there <= 0) {
        valve->state = FCI_DRY;
        valve->flow = 0;
    } else if (valve->state == FCI_DRY) {
        valve->state = FCI_FLOWS;
        valve->flow = most_through(valve, there);
    } else if (valve->state == FCI_FLOWS || there < taken - FCI_CLOSE_ENOUGH) {
        valve->state = FCI_FLOWS;
        valve->flow = more_of(valve->flow + (there - taken) / valve->slope,
                              LEAST_PART * valve->flow);
        if (!valve->curved)
            valve->flow = less_of(most_through(valve, there), valve->flow);
    }
}

/* One valve after a step; whether it changed its state. */
static bool
step_valve(const struct fci_solver *s, struct fci_open_valve *valve)
{
    const enum fci_valve_state before = state_at(valve, valve->flow);

    valve->before = valve->flow;
    if (!s->careful)
        step_in_haste(valve, s->at[valve->node].pressure);
    else if (valve->state == FCI_FLOWS)
        valve->flow = by_tangent(s, valve);
    else
        valve->flow = valve->state == FCI_DRY ? 0 : valve->most;
    fci_valve_set(valve, valve->flow);
    return valve->state != before;
}

bool
fci_valves_step(struct fci_solver *s, double *largest)
{
    bool changed = false;
    size_t i;

    *largest = 0;
    for (i = 0; i < s->n_valves; i++) {
        struct fci_open_valve *valve = &s->valves[i];
        double step;

        valve->drive_before = valve->drive;
        changed |= step_valve(s, valve);
        step = fabs(valve->flow - valve->before);
        if (step > *largest * valve->flow)
            *largest = step / valve->flow;
    }
    return changed;
}

void
fci_valves_back(struct fci_solver *s, double part)
{
    size_t i;

    for (i = 0; i < s->n_valves; i++) {
        struct fci_open_valve *valve = &s->valves[i];

        fci_valve_set(valve,
                      valve->flow + part * (valve->before - valve->flow));
    }
}

/* A valve that does not just flow has the pressure that is there. */
static double
pressure_at(const struct fci_solver *s, const struct fci_open_valve *valve)
{
    const double there = s->at[valve->node].pressure - valve->lift;
    const double own = valve->need * valve->flow * valve->flow;

    switch (valve->state) {
    case FCI_FULL:
        return there - (valve->taken - own);
    case FCI_DRY:
        return there - valve->still;
    default:
        return own;
    }
}

void
fci_valves_keep(struct fci_solver *s)
{
    size_t i;

    s->thin = false;
    for (i = 0; i < s->n_valves; i++) {
        const struct fci_open_valve *valve = &s->valves[i];
        struct fci_drawn *drawn = &s->drawn[i];

        s->thin |= valve->state == FCI_FLOWS
                   && valve->square * valve->flow * valve->flow < FCI_THIN;
        drawn->flow = valve->flow;
        drawn->pressure = pressure_at(s, valve);
        s->last[drawn->fixture] = valve->flow;
        s->recall[drawn->fixture] = s->memory;
    }
}
