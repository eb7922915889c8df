/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/solver_pairs.c -- how two reducers side by side share a flow.
 *
 * The more one passes the less it leaves, and the more the other one does: at
 * one share both leave the same, or one passes all.  Their laws have corners
 * and are flat between them, so that tangents may lead far away.  Where the
 * flow through both and the pressure before them are at hand the share is
 * therefore bracketed, not stepped to.
 */
#include "flow/solver_work.h"
#include "laws/friction.h"

/* Halvings down to what a double tells apart. */
#define HALVINGS 64

struct pair {
    struct fci_solver *solver;
    const struct fci_loop *loop;
    size_t through, beside; /* nodes: of the one in the tree, of the second */
    double in, flow;
};

/* By how much the second one would leave more than the other, behind the join,
 * if it passed so much. */
static double
left_over(const struct pair *pair, double flow)
{
    return fci_node_leaves(pair->solver, pair->beside, flow, pair->in)
           - pair->loop->lift - fci_friction_loss(pair->loop->friction, flow)
           - fci_node_leaves(pair->solver, pair->through, pair->flow - flow,
                             pair->in);
}

static double
share_of(const struct pair *pair)
{
    double low = 0, high = pair->flow;
    int i;

    for (i = 0; i < HALVINGS; i++) {
        const double middle = low + (high - low) / 2;

        if (left_over(pair, middle) > 0)
            low = middle;
        else
            high = middle;
    }
    return low + (high - low) / 2;
}

static void
put(const struct pair *pair, size_t i, double flow, bool shut)
{
    struct fci_solver *s = pair->solver;

    s->at[i].exact = fci_node_leaves(s, i, flow, pair->in);
    s->nodes[i].shut = shut;
    s->nodes[i].standing = false;
    s->nodes[i].holding = fci_reducer_holds(s, i, pair->in);
}

/* What is shut has the pressure of the other one behind it. */
static void
split(const struct pair *pair, double *flow)
{
    struct fci_solver *s = pair->solver;
    const bool none = !(left_over(pair, 0) > 0);
    const bool all = !none && !(left_over(pair, pair->flow) < 0);

    *flow = none ? 0 : all ? pair->flow : share_of(pair);
    put(pair, pair->beside, *flow, none);
    put(pair, pair->through, pair->flow - *flow, all);
    if (none)
        s->at[pair->beside].exact = s->at[pair->through].exact;
    if (all)
        s->at[pair->through].exact =
            s->at[pair->beside].exact - pair->loop->lift
            - fci_friction_loss(pair->loop->friction, *flow);
    s->at[pair->beside].pressure = s->at[pair->beside].exact;
    s->at[pair->through].pressure = s->at[pair->through].exact;
}

bool
fci_split_pair(struct fci_solver *s, size_t i)
{
    const size_t of = s->asides[i].pair - 1;
    const struct fci_loop *loop = &s->network->loops[of];
    const size_t through = s->slot[loop->to], beside = s->slot[loop->from];
    const size_t parent = s->nodes[i].parent;
    struct pair pair = { s,
                         loop,
                         through,
                         beside,
                         s->at[parent].exact,
                         s->nodes[through].flow + s->nodes[beside].flow };

    if (pair.flow < -FCI_NO_FLOW * fmax(s->total, FCI_LEAST_TOTAL))
        return false; /* check valves see to that */
    pair.flow = fmax(pair.flow, 0);
    if (i == (through < beside ? through : beside))
        split(&pair, &s->mesh.loop_flow[of]);
    return true;
}

void
fci_pairs_open(struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->n_nodes; i++)
        if (s->nodes[i].special && s->asides[i].pair > 0)
            s->nodes[i].shut = false;
}
