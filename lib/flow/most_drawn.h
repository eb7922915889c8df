/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/most_drawn.h -- the most that any so many valves behind a link
 * draw, by the pressure before it.
 *
 * Of a network in which more flow leaves less pressure (flow/behind.h), while
 * one fixture is judged that they are beside.
 */
#ifndef FCI_FLOW_MOST_DRAWN_H
#define FCI_FLOW_MOST_DRAWN_H

#include "flow/repeats.h"

/* Straight pieces between nodes; none of what is drawn is more than `above`
 * over its piece.  Before the first node and beyond the last it stays. */
struct fci_drawn_curve {
    size_t n;
    double *before, *end; /* pressure before the link, and at its end [Pa] */
    double *flow, *above; /* [m3/s] */
};

/* Alike links (flow/repeats.h). */
struct fci_drawn_class {
    size_t link; /* the first of them */
    size_t n;    /* valves behind it, as far as they are counted */
    double low, step;
    struct fci_drawn_curve *of; /* with up to 0, 1, ... n of them open */
};

struct fci_most_drawn {
    const struct fci_network *network;
    enum fci_end end;
    size_t counted, cells;
    const size_t *class_of; /* of each link; borrowed */
    struct fci_drawn_class *classes;
    size_t n_classes;
    double *top;  /* no end of a link has more, of each */
    double *left; /* at the end of each link at least, with 0, 1, ... counted
                     valves open; not at the best end */
    bool bounds;  /* `left` is told */
};

/* How many numbers of valves are told apart, and how finely. */
struct fci_drawn_plan {
    enum fci_end end;
    size_t counted, cells;
};

/* NULL: out of memory. */
struct fci_most_drawn *fci_most_drawn_new(const struct fci_network *network,
                                          const struct fci_at_links *at,
                                          const struct fci_repeats *repeats,
                                          const struct fci_drawn_plan *plan);
void fci_most_drawn_free(struct fci_most_drawn *drawn);

/* The most that up to k valves behind a link draw, k <= its class's n.
 * `near`: where the last one was found, which is quick where that was of about
 * as many valves. */
double fci_most_behind(const struct fci_most_drawn *drawn, size_t link,
                       size_t k, double pressure, size_t *near);

/* What one valve draws of the pressure before it. */
double fci_one_draws(const struct fci_outlet_law *law, double pressure);

/* Who is told what was chosen. */
struct fci_chooser {
    void (*add)(void *to, size_t fixture, size_t count);
    void *to;
};

/* Some k of those behind a link that draw about that; false: out of memory. */
bool fci_most_chosen(const struct fci_most_drawn *drawn,
                     const struct fci_at_links *at, size_t link, size_t k,
                     double pressure, const struct fci_chooser *chooser);

/* The pressure that a link asks for at its inlet at an end, to leave one at
 * its end; INFINITY: nothing is enough. */
double fci_link_asks(const struct fci_network *network, size_t link,
                     enum fci_end end, double pressure, double flow);

#endif
