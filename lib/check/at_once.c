/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/at_once.c -- how many valves may flush at once, whichever they
 * are.
 *
 * The ladders tell it of the valves' own minimums.  What else a flush event is
 * judged by (check/holds.h) is asked of the least that so many leave: of fewer
 * where it may not hold.
 */
#include "check/events_work.h"
#include "check/holds.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>

struct asking {
    const struct fci_network *network;
    struct fci_ladder *ladder;
    const struct fci_event_view *views; /* NULL: not known */
    struct fci_arena *scratch;
    struct fci_left least;
    fc_range *outlets, *kept, *inlets;
    struct fci_limited limited; /* what did not hold last */
    fc_status status;
};

/* ---- By the ladders ----------------------------------------------------- */

static int
lesser(int a, int b)
{
    return a < b ? a : b;
}

static void
take_ladders(const struct fci_running_events *r, fc_at_once *n)
{
    size_t i;

    *n = (fc_at_once){ .most = INT_MAX,
                       .low = INT_MAX,
                       .high = INT_MAX,
                       .could_low = INT_MAX,
                       .at = SIZE_MAX };
    for (i = 0; i < r->site->n_fixtures; i++) {
        const fc_ladder *ladder = &r->events->views[i].ladder;

        if (fci_flushes(r, i)) /* which a ladder of any other counts too */
            n->valves += r->site->fixtures[i].count;
        if (!ladder->given)
            continue;
        n->given = true;
        n->most = lesser(n->most, ladder->most);
        if (ladder->low < n->low
            || (ladder->low == n->low && i == r->events->starved))
            n->at = i;
        n->low = lesser(n->low, ladder->low);
        n->high = lesser(n->high, ladder->high);
        n->could_low = lesser(n->could_low, ladder->could_low);
    }
    if (n->low >= n->valves)
        n->at = SIZE_MAX;
}

/* ---- The tank ----------------------------------------------------------- */

static const fc_valve *
valve_of(const struct asking *a, size_t fixture)
{
    const struct fci_network *network = a->network;

    return network->outlets[fixture].flushes
               ? network->site->fixtures[fixture].valve[network->state]
               : NULL;
}

static int
largest_first(const void *a, const void *b)
{
    const double x = ((const double *)a)[0], y = ((const double *)b)[0];

    return (x < y) - (x > y);
}

/* Of the n largest flushes; NAN where one is not known. */
static double
largest_volume(struct asking *a, size_t n)
{
    const fc_site *site = a->network->site;
    double(*volumes)[2] =
        fci_arena_array(a->scratch, site->n_fixtures + 1, sizeof *volumes);
    double sum = 0, left = (double)n;
    size_t i, k = 0;

    if (!volumes)
        return NAN;
    for (i = 0; i < site->n_fixtures; i++)
        if (valve_of(a, i)) {
            volumes[k][0] = fci_tank_full_flush(valve_of(a, i), FCI_WORST);
            volumes[k++][1] = site->fixtures[i].count;
            if (isnan(volumes[k - 1][0]))
                return NAN;
        }
    qsort(volumes, k, sizeof *volumes, largest_first);
    for (i = 0; i < k && left > 0; i++) {
        sum += fmin(left, volumes[i][1]) * volumes[i][0];
        left -= volumes[i][1];
    }
    return sum;
}

/* One alone is asked for the code's least too, as by a gauge. */
static fc_range
needed_by(const struct asking *a, size_t fixture, size_t n)
{
    const struct fci_requirement need = fci_requirement_of(
        a->network->site, &a->network->site->fixtures[fixture],
        a->network->state);

    return n == 1 ? need.least : need.valve;
}

static struct fci_tank_flushes
flushes_of(struct asking *a, size_t n)
{
    struct fci_tank_flushes f = { largest_volume(a, n), INFINITY, 0,
                                  INFINITY };
    size_t i;

    for (i = 0; i < a->network->site->n_fixtures; i++) {
        const fc_valve *valve = valve_of(a, i);
        const fc_range need = needed_by(a, i, n);

        if (!valve)
            continue;
        f.quickest = fmin(
            f.quickest,
            a->views ? fci_quickest_flush(valve, a->views[i].alone.high) : 0);
        if (!need.given)
            continue; /* nothing is told of it */
        f.longest = fmax(f.longest, fci_longest_flush(valve, need.high));
        f.spare = fmin(f.spare, a->least.inlets[i] - need.high);
    }
    return f;
}

/* ---- So many ------------------------------------------------------------ */

static void
take_left(struct asking *a)
{
    const fc_site *site = a->network->site;
    const double *least = a->least.outlets;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_element *element = &site->elements[i];

        a->outlets[i] = fc_exactly(least[i]);
        a->kept[i] = fc_exactly(fci_kept_at(
            site, element, least[i],
            element->parent == FCI_NONE ? 0 : least[element->parent],
            FCI_WORST));
    }
    for (i = 0; i < site->n_fixtures; i++)
        a->inlets[i] = fc_exactly(a->least.inlets[i]);
}

