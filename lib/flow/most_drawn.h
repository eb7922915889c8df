/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/most_drawn.h -- the most that any so many valves behind a link
 * draw, by the pressure before it.
 *
 * Of a network in which more flow leaves less pressure (flow/behind.h), while
 * one fixture is judged that they are beside.
 */
#ifndef FCI_FLOW_MOST_DRAWN_H
#define FCI_FLOW_MOST_DRAWN_H

#include "flow/drawn_curve.h"
#include "flow/repeats.h"

/* Alike links (flow/repeats.h). */
struct fci_drawn_class {
    size_t link; /* the first of them */
    size_t n;    /* valves behind it, as far as they are counted */
    struct fci_nodes nodes;
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

/* Of so many valves as many are told apart. */
static inline size_t
fci_counted(const struct fci_most_drawn *drawn, size_t valves)
{
    return valves < drawn->counted ? valves : drawn->counted;
}

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

/* Who is told what was chosen. */
struct fci_chooser {
    void (*add)(void *to, size_t fixture, size_t count);
    void *to;
};

/* Some k of those behind a link that draw about that; false: out of memory. */
bool fci_most_chosen(const struct fci_most_drawn *drawn,
                     const struct fci_at_links *at, size_t link, size_t k,
                     double pressure, const struct fci_chooser *chooser);

#endif
