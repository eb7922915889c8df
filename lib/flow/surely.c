/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/surely.c -- how many valves may surely be open at once, without
 * solving for it.
 *
 * The way is followed as in flow/busy_sure.c, for every number of others that
 * join so far.  Of the sets of so many some ask for more pressure, some bring
 * more flow: those near the fixture draw through more of the way, those far
 * below it at a higher pressure.  Of each number the pairs are kept that no
 * other exceeds in both; where there are too many, two that are near to each
 * other become one that exceeds both.
 */
#include "flow/surely.h"

#include <string.h>

#define MOST_PAIRS 8

/* By pressure, the most first; so by flow, the least first. */
struct pairs {
    size_t n, most;
    double pressure[MOST_PAIRS + 1], flow[MOST_PAIRS + 1];
};

struct asked {
    struct pairs of[FCI_COUNTED + 1]; /* by others */
    size_t n;                         /* so many of them at most */
};

static void
remove_pair(struct pairs *p, size_t i)
{
    p->n--;
    memmove(&p->pressure[i], &p->pressure[i + 1],
            (p->n - i) * sizeof *p->pressure);
    memmove(&p->flow[i], &p->flow[i + 1], (p->n - i) * sizeof *p->flow);
}

/* The two that are nearest to each other as one. */
static void
join_pairs(struct pairs *p)
{
    const double pressures = p->pressure[0] - p->pressure[p->n - 1];
    const double flows = p->flow[p->n - 1] - p->flow[0];
    double least = INFINITY;
    size_t i, at = 0;

    for (i = 0; i + 1 < p->n; i++) {
        const double apart =
            fmax((p->pressure[i] - p->pressure[i + 1]) / pressures,
                 (p->flow[i + 1] - p->flow[i]) / flows);

        if (apart < least) {
            least = apart;
            at = i;
        }
    }
    p->flow[at] = p->flow[at + 1];
    remove_pair(p, at + 1);
}

static void
put(struct pairs *p, double pressure, double flow)
{
    size_t i = 0;

    while (i < p->n && p->pressure[i] >= pressure)
        i++;
    if (i > 0 && p->flow[i - 1] >= flow)
        return;
    while (i < p->n && p->flow[i] <= flow)
        remove_pair(p, i);
    memmove(&p->pressure[i + 1], &p->pressure[i],
            (p->n - i) * sizeof *p->pressure);
    memmove(&p->flow[i + 1], &p->flow[i], (p->n - i) * sizeof *p->flow);
    p->pressure[i] = pressure;
    p->flow[i] = flow;
    if (++p->n > p->most)
        join_pairs(p);
}

/* ---- Along the way ----------------------------------------------------- */

static void
join_batch(struct asked *a, const struct fci_batch *batch)
{
    size_t k, j, i;

    for (k = a->n; k > 0; k--)
        for (j = 1; j <= k && j <= batch->n; j++) {
            const struct pairs *with = &a->of[k - j];

            for (i = 0; i < with->n; i++)
                put(&a->of[k], with->pressure[i],
                    with->flow[i]
                        + fci_batch_flow(batch, with->pressure[i], j));
        }
}

/* From the end of a link to its inlet. */
static void
pass(const struct fci_rest *rest, struct asked *a, size_t link, double draws)
{
    size_t k, i;

    for (k = 0; k <= a->n; k++) {
        const struct pairs before = a->of[k];

        a->of[k].n = 0;
        for (i = 0; i < before.n; i++)
            put(&a->of[k],
                fci_rest_asks(rest, link, before.pressure[i],
                              before.flow[i] + draws),
                before.flow[i] + draws);
    }
}

/* The source's inlet has nothing, and no link asks for less. */
int
fci_surely_at_once(const struct fci_rest *rest, size_t fixture, double least,
                   int most, bool closely)
{
    const struct fci_network *network = rest->network;
    size_t link = network->outlets[fixture].link, from = FCI_NONE, k, i;
    struct fci_behind joins;
    struct asked a = { .n = 0 };
    double draws, pressure, flow;

    if (most > 0)
        a.n = most - 1 < FCI_COUNTED ? (size_t)most - 1 : FCI_COUNTED;
    for (k = 0; k <= a.n; k++)
        a.of[k].most = closely ? MOST_PAIRS : 1;
    pressure = fci_rest_own(rest, fixture, least, &flow);
    put(&a.of[0], pressure, flow);
    for (; link != FCI_NONE; link = network->links[link].parent) {
        draws = fci_rest_joins(rest, link, from, fixture, &joins);
        for (i = 0; i < joins.n_batches; i++)
            join_batch(&a, &joins.batches[i]);
        pass(rest, &a, link, draws);
        from = link;
    }
    for (k = 0; k <= a.n && (a.of[k].n == 0 || a.of[k].pressure[0] <= 0); k++)
        ;
    return (int)k;
}
