/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/renewal.c -- how often the water in the pipes is renewed.
 *
 * In a tree the mean flow of a pipe is that of all outlets downstream, and the
 * mean time that water takes through it its contents over that, whatever the
 * pattern of use (effects/contents.c).  So the mean over all that is drawn in
 * the building is the sum of contents over the sum of draws.  Of what one
 * outlet draws the mean is the sum along its way, exactly where who draws next
 * does not depend on how long nobody has drawn and all draw the same at once:
 * then the water that goes its way at each tee is a random part of what comes.
 * Where draws differ, the larger one reaches farther back into the pipe and
 * takes water that has stood there for less, by up to about the mean time
 * between two draws from that pipe.
 *
 * Water in meters, heaters and other devices is not counted, as nobody knows
 * how much they hold.
 */
#include "effects/renewal.h"
#include "effects/contents.h"
#include "effects/top_up.h"
#include "units/range_sums.h"

#include <math.h>

#define ONCE 1.0 /* a day */

/* One state under calculation. */
struct renewing {
    struct fci_effects *e;
    fc_renewal *renewal;
    fc_renewed_pipe *pipes;
    fc_aged_outlet *outlets;
    const size_t *element; /* of each pipe */
    fc_state state;
    struct fci_mean_flows day, year; /* a day of use, and of the year */
    fc_range *way;                   /* residence up to each element's end, */
    bool *at_most;                   /* or less */
};

static bool
is_known(fc_range range)
{
    return range.given && range.high > 0;
}

/* ---- Draws ------------------------------------------------------------ */

/* Days of use a year, which all fixtures share. */
static fc_range
days_of(const struct fci_effects *e)
{
    for (int s = 0; s < fci_effect_states(e); s++)
        for (size_t i = 0; i < e->site->n_fixtures; i++)
            if (e->uses[s][i].given && e->uses[s][i].days.given)
                return e->uses[s][i].days;
    return e->site->usage.days_per_year;
}

/* How many there are, fewer at the low end. */
static fc_range
count_of(const struct fci_fixture *fixture)
{
    return (fc_range){ true, fci_fixture_count(fixture, FCI_NOMINAL),
                       fci_fixture_count(fixture, FCI_BEST),
                       fci_fixture_count(fixture, FCI_WORST) };
}

/* Of all outlets of a fixture, in the mean over a day of use, or over the year
 * [m3/s]; of flush valves on one side of what is not known. */
static fc_range
draw_of(const struct renewing *r, size_t fixture, bool year, size_t side)
{
    const struct fci_fixture *f = &r->e->site->fixtures[fixture];
    const struct fci_all_uses *all = &r->e->year.all[side][r->state][fixture];
    const fc_range days = fci_range_times(r->renewal->days, 1 / FCI_YEAR_DAYS);
    fc_range draw = f->given->draw_per_day;

    if (draw.given)
        draw = fci_range_product(draw, count_of(f));
    else
        draw = year ? fci_range_times(all->volume, 1 / FCI_YEAR_DAYS)
                    : all->volume_a_day;
    if (f->given->draw_per_day.given && year)
        draw = fci_range_product(draw, days);
    return fci_range_times(draw, 1 / FCI_DAY);
}

/* The hull of what flows on each side. */
static void
take_side(const fc_site *site, fc_range *flow, const fc_range *more)
{
    for (size_t i = 0; i < site->n_elements; i++) {
        flow[i].low = fmin(flow[i].low, more[i].low);
        flow[i].high = fmax(flow[i].high, more[i].high);
    }
}

static bool
find_flows(struct renewing *r, bool year, struct fci_mean_flows *flows)
{
    const fc_site *site = r->e->site;
    struct fci_arena *arena = &r->e->scratch;
    fc_range *draws =
        fci_arena_array(arena, site->n_fixtures + 1, sizeof *draws);

    for (size_t side = 0; draws && side < r->e->year.n_sides; side++) {
        struct fci_mean_flows more;

        for (size_t i = 0; i < site->n_fixtures; i++)
            draws[i] = draw_of(r, i, year, side);
        if (!fci_mean_flows(site, draws, &more, arena))
            return false;
        if (side == 0)
            *flows = more;
        else
            take_side(site, flows->flow, more.flow);
    }
    return draws != NULL;
}

