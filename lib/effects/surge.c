/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/surge.c -- what closing flush valves do to the pressure.
 *
 * The valve flows alone, which is where it is stopped from most, and its
 * opening shrinks evenly to nothing.
 *
 * Upper bound.  That of laws/surge.c, which is proved there: at any place of
 * the tree, whatever branches off and narrows, whatever is lost on the way,
 * and whether or not the flow back is blocked (effects/surge_follow.c).  It
 * stands in tests/unit/check_surge_law.c against the method of
 * characteristics.  In one pipe without branches no rise is above Joukowsky's
 * either: the sum of pressure and impedance times flow of what runs to the
 * valve, which nothing on the way adds to, is at most that.  In others a wave
 * may double at closed ends and steps, over and over: twice the largest
 * Joukowsky of the way is then told where it is less, and is no bound.
 *
 * Lower end.  Until a wave is back from where the first pipe ends or branches
 * off, the rise is that of this pipe alone: the less of Joukowsky's and of its
 * inertia times flow over closing time, on top of the flowing pressure.
 */
#include "effects/surge_work.h"
#include "laws/surge.h"
#include "tables/tables.h"

#include <math.h>
#include <stdlib.h>

/* One valve while it flows alone, at the ends; FCI_WORST where the surge is
 * largest. */
struct alone {
    double flow[FCI_ENDS], pressure[FCI_ENDS];
    double back; /* see struct fci_closing */
};

static fc_range
range_of(double nominal, double low, double high)
{
    return (fc_range){ true, fmin(fmax(nominal, low), high), low, high };
}

/* Of three ends whose worst one is the highest. */
static fc_range
rising(const double ends[FCI_ENDS])
{
    return range_of(ends[FCI_NOMINAL], ends[FCI_BEST], ends[FCI_WORST]);
}

/* ---- The flow ------------------------------------------------------------
 */

/* What pipes, and the source, lose grows with about the square of the flow;
 * what it would be from how fast it grows is up to twice that, so that less
 * than the square is in it. */
static double
back_of(const struct fci_surge_work *w, size_t element, fc_state state,
        double flow)
{
    const struct fci_element *elements = w->of.site->elements;
    const size_t *link_of = w->e->network[state]->link_of;
    double back = 0;

    for (size_t at = element; at != FCI_NONE; at = elements[at].parent)
        if (elements[at].pipe || elements[at].parent == FCI_NONE)
            back += fci_solver_slope(w->e->solver[state], link_of[at]) / flow
                    * w->of.storage[at];
    return back;
}

static fc_status
flow_alone(struct fci_surge_work *w, size_t fixture, fc_state state,
           struct alone *alone, fc_diagnostics *messages)
{
    struct fci_solver *solver = w->e->solver[state];
    const struct fci_open open = { fixture, 1 };

    for (int i = 0; i < FCI_ENDS; i++) {
        const enum fci_end end = (enum fci_end)i;
        fc_status status;

        /* what is best for its pressure is worst for the surge */
        fci_solver_take_flow(solver, fci_other_end(end), fixture);
        status = fci_solver_run(solver, &open, 1);
        if (status != FC_OK)
            return fci_solver_fail(solver, status, messages);
        alone->flow[i] = fci_solver_drawn(solver)->flow;
        alone->pressure[i] = fci_solver_drawn(solver)->pressure;
        if (alone->flow[i] > 0)
            alone->back = fmax(
                alone->back, back_of(w, w->of.site->fixtures[fixture].element,
                                     state, alone->flow[i]));
    }
    return FC_OK;
}

/* ---- Places on the way ---------------------------------------------------
 */

/* What one valve adds. */
struct closing {
    const struct fci_surge_way *way;
    const struct alone *alone;
    fc_range time;
    fc_range still;          /* without flow, at its inlet */
    struct fci_closing most; /* at FCI_WORST */
    double stir;             /* of that */
    double cap;              /* before the valve no more is told [Pa] */
    bool bound;              /* and no more is there */
    const bool *arrested; /* by element: an arrester is near its outlet; NULL:
                             none is */
};

/* What textbooks give: before the valve, by the rigid column. */
static double
nominal_rise(const struct closing *c)
{
    const double flowing = c->alone->pressure[FCI_NOMINAL];

    return fci_rigid_surge(fmax(c->still.nominal, flowing), flowing,
                           c->way->inertia[FCI_NOMINAL]
                               * c->alone->flow[FCI_NOMINAL],
                           c->time.nominal);
}

/* Anywhere, at most. */
static double
most_at(const struct closing *c, const struct fci_follow *place)
{
    const double rise = fci_stirred_rise(&c->most, c->stir, place);

    return c->way->uniform ? fmin(rise, c->cap)
           : c->bound      ? rise
                      : fmin(rise, c->cap * place->root / c->most.valve.root);
}

