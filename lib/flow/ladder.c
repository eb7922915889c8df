/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/ladder.c -- how many valves may be open before one is short.
 *
 * The valves that hurt one most are near it: what they draw runs through most
 * of the way to it.  On the way from it to the source, at each place the
 * strongest valve that is still closed behind it is a candidate, and the
 * slopes of the last solution tell about how far each would pull it down.
 * The few that promise most are tried, and the worst of them stays open.
 *
 * What each rung adds is the worst for that rung, which need not lead to the
 * smallest set: two valves that matter little one by one may together take a
 * reducer out of its setting.  So the set that starves the fixture is then
 * made smaller for as long as that can be done by closing one valve and
 * exchanging others.
 */
#include "flow/ladder.h"
#include "flow/solver_work.h"
#include "ground/ties.h"

#include <math.h>
#include <string.h>

/* So many candidates are tried on each of the first rungs; beyond those the
 * most promising is taken unseen, as one valve more matters little among
 * many. */
#define TRIED 4
#define CAREFUL_RUNGS 16

/* To make a set smaller, so many members are tried against so many candidates
 * while few fixtures are open, and TRIED of each beyond those. */
#define MOST_TRIED 16
#define FEW_OPEN 8
/* Links that are looked at behind one place of the way. */
#define MOST_LINKS 32

struct candidate {
    size_t fixture;
    double promise;
};

struct fci_ladder {
    const struct fci_network *network;
    struct fci_solver *solver;
    struct fci_at_links at;
    size_t *best; /* of each link: the strongest closed valve behind it */
    int *opened;  /* of each fixture */
    struct fci_open *open;
    size_t *place; /* of each fixture in `open` */
    size_t n_open;
    struct fci_open *kept; /* what was open */
    size_t n_kept;
    size_t *way; /* from the fixture to the source */
    size_t n_way;
    double *slope; /* of the way, from the source to the end of a link */
    double *pressures;
    double *all_open; /* pressure of each fixture with all of them open */
    bool all_known;
    int n_valves;
};

/* ---- Memory ----------------------------------------------------------- */

static bool
make_room(struct fci_ladder *l)
{
    const size_t n = l->network->n_links, m = l->network->site->n_fixtures;
    struct fci_arena *arena = fci_arena_of(l);

    l->best = fci_arena_array(arena, n, sizeof *l->best);
    l->opened = fci_arena_array(arena, m + 1, sizeof *l->opened);
    l->open = fci_arena_array(arena, m + 1, sizeof *l->open);
    l->kept = fci_arena_array(arena, m + 1, sizeof *l->kept);
    l->place = fci_arena_array(arena, m + 1, sizeof *l->place);
    l->way = fci_arena_array(arena, n, sizeof *l->way);
    l->slope = fci_arena_array(arena, n, sizeof *l->slope);
    l->pressures =
        fci_arena_array(arena, (size_t)l->n_valves + 1, sizeof *l->pressures);
    l->all_open = fci_arena_array(arena, m + 1, sizeof *l->all_open);
    return fci_network_at(l->network, arena, &l->at);
}

/* ---- The strongest closed valve behind a place ------------------------ */

static bool
is_closed(const struct fci_ladder *l, size_t fixture)
{
    return l->opened[fixture] < l->network->site->fixtures[fixture].count;
}

static size_t
stronger(const struct fci_ladder *l, size_t a, size_t b)
{
    if (a == FCI_NONE || b == FCI_NONE)
        return a == FCI_NONE ? b : a;
    return fci_is_less(l->network->outlets[a].alone,
                       l->network->outlets[b].alone)
               ? b
               : a;
}

