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

/* So many nodes are worked on together: what is done to one of them does not
 * wait for what is done to the one before it, and they stay in the cache. */
#define BLOCK 128

/* ---- From the ends to the source -------------------------------------- */

static void
plain_law(const struct fci_solver *s, struct fci_node *node)
{
    const struct fci_law *law = &node->law;
    const double size = fabs(node->flow);
    double slope = 0;

    if (law->friction > 0 && size > 0)
        slope = law->friction * pow(size, FCI_FRICTION_EXPONENT - 1);
    node->loss =
        law->lift + law->constant + (slope + law->square * size) * node->flow;
    if (s->network->meshed && size < FCI_LEAST_FLOW)
        slope = law->friction * pow(FCI_LEAST_FLOW, FCI_FRICTION_EXPONENT - 1);
    node->slope = FCI_FRICTION_EXPONENT * slope + 2 * law->square * size;
}

static void
special_law(struct fci_solver *s, size_t i)
{
    const struct fci_network *network = s->network;
    struct fci_node *node = &s->nodes[i];
    struct fci_aside *aside = &s->asides[i];
    const size_t element = network->links[aside->link].element;
    const struct fci_tangent at =
        fci_tangent_at(network->site, &network->site->elements[element],
                       fci_side_of(node, node->flow), aside->end);

    node->loss = at.loss;
    node->slope = at.slope;
    aside->cap = at.cap;
    aside->fall = at.fall;
    aside->past = at.past;
}

/* Flows are added up from node `end` - 1 to node `begin`, */
static void
pass_flows(struct fci_solver *s, size_t begin, size_t end)
{
    size_t i;

    for (i = end; i-- > begin;) {
        const struct fci_node *node = &s->nodes[i];

        if (node->parent == FCI_NONE)
            s->total += fabs(s->sums[i].flow);
        else if (!node->shut)
            s->sums[node->parent].flow += s->sums[i].flow;
    }
}

/* and their laws are taken, where the flow is another than before. */
static void
take_laws(struct fci_solver *s, size_t begin, size_t end)
{
    size_t i;

    for (i = begin; i < end; i++) {
        struct fci_node *node = &s->nodes[i];
        const double flow = s->sums[i].flow;

        if (node->special) {
            node->flow = flow;
            special_law(s, i);
        } else if (!fci_same(flow, node->flow)) {
            node->flow = flow;
            plain_law(s, node);
        }
    }
}

/* Seen from the inlet of a node, what is at its outlet.  What does not depend
 * on the pressure passes as it is. */
static void
close_node(const struct fci_solver *s, size_t i, double *a, double *b)
{
    const struct fci_node *node = &s->nodes[i];
    const struct fci_sum sum = s->sums[i];

    *a = sum.a;
    *b = 0;
    if (node->shut) {
        *a = 0;
    } else if (node->holding) {
        *a = (sum.a + sum.b * s->asides[i].cap)
             / (1 + sum.b * s->asides[i].fall);
    } else if (sum.b > 0) {
        const double slope = fci_node_slope(node);
        const double part = 1 / (1 + sum.b * slope);

        *b = part * sum.b;
        *a = part * (sum.a - sum.b * (fci_node_loss(s, i) - slope * sum.flow));
    }
}

static void
close_nodes(struct fci_solver *s, size_t begin, size_t end)
{
    size_t i;

    for (i = end; i-- > begin;) {
        struct fci_node *node = &s->nodes[i];
        double a, b;

        close_node(s, i, &a, &b);
        node->head_a = a;
        node->head_b = b;
        if (node->parent != FCI_NONE && !node->shut) {
            s->sums[node->parent].a += a;
            s->sums[node->parent].b += b;
        }
    }
}

/* What is drawn steadily at each node. */
static void
draw_at_nodes(struct fci_solver *s)
{
    const struct fci_network *network = s->network;
    size_t i;

    for (i = 0; i < s->n_nodes; i++)
        s->sums[i] = (struct fci_sum){ 0, 0, 0 };
    for (i = 0; i < network->n_drawing; i++) {
        const size_t link = network->drawing[i];

        s->sums[s->slot[link]].flow = network->draws[s->end][link];
        s->sums[s->slot[link]].a = network->draws[s->end][link];
    }
}

