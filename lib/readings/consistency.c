/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/readings/consistency.c -- readings against each other and against
 * physics, before any model is asked.
 *
 * Water at rest has the same head wherever no reducer, pump, check valve or
 * fixed loss stands between: elements so joined are one zone.  Along the flow
 * head is lost, but for pumps, and more open valves leave no more of it.
 * Heights that are ranges are taken as they explain most.
 */
#include "readings/readings.h"
#include "peak/element.h"
#include "units/units.h"

#include <math.h>

/* Where the water stands that a gauge shows: as far towards the source as
 * nothing flows and nothing parts zones. */
struct spot {
    size_t at;      /* element, at its outlet */
    size_t fixture; /* whose valve draws it; FCI_NONE: none does */
};

struct sensing {
    struct fci_arena arena;
    struct fci_consistency *told;
    const fc_site *site;
    double *height;
    size_t *zone_of;      /* by element: the first element of its zone */
    size_t *first, *last; /* by element: those it feeds, itself among them, by
                             their place in a walk along the tree */
    size_t *pumps;        /* by element, on the way to its outlet */
    size_t *flows;        /* by element: the event + 1 in which water passes */
    struct spot *spots;   /* by gauge */
    size_t *seen;         /* by element, then by fixture that flushes: a gauge
                             of the event at hand; see key_of() */
    bool tree;            /* flows do not turn */
    bool steady; /* with nothing flushing nothing moves: one source, no steady
                    draw */
    bool monotone; /* no loss falls with its flow, no pump's head rises */
};

static void
contradict(struct sensing *s, const struct fci_gauge *gauge,
           const struct fci_gauge *other, double apart, const char *sentence,
           const struct fci_figure *figures)
{
    const struct fci_gauge *gauges = s->told->readings->gauges;
    fc_finding *found = fci_find(&s->told->found, FC_FAIL, gauge->name, 0,
                                 FC_FOUND_CONTRADICTION, sentence, figures);

    if (!found)
        return;
    found->against = other->name;
    s->told->pairs[s->told->n_pairs++] = (struct fci_disagreement){
        (size_t)(gauge - gauges), (size_t)(other - gauges), apart, found->text
    };
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

/* ---- The tree ---------------------------------------------------------- */

/* The elements in the order of a walk that finishes a branch before the next
 * one. */
static void
number_tree(struct sensing *s)
{
    const fc_site *site = s->site;
    size_t i, next = 0;

    for (i = 0; i < site->n_elements; i++)
        s->last[i] = 1; /* how many: itself */
    for (i = site->n_elements; i-- > 0;) {
        const size_t at = site->order[i], parent = site->elements[at].parent;

        if (parent != FCI_NONE)
            s->last[parent] += s->last[at];
    }
    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i], parent = site->elements[at].parent;
        const size_t n = s->last[at];
        /* of a parent: where the next branch begins */
        size_t *begins = parent == FCI_NONE ? &next : &s->seen[parent];

        s->first[at] = *begins;
        s->last[at] = *begins + n - 1;
        *begins += n;
        s->seen[at] = s->first[at] + 1;
        s->pumps[at] = (parent == FCI_NONE ? 0 : s->pumps[parent])
                       + (size_t)fci_adds_pressure(&site->elements[at]);
    }
}

static bool
feeds(const struct sensing *s, size_t above, size_t below)
{
    return s->first[above] <= s->first[below]
           && s->first[below] <= s->last[above];
}

/* By how much a difference in height may be off: `high` counted too much over
 * `low`, in pressure. */
static double
height_off(const struct sensing *s, struct fci_gauge_place high,
           struct fci_gauge_place low)
{
    const fc_site *site = s->site;
    double off = 0;
    size_t at;

