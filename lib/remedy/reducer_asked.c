/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/reducer_asked.c -- what fixtures ask of the setting of a reducer.
 *
 * At peak every input is the worst of its range, and a fixture has the lower
 * of what the wide open reducer would let it have and of setting - fall-off -
 * what is taken behind the reducer, so that its need bounds the setting from
 * below.  Without flow every input stands at the end that makes the pressure
 * highest.  What a fixture then has never falls as the setting rises, so its
 * maximum bounds the setting from above: it is followed from the fixture back
 * to the reducer.
 */
#include "remedy/reducer_asked.h"
#include "ground/ties.h"

#include <math.h>

bool
fci_asking_make(struct fci_asking *w, const struct fci_judge *judge,
                fc_state state, struct fci_arena *arena)
{
    const fc_site *site = judge->site;

    *w = (struct fci_asking){
        .judge = judge,
        .site = site,
        .state = state,
        .way = fci_arena_array(arena, site->n_elements, sizeof *w->way),
        .asked = fci_arena_array(arena, site->n_fixtures, sizeof *w->asked)
    };
    return fci_tree_make(&w->tree, site, arena) && !arena->failed;
}

/* ---- The way behind a reducer ----------------------------------------- */

/* What a pump adds without flow; one that adds less than nothing is passed by,
 * through its check valve.  Nothing else adds. */
static double
still_head(const struct fci_taking *taking)
{
    return fmax(-taking->loss, 0);
}

/* What fci_element_still() does to a pressure that may be kept in. */
static struct fci_to_outlet
still_behind(const struct fci_taking *taking, struct fci_to_outlet way)
{
    way.lost += taking->lift;
    way.lost -= still_head(taking);
    way.cap = fmin(way.cap - taking->lift, taking->most);
    way.cap += still_head(taking);
    return way;
}

static struct fci_to_outlet
way_behind(const struct fci_asking *w, size_t at)
{
    const struct fci_element *element = &w->site->elements[at];
    struct fci_to_outlet way = w->way[element->parent];
    const struct fci_pressure in = { -way.taken, INFINITY };
    const struct fci_taking taking =
        fci_element_takes(w->site, element, 0, FCI_HIGHEST);

    if (fci_may_hold(&taking))
        return (struct fci_to_outlet){ 0, 0, INFINITY, at };
    way.taken = -fci_element_passes(
                     w->site, element, in,
                     w->judge->demand[w->state][at].flow[FCI_WORST], FCI_WORST)
                     .direct;
    return still_behind(&taking, way);
}

/* The least pressure at the reducer's outlet, at peak, that leaves `need` at
 * an element's. */
static double
least_at_outlet(const struct fci_asking *w, size_t at, double need)
{
    struct fci_to_outlet way = w->way[at];

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
most_at_outlet(const struct fci_asking *w, size_t at, double most)
{
    struct fci_to_outlet way = w->way[at];

    while (way.cap > most + FCI_SAME_PRESSURE) {
        const struct fci_element *pump;
        struct fci_taking taking;

        most += way.lost;
        if (way.pump == FCI_NONE)
            return most;
        pump = &w->site->elements[way.pump];
        taking = fci_element_takes(w->site, pump, 0, FCI_HIGHEST);
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
setting_not_under(const struct fci_station *s, double x)
{
    return (x + s->below) / (1 - s->share);
}

static double
setting_not_over(const struct fci_station *s, double x)
{
    return (x - s->above) / (1 + s->share);
}

static double
lowest_setting(const struct fci_asking *w, const struct fci_station *s,
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
highest_setting(const struct fci_asking *w, const struct fci_station *s,
                const struct fci_fixture *fixture, double maximum)
{
    const double lift = w->site->water_weight
                        * fci_more_is_worse(fixture->given->rise, FCI_HIGHEST);
    const double most = most_at_outlet(w, fixture->element, maximum + lift);

    if (s->still <= most + FCI_SAME_PRESSURE)
        return INFINITY;
    return setting_not_over(s, most);
}

static struct fci_asked
limit_of(const struct fci_asking *w, const struct fci_station *s,
         const struct fci_fixture *fixture)
{
    const struct fci_requirement need =
        fci_requirement_of(w->site, fixture, w->state);
    const struct fci_asked limit = {
        .fixture = fixture,
        .height = w->judge->rest[fixture->element].elevation
                  + fixture->given->rise.nominal,
        .low = lowest_setting(w, s, fixture, need.pressure),
        .high = highest_setting(w, s, fixture, need.maximum_static)
    };

    return limit;
}

size_t
fci_asking_list(struct fci_asking *w, const struct fci_station *s)
{
    const struct fci_tree *tree = &w->tree;
    const size_t begin = tree->place[s->outlet];
    const size_t end = begin + tree->size[s->outlet];
    size_t i, n = 0;

    w->way[s->outlet] = (struct fci_to_outlet){ 0, 0, INFINITY, FCI_NONE };
    for (i = begin + 1; i < end; i++)
        w->way[tree->at[i]] = way_behind(w, tree->at[i]);
    for (i = tree->first[begin]; i < tree->first[end]; i++)
        w->asked[n++] = limit_of(w, s, &w->site->fixtures[tree->fixtures[i]]);
    return n;
}

size_t
fci_asking_list_fed(struct fci_asking *w, const struct fci_station *s,
                    const bool *fed)
{
    size_t i, n = 0;

    w->way[s->outlet] = (struct fci_to_outlet){ 0, 0, INFINITY, FCI_NONE };
    for (i = 0; i < w->site->n_fixtures; i++)
        if (fed[i] && w->site->fixtures[i].element == s->outlet)
            w->asked[n++] = limit_of(w, s, &w->site->fixtures[i]);
    return n;
}
