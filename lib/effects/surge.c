/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/surge.c -- what closing flush valves do to the pressure.
 *
 * The valve flows alone, which is where it is stopped from most, and its
 * opening shrinks evenly to nothing.
 *
 * Upper bound.  The rigid column of the textbooks falls short of what elastic
 * pipes do, up to twofold where the valve closes within a few return times of
 * a wave.  Of linear pipes the rise under an even stop of the flow is
 *     sum of c_k (1 - cos(w_k t)) q / closing,  sum of c_k = inertia,
 * over their natural frequencies, so no more than that of a rigid column of
 * twice the inertia (density times length over area, from the source to the
 * valve), whatever branches off.  That bound with the valve's own law stands
 * in tests/unit/check_surge_law.c against the method of characteristics.  At
 * a place upstream the inertia is the root of its own and the valve's.
 * In one pipe without branches no rise is above Joukowsky's either.  In others
 * a wave may double at closed ends and steps: twice the largest Joukowsky of
 * the way is then told where it is less, and is no bound.
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
        fci_solver_take(solver, fci_other_end(end), fixture);
        status = fci_solver_run(solver, &open, 1);
        if (status != FC_OK)
            return fci_solver_fail(solver, status, messages);
        alone->flow[i] = fci_solver_drawn(solver)->flow;
        alone->pressure[i] = fci_solver_drawn(solver)->pressure;
    }
    return FC_OK;
}

/* ---- Places on the way ---------------------------------------------------
 */

fc_range
fci_surge_rating(const struct fci_element *element)
{
    const fc_range *rating = fci_part_member(element->part, "pressure rating");

    return rating ? *rating : (fc_range){ 0 };
}

/* Without flow, at the outlet of an element. */
static fc_range
still_at(const struct fci_surge_work *w, size_t at)
{
    const struct fci_at_rest *rest = &w->rest[at];
    const fc_range trapped = fci_as_range(rest->trapped);

    return range_of(trapped.nominal, fci_as_range(rest->ceiling).low,
                    trapped.high);
}

/* What one valve adds. */
struct closing {
    const struct fci_surge_way *way;
    const struct alone *alone;
    fc_range time;
    fc_range still; /* without flow, at its inlet */
    double cap;     /* no more is told [Pa] */
};

/* The rise by the rigid column of twice this inertia. */
static double
twice_rigid(const struct closing *c, double inertia, double time,
            enum fci_end end)
{
    const double flowing = c->alone->pressure[end];
    const double still = fmax(end == FCI_NOMINAL ? c->still.nominal
                              : end == FCI_WORST ? c->still.high
                                                 : c->still.low,
                              flowing);

    return fci_rigid_surge(still, flowing, 2 * inertia * c->alone->flow[end],
                           time);
}

