/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/reducer_window.c -- what a pressure reducer may be set to.
 *
 * At peak every input stands at its worst end, and a fixture has the lower of
 * what the wide open reducer would let it have and of
 *     setting - fall-off - what is taken behind the reducer,
 * so that its need bounds the setting from below.  Without flow every input
 * stands at the end that makes the pressure highest.  What a fixture then has
 * never falls as the setting rises, so its maximum bounds the setting from
 * above: it is followed from the fixture back to the reducer.
 *
 * The elements behind a reducer are one run of the tree's places, so that each
 * window takes a time linear in that run, but for
 * sorting where zones are sought.
 */
#include "remedy/reducer_window.h"
#include "ground/ties.h"
#include "site/tree.h"

#include <math.h>
#include <stdlib.h>

/* Inlets that differ by less than this in height are one floor's [m]. */
#define SAME_FLOOR 0.05

/* To an element's outlet from that of the last pump that holds on the way, or
 * from the reducer's. */
struct way {
    double taken; /* of the pressure at peak [Pa] */
    /* Without flow it leaves min(from - lost, cap). */
    double lost, cap;
    size_t pump; /* element; FCI_NONE: the reducer */
};

/* What one fixture asks of the setting. */
struct limit {
    const struct fci_fixture *fixture;
    double height;    /* of its inlet [m] */
    double low, high; /* -INFINITY, INFINITY: nothing */
};

struct work {
    const struct fci_judge *judge;
    const fc_site *site;
    fc_state state;
    struct fci_arena scratch;
    struct fci_tree tree;
    struct way *way;      /* by element, from the reducer in hand */
    struct limit *limits; /* of the fixtures behind it */
    fc_reducer_zone *zones;
};

/* Where a reducer stands, or would, and what it does to its setting. */
struct station {
    size_t outlet;   /* element */
    double still;    /* without flow, wide open, at most [Pa] */
    double fall_off; /* at peak [Pa] */
    /* The setting may be off by so much, and by this share of itself. */
    double below, above, share;
};

static bool
make_room(struct work *w)
{
    const size_t n = w->site->n_elements, m = w->site->n_fixtures;
    struct fci_arena *scratch = &w->scratch;

    w->way = fci_arena_array(scratch, n, sizeof *w->way);
    w->limits = fci_arena_array(scratch, m, sizeof *w->limits);
    w->zones = fci_arena_array(scratch, m, sizeof *w->zones);
    return fci_tree_make(&w->tree, w->site, scratch) && !scratch->failed;
}

/* ---- The way behind a reducer ----------------------------------------- */

/* The end at which the pressure without flow is highest. */
#define HIGHEST FCI_BEST

static fc_range
set_of(const struct fci_element *element)
{
    return ((const fc_reducer *)element->part->data)->set;
}

/* What a pump adds without flow; one that adds less than nothing is passed by,
 * through its check valve.  Nothing else adds. */
static double
still_head(const struct fci_taking *taking)
{
    return fmax(-taking->loss, 0);
}

/* What fci_element_still() does to a pressure that may be kept in. */
static struct way
still_behind(const struct fci_taking *taking, struct way way)
{
    way.lost += taking->lift;
    way.lost -= still_head(taking);
    way.cap = fmin(way.cap - taking->lift, taking->most);
    way.cap += still_head(taking);
    return way;
}

static struct way
way_behind(const struct work *w, size_t at)
{
    const struct fci_element *element = &w->site->elements[at];
    struct way way = w->way[element->parent];
    const struct fci_pressure in = { -way.taken, INFINITY };
    const struct fci_taking taking =
        fci_element_takes(w->site, element, 0, HIGHEST);

    if (fci_may_hold(&taking))
        return (struct way){ 0, 0, INFINITY, at };
    way.taken = -fci_element_passes(
                     w->site, element, in,
                     w->judge->demand[w->state][at].flow[FCI_WORST], FCI_WORST)
                     .direct;
    return still_behind(&taking, way);
}

/* The least pressure at the reducer's outlet, at peak, that leaves `need` at
 * an element's. */
static double
least_at_outlet(const struct work *w, size_t at, double need)
{
    struct way way = w->way[at];

    for (; way.pump != FCI_NONE; way = w->way[at]) {
        const struct fci_element *pump = &w->site->elements[way.pump];
        const double flow =
            w->judge->demand[w->state][way.pump].flow[FCI_WORST];

        need =
            fci_element_asks(w->site, pump, need + way.taken, flow, FCI_WORST);
        at = pump->parent;
    }
    return need + way.taken;
}

/* The highest pressure at the reducer's outlet, without flow, that leaves no
 * more than `most` behind an element; INFINITY: whatever it is. */
