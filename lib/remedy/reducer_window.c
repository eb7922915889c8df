/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/reducer_window.c -- what a pressure reducer may be set to.
 *
 * Each fixture behind it bounds the setting (remedy/reducer_asked.c); what all
 * of them leave is its window.  Where they leave none, they are parted into
 * zones by height.
 *
 * The elements behind a reducer are one run of the tree's places, so that each
 * window takes a time linear in that run, but for sorting where zones are
 * sought.
 */
#include "remedy/reducer_window.h"
#include "remedy/reducer_asked.h"
#include "ground/ties.h"

#include <math.h>
#include <stdlib.h>

/* Inlets that differ by less than this in height are one floor's [m]. */
#define SAME_FLOOR 0.05

struct work {
    struct fci_asking of;
    struct fci_arena scratch;
    fc_reducer_zone *zones;
};

static bool
make_room(struct work *w, const struct fci_judge *judge, fc_state state)
{
    w->zones = fci_arena_array(&w->scratch, judge->site->n_fixtures,
                               sizeof *w->zones);
    return fci_asking_make(&w->of, judge, state, &w->scratch);
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
zone_of(const struct fci_asked *limits, size_t n)
{
    fc_reducer_zone zone = no_fixtures;
    size_t i;

    for (i = 0; i < n; i++) {
        const struct fci_asked *l = &limits[i];
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
    const struct fci_asked *one = a, *two = b;

    const double high = fci_coarse(one->height);
    const double low = fci_coarse(two->height);

    if (high < low || high > low)
        return high < low ? -1 : 1;
    return (one->fixture > two->fixture) - (one->fixture < two->fixture);
}

static size_t
floor_length(const struct fci_asked *limits, size_t n)
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

    qsort(w->of.asked, n, sizeof *w->of.asked, by_height);
    for (i = 0; i < n; i += length) {
        fc_reducer_zone floor, together;

        length = floor_length(w->of.asked + i, n - i);
        floor = zone_of(w->of.asked + i, length);
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
find_window(struct work *w, const struct fci_station *s,
            struct fci_arena *arena, fc_reducer_window *window)
{
    const size_t n = fci_asking_list(&w->of, s);

    window->all = zone_of(w->of.asked, n);
    if (window->all.possible)
        return FC_OK;
    window->n_zones = split(w, n);
    window->zones = fci_arena_copy(arena, w->zones,
                                   window->n_zones * sizeof *window->zones);
    return window->zones ? FC_OK : FC_ENOMEM;
}

/* ---- Reducers --------------------------------------------------------- */

static fc_range
set_of(const struct fci_element *element)
{
    return ((const fc_reducer *)element->part->data)->set;
}

/* How far the setting may be off; a tolerance that is a share of it grows
 * with it. */
static void
take_width(const fc_site *site, const struct fci_element *element,
           struct fci_station *s)
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
    const struct fci_element *element = &w->of.site->elements[at];
    const double flow = w->of.judge->demand[w->of.state][at].flow[FCI_WORST];
    struct fci_pressure in = { INFINITY, INFINITY };
    struct fci_station s = { .outlet = at };

    take_width(w->of.site, element, &s);
    s.still = w->of.judge->rest[element->parent].trapped[FCI_HIGHEST]
              - w->of.site->water_weight
                    * fci_more_is_worse(element->rise, FCI_HIGHEST);
    s.fall_off =
        fci_less_is_worse(set_of(element), FCI_WORST)
        - fci_element_passes(w->of.site, element, in, flow, FCI_WORST).capped;
    in.direct = fci_pressure_of(
        w->of.judge->peak[w->of.state][element->parent].at[FCI_WORST]);
    window->reducer = element->name;
    window->behind = w->of.site->elements[element->parent].name;
    window->set = set_of(element);
    window->reaches =
        fci_element_passes(w->of.site, element, in, flow, FCI_WORST).direct;
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

    for (i = 0; i < w->of.site->n_elements && k < n && status == FC_OK; i++)
        if (has_window(&w->of.site->elements[i]))
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

    for (i = 0; i < w->of.site->n_fixtures; i++)
        if (fci_judge_fixture(w->of.judge, &w->of.site->fixtures[i],
                              w->of.state)
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
    const fc_site *site = w->of.site;
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
    const size_t *at = w->of.tree.at, *size = w->of.tree.size;
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
    struct fci_station s = { 0 };

    if (!drawn)
        return FC_ENOMEM;
    s.outlet = end_of_main(w, drawn);
    s.still = w->of.judge->rest[s.outlet].trapped[FCI_HIGHEST];
    window->behind = w->of.site->elements[s.outlet].name;
    window->reaches = fci_pressure_of(
        w->of.judge->peak[w->of.state][s.outlet].at[FCI_WORST]);
    return find_window(w, &s, arena, window);
}

/* ---- All -------------------------------------------------------------- */

static fc_status
find_windows(struct work *w, struct fci_arena *arena,
             const fc_reducer_window **windows, size_t *n)
{
    const size_t reducers = count_reducers(w->of.site);
    const size_t found = reducers > 0
                             ? reducers
                             : w->of.site->n_pairs == 0 && any_over_maximum(w);
    fc_reducer_window *list = fci_arena_array(arena, found, sizeof *list);
    fc_status status = FC_OK;

    if (!list)
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
    struct work w = { .zones = NULL };
    const fc_status status = make_room(&w, judge, state)
                                 ? find_windows(&w, arena, windows, n)
                                 : FC_ENOMEM;

    fci_arena_free(&w.scratch);
    return status;
}

fc_status
fci_reducer_window_of(const struct fci_judge *judge, fc_state state,
                      size_t element, const bool *fed,
                      fc_reducer_window *window)
{
    struct work w = { .zones = NULL };
    const struct fci_tables *tables = judge->site->tables;
    const struct fci_station s = {
        .outlet = element,
        .still = judge->rest[element].trapped[FCI_HIGHEST],
        .fall_off = fci_tables_usual(tables, FCI_USUAL_FALL_OFF)->range.high
    };
    fc_status status = FC_ENOMEM;

    *window = (fc_reducer_window){ .reducer = NULL };
    if (make_room(&w, judge, state)) {
        window->behind = w.of.site->elements[element].name;
        window->all =
            zone_of(w.of.asked, fed ? fci_asking_list_fed(&w.of, &s, fed)
                                    : fci_asking_list(&w.of, &s));
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
