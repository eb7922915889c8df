/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/fault_readings.c -- what may be amiss with the readings, in
 * place of the building. */
#include "diagnose/fault_kinds.h"

#include <math.h>

#define MISREAD 68947.57  /* 10 psi [Pa], common practice */
#define ENOUGH_TO_DOUBT 3 /* readings, so that one of them may be wrong */

static bool
is_pressure(const struct fci_readings *r, size_t gauge)
{
    return r->gauges[gauge].dimension == FC_PRESSURE;
}

static size_t
n_pressures(const struct fci_readings *r)
{
    size_t i, n = 0;

    for (i = 0; i < r->n; i++)
        n += is_pressure(r, i);
    return n;
}

/* ---- The gauge --------------------------------------------------------- */

static bool
is_of_gauge(const struct fci_readings *r, size_t reading, size_t first)
{
    return is_pressure(r, reading)
           && fci_reading_same_gauge(r->gauges[reading].reading,
                                     r->gauges[first].reading);
}

/* A gauge is off by as much everywhere: each that read twice or more, at its
 * first reading. */
static bool
list_gauge(struct fci_listing *l)
{
    const struct fci_readings *r = l->readings;
    struct fci_fault fault = fci_fault_at(l, r->site->order[0]);
    bool room = true;
    size_t i, k;

    for (i = 0; i < r->n && room; i++) {
        size_t before = 0, all = 0;

        for (k = 0; k < r->n && is_pressure(r, i); k++)
            if (is_of_gauge(r, k, i)) {
                before += k < i;
                all++;
            }
        fault.of_gauge = i;
        room = before > 0 || all < 2 || fci_fault_add(l, &fault);
    }
    return room;
}

static double
read_off(const struct fci_fault *fault, const struct fci_readings *r,
         size_t gauge, double shows, double value)
{
    return is_of_gauge(r, gauge, fault->of_gauge) ? shows + value : shows;
}

static const char *
gauge_words(const struct fci_wording *w)
{
    const char *name = w->readings->gauges[w->fault->of_gauge].reading->gauge;

    return fci_arena_printf(
        w->arena, "%sgauge%s%s reading %s%s%s", name ? "" : "the ",
        name ? " " : "", name ? name : "", w->brief ? "" : w->size.text,
        w->brief ? "" : " ", w->value < 0 ? "low" : "high");
}

static void
steps_of_gauge(struct fci_working *w)
{
    fci_work_step(w, "read one place again with a tested gauge");
}

const struct fci_fault_kind fci_gauge_off = {
    .kind = FC_GAUGE_OFF,
    .dimension = FC_PRESSURE,
    .unknown = FCI_EITHER_SIGN,
    .doubts = true,
    .list_rest = list_gauge,
    .reads = read_off,
    .words = gauge_words,
    .steps = steps_of_gauge,
};

/* ---- One reading, or all that were taken meanwhile --------------------- */

static bool
add_misread(struct fci_listing *l, size_t gauge, size_t last)
{
    const struct fci_gauge *g = &l->readings->gauges[gauge];
    struct fci_fault fault = fci_fault_at(l, g->place.element);

    fault.fixture = g->place.fixture;
    fault.gauge = gauge;
    fault.last_gauge = last;
    /* a digit, a place or a unit is missed, however good the gauge is */
    fault.scale = fmax(fault.scale * g->within,
                       g->dimension == FC_PRESSURE ? MISREAD : 0);
    return fci_fault_add(l, &fault);
}

/* Of very many readings the first may be wrong: each is one more to be tried,
 * in time that goes as their square. */
#define MOST_WRONG 100

static bool
list_wrong(struct fci_listing *l)
{
    bool room = true;
    size_t i;

    for (i = 0; i < l->readings->n && room && l->readings->n >= ENOUGH_TO_DOUBT
                && i < MOST_WRONG;
         i++)
        room = add_misread(l, i, i);
    return room;
}

static double
read_this(const struct fci_fault *fault, const struct fci_readings *r,
          size_t gauge, double shows, double value)
{
    (void)r;
    return gauge == fault->gauge ? shows + value : shows;
}