static double
most_at_outlet(const struct work *w, size_t at, double most)
{
    struct way way = w->way[at];

    while (way.cap > most + FCI_SAME_PRESSURE) {
        const struct fci_element *pump;
        struct fci_taking taking;

        most += way.lost;
        if (way.pump == FCI_NONE)
            return most;
        pump = &w->site->elements[way.pump];
        taking = fci_element_takes(w->site, pump, 0, HIGHEST);
        /* A pump raises what comes in to what it holds at most, and does not
         * throttle what is above that. */
        if (taking.most > most + FCI_SAME_PRESSURE)
            most -= still_head(&taking);
        way = w->way[pump->parent];
        way.lost += taking.lift;
        way.cap -= taking.lift;
    }
    return INFINITY;
}

/* ---- What a fixture asks ---------------------------------------------- */

/* The nominal setting whose low end is x, and the one whose high end is. */
static double
setting_not_under(const struct station *s, double x)
{
    return (x + s->below) / (1 - s->share);
}

static double
setting_not_over(const struct station *s, double x)
{
    return (x - s->above) / (1 + s->share);
}

static double
lowest_setting(const struct work *w, const struct station *s,
               const struct fci_fixture *fixture, fc_range need)
{
    const fc_range flow = fci_fixture_flow(w->site, fixture, w->state);
    const double drop = fci_fixture_drop(
        w->site, fixture, fci_more_is_worse(flow, FCI_WORST), FCI_WORST);

    if (!need.given)
        return -INFINITY;
    return setting_not_under(
        s, least_at_outlet(w, fixture->element,
                           fci_more_is_worse(need, FCI_WORST) + drop)
               + s->fall_off);
}

static double
highest_setting(const struct work *w, const struct station *s,
                const struct fci_fixture *fixture, double maximum)
{
    const double lift = w->site->water_weight
                        * fci_more_is_worse(fixture->given->rise, HIGHEST);
    const double most = most_at_outlet(w, fixture->element, maximum + lift);

    if (s->still <= most + FCI_SAME_PRESSURE)
        return INFINITY;
    return setting_not_over(s, most);
}

static struct limit
limit_of(const struct work *w, const struct station *s,
         const struct fci_fixture *fixture)
{
    const struct fci_requirement need =
        fci_requirement_of(w->site, fixture, w->state);
    const struct limit limit = {
        .fixture = fixture,
        .height = w->judge->rest[fixture->element].elevation
                  + fixture->given->rise.nominal,
        .low = lowest_setting(w, s, fixture, need.pressure),
        .high = highest_setting(w, s, fixture, need.maximum_static)
    };

    return limit;
}

/* Every fixture behind the station; returns how many there are. */
static size_t
list_limits(struct work *w, const struct station *s)
{
    const struct fci_tree *tree = &w->tree;
    const size_t begin = tree->place[s->outlet];
    const size_t end = begin + tree->size[s->outlet];
    size_t i, n = 0;

    w->way[s->outlet] = (struct way){ 0, 0, INFINITY, FCI_NONE };
    for (i = begin + 1; i < end; i++)
        w->way[tree->at[i]] = way_behind(w, tree->at[i]);
    for (i = tree->first[begin]; i < tree->first[end]; i++)
        w->limits[n++] = limit_of(w, s, &w->site->fixtures[tree->fixtures[i]]);
    return n;
}

/* ---- Zones ------------------------------------------------------------ */

/* No reducer is set below nothing. */
static const fc_reducer_zone no_fixtures = {
    .lowest = NAN, .highest = NAN, .high = INFINITY, .possible = true
};

static fc_reducer_zone
joined(fc_reducer_zone zone, const fc_reducer_zone *other)
{
    zone.lowest = fmin(zone.lowest, other->lowest);
    zone.highest = fmax(zone.highest, other->highest);
    if (fci_is_less(zone.low, other->low)) {
        zone.low = other->low;
        zone.short_first = other->short_first;
    }
    if (fci_is_less(other->high, zone.high)) {
        zone.high = other->high;
        zone.high_first = other->high_first;
    }
    zone.possible = zone.low <= zone.high + FCI_SAME_PRESSURE;
    return zone;
}

/* A run of fixtures together. */
static fc_reducer_zone
zone_of(const struct limit *limits, size_t n)
{
    fc_reducer_zone zone = no_fixtures;
    size_t i;

    for (i = 0; i < n; i++) {
        const struct limit *l = &limits[i];
        const char *name = l->fixture->given->name;
        const fc_reducer_zone one = { .lowest = l->height,
                                      .highest = l->height,
                                      .low = l->low,
                                      .high = l->high,
                                      .short_first = name,
                                      .high_first = name };

        zone = joined(zone, &one);
    }
    return zone;
}

