/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/all_sets.c -- every set of so many valves, solved.
 *
 * Where nothing else proves which valves hurt most.  Sets of one number are
 * gone through in one order, so that one of them is known by its place in it.
 */
#include "flow/all_sets.h"
#include "ground/memory.h"

#include <math.h>
#include <string.h>

/* No more sets are solved at once for all fixtures of a building, nor, where
 * each has its own, for one of a few or for all of many; nor sets of more
 * valves. */
#define MOST_SOLVED 20000
#define MOST_IN_ALL 200000
#define MOST_AT_ONCE 32
/* Nor those whose links come to more in all. */
#define MOST_LINKS 5e5

struct fci_all_sets {
    const struct fci_network *network;
    struct fci_solver *solver;
    enum fci_end end;
    size_t fixture; /* FCI_NONE: for all of them */
    size_t asked;   /* the one that is asked for */
    size_t known;   /* sets of up to so many are solved */
    bool stopped;   /* no more can be */
    size_t solved, most_solved;
    double *least; /* of each fixture with 1, 2, ... MOST_AT_ONCE */
    size_t *place; /* of the set, likewise */

    size_t *valves, n_valves; /* fixtures that flush */
    size_t own;               /* place of `fixture` among them */
    int *behind;              /* how many valves from that one on */
    struct fci_open *open;
    size_t n_open;
    size_t at, wanted; /* the place in the order; FCI_NONE: all are solved */
    fc_status status;
};

static bool
make_room(struct fci_all_sets *s)
{
    const size_t m = s->network->site->n_fixtures;
    struct fci_arena *arena = fci_arena_of(s);

    s->least =
        fci_arena_array(arena, (m + 1) * (MOST_AT_ONCE + 1), sizeof *s->least);
    s->place =
        fci_arena_array(arena, (m + 1) * (MOST_AT_ONCE + 1), sizeof *s->place);
    s->valves = fci_arena_array(arena, m + 1, sizeof *s->valves);
    s->behind = fci_arena_array(arena, m + 1, sizeof *s->behind);
    s->open = fci_arena_array(arena, m + 1, sizeof *s->open);
    return !arena->failed;
}

struct fci_all_sets *
fci_all_sets_new(const struct fci_network *network, struct fci_solver *solver)
{
    struct fci_all_sets *s = fci_object_new(sizeof *s);
    size_t i;

    if (!s)
        return NULL;
    s->network = network;
    s->solver = solver;
    if (!make_room(s)) {
        fci_all_sets_free(s);
        return NULL;
    }
    for (i = 0; i < network->site->n_fixtures; i++)
        if (network->outlets[i].flushes)
            s->valves[s->n_valves++] = i;
    for (i = s->n_valves; i-- > 0;)
        s->behind[i] =
            s->behind[i + 1] + network->site->fixtures[s->valves[i]].count;
    s->fixture = FCI_NONE;
    return s;
}

void
fci_all_sets_free(struct fci_all_sets *s)
{
    fci_object_free(s);
}

static size_t
most_solved(const struct fci_all_sets *s, bool whole)
{
    const double in_all =
        fmin(MOST_IN_ALL, MOST_LINKS / (double)s->network->n_links);
    const double n = (double)s->n_valves;
    const double most = fmin(MOST_SOLVED, whole ? in_all : in_all / n);

    /* too few for the sets of two are of no use */
    return most < (whole ? n * n / 2 : n) ? 0 : (size_t)most;
}

void
fci_all_sets_take(struct fci_all_sets *s, enum fci_end end, size_t fixture)
{
    const bool whole = end == FCI_NOMINAL || !s->network->bounded;
    const size_t of = whole ? FCI_NONE : fixture;

    end = whole ? FCI_NOMINAL : end;
    if (of != s->fixture || end != s->end) {
        s->known = 0;
        s->solved = 0;
        s->stopped = false;
    }
    s->end = end;
    s->fixture = of;
    s->asked = fixture;
    for (s->own = 0; !whole && s->valves[s->own] != fixture; s->own++)
        ;
    s->most_solved = most_solved(s, whole);
}

