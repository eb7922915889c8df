/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_sure.c -- how often a flush is weak, bounded without a draw.
 *
 * Give the fixture just its least and follow its way to the source.  At each
 * place the pressure is known, so that what joins there draws no more, and no
 * less, than flow/behind.h says, and so the flow and the pressure that the
 * next link asks for at its inlet.  Where the source gives less than is asked
 * of it the flush is weak, else it is not: with more flow there is less
 * pressure everywhere, and less pressure lets no more flow.
 *
 * How many valves are on in each thing that joins is independent of the rest,
 * so that the chance of every pressure and flow along the way is a sum over
 * those [F68, XI.2].  Those that come near to each other are put together: for
 * the upper bound at the more of both, for the lower one at the less.  The
 * chance lies between the two bounds, however coarse the grid is.
 *
 *   [F68]  W. Feller, An Introduction to Probability Theory and Its
 *          Applications 1, 3rd ed. (1968) (from memory)
 */
#include "flow/busy_sure.h"
#include "flow/busy_far.h"
#include "flow/solver.h"
#include "flow/surely.h"
#include "ground/memory.h"
#include "laws/friction.h"

#include <limits.h>
#include <math.h>

/* A grid of flows and of what is left over at the source, so many cells of
 * each, and so many of flows for one valve's. */
#define FLOWS 128
#define LEFTS 64
/* Coarse first, fine where that does not tell. */
static const struct fineness {
    double flows; /* cells for what one valve draws */
    size_t lefts;
} finenesses[] = { { 4, 16 }, { 16, LEFTS } };

/* Chances nearer to each other are the same. */
#define ROUNDING 1e-10

/* No more than so many pressures and flows are looked at in a building. */
#define MOST_WORK 1e7

/* Nor are places, where many valves are on. */
#define MOST_FAR 1e8

/* Of a fixture asking for its least, so many valves flowing. */
#define SOME_FLOWS 3

/* A pressure asked for and a flow, more or less. */
struct asked {
    double chance, pressure, flow;
};

/* What is taken from a place on to the source: without flow, and about a
 * square of it. */
struct to_come {
    double still, square;
};

struct sure {
    const struct fci_busy_plan *plan;
    struct fci_rest rest;
    size_t *way, n_way;
    struct to_come *to_come; /* of each place of the way */
    struct asked *grid;      /* FLOWS x LEFTS, chance 0 in all between */
    size_t *taken;           /* of them */
    size_t n_taken;
    struct asked *now; /* those of the place at hand */
    size_t n_now;
    double flow, left; /* the width of a cell */
    size_t n_lefts;
    bool upper;
    double work, most_work; /* of one fixture */
    double weak;            /* the chance of what surely is, so far */
};

/* ---- The way ----------------------------------------------------------- */

static struct fci_law
law_of(const struct sure *s, size_t link, double flow)
{
    const struct fci_network *network = s->plan->network;
    struct fci_law law = network->laws[s->plan->end][link];
    struct fci_tangent still, flowing;

    if (!network->links[link].special)
        return law;
    still = fci_tangent_at(
        network->site, &network->site->elements[network->links[link].element],
        0, s->plan->end);
    flowing = fci_tangent_at(
        network->site, &network->site->elements[network->links[link].element],
        flow, s->plan->end);
    return (struct fci_law){ .lift = still.loss,
                             .square = fmax(flowing.loss - still.loss, 0)
                                       / (flow * flow) };
}

static void
find_way(struct sure *s, size_t fixture)
{
    const struct fci_network *network = s->plan->network;
    const double flow = SOME_FLOWS * s->plan->flow[fixture];
    struct to_come rest = { 0, 0 };
    size_t i, link = network->outlets[fixture].link;

    s->n_way = 0;
    for (; link != FCI_NONE; link = network->links[link].parent)
        s->way[s->n_way++] = link;
    for (i = s->n_way; i-- > 0;) {
        const struct fci_law law = law_of(s, s->way[i], flow);

        rest.still += law.lift + law.constant;
        rest.square +=
            law.square + law.friction * pow(flow, FCI_FRICTION_EXPONENT - 2);
        s->to_come[i] = rest;
    }
}

/* About what the source has left over. */
static double
left_over(const struct to_come *to, double pressure, double flow)
{
    return -to->still - pressure - to->square * flow * flow;
}