    if (high.fixture != low.fixture) {
        if (high.fixture != FCI_NONE)
            off += site->fixtures[high.fixture].given->rise.nominal
                   - site->fixtures[high.fixture].given->rise.low;
        if (low.fixture != FCI_NONE)
            off += site->fixtures[low.fixture].given->rise.high
                   - site->fixtures[low.fixture].given->rise.nominal;
    }
    for (at = high.element; at != FCI_NONE && !feeds(s, at, low.element);
         at = site->elements[at].parent)
        off += site->elements[at].rise.nominal - site->elements[at].rise.low;
    for (at = low.element; at != FCI_NONE && !feeds(s, at, high.element);
         at = site->elements[at].parent)
        off += site->elements[at].rise.high - site->elements[at].rise.nominal;
    return site->water_weight * off;
}

/* By how much the first has more head than the second than the gauges and the
 * heights may be off; 0 or less: it may be true. */
static double
excess(const struct sensing *s, const struct fci_gauge *high,
       const struct fci_gauge *low)
{
    const double over = head_of(s, high) - head_of(s, low)
                        - fci_gauges_within(high, low) - FCI_SAME_PRESSURE;

    return over > 0 ? over - height_off(s, high->place, low->place) : over;
}

/* Whether more flow never leaves more pressure: a curve may dip. */
static bool
is_monotone(const struct fci_element *element)
{
    const bool pump = fci_adds_pressure(element);
    const fc_loss *loss = fci_element_loss(element);
    const fc_point *points = NULL;
    size_t i, n = 0;

    if (pump) {
        points = ((const fc_pump *)element->part->data)->curve;
        n = ((const fc_pump *)element->part->data)->n_curve;
    } else if (loss && loss->kind == FC_CURVE_LOSS) {
        points = loss->points;
        n = loss->n_points;
    }
    for (i = 1; i < n; i++)
        if (pump ? points[i].y > points[i - 1].y
                 : points[i].y < points[i - 1].y)
            return false;
    return true;
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

    if (fabs(up) * weight < fci_gauges_within(high, low))
        contradict(
            s, low, high, head_of(s, high) - head_of(s, low),
            "static {read high} ({high} at {high at}) and {read low} ({low} "
            "at {low at}) differ by {differ}, where elevation makes "
            "{heights}: read both again, and listen for running water",
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
            s, low, high, head_of(s, high) - head_of(s, low),
            "static {read high} ({high} at {high at}) and {read low} ({low} "
            "at {low at}): {low at} is {up} {higher}, so {low} should read "
            "{heights} {less}, not {differ} {read less}; check elevations, "
            "gauges and places, or water runs somewhere",
            FCI_WITH(FCI_WORD("high", high->name),
                     FCI_WORD("high at", fci_place_name(s->site, high->place)),
                     FCI_WORD("low", low->name),
                     FCI_WORD("low at", fci_place_name(s->site, low->place)),
                     FCI_ONE("read high", FC_PRESSURE, high->read),
                     FCI_ONE("read low", FC_PRESSURE, low->read),
                     FCI_ONE("up", FC_LENGTH, fabs(up)),
                     FCI_WORD("higher", up > 0 ? "higher" : "lower"),
                     FCI_ONE("heights", FC_PRESSURE, fabs(up) * weight),
                     FCI_WORD("less", up > 0 ? "less" : "more"),
                     FCI_ONE("differ", FC_PRESSURE, fabs(read)),
                     FCI_WORD("read less", read > 0 ? "less" : "more")));
}

/* ---- Without flow ------------------------------------------------------ */

/* Of a flow nothing is said here: it is weighed with the model. */
static bool
is_pressure(const struct fci_gauge *g)
{
    return g->dimension == FC_PRESSURE;
}

/* Where water is drawn steadily, or goes from one source to another, nothing
 * is at rest. */
static bool
is_static(const struct sensing *s, const struct fci_gauge *g)
{
    return is_pressure(g) && s->steady
           && s->told->readings->events[g->event].n == 0;
}

