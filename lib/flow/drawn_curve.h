/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/drawn_curve.h -- what is drawn behind a link, by the pressure
 * before it. */
#ifndef FCI_FLOW_DRAWN_CURVE_H
#define FCI_FLOW_DRAWN_CURVE_H

#include "flow/link_law.h"

/* Straight pieces between nodes; none of what is drawn is more than `above`
 * over its piece.  Before the first node and beyond the last it stays. */
struct fci_drawn_curve {
    size_t n;
    double *before, *end; /* pressure before the link, and at its end [Pa] */
    double *flow, *above; /* [m3/s] */
};

/* Pressures at the end of a link that flows are known at [Pa]. */
struct fci_nodes {
    double low, step;
    size_t cells; /* one fewer than there are */
};

/* A curve has no more nodes than so many beside those: where a reducer or a
 * pump begins to hold, and where a pump stands still. */
#define FCI_MORE_NODES 3

static inline double
fci_node(const struct fci_nodes *nodes, size_t i)
{
    return nodes->low + (double)i * nodes->step;
}

/* fmax() without its care for what is no number: it is asked millions of
 * times. */
static inline double
fci_larger(double a, double b)
{
    return a > b ? a : b;
}

/* The flow, or somewhat more.  `near`: the piece of the last one, which is
 * quick where this one is near to it. */
double fci_drawn_at(const struct fci_drawn_curve *c, double pressure,
                    size_t *near);
/* The pressure at the end of the link while that is drawn behind it. */
double fci_drawn_end(const struct fci_drawn_curve *c, double pressure);

/* A link that a curve is made of. */
struct fci_passing {
    const struct fci_network *network;
    size_t link;
    enum fci_end end;
    double *slope; /* room for one of each node */
};

/* From the flow at the end of a link to before it; `c` is empty and has room.
 */
void fci_drawn_pass(struct fci_drawn_curve *c, const struct fci_passing *p,
                    const struct fci_nodes *at_end, const double *flow);

/* What is drawn at nodes, so raised that lines through it are nowhere below;
 * `over` has room for the cells. */
void fci_drawn_by_curve(const struct fci_drawn_curve *c,
                        const struct fci_nodes *to, double *flow,
                        double *over);
void fci_drawn_by_valve(const struct fci_outlet_law *law,
                        const struct fci_nodes *to, double *flow,
                        double *over);

#endif