/* On a link itself, and behind it but for the links behind `but`. */
static size_t
strongest(const struct fci_ladder *l, size_t link, size_t but)
{
    size_t best = FCI_NONE, i;

    for (i = l->at.fixture_start[link]; i < l->at.fixture_start[link + 1]; i++)
        if (is_closed(l, l->at.fixtures[i]))
            best = stronger(l, best, l->at.fixtures[i]);
    for (i = l->at.link_start[link]; i < l->at.link_start[link + 1]; i++)
        if (l->at.links[i] != but)
            best = stronger(l, best, l->best[l->at.links[i]]);
    return best;
}

static void
find_best(struct fci_ladder *l, size_t link)
{
    for (; link != FCI_NONE; link = l->network->links[link].parent)
        l->best[link] = strongest(l, link, FCI_NONE);
}

static void
open_one(struct fci_ladder *l, size_t fixture)
{
    if (l->opened[fixture]++ == 0) {
        l->place[fixture] = l->n_open;
        l->open[l->n_open].fixture = fixture;
        l->open[l->n_open++].count = 0;
    }
    l->open[l->place[fixture]].count++;
    if (!is_closed(l, fixture))
        find_best(l, l->network->outlets[fixture].link);
}

static void
close_one(struct fci_ladder *l, size_t fixture)
{
    const bool was_closed = is_closed(l, fixture);
    size_t i = l->place[fixture];

    l->opened[fixture]--;
    if (--l->open[i].count == 0) {
        for (l->n_open--; i < l->n_open; i++) {
            l->open[i] = l->open[i + 1];
            l->place[l->open[i].fixture] = i;
        }
    }
    if (!was_closed)
        find_best(l, l->network->outlets[fixture].link);
}

static void
close_all(struct fci_ladder *l)
{
    size_t i;

    for (i = 0; i < l->n_open; i++)
        l->opened[l->open[i].fixture] = 0;
    for (i = 0; i < l->n_open; i++)
        find_best(l, l->network->outlets[l->open[i].fixture].link);
    l->n_open = 0;
}

/* ---- Memory ----------------------------------------------------------- */

struct fci_ladder *
fci_ladder_new(const struct fci_network *network, struct fci_solver *solver)
{
    struct fci_ladder *l = fci_object_new(sizeof *l);
    const size_t n = network->n_links, m = network->site->n_fixtures;
    size_t i;

    if (!l)
        return NULL;
    l->network = network;
    l->solver = solver;
    for (i = 0; i < m; i++)
        if (network->outlets[i].flushes)
            l->n_valves += network->site->fixtures[i].count;
    if (!make_room(l)) {
        fci_ladder_free(l);
        return NULL;
    }
    for (i = n; i-- > 0;)
        l->best[i] = strongest(l, i, FCI_NONE);
    return l;
}

void
fci_ladder_free(struct fci_ladder *l)
{
    fci_object_free(l);
}

/* ---- What each promises ----------------------------------------------- */

static void
find_way(struct fci_ladder *l, size_t fixture)
{
    size_t link;

    l->n_way = 0;
    for (link = l->network->outlets[fixture].link; link != FCI_NONE;
         link = l->network->links[link].parent)
        l->way[l->n_way++] = link;
}

/* Pressure lost per flow added, from the source to the end of each link of
 * the way, at the last solution. */
static void
find_slopes(struct fci_ladder *l)
{
    double sum = 0;
    size_t i;

    for (i = l->n_way; i-- > 0;) {
        const size_t link = l->way[i];

        sum += fci_solver_slope(l->solver, link);
        if (fci_solver_holds(l->solver, link))
            sum = 0; /* what is before a reducer does not reach behind it */
        l->slope[i] = sum;
    }
}

/* Those that promise most, the first of them first. */
struct shortlist {
    struct candidate list[MOST_TRIED];
    size_t n, most;
};

static void
enlist(const struct fci_ladder *l, struct shortlist *s, size_t fixture,
       size_t place)
{
    const struct candidate c = {
        fixture, l->slope[place] * l->network->outlets[fixture].alone
    };
    size_t k;

    if (s->n < s->most)
        s->n++;
    else if (!fci_is_less(s->list[s->n - 1].promise, c.promise))
        return;
    for (k = s->n - 1; k > 0 && fci_is_less(s->list[k - 1].promise, c.promise);
         k--)
        s->list[k] = s->list[k - 1];
    s->list[k] = c;
}

