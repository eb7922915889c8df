/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/apply.c -- a trial as a cause would have it. */
#include "laws/curve.h"
#include "diagnose/diagnose.h"
#include "laws/friction.h"
#include "site/pipe_size.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void
shift(fc_range *range, double by)
{
    if (range->given)
        *range = fc_exactly(range->nominal + by);
}

static void
apply_supply(struct fci_tryout *t, size_t at, double by)
{
    fc_source *source = fci_variant_data(&t->variant, t->here[at]);

    shift(&source->static_pressure, by);
    shift(&source->residual, by);
    shift(&source->pressure, by);
    shift(&source->water_level, by / t->site.water_weight);
}

static void
apply_slot(struct fci_tryout *t, size_t at, fc_loss_kind kind, double pressure,
           double flow)
{
    fc_device *device = fci_variant_data(&t->variant, t->slot[at]);

    device->loss = (fc_loss){ .kind = kind,
                              .pressure = fc_exactly(pressure),
                              .flow = fc_exactly(flow) };
}

static void
apply_c(struct fci_tryout *t, size_t here, double x)
{
    const struct fci_pipe *pipe = t->site.elements[here].pipe;

    fci_variant_pipe(&t->variant, here,
                     pipe->c.nominal * exp(-x / FCI_FRICTION_EXPONENT), 0);
}

/* Of a run from its lower end up. */
static void
apply_roughness(struct fci_tryout *t, const struct fci_fault *fault, double x)
{
    const fc_site *from = t->from;
    size_t i, at;

    if (!fault->all) {
        for (at = fault->last; at != fault->element;
             at = from->elements[at].parent)
            apply_c(t, t->here[at], x);
        apply_c(t, t->here[at], x);
        return;
    }
    for (i = 0; i < t->site.n_elements; i++) {
        const struct fci_pipe *pipe = t->site.elements[i].pipe;

        if (pipe && pipe->material == fault->material)
            apply_c(t, i, x);
    }
}

/* Its fittings are of that size too. */
static void
apply_size(struct fci_tryout *t, size_t here, const struct fci_size *size)
{
    struct fci_pipe *pipe = &t->variant.pipes[here];

    if (pipe->given->n_fittings > 0)
        pipe->equivalent = fci_equivalent_length(pipe, size->nominal);
    fci_variant_pipe(&t->variant, here, 0, size->bore);
}

static void
apply_stop(struct fci_tryout *t, const struct fci_fault *fault, double loss)
{
    fc_loss *stop =
        &fci_variant_fixture(&t->variant, t->fixture_here[fault->fixture])
             ->stop;
    double before = 0;

    if (stop->kind == FC_SQUARE_LOSS)
        before = stop->pressure.nominal * fault->flow * fault->flow
                 / (stop->flow.nominal * stop->flow.nominal);
    *stop = (fc_loss){ .kind = FC_SQUARE_LOSS,
                       .pressure = fc_exactly(before + loss),
                       .flow = fc_exactly(fault->flow) };
}

static void
apply_height(struct fci_tryout *t, const struct fci_fault *fault, double by)
{
    fc_range *rise =
        fault->fixture == FCI_NONE
            ? &t->variant.site.elements[t->here[fault->element]].rise
            : &fci_variant_fixture(&t->variant,
                                   t->fixture_here[fault->fixture])
                   ->rise;

    *rise = fc_exactly(rise->nominal + by);
}

/* Of one fixture alone in a copy, since fixtures share the valve of a name. */
static void
apply_rate(struct fci_tryout *t, const struct fci_fault *fault, fc_state state,
           double times, size_t k)
{
    const size_t fixture = t->fixture_here[fault->fixture];
    fc_valve *valve = fci_variant_valve(&t->variant, fixture, state);

    if (!fault->shared) {
        t->valves[k] = *valve;
        valve = &t->valves[k];
        t->variant.site.fixtures[fixture].valve[state] = valve;
    }
    valve->flow = fc_exactly(valve->flow.nominal * times);
}

/* In the place of its curve. */
static bool
set_curve(struct fci_tryout *t, size_t here, const fc_point *points, size_t n,
          size_t k)
{
    fci_curve_free(t->curves[k]);
    t->curves[k] = fci_curve_new(points, n);
    if (t->curves[k])
        t->variant.site.elements[here].curve = t->curves[k];
    return t->curves[k] != NULL;
}

/* Points with so many times their y, and so much more. */
static bool
move_curve(struct fci_tryout *t, size_t here, const fc_point *from, size_t n,
           double times, double more, size_t k)
{
    fc_point *points = malloc(n * sizeof *points);
    bool room;
    size_t i;

    for (i = 0; points && i < n; i++)
        points[i] = (fc_point){ from[i].x, fmax(0, from[i].y * times + more) };
    room = points && set_curve(t, here, points, n, k);
    free(points);
    return room;
}