static bool
holds_with(struct asking *a, size_t n, bool finely)
{
    struct fci_event_left left = { .site = a->network->site,
                                   .enough = FC_WORKS,
                                   .outlets = a->outlets,
                                   .kept = a->kept,
                                   .inlets = a->inlets };

    a->status = fci_ladder_left(a->ladder, n, finely, &a->least);
    if (a->status != FC_OK)
        return false;
    take_left(a);
    if (fci_tank_ends(a->network->site))
        left.flushes = flushes_of(a, n);
    return fci_event_holds(&left, &a->limited) == FC_WORKS;
}

/* The most up to n that surely hold; 0: not even one. */
static size_t
most_that_hold(struct asking *a, size_t n)
{
    size_t low = 0;
    struct fci_limited limited;

    a->limited = (struct fci_limited){ FC_NO_LIMIT, FCI_NONE };
    if (n == 0 || holds_with(a, n, false) || a->status != FC_OK
        || holds_with(a, n, true) || a->status != FC_OK)
        return n;
    limited = a->limited;
    while (n - low > 1) {
        const size_t middle = low + (n - low) / 2;

        if (holds_with(a, middle, true)) {
            low = middle;
        } else {
            n = middle;
            limited = a->limited;
        }
        if (a->status != FC_OK)
            return low;
    }
    a->limited = limited;
    return low;
}

/* ---- The whole ---------------------------------------------------------- */

static bool
make_room(struct asking *a)
{
    const fc_site *site = a->network->site;

    a->outlets =
        fci_arena_array(a->scratch, site->n_elements + 1, sizeof *a->outlets);
    a->kept =
        fci_arena_array(a->scratch, site->n_elements + 1, sizeof *a->kept);
    a->inlets =
        fci_arena_array(a->scratch, site->n_fixtures + 1, sizeof *a->inlets);
    return fci_left_room(&a->least, site, a->scratch) && a->outlets && a->kept
           && a->inlets;
}

fc_status
fci_most_that_hold(const struct fci_network *network,
                   struct fci_ladder *ladder,
                   const struct fci_event_view *views,
                   struct fci_arena *scratch, int *n,
                   struct fci_limited *limited)
{
    struct asking a = { .network = network,
                        .ladder = ladder,
                        .views = views,
                        .scratch = scratch,
                        .status = FC_OK };

    if (!make_room(&a))
        return FC_ENOMEM;
    *n = (int)most_that_hold(&a, (size_t)*n);
    *limited = a.limited;
    return scratch->failed ? FC_ENOMEM : a.status;
}

void
fci_at_once_limit(fc_at_once *n, int sure, fc_at_once_limit limit,
                  const char *at)
{
    if (!n->given || sure >= n->low)
        return;
    n->low = sure;
    n->most = lesser(n->most, sure);
    n->could_low = sure;
    n->limit = limit;
    n->limit_at = at;
    n->at = SIZE_MAX;
}

/* One that has less than its code's least alone; what surely has is told. */
static void
limit_alone(const struct fci_running_events *r, fc_at_once *n)
{
    fc_verdict worst = FC_WORKS;
    size_t i, at = 0;

    for (i = 0; i < r->site->n_fixtures && n->low == 1; i++) {
        const struct fci_event_view *view = &r->events->views[i];

        if (!view->ladder.given || fci_worse_of(worst, view->enough) == worst)
            continue;
        worst = view->enough;
        at = i;
    }
    if (worst != FC_WORKS)
        fci_at_once_limit(n, 0,
                          worst == FC_WILL_NOT_WORK ? FC_LIMIT_ALONE
                                                    : FC_LIMIT_MAYBE_ALONE,
                          r->site->fixtures[at].given->name);
}

fc_status
fci_find_at_once(struct fci_running_events *r)
{
    fc_at_once *n = &r->events->at_once;
    struct fci_limited limited;
    fc_status status;
    int sure;

    take_ladders(r, n);
    if (!n->given)
        return FC_OK;
    if (!r->ladder)
        r->ladder = fci_ladder_new(r->network, r->solver);
    if (!r->ladder)
        return FC_ENOMEM;
    sure = n->low;
    status = fci_most_that_hold(r->network, r->ladder, r->events->views,
                                &r->scratch, &sure, &limited);
    if (status != FC_OK)
        return fci_solver_fail(r->solver, status, r->messages);
    if (limited.by != FC_NO_LIMIT)
        fci_at_once_limit(n, sure, limited.by,
                          limited.by == FC_LIMIT_BACKFLOW_FIXTURE
                              ? r->site->fixtures[limited.at].given->name
                              : r->site->elements[limited.at].name);
    limit_alone(r, n);
    return FC_OK;
}
