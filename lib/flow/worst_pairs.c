/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/worst_pairs.c -- what sets of one number ask for, at their worst.
 *
 * Of the sets of one number some ask for more pressure, some bring more flow:
 * those near the fixture draw through more of the way, those far below it at a
 * higher pressure.  Of each number the pairs are kept that no other exceeds in
 * both, as in a multi-objective shortest path [E05, 9.1]; where they are too
 * many, two that are near to each other become one that exceeds both.
 *
 *   [E05]  M. Ehrgott, Multicriteria Optimization, 2nd ed. (2005)
 *          (from memory)
 */
#include "flow/worst_pairs.h"

#include <math.h>
#include <string.h>

static void
remove_pairs(struct fci_worst_pairs *p, size_t i, size_t n)
{
    p->n -= n;
    memmove(&p->of[i], &p->of[i + n], (p->n - i) * sizeof *p->of);
}

/* The two that are nearest to each other as one. */
static void
join_pairs(struct fci_worst_pairs *p)
{
    const double pressures = p->of[0].pressure - p->of[p->n - 1].pressure;
    const double flows = p->of[p->n - 1].flow - p->of[0].flow;
    double least = INFINITY;
    size_t i, at = 0;

    for (i = 0; i + 1 < p->n; i++) {
        const double apart =
            (p->of[i].pressure - p->of[i + 1].pressure) / pressures
            + (p->of[i + 1].flow - p->of[i].flow) / flows;

        if (apart < least) {
            least = apart;
            at = i;
        }
    }
    p->of[at].flow = p->of[at + 1].flow;
    remove_pairs(p, at + 1, 1);
}

void
fci_worst_pairs_put(struct fci_worst_pairs *p,
                    const struct fci_worst_pair *pair, size_t most)
{
    size_t low = 0, high = p->n, end;

    while (low < high) { /* the first that asks for less */
        const size_t middle = low + (high - low) / 2;

        if (p->of[middle].pressure >= pair->pressure)
            low = middle + 1;
        else
            high = middle;
    }
    if (low > 0 && p->of[low - 1].flow >= pair->flow)
        return;
    for (end = low; end < p->n && p->of[end].flow <= pair->flow; end++)
        ;
    if (end > low) {
        remove_pairs(p, low, end - low - 1);
        p->of[low] = *pair;
        /* those that ask for as much and bring less */
    } else {
        memmove(&p->of[low + 1], &p->of[low], (p->n - low) * sizeof *p->of);
        p->of[low] = *pair;
        p->n++;
    }
    if (low > 0 && p->of[low - 1].pressure <= pair->pressure)
        remove_pairs(p, low - 1, 1);
    if (p->n > most)
        join_pairs(p);
}
