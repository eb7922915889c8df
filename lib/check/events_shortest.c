/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/events_shortest.c -- the flush valve that the fewest valves at
 * once starve, without climbing every ladder. */
#include "check/events_work.h"
#include "ground/ties.h"

#include <math.h>
#include <stdlib.h>

/* At first so many at once are looked at; most ladders in short are shorter.
 */
#define LOOKED 16

/* Of a fixture that may have the shortest ladder. */
struct rung {
    size_t fixture;
    int surely;  /* so many at once do not starve it */
    double left; /* one more leave it no less */
    bool climbed;
};

static int
by_surely(const void *a, const void *b)
{
    const struct rung *x = a, *y = b;
    const double left = fci_coarse(x->left), other = fci_coarse(y->left);

    if (x->surely != y->surely)
        return x->surely < y->surely ? -1 : 1;
    if (left < other || left > other)
        return left < other ? -1 : 1;
    return (x->fixture > y->fixture) - (x->fixture < y->fixture);
}

/* The shortest first, as far as that is sure without a climb. */
static fc_status
sort_rungs(struct fci_running_events *r, enum fci_end end, int looked,
           struct rung *list, size_t n)
{
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; i < n && status == FC_OK; i++) {
        struct rung *rung = &list[i];

        status = fci_ladder_surely(r->ladder, rung->fixture, end,
                                   fci_minimum_of(r, rung->fixture, end),
                                   looked, &rung->surely, &rung->left);
    }
    qsort(list, n, sizeof *list, by_surely);
    return status;
}

/* Those that another one's ladder speaks for stand at the end, unsorted. */
static size_t
list_rungs(const struct fci_running_events *r, const bool *spoken_for,
           struct rung *list, size_t *n)
{
    size_t i, first = 0;

    *n = 0;
    for (i = 0; i < r->site->n_fixtures; i++) {
        const fc_valve *valve = r->site->fixtures[i].valve[r->state];

        if (!fci_flushes(r, i) || !valve->minimum_flowing.given)
            continue;
        list[*n] = (struct rung){ .fixture = i };
        if (!spoken_for[i]) {
            const struct rung rung = list[*n];

            list[*n] = list[first];
            list[first++] = rung;
        }
        ++*n;
    }
    return first;
}

/* The shortest ladder so far. */
struct shortest {
    int valves;      /* of the building */
    int most;        /* every valve: none is shorter */
    double pressure; /* that is left to the one that is furthest below */
    size_t fixture;  /* that one */
};

/* At the middle the one of several that is furthest below counts. */
static bool
may_be_shorter(const struct rung *rung, const struct shortest *shortest,
               enum fci_end end)
{
    return rung->surely < shortest->most
           || (end == FCI_NOMINAL && rung->surely == shortest->most
               && !fci_is_less(shortest->pressure, rung->left));
}

/* The same after a question that is far quicker than a climb; of equals the
 * first of the file is named, so that it is climbed. */
static fc_status
ask_whether(const struct fci_running_events *r, const struct rung *rung,
            const struct shortest *shortest, enum fci_end end, bool *may)
{
    const double least = fci_minimum_of(r, rung->fixture, end);
    const double below =
        shortest->pressure
        + (rung->fixture < shortest->fixture ? FCI_WORST_TO : 0);
    fc_status status = FC_OK;

    *may = shortest->most == shortest->valves;
    if (!*may && rung->surely < shortest->most)
        status = fci_ladder_may(r->ladder, rung->fixture, end, least,
                                shortest->most, may);
    if (status == FC_OK && !*may && end == FCI_NOMINAL)
        status = fci_ladder_may(r->ladder, rung->fixture, end,
                                fmin(least, below), shortest->most + 1, may);
    return status;
}

static void
note_shortest(const fc_ladder *ladder, size_t fixture, enum fci_end end,
              struct shortest *shortest)
{
    const int most = end == FCI_NOMINAL ? ladder->most : ladder->low;
    const double pressure =
        ladder->all ? INFINITY : ladder->pressures[ladder->n_pressures - 1];

    if (most < shortest->most
        || (most == shortest->most && pressure < shortest->pressure)) {
        shortest->pressure = pressure;
        shortest->fixture = fixture;
    }
    if (most < shortest->most)
        shortest->most = most;
}

/* Sorted; more are looked at where that may tell which is shorter. */
static fc_status
climb_rungs(struct fci_running_events *r, enum fci_end end, struct rung *list,
            size_t n, struct shortest *shortest)
{
    int looked = LOOKED;
    fc_status status = sort_rungs(r, end, looked, list, n);
    size_t i;

    for (i = 0; i < n && status == FC_OK; i++) {
        struct rung *rung = &list[i];

        while (status == FC_OK && rung->surely == looked
               && looked < FCI_MOST_COUNTED
               && may_be_shorter(rung, shortest, end)) {
            looked *= 2;
            status = sort_rungs(r, end, looked, rung, n - i);
        }
        if (status != FC_OK || rung->surely >= shortest->valves
            || !may_be_shorter(rung, shortest, end))
            continue;
        status = ask_whether(r, rung, shortest, end, &rung->climbed);
        if (status == FC_OK && rung->climbed)
            status = fci_climb_at(r, rung->fixture, end, FCI_MOST_WORST);
        if (status == FC_OK && rung->climbed)
            note_shortest(&r->events->views[rung->fixture].ladder,
                          rung->fixture, end, shortest);
    }
    return status;
}

/* Only the shortest ladder tells how many valves at once starve the first one,
 * and which.  One that surely is no shorter is as good as one of all. */
static void
tell_no_shorter(const struct fci_running_events *r, enum fci_end end,
                const struct rung *rung, const struct shortest *shortest)
{
    fc_ladder *ladder = &r->events->views[rung->fixture].ladder;
    const int most =
        rung->surely > shortest->most ? rung->surely : shortest->most;

    if (end == FCI_NOMINAL) {
        ladder->given = ladder->all = true;
        ladder->most = most;
        ladder->could = shortest->valves;
    }
    ladder->low = most;
    ladder->could_low = shortest->valves;
}

fc_status
fci_climb_shortest(struct fci_running_events *r, enum fci_end end)
{
    const size_t m = r->site->n_fixtures;
    struct rung *list = fci_arena_array(&r->scratch, m + 1, sizeof *list);
    bool *spoken_for = fci_arena_array(&r->scratch, m + 1, sizeof *spoken_for);
    struct shortest shortest = { 0, 0, INFINITY, FCI_NONE };
    fc_status status;
    size_t n, first, i;

    if (!list || !spoken_for)
        return FC_ENOMEM;
    status = fci_ladder_twins(r->ladder, spoken_for);
    if (status != FC_OK)
        return status;
    for (i = 0; i < m; i++)
        shortest.valves += fci_flushes(r, i) ? r->site->fixtures[i].count : 0;
    shortest.most = shortest.valves;
    first = list_rungs(r, spoken_for, list, &n);
    status = climb_rungs(r, end, list, first, &shortest);
    for (i = 0; i < n && status == FC_OK; i++)
        if (!list[i].climbed)
            tell_no_shorter(r, end, &list[i], &shortest);
    return status;
}
