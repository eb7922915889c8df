/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/least_cost/trace_back.h -- a tree searched, and choices followed through
 * it. */
#ifndef FCI_LEAST_COST_TRACE_BACK_H
#define FCI_LEAST_COST_TRACE_BACK_H

#include "least_cost/search.h"

struct fci_place;

/* Start from { 0 }. */
struct fci_pass {
    struct fci_plan plan;
    struct fci_search search;
    struct fci_place *places; /* of all nodes, while a choice is followed */
};

/* FC_OK or FC_ENOMEM; fci_pass_free() in either case. */
fc_status fci_pass_run(struct fci_pass *pass, const struct fci_sizing *problem,
                       const int *states, int n_states,
                       enum fci_search_kind kind);
void fci_pass_free(struct fci_pass *pass);

/* The cheapest choice that is served in the pass's own states.  False: none
 * is.  Not after an optimistic search. */
bool fci_pass_choose(const struct fci_pass *pass,
                     const double available[FC_STATES], size_t *choice,
                     double *cost);
/* The least of all costs; INFINITY: there is none. */
double fci_pass_least_cost(const struct fci_pass *pass);

#endif
