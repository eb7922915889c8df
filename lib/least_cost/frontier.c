/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/least_cost/frontier.c -- frontiers joined and merged. */
#include "least_cost/frontier.h"
#include "ground/memory.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

bool
fci_frontier_reserve(struct fci_frontier *f, size_t n)
{
    size_t capacity = f->capacity ? f->capacity : 16;
    struct fci_offer *moved;

    if (n <= f->capacity)
        return true;
    while (capacity < n && capacity <= SIZE_MAX / 4 / sizeof *moved)
        capacity *= 2;
    if (capacity < n)
        return false;
    moved = realloc(f->offers, capacity * sizeof *moved);
    if (!moved)
        return false;
    f->offers = moved;
    f->capacity = capacity;
    return true;
}

void
fci_frontier_free(struct fci_frontier *f)
{
    free(f->offers);
    f->offers = NULL;
    f->n = f->capacity = 0;
}

void
fci_smithy_free(struct fci_smithy *smithy)
{
    free(smithy->made.steps);
    free(smithy->left.steps);
    free(smithy->right.steps);
}

/* ---- Frontiers of two states -------------------------------------------
 *
 * Offers are met by ascending first need.  Of those met so far, the stairs
 * hold what nothing undercuts in second need and cost; an offer that they
 * undercut is undercut by one that is met before [K75].
 *
 *   [K75]  H. T. Kung, F. Luccio, F. P. Preparata, J. ACM 22 (1975) 469-476
 *          (from memory)
 */

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

static bool
stairs_merge(struct fci_smithy *smithy, const struct fci_frontier *a,
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

/* ---- One state --------------------------------------------------------- */

/* There is room, and needs come ascending. */
static inline void
take(struct fci_frontier *out, const struct fci_offer *offer)
{
    struct fci_offer *last = out->offers + out->n;

    if (out->n > 0) {
        if (!fci_is_cheaper(offer->cost, last[-1].cost))
            return;
        if (last[-1].need[0] == offer->need[0]) {
            last[-1] = *offer;
            return;
        }
    }
    *last = *offer;
    out->n++;
}

/* From one need to the next that either has. */
static void
merge_lines(const struct fci_frontier *a, const struct fci_frontier *b,
            struct fci_frontier *out)
{
    size_t i = 0, j = 0;

    out->n = 0;
    while (i < a->n && j < b->n) {
        const struct fci_offer *x = &a->offers[i], *y = &b->offers[j];
        const double nx = i + 1 < a->n ? x[1].need[0] : INFINITY;
        const double ny = j + 1 < b->n ? y[1].need[0] : INFINITY;
        const double need = fmax(x->need[0], y->need[0]);
        const struct fci_offer both = { { need, need }, x->cost + y->cost, 0 };

        /* At the start one may have reached less than the other needs. */
        if (nx > need && ny > need)
            out->offers[out->n++] = both;
        i += nx <= ny;
        j += ny <= nx;
    }
}

bool
fci_frontier_merge(struct fci_smithy *smithy, const struct fci_frontier *a,
                   const struct fci_frontier *b, struct fci_frontier *out)
{
    if (a->n == 0 || b->n == 0) {
        out->n = 0;
        return true;
    }
    if (!fci_frontier_reserve(out, a->n + b->n))
        return false;
    if (smithy->n_states > 1)
        return stairs_merge(smithy, a, b, out);
    merge_lines(a, b, out);
    return true;
}

/* ---- Joining ----------------------------------------------------------- */

/* Into the window; false: it cannot. */
static inline bool
fit(int n_states, const struct fci_window *window, struct fci_offer *offer)
{
    int s;

    for (s = 0; s < n_states; s++) {
        if (offer->need[s] > window->most[s])
            return false;
        if (offer->need[s] < window->least[s])
            offer->need[s] = window->least[s];
    }
    return true;
}

static inline struct fci_offer
chosen(int n_states, const struct fci_offer *offer,
       const struct fci_offer *choice)
{
    struct fci_offer sum = *offer;
    int s;

    for (s = 0; s < n_states; s++)
        sum.need[s] += choice->need[s];
    sum.cost += choice->cost;
    sum.choice = choice->choice;
    return sum;
}

bool
fci_frontier_join(struct fci_smithy *smithy, const struct fci_frontier *a,
                  const struct fci_frontier *b, const struct fci_offer *choice,
                  const struct fci_window *window, struct fci_frontier *out)
{
    const int n_states = smithy->n_states;
    size_t i = 0, j = 0;

    if (!fci_frontier_reserve(out, a->n + b->n))
        return false;
    fci_sieve_begin(smithy, out);
    while (i < a->n || j < b->n) {
        struct fci_offer next;

        if (j < b->n)
            next = chosen(n_states, &b->offers[j], choice);
        if (j == b->n || (i < a->n && a->offers[i].need[0] <= next.need[0]))
            next = a->offers[i++];
        else
            j++;
        if (!fit(n_states, window, &next))
            continue;
        if (n_states == 1)
            take(out, &next);
        else if (!fci_sieve_take(smithy, out, &next))
            return false;
    }
    if (n_states > 1)
        fci_sieve_end(out);
    return true;
}