/* Each that is too low for another of its zone. */
static void
compare_static(struct sensing *s)
{
    const struct fci_readings *r = s->told->readings;
    size_t i, k;

    for (i = 0; i < r->n; i++) {
        const struct fci_gauge *g = &r->gauges[i], *worst = NULL;
        double most = 0;

        if (!is_static(s, g))
            continue;
        for (k = r->events[g->event].first; k != FCI_NONE;
             k = r->gauges[k].next) {
            const struct fci_gauge *high = &r->gauges[k];
            double over;

            if (!is_pressure(high)
                || s->zone_of[high->place.element]
                       != s->zone_of[g->place.element])
                continue;
            over = excess(s, high, g);
            if (!(over > most))
                continue;
            most = over;
            worst = high;
        }
        if (worst)
            tell_static(s, worst, g);
    }
}

/* ---- Where the water of a gauge stands --------------------------------- */

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

static struct spot
spot_of(const struct sensing *s, const struct fci_gauge *g)
{
    struct spot spot = { g->place.element, g->place.fixture };

    if (!is_idle(s, g))
        return spot;
    spot.fixture = FCI_NONE;
    if (is_static(s, g))
        spot.at = s->zone_of[spot.at];
    else if (s->tree)
        while (s->flows[spot.at] != g->event + 1
               && spot.at != s->zone_of[spot.at])
            spot.at = s->site->elements[spot.at].parent;
    return spot;
}

static void
find_spots(struct sensing *s)
{
    const struct fci_readings *r = s->told->readings;
    size_t e, i;

    for (e = 0; e < r->n_events; e++) {
        fci_mark_flows(s->site, &r->events[e], s->flows, e + 1);
        for (i = r->events[e].first; i != FCI_NONE; i = r->gauges[i].next)
            s->spots[i] = spot_of(s, &r->gauges[i]);
    }
}

/* ---- With flow --------------------------------------------------------- */

/* Whether what `up` shows is water that `g` is fed with, through no pump. */
static bool
is_fed_by(const struct sensing *s, const struct fci_gauge *g,
          const struct fci_gauge *up)
{
    const struct fci_gauge *gauges = s->told->readings->gauges;
    const struct spot from = s->spots[up - gauges];

    if (from.fixture != FCI_NONE)
        return from.fixture == g->place.fixture;
    if (!s->tree) /* flows may turn; at rest a zone is one water */
        return g->place.element == from.at
               || (is_static(s, up)
                   && s->zone_of[g->place.element] == from.at);
    return feeds(s, from.at, g->place.element)
           && s->pumps[from.at] == s->pumps[g->place.element];
}

/* The same water: that is told of what was read twice, and of zones. */
static bool
is_same_water(const struct sensing *s, const struct fci_gauge *a,
              const struct fci_gauge *b)
{
    const struct fci_gauge *gauges = s->told->readings->gauges;
    const struct spot x = s->spots[a - gauges], y = s->spots[b - gauges];

    return x.fixture == y.fixture && (x.fixture != FCI_NONE || x.at == y.at);
}

/* What speaks most against a reading: of the same event, or of those in which
 * less flushes. */
static const struct fci_gauge *
most_against(const struct sensing *s, const struct fci_gauge *g,
             bool same_event)
{
    const struct fci_readings *r = s->told->readings;
    const struct fci_gauge *worst = NULL;
    double most = 0;
    size_t i;

    for (i = 0; i < r->n; i++) {
        const struct fci_gauge *up = &r->gauges[i];
        double over;

        if (!is_pressure(up) || (up->event == g->event) != same_event)
            continue;
        over = excess(s, g, up);
        if (!(over > most) || !is_fed_by(s, g, up))
            continue;
        if (same_event ? is_same_water(s, g, up)
                       : !fci_flushes_no_more(&r->events[up->event],
                                              &r->events[g->event]))
            continue;
        most = over;
        worst = up;
    }
    return worst;
}