/* At the valve, at least. */
static double
least_rise(const struct closing *c)
{
    const struct fci_surge_way *way = c->way;
    const double flow = c->alone->flow[FCI_BEST];
    double rise;

    if (way->run == 0)
        return 0;
    rise = flow * way->run_inertia[FCI_BEST] / c->time.high;
    rise = fmin(flow * way->first[FCI_BEST], rise);
    return fmax(0,
                rise - fmax(0, c->still.low - c->alone->pressure[FCI_BEST]));
}

/* The most stir that keeps it within its rating, `spare` above 0. */
static double
most_stir(const struct closing *c, const struct fci_follow *place,
          double spare)
{
    return c->way->uniform && c->cap <= spare
               ? (double)INFINITY
               : fci_stir_within(c->most.back, spare, place);
}

/* ---- One valve -----------------------------------------------------------
 */

static fc_answer
is_rapid(fc_range closing, fc_range back)
{
    return closing.high <= back.low  ? FC_YES
           : closing.low > back.high ? FC_NO
                                     : FC_NOT_SAID;
}

/* The pressure at one end of an element, its outlet or its inlet. */
struct place {
    fc_range still;
    struct fci_follow follow;
    double least, most; /* surge */
    double sure;        /* the least, by what the file gives */
    bool arrested;
};

static struct place
place_of(const struct fci_surge_work *w, const struct closing *c, size_t at,
         bool inlet)
{
    const size_t end = inlet ? w->of.site->elements[at].parent : at;
    struct place p = { .still = fci_surge_still_at(w, end),
                       .follow = w->of.follow[end],
                       .most = most_at(c, &w->of.follow[end]),
                       .arrested = c->arrested && c->arrested[end] };

    if (p.arrested)
        p.most = fmin(p.most, fmax(0, w->arresters->peak - p.still.high));
    return p;
}

/* It is the nearest to a rating of all until now. */
static void
take_place(fc_surge *out, const struct closing *c, const struct place *p,
           const char *name)
{
    out->at = name;
    out->static_pressure = p->still;
    out->surge = range_of(nominal_rise(c), p->least, p->most);
    out->peak = range_of(p->still.nominal + out->surge.nominal,
                         p->still.low + p->least, p->still.high + p->most);
}

/* How all of it stands to its rating. */
struct held {
    double excess;      /* the most above a rating */
    double stir;        /* no place bears more */
    double least, most; /* the highest surge */
    bool over;          /* something surely is above a rating that is given */
    bool none;          /* static alone reaches a rating */
    bool arrested;      /* arresters are near all places that a surge is at */
};

static void
hold_place(const struct fci_surge_work *w, const struct closing *c, size_t at,
           const struct place *p, struct held *h, fc_surge *out)
{
    const double rating = fci_surge_rated(w, at);
    const bool given = w->ratings[at].given;
    const double high = p->still.high + p->most;
    const bool over = given && p->still.low + p->sure > rating;

    h->least = fmax(h->least, p->least);
    h->most = fmax(h->most, p->most);
    h->none = h->none || !(rating > p->still.high);
    h->arrested = h->arrested && (p->arrested || !(p->follow.root > 0));
    if (!h->none && p->follow.root > 0)
        h->stir =
            fmin(h->stir, most_stir(c, &p->follow, rating - p->still.high));
    /* what surely is over one is told before what may be */
    if (h->over > over || (h->over == over && !(high - rating > h->excess)))
        return;
    h->over = over;
    h->excess = high - rating;
    take_place(out, c, p, w->of.site->elements[at].name);
    out->rating = rating;
    out->rating_usual = !given;
}

/* Whether everything stays within its rating, and where that is nearest: on
 * the way, which goes first, or beside it. */
static void
hold_against_ratings(const struct fci_surge_work *w, const struct closing *c,
                     bool arresters, fc_surge *out)
{
    const fc_site *site = w->of.site;
    struct held h = { .excess = -INFINITY,
                      .stir = INFINITY,
                      .arrested = c->arrested };

    for (size_t i = 0; i < 2 * (c->way->n + site->n_elements); i++) {
        const size_t k = i / 2, n = c->way->n;
        const size_t at = k < n ? c->way->elements[k] : site->order[k - n];
        struct place p;

        if (site->elements[at].parent == FCI_NONE)
            continue;
        p = place_of(w, c, at, i % 2);
        if (i == 0 && !arresters)
            p.least = fmin(least_rise(c), p.most);
        p.sure = out->closing_usual ? 0 : p.least;
        hold_place(w, c, at, &p, &h, out);
    }
    out->highest = range_of(nominal_rise(c), h.least, h.most);
    out->arrester = h.arrested;
    out->within = h.over ? FC_WILL_NOT_WORK
                  : h.excess <= 0 && (out->bound || out->arrester)
                      ? FC_WORKS
                      : FC_CANNOT_TELL;
    if (!h.none)
        out->least_closing = fc_exactly(
            isfinite(h.stir) ? fci_closing_time(&c->most, h.stir) : 0);
}

