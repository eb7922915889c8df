/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/worst_set.h -- whether any so many valves leave a fixture less than
 * some pressure, and which do. */
#ifndef FCI_FLOW_WORST_SET_H
#define FCI_FLOW_WORST_SET_H

#include "flow/most_drawn.h"
#include "flow/solver.h"

struct fci_worst_question {
    size_t fixture;
    double pressure; /* that it is to have [Pa] */
    size_t others;   /* so many others at most, below what is counted */
    size_t pairs;    /* so many of a number are told apart */
};

struct fci_worst; /* the memory of one thread */

struct fci_worst *fci_worst_new(const struct fci_network *network,
                                const struct fci_at_links *at);
void fci_worst_free(struct fci_worst *worst);

/* No more pairs are looked at than `work`, which becomes what is left of it:
 * at 0 there is no answer.  False: out of memory. */
bool fci_worst_ask(struct fci_worst *worst, const struct fci_most_drawn *drawn,
                   const struct fci_worst_question *question, size_t *work);

/* What is asked of the source beyond what it has, at most, with up to so many
 * others: where that is not above 0 none of them leaves the fixture less. */
double fci_worst_asked(const struct fci_worst *worst, size_t others);

/* The others that ask about that; the fixture's own valve is in it, first.
 * `open` has room for every fixture.  False: out of memory. */
bool fci_worst_set(const struct fci_worst *worst, size_t others,
                   struct fci_open *open, size_t *n);

#endif
