/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/readings/readings.c -- what was read, and what flushed meanwhile. */
#include "readings/readings.h"
#include "ground/diagnostics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Of an outlet whose flow was read without a pressure: usual in a building. */
#define OPEN_PRESSURE 275790.29 /* 40 psi [Pa], common practice */

static int
by_fixture(const void *a, const void *b)
{
    const size_t x = ((const struct fci_open *)a)->fixture;
    const size_t y = ((const struct fci_open *)b)->fixture;

    return (x > y) - (x < y);
}

static fc_status
refuse_fixture(const struct fci_part *part, const struct fci_fixture *fixture,
               fc_diagnostics *messages)
{
    const fc_status status = fci_part_fail(
        part, messages, fci_reading_open_key(part),
        "\"%.60s\" has no known rate; a valve with a \"flow\", a fixture with "
        "a \"rate\", or a flow read there is expected",
        fixture->given->name);

    return status == FC_ENOMEM ? status : FC_EINPUT;
}

static bool
reads_flow(const fc_reading *reading)
{
    return reading->flow.given || reading->filled_volume.given;
}

/* Whether a flow was read at a fixture. */
static bool
was_metered(const struct fci_readings *r, const struct fci_fixture *fixture)
{
    size_t i;

    for (i = 0; i < r->site->n_parts; i++) {
        const fc_reading *reading = r->site->parts[i].data;

        if (r->site->parts[i].kind == FCI_READING && reads_flow(reading)
            && fci_same_name(reading->at, fixture->given->name))
            return true;
    }
    return false;
}

/* Whether what it passes can be worked with: by its valve, or by the file, the
 * tables or a bucket. */
static bool
may_be_open(const struct fci_readings *r, const struct fci_fixture *fixture)
{
    return fci_has_rate(fixture->valve[r->state])
           || (!fixture->valve[r->state]
               && (fixture->outlet_rate.given || was_metered(r, fixture)));
}

static fc_status
take_set(const struct fci_readings *r, const struct fci_part *part,
         const size_t *of_part, struct fci_flushing_set *set,
         struct fci_arena *arena, fc_diagnostics *messages)
{
    fc_flushing timed;
    size_t i, n;
    const fc_flushing *list = fci_reading_flushing(part->data, &timed, &n);

    set->first = FCI_NONE;
    set->open = fci_arena_array(arena, n + 1, sizeof *set->open);
    if (!set->open)
        return FC_ENOMEM;
    for (i = 0; i < n; i++) {
        const size_t at =
            fci_site_find_index(r->site, FCI_FIXTURE, list[i].fixture);
        const size_t number = of_part[at];
        const struct fci_fixture *fixture;

        fixture = &r->site->fixtures[number];
        if (!r->any_valve && !may_be_open(r, fixture))
            return refuse_fixture(part, fixture, messages);
        set->unmetered |= !fci_has_rate(fixture->valve[r->state]);
        set->open[i].fixture = number;
        set->open[i].count =
            list[i].count > 0 ? list[i].count : fixture->count;
    }
    qsort(set->open, n, sizeof *set->open, by_fixture);
    set->n = n;
    return FC_OK;
}

bool
fci_same_flushing(const struct fci_flushing_set *a,
                  const struct fci_flushing_set *b)
{
    size_t i;

    for (i = 0; i < a->n && i < b->n; i++)
        if (a->open[i].fixture != b->open[i].fixture
            || a->open[i].count != b->open[i].count)
            return false;
    return a->n == b->n;
}

bool
fci_flushes_no_more(const struct fci_flushing_set *fewer,
                    const struct fci_flushing_set *more)
{
    size_t i, k = 0;

    for (i = 0; i < fewer->n; i++) {
        while (k < more->n && more->open[k].fixture < fewer->open[i].fixture)
            k++;
        if (k == more->n || more->open[k].fixture != fewer->open[i].fixture
            || more->open[k].count < fewer->open[i].count)
            return false;
    }
    return true;
}

static void
mark_way(const fc_site *site, size_t at, size_t *flows, size_t mark)
{
    for (; at != FCI_NONE && flows[at] != mark; at = site->elements[at].parent)
        flows[at] = mark;
}

void
fci_mark_flows(const fc_site *site, const struct fci_flushing_set *event,
               size_t *flows, size_t mark)
{
    size_t i;

    for (i = 0; i < event->n; i++)
        mark_way(site, site->fixtures[event->open[i].fixture].element, flows,
                 mark);
    for (i = 0; i < site->n_draws; i++)
        if (site->draws[i].flow.high > 0)
            mark_way(site, site->draws[i].element, flows, mark);
}

