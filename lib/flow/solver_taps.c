/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/solver_taps.c -- the open valves of an event. */
#include "flow/solver_work.h"

#include <math.h>

/* A valve's flow falls to no less than this part of it in one step. */
#define LEAST_PART 0.1

/* Less than this part of what it draws alone is on the way to nothing. */
#define NEARLY_DRY 1e-3

/* ---- Their laws ------------------------------------------------------- */

/* What stop and valve take at the flow of the tap. */
static void
valve_law(const struct fci_solver *s, struct fci_tap *tap)
{
    const struct fci_outlet_law *law = tap->law;
    const double square = law->need + law->stop.square;
    struct fci_passage stop;

    tap->taken = square * tap->flow * tap->flow + law->stop.constant;
    tap->slope = 2 * square * tap->flow;
    if (tap->outlet->curved_stop) {
        stop = fci_curved_stop(s->network, tap->outlet, tap->flow);
        tap->taken += stop.loss;
        tap->slope += stop.slope;
    }
}

void
fci_taps_gather(struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->n_taps; i++) {
        struct fci_tap *tap = &s->taps[i];
        struct fci_node *node = &s->nodes[tap->node];

        valve_law(s, tap);
        node->flow += tap->count * tap->flow;
        if (tap->state == FCI_FULL) {
            node->a += tap->count * tap->flow;
        } else if (tap->state == FCI_FLOWS) {
            node->a += tap->count
                       * (tap->flow
                          - (tap->taken + tap->law->stop.lift) / tap->slope);
            node->b += tap->count / tap->slope;
        }
    }
}

/* ---- How far off they are, and a step --------------------------------- */

/* By how much the pressure there exceeds what stop and valve take. */
static double
miss_of(const struct fci_tap *tap, double pressure)
{
    const double there = pressure - tap->law->stop.lift;

    switch (tap->state) {
    case FCI_FULL:
        return fmin(there - tap->taken, 0);
    case FCI_DRY:
        return fmax(there - tap->still, 0);
    default:
        return there - tap->taken;
    }
}

double
fci_taps_miss(struct fci_solver *s)
{
    double worst = 0;
    size_t i;

    for (i = 0; i < s->n_taps; i++) {
        struct fci_tap *tap = &s->taps[i];
        const double pressure = s->nodes[tap->node].exact;
        const double miss = fabs(miss_of(tap, pressure));

        tap->drive = pressure - tap->law->stop.lift - tap->taken;
        if (!(miss <= worst)) { /* NaN is the worst */
            worst = miss;
            s->culprit = s->network->links[tap->outlet->link].element;
        }
    }
    return worst;
}

/* At once is quicker, but neighbours that fall and rise together may do so for
 * ever; `gently` they do not. */
static void
fall(struct fci_tap *tap, bool gently)
{
    if (gently && tap->state != FCI_DRY
        && tap->flow > NEARLY_DRY * tap->outlet->alone) {
        tap->state = FCI_FLOWS;
        tap->flow *= LEAST_PART;
    } else {
        tap->state = FCI_DRY;
        tap->flow = 0;
    }
}

/* No more than valve and stop let through at the pressure `there`. */
static double
most_through(const struct fci_tap *tap, double there)
{
    return sqrt(there / (tap->law->need + tap->law->stop.square));
}

/* One valve after a step; whether it changed its state. */
static bool
step_tap(struct fci_tap *tap, double pressure, bool gently)
{
    const enum fci_valve_state before = tap->state;
    const double there = pressure - tap->law->stop.lift - tap->still;
    const double taken = tap->taken - tap->still;

    tap->before = tap->flow;
    if (there <= 0) {
        fall(tap, gently);
    } else if (tap->state == FCI_DRY) {
        tap->state = FCI_FLOWS;
        tap->flow = most_through(tap, there);
    } else if (tap->state == FCI_FLOWS || there < taken - FCI_CLOSE_ENOUGH) {
        tap->state = FCI_FLOWS;
        tap->flow = fmax(tap->flow + (there - taken) / tap->slope,
                         LEAST_PART * tap->flow);
        if (!tap->outlet->curved_stop)
            tap->flow = fmin(tap->flow, most_through(tap, there));
    }
    if (tap->flow >= tap->law->most) {
        tap->state = FCI_FULL;
        tap->flow = tap->law->most;
    }
    return tap->state != before;
}

bool
fci_taps_step(struct fci_solver *s, bool gently, double *largest)
{
    bool changed = false;
    size_t i;

    *largest = 0;
    for (i = 0; i < s->n_taps; i++) {
        struct fci_tap *tap = &s->taps[i];
        double step;

        changed |= step_tap(tap, s->nodes[tap->node].pressure, gently);
        step = fabs(tap->flow - tap->before);
        if (step > *largest * tap->flow)
            *largest = step / tap->flow;
    }
    return changed;
}

void
fci_taps_back(struct fci_solver *s, double part)
{
    size_t i;

    for (i = 0; i < s->n_taps; i++) {
        struct fci_tap *tap = &s->taps[i];

        tap->flow += part * (tap->before - tap->flow);
        tap->state = tap->flow <= 0                ? FCI_DRY
                     : tap->flow >= tap->law->most ? FCI_FULL
                                                   : FCI_FLOWS;
    }
}

void
fci_taps_drive(const struct fci_solver *s, double *now, double *then)
{
    size_t i;

    *now = *then = 0;
    for (i = 0; i < s->n_taps; i++) {
        const struct fci_tap *tap = &s->taps[i];
        const double step = tap->count * (tap->flow - tap->before);

        *now += step * tap->drive;
        *then += step * tap->drive_before;
    }
}

/* A valve that does not just flow has the pressure that is there. */
static double
pressure_at(const struct fci_solver *s, const struct fci_tap *tap)
{
    const double there = s->nodes[tap->node].pressure - tap->law->stop.lift;
    const double valve = tap->law->need * tap->flow * tap->flow;

    switch (tap->state) {
    case FCI_FULL:
        return there - (tap->taken - valve);
    case FCI_DRY:
        return there - tap->still;
    default:
        return valve;
    }
}

void
fci_taps_keep(struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->n_taps; i++) {
        const struct fci_tap *tap = &s->taps[i];
        struct fci_drawn *drawn = &s->drawn[i];

        drawn->flow = tap->flow;
        drawn->pressure = pressure_at(s, tap);
        s->last[drawn->fixture] = tap->flow;
        s->recall[drawn->fixture] = s->memory;
    }
}
