/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_sure.c -- what is sure of weak flushes without a draw.
 *
 * How many valves behind a place are on is a sum of independent outcomes,
 * whose distribution is exact [F68, XI.2: product of generating functions].
 * On the way from a fixture to the source, at each place where more valves
 * join, so many are taken that more of them are on only with a part of half of
 * FC_MOST_WEAK.  With no more than those at any of the places it has at least
 * what fci_least_left() says.  Where that is enough, a flush is weak only
 * while some place has more, which is at most the sum of those parts.
 *
 *   [F68]  W. Feller, An Introduction to Probability Theory and Its
 *          Applications 1, 3rd ed. (1968) (from memory)
 */
#include "flow/busy_sure.h"
#include "flow/least_left.h"
#include "ground/memory.h"

#include <math.h>

#define COUNTS (FCI_TOLD_APART + 1)
#define SURELY_SELDOM (FC_MOST_WEAK / 2)

struct chances {
    const struct fci_busy_plan *plan;
    const struct fci_least_left *left;
    double *on;     /* of each fixture's valve */
    double *counts; /* of each link, of 0, 1, ... valves on behind it */
    size_t *others; /* along a way */
};

/* One more valve. */
static void
add_valve(double *counts, double on)
{
    size_t i;

    for (i = COUNTS; i-- > 0;)
        counts[i] = (1 - on) * counts[i] + (i > 0 ? on * counts[i - 1] : 0);
}

static void
count_all(struct chances *c)
{
    const struct fci_busy_plan *plan = c->plan;
    const struct fci_network *network = plan->network;
    size_t i, k, link;

    for (i = 0; i < network->n_links; i++)
        c->counts[i * COUNTS] = 1;
    for (i = 0; i < plan->n_classes; i++)
        for (k = 0; k < plan->classes[i].n; k++) {
            const size_t fixture = plan->valves[plan->classes[i].first + k];

            c->on[fixture] = plan->classes[i].on;
            for (link = network->outlets[fixture].link; link != FCI_NONE;
                 link = network->links[link].parent)
                add_valve(&c->counts[link * COUNTS], plan->classes[i].on);
        }
}

/* So many others are on, and more of them only by a chance of `rare`.  The
 * division that takes the own valve out is stable while it is on for less than
 * half of the time; else it is left among them. */
static size_t
at_most(const struct chances *c, size_t fixture, size_t link, double rare)
{
    const double *counts = &c->counts[link * COUNTS];
    const double on = c->on[fixture] < 0.5 ? c->on[fixture] : 0;
    const size_t behind = c->left->behind[link] - 1;
    double one = 0, sum = 0;
    size_t k;

    for (k = 0; k < behind && k < COUNTS; k++) {
        one = (counts[k] - on * one) / (1 - on);
        sum += one;
        if (1 - sum <= rare)
            return k;
    }
    return behind;
}

/* Places of the way where others join. */
static size_t
joining(const struct chances *c, size_t fixture)
{
    const struct fci_network *network = c->plan->network;
    size_t link = network->outlets[fixture].link, last = 1, n = 0;

    for (; link != FCI_NONE; link = network->links[link].parent) {
        n += c->left->behind[link] > last;
        last = c->left->behind[link];
    }
    return n;
}

static bool
is_seldom(const struct chances *c, size_t fixture)
{
    const struct fci_busy_plan *plan = c->plan;
    const struct fci_network *network = plan->network;
    const double rare = SURELY_SELDOM / (double)(1 + joining(c, fixture));
    size_t link = network->outlets[fixture].link, last = 1, i = 0;

    for (; link != FCI_NONE; link = network->links[link].parent) {
        c->others[i] = c->left->behind[link] <= last && i > 0
                           ? c->others[i - 1]
                           : at_most(c, fixture, link, rare);
        last = c->left->behind[link];
        i++;
    }
    return fci_least_left(c->left, fixture, c->others)
           >= plan->least[fixture] + FCI_SOLVED_TO;
}

/* Its pressure alone is the most that any of its flushes has. */
static bool
is_always_weak(const struct fci_busy_plan *plan, size_t fixture)
{
    return plan->top[fixture] < plan->least[fixture] - FCI_SOLVED_TO;
}

fc_status
fci_busy_sure(const struct fci_busy_plan *plan, enum fci_often *sure)
{
    const struct fci_network *network = plan->network;
    const size_t n = network->site->n_fixtures;
    struct fci_arena arena = { 0 };
    struct chances c = { .plan = plan };
    const bool known = fci_more_leaves_less(network);
    size_t i;

    c.left = fci_least_left_new(&arena, network, plan->end, plan->flow);
    c.on = fci_arena_array(&arena, n + 1, sizeof *c.on);
    c.counts = fci_arena_array(&arena, (network->n_links + 1) * COUNTS,
                               sizeof *c.counts);
    c.others = fci_arena_array(&arena, network->n_links + 1, sizeof *c.others);
    if (arena.failed) {
        fci_arena_free(&arena);
        return FC_ENOMEM;
    }
    if (known)
        count_all(&c);
    for (i = 0; i < n; i++)
        sure[i] = !isfinite(plan->least[i])  ? FCI_SELDOM
                  : !known || !(c.on[i] > 0) ? FCI_UNCLEAR
                  : is_always_weak(plan, i)  ? FCI_TOO_OFTEN
                  : is_seldom(&c, i)         ? FCI_SELDOM
                                             : FCI_UNCLEAR;
    fci_arena_free(&arena);
    return FC_OK;
}
