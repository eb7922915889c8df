/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/least_cost/frontier.h -- frontiers: needs and costs that nothing
 * undercuts.
 *
 * With one state the needs ascend and the costs fall.  With two, candidates
 * ascend by their first need, and none is matched by another in both needs and
 * cost.
 */
#ifndef FCI_LEAST_COST_FRONTIER_H
#define FCI_LEAST_COST_FRONTIER_H

#include "least_cost/plan.h"

struct fci_candidate {
    double need[FC_STATES];
    double cost;
    uint32_t choice; /* that makes it, of the node whose frontier it is */
};

/* Start from { 0 }. */
struct fci_frontier {
    struct fci_candidate *candidates;
    size_t n, capacity;
};

bool fci_frontier_reserve(struct fci_frontier *f, size_t n);
void fci_frontier_free(struct fci_frontier *f);

/* The second needs and costs, one ascending and the other falling, of what was
 * met so far by ascending first need. */
struct fci_front_point {
    double need, cost;
    size_t candidate; /* its place in the frontier that is made */
};

struct fci_front {
    struct fci_front_point *points;
    size_t n, capacity;
};

/* Room for the work.  Start from n_states and zeros. */
struct fci_frontier_work {
    int n_states;
    struct fci_front made, left, right;
};

void fci_frontier_work_free(struct fci_frontier_work *work);

/* All these return false when out of memory.  `out` is another than what it is
 * made of, and is overwritten. */

/* One of two: those of `a`, and those of `b` with what `choice` needs and
 * costs added.  What needs more than the window's most goes, what needs less
 * than its least is raised to it. */
bool fci_frontier_join(struct fci_frontier_work *work,
                       const struct fci_frontier *a,
                       const struct fci_frontier *b,
                       const struct fci_candidate *choice,
                       const struct fci_window *window,
                       struct fci_frontier *out);
/* Both of two: the greater need, the costs added. */
bool fci_frontier_merge(struct fci_frontier_work *work,
                        const struct fci_frontier *a,
                        const struct fci_frontier *b,
                        struct fci_frontier *out);
/* At most `limit` >= 4 of them.  Some are left out: no candidate is better
 * than it is, and those of the least needs stay; or, `optimistic`, groups of
 * them become one of their least needs and cost. */
bool fci_frontier_thin(struct fci_frontier_work *work, struct fci_frontier *f,
                       size_t limit, bool optimistic,
                       struct fci_frontier *spare);

/* For two states: what is offered by ascending first need, filtered. */
void fci_filter_begin(struct fci_frontier_work *work,
                      struct fci_frontier *out);
bool fci_filter_take(struct fci_frontier_work *work, struct fci_frontier *out,
                     const struct fci_candidate *candidate);
void fci_filter_end(struct fci_frontier *out);

/* Whether one cost is less than another by more than sums of the same costs in
 * another order may differ. */
static inline bool
fci_is_cheaper(double a, double b)
{
    return a < b * (1 - 1e-13);
}

#endif
