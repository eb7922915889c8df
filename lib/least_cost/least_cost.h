/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/least_cost/least_cost.h -- least-cost sizes of a tree of pipes, from
 * figures alone.
 *
 * A node is a pipe that chooses its size, or anything else that carries water
 * to one outlet.  No size is larger than the one that feeds it.  For each
 * node, and each size that may feed it, all pairs of a pressure needed at its
 * inlet and of a cost are kept that no other pair undercuts, so what is found
 * is the least cost there is, but for the rounding of sums.
 */
#ifndef FCI_LEAST_COST_LEAST_COST_H
#define FCI_LEAST_COST_LEAST_COST_H

#include "flushcalc.h"

struct fci_sizing_choice {
    double nominal;         /* orders the sizes, > 0 [m] */
    bool stays;             /* in place: may be fed through any size */
    double cost;            /* >= 0 */
    double loss[FC_STATES]; /* [Pa]; INFINITY: not allowed */
};

struct fci_sizing_node {
    size_t parent; /* less than its own number; the root has none */
    /* From inlet to outlet, beside what the choice loses; negative: gained;
     * INFINITY: nothing passes [Pa]. */
    double take[FC_STATES];
    double need[FC_STATES]; /* at its outlet at least; -INFINITY: none [Pa] */
    double most[FC_STATES]; /* so much at its outlet at most; INFINITY: no
                               limit [Pa] */
    /* A need above `most` is met by taking `past` >= `take` instead, as by a
     * pump that stands still; INFINITY: it cannot be met.  Of a node that
     * chooses it is INFINITY [Pa]. */
    double past[FC_STATES];
    const struct fci_sizing_choice *choices;
    size_t n_choices; /* 0: it has no size to choose */
};

struct fci_sizing {
    const struct fci_sizing_node *nodes; /* the first is the root, of which
                                            only the outlet counts */
    size_t n_nodes;                      /* > 0 */
    int states; /* 1 or 2; of one, the second figures are not read */
    double available[FC_STATES]; /* at the root's outlet at most [Pa] */
    size_t most_points; /* of a frontier; 0: as memory and time allow */
};

struct fci_sizing_point {
    double need[FC_STATES]; /* at the root's outlet [Pa] */
    double cost;
};

struct fci_sized;

/* FC_OK or FC_ENOMEM.  It borrows the problem until fci_sized_free(). */
fc_status fci_sizing_run(const struct fci_sizing *problem,
                         struct fci_sized **sized);
void fci_sized_free(struct fci_sized *sized);

/* The cheapest choice, by node, that is served by so much at the root's
 * outlet, in no state more than the problem says; 0 where there is nothing to
 * choose.  Where one state asks for more throughout, it is the cheapest only
 * if there is no more available in that one than in the other.  False: none is
 * found.  Not for two threads at a time. */
bool fci_sized_choose(const struct fci_sized *sized,
                      const double available[FC_STATES], size_t *choice,
                      double *cost);
/* Whether with all that is available there is nothing cheaper than what is
 * found, or nothing at all where nothing is.  Otherwise frontiers were
 * thinned. */
bool fci_sized_is_least(const struct fci_sized *sized);
/* What no choice can cost less than, with all that is available: the cost of
 * the one found where that is the least.  INFINITY: there is none. */
double fci_sized_bound(const struct fci_sized *sized);

/* What can be had, by ascending cost; none where the most that is available
 * does not serve.  Where one state asks for more throughout, what it needs
 * stands for the other too. */
const struct fci_sizing_point *fci_sized_points(const struct fci_sized *sized,
                                                size_t *n);
/* Whether frontiers were thinned, so that the points, and what is chosen for
 * less than is available, may cost more than need be. */
bool fci_sized_thinned(const struct fci_sized *sized);
/* The points of the longest frontier, before it was thinned. */
size_t fci_sized_longest(const struct fci_sized *sized);

#endif