/* The strongest at each place of the way. */
static void
enlist_strongest(const struct fci_ladder *l, struct shortlist *s)
{
    size_t i, fixture;

    for (i = 0; i < l->n_way; i++) {
        fixture = strongest(l, l->way[i], i ? l->way[i - 1] : FCI_NONE);
        if (fixture != FCI_NONE)
            enlist(l, s, fixture, i);
    }
}

/* Those at one place, near it: behind the strongest there may be a weaker one
 * that loses less on its own way. */
static void
enlist_near(const struct fci_ladder *l, struct shortlist *s, size_t place)
{
    const size_t but = place ? l->way[place - 1] : FCI_NONE;
    size_t links[MOST_LINKS] = { l->way[place] }, n = 1, i, k;

    for (i = 0; i < n; i++) {
        const size_t link = links[i];

        for (k = l->at.fixture_start[link]; k < l->at.fixture_start[link + 1];
             k++)
            if (is_closed(l, l->at.fixtures[k]))
                enlist(l, s, l->at.fixtures[k], place);
        for (k = l->at.link_start[link];
             k < l->at.link_start[link + 1] && n < MOST_LINKS; k++)
            if (l->at.links[k] != but && l->best[l->at.links[k]] != FCI_NONE)
                links[n++] = l->at.links[k];
    }
}

/* ---- Climbing --------------------------------------------------------- */

/* Whether a pressure is short, by more than rounding. */
static bool
is_short(double pressure, double least)
{
    return !(pressure >= least - FCI_SOLVED_TO);
}

static fc_status
pressure_now(struct fci_ladder *l, double *pressure)
{
    const fc_status status = fci_solver_run(l->solver, l->open, l->n_open);

    if (status == FC_OK)
        *pressure = fci_solver_drawn(l->solver)[0].pressure;
    return status;
}

/* Open the one that pulls the fixture down most. */
static fc_status
open_worst(struct fci_ladder *l, double *pressure)
{
    struct shortlist in = { .most = TRIED };
    size_t n, i, worst = 0;
    double lowest = INFINITY, there;
    fc_status status;

    find_slopes(l);
    enlist_strongest(l, &in);
    n = l->n_open > CAREFUL_RUNGS ? 1 : in.n;
    for (i = 0; i < n && n > 1; i++) {
        open_one(l, in.list[i].fixture);
        status = pressure_now(l, &there);
        close_one(l, in.list[i].fixture);
        if (status != FC_OK)
            return status;
        if (fci_is_less(there, lowest)) {
            lowest = there;
            worst = i;
        }
    }
    open_one(l, in.list[worst].fixture);
    return pressure_now(l, pressure);
}

/* Every valve of the building open. */
static fc_status
open_rest(struct fci_ladder *l, double *pressure)
{
    const struct fci_network *network = l->network;
    size_t i;

    for (i = 0; i < network->site->n_fixtures; i++)
        if (network->outlets[i].flushes && is_closed(l, i)) {
            if (l->opened[i] == 0)
                open_one(l, i);
            l->opened[i] = network->site->fixtures[i].count;
            l->open[l->place[i]].count = l->opened[i];
        }
    return pressure_now(l, pressure);
}

/* With all of them open, at the nominal inputs: once for all fixtures. */
static fc_status
find_all_open(struct fci_ladder *l)
{
    const struct fci_drawn *drawn = fci_solver_drawn(l->solver);
    double pressure;
    fc_status status;
    size_t i;

    if (l->all_known)
        return FC_OK;
    fci_solver_take(l->solver, FCI_NOMINAL, FCI_NONE);
    status = open_rest(l, &pressure);
    for (i = 0; i < l->n_open && status == FC_OK; i++)
        l->all_open[drawn[i].fixture] = drawn[i].pressure;
    l->all_known = status == FC_OK;
    close_all(l);
    return status;
}

