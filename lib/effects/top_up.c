/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/top_up.c -- the least water that renews what lags in a tree.
 *
 * What is drawn at a valve passes every pipe on its way.  Pipe i lacks need_i;
 * the valves at and downstream of it must draw that much together, and all of
 * them as little as they can.  From the ends up let
 *
 *     y_i = max(need_i, sum of y over the pipes that go on from i).
 *
 * Less than y_i cannot be drawn downstream of i: not less than need_i, and by
 * induction not less than y of each pipe that goes on, whose valves are not
 * those of another one.  So the sum of y over the pipes at the source is a
 * lower bound; and it is reached, from the ends up: what i lacks beyond what
 * is drawn downstream already is drawn at any valve downstream, which keeps
 * what holds there and adds up to y_i.  (It is the linear program of covering
 * nested sets, whose dual is just that chain of needs.)
 *
 * Of whole flushes of one volume the same is true with needs in flushes,
 * rounded up.  Where valves flush different volumes the whole flushes that are
 * found need not be the least; the least water is a bound to hold them to.
 *
 * Of the valves that would do, the one is taken that has the most of what lags
 * on its way: what is drawn renews that too.
 */
#include "effects/top_up.h"

#include <math.h>
#include <stdint.h>

/* Volumes nearer to each other are the same, as a part of the need. */
#define ROUNDING 1e-9

struct climbing {
    struct fci_top_up *t;
    double *least, *drawn; /* downstream of each pipe, itself among it */
    double *way;           /* what lags on the way to the end of each pipe */
    size_t *far;           /* valve downstream with the most of that */
};

static bool
lags(const struct fci_top_up *t, size_t pipe)
{
    return t->need[pipe] > 0;
}

static void
find_ways(struct climbing *c)
{
    const struct fci_top_up *t = c->t;
    size_t i;

    for (i = 0; i < t->n_pipes; i++) {
        const size_t at = t->order[i], up = t->parent[at];

        c->way[at] = (up == SIZE_MAX ? 0 : c->way[up])
                     + (lags(t, at) ? t->holds[at] : 0);
        c->far[at] = SIZE_MAX;
    }
    for (i = 0; i < t->n_valves; i++)
        if (t->flush[i] > 0 && c->far[t->on[i]] == SIZE_MAX)
            c->far[t->on[i]] = i;
}

/* The far end downstream of a pipe is that of its parent, unless that has a
 * farther one. */
static void
hand_up(const struct climbing *c, size_t at)
{
    const struct fci_top_up *t = c->t;
    const size_t up = t->parent[at], mine = c->far[at];

    if (up == SIZE_MAX)
        return;
    c->least[up] += c->least[at];
    c->drawn[up] += c->drawn[at];
    if (mine != SIZE_MAX
        && (c->far[up] == SIZE_MAX
            || c->way[t->on[mine]] > c->way[t->on[c->far[up]]]))
        c->far[up] = mine;
}

static void
fill(const struct climbing *c, size_t at)
{
    struct fci_top_up *t = c->t;
    const size_t valve = c->far[at];
    const double lack = t->need[at] - c->drawn[at];
    double flushes;

    if (!lags(t, at))
        return;
    if (valve == SIZE_MAX) {
        t->left++;
        return;
    }
    c->least[at] = fmax(c->least[at], t->need[at]);
    if (!(lack > ROUNDING * t->need[at]))
        return;
    flushes = ceil(lack / t->flush[valve] * (1 - ROUNDING));
    t->flushes[valve] += (size_t)flushes;
    c->drawn[at] += flushes * t->flush[valve];
}

static bool
same_volumes(const struct fci_top_up *t)
{
    double first = 0;
    size_t i;

    for (i = 0; i < t->n_valves; i++) {
        if (!(t->flush[i] > 0))
            continue;
        if (first > 0 && fabs(t->flush[i] - first) > ROUNDING * first)
            return false;
        first = t->flush[i];
    }
    return true;
}

bool
fci_top_up_find(struct fci_top_up *t, struct fci_arena *arena)
{
    const size_t n = t->n_pipes;
    struct climbing c = { .t = t };
    size_t i;

    c.least = fci_arena_array(arena, n + 1, sizeof *c.least);
    c.drawn = fci_arena_array(arena, n + 1, sizeof *c.drawn);
    c.way = fci_arena_array(arena, n + 1, sizeof *c.way);
    c.far = fci_arena_array(arena, n + 1, sizeof *c.far);
    t->flushes = fci_arena_array(arena, t->n_valves + 1, sizeof *t->flushes);
    if (arena->failed)
        return false;
    t->least = t->water = 0;
    t->left = 0;
    t->one_volume = same_volumes(t);
    find_ways(&c);
    for (i = n; i-- > 0;) {
        const size_t at = t->order[i];

        fill(&c, at);
        hand_up(&c, at);
        if (t->parent[at] == SIZE_MAX) {
            t->least += c.least[at];
            t->water += c.drawn[at];
        }
    }
    return true;
}