static int
by_height(const void *a, const void *b)
{
    const struct limit *one = a, *two = b;

    const double high = fci_coarse(one->height);
    const double low = fci_coarse(two->height);

    if (high < low || high > low)
        return high < low ? -1 : 1;
    return (one->fixture > two->fixture) - (one->fixture < two->fixture);
}

static size_t
floor_length(const struct limit *limits, size_t n)
{
    size_t i = 1;

    while (i < n && limits[i].height <= limits[0].height + SAME_FLOOR)
        i++;
    return i;
}

/* As few as can be: what has no window has none with more floors either, so
 * that taking as many floors as go, from the lowest, is never the worse.
 * Returns how many. */
static size_t
split(struct work *w, size_t n)
{
    size_t i, length, zones = 0;

    qsort(w->limits, n, sizeof *w->limits, by_height);
    for (i = 0; i < n; i += length) {
        fc_reducer_zone floor, together;

        length = floor_length(w->limits + i, n - i);
        floor = zone_of(w->limits + i, length);
        if (zones == 0) {
            w->zones[zones++] = floor;
            continue;
        }
        together = joined(w->zones[zones - 1], &floor);
        if (together.possible)
            w->zones[zones - 1] = together;
        else
            w->zones[zones++] = floor;
    }
    return zones;
}

static fc_status
find_window(struct work *w, const struct station *s, struct fci_arena *arena,
            fc_reducer_window *window)
{
    const size_t n = list_limits(w, s);

    window->all = zone_of(w->limits, n);
    if (window->all.possible)
        return FC_OK;
    window->n_zones = split(w, n);
    window->zones = fci_arena_copy(arena, w->zones,
                                   window->n_zones * sizeof *window->zones);
    return window->zones ? FC_OK : FC_ENOMEM;
}

/* ---- Reducers --------------------------------------------------------- */

/* How far the setting may be off; a tolerance that is a share of it grows
 * with it. */
static void
take_width(const fc_site *site, const struct fci_element *element,
           struct station *s)
{
    const fc_reducer *given = site->given[element->part - site->parts];
    const fc_deviation off = site->tolerance.pressure;

    if (given->set.low < given->set.high || !off.given) {
        s->below = given->set.nominal - given->set.low;
        s->above = given->set.high - given->set.nominal;
    } else if (off.is_fraction) {
        s->share = off.amount;
    } else {
        s->below = s->above = off.amount;
    }
}

static fc_status
find_reducer_window(struct work *w, size_t at, struct fci_arena *arena,
                    fc_reducer_window *window)
{
    const struct fci_element *element = &w->site->elements[at];
    const double flow = w->judge->demand[w->state][at].flow[FCI_WORST];
    struct fci_pressure in = { INFINITY, INFINITY };
    struct station s = { .outlet = at };

    take_width(w->site, element, &s);
    s.still =
        w->judge->rest[element->parent].trapped[HIGHEST]
        - w->site->water_weight * fci_more_is_worse(element->rise, HIGHEST);
    s.fall_off =
        fci_less_is_worse(set_of(element), FCI_WORST)
        - fci_element_passes(w->site, element, in, flow, FCI_WORST).capped;
    in.direct = fci_pressure_of(
        w->judge->peak[w->state][element->parent].at[FCI_WORST]);
    window->reducer = element->name;
    window->behind = w->site->elements[element->parent].name;
    window->set = set_of(element);
    window->reaches =
        fci_element_passes(w->site, element, in, flow, FCI_WORST).direct;
    return find_window(w, &s, arena, window);
}

/* Two side by side have no one set pressure. */
static bool
has_window(const struct fci_element *element)
{
    return element->part->kind == FCI_REDUCER && element->beside == 0;
}

static fc_status
find_all(struct work *w, size_t n, struct fci_arena *arena,
         fc_reducer_window *windows)
{
    fc_status status = FC_OK;
    size_t i, k = 0;

    for (i = 0; i < w->site->n_elements && k < n && status == FC_OK; i++)
        if (has_window(&w->site->elements[i]))
            status = find_reducer_window(w, i, arena, &windows[k++]);
    return status;
}

static size_t
count_reducers(const fc_site *site)
{
    size_t i, n = 0;

    for (i = 0; i < site->n_elements; i++)
        n += has_window(&site->elements[i]);
    return n;
}

/* ---- A reducer that is not there -------------------------------------- */

static bool
any_over_maximum(const struct work *w)
{
    size_t i;

    for (i = 0; i < w->site->n_fixtures; i++)
        if (fci_judge_fixture(w->judge, &w->site->fixtures[i], w->state)
                .maximum
            != FC_WORKS)
            return true;
    return false;
}

