/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/consistency.c -- readings against each other and against
 * physics, before any model is asked.
 *
 * Water at rest has the same head wherever no reducer, pump, check valve or
 * fixed loss stands between: elements so joined are one zone.
 */
#include "diagnose/diagnose.h"
#include "peak/element.h"
#include "units/units.h"

#include <math.h>

/* What the readings of one zone without flow leave for its head. */
struct zone {
    size_t lowest, highest; /* gauges with the least head + within, and with
                               the most head - within; FCI_NONE: no reading */
};

struct sensing {
    struct fci_arena arena;
    struct fci_consistency *told;
    const fc_site *site;
    double *height;
    size_t *zone_of; /* by element: the first element of its zone */
    struct zone *zones;
    size_t *seen; /* by element, then by fixture that flushes: a gauge of
                     the event at hand; see key_of() */
    bool draws;   /* the site has a steady draw */
};

static void
contradict(struct sensing *s, const struct fci_gauge *gauge,
           const struct fci_gauge *other, const char *sentence,
           const struct fci_figure *figures)
{
    fc_finding *found = fci_find(&s->told->found, FC_FAIL, gauge->name, 0,
                                 FC_FOUND_CONTRADICTION, sentence, figures);

    if (found)
        found->against = other->name;
}

/* ---- Zones ------------------------------------------------------------- */

static void
find_zones(struct sensing *s)
{
    size_t i;

    for (i = 0; i < s->site->n_elements; i++) {
        const size_t at = s->site->order[i];
        const struct fci_element *element = &s->site->elements[at];

        s->zone_of[at] =
            element->parent == FCI_NONE || fci_parts_zones(element)
                ? at
                : s->zone_of[element->parent];
        s->zones[at].lowest = FCI_NONE;
        s->zones[at].highest = FCI_NONE;
    }
}

static double
height_of(const struct sensing *s, struct fci_gauge_place place)
{
    const double element = s->height[place.element];

    if (place.fixture == FCI_NONE)
        return element;
    return element + s->site->fixtures[place.fixture].given->rise.nominal;
}

/* What it would read at the datum. */
static double
head_of(const struct sensing *s, const struct fci_gauge *g)
{
    return g->read + s->site->water_weight * height_of(s, g->place);
}

/* ---- Words ------------------------------------------------------------- */

/* `high` has more head than `low`, with nothing flowing. */
static void
tell_static(struct sensing *s, const struct fci_gauge *high,
            const struct fci_gauge *low)
{
    const double up = height_of(s, low->place) - height_of(s, high->place);
    const double weight = s->site->water_weight;
    const double read = high->read - low->read;

    if (fabs(up) * weight < high->within + low->within)
        contradict(
            s, low, high,
            "{high} at {high at} and {low} at {low at} differ by {differ} "
            "with nothing flowing ({read high} and {read low}), where their "
            "heights make {heights}; nothing between them drops at no flow, "
            "unless water runs somewhere: read both again, and listen for a "
            "valve that runs on",
            FCI_WITH(FCI_WORD("high", high->name),
                     FCI_WORD("high at", fci_place_name(s->site, high->place)),
                     FCI_WORD("low", low->name),
                     FCI_WORD("low at", fci_place_name(s->site, low->place)),
                     FCI_ONE("differ", FC_PRESSURE, fabs(read)),
                     FCI_ONE("read high", FC_PRESSURE, high->read),
                     FCI_ONE("read low", FC_PRESSURE, low->read),
                     FCI_ONE("heights", FC_PRESSURE, fabs(up * weight))));
    else
        contradict(
            s, low, high,
            "{high} at {high at} and {low} at {low at} read {read high} and "
            "{read low} with nothing flowing; {up} of height between them "
            "make a difference of {heights}, and {differ} was read: a height, "
            "a gauge or a place is not as told, or water runs somewhere",
            FCI_WITH(FCI_WORD("high", high->name),
                     FCI_WORD("high at", fci_place_name(s->site, high->place)),
                     FCI_WORD("low", low->name),
                     FCI_WORD("low at", fci_place_name(s->site, low->place)),
                     FCI_ONE("read high", FC_PRESSURE, high->read),
                     FCI_ONE("read low", FC_PRESSURE, low->read),
                     FCI_ONE("up", FC_LENGTH, fabs(up)),
                     FCI_ONE("heights", FC_PRESSURE, fabs(up) * weight),
                     FCI_ONE("differ", FC_PRESSURE, fabs(read))));
}

/* ---- Without flow ------------------------------------------------------ */

/* Of a flow nothing is said here: it is weighed with the model. */
static bool
is_pressure(const struct fci_gauge *g)
{
    return g->dimension == FC_PRESSURE;
}

