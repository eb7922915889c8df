/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/least_cost/thin.c -- frontiers that have grown too long.
 *
 * Candidates that cost nearly the same make a group, which either keeps one of
 * its own, so that whatever is chosen can be had, or becomes one candidate
 * better than any of them, so that nothing can be had for less than is found.
 */
#include "least_cost/frontier.h"

#include <math.h>
#include <stdlib.h>

/* The greatest less the least cost. */
static double
cost_range(const struct fci_frontier *f)
{
    double least = INFINITY, greatest = 0;
    size_t i;

    for (i = 0; i < f->n; i++) {
        least = fmin(least, f->candidates[i].cost);
        greatest = fmax(greatest, f->candidates[i].cost);
    }
    return greatest - least;
}

/* ---- One state --------------------------------------------------------- */

/* A group's first candidate needs the least of it and costs the most, its last
 * the other way round.  To keep the first is to pay at most a step too much */
static void
thin_line(struct fci_frontier *f, size_t limit, bool optimistic)
{
    const double band = cost_range(f) / (double)(limit - 2);
    size_t i, n = 0;

    for (i = 0; i < f->n;) {
        struct fci_candidate group = f->candidates[i];
        const double until = group.cost - band;

        for (; i < f->n && f->candidates[i].cost >= until; i++)
            if (optimistic)
                group.cost = f->candidates[i].cost;
        f->candidates[n++] = group;
    }
    f->n = n;
}

/* ---- Two states -------------------------------------------------------- */

static int
falling_cost(const void *a, const void *b)
{
    const struct fci_candidate *x = a, *y = b;

    return (x->cost < y->cost) - (x->cost > y->cost);
}

static int
ascending_need(const void *a, const void *b)
{
    const struct fci_candidate *x = a, *y = b;
    int s;

    for (s = 0; s < FC_STATES; s++)
        if (x->need[s] != y->need[s])
            return x->need[s] < y->need[s] ? -1 : 1;
    return (x->cost > y->cost) - (x->cost < y->cost);
}

/* n candidates of nearly one cost as one; the cheapest stands for them all. */
static struct fci_candidate
as_one(const struct fci_candidate *candidates, size_t n, bool optimistic)
{
    struct fci_candidate one = candidates[0];
    size_t i;
    int s;

    for (i = 1; i < n; i++) {
        if (!optimistic && candidates[i].cost < one.cost)
            one = candidates[i];
        if (!optimistic)
            continue;
        one.cost = fmin(one.cost, candidates[i].cost);
        for (s = 0; s < FC_STATES; s++)
            one.need[s] = fmin(one.need[s], candidates[i].need[s]);
    }
    return one;
}

/* Bands of cost, and in each band runs of `run` candidates by their first
 * need. Returns how many become of them, in the place of the first of them. */
static size_t
group(struct fci_frontier *f, size_t bands, size_t run, bool optimistic)
{
    const double band = cost_range(f) / (double)bands;
    size_t i = 0, j, n = 0;

    qsort(f->candidates, f->n, sizeof *f->candidates, falling_cost);
    while (i < f->n) {
        const double until = f->candidates[i].cost - band;

        for (j = i; j < f->n && f->candidates[j].cost >= until; j++)
            ;
        qsort(f->candidates + i, j - i, sizeof *f->candidates, ascending_need);
        for (; i < j; i += run < j - i ? run : j - i)
            f->candidates[n++] = as_one(f->candidates + i,
                                        run < j - i ? run : j - i, optimistic);
    }
    return n;
}

/* The candidate of the least need in one state; of several the least in the
 * other. */
static struct fci_candidate
of_least_need(const struct fci_frontier *f, int s)
{
    struct fci_candidate least = f->candidates[0];
    size_t i;

    for (i = 1; i < f->n; i++) {
        const struct fci_candidate *x = &f->candidates[i];

        if (x->need[s] < least.need[s]
            || (x->need[s] == least.need[s] && x->need[!s] < least.need[!s]))
            least = *x;
    }
    return least;
}

static bool
filter(struct fci_frontier_work *work, struct fci_frontier *f,
       struct fci_frontier *spare)
{
    const struct fci_frontier thinned = *f;
    size_t i;

    qsort(f->candidates, f->n, sizeof *f->candidates, ascending_need);
    fci_filter_begin(work, spare);
    for (i = 0; i < f->n; i++)
        if (!fci_filter_take(work, spare, &f->candidates[i]))
            return false;
    fci_filter_end(spare);
    *f = *spare;
    *spare = thinned;
    return true;
}

/* About as many bands as runs in a band; two places are for the least needs.
 */
static bool
thin_surface(struct fci_frontier_work *work, struct fci_frontier *f,
             size_t limit, bool optimistic, struct fci_frontier *spare)
{
    const size_t groups = (limit - 2) / 2 > 0 ? (limit - 2) / 2 : 1;
    const size_t bands = (size_t)fmax(1, floor(sqrt((double)groups)));
    const struct fci_candidate least[] = { of_least_need(f, 0),
                                           of_least_need(f, 1) };
    const size_t run = (f->n + groups - 1) / groups;

    f->n = group(f, bands, run, optimistic);
    if (!fci_frontier_reserve(f, f->n + 2))
        return false;
    f->candidates[f->n++] = least[0];
    f->candidates[f->n++] = least[1];
    return filter(work, f, spare);
}

bool
fci_frontier_thin(struct fci_frontier_work *work, struct fci_frontier *f,
                  size_t limit, bool optimistic, struct fci_frontier *spare)
{
    if (work->n_states > 1)
        return thin_surface(work, f, limit, optimistic, spare);
    thin_line(f, limit, optimistic);
    return true;
}
