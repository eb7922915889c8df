/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/least_cost/plan.h -- what is known of a tree before its sizes are
 * sought.
 *
 * A node's frontier depends on the size that may feed it, the cap.  The caps
 * that can come about at a node's outlet are the sizes of the nearest node at
 * or above it that chooses, its owner; the root owns one cap without limit.
 *
 * Of all the needs that a frontier might hold, only those in a window matter:
 * at most what arrives with the least losses upstream, and at least what some
 * other branch needs there whatever is chosen.
 */
#ifndef FCI_LEAST_COST_PLAN_H
#define FCI_LEAST_COST_PLAN_H

#include "ground/memory.h"
#include "least_cost/least_cost.h"

#include <stdint.h>

struct fci_window {
    double least[FC_STATES]; /* a lesser need is as good as this one */
    double most[FC_STATES];  /* a greater need cannot be served */
};

struct fci_plan {
    struct fci_arena arena;
    const struct fci_sizing *problem;
    int n_states; /* those that are computed */
    int states[FC_STATES];

    size_t *first_child; /* n_nodes + 1 places in `children` */
    size_t *children;
    size_t *owner; /* of the caps at the node's outlet */

    size_t *first_choice; /* n_nodes + 1 places in `order` and `cap_of` */
    uint32_t *order;      /* a node's choices: what stays, then by size */
    uint32_t *cap_of;     /* the cap that a choice is, by its own number */
    size_t *first_cap;    /* n_nodes + 1 places in `caps` */
    double *caps;         /* a node's different sizes, ascending */

    size_t *first_window;       /* n_nodes + 1 places in `windows` */
    struct fci_window *windows; /* at a node's outlet, a cap each */
};

/* What is taken from the pressure, in the states of a plan: `take`, or `past`
 * of a need above `most`. */
struct fci_shift {
    double take[FC_STATES], most[FC_STATES], past[FC_STATES];
};

/* The need at the inlet for one at the outlet. */
static inline double
fci_shifted(const struct fci_shift *shift, int s, double need)
{
    return need + (need > shift->most[s] ? shift->past[s] : shift->take[s]);
}

/* FC_OK or FC_ENOMEM; its arena is freed in either case. */
fc_status fci_plan_make(struct fci_plan *plan,
                        const struct fci_sizing *problem, const int *states,
                        int n_states);

/* The caps at a node's outlet. */
size_t fci_plan_caps(const struct fci_plan *plan, size_t node,
                     const double **caps);
struct fci_window *fci_plan_window(const struct fci_plan *plan, size_t node,
                                   size_t cap);
bool fci_plan_chooses(const struct fci_plan *plan, size_t node);
/* Whether a choice may be fed through a size. */
bool fci_plan_fits(const struct fci_sizing_choice *choice, double cap);
/* What a choice of a node, or a node without, takes from the pressure; false:
 * it is not allowed. */
bool fci_plan_shift(const struct fci_plan *plan, size_t node, size_t choice,
                    struct fci_shift *shift);

/* The least need at every outlet, cap by cap, whatever it costs, into
 * `least` of the windows: INFINITY where there is none. */
void fci_plan_least(struct fci_plan *plan);
/* After that, the windows as such. */
fc_status fci_plan_narrow(struct fci_plan *plan);

#endif