/* ---- One set ------------------------------------------------------------ */

static void
solve(struct fci_all_sets *s, size_t n)
{
    const struct fci_drawn *drawn = fci_solver_drawn(s->solver);
    size_t i;

    if (++s->solved > s->most_solved) {
        s->status = FC_EUNSUPPORTED;
        return;
    }
    s->status = fci_solver_run(s->solver, s->open, s->n_open);
    for (i = 0; i < s->n_open && s->status == FC_OK; i++) {
        const size_t at = drawn[i].fixture * (MOST_AT_ONCE + 1) + n;

        if (drawn[i].pressure < s->least[at]) {
            s->least[at] = drawn[i].pressure;
            s->place[at] = s->at;
        }
    }
}

/* ---- All of them -------------------------------------------------------- */

/* `left` more of the valves from the i-th fixture on. */
static void
go_on(struct fci_all_sets *s, size_t i, int left, size_t n)
{
    int count, most, least;

    if (s->status != FC_OK)
        return;
    if (s->fixture != FCI_NONE && i < s->own && left == 1)
        i = s->own; /* none is left but its own valve */
    if (left == 0
        && (i == s->n_valves || s->fixture == FCI_NONE
            || s->valves[i] > s->fixture)) {
        if (s->wanted == FCI_NONE)
            solve(s, n);
        else if (s->at == s->wanted)
            s->status = FC_EINPUT; /* found: look no further */
        s->at++;
        return;
    }
    if (i == s->n_valves || left > s->behind[i])
        return;
    most = s->network->site->fixtures[s->valves[i]].count;
    most = most < left ? most : left;
    least = s->valves[i] == s->fixture;
    for (count = most; count >= least && s->status == FC_OK; count--) {
        if (count > 0)
            s->open[s->n_open++] = (struct fci_open){ s->valves[i], count };
        go_on(s, i + 1, left - count, n);
        if (s->status == FC_EINPUT)
            return; /* as it stands */
        if (count > 0)
            s->n_open--;
    }
}

static fc_status
go_through(struct fci_all_sets *s, size_t n, size_t wanted)
{
    s->n_open = 0;
    s->at = 0;
    s->wanted = wanted;
    s->status = FC_OK;
    go_on(s, 0, (int)n, n);
    return s->status;
}

static fc_status
solve_all(struct fci_all_sets *s, size_t n)
{
    const size_t m = s->network->site->n_fixtures;
    fc_status status;
    size_t i;

    for (i = 0; i < m; i++)
        s->least[i * (MOST_AT_ONCE + 1) + n] = INFINITY;
    fci_solver_forget(s->solver);
    fci_solver_take(s->solver, s->end, s->fixture);
    status = go_through(s, n, FCI_NONE);
    if (status == FC_OK)
        s->known = n;
    else
        s->stopped = true;
    return status == FC_ENOCONV ? FC_EUNSUPPORTED : status;
}

fc_status
fci_all_sets_least(struct fci_all_sets *s, size_t n, double *pressure)
{
    fc_status status = FC_OK;

    while (s->known < n && status == FC_OK)
        status = s->stopped || s->known == MOST_AT_ONCE
                     ? FC_EUNSUPPORTED
                     : solve_all(s, s->known + 1);
    if (status == FC_OK)
        *pressure = s->least[s->asked * (MOST_AT_ONCE + 1) + n];
    return status;
}

void
fci_all_sets_worst(struct fci_all_sets *s, size_t n, struct fci_open *open,
                   size_t *n_open)
{
    size_t i, own = 0;

    go_through(s, n, s->place[s->asked * (MOST_AT_ONCE + 1) + n]);
    *n_open = s->n_open;
    memcpy(open, s->open, s->n_open * sizeof *open);
    for (i = 0; i < *n_open; i++)
        if (open[i].fixture == s->asked)
            own = i;
    for (; own > 0; own--) { /* its own to the front, the rest in order */
        const struct fci_open kept = open[own];

        open[own] = open[own - 1];
        open[own - 1] = kept;
    }
}