/* ---- Pipes and outlets ------------------------------------------------ */

static void
tell_pipes(struct renewing *r)
{
    for (size_t i = 0; i < r->renewal->n_pipes; i++) {
        fc_renewed_pipe *pipe = &r->pipes[i];
        const size_t at = r->element[i];
        fc_pipe_renewal *told = &pipe->states[r->state];

        told->turnovers = fci_turnovers(pipe->contents, r->day.flow[at]);
        told->residence = fci_residence(pipe->contents, r->day.flow[at]);
        if (r->year.flow)
            told->turnovers_of_year =
                fci_turnovers(pipe->contents, r->year.flow[at]);
        told->at_least = r->day.at_least[at];
    }
}

/* Of what passes the pipes before a pressure tank, if there is one: all of the
 * building's water. */
static fc_range
way_of_feed(const struct renewing *r)
{
    const fc_site *site = r->e->site;
    fc_range way = fc_exactly(0);

    for (size_t i = 0; i < site->n_feed; i++) {
        const fc_range contents = fci_contents(&site->feed[i]);

        if (contents.high > 0)
            way = fci_range_with(
                way, fci_residence(contents, r->day.flow[site->order[0]]));
    }
    return way;
}

/* The sum along the way to each element's end. */
static void
add_up_ways(struct renewing *r)
{
    const fc_site *site = r->e->site;
    const fc_range feed = way_of_feed(r);

    for (size_t i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i], up = site->elements[at].parent;
        const fc_range contents = fci_contents(&site->elements[at]);
        const fc_range own = fci_residence(contents, r->day.flow[at]);
        fc_range *way = &r->way[at];

        *way = up == FCI_NONE ? feed : r->way[up];
        r->at_most[at] = up != FCI_NONE
                             ? r->at_most[up]
                             : site->n_feed > 0 && r->day.at_least[at];
        if (!contents.given || !(contents.high > 0))
            continue;
        r->at_most[at] = r->at_most[at] || r->day.at_least[at];
        way->given = way->given && own.given;
        way->nominal += own.nominal;
        way->low += own.low;
        way->high += own.high;
    }
}

static bool
is_drawn(const struct renewing *r, size_t fixture)
{
    bool known = false;

    for (size_t side = 0; side < r->e->year.n_sides; side++)
        known = known || is_known(draw_of(r, fixture, false, side));
    return known;
}

static void
tell_outlets(struct renewing *r)
{
    for (size_t i = 0; i < r->e->site->n_fixtures; i++) {
        const size_t at = r->e->site->fixtures[i].element;

        if (!is_drawn(r, i))
            continue;
        r->outlets[i].residence[r->state] = r->way[at];
        r->outlets[i].at_most[r->state] = r->at_most[at];
    }
}

/* ---- The state as a whole --------------------------------------------- */

static bool
has_fewer(fc_range a, fc_range b)
{
    return a.low < b.low || (a.low <= b.low && a.nominal < b.nominal);
}

static void
count_pipes(const struct renewing *r, fc_renewal_state *to)
{
    for (size_t i = 0; i < r->renewal->n_pipes; i++) {
        const fc_range turnovers = r->pipes[i].states[r->state].turnovers;
        const bool at_least = r->pipes[i].states[r->state].at_least;

        if (!(r->pipes[i].contents.high > 0))
            continue;
        if (!turnovers.given) {
            to->unknown += !r->pipes[i].dead_end;
            continue;
        }
        if (turnovers.high < ONCE && !at_least)
            to->seldom++;
        else if (turnovers.low < ONCE)
            to->maybe++;
        if (to->least == SIZE_MAX
            || has_fewer(turnovers,
                         r->pipes[to->least].states[r->state].turnovers))
            to->least = i;
    }
}

