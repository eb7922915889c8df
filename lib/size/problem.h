/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/size/problem.h -- a site as figures to choose sizes from.
 *
 * At peak every element carries a flow that does not depend on sizes, so that
 * what each pipe takes at each of its material's sizes is known beforehand.
 * All inputs are at their worst ends.
 */
#ifndef FCI_SIZE_PROBLEM_H
#define FCI_SIZE_PROBLEM_H

#include "peak/demand.h"
#include "size/cost.h"
#include "least_cost/least_cost.h"

/* What may be chosen. */
struct fci_size_aims {
    bool replace;   /* any pipe in place may get a larger size, at its cost,
                         in the state to be only; otherwise only pipes whose
                         size is to be chosen, for both states */
    double in_hand; /* more pressure than required [Pa] */
    const bool *marked; /* by fixture: it has that; borrowed; NULL: all have */
    const double *slack[FC_STATES]; /* in each of the sizing's states no more
                                       in hand than so much, by fixture;
                                       borrowed; NULL: no such limit */
    bool uncapped; /* pipes may be larger than those that feed them */
    /* With `replace`: of it too may be put in what replaces a rougher pipe;
     * NULL: each stays of its material. */
    const struct fci_material *other;
};

/* Nodes go with the elements in the site's order. */
struct fci_size_problem {
    struct fci_arena arena;
    const fc_site *site;
    struct fci_size_aims aims;
    struct fci_sizing sizing;
    struct fci_sizing_node *nodes;
    struct fci_sizing_choice *choices;
    const struct fci_size **sizes; /* beside the choices; NULL: as in place */
    size_t *place;                 /* of each element among the nodes */
    size_t *first;                 /* of each node among the choices */
    double *least_size;            /* by node: the least supply of what it
                                      feeds [m]; 0: none */
    struct fci_demand *demand[FC_STATES]; /* of a state that counts */
    fc_state states[FC_STATES];           /* that the sizing's are */
    struct fci_costs costs;
    fc_diagnostics *messages;
};

/* FC_OK; FC_EUNSUPPORTED and FC_EINPUT, said; FC_ENOMEM.  Freed on any outcome
 * by fci_size_problem_free().  Moving it is not allowed. */
fc_status fci_size_problem_make(struct fci_size_problem *problem,
                                const fc_site *site,
                                const struct fci_size_aims *aims,
                                fc_diagnostics *messages);
void fci_size_problem_free(struct fci_size_problem *problem);

/* The element of a node. */
static inline size_t
fci_node_element(const struct fci_size_problem *problem, size_t node)
{
    return problem->site->order[node];
}

/* Whether a pipe has its size to be chosen, by the aims. */
bool fci_is_to_choose(const struct fci_size_problem *problem,
                      const struct fci_element *element);

/* What a fixture needs at the outlet of the element that it hangs on, in one
 * of the sizing's states [Pa]. */
double fci_fixture_need(const struct fci_size_problem *problem, size_t fixture,
                        int s);

/* What is wrong with a size of a pipe, whatever the pressure. */
enum fci_size_bar {
    FCI_SIZE_FITS,
    FCI_SIZE_TOO_FAST,  /* over the velocity limit */
    FCI_SIZE_TOO_SMALL, /* under the least supply of a fixture on it */
    FCI_SIZE_NOT_SOLD   /* not stocked, or without a price beside others */
};
/* Of one of its own material's. */
enum fci_size_bar fci_size_bar(const struct fci_size_problem *problem,
                               size_t node, const struct fci_size *size);

/* Of the states that count, the one in which most flows in an element. */
fc_state fci_busier_state(const struct fci_size_problem *problem,
                          size_t element);

#endif
