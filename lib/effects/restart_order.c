/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/restart_order.c -- in which order stops are opened when water
 * comes back.
 *
 * A valve that is open takes pressure from every other one, and one that has
 * closed takes none.  So the place whose worst valve has the least to spare is
 * opened first, while all others are shut: were it the last one, a single
 * valve that runs on elsewhere could hold its valves open.
 */
#include "effects/restart.h"
#include "units/range_sums.h"
#include "ground/ties.h"

#include <stdlib.h>
#include <string.h>

/* All valves of one floor, or where no floor is given, on one element. */
struct place {
    const char *name;
    size_t first; /* of the list: the first in the file */
    int valves, at_once;
    fc_range margin;
};

struct sorted {
    const fc_restart_valve *valve;
    size_t at;
};

static const char *
place_of(const fc_restart_valve *v)
{
    return v->floor ? v->floor : v->on;
}

static int
by_place(const void *a, const void *b)
{
    const struct sorted *x = a, *y = b;
    const int floors = (x->valve->floor == NULL) - (y->valve->floor == NULL);
    const int names = strcmp(place_of(x->valve), place_of(y->valve));

    if (floors != 0 || names != 0)
        return floors != 0 ? floors : names;
    return (x->at > y->at) - (x->at < y->at);
}

/* What is not known to have anything to spare comes first. */
static double
spare_of(const struct place *place)
{
    return place->margin.given ? fci_coarse(place->margin.nominal)
                               : -(double)INFINITY;
}

static int
by_margin(const void *a, const void *b)
{
    const struct place *x = a, *y = b;
    const double s = spare_of(x), t = spare_of(y);

    if (s < t || s > t)
        return s < t ? -1 : 1;
    return (x->first > y->first) - (x->first < y->first);
}

static fc_range
margin_of(const fc_restart_valve *v)
{
    fc_range margin = { 0 };

    if (!v->closes_at.given)
        return margin;
    margin.given = true;
    margin.nominal = v->alone.nominal - v->closes_at.nominal;
    margin.low = v->alone.low - v->closes_at.high;
    margin.high = v->alone.high - v->closes_at.low;
    return margin;
}

static void
add_valve(struct place *place, const fc_restart_valve *v)
{
    const fc_range margin = margin_of(v);

    if (v->at_once < place->at_once)
        place->at_once = v->at_once;
    if (place->valves == 0
        || (place->margin.given
            && (!margin.given
                || fci_is_less(margin.nominal, place->margin.nominal))))
        place->margin = margin;
    place->valves += v->count;
}

static size_t
find_places(const fc_restart_state *told, struct sorted *sorted,
            struct place *places)
{
    size_t i, n = 0;

    for (i = 0; i < told->n_list; i++)
        sorted[i] = (struct sorted){ &told->list[i], i };
    qsort(sorted, told->n_list, sizeof *sorted, by_place);
    for (i = 0; i < told->n_list; i++) {
        const fc_restart_valve *v = sorted[i].valve;

        if (i == 0
            || (v->floor == NULL) != (sorted[i - 1].valve->floor == NULL)
            || strcmp(place_of(v), place_of(sorted[i - 1].valve)) != 0)
            places[n++] = (struct place){
                place_of(v), sorted[i].at, 0, told->valves, { 0 }
            };
        add_valve(&places[n - 1], v);
    }
    qsort(places, n, sizeof *places, by_margin);
    return n;
}

/* More of them may be open at a time than there are at the place. */
static int
stops_of(const struct place *place)
{
    return place->at_once < place->valves ? place->at_once : place->valves;
}

/* Places that follow each other and bear as many go together. */
static bool
joins(const fc_restart_step *step, const struct place *place)
{
    return step->at_once == place->at_once;
}

static void
add_place(fc_restart_step *step, const struct place *place, fc_range refill)
{
    const int stops = stops_of(place) > 0 ? stops_of(place) : 1;
    const int rounds = (place->valves + stops - 1) / stops;

    step->n_places++;
    step->valves += place->valves;
    step->time = fci_range_with(step->time, fci_range_times(refill, rounds));
}

bool
fci_restart_order(fc_restart_state *told, struct fci_arena *arena,
                  fc_range refill)
{
    struct fci_arena scratch = { 0 };
    struct sorted *sorted =
        fci_arena_array(&scratch, told->n_list, sizeof *sorted);
    struct place *places =
        fci_arena_array(&scratch, told->n_list, sizeof *places);
    const char **names = fci_arena_array(arena, told->n_list, sizeof *names);
    fc_restart_step *steps =
        fci_arena_array(arena, told->n_list, sizeof *steps);
    const bool room = sorted && places && names && steps;
    size_t i, n = room ? find_places(told, sorted, places) : 0;

    told->time = fc_exactly(0);
    for (i = 0; i < n; i++) {
        fc_restart_step *step =
            told->n_steps > 0 ? &steps[told->n_steps - 1] : NULL;

        names[i] = told->list[places[i].first].floor
                       ? fci_arena_printf(arena, "floor %s", places[i].name)
                       : places[i].name;
        if (!step || !joins(step, &places[i])) {
            step = &steps[told->n_steps++];
            step->places = &names[i];
            step->at_once = places[i].at_once;
            step->margin = places[i].margin;
            step->time = fc_exactly(0);
        }
        add_place(step, &places[i], refill);
    }
    for (i = 0; i < told->n_steps; i++)
        told->time = fci_range_with(told->time, steps[i].time);
    told->steps = steps;
    fci_arena_free(&scratch);
    return room && !arena->failed;
}