static void
find_oldest(const struct renewing *r, fc_renewal_state *to)
{
    for (size_t i = 0; i < r->e->site->n_fixtures; i++) {
        const fc_range residence = r->outlets[i].residence[r->state];

        if (residence.given
            && (to->oldest == SIZE_MAX
                || residence.high
                       > r->outlets[to->oldest].residence[r->state].high))
            to->oldest = i;
    }
}

/* What a pipe lacks to be renewed once, at the worst. */
static double
lack_of(const struct renewing *r, size_t element, fc_range contents)
{
    const fc_range flow = r->day.flow[element];

    if (!contents.given || !r->day.feeds[element])
        return 0;
    return fmax(ONCE * contents.high - (flow.given ? flow.low * FCI_DAY : 0),
                0);
}

static double
volume_of(const struct renewing *r, size_t fixture)
{
    const fc_valve *valve = r->e->site->fixtures[fixture].valve[r->state];

    return valve && valve->full_flush.given ? valve->full_flush.nominal : 0;
}

/* The valves of a fixture that may not be there are not counted on. */
static bool
fill_tree(const struct renewing *r, struct fci_top_up *t)
{
    const fc_site *site = r->e->site;
    struct fci_arena *arena = &r->e->scratch;
    const size_t n = site->n_elements, m = site->n_fixtures;
    size_t *parent = fci_arena_array(arena, n + 1, sizeof *parent);
    double *need = fci_arena_array(arena, n + 1, sizeof *need);
    double *holds = fci_arena_array(arena, n + 1, sizeof *holds);
    size_t *on = fci_arena_array(arena, m + 1, sizeof *on);
    double *flush = fci_arena_array(arena, m + 1, sizeof *flush);

    if (arena->failed)
        return false;
    for (size_t i = 0; i < n; i++) {
        const fc_range contents = fci_contents(&site->elements[i]);

        parent[i] = site->elements[i].parent;
        need[i] = lack_of(r, i, contents);
        holds[i] = contents.high;
    }
    for (size_t i = 0; i < site->n_feed; i++) {
        const fc_range contents = fci_contents(&site->feed[i]);
        const size_t first = site->order[0];

        need[first] = fmax(need[first], lack_of(r, first, contents));
        holds[first] += contents.high;
    }
    for (size_t i = 0; i < m; i++) {
        on[i] = site->fixtures[i].element;
        if (fci_fixture_count(&site->fixtures[i], FCI_BEST) > 0)
            flush[i] = volume_of(r, i);
    }
    *t = (struct fci_top_up){ .n_pipes = n,
                              .order = site->order,
                              .parent = parent,
                              .need = need,
                              .holds = holds,
                              .n_valves = m,
                              .on = on,
                              .flush = flush };
    return fci_top_up_find(t, arena);
}

static bool
find_extra(const struct renewing *r, fc_renewal_state *to)
{
    const fc_site *site = r->e->site;
    fc_extra_flushes *list =
        fci_arena_array(r->e->arena, site->n_fixtures + 1, sizeof *list);
    struct fci_top_up t;

    if (!list || !fill_tree(r, &t))
        return false;
    for (size_t i = 0; i < site->n_fixtures; i++)
        if (t.flushes[i] > 0)
            list[to->n_extra++] =
                (fc_extra_flushes){ .fixture = site->fixtures[i].given->name,
                                    .flushes = t.flushes[i],
                                    .volume = t.flush[i] };
    to->extra = list;
    to->extra_water = t.water;
    to->least_water = t.least;
    to->fewest = t.one_volume;
    to->not_flushed = t.left;
    return true;
}

static bool
find_state(struct renewing *r)
{
    fc_renewal_state *to = &r->renewal->states[r->state];
    const fc_range days = r->renewal->days;

    r->day = r->year = (struct fci_mean_flows){ 0 };
    if (!find_flows(r, false, &r->day)
        || (days.given && days.low < FCI_YEAR_DAYS
            && !find_flows(r, true, &r->year)))
        return false;
    tell_pipes(r);
    add_up_ways(r);
    tell_outlets(r);
    count_pipes(r, to);
    find_oldest(r, to);
    return find_extra(r, to);
}

