/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/least_cost/search.h -- the frontiers of all nodes, from the leaves to
 * the root. */
#ifndef FCI_LEAST_COST_SEARCH_H
#define FCI_LEAST_COST_SEARCH_H

#include "least_cost/frontier.h"

/* A node's frontiers at its inlet, one for each cap there, side by side. */
struct fci_family {
    size_t *first; /* a cap more than there are */
    double *need[FC_STATES];
    double *cost; /* with one state, only until the parent has taken it up */
    uint32_t *choice;
};

enum fci_search_kind {
    FCI_THOROUGH,
    FCI_HASTY,     /* thinned sooner */
    FCI_OPTIMISTIC /* costs no choice can go below; no families are kept */
};

struct fci_search {
    struct fci_arena arena; /* of its arrays, but not of what grows */
    const struct fci_plan *plan;
    enum fci_search_kind kind;
    struct fci_family *families;
    struct fci_frontier root; /* at its outlet */
    size_t longest;
    bool thinned;

    size_t kept; /* points of all families so far */
    size_t left; /* frontiers still to come */
    struct fci_frontier_work work;
    struct fci_frontier behind;   /* an outlet */
    struct fci_frontier joined;   /* an inlet's, under all caps so far */
    struct fci_frontier gathered; /* the family to be */
    struct fci_frontier spare;
    struct fci_frontier merged[64]; /* of 2^i children, for each i; no more
                                       children can be counted */
    size_t *ends;                   /* of the frontiers in `gathered` */
    struct fci_window *hulls;
};

/* FC_OK or FC_ENOMEM; fci_search_free() in either case. */
fc_status fci_search_run(struct fci_search *search,
                         const struct fci_plan *plan,
                         enum fci_search_kind kind);
/* What the work took, not what it found. */
void fci_search_tidy(struct fci_search *search);
void fci_search_free(struct fci_search *search);

#endif