/* What another reading leaves for the place of a gauge. */
static double
left_for(const struct sensing *s, const struct fci_gauge *g,
         const struct fci_gauge *other)
{
    return head_of(s, other) - s->site->water_weight * height_of(s, g->place);
}

/* More was read while more flushed. */
static void
tell_more(struct sensing *s, const struct fci_gauge *g,
          const struct fci_gauge *other)
{
    const struct fci_flushing_set *fewer =
        &s->told->readings->events[other->event];
    const char *meanwhile =
        fci_flushing_words(s->told->found.arena, s->site, fewer);
    const double apart = head_of(s, g) - head_of(s, other);

    if (!meanwhile)
        return; /* told by the arena */
    if (fewer->n == 0)
        contradict(
            s, g, other, apart,
            "{reading} at {at} reads {read} with water flowing, above the "
            "{left} static there by {static} at {static at}: a flowing "
            "reading is below static",
            FCI_WITH(
                FCI_WORD("reading", g->name),
                FCI_WORD("at", fci_place_name(s->site, g->place)),
                FCI_ONE("read", FC_PRESSURE, g->read),
                FCI_ONE("left", FC_PRESSURE, left_for(s, g, other)),
                FCI_WORD("static", other->name),
                FCI_WORD("static at", fci_place_name(s->site, other->place))));
    else
        contradict(
            s, g, other, apart,
            "{reading} at {at} reads {read}, above the {left} there by "
            "{other} at {other at} with no more than {fewer} open: opening "
            "more never raises pressure; read both again",
            FCI_WITH(
                FCI_WORD("reading", g->name),
                FCI_WORD("at", fci_place_name(s->site, g->place)),
                FCI_ONE("read", FC_PRESSURE, g->read),
                FCI_ONE("left", FC_PRESSURE, left_for(s, g, other)),
                FCI_WORD("other", other->name),
                FCI_WORD("other at", fci_place_name(s->site, other->place)),
                FCI_WORD("fewer", meanwhile)));
}

/* Head that grows on the way of the water. */
static void
tell_along(struct sensing *s, const struct fci_gauge *g,
           const struct fci_gauge *up)
{
    const double more = head_of(s, g) - head_of(s, up);
    const char *hint = s->told->readings->events[g->event].n > 0
                           ? ""
                           : "; a check valve may trap pressure: open an "
                             "outlet for a moment, and read both again";

    contradict(
        s, g, up, more,
        "{reading} at {at} is {more} above {up} at {up at} upstream, "
        "elevation counted: pressure does not rise along the flow{hint}",
        FCI_WITH(FCI_WORD("reading", g->name),
                 FCI_WORD("at", fci_place_name(s->site, g->place)),
                 FCI_ONE("more", FC_PRESSURE, more), FCI_WORD("up", up->name),
                 FCI_WORD("up at", fci_place_name(s->site, up->place)),
                 FCI_WORD("hint", hint)));
}

/* On a meshed plan only where flows cannot turn the comparison. */
static void
compare_rising(struct sensing *s)
{
    const struct fci_readings *r = s->told->readings;
    size_t i;

    for (i = 0; i < r->n; i++) {
        const struct fci_gauge *g = &r->gauges[i], *other;

        if (!is_pressure(g))
            continue;
        other = s->monotone ? most_against(s, g, false) : NULL;
        if (other)
            tell_more(s, g, other);
        other = s->tree ? most_against(s, g, true) : NULL;
        if (other)
            tell_along(s, g, other);
    }
}

/* Gauges of one event with the same key have the same head, or the same
 * flow. */
static size_t
key_of(const struct sensing *s, const struct fci_gauge *g)
{
    const struct spot spot = s->spots[g - s->told->readings->gauges];

    if (spot.fixture != FCI_NONE)
        return s->site->n_elements + spot.fixture;
    return is_pressure(g) ? spot.at : g->place.element;
}

