/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/sizing_stairs.c -- frontiers of two states.
 *
 * Offers are met by ascending first need.  Of those met so far, the stairs
 * hold what nothing undercuts in second need and cost; an offer that they
 * undercut is undercut by one that is met before [K75].
 *
 *   [K75]  H. T. Kung, F. Luccio, F. P. Preparata, J. ACM 22 (1975) 469-476
 *          (from memory)
 */
#include "sizing_frontier.h"
#include "memory.h"

#include <math.h>
#include <string.h>

/* How many steps need at most so much. */
static size_t
steps_within(const struct fci_stairs *stairs, double need)
{
    size_t low = 0, high = stairs->n;

    while (low < high) {
        const size_t middle = low + (high - low) / 2;

        if (stairs->steps[middle].need <= need)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* Whether a step of no more need costs no more; *at: where it would go. */
static bool
undercut(const struct fci_stairs *stairs, const struct fci_step *step,
         size_t *at)
{
    *at = steps_within(stairs, step->need);
    return *at > 0 && !fci_is_cheaper(step->cost, stairs->steps[*at - 1].cost);
}

/* A step at its place instead of those that it undercuts, [from, to). */
static bool
place(struct fci_stairs *stairs, const struct fci_step *step, size_t from,
      size_t to)
{
    struct fci_step *const grown = fci_grow(
        stairs->steps, stairs->n, &stairs->capacity, sizeof *stairs->steps);

    if (!grown)
        return false;
    stairs->steps = grown;
    memmove(grown + from + 1, grown + to, (stairs->n - to) * sizeof *grown);
    grown[from] = *step;
    stairs->n = stairs->n + 1 - (to - from);
    return true;
}

/* Where those begin and end that a step at `at` undercuts. */
static void
find_undercut(const struct fci_stairs *stairs, const struct fci_step *step,
              size_t at, size_t *from, size_t *to)
{
    *from = *to = at;
    while (*from > 0 && stairs->steps[*from - 1].need == step->need)
        --*from; /* it is cheaper, or would not be placed */
    while (*to < stairs->n && stairs->steps[*to].cost >= step->cost)
        ++*to;
}

/* ---- The sieve --------------------------------------------------------- */

void
fci_sieve_begin(struct fci_smithy *smithy, struct fci_frontier *out)
{
    smithy->made.n = 0;
    out->n = 0;
}

/* Of one first need, one may come that undercuts others before it: they are
 * struck out by a cost without end. */
bool
fci_sieve_take(struct fci_smithy *smithy, struct fci_frontier *out,
               const struct fci_offer *offer)
{
    const struct fci_step step = { offer->need[1], offer->cost, out->n };
    struct fci_stairs *const stairs = &smithy->made;
    size_t at, from, to, i;

    if (undercut(stairs, &step, &at))
        return true;
    find_undercut(stairs, &step, at, &from, &to);
    for (i = from; i < to; i++) {
        struct fci_offer *other = &out->offers[stairs->steps[i].offer];

        if (other->need[0] == offer->need[0])
            other->cost = INFINITY;
    }
    if (!fci_frontier_reserve(out, out->n + 1)
        || !place(stairs, &step, from, to))
        return false;
    out->offers[out->n++] = *offer;
    return true;
}

void
fci_sieve_end(struct fci_frontier *out)
{
    size_t i, n = 0;

    for (i = 0; i < out->n; i++)
        if (out->offers[i].cost < INFINITY)
            out->offers[n++] = out->offers[i];
    out->n = n;
}

/* ---- Merging ----------------------------------------------------------- */

/* An offer with all of the other side that it may go with: the cheapest that
 * needs no more in the second state, and those beyond, until its own side has
 * something cheaper for as much. */
static bool
pair_up(struct fci_smithy *smithy, const struct fci_offer *offer,
        const struct fci_stairs *others, double until,
        struct fci_frontier *out)
{
    size_t i = steps_within(others, offer->need[1]);

    for (i = i > 0 ? i - 1 : 0; i < others->n; i++) {
        const struct fci_step *other = &others->steps[i];
        const struct fci_offer both = { { offer->need[0],
                                          fmax(offer->need[1], other->need) },
                                        offer->cost + other->cost,
                                        0 };

        if (other->need >= until)
            break;
        if (!fci_sieve_take(smithy, out, &both))
            return false;
    }
    return true;
}

/* The next offer of one side; it goes with what is known of the other. */
static bool
enter(struct fci_smithy *smithy, const struct fci_offer *offer,
      struct fci_stairs *own, const struct fci_stairs *others,
      struct fci_frontier *out)
{
    const struct fci_step step = { offer->need[1], offer->cost, 0 };
    size_t at, from, to;
    double until;

    if (undercut(own, &step, &at))
        return true;
    find_undercut(own, &step, at, &from, &to);
    if (!place(own, &step, from, to))
        return false;
    until = from + 1 < own->n ? own->steps[from + 1].need : INFINITY;
    return pair_up(smithy, offer, others, until, out);
}

bool
fci_stairs_merge(struct fci_smithy *smithy, const struct fci_frontier *a,
                 const struct fci_frontier *b, struct fci_frontier *out)
{
    size_t i = 0, j = 0;
    bool room = true;

    fci_sieve_begin(smithy, out);
    smithy->left.n = smithy->right.n = 0;
    while (room && (i < a->n || j < b->n))
        if (j == b->n
            || (i < a->n && a->offers[i].need[0] <= b->offers[j].need[0]))
            room = enter(smithy, &a->offers[i++], &smithy->left,
                         &smithy->right, out);
        else
            room = enter(smithy, &b->offers[j++], &smithy->right,
                         &smithy->left, out);
    fci_sieve_end(out);
    return room;
}
