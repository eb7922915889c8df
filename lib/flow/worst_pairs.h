/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/worst_pairs.h -- what sets of one number ask for, at their worst.
 */
#ifndef FCI_FLOW_WORST_PAIRS_H
#define FCI_FLOW_WORST_PAIRS_H

#include <stddef.h>

struct fci_worst_pair {
    double pressure, flow;
    size_t from, taken; /* of the stage before; so many valves then joined */
};

/* By pressure, the most first; so by flow, the least first. */
struct fci_worst_pairs {
    struct fci_worst_pair *of;
    size_t n;
};

/* Another one, where none exceeds it in both; at most `most` are kept, and
 * there is room for one more. */
void fci_worst_pairs_put(struct fci_worst_pairs *p,
                         const struct fci_worst_pair *pair, size_t most);

#endif