/* The same figure, read twice while the same flushes. */
static void
compare_twice(struct sensing *s, const struct fci_gauge *g,
              const struct fci_gauge *other)
{
    const bool pressure = is_pressure(g);
    const double differ = fabs(pressure ? head_of(s, g) - head_of(s, other)
                                        : g->read - other->read);

    if (pressure ? excess(s, g, other) <= 0 && excess(s, other, g) <= 0
                 : differ <= g->within + other->within)
        return;
    if (fci_same_gauge(g, other))
        contradict(s, g, other, differ,
                   "{reading} and {other} at {at} read {read} and {other "
                   "read} with the same outlets open: read again",
                   FCI_WITH(FCI_WORD("reading", g->name),
                            FCI_WORD("other", other->name),
                            FCI_WORD("at", fci_place_name(s->site, g->place)),
                            FCI_ONE("read", g->dimension, g->read),
                            FCI_ONE("other read", g->dimension, other->read)));
    else
        contradict(s, g, other, differ,
                   "{reading} at {at} and {other} at {other at} read the same "
                   "water with the same outlets open, yet differ by {differ}, "
                   "elevation counted: read again",
                   FCI_WITH(FCI_WORD("reading", g->name),
                            FCI_WORD("at", fci_place_name(s->site, g->place)),
                            FCI_WORD("other", other->name),
                            FCI_WORD("other at",
                                     fci_place_name(s->site, other->place)),
                            FCI_ONE("differ", g->dimension, differ)));
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

/* ---- The whole --------------------------------------------------------- */

static void
take_site(struct sensing *s)
{
    const fc_site *site = s->site;
    size_t i;

    s->tree = site->n_loops == 0 && site->n_sources == 1;
    s->steady = site->n_sources == 1;
    s->monotone = true;
    for (i = 0; i < site->n_draws; i++)
        s->steady &= !(site->draws[i].flow.high > 0);
    for (i = 0; i < site->n_elements; i++)
        s->monotone &= is_monotone(&site->elements[i]);
}

static void
compare_all(struct sensing *s)
{
    const struct fci_readings *r = s->told->readings;
    size_t i;

    take_site(s);
    number_tree(s);
    find_zones(s);
    find_spots(s);
    compare_static(s);
    compare_rising(s);
    for (i = 0; i < s->site->n_elements + s->site->n_fixtures; i++)
        s->seen[i] = FCI_NONE;
    for (i = 0; i < r->n_events; i++) {
        compare_same(s, &r->events[i], FC_FLOW);
        compare_same(s, &r->events[i], FC_PRESSURE);
    }
}

fc_status
fci_consistency_make(struct fci_consistency *consistency)
{
    const fc_site *site = consistency->readings->site;
    struct sensing s = { .told = consistency, .site = site };
    const size_t n = site->n_elements, n_read = consistency->readings->n;
    fc_status status = FC_ENOMEM;

    /* of each: too low at rest, too high after others, read twice */
    consistency->pairs = fci_arena_array(consistency->found.arena, 4 * n_read,
                                         sizeof *consistency->pairs);
    s.height = fci_arena_array(&s.arena, n, sizeof *s.height);
    s.zone_of = fci_arena_array(&s.arena, n, sizeof *s.zone_of);
    s.first = fci_arena_array(&s.arena, n, sizeof *s.first);
    s.last = fci_arena_array(&s.arena, n, sizeof *s.last);
    s.pumps = fci_arena_array(&s.arena, n, sizeof *s.pumps);
    s.flows = fci_arena_array(&s.arena, n, sizeof *s.flows);
    s.spots = fci_arena_array(&s.arena, n_read, sizeof *s.spots);
    s.seen = fci_arena_array(&s.arena, n + site->n_fixtures, sizeof *s.seen);
    if (!s.arena.failed && consistency->pairs) {
        fci_heights(site, s.height);
        compare_all(&s);
        status = consistency->found.arena->failed ? FC_ENOMEM : FC_OK;
    }
    fci_arena_free(&s.arena);
    return status;
}