/* Its curve sinks; one that adds nothing any more takes nothing either. */
static bool
sink_curve(struct fci_tryout *t, size_t here, double by, size_t k)
{
    const fc_pump *pump = fci_variant_data(&t->variant, here);

    return move_curve(t, here, pump->curve, pump->n_curve, 1,
                      -by / t->site.water_weight, k);
}

static bool
lose_less(struct fci_tryout *t, size_t here, double times, size_t k)
{
    fc_device *device = fci_variant_data(&t->variant, here);

    if (device->loss.kind == FC_CURVE_LOSS)
        return move_curve(t, here, device->loss.points, device->loss.n_points,
                          times, 0, k);
    device->loss.pressure = fc_exactly(device->loss.pressure.nominal * times);
    return true;
}

static bool
apply_fault(struct fci_tryout *t, const struct fci_fault *fault,
            fc_state state, double value, size_t k)
{
    struct fci_draw *draw = &t->variant.site.draws[t->first_draw + k];
    const size_t at = fault->element;

    /* a fixture that is left out shows nothing of what is amiss with it */
    if (fault->fixture != FCI_NONE
        && t->fixture_here[fault->fixture] == FCI_NONE)
        return true;
    switch (fault->kind) {
    case FC_SUPPLY_PRESSURE:
        apply_supply(t, at, value);
        break;
    case FC_SUPPLY_SAG:
    case FC_BLOCKED:
        apply_slot(t, at, FC_SQUARE_LOSS, value, fault->flow);
        break;
    case FC_REDUCER_SETTING:
        shift(&((fc_reducer *)fci_variant_data(&t->variant, t->here[at]))->set,
              value);
        break;
    case FC_PIPE_ROUGHNESS:
        apply_roughness(t, fault, value);
        break;
    case FC_SMALLER_SIZE:
    case FC_LARGER_SIZE:
        apply_size(t, t->here[at], fault->size);
        break;
    case FC_STOP_THROTTLED:
        apply_stop(t, fault, value);
        break;
    case FC_HEIGHT:
        apply_height(t, fault, value);
        break;
    case FC_VALVE_RATE:
        apply_rate(t, fault, state, exp(value), k);
        break;
    case FC_RUNNING_OUTLET:
        draw->element = t->slot[at] != FCI_NONE ? t->slot[at] : t->here[at];
        draw->flow = fc_exactly(value);
        break;
    case FC_PUMP_OFF:
        ((fc_pump *)fci_variant_data(&t->variant, t->here[at]))->running =
            FC_NO;
        break;
    case FC_PUMP_WEAK:
        return sink_curve(t, t->here[at], value, k);
    case FC_HOLDS_BACK:
        apply_slot(t, at, FC_CONSTANT_LOSS, value, 0);
        break;
    case FC_LOSES_LESS:
        return lose_less(t, t->here[at], exp(value), k);
    case FC_GAUGE_OFF:
    case FC_CHANGED:
    case FC_WRONG_READING:
        break;
    }
    return true;
}

bool
fci_cause_apply(struct fci_tryout *t, const struct fci_cause *cause,
                fc_state state)
{
    bool room = true;
    size_t k;

    fci_variant_reset(&t->variant);
    for (k = 0; k < cause->n_faults; k++)
        room &= apply_fault(t, cause->fault[k], state,
                            cause->x[k] * cause->fault[k]->scale, k);
    return room;
}

bool
fci_doubts(const struct fci_fault *fault)
{
    return fault->kind == FC_WRONG_READING || fault->kind == FC_CHANGED
           || fault->kind == FC_GAUGE_OFF;
}

/* Whether it says that this gauge was read off. */
static bool
is_off(const struct fci_fault *fault, const struct fci_readings *r, size_t i)
{
    switch (fault->kind) {
    case FC_WRONG_READING:
        return i == fault->gauge;
    case FC_CHANGED:
        return r->gauges[i].dimension == FC_PRESSURE
               && (fault->last_gauge == FCI_NONE || i <= fault->last_gauge)
               && r->gauges[i].event == r->gauges[fault->gauge].event;
    case FC_GAUGE_OFF:
        return r->gauges[i].dimension == FC_PRESSURE;
    default:
        return false;
    }
}

/* Adds `sign` times what it says a gauge is off by. */
static void
misread(const struct fci_cause *cause, const struct fci_readings *r,
        double sign, double *shows)
{
    size_t i, k;

    for (k = 0; k < cause->n_faults; k++)
        for (i = 0; i < r->n && fci_doubts(cause->fault[k]); i++)
            if (is_off(cause->fault[k], r, i))
                shows[i] += sign * cause->x[k] * cause->fault[k]->scale;
}

void
fci_cause_misread(const struct fci_cause *cause, const struct fci_readings *r,
                  double *shows)
{
    misread(cause, r, 1, shows);
}

void
fci_cause_read_right(const struct fci_cause *cause,
                     const struct fci_readings *r, double *shows)
{
    memcpy(shows, cause->shows, r->n * sizeof *shows);
    misread(cause, r, -1, shows);
}
