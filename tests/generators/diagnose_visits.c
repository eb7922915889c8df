/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/diagnose_visits.c -- see generators/diagnose_visits.h. */
#include "generators/diagnose_visits.h"

#include <gsl/gsl_randist.h>

#include <math.h>
#include <stdarg.h>
#include <string.h>

#define TEXT 131072
/* A fault counts when a reading shows it by more than the accuracy that a site
 * file takes a gauge to have, 2 psi, the water's swing at most, 2, and half a
 * mark of its scale, 1. */
#define SHIFTED 5.0     /* psi */
#define SHIFTED_TIME .2 /* of a flush */

struct reading {
    const char *at;
    fc_flushing flush[SICK_MOST];
    size_t n;
    bool timed;       /* with the time of a flush there, */
    bool no_pressure; /* alone */
    bool other_gauge;
};

/* ---- What is read ------------------------------------------------------ */

/* With nothing flowing at the service and on top; then all closets of a group
 * on top, gauges there, at its branch and behind the meter; then one of the
 * first floor, at the first riser; and one on top against the clock. */
static size_t
first_readings(const struct sick_building *b, bool timed,
               struct reading list[SICK_FIRST + 1])
{
    const fc_fixture *top = sick_fixture(b, true);
    const fc_fixture *low = sick_fixture(b, false);
    const fc_flushing flush_top = { top->count, top->name };
    const fc_flushing one_top = { 1, top->name };
    const fc_flushing flush_low = { 1, low->name };

    list[0] = (struct reading){ .at = "service" };
    list[1] = (struct reading){ .at = top->on };
    list[2] = (struct reading){ top->on, { flush_top }, .n = 1 };
    list[3] = (struct reading){ top->name, { flush_top }, .n = 1 };
    list[4] = (struct reading){ "meter", { flush_top }, .n = 1 };
    list[5] = (struct reading){ "riser-1", { flush_low }, .n = 1 };
    list[6] =
        (struct reading){ top->name, { one_top }, .n = 1, .timed = true };
    return timed ? SICK_FIRST + 1 : SICK_FIRST;
}

/* What the gauge shows, in the reading with this number, but for its scale
 * and who reads it [psi].  Some faults are not in the building. */
static double
pressure_of(const struct sick_building *b, const struct sick_fault *faults,
            size_t n, const struct reading *r, size_t number)
{
    struct sick_fault then[SICK_FAULTS];
    double off = 0;
    size_t i;

    for (i = 0; i < n; i++) {
        then[i] = faults[i];
        if (faults[i].kind == FC_CHANGED && number >= 2 && number < 5)
            then[i].kind = FC_SUPPLY_PRESSURE; /* while those on top flushed */
        if ((faults[i].kind == FC_GAUGE_OFF && !r->other_gauge)
            || (faults[i].kind == FC_WRONG_READING && faults[i].at == number))
            off += faults[i].value;
    }
    return sick_shows(b, then, n, r->at, r->flush, r->n) + off;
}

static double
seconds_of(const struct sick_building *b, const struct sick_fault *faults,
           size_t n, const struct reading *r)
{
    return sick_seconds(b, faults, n, &r->flush[0]);
}

bool
visit_shows(const struct sick_building *b, const struct sick_fault *fault,
            bool timed)
{
    struct reading list[SICK_FIRST + 1];
    const size_t n = first_readings(b, timed, list);
    size_t i;

    for (i = 0; i < n; i++)
        if (fabs(pressure_of(b, fault, 1, &list[i], i)
                 - pressure_of(b, NULL, 0, &list[i], i))
                > SHIFTED
            || (list[i].timed
                && fabs(seconds_of(b, fault, 1, &list[i])
                            / seconds_of(b, NULL, 0, &list[i])
                        - 1)
                       > SHIFTED_TIME))
            return true;
    return false;
}

/* ---- The site file ----------------------------------------------------- */

__attribute__((format(printf, 2, 3))) static void
put(struct visit *v, const char *format, ...)
{
    va_list list;

    va_start(list, format);
    v->used +=
        (size_t)vsnprintf(v->text + v->used, TEXT - v->used, format, list);
    va_end(list);
    sick_must(v->used < TEXT, "no room");
}

/* Normal, cut off at twice its deviation. */
static double
noise(struct visit *v, double deviation)
{
    const double x = gsl_ran_gaussian(v->noise, deviation);

    return fmax(-2 * deviation, fmin(2 * deviation, x));
}

/* A psi of water that does not stand still, to the next mark of a scale of
 * 2 psi: more at times than the 2 psi that a site file takes a gauge to be. */
static double
to_mark(struct visit *v, double psi)
{
    return 2 * floor((psi + (v->b->steady ? 0 : noise(v, 1.0))) / 2 + 0.5);
}

/* Flush valves alone flush. */
static const char *
open_key(const struct sick_building *b, const struct reading *r)
{
    size_t i;

    for (i = 0; i < r->n; i++)
        if (!building_find(&b->b, true, r->flush[i].fixture)
                 ->as.fixture.existing)
            return "open";
    return "flushing";
}