/* ---- The grid ---------------------------------------------------------- */

/* Weak whatever else is on: even without flow the source does not give it. */
static bool
is_weak(const struct to_come *to, double pressure)
{
    return pressure > -to->still;
}

static size_t
cell(double value, double width, size_t n)
{
    const double at = value > 0 ? value / width : 0;

    return at < (double)(n - 1) ? (size_t)at : n - 1;
}

static void
put(struct sure *s, const struct to_come *to, double chance, double pressure,
    double flow)
{
    const size_t place =
        cell(flow, s->flow, FLOWS) * LEFTS
        + cell(left_over(to, pressure, flow), s->left, s->n_lefts);
    struct asked *there = &s->grid[place];

    if (!(there->chance > 0)) {
        *there = (struct asked){ chance, pressure, flow };
        s->taken[s->n_taken++] = place;
        return;
    }
    there->chance += chance;
    if (s->upper ? pressure > there->pressure : pressure < there->pressure)
        there->pressure = pressure;
    if (s->upper ? flow > there->flow : flow < there->flow)
        there->flow = flow;
}

/* The grid as those at hand, and none in it. */
static void
take_grid(struct sure *s)
{
    size_t i;

    for (i = 0; i < s->n_taken; i++) {
        s->now[i] = s->grid[s->taken[i]];
        s->grid[s->taken[i]].chance = 0;
    }
    s->n_now = s->n_taken;
    s->n_taken = 0;
}

/* ---- What joins -------------------------------------------------------- */

static void
join_batch(struct sure *s, const struct to_come *to,
           const struct fci_batch *batch, const struct fci_yield *yield)
{
    size_t i, k;

    for (i = 0; i < s->n_now; i++) {
        const struct asked *a = &s->now[i];
        struct fci_highest high = { 0, 0 };
        double left = 1;

        if (yield && batch->n_chances > 1)
            high = fci_yield_highest(yield, a->pressure);
        for (k = 0; k < batch->n_chances; k++) {
            const bool last = !s->upper && k + 1 == batch->n_chances;
            const double flow =
                !yield ? fci_batch_flow(batch, a->pressure, k)
                : k > 0
                    ? (double)k * fci_yield_flow(yield, a->pressure, &high, k)
                    : 0;

            /* more than are told apart draw no less than so many */
            put(s, to, a->chance * (last ? left : batch->chance[k]),
                a->pressure, a->flow + flow);
            left -= batch->chance[k];
        }
        if (s->upper)
            s->weak += a->chance * fmax(left, 0);
    }
    s->work += (double)(s->n_now * batch->n_chances);
    take_grid(s);
}

static void
join_all(struct sure *s, size_t fixture, size_t i)
{
    const size_t from = i > 0 ? s->way[i - 1] : FCI_NONE;
    const struct to_come *to = &s->to_come[i];
    struct fci_behind joins;
    struct fci_yield yield;
    double draws = fci_rest_joins(&s->rest, s->way[i], from, fixture, &joins);
    size_t k, at = 0;

    if (s->upper)
        for (k = 0; k < joins.n_batches; k++)
            join_batch(s, to, &joins.batches[k], NULL);
    else
        while (fci_rest_yield(&s->rest, s->way[i], from, fixture, &at, &yield))
            join_batch(s, to, &yield.high, &yield);
    for (k = 0; k < s->n_now; k++)
        s->now[k].flow += draws;
}

/* ---- Links ------------------------------------------------------------- */

/* The source's inlet has nothing. */
static void
pass(struct sure *s, size_t i)
{
    const bool source = i + 1 == s->n_way;
    const struct to_come none = { 0, 0 };
    const struct to_come *to = source ? &none : &s->to_come[i + 1];
    size_t k, n = 0;

    for (k = 0; k < s->n_now; k++) {
        struct asked a = s->now[k];

        a.pressure = fci_rest_asks(&s->rest, s->way[i], a.pressure, a.flow);
        if (is_weak(to, a.pressure))
            s->weak += a.chance;
        else
            s->now[n++] = a;
    }
    s->n_now = n;
}

/* ---- One fixture ------------------------------------------------------- */