/* Whether a fixture keeps enough with all of them open; most do not, and the
 * rest need no climb.  What is short at the nominal inputs is so at the
 * worst. */
static fc_status
try_all(struct fci_ladder *l, size_t fixture, enum fci_end end, double least,
        bool *enough)
{
    double pressure;
    fc_status status = find_all_open(l);

    *enough = status == FC_OK && !is_short(l->all_open[fixture], least);
    if (status != FC_OK || end != FCI_WORST || !*enough || l->network->exact)
        return status;
    fci_solver_take(l->solver, end, fixture);
    open_one(l, fixture);
    status = open_rest(l, &pressure);
    close_all(l);
    *enough = status == FC_OK && !is_short(pressure, least);
    return status;
}

/* ---- Fewer ------------------------------------------------------------ */

/* The pressure with one valve closed and another opened instead (FCI_NONE:
 * none). */
static fc_status
pressure_with(struct fci_ladder *l, size_t out, size_t in, double *pressure)
{
    fc_status status;

    close_one(l, out);
    if (in != FCI_NONE)
        open_one(l, in);
    status = pressure_now(l, pressure);
    if (in != FCI_NONE)
        close_one(l, in);
    open_one(l, out);
    return status;
}

static size_t
most_tried(const struct fci_ladder *l)
{
    return l->n_open > FEW_OPEN ? TRIED : MOST_TRIED;
}

/* Those that may be closed; the last ones opened matter least. */
static size_t
list_members(const struct fci_ladder *l, size_t *list)
{
    size_t n = 0, i;

    for (i = l->n_open; i-- > 0 && n < most_tried(l);)
        if (i > 0 || l->open[0].count > 1)
            list[n++] = l->open[i].fixture;
    return n;
}

/* The same, the one that is missed least first. */
static fc_status
rank_members(struct fci_ladder *l, size_t *list, size_t *n)
{
    double pressures[MOST_TRIED], there;
    size_t members[MOST_TRIED], i, k;
    fc_status status;

    *n = list_members(l, members);
    for (i = 0; i < *n; i++) {
        status = pressure_with(l, members[i], FCI_NONE, &there);
        if (status != FC_OK)
            return status;
        for (k = i; k > 0 && fci_is_less(there, pressures[k - 1]); k--) {
            pressures[k] = pressures[k - 1];
            list[k] = list[k - 1];
        }
        pressures[k] = there;
        list[k] = members[i];
    }
    return FC_OK;
}

/* Exchange a valve for another if that lowers the pressure; whether it did. */
static fc_status
exchange_for(struct fci_ladder *l, size_t out, const struct shortlist *in,
             double *pressure, bool *did)
{
    fc_status status = FC_OK;
    double there;
    size_t i;

    for (i = 0; i < in->n && status == FC_OK; i++) {
        if (in->list[i].fixture == out)
            continue;
        status = pressure_with(l, out, in->list[i].fixture, &there);
        if (status != FC_OK || there >= *pressure - FCI_SOLVED_TO)
            continue;
        close_one(l, out);
        open_one(l, in->list[i].fixture);
        *did = true;
        return pressure_now(l, pressure);
    }
    return status;
}

/* Any exchange that does, after a solution with those that are open. */
static fc_status
exchange_one(struct fci_ladder *l, double *pressure, bool *did)
{
    struct shortlist in = { .most = most_tried(l) };
    size_t out[MOST_TRIED], n = list_members(l, out), i;
    fc_status status = FC_OK;

    *did = false;
    find_slopes(l);
    if (l->n_open > FEW_OPEN)
        enlist_strongest(l, &in);
    else
        for (i = 0; i < l->n_way; i++)
            enlist_near(l, &in, i);
    for (i = 0; i < n && status == FC_OK && !*did; i++)
        status = exchange_for(l, out[i], &in, pressure, did);
    return status;
}

