/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/sizing_trees.h -- generated trees of pipes, and all there
 * is to choose in them, one after the other. */
#ifndef TESTS_GENERATORS_SIZING_TREES_H
#define TESTS_GENERATORS_SIZING_TREES_H

#include "least_cost/least_cost.h"

#define MOST_SIZES 6
#define MOST_NODES 80

struct sizing_tree {
    struct fci_sizing problem; /* of the arrays below */
    struct fci_sizing_node nodes[MOST_NODES];
    struct fci_sizing_choice choices[MOST_NODES][MOST_SIZES];
};

/* What one choice comes to, by the definition: needs from the leaves to the
 * root.  INFINITY: not allowed, or not to be met. */
struct outcome {
    double need[FC_STATES]; /* each as if there were no other state */
    double cost;
};

struct outcomes {
    struct outcome *all;
    size_t n;
};

/* A repeatable sequence of numbers from 0 to 1, and of whole ones below n. */
double next_share(unsigned long *seed);
size_t next_below(unsigned long *seed, size_t n);

/* At most `pipes` that choose among at most `sizes` each; any shape, kind and
 * oddity, by the seed.  What is available suffices for anything. */
void sizing_tree_make(struct sizing_tree *tree, unsigned long seed,
                      size_t pipes, size_t sizes);

/* False: a size is larger than the one that feeds it. */
bool sizing_tree_weigh(const struct fci_sizing *problem, const size_t *choice,
                       struct outcome *outcome);
/* Every choice whose sizes may be.  The caller frees `all`. */
struct outcomes sizing_tree_try_all(const struct fci_sizing *problem);

/* Whether it is served, in all states that the problem has. */
bool outcome_is_served(const struct fci_sizing *problem,
                       const struct outcome *outcome,
                       const double available[FC_STATES]);
/* INFINITY: none is served. */
double least_cost(const struct fci_sizing *problem,
                  const struct outcomes *outcomes,
                  const double available[FC_STATES]);

#endif