/* Readings taken while the same flushed share what is solved.  Sets differ
 * at their first fixture as a rule; `last` leads from it to those before. */
static void
join_event(struct fci_readings *r, const struct fci_flushing_set *set,
           size_t gauge, size_t *last, size_t *before)
{
    const size_t key = set->n > 0 ? set->open[0].fixture : r->site->n_fixtures;
    size_t e = last[key];

    while (e != FCI_NONE && !fci_same_flushing(&r->events[e], set))
        e = before[e];
    if (e == FCI_NONE) {
        e = r->n_events++;
        r->events[e] = *set;
        before[e] = last[key];
        last[key] = e;
    }
    r->gauges[gauge].event = e;
    r->gauges[gauge].next = r->events[e].first;
    r->events[e].first = gauge;
}

/* By the name of a part to what it is. */
static void
number_places(const fc_site *site, size_t *of_part)
{
    size_t i;

    for (i = 0; i < site->n_parts; i++)
        of_part[i] = FCI_NONE;
    for (i = 0; i < site->n_elements; i++)
        of_part[site->elements[i].part - site->parts] = i;
    for (i = 0; i < site->n_fixtures; i++)
        of_part[site->fixtures[i].part - site->parts] = i;
}

static struct fci_gauge_place
place_of(const struct fci_readings *r, const fc_reading *reading,
         const size_t *of_part)
{
    const size_t at = fci_site_find_index(r->site, FCI_PIPE, reading->at);
    struct fci_gauge_place place = { of_part[at], FCI_NONE };

    if (r->site->parts[at].kind == FCI_FIXTURE) {
        place.fixture = of_part[at];
        place.element = r->site->fixtures[of_part[at]].element;
    }
    return place;
}

/* In whichever form it was read; NAN: none was. */
static double
flow_of(const struct fci_readings *r, const fc_reading *reading,
        struct fci_gauge_place place)
{
    if (reading->flow.given)
        return reading->flow.nominal;
    if (reading->filled_volume.given)
        return reading->filled_volume.nominal / reading->filled_time.nominal;
    if (reading->flush_time.given)
        return r->site->fixtures[place.fixture]
                   .valve[reading->state]
                   ->full_flush.nominal
               / reading->flush_time.nominal;
    return NAN;
}

static bool
is_open(const struct fci_flushing_set *set, size_t fixture)
{
    size_t i;

    for (i = 0; i < set->n; i++)
        if (set->open[i].fixture == fixture)
            return true;
    return false;
}

/* Whether the valves that flushed meanwhile are not those of the state that is
 * diagnosed.  A static reading is of either. */
static bool
is_of_other_valves(const struct fci_readings *r, const fc_reading *reading,
                   const size_t *of_part)
{
    fc_flushing timed;
    size_t i, n;
    const fc_flushing *list = fci_reading_flushing(reading, &timed, &n);

    for (i = 0; reading->state != r->state && i < n; i++) {
        const size_t at =
            fci_site_find_index(r->site, FCI_FIXTURE, list[i].fixture);
        const struct fci_fixture *fixture = &r->site->fixtures[of_part[at]];

        if (fixture->valve[FC_EXISTING] != fixture->valve[FC_RETROFIT])
            return true;
    }
    return false;
}

/* How readings are joined to events; see join_event(). */
struct joining {
    const size_t *of_part;
    size_t *last, *before;
};

static void
add_gauge(struct fci_readings *r, struct fci_gauge gauge,
          const struct fci_flushing_set *set, const struct joining *joining)
{
    r->gauges[r->n] = gauge;
    join_event(r, set, r->n++, joining->last, joining->before);
}