/* The work it would take is too much. */
static bool
gives_up(const struct sure *s)
{
    return s->work > s->most_work;
}

/* A bound of the chance, or as much of it as is over the limit. */
static double
bound(struct sure *s, size_t fixture, bool upper, const struct fineness *fine)
{
    const struct fci_busy_plan *plan = s->plan;
    const double least =
        plan->least[fixture] - (upper ? 0 : 2 * FCI_SOLVED_TO);
    struct asked own = { .chance = 1 };
    size_t i;

    own.pressure = fci_rest_own(&s->rest, fixture, least, &own.flow);
    s->upper = upper;
    s->n_lefts = fine->lefts;
    s->flow = fmax(plan->flow[fixture], own.flow) / fine->flows;
    s->left = fmax(left_over(&s->to_come[0], own.pressure, own.flow), 1)
              / (double)fine->lefts;
    s->weak = 0;
    s->now[0] = own;
    s->n_now = 1;
    for (i = 0;
         i < s->n_way && !(s->weak > FC_MOST_WEAK + ROUNDING) && !gives_up(s);
         i++) {
        join_all(s, fixture, i);
        pass(s, i);
    }
    return upper && gives_up(s) ? 1 : s->weak;
}

static enum fci_often
often_of(struct sure *s, size_t fixture)
{
    size_t i;

    find_way(s, fixture);
    s->work = 0;
    s->most_work = MOST_WORK / (double)s->plan->network->site->n_fixtures;
    for (i = 0; i < sizeof finenesses / sizeof *finenesses; i++) {
        if (bound(s, fixture, true, &finenesses[i]) < FC_MOST_WEAK - ROUNDING)
            return FCI_SELDOM;
        if (bound(s, fixture, false, &finenesses[i]) > FC_MOST_WEAK + ROUNDING)
            return FCI_TOO_OFTEN;
    }
    return FCI_UNCLEAR;
}

/* Its pressure alone is the most that any of its flushes has. */
static bool
is_always_weak(const struct fci_busy_plan *plan, size_t fixture)
{
    return plan->top[fixture] < plan->least[fixture] - FCI_SOLVED_TO;
}

/* ---- The building ------------------------------------------------------ */

static bool
make_room(struct sure *s, struct fci_arena *arena, const double *on)
{
    const struct fci_busy_plan *plan = s->plan;
    const size_t n = plan->network->n_links;
    const struct fci_told_of of = {
        .end = plan->end, .side = plan->end, .most = plan->flow, .on = on
    };

    s->way = fci_arena_array(arena, n + 1, sizeof *s->way);
    s->to_come = fci_arena_array(arena, n + 1, sizeof *s->to_come);
    s->grid = fci_arena_array(arena, FLOWS * LEFTS, sizeof *s->grid);
    s->taken = fci_arena_array(arena, FLOWS * LEFTS, sizeof *s->taken);
    s->now = fci_arena_array(arena, FLOWS * LEFTS, sizeof *s->now);
    return !arena->failed
           && fci_rest_find(&s->rest, arena, plan->network, &of);
}

/* Of all valves of the building together. */
static struct fci_batch
all_valves(const struct fci_rest *rest)
{
    const struct fci_network *network = rest->network;
    struct fci_batch all = { .chance = { 1 }, .n_chances = 1 };
    size_t i, k;

    for (i = 0; i < network->n_links; i++)
        if (network->links[i].parent == FCI_NONE)
            for (k = 0; k < rest->behind[i].n_batches; k++)
                fci_batch_join(&all, &rest->behind[i].batches[k]);
    return all;
}

/* That more than so many are on, which is no less where one is on anyway. */
static double
chance_of_more(const struct fci_batch *all, int valves)
{
    double left = 1;
    size_t k;

    for (k = 0; k < all->n_chances && (int)k < valves; k++)
        left -= all->chance[k];
    return left;
}

/* No more are looked for: that more are on does not matter. */
#define SELDOM_ON (FC_MOST_WEAK / 100)

static int
most_at_once(const struct fci_batch *all)
{
    int valves = 1;

    while (valves < FCI_COUNTED && chance_of_more(all, valves) > SELDOM_ON)
        valves++;
    return valves;
}