/* The widest opening and the lowest pressure of its ends. */
static struct fci_closing
most_of(const struct alone *alone, double still)
{
    struct fci_closing c = { .still = still,
                             .flowing = INFINITY,
                             .back = alone->back };

    for (int i = 0; i < FCI_ENDS; i++) {
        const double flow = alone->flow[i], pressure = alone->pressure[i];

        c.still = fmax(c.still, pressure);
        c.flowing = fmin(c.flowing, pressure);
        c.opening = fmax(c.opening, flow / sqrt(pressure));
    }
    return c;
}

static void
fill_in(const struct fci_surge_work *w, size_t fixture,
        const struct fci_surge_way *way, const struct alone *alone,
        const bool *arrested, fc_surge *out)
{
    const struct fci_fixture *of = &w->of.site->fixtures[fixture];
    const struct fci_at_rest *rest = &w->rest[of->element];
    const double weight = w->of.site->water_weight;
    double velocity[FCI_ENDS], speeds[FCI_ENDS];
    struct closing c = {
        .way = way, .alone = alone, .time = out->closing, .arrested = arrested
    };

    for (int i = 0; i < FCI_ENDS; i++) {
        velocity[i] = alone->flow[i] / way->feeds[i].area;
        speeds[i] = way->feeds[i].speed;
    }
    out->flow = rising(alone->flow);
    out->velocity = rising(velocity);
    out->wave_speed = rising(speeds);
    out->length = range_of(way->length[FCI_NOMINAL], way->run_length[FCI_BEST],
                           way->length[FCI_WORST]);
    out->return_time = range_of(way->time[FCI_NOMINAL],
                                way->run_time[FCI_BEST], way->time[FCI_WORST]);
    out->rapid = is_rapid(out->closing, out->return_time);
    c.still = range_of(
        rest->trapped[FCI_NOMINAL] - weight * of->given->rise.nominal,
        fci_as_range(rest->ceiling).low - weight * of->given->rise.high,
        fci_as_range(rest->trapped).high - weight * of->given->rise.low);
    c.most = most_of(alone, c.still.high);
    c.most.time = out->closing.low;
    c.most.valve = w->of.follow[of->element];
    c.stir = fci_closing_stir(&c.most);
    c.cap = (way->uniform ? 1 : 2) * alone->flow[FCI_WORST]
            * way->hardest[FCI_WORST];
    c.bound = out->bound =
        way->uniform
        || fci_stirred_rise(&c.most, c.stir, &c.most.valve) <= c.cap;
    hold_against_ratings(w, &c, fci_surge_has_arresters(w, fixture), out);
}

static fc_status
find_one(struct fci_surge_work *w, size_t fixture, fc_state state,
         fc_surge *out, fc_diagnostics *messages)
{
    const struct fci_fixture *of = &w->of.site->fixtures[fixture];
    const fc_valve *valve = of->valve[state];
    struct fci_arena own = { 0 }; /* of this way, however many there are */
    struct fci_surge_way way;
    struct alone alone = { .back = 0 };
    const bool *arrested;
    fc_status status;

    if (!valve)
        return FC_OK;
    out->valve = valve->name;
    out->closing_usual = !valve->closing_time.given;
    out->closing = out->closing_usual ? w->usual_closing : valve->closing_time;
    if (!fci_has_rate(valve) || w->e->network[state]->meshed)
        return FC_OK;
    status = flow_alone(w, fixture, state, &alone, messages);
    if (status != FC_OK)
        return status;
    if (!fci_surge_way_make(&way, &w->of, of->element, &own)
        || !fci_surge_arrested(w, fixture, state, &own, &arrested)) {
        fci_arena_free(&own);
        return FC_ENOMEM;
    }
    if (alone.flow[FCI_BEST] > 0 && alone.pressure[FCI_BEST] > 0
        && alone.pressure[FCI_NOMINAL] > 0 && way.feeds[0].area > 0)
        fill_in(w, fixture, &way, &alone, arrested, out);
    fci_arena_free(&own);
    return FC_OK;
}

/* ---- All of them ---------------------------------------------------------
 */