/* Where water is drawn steadily, nothing is at rest. */
static bool
is_static(const struct sensing *s, const struct fci_gauge *g)
{
    return is_pressure(g) && !s->draws
           && s->told->readings->events[g->event].n == 0;
}

static void
stretch_zones(struct sensing *s)
{
    const struct fci_readings *r = s->told->readings;
    size_t i;

    for (i = 0; i < r->n; i++) {
        const struct fci_gauge *g = &r->gauges[i];
        struct zone *zone = &s->zones[s->zone_of[g->place.element]];

        if (!is_static(s, g))
            continue;
        if (zone->lowest == FCI_NONE
            || head_of(s, g) + g->within
                   < head_of(s, &r->gauges[zone->lowest])
                         + r->gauges[zone->lowest].within)
            zone->lowest = i;
        if (zone->highest == FCI_NONE
            || head_of(s, g) - g->within
                   > head_of(s, &r->gauges[zone->highest])
                         - r->gauges[zone->highest].within)
            zone->highest = i;
    }
}

/* Each that is too low for the highest of its zone. */
static void
compare_static(struct sensing *s)
{
    const struct fci_readings *r = s->told->readings;
    size_t i;

    for (i = 0; i < r->n; i++) {
        const struct fci_gauge *g = &r->gauges[i];
        const struct zone *zone = &s->zones[s->zone_of[g->place.element]];
        const struct fci_gauge *high;

        if (!is_static(s, g))
            continue;
        high = &r->gauges[zone->highest];
        if (head_of(s, g) + g->within < head_of(s, high) - high->within)
            tell_static(s, high, g);
    }
}

/* ---- With flow --------------------------------------------------------- */

/* A flowing reading has less head than its zone at rest. */
static void
compare_flowing(struct sensing *s)
{
    const struct fci_readings *r = s->told->readings;
    size_t i;

    for (i = 0; i < r->n; i++) {
        const struct fci_gauge *g = &r->gauges[i];
        const struct zone *zone = &s->zones[s->zone_of[g->place.element]];
        const struct fci_gauge *still;

        if (!is_pressure(g) || is_static(s, g) || zone->lowest == FCI_NONE)
            continue;
        still = &r->gauges[zone->lowest];
        if (head_of(s, g) - g->within > head_of(s, still) + still->within)
            contradict(
                s, g, still,
                "{reading} at {at} reads {read} while valves flush, above the "
                "{left} that {static} at {static at} leaves for it with "
                "nothing flowing: a flowing reading is below the static one",
                FCI_WITH(FCI_WORD("reading", g->name),
                         FCI_WORD("at", fci_place_name(s->site, g->place)),
                         FCI_ONE("read", FC_PRESSURE, g->read),
                         FCI_ONE("left", FC_PRESSURE,
                                 head_of(s, still)
                                     - s->site->water_weight
                                           * height_of(s, g->place)),
                         FCI_WORD("static", still->name),
                         FCI_WORD("static at",
                                  fci_place_name(s->site, still->place))));
    }
}

/* Where nothing flows through a fixture it shows what its element has. */
static bool
is_idle(const struct sensing *s, const struct fci_gauge *g)
{
    const struct fci_flushing_set *event =
        &s->told->readings->events[g->event];
    size_t i;

    for (i = 0; i < event->n; i++)
        if (event->open[i].fixture == g->place.fixture)
            return false;
    return true; /* or it is at an element */
}

/* Gauges of one event with the same key have the same head. */
static size_t
key_of(const struct sensing *s, const struct fci_gauge *g)
{
    return is_idle(s, g) ? g->place.element
                         : s->site->n_elements + g->place.fixture;
}

/* Head that grows along the flow.  On a tree, of one event: each gauge against
 * the next one towards the source in its zone. */
static void
compare_along(struct sensing *s, const struct fci_gauge *g)
{
    const struct fci_readings *r = s->told->readings;
    const size_t zone = s->zone_of[g->place.element];
    size_t at = g->place.element;
    const struct fci_gauge *up;

    if (is_idle(s, g))
        at = at == zone ? FCI_NONE : s->site->elements[at].parent;
    while (at != FCI_NONE && s->seen[at] == FCI_NONE)
        at = at == zone ? FCI_NONE : s->site->elements[at].parent;
    if (at == FCI_NONE)
        return;
    up = &r->gauges[s->seen[at]];
    if (head_of(s, g) - g->within > head_of(s, up) + up->within)
        contradict(
            s, g, up,
            "{reading} at {at} has {more} more than {up} at {up at}, from "
            "which its water comes, heights counted: pressure does not grow "
            "along the flow",
            FCI_WITH(
                FCI_WORD("reading", g->name),
                FCI_WORD("at", fci_place_name(s->site, g->place)),
                FCI_ONE("more", FC_PRESSURE, head_of(s, g) - head_of(s, up)),
                FCI_WORD("up", up->name),
                FCI_WORD("up at", fci_place_name(s->site, up->place))));
}