/* A pressure, a flow, or both: the figures of one reading. */
static fc_status
take_reading(struct fci_readings *r, const struct fci_part *part,
             const struct joining *joining, struct fci_arena *arena,
             fc_diagnostics *messages)
{
    const fc_reading *reading = part->data;
    struct fci_gauge gauge = { .reading = reading,
                               .name = part->name,
                               .place =
                                   place_of(r, reading, joining->of_part) };
    const double flow = flow_of(r, reading, gauge.place);
    struct fci_flushing_set set = { 0 };
    fc_status status =
        take_set(r, part, joining->of_part, &set, arena, messages);

    if (status != FC_OK)
        return status;
    if (reading->pressure.given) {
        gauge.dimension = FC_PRESSURE;
        gauge.read = reading->pressure.nominal;
        gauge.within = fci_reading_within(r->site, reading);
        gauge.misread = r->diagnosed ? gauge.within
                                     : fci_reading_misread(r->site, reading);
        add_gauge(r, gauge, &set, joining);
    }
    if (isnan(flow))
        return FC_OK;
    if (gauge.place.fixture != FCI_NONE
        && !is_open(&set, gauge.place.fixture)) {
        r->not_flushing++;
        return FC_OK;
    }
    gauge.dimension = FC_FLOW;
    gauge.read = flow;
    gauge.within = fmax(FCI_FLOW_WITHIN * flow, FCI_LEAST_FLOW_WITHIN);
    gauge.misread = gauge.within;
    gauge.timed = !reading->flow.given && !reading->filled_volume.given;
    add_gauge(r, gauge, &set, joining);
    return FC_OK;
}

static fc_status
take_all(struct fci_readings *r, struct fci_arena *arena, size_t *work,
         size_t n, fc_diagnostics *messages)
{
    const fc_site *site = r->site;
    const struct joining joining = {
        work, work + site->n_parts, work + site->n_parts + site->n_fixtures + 1
    };
    fc_status status = FC_OK;
    size_t i;

    number_places(site, work);
    for (i = 0; i < site->n_fixtures + 1; i++)
        joining.last[i] = FCI_NONE;
    for (i = 0; i < n; i++)
        joining.before[i] = FCI_NONE;
    for (i = 0; status == FC_OK && i < site->n_parts; i++) {
        const struct fci_part *part = &site->parts[i];

        if (part->kind != FCI_READING)
            continue;
        if (is_of_other_valves(r, part->data, work))
            r->of_other_valves++;
        else
            status = take_reading(r, part, &joining, arena, messages);
    }
    return status;
}

bool
fci_same_gauge(const struct fci_gauge *a, const struct fci_gauge *b)
{
    return a->place.element == b->place.element
           && a->place.fixture == b->place.fixture
           && a->dimension == b->dimension;
}

double
fci_gauges_within(const struct fci_gauge *a, const struct fci_gauge *b)
{
    return fci_reading_same_gauge(a->reading, b->reading)
               ? a->misread + b->misread
               : a->within + b->within;
}

size_t
fci_readings_times(const struct fci_readings *r, size_t gauge)
{
    const struct fci_gauge *g = &r->gauges[gauge];
    size_t i, n = 0;

    for (i = r->events[g->event].first; i != FCI_NONE; i = r->gauges[i].next)
        n += fci_same_gauge(&r->gauges[i], g);
    return n;
}

/* The same, by the same gauge. */
static size_t
times_by_gauge(const struct fci_readings *r, size_t gauge)
{
    const struct fci_gauge *g = &r->gauges[gauge];
    size_t i, n = 0;

    for (i = r->events[g->event].first; i != FCI_NONE; i = r->gauges[i].next)
        n += fci_same_gauge(&r->gauges[i], g)
             && fci_reading_same_gauge(r->gauges[i].reading, g->reading);
    return n;
}

size_t
fci_readings_distinct(const struct fci_readings *r)
{
    size_t i, k, n = 0;

    for (i = 0; i < r->n; i++) {
        for (k = r->events[r->gauges[i].event].first;
             k != FCI_NONE
             && (k >= i || !fci_same_gauge(&r->gauges[k], &r->gauges[i]));
             k = r->gauges[k].next)
            ;
        n += k == FCI_NONE;
    }
    return n;
}

double
fci_readings_widest(const struct fci_readings *r)
{
    double within = 0;
    size_t i;

    for (i = 0; i < r->n; i++)
        if (r->gauges[i].dimension == FC_PRESSURE)
            within = fmax(within, r->gauges[i].within);
    return within > 0 ? within : fci_usual_within(r->site);
}

/* ---- Outlets that are no flush valves ---------------------------------- */

/* A flow that was read there, and the pressure with it; FCI_NONE: none. */
static size_t
metered_at(const struct fci_readings *r, size_t fixture, double *pressure)
{
    size_t i, k;

    for (i = 0; i < r->n; i++) {
        if (r->gauges[i].dimension != FC_FLOW
            || r->gauges[i].place.fixture != fixture
            || !(r->gauges[i].read > 0))
            continue;
        for (k = 0; k < r->n; k++)
            if (r->gauges[k].dimension == FC_PRESSURE
                && r->gauges[k].place.fixture == fixture
                && r->gauges[k].event == r->gauges[i].event
                && r->gauges[k].read > 0)
                *pressure = r->gauges[k].read;
        return i;
    }
    return FCI_NONE;
}

