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
    size_t states;         /* that were solved */
    bool every;            /* they are all there are */
    bool narrow;           /* every chance is known well enough */
};

/* How often a flush of each fixture is weak, with all inputs at one of their
 * ends: by every state of a small building; else by states drawn until each
 * chance is known well enough, or as many as the options say.  What is found
 * does not depend on the number of threads, nor a verdict on the seed or on
 * what else is asked.
 *
 * `asked` (NULL: all, with their chances, and unless roughly with what they
 * have): verdicts alone are wanted, of the fixtures for which it is true.
 * FC_OK, FC_ENOMEM, FC_ENOCONV. */
fc_status
fci_busy_period_run(const struct fci_network *network, enum fci_end end,
                    const fc_check_options *options, const bool *asked,
                    struct fci_busy_period *period, fc_diagnostics *messages);
/* The same with other chances than those of the busiest period: `on`, of each
 * fixture the one that a valve of it is on at a moment. */
fc_status fci_busy_period_at(const struct fci_network *network,
                             enum fci_end end, const double *on,
                             const fc_check_options *options,
                             const bool *asked, struct fci_busy_period *period,
                             fc_diagnostics *messages);
/* The same of one fixture, with its chance; where the verdict is sure without
 * a draw that is looked for only if `always`. */
fc_status fci_busy_period_of(const struct fci_network *network,
                             enum fci_end end, const fc_check_options *options,
                             size_t fixture, bool always,
                             struct fci_busy_period *period,
                             fc_diagnostics *messages);
/* The same, of all, by states drawn however small the building is. */
fc_status fci_busy_period_draw(const struct fci_network *network,
                               enum fci_end end,
                               const fc_check_options *options,
                               struct fci_busy_period *period,
                               fc_diagnostics *messages);
/* Of each fixture, whether it has enough with every valve open: it is never
 * weak then, however often and long they flush.  FC_OK, FC_ENOMEM. */
fc_status fci_never_weak(const struct fci_network *network, enum fci_end end,
                         bool *never);
void fci_busy_period_free(struct fci_busy_period *period);

#endif