static int
find_at_once(const struct sure *s, const struct fci_batch *all, size_t fixture,
             bool closely)
{
    return fci_surely_at_once(&s->rest, fixture, s->plan->least[fixture],
                              most_at_once(all), closely);
}

/* The quickest first. */
static enum fci_often
find_often(struct sure *s, const struct fci_batch *all, size_t fixture,
           int at_once)
{
    if (chance_of_more(all, at_once) < FC_MOST_WEAK - ROUNDING)
        return FCI_SELDOM;
    at_once = find_at_once(s, all, fixture, true);
    if (chance_of_more(all, at_once) < FC_MOST_WEAK - ROUNDING)
        return FCI_SELDOM;
    return often_of(s, fixture);
}

/* Each fixture asks once for as much work as the building has places. */
static bool
looks_far(const struct fci_busy_plan *plan)
{
    return (double)plan->network->n_links
               * (double)plan->network->site->n_fixtures
           <= MOST_FAR;
}

/* That a valve of each fixture is on; NULL: out of memory. */
static const double *
find_on(const struct fci_busy_plan *plan, struct fci_arena *arena)
{
    double *on = fci_arena_array(arena, plan->network->site->n_fixtures + 1,
                                 sizeof *on);
    size_t i, k;

    for (i = 0; on && i < plan->n_classes; i++)
        for (k = 0; k < plan->classes[i].n; k++)
            on[plan->valves[plan->classes[i].first + k]] = plan->classes[i].on;
    return on;
}

/* What needs no look at the rest of the building; `left`: some fixture that is
 * asked for needs one. */
static bool
look_far(const struct fci_busy_plan *plan, const bool *asked, const double *on,
         struct fci_arena *arena, enum fci_often *sure, int *at_once,
         bool *left)
{
    const bool looks = looks_far(plan);
    struct fci_far far;
    size_t i;

    *left = false;
    if (!fci_far_find(&far, arena, plan, on))
        return false;
    for (i = 0; i < plan->network->site->n_fixtures; i++) {
        if (sure[i] != FCI_UNCLEAR || !(on[i] > 0))
            continue;
        if (is_always_weak(plan, i)) {
            sure[i] = FCI_TOO_OFTEN;
            at_once[i] = FCI_ALWAYS_WEAK;
        } else if ((!asked || asked[i]) && looks && fci_far_seldom(&far, i)) {
            sure[i] = FCI_SELDOM;
        }
        *left |= !asked || (asked[i] && sure[i] == FCI_UNCLEAR);
    }
    return true;
}

static bool
look_closely(const struct fci_busy_plan *plan, const bool *asked,
             const double *on, struct fci_arena *arena, enum fci_often *sure,
             int *at_once)
{
    struct sure s = { .plan = plan };
    struct fci_batch all;
    size_t i;

    if (!make_room(&s, arena, on))
        return false;
    all = all_valves(&s.rest);
    if (chance_of_more(&all, FCI_COUNTED) > FC_MOST_WEAK)
        return true;
    for (i = 0; i < plan->network->site->n_fixtures; i++) {
        if (!(on[i] > 0) || !isfinite(plan->least[i])
            || at_once[i] == FCI_ALWAYS_WEAK)
            continue;
        at_once[i] = find_at_once(&s, &all, i, false);
        if (sure[i] == FCI_UNCLEAR && (!asked || asked[i]))
            sure[i] = find_often(&s, &all, i, at_once[i]);
    }
    return true;
}

fc_status
fci_busy_sure(const struct fci_busy_plan *plan, const bool *asked,
              enum fci_often *sure, int *at_once)
{
    struct fci_arena arena = { 0 };
    const double *on = find_on(plan, &arena);
    bool done = on != NULL, left;
    size_t i;

    for (i = 0; i < plan->network->site->n_fixtures; i++) {
        sure[i] = isfinite(plan->least[i]) ? FCI_UNCLEAR : FCI_SELDOM;
        at_once[i] = isfinite(plan->least[i]) ? 0 : INT_MAX;
    }
    if (done && fci_more_leaves_less(plan->network)) {
        done = look_far(plan, asked, on, &arena, sure, at_once, &left);
        if (done && left)
            done = look_closely(plan, asked, on, &arena, sure, at_once);
    }
    fci_arena_free(&arena);
    return done ? FC_OK : FC_ENOMEM;
}