/* Put the open valves back as they were. */
static void
reopen(struct fci_ladder *l)
{
    size_t i;
    int k;

    close_all(l);
    for (i = 0; i < l->n_kept; i++)
        for (k = 0; k < l->kept[i].count; k++)
            open_one(l, l->kept[i].fixture);
}

/* Whether the others can do without one, after exchanges. */
static fc_status
try_without(struct fci_ladder *l, size_t fixture, double least,
            double *pressure)
{
    bool did = true;
    fc_status status;

    close_one(l, fixture);
    status = pressure_now(l, pressure);
    while (status == FC_OK && did && !is_short(*pressure, least))
        status = exchange_one(l, pressure, &did);
    return status;
}

/* Whether one valve fewer does it too; the lowest pressure with one fewer. */
static fc_status
try_fewer(struct fci_ladder *l, double least, double *lowest, bool *fewer)
{
    size_t list[MOST_TRIED], n, i;
    double pressure;
    fc_status status = rank_members(l, list, &n);

    if (l->n_open > FEW_OPEN)
        n = 1;
    memcpy(l->kept, l->open, l->n_open * sizeof *l->open);
    l->n_kept = l->n_open;
    *lowest = INFINITY;
    *fewer = false;
    for (i = 0; i < n && status == FC_OK && !*fewer; i++) {
        status = try_without(l, list[i], least, &pressure);
        if (status != FC_OK)
            break;
        *lowest = fmin(*lowest, pressure);
        *fewer = is_short(pressure, least);
        if (!*fewer)
            reopen(l);
    }
    return status;
}

/* From the n valves that starve the fixture to as few as can be found. */
static fc_status
descend(struct fci_ladder *l, double least, int surely, int *n)
{
    bool fewer = true;
    double pressure;
    fc_status status;

    while (fewer && *n > 1 && *n > surely + 1) {
        status = try_fewer(l, least, &pressure, &fewer);
        if (status != FC_OK)
            return status;
        l->pressures[*n - 2] = fmin(l->pressures[*n - 2], pressure);
        *n -= fewer;
    }
    return FC_OK;
}

static fc_status
climb(struct fci_ladder *l, size_t fixture, double least, int surely,
      struct fci_rungs *rungs)
{
    double pressure = 0;
    fc_status status;
    int n = 1;

    open_one(l, fixture);
    status = pressure_now(l, &pressure);
    while (status == FC_OK) {
        l->pressures[n - 1] = pressure;
        if (is_short(pressure, least) || n == l->n_valves
            || (rungs->all && n == FCI_RUNGS_SHOWN))
            break;
        status = open_worst(l, &pressure);
        n++;
    }
    if (status == FC_OK && is_short(pressure, least)) {
        status = descend(l, least, surely, &n);
        pressure = l->pressures[n - 1];
    }
    rungs->n_pressures = (size_t)n;
    if (!rungs->all)
        rungs->most = is_short(pressure, least) ? n - 1 : n;
    return status;
}

fc_status
fci_ladder_climb(struct fci_ladder *l, size_t fixture, enum fci_end end,
                 double least, int surely, struct fci_rungs *rungs)
{
    fc_status status;

    close_all(l);
    fci_solver_forget(l->solver);
    *rungs = (struct fci_rungs){ .pressures = l->pressures };
    status = try_all(l, fixture, end, least, &rungs->all);
    if (status != FC_OK)
        return status;
    if (rungs->all)
        rungs->most = l->n_valves;
    fci_solver_forget(l->solver);
    fci_solver_take(l->solver, end, fixture);
    find_way(l, fixture);
    status = climb(l, fixture, least, surely, rungs);
    if (rungs->most == l->n_valves)
        rungs->all = true;
    if (!rungs->all) {
        rungs->set = l->open;
        rungs->n_set = l->n_open;
    }
    return status;
}