/* At a place with so much inertia from the source to it, at most. */
static double
most_at(const struct closing *c, double inertia, double time)
{
    const double both = sqrt(c->way->inertia[FCI_WORST] * inertia);

    return both > 0 ? fmin(c->cap, twice_rigid(c, both, time, FCI_WORST)) : 0;
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

/* The shortest time that keeps it within its rating, `spare` above 0. */
static double
least_time(const struct closing *c, double inertia, double spare)
{
    const double flowing = c->alone->pressure[FCI_WORST];
    const double still = fmax(c->still.high, flowing);
    const double both = sqrt(c->way->inertia[FCI_WORST] * inertia);

    return c->way->uniform && c->cap <= spare
               ? 0
               : fci_rigid_closing(still, flowing,
                                   2 * both * c->alone->flow[FCI_WORST],
                                   spare);
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

/* The pressure at one end of an element of the way. */
struct place {
    fc_range still;
    double inertia;     /* from the source to there */
    double least, most; /* surge */
};

static struct place
place_of(const struct fci_surge_work *w, const struct closing *c, size_t i,
         bool inlet, bool arrester)
{
    const struct fci_surge_way *way = c->way;
    const size_t parent = w->of.site->elements[way->elements[i]].parent;
    struct place p = { 0 };

    p.still = still_at(w, inlet ? parent : way->elements[i]);
    p.inertia = !inlet           ? way->upstream[i]
                : i + 1 < way->n ? way->upstream[i + 1]
                                 : 0;
    p.most = most_at(c, p.inertia, c->time.low);
    if (arrester)
        p.most = fmin(p.most, fmax(0, w->arresters->peak - p.still.high));
    else if (i == 0 && !inlet)
        p.least = fmin(least_rise(c), p.most);
    return p;
}

/* It is the nearest to a rating of all until now. */
static void
take_place(fc_surge *out, const struct closing *c, const struct place *p,
           const char *name)
{
    out->at = name;
    out->static_pressure = p->still;
    out->surge = range_of(twice_rigid(c, c->way->inertia[FCI_NOMINAL],
                                      c->time.nominal, FCI_NOMINAL),
                          p->least, p->most);
    out->peak = range_of(p->still.nominal + out->surge.nominal,
                         p->still.low + p->least, p->still.high + p->most);
}

/* Whether everything on the way stays within its rating, and where that is
 * nearest. */
static void
hold_against_ratings(const struct fci_surge_work *w, const struct closing *c,
                     fc_surge *out)
{
    double excess = -INFINITY, time = 0, least = 0, most = 0;
    bool over = false, none = false;

    for (size_t i = 0; i < 2 * c->way->n; i++) {
        const size_t at = c->way->elements[i / 2];
        const struct fci_element *element = &w->of.site->elements[at];
        const struct place p = place_of(w, c, i / 2, i % 2, out->arrester);
        const fc_range given = fci_surge_rating(element);
        const double rating = given.given ? given.nominal : w->usual_rating;
        const double high = p.still.high + p.most;

        least = fmax(least, p.least);
        most = fmax(most, p.most);
        none = none || !(rating > p.still.high);
        if (!none && p.inertia > 0)
            time = fmax(time, least_time(c, p.inertia, rating - p.still.high));
        over =
            over
            || (given.given
                && p.still.low + (out->closing_usual ? 0 : p.least) > rating);
        if (!(high - rating > excess))
            continue;
        excess = high - rating;
        take_place(out, c, &p, element->name);
        out->rating = rating;
        out->rating_usual = !given.given;
    }
    out->highest = range_of(twice_rigid(c, c->way->inertia[FCI_NOMINAL],
                                        c->time.nominal, FCI_NOMINAL),
                            least, most);
    out->within = over ? FC_WILL_NOT_WORK
                  : excess <= 0 && (out->bound || out->arrester)
                      ? FC_WORKS
                      : FC_CANNOT_TELL;
    if (!none)
        out->least_closing = fc_exactly(time);
}

static void
fill_in(const struct fci_surge_work *w, size_t fixture, fc_state state,
        const struct fci_surge_way *way, const struct alone *alone,
        fc_surge *out)
{
    const struct fci_fixture *of = &w->of.site->fixtures[fixture];
    const struct fci_at_rest *rest = &w->rest[of->element];
    const double weight = w->of.site->water_weight;
    double velocity[FCI_ENDS], speeds[FCI_ENDS], bound;
    struct closing c = { way, alone, out->closing, { 0 }, INFINITY };

    for (int i = 0; i < FCI_ENDS; i++) {
        velocity[i] = alone->flow[i] / way->feeds[i].area;
        speeds[i] = way->feeds[i].speed;
    }
    out->flow = rising(alone->flow);
    out->velocity = rising(velocity);
    out->wave_speed = rising(speeds);
    out->length = range_of(way->length[FCI_NOMINAL], way->run_length[FCI_BEST],
                           way->length[FCI_WORST]);
    out->return_time =
        range_of(way->time[FCI_NOMINAL],
                 fmin(way->run_time[FCI_BEST], way->run_time[FCI_WORST]),
                 fmax(way->time[FCI_BEST], way->time[FCI_WORST]));
    out->rapid = is_rapid(out->closing, out->return_time);
    c.still = range_of(
        rest->trapped[FCI_NOMINAL] - weight * of->given->rise.nominal,
        fci_as_range(rest->ceiling).low - weight * of->given->rise.high,
        fci_as_range(rest->trapped).high - weight * of->given->rise.low);
    bound =
        twice_rigid(&c, way->inertia[FCI_WORST], out->closing.low, FCI_WORST);
    c.cap = (way->uniform ? 1 : 2) * alone->flow[FCI_WORST]
            * way->hardest[FCI_WORST];
    out->bound = way->uniform || bound <= c.cap;
    out->arrester = fci_surge_arrested(w, fixture, state);
    hold_against_ratings(w, &c, out);
}

static fc_status
find_one(struct fci_surge_work *w, size_t fixture, fc_state state,
         fc_surge *out, fc_diagnostics *messages)
{
    const struct fci_fixture *of = &w->of.site->fixtures[fixture];
    const fc_valve *valve = of->valve[state];
    struct fci_arena own = { 0 }; /* of this way, however many there are */
    struct fci_surge_way way;
    struct alone alone;
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
    if (!fci_surge_way_make(&way, &w->of, of->element, &own)) {
        fci_arena_free(&own);
        return FC_ENOMEM;
    }
    if (alone.flow[FCI_BEST] > 0 && alone.pressure[FCI_BEST] > 0
        && alone.pressure[FCI_NOMINAL] > 0 && way.feeds[0].area > 0)
        fill_in(w, fixture, state, &way, &alone, out);
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
    w->usual_rating =
        fci_tables_usual(site->tables, FCI_USUAL_RATING)->range.low;
    w->fixtures =
        fci_arena_array(arena, site->n_fixtures, sizeof *w->fixtures);
    w->site_fixture = fci_arena_array(&w->e->scratch, site->n_fixtures,
                                      sizeof *w->site_fixture);
    w->rest = fci_march_rest(site);
    return w->rest && w->fixtures && w->site_fixture
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