/* ---- The building ----------------------------------------------------- */

static void
list_pipe(struct renewing *r, const struct fci_element *of, bool dead_end)
{
    fc_renewal *renewal = r->renewal;
    fc_renewed_pipe *pipe = &r->pipes[renewal->n_pipes++];

    pipe->name = of->name;
    pipe->contents = fci_contents(of);
    pipe->dead_end = dead_end;
    fci_range_add(&renewal->contents, pipe->contents);
    if (!dead_end)
        return;
    renewal->dead_ends++;
    renewal->dead_contents += pipe->contents.nominal;
}

/* `element` gets that of each pipe; those before a pressure tank pass what the
 * tank does. */
static bool
list_pipes(struct renewing *r, size_t *element)
{
    const fc_site *site = r->e->site;
    struct fci_mean_flows nothing;
    fc_range *draws =
        fci_arena_array(&r->e->scratch, site->n_fixtures + 1, sizeof *draws);

    if (!draws || !fci_mean_flows(site, draws, &nothing, &r->e->scratch))
        return false;
    for (size_t i = 0; i < site->n_feed; i++)
        if (site->feed[i].pipe) {
            element[r->renewal->n_pipes] = site->order[0];
            list_pipe(r, &site->feed[i], !nothing.feeds[site->order[0]]);
        }
    for (size_t i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i];

        if (site->elements[at].pipe) {
            element[r->renewal->n_pipes] = at;
            list_pipe(r, &site->elements[at], !nothing.feeds[at]);
        }
    }
    return true;
}

static bool
make_room(struct renewing *r)
{
    const fc_site *site = r->e->site;
    const size_t n = site->n_elements + site->n_feed;
    size_t *element = fci_arena_array(&r->e->scratch, n + 1, sizeof *element);

    r->renewal = fci_arena_alloc(r->e->arena, sizeof *r->renewal);
    r->pipes = fci_arena_array(r->e->arena, n + 1, sizeof *r->pipes);
    r->outlets =
        fci_arena_array(r->e->arena, site->n_fixtures + 1, sizeof *r->outlets);
    r->way = fci_arena_array(&r->e->scratch, n + 1, sizeof *r->way);
    r->at_most = fci_arena_array(&r->e->scratch, n + 1, sizeof *r->at_most);
    r->element = element;
    if (r->e->arena->failed || r->e->scratch.failed || !list_pipes(r, element))
        return false;
    r->renewal->pipes = r->pipes;
    r->renewal->outlets = r->outlets;
    r->renewal->n_outlets = site->n_fixtures;
    r->renewal->days = days_of(r->e);
    for (size_t i = 0; i < site->n_fixtures; i++)
        r->outlets[i].name = site->fixtures[i].given->name;
    for (int s = 0; s < FC_STATES; s++)
        r->renewal->states[s].least = r->renewal->states[s].oldest = SIZE_MAX;
    return true;
}

fc_status
fci_effects_renewal(struct fci_effects *e, fc_diagnostics *messages)
{
    const fc_site *site = e->site;
    struct renewing r = { .e = e };

    (void)messages;
    if (site->n_sources > 1 || site->n_loops > site->n_pairs) {
        fci_find(&e->found, FC_NOTE, "", 0, FC_FOUND_RENEWAL,
                 "renewal is not calculated: with loops or several sources "
                 "the way of the water is not known",
                 NULL);
        return e->arena->failed ? FC_ENOMEM : FC_OK;
    }
    if (!make_room(&r))
        return FC_ENOMEM;
    for (int s = 0; s < fci_effect_states(e); s++) {
        r.state = (fc_state)s;
        if (!find_state(&r))
            return FC_ENOMEM;
    }
    e->result->renewal = r.renewal;
    fci_renewal_words(e, r.renewal);
    return e->arena->failed ? FC_ENOMEM : FC_OK;
}