/* By element, whether something that is no element draws from its outlet;
 * NULL when out of memory. */
static bool *
mark_drawn_on(struct work *w)
{
    const fc_site *site = w->site;
    bool *drawn =
        fci_arena_array(&w->scratch, site->n_elements, sizeof *drawn);
    size_t i;

    for (i = 0; drawn && i < site->n_fixtures; i++) {
        drawn[site->fixtures[i].element] = true;
        if (site->fixtures[i].heater != FCI_NONE)
            drawn[site->fixtures[i].heater] = true;
    }
    for (i = 0; drawn && i < site->n_draws; i++)
        drawn[site->draws[i].element] = true;
    return drawn;
}

/* The last element of the run from the source from which nothing is drawn and
 * only one other fed, or the source. */
static size_t
end_of_main(const struct work *w, const bool *drawn)
{
    const size_t *at = w->tree.at, *size = w->tree.size;
    size_t place = 0;

    while (size[at[place]] > 1 && !drawn[at[place]]
           && size[at[place + 1]] == size[at[place]] - 1)
        place++;
    return at[place > 0 ? place - 1 : 0];
}

static fc_status
find_absent(struct work *w, struct fci_arena *arena, fc_reducer_window *window)
{
    const bool *drawn = mark_drawn_on(w);
    struct station s = { 0 };

    if (!drawn)
        return FC_ENOMEM;
    s.outlet = end_of_main(w, drawn);
    s.still = w->judge->rest[s.outlet].trapped[HIGHEST];
    window->behind = w->site->elements[s.outlet].name;
    window->reaches =
        fci_pressure_of(w->judge->peak[w->state][s.outlet].at[FCI_WORST]);
    return find_window(w, &s, arena, window);
}

/* ---- All -------------------------------------------------------------- */

static fc_status
find_windows(struct work *w, struct fci_arena *arena,
             const fc_reducer_window **windows, size_t *n)
{
    const size_t reducers = count_reducers(w->site);
    const size_t found =
        reducers > 0 ? reducers : w->site->n_pairs == 0 && any_over_maximum(w);
    fc_reducer_window *list = fci_arena_array(arena, found, sizeof *list);
    fc_status status = FC_OK;

    if (!list || !make_room(w))
        return FC_ENOMEM;
    if (reducers > 0)
        status = find_all(w, reducers, arena, list);
    else if (found > 0)
        status = find_absent(w, arena, list);
    if (status != FC_OK)
        return status;
    *windows = list;
    *n = found;
    return FC_OK;
}

fc_status
fci_reducer_windows(const struct fci_judge *judge, fc_state state,
                    struct fci_arena *arena, const fc_reducer_window **windows,
                    size_t *n)
{
    struct work w = { .judge = judge, .site = judge->site, .state = state };
    const fc_status status = find_windows(&w, arena, windows, n);

    fci_arena_free(&w.scratch);
    return status;
}

/* As list_limits(), of those fed from the station's own outlet. */
static size_t
list_fed(struct work *w, const struct station *s, const bool *fed)
{
    size_t i, n = 0;

    w->way[s->outlet] = (struct way){ 0, 0, INFINITY, FCI_NONE };
    for (i = 0; i < w->site->n_fixtures; i++)
        if (fed[i] && w->site->fixtures[i].element == s->outlet)
            w->limits[n++] = limit_of(w, s, &w->site->fixtures[i]);
    return n;
}

fc_status
fci_reducer_window_of(const struct fci_judge *judge, fc_state state,
                      size_t element, const bool *fed,
                      fc_reducer_window *window)
{
    struct work w = { .judge = judge, .site = judge->site, .state = state };
    const struct fci_tables *tables = judge->site->tables;
    const struct station s = {
        .outlet = element,
        .still = judge->rest[element].trapped[HIGHEST],
        .fall_off = fci_tables_usual(tables, FCI_USUAL_FALL_OFF)->range.high
    };
    fc_status status = FC_ENOMEM;

    *window = (fc_reducer_window){ .reducer = NULL };
    if (make_room(&w)) {
        window->behind = w.site->elements[element].name;
        window->all = zone_of(w.limits, fed ? list_fed(&w, &s, fed)
                                            : list_limits(&w, &s));
        status = FC_OK;
    }
    fci_arena_free(&w.scratch);
    return status;
}

fc_status
fci_reducer_window_at(const struct fci_judge *judge, fc_state state,
                      size_t element, fc_reducer_window *window)
{
    return fci_reducer_window_of(judge, state, element, NULL, window);
}
