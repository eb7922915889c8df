/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/together.h -- how many of some events are going on at once. */
#ifndef FCI_EFFECTS_TOGETHER_H
#define FCI_EFFECTS_TOGETHER_H

#include "ground/memory.h"

/* Events that begin anywhere in a time with the same chance, independently. */
struct fci_events {
    size_t n;
    const double *lasts; /* of each [s] */
    double within;       /* [s] */
};

/* How many are going on at once at the most. */
struct fci_at_once {
    double mean;
    size_t most_often; /* no more in 95 of 100 cases */
    size_t cases;      /* that were drawn */
};

/* By cases that are drawn, always the same ones: the mean is off by no more
 * than the deviation of a case over the root of their number.  False: out of
 * memory. */
bool fci_at_once(const struct fci_events *events, struct fci_at_once *found);

/* Given one of them, the chance that at a moment 0, 1, ... of the others are
 * going on, each with its time over `within`, in the mean over all; up to
 * `most` of them.  `chance` has room for most + 1. */
bool fci_others_on(const struct fci_events *events, size_t most,
                   double *chance);

/* Valves of one kind, each on and off by itself. */
struct fci_like_valves {
    size_t count;
    double on;     /* chance that one is on at a moment, 0 to 1 */
    double begins; /* how often it comes on [1/s] */
};

/* In 95 of 100 times of `within` [s] or more no more of n kinds of valves are
 * ever on at once; of more than FCI_MOST_AT_ONCE that is all of them.  False:
 * out of memory. */
#define FCI_MOST_AT_ONCE 100
bool fci_most_at_once(const struct fci_like_valves *valves, size_t n,
                      double within, size_t *most);

#endif