static bool
begin(struct fci_surge_work *w)
{
    const fc_site *site = w->e->site;
    struct fci_arena *arena = w->e->arena;

    w->arresters = fci_tables_arresters(site->tables);
    w->usual_closing =
        fci_tables_usual(site->tables, FCI_USUAL_CLOSING)->range;
    w->usual_rating = fci_tables_usual(site->tables, FCI_USUAL_RATING)->range;
    w->ratings =
        fci_arena_array(&w->e->scratch, site->n_elements, sizeof *w->ratings);
    for (size_t i = 0; i < site->n_elements && w->ratings; i++)
        w->ratings[i] = fci_surge_rating(&site->elements[i]);
    w->fixtures =
        fci_arena_array(arena, site->n_fixtures, sizeof *w->fixtures);
    w->site_fixture = fci_arena_array(&w->e->scratch, site->n_fixtures,
                                      sizeof *w->site_fixture);
    w->rest = fci_march_rest(site);
    return w->rest && w->fixtures && w->site_fixture && w->ratings
           && fci_surge_site_make(&w->of, site, &w->e->scratch)
           && fci_surge_branches(w);
}

static fc_status
find_all(struct fci_surge_work *w, fc_diagnostics *messages)
{
    const fc_site *site = w->e->site;
    fc_status status = FC_OK;

    for (int s = 0; s < FC_STATES; s++)
        w->worst[s] = SIZE_MAX;
    for (size_t i = 0; i < site->n_fixtures && status == FC_OK; i++) {
        const struct fci_fixture *of = &site->fixtures[i];
        fc_surge_fixture *to = &w->fixtures[w->n_fixtures];

        if (!of->valve[FC_EXISTING] && !of->valve[FC_RETROFIT])
            continue;
        to->name = of->given->name;
        to->count = of->count;
        w->site_fixture[w->n_fixtures] = i;
        for (int s = 0; s < fci_effect_states(w->e) && status == FC_OK; s++) {
            status = find_one(w, i, (fc_state)s, &to->states[s], messages);
            if (to->states[s].surge.given
                && (w->worst[s] == SIZE_MAX
                    || fci_surge_excess(&to->states[s]) > fci_surge_excess(
                           &w->fixtures[w->worst[s]].states[s])))
                w->worst[s] = w->n_fixtures;
        }
        w->n_fixtures++;
        fci_tell(&w->e->telling, (double)i / (double)site->n_fixtures);
    }
    return status;
}

/* ---- What is over a rating ------------------------------------------------
 */

static bool
is_rated(const fc_site *site)
{
    for (size_t i = 0; i < site->n_elements; i++)
        if (fci_surge_rating(&site->elements[i]).given)
            return true;
    return false;
}

static fc_status
find_over(struct fci_surge_work *w, fc_state state, fc_surge *surges,
          fc_diagnostics *messages)
{
    const fc_site *site = w->e->site;
    fc_status status = begin(w) ? FC_OK : FC_ENOMEM;

    for (size_t i = 0; i < site->n_fixtures && status == FC_OK; i++) {
        status = find_one(w, i, state, &surges[i], messages);
        if (surges[i].within != FC_WILL_NOT_WORK)
            surges[i] = (fc_surge){ 0 };
    }
    free(w->rest);
    return status;
}

fc_status
fci_surges_over(const fc_site *site, fc_state state, struct fci_arena *arena,
                const fc_surge **surges, fc_diagnostics *messages)
{
    struct fci_effects e = { .site = site,
                             .converted = fci_has_conversions(site),
                             .arena = arena };
    struct fci_surge_work w = { .e = &e };
    fc_surge *list;
    fc_status status;

    *surges = NULL;
    if (!is_rated(site))
        return FC_OK;
    list = fci_arena_array(arena, site->n_fixtures, sizeof *list);
    status = list ? fci_network_new(site, state, &e.network[state], messages)
                  : FC_ENOMEM;
    if (status == FC_OK) {
        e.solver[state] = fci_solver_new(e.network[state]);
        status =
            e.solver[state] ? find_over(&w, state, list, messages) : FC_ENOMEM;
    }
    fci_solver_free(e.solver[state]);
    fci_network_free(e.network[state]);
    fci_arena_free(&e.scratch);
    if (status == FC_OK)
        *surges = list;
    return status;
}

fc_status
fci_effects_surge(struct fci_effects *e, fc_diagnostics *messages)
{
    struct fci_surge_work w = { .e = e };
    fc_surges *result = fci_arena_alloc(e->arena, sizeof *result);
    fc_status status = result && begin(&w) ? FC_OK : FC_ENOMEM;

    if (status == FC_OK)
        status = find_all(&w, messages);
    free(w.rest);
    if (status != FC_OK || w.n_fixtures == 0)
        return status;
    fci_surge_mark_needed(&w);
    result->fixtures = w.fixtures;
    result->n_fixtures = w.n_fixtures;
    result->branches = w.branches;
    result->n_branches = w.n_branches;
    for (int s = 0; s < FC_STATES; s++)
        result->worst[s] = w.worst[s];
    e->result->surge = result;
    fci_surge_tell(&w);
    return e->arena->failed ? FC_ENOMEM : FC_OK;
}