static const char *
wrong_words(const struct fci_wording *w)
{
    const struct fci_gauge *gauge = &w->readings->gauges[w->fault->gauge];
    const fc_unit_system units = w->readings->site->settings.units;

    if (w->brief)
        return fci_arena_printf(w->arena, "reading %s wrong", w->name);
    return fci_arena_printf(
        w->arena,
        "reading %s wrong: %s read, %s by the others (or other water ran, or "
        "the main had changed)",
        w->name, fci_show(units, gauge->dimension, gauge->read).text,
        fci_show(units, gauge->dimension, gauge->read - w->value).text);
}

static void
steps_of_reading(struct fci_working *w)
{
    fci_work_step(w, "take reading %s again, with nothing else open",
                  w->readings->gauges[w->fault->gauge].name);
}

const struct fci_fault_kind fci_wrong_reading = {
    .kind = FC_WRONG_READING,
    .dimension = FC_PRESSURE,
    .unknown = FCI_EITHER_SIGN,
    .list_rest = list_wrong,
    .doubts = true,
    .reads = read_this,
    .words = wrong_words,
    .steps = steps_of_reading,
};

/* The pressures of an event that stand one after the other in the file, up to
 * one that was taken before: how many, and from which to which.  `last` is
 * FCI_NONE where the event has no later ones. */
static size_t
first_round(const struct fci_readings *r, size_t event, size_t *first,
            size_t *last)
{
    size_t i, k, n = 0;
    bool over = false;

    *first = FCI_NONE;
    *last = FCI_NONE;
    for (i = 0; i < r->n; i++) {
        if (r->gauges[i].event != event) {
            over |= n > 0;
            continue;
        }
        if (!is_pressure(r, i))
            continue;
        for (k = 0; k < i && !over; k++)
            over = n > 0 && k >= *first && r->gauges[k].event == event
                   && fci_same_gauge(&r->gauges[k], &r->gauges[i]);
        if (over)
            return n;
        if (n++ == 0)
            *first = i;
        *last = i;
    }
    *last = FCI_NONE;
    return n;
}

/* Several that were read while the same flushed, and others besides. */
static bool
list_changed(struct fci_listing *l)
{
    const struct fci_readings *r = l->readings;
    bool room = true;
    size_t i, first, last;

    for (i = 0; i < r->n_events && room && r->n >= ENOUGH_TO_DOUBT; i++) {
        const size_t n = first_round(r, i, &first, &last);

        room = n < 2 || n == n_pressures(r) || add_misread(l, first, last);
    }
    return room;
}

static double
read_meanwhile(const struct fci_fault *fault, const struct fci_readings *r,
               size_t gauge, double shows, double value)
{
    return is_pressure(r, gauge)
                   && (fault->last_gauge == FCI_NONE
                       || gauge <= fault->last_gauge)
                   && r->gauges[gauge].event == r->gauges[fault->gauge].event
               ? shows + value
               : shows;
}

static const char *
changed_words(const struct fci_wording *w)
{
    const struct fci_readings *r = w->readings;
    const char *flushing;

    if (w->brief)
        return fci_arena_printf(w->arena, "other water running at reading %s",
                                w->name);
    flushing = fci_flushing_words(
        w->arena, r->site, &r->events[r->gauges[w->fault->gauge].event]);
    return flushing ? fci_arena_printf(
               w->arena,
               "all %sreadings with %s open %s too %s: other water ran, or "
               "the main had changed",
               w->fault->last_gauge == FCI_NONE ? "" : "first ", flushing,
               w->size.text, w->value < 0 ? "low" : "high")
                    : NULL;
}

const struct fci_fault_kind fci_changed = {
    .kind = FC_CHANGED,
    .dimension = FC_PRESSURE,
    .unknown = FCI_EITHER_SIGN,
    .list_rest = list_changed,
    .doubts = true,
    .reads = read_meanwhile,
    .words = changed_words,
    .steps = steps_of_reading,
};
