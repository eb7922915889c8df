/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_period.h -- how often a flush is weak in the busiest period.
 */
#ifndef FCI_FLOW_BUSY_PERIOD_H
#define FCI_FLOW_BUSY_PERIOD_H

#include "flow/network.h"

struct fci_busy_period {
    fc_busy *fixtures; /* malloc'ed, one a fixture */
    size_t states;
    bool narrow; /* every chance is known well enough */
};

/* Draw states of a network, with all inputs at one of their ends, until every
 * fixture's weak-flush chance is known well enough, or as many as the options
 * say.  What is found depends on the seed alone, not on the number of threads.
 * FC_OK, FC_ENOMEM, FC_ENOCONV. */
fc_status fci_busy_period_run(const struct fci_network *network,
                              enum fci_end end,
                              const fc_check_options *options,
                              struct fci_busy_period *period,
                              fc_diagnostics *messages);

#endif
