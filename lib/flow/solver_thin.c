/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/solver_thin.c -- valves that have next to no pressure.
 *
 * A thousand valves behind a thin pipe draw a trickle each, at a pressure that
 * is what rounding leaves of all that the pipe takes; their flow is as far
 * off, and what the pipe takes of it by more than it should be.  A step of
 * Newton's method in what is missed, instead of in the pressures themselves,
 * is not: what is missed is the same for all of them.
 */
#include "flow/solver_work.h"

/* Steps; two are enough where the flows were found. */
#define STEPS 8

static bool
flows(const struct fci_open_valve *valve)
{
    return valve->state == FCI_FLOWS;
}

/* How a node's pressure falls with its flow at its outlet. */
static double
falls(const struct fci_solver *s, size_t i)
{
    return s->nodes[i].holding ? s->asides[i].fall
                               : fci_node_slope(&s->nodes[i]);
}

static void
gather(struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->n_nodes; i++)
        s->sums[i].a = s->sums[i].b = 0;
    for (i = 0; i < s->n_valves; i++) {
        const struct fci_open_valve *valve = &s->valves[i];
        struct fci_sum *sum = &s->sums[valve->node];

        if (!flows(valve))
            continue;
        sum->a += valve->count * valve->drive / valve->slope;
        sum->b += valve->count / valve->slope;
    }
    for (i = s->n_nodes; i-- > 0;) {
        struct fci_node *node = &s->nodes[i];
        const double part = 1 / (1 + s->sums[i].b * falls(s, i));

        node->head_a = part * s->sums[i].a;
        node->head_b = node->holding ? 0 : part * s->sums[i].b;
        if (node->parent == FCI_NONE)
            continue;
        s->sums[node->parent].a += node->head_a;
        s->sums[node->parent].b += node->head_b;
    }
}

static void
step(struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->n_nodes; i++) {
        const struct fci_node *node = &s->nodes[i];
        const double in =
            node->parent == FCI_NONE ? 0 : s->at[node->parent].pressure;
        const double flow = node->head_a + node->head_b * in;

        s->at[i].pressure = (node->holding ? 0 : in) - falls(s, i) * flow;
    }
    for (i = 0; i < s->n_valves; i++) {
        struct fci_open_valve *valve = &s->valves[i];

        if (flows(valve))
            fci_valve_set(valve,
                          valve->flow
                              + (valve->drive + s->at[valve->node].pressure)
                                    / valve->slope);
    }
}

fc_status
fci_flows_thin(struct fci_solver *s)
{
    size_t i;
    int n;

    fci_laws_afresh(s);
    for (n = 0; n < STEPS; n++) {
        fci_sweep_up(s);
        fci_sweep_down(s);
        if (fci_valves_miss(s) <= FCI_CLOSE_ENOUGH)
            break;
        gather(s);
        step(s);
    }
    for (i = 0; i < s->n_nodes; i++)
        s->at[i].pressure = s->at[i].exact;
    fci_sum_flows(s);
    fci_valves_keep(s);
    return n < STEPS ? FC_OK : FC_ENOCONV;
}