static bool
put_reading(struct visit *v, const struct reading *r)
{
    const size_t number = v->n_readings++;
    const struct sick_building *b = v->b;
    const double shown =
        r->no_pressure ? 1 : pressure_of(b, b->faults, b->n_faults, r, number);
    size_t i;

    if (!(shown > 0))
        return false;
    if (r->other_gauge && !v->other_gauge)
        put(v, "[gauge second]\nwithin = 2 psi\n");
    v->other_gauge |= r->other_gauge;
    put(v, "[reading r%zu]\nat = %s\n", number, r->at);
    if (!r->no_pressure)
        put(v, "pressure = %.0f psi\n", to_mark(v, shown));
    if (r->other_gauge)
        put(v, "gauge = second\n");
    if (r->timed) { /* by a stopwatch, within 3 % */
        const double s = seconds_of(b, b->faults, b->n_faults, r);

        if (isnan(s))
            return false;
        put(v, "flush time = %.1f s\n", s * (1 + noise(v, 0.015)));
    }
    if (r->n > 0)
        put(v, "%s = ", open_key(b, r));
    for (i = 0; i < r->n; i++)
        put(v, "%d of %s%s", r->flush[i].count, r->flush[i].fixture,
            i + 1 == r->n ? "\n" : ", ");
    return true;
}

bool
visit_begin(struct visit *v, const struct sick_building *b, bool timed)
{
    struct reading list[SICK_FIRST + 1];
    char *plain =
        building_text(&b->b, &(struct building_style){ .units = FC_US });
    const size_t n = first_readings(b, timed, list);
    size_t i;

    *v = (struct visit){ .b = b,
                         .noise = gsl_rng_alloc(gsl_rng_mt19937),
                         .text = malloc(TEXT) };
    sick_must(v->noise && v->text, "no memory");
    gsl_rng_set(v->noise, b->b.seed + 1);
    put(v, "%s", plain);
    free(plain);
    for (i = 0; i < n; i++)
        if (!put_reading(v, &list[i]))
            return false;
    return true;
}

void
visit_end(struct visit *v)
{
    gsl_rng_free(v->noise);
    free(v->text);
}

/* ---- What was asked for ------------------------------------------------ */

/* Whether a fault of this kind is at the part of this name. */
static bool
has_fault(const struct sick_building *b, fc_cause_kind kind, const char *at)
{
    size_t i;

    for (i = 0; i < b->n_faults; i++)
        if (b->faults[i].kind == kind
            && strcmp(b->b.parts[b->faults[i].at].as.name, at) == 0)
            return true;
    return false;
}

static bool
turns(const struct sick_building *b, const char *meter)
{
    size_t i;

    for (i = 0; i < b->n_faults; i++)
        if (b->faults[i].kind == FC_RUNNING_OUTLET
            && sick_is_above(b, b->b.parts[b->faults[i].at].as.fixture.on,
                             meter))
            return true;
    return false;
}

/* What stands in the way of an element is seen at its valve as a valve that is
 * partly shut, and in its strainer. */
static const char *
seen(const struct sick_building *b, fc_task task, const char *at)
{
    switch (task) {
    case FC_TASK_STOP:
        return has_fault(b, FC_STOP_THROTTLED, at)
                       || has_fault(b, FC_BLOCKED, at)
                       || has_fault(b, FC_SUPPLY_SAG, at)
                   ? "shut"
                   : "open";
    case FC_TASK_STRAINER:
        return has_fault(b, FC_BLOCKED, at) ? "clogged" : "clean";
    case FC_TASK_DIAL:
        return turns(b, at) ? "turns" : "still";
    case FC_TASK_PUMP:
        return has_fault(b, FC_PUMP_OFF, at) ? "still" : "turns";
    default:
        return NULL;
    }
}

/* By a tape, to a tenth of a foot [ft]. */
static double
true_rise(const struct sick_building *b, const char *at)
{
    const struct building_part *pipe = building_find(&b->drawn, false, at);
    double rise =
        pipe && pipe->kind == FCI_PIPE ? pipe->as.pipe.rise.nominal / FOOT : 0;
    size_t i;

    for (i = 0; i < b->n_faults; i++)
        if (b->faults[i].kind == FC_HEIGHT
            && strcmp(b->b.parts[b->faults[i].at].as.name, at) == 0)
            rise += b->faults[i].value;
    return rise;
}

static bool
put_look(struct visit *v, const fc_next_reading *next)
{
    const char *shows = seen(v->b, next->kind, next->at);

    put(v, "[look l%zu]\nat = %s\n", v->n_looks++, next->at);
    if (shows)
        put(v, "shows = %s\n", shows);
    else
        put(v, "rise = %.1f ft\n", true_rise(v->b, next->at));
    return true;
}

bool
visit_go_on(struct visit *v, const fc_next_reading *next)
{
    const bool flow =
        next->kind == FC_TASK_FLUSH_TIME
        || (next->kind == FC_TASK_NONE && next->dimension == FC_FLOW);
    struct reading r = { .at = next->at,
                         .n = next->n_flush,
                         .timed = flow,
                         .no_pressure = flow,
                         .other_gauge = next->other_gauge && !flow };
    size_t i;

    if (!next->at)
        return false;
    if (next->kind >= FC_TASK_STOP)
        return put_look(v, next);
    sick_must(r.n < SICK_MOST, "too much flushes");
    for (i = 0; i < r.n; i++)
        r.flush[i] = next->flush[i];
    if (flow) {
        r.flush[0] = (fc_flushing){ 1, next->at };
        r.n = 1;
    }
    return put_reading(v, &r);
}