/* The same figure, read twice while the same flushes. */
static void
compare_twice(struct sensing *s, const struct fci_gauge *g,
              const struct fci_gauge *other)
{
    const double differ = is_pressure(g) ? head_of(s, g) - head_of(s, other)
                                         : g->read - other->read;

    if (fabs(differ) <= g->within + other->within)
        return;
    if (fci_same_gauge(g, other))
        contradict(s, g, other,
                   "{reading} and {other} are both at {at} while the same "
                   "flushes, and read {read} and {other read}: read again",
                   FCI_WITH(FCI_WORD("reading", g->name),
                            FCI_WORD("other", other->name),
                            FCI_WORD("at", fci_place_name(s->site, g->place)),
                            FCI_ONE("read", g->dimension, g->read),
                            FCI_ONE("other read", g->dimension, other->read)));
    else
        contradict(s, g, other,
                   "{reading} at {at} and {other} at {other at} are at the "
                   "same water while the same flushes, and differ by "
                   "{differ}, heights counted: read again",
                   FCI_WITH(FCI_WORD("reading", g->name),
                            FCI_WORD("at", fci_place_name(s->site, g->place)),
                            FCI_WORD("other", other->name),
                            FCI_WORD("other at",
                                     fci_place_name(s->site, other->place)),
                            FCI_ONE("differ", g->dimension, fabs(differ))));
}

/* Those of one dimension against each other; `seen` is left filled. */
static void
compare_same(struct sensing *s, const struct fci_flushing_set *event,
             fc_dimension dimension)
{
    const struct fci_gauge *gauges = s->told->readings->gauges;
    size_t i;

    for (i = event->first; i != FCI_NONE; i = gauges[i].next)
        s->seen[key_of(s, &gauges[i])] = FCI_NONE;
    for (i = event->first; i != FCI_NONE; i = gauges[i].next) {
        size_t *seen = &s->seen[key_of(s, &gauges[i])];

        if (gauges[i].dimension != dimension)
            continue;
        if (*seen != FCI_NONE && !is_static(s, &gauges[i]))
            compare_twice(s, &gauges[*seen], &gauges[i]);
        *seen = i;
    }
}

static void
compare_event(struct sensing *s, const struct fci_flushing_set *event)
{
    const struct fci_gauge *gauges = s->told->readings->gauges;
    const bool tree = s->site->n_loops == 0 && s->site->n_sources == 1;
    size_t i;

    compare_same(s, event, FC_FLOW);
    compare_same(s, event, FC_PRESSURE);
    for (i = event->first; i != FCI_NONE && event->n > 0 && tree;
         i = gauges[i].next)
        if (is_pressure(&gauges[i]))
            compare_along(s, &gauges[i]);
    for (i = event->first; i != FCI_NONE; i = gauges[i].next)
        s->seen[key_of(s, &gauges[i])] = FCI_NONE;
}

/* ---- The whole --------------------------------------------------------- */

static void
compare_all(struct sensing *s)
{
    const struct fci_readings *r = s->told->readings;
    size_t i;

    for (i = 0; i < s->site->n_draws; i++)
        s->draws |= s->site->draws[i].flow.high > 0;
    find_zones(s);
    stretch_zones(s);
    compare_static(s);
    compare_flowing(s);
    for (i = 0; i < s->site->n_elements + s->site->n_fixtures; i++)
        s->seen[i] = FCI_NONE;
    for (i = 0; i < r->n_events; i++)
        compare_event(s, &r->events[i]);
}

fc_status
fci_consistency_make(struct fci_consistency *consistency)
{
    const fc_site *site = consistency->readings->site;
    struct sensing s = { .told = consistency, .site = site };
    const size_t n = site->n_elements;
    fc_status status = FC_ENOMEM;

    s.height = fci_arena_array(&s.arena, n, sizeof *s.height);
    s.zone_of = fci_arena_array(&s.arena, n, sizeof *s.zone_of);
    s.zones = fci_arena_array(&s.arena, n, sizeof *s.zones);
    s.seen = fci_arena_array(&s.arena, n + site->n_fixtures, sizeof *s.seen);
    if (!s.arena.failed) {
        fci_heights(site, s.height);
        compare_all(&s);
        status = consistency->found.arena->failed ? FC_ENOMEM : FC_OK;
    }
    fci_arena_free(&s.arena);
    return status;
}
