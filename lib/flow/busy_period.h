/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_period.h -- how often a flush is weak in the busiest period.
 */
#ifndef FCI_FLOW_BUSY_PERIOD_H
#define FCI_FLOW_BUSY_PERIOD_H

#include "flow/busy_tally.h"
#include "flow/network.h"

struct fci_busy_period {
    fc_busy *fixtures;     /* malloc'ed, one a fixture */
    enum fci_often *often; /* malloc'ed, the same: weak more often than
                              FC_MOST_WEAK */
    size_t states;
    bool narrow; /* every chance is known well enough */
};

/* Draw states of a network, with all inputs at one of their ends, until every
 * fixture's weak-flush chance is known well enough and clear of FC_MOST_WEAK,
 * or as many as the options say.  Where the states of the seed leave one so
 * near to that that another seed might say otherwise, those of a seed that
 * nobody chooses are drawn instead.  What is found does not depend on the
 * number of threads.
 *
 * `asked` (NULL: all, with their chances): how often alone is wanted, of the
 * fixtures for which it is true; the same states are drawn, but no more once
 * that is clear of each of them, and none where it is sure without.
 * FC_OK, FC_ENOMEM, FC_ENOCONV. */
fc_status
fci_busy_period_run(const struct fci_network *network, enum fci_end end,
                    const fc_check_options *options, const bool *asked,
                    struct fci_busy_period *period, fc_diagnostics *messages);
/* Of each fixture, whether it has enough with every valve open: it is never
 * weak then, however often and long they flush.  FC_OK, FC_ENOMEM. */
fc_status fci_never_weak(const struct fci_network *network, enum fci_end end,
                         bool *never);
void fci_busy_period_free(struct fci_busy_period *period);

#endif
