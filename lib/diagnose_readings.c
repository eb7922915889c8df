/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose_readings.c -- what was read, and what flushed meanwhile. */
#include "diagnose.h"
#include "diagnostics.h"
#include "flush_event.h"

#include <stdlib.h>
#include <string.h>

static size_t
count_readings(const fc_site *site)
{
    size_t i, n = 0;

    for (i = 0; i < site->n_parts; i++)
        n += site->parts[i].kind == FCI_READING;
    return n;
}

static int
by_fixture(const void *a, const void *b)
{
    const size_t x = ((const struct fci_open *)a)->fixture;
    const size_t y = ((const struct fci_open *)b)->fixture;

    return (x > y) - (x < y);
}

/* A fixture that is listed twice flushes as often, up to its count. */
static size_t
join_twice(const fc_site *site, struct fci_open *open, size_t n)
{
    size_t i, to = 0;

    for (i = 0; i < n; i++) {
        if (to > 0 && open[to - 1].fixture == open[i].fixture) {
            const int most = site->fixtures[open[i].fixture].count;
            const int sum = open[to - 1].count + open[i].count;

            open[to - 1].count = sum < most ? sum : most;
        } else {
            open[to++] = open[i];
        }
    }
    return to;
}

static fc_status
refuse_fixture(const struct fci_part *part, const struct fci_fixture *fixture,
               fc_diagnostics *messages)
{
    const fc_status status = fci_part_fail(
        part, messages, "flushing",
        "\"%.60s\" is no flush valve whose rate is known; one with a \"flow\" "
        "is expected",
        fixture->given->name);

    return status == FC_ENOMEM ? status : FC_EINPUT;
}

static fc_status
take_set(const struct fci_readings *r, const struct fci_part *part,
         const size_t *of_part, struct fci_flushing_set *set,
         struct fci_arena *arena, fc_diagnostics *messages)
{
    const fc_reading *reading = part->data;
    size_t i;

    set->first = FCI_NONE;
    set->open =
        fci_arena_array(arena, reading->n_flushing + 1, sizeof *set->open);
    if (!set->open)
        return FC_ENOMEM;
    for (i = 0; i < reading->n_flushing; i++) {
        const size_t at = fci_site_find_index(r->site, FCI_FIXTURE,
                                              reading->flushing[i].fixture);
        const size_t number = of_part[at];
        const struct fci_fixture *fixture;

        fixture = &r->site->fixtures[number];
        if (!fci_has_rate(fixture->valve[r->state]))
            return refuse_fixture(part, fixture, messages);
        set->open[i].fixture = number;
        set->open[i].count = reading->flushing[i].count > 0
                                 ? reading->flushing[i].count
                                 : fixture->count;
    }
    qsort(set->open, reading->n_flushing, sizeof *set->open, by_fixture);
    set->n = join_twice(r->site, set->open, reading->n_flushing);
    return FC_OK;
}

static bool
same_set(const struct fci_flushing_set *a, const struct fci_flushing_set *b)
{
    size_t i;

    for (i = 0; i < a->n && i < b->n; i++)
        if (a->open[i].fixture != b->open[i].fixture
            || a->open[i].count != b->open[i].count)
            return false;
    return a->n == b->n;
}

/* Readings taken while the same flushed share what is solved.  Sets differ
 * at their first fixture as a rule; `last` leads from it to those before. */
static void
join_event(struct fci_readings *r, const struct fci_flushing_set *set,
           size_t gauge, size_t *last, size_t *before)
{
    const size_t key = set->n > 0 ? set->open[0].fixture : r->site->n_fixtures;
    size_t e = last[key];

    while (e != FCI_NONE && !same_set(&r->events[e], set))
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

static void
take_gauge(struct fci_readings *r, const struct fci_part *part,
           const size_t *of_part)
{
    const fc_reading *reading = part->data;
    const size_t at = fci_site_find_index(r->site, FCI_PIPE, reading->at);
    struct fci_gauge *gauge = &r->gauges[r->n++];

    gauge->name = part->name;
    gauge->read = reading->pressure.nominal;
    gauge->within =
        reading->within.given ? reading->within.nominal : FCI_GAUGE_WITHIN;
    gauge->place.fixture = FCI_NONE;
    if (r->site->parts[at].kind == FCI_FIXTURE) {
        gauge->place.fixture = of_part[at];
        gauge->place.element = r->site->fixtures[of_part[at]].element;
    } else {
        gauge->place.element = of_part[at];
    }
}

/* Whether the valves that flushed meanwhile are not those of the state that is
 * diagnosed.  A static reading is of either. */
static bool
is_of_other_valves(const struct fci_readings *r, const fc_reading *reading,
                   const size_t *of_part)
{
    size_t i;

    for (i = 0; reading->state != r->state && i < reading->n_flushing; i++) {
        const size_t at = fci_site_find_index(r->site, FCI_FIXTURE,
                                              reading->flushing[i].fixture);
        const struct fci_fixture *fixture = &r->site->fixtures[of_part[at]];

        if (fixture->valve[FC_EXISTING] != fixture->valve[FC_RETROFIT])
            return true;
    }
    return false;
}

static fc_status
take_all(struct fci_readings *r, struct fci_arena *arena, size_t *work,
         size_t n, fc_diagnostics *messages)
{
    const fc_site *site = r->site;
    size_t *last = work + site->n_parts;
    size_t *before = last + site->n_fixtures + 1;
    fc_status status = FC_OK;
    size_t i;

    number_places(site, work);
    for (i = 0; i < site->n_fixtures + 1; i++)
        last[i] = FCI_NONE;
    for (i = 0; i < n; i++)
        before[i] = FCI_NONE;
    for (i = 0; status == FC_OK && i < site->n_parts; i++) {
        const struct fci_part *part = &site->parts[i];
        struct fci_flushing_set set = { 0 };

        if (part->kind != FCI_READING)
            continue;
        if (!((const fc_reading *)part->data)->pressure.given) {
            r->without_pressure++;
            continue;
        }
        if (is_of_other_valves(r, part->data, work)) {
            r->of_other_valves++;
            continue;
        }
        take_gauge(r, part, work);
        status = take_set(r, part, work, &set, arena, messages);
        if (status == FC_OK)
            join_event(r, &set, r->n - 1, last, before);
    }
    return status;
}

fc_status
fci_readings_take(struct fci_readings *r, struct fci_arena *arena,
                  fc_diagnostics *messages)
{
    const size_t n = count_readings(r->site);
    size_t *work =
        calloc(r->site->n_parts + r->site->n_fixtures + 1 + n, sizeof *work);
    fc_status status = FC_ENOMEM;

    r->gauges = fci_arena_array(arena, n + 1, sizeof *r->gauges);
    r->events = fci_arena_array(arena, n + 1, sizeof *r->events);
    if (work && r->gauges && r->events)
        status = take_all(r, arena, work, n, messages);
    free(work);
    if (status == FC_OK && r->n == 0 && r->of_other_valves > 0)
        return fci_fail(messages, FC_EINPUT, NULL, 0,
                        "every reading was taken with the %s valves in place; "
                        "one of the %s ones (its \"state\") or with nothing "
                        "flushing is expected",
                        r->state == FC_EXISTING ? "retrofit" : "existing",
                        r->state == FC_EXISTING ? "existing" : "retrofit");
    if (status == FC_OK && r->n == 0)
        return fci_fail(messages, FC_EINPUT, NULL, 0,
                        "the site has no reading of a pressure; a [reading] "
                        "with \"at\" and \"pressure\" is expected");
    return status;
}