void
fci_sweep_up(struct fci_solver *s)
{
    size_t begin, end;

    draw_at_nodes(s);
    fci_valves_gather(s);
    if (s->network->meshed)
        fci_mesh_gather(s);
    s->total = 0;
    for (end = s->n_nodes; end > 0; end = begin) {
        begin = end > BLOCK ? end - BLOCK : 0;
        pass_flows(s, begin, end);
        take_laws(s, begin, end);
        close_nodes(s, begin, end);
    }
}

/* ---- From the source to the ends -------------------------------------- */

/* Of a special one, at its flow. */
static struct fci_tangent
tangent_of(const struct fci_solver *s, size_t i)
{
    const struct fci_node *node = &s->nodes[i];
    const struct fci_aside *aside = &s->asides[i];

    return (struct fci_tangent){ node->loss, node->slope, aside->cap,
                                 aside->fall, aside->past };
}

/* What a node has at its outlet with so much at its inlet. */
static struct fci_outlet_pressure
pass_node(struct fci_solver *s, size_t i, struct fci_outlet_pressure in)
{
    const struct fci_node *node = &s->nodes[i];
    const double next_flow = node->head_a + node->head_b * in.pressure;
    struct fci_outlet_pressure out;
    struct fci_tangent at;

    out.pressure = in.pressure - fci_node_loss(s, i)
                   - fci_node_slope(node) * (next_flow - node->flow);
    out.exact = in.exact - node->loss;
    if (!node->special)
        return out;
    s->asides[i].next_flow = next_flow;
    at = tangent_of(s, i);
    if (node->holding)
        out.pressure = at.cap - at.fall * next_flow;
    out.exact = fci_tangent_out(&at, in.exact, node->flow);
    return out;
}

double
fci_node_leaves(struct fci_solver *s, size_t i, double flow, double in)
{
    struct fci_tangent at;

    s->nodes[i].flow = flow;
    special_law(s, i);
    at = tangent_of(s, i);
    return fci_tangent_out(&at, in, flow);
}

bool
fci_reducer_holds(const struct fci_solver *s, size_t i, double in)
{
    const struct fci_tangent at = tangent_of(s, i);

    return at.cap - at.fall * s->nodes[i].flow < in - at.loss;
}

void
fci_sweep_down(struct fci_solver *s)
{
    const struct fci_outlet_pressure source = { 0, 0 };
    size_t i;

    for (i = 0; i < s->n_nodes; i++) {
        const struct fci_node *node = &s->nodes[i];

        if (s->split && node->special && s->asides[i].pair > 0
            && fci_split_pair(s, i))
            continue;
        if (node->shut) { /* its pressure is an unknown of the mesh */
            s->asides[i].next_flow = 0;
            s->at[i].exact = s->at[i].pressure;
        } else {
            s->at[i] = pass_node(
                s, i, node->parent == FCI_NONE ? source : s->at[node->parent]);
        }
    }
}

static bool
turn_reducer(struct fci_solver *s, size_t i, double in)
{
    struct fci_node *node = &s->nodes[i];
    const struct fci_tangent at = tangent_of(s, i);
    const double next_flow = s->asides[i].next_flow;
    const double held = at.cap - at.fall * next_flow;
    const double wide_open =
        in - at.loss - at.slope * (next_flow - node->flow);
    const double past = in - at.past;
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
        const struct fci_node *node = &s->nodes[i];

        if (node->special && !isinf(s->asides[i].cap))
            changed |= turn_reducer(
                s, i,
                node->parent == FCI_NONE ? 0 : s->at[node->parent].pressure);
    }
    return changed;
}

void
fci_laws_afresh(struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->n_nodes; i++)
        s->nodes[i].flow = NAN;
}

void
fci_sum_flows(struct fci_solver *s)
{
    size_t i;

    draw_at_nodes(s);
    for (i = 0; i < s->n_valves; i++)
        s->sums[s->valves[i].node].flow +=
            s->valves[i].count * s->valves[i].flow;
    if (s->network->meshed)
        fci_mesh_gather(s);
    for (i = s->n_nodes; i-- > 0;) {
        struct fci_node *node = &s->nodes[i];

        node->flow = s->sums[i].flow;
        if (node->parent != FCI_NONE && !node->shut)
            s->sums[node->parent].flow += node->flow;
    }
}
