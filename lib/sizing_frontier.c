/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/sizing_frontier.c -- frontiers joined and merged. */
#include "sizing_frontier.h"

#include <math.h>
#include <stdlib.h>

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
        return fci_stairs_merge(smithy, a, b, out);
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