static fc_valve *
make_outlet(const struct fci_readings *r, size_t number,
            struct fci_arena *arena)
{
    const struct fci_fixture *fixture = &r->site->fixtures[number];
    fc_valve *valve = fci_arena_alloc(arena, sizeof *valve);
    double pressure = fixture->outlet_pressure.given
                          ? fixture->outlet_pressure.nominal
                          : OPEN_PRESSURE;
    double rate = fixture->outlet_rate.nominal;
    size_t metered;

    if (!valve)
        return NULL;
    valve->name = fci_arena_printf(arena, "%s (outlet)", fixture->given->name);
    valve->flow = fixture->outlet_rate;
    /* a bucket comes before what the file or a table says */
    metered = metered_at(r, number, &pressure);
    if (metered != FCI_NONE || !fixture->outlet_rate_given) {
        const double differ =
            metered != FCI_NONE ? FCI_METERED_DIFFER : FCI_OUTLETS_DIFFER;

        double least = rate, most = rate;

        if (metered != FCI_NONE) {
            if (!fixture->outlet_rate_given)
                rate = r->gauges[metered].read;
            least = fmin(rate, r->gauges[metered].read);
            most = fmax(rate, r->gauges[metered].read);
        }
        valve->flow = (fc_range){ true, rate, least / differ, most * differ };
    }
    valve->flow_pressure = fc_exactly(pressure);
    return valve->name ? valve : NULL;
}

static fc_status
make_outlets(struct fci_readings *r, struct fci_arena *arena)
{
    size_t e, i;

    r->outlets =
        fci_arena_array(arena, r->site->n_fixtures + 1, sizeof *r->outlets);
    for (e = 0; e < r->n_events && !arena->failed; e++)
        for (i = 0; i < r->events[e].n; i++) {
            const size_t fixture = r->events[e].open[i].fixture;

            if (!r->outlets[fixture]
                && !r->site->fixtures[fixture].valve[r->state])
                r->outlets[fixture] = make_outlet(r, fixture, arena);
        }
    return arena->failed ? FC_ENOMEM : FC_OK;
}

/* None of a site can be weighed. */
static fc_status
refuse_all(const struct fci_readings *r, fc_diagnostics *messages)
{
    if (r->of_other_valves > 0)
        return fci_fail(messages, FC_EINPUT, NULL, 0,
                        "every reading was taken with the %s valves in place; "
                        "one of the %s ones (its \"state\") or with nothing "
                        "flushing is expected",
                        r->state == FC_EXISTING ? "retrofit" : "existing",
                        r->state == FC_EXISTING ? "existing" : "retrofit");
    if (r->not_flushing > 0)
        return fci_fail(
            messages, FC_EINPUT, NULL, 0,
            "every reading is a flow at a fixture that is not open; one whose "
            "\"flushing\" names its fixture is expected");
    return fci_fail(messages, FC_EINPUT, NULL, 0,
                    "the site has no reading of a pressure or a flow; a "
                    "[reading] with \"at\" and \"pressure\" is expected");
}

fc_status
fci_readings_take(struct fci_readings *r, struct fci_arena *arena,
                  fc_diagnostics *messages)
{
    const size_t n = fci_count_readings(r->site);
    size_t *work = fci_arena_array(
        arena, r->site->n_parts + r->site->n_fixtures + 1 + n, sizeof *work);
    fc_status status = FC_ENOMEM;
    size_t i;

    r->gauges = fci_arena_array(arena, 2 * n + 1, sizeof *r->gauges);
    r->events = fci_arena_array(arena, n + 1, sizeof *r->events);
    if (!arena->failed)
        status = take_all(r, arena, work, n, messages);
    if (status == FC_OK && !r->any_valve)
        status = make_outlets(r, arena);
    for (i = 0; status == FC_OK && i < r->n; i++)
        r->gauges[i].times = times_by_gauge(r, i);
    return status == FC_OK && r->n == 0 && !r->any_valve
                   && (!r->diagnosed
                       || r->of_other_valves + r->not_flushing > 0)
               ? refuse_all(r, messages)
               : status;
}
