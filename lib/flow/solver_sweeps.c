/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/solver_sweeps.c -- the two sweeps of an iteration.
 *
 * From the ends to the source, all that is behind a place is replaced by its
 * linearised admittance a + b p, as elimination does on a line; from the
 * source to the ends, pressures and flows follow, and beside them the
 * pressures by the laws themselves, which tell how far off the flows are.
 */
#include "flow/solver_work.h"
#include "laws/friction.h"

#include <math.h>

/* ---- From the ends to the source -------------------------------------- */

static void
plain_law(const struct fci_solver *s, struct fci_node *node)
{
    const struct fci_law *law = &node->law;
    const double size = fabs(node->flow);
    double slope = 0;

    if (law->friction > 0 && size > 0)
        slope = law->friction * pow(size, FCI_FRICTION_EXPONENT - 1);
    node->at.loss =
        law->lift + law->constant + (slope + law->square * size) * node->flow;
    if (s->network->meshed && size < FCI_LEAST_FLOW)
        slope = law->friction * pow(FCI_LEAST_FLOW, FCI_FRICTION_EXPONENT - 1);
    node->at.slope = FCI_FRICTION_EXPONENT * slope + 2 * law->square * size;
    node->at.cap = INFINITY;
    node->at.fall = 0;
    node->at.past = INFINITY;
}

static void
special_law(const struct fci_solver *s, struct fci_node *node)
{
    const struct fci_network *network = s->network;
    const size_t element = network->links[node->link].element;
    const double flow = fci_side_of(node, node->flow);

    node->at = fci_tangent_at(network->site, &network->site->elements[element],
                              flow, node->end);
}

/* Seen from its inlet. */
static void
close_node(struct fci_node *node)
{
    const struct fci_tangent *at = &node->at;
    const double slope = fci_node_slope(node);
    double part;

    if (node->shut) {
        node->head_a = 0;
        node->head_b = 0;
    } else if (node->holding) {
        node->head_a =
            (node->a + node->b * at->cap) / (1 + node->b * at->fall);
        node->head_b = 0;
    } else {
        part = 1 / (1 + node->b * slope);
        node->head_b = part * node->b;
        node->head_a =
            part
            * (node->a - node->b * (fci_node_loss(node) - slope * node->flow));
    }
}

void
fci_sweep_up(struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->n_nodes; i++) {
        s->nodes[i].flow = s->nodes[i].draw;
        s->nodes[i].a = s->nodes[i].draw;
        s->nodes[i].b = 0;
    }
    fci_valves_gather(s);
    if (s->network->meshed)
        fci_mesh_gather(s);
    s->total = 0;
    for (i = s->n_nodes; i-- > 0;) {
        struct fci_node *node = &s->nodes[i];

        if (node->special)
            special_law(s, node);
        else
            plain_law(s, node);
        close_node(node);
        if (node->parent == FCI_NONE) {
            s->total += fabs(node->flow);
        } else if (!node->shut) {
            struct fci_node *before = &s->nodes[node->parent];

            before->flow += node->flow;
            before->a += node->head_a;
            before->b += node->head_b;
        }
    }
}

/* ---- From the source to the ends -------------------------------------- */

/* `in`: of the linearised system; `exact_in`: by the laws themselves. */
static void
pass_node(struct fci_node *node, double in, double exact_in)
{
    const struct fci_tangent *at = &node->at;

    node->next_flow = node->head_a + node->head_b * in;
    node->pressure = in - fci_node_loss(node)
                     - fci_node_slope(node) * (node->next_flow - node->flow);
    node->exact = exact_in - at->loss;
    if (!node->special)
        return;
    if (node->holding)
        node->pressure = at->cap - at->fall * node->next_flow;
    node->exact = fci_tangent_out(at, exact_in, node->flow);
}

void
fci_sweep_down(struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->n_nodes; i++) {
        struct fci_node *node = &s->nodes[i];

        if (node->shut) { /* its pressure is an unknown of the mesh */
            node->next_flow = 0;
            node->exact = node->pressure;
        } else if (node->parent == FCI_NONE) {
            pass_node(node, 0, 0);
        } else {
            const struct fci_node *before = &s->nodes[node->parent];

            pass_node(node, before->pressure, before->exact);
        }
    }
}

static bool
turn_reducer(struct fci_node *node, double in)
{
    const struct fci_tangent *at = &node->at;
    const double held = at->cap - at->fall * node->next_flow;
    const double wide_open =
        in - at->loss - at->slope * (node->next_flow - node->flow);
    const double past = in - at->past;
    const bool holds = held < wide_open && !(past > held);
    const bool stands = past > held && past < wide_open;
    const bool changed = holds != node->holding || stands != node->standing;

    node->holding = holds;
    node->standing = stands;
    return changed;
}

bool
fci_turn_reducers(struct fci_solver *s)
{
    bool changed = false;
    size_t i;

    for (i = 0; i < s->n_nodes; i++) {
        struct fci_node *node = &s->nodes[i];
        const double in =
            node->parent == FCI_NONE ? 0 : s->nodes[node->parent].pressure;

        if (node->special && !isinf(node->at.cap))
            changed |= turn_reducer(node, in);
    }
    return changed;
}

void
fci_sum_flows(struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->n_nodes; i++)
        s->nodes[i].flow = s->nodes[i].draw;
    for (i = 0; i < s->n_valves; i++)
        s->nodes[s->valves[i].node].flow +=
            s->valves[i].count * s->valves[i].flow;
    if (s->network->meshed)
        fci_mesh_gather(s);
    for (i = s->n_nodes; i-- > 0;) {
        const struct fci_node *node = &s->nodes[i];

        if (node->parent != FCI_NONE && !node->shut)
            s->nodes[node->parent].flow += node->flow;
    }
}
