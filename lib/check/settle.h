/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/settle.h -- what a verdict that cannot be told turns on. */
#ifndef FCI_CHECK_SETTLE_H
#define FCI_CHECK_SETTLE_H

#include "check/judge.h"

/* Of a street main without a flow test (fci_untested_main) nothing that needs
 * a flow surely works.  What then decides: */
#define FCI_DROP_DECIDES                                                      \
    "how far the main drops under flow, which is not known: measure its "     \
    "residual pressure at a known flow"

/* A verdict as far as it can be told of such a source. */
fc_verdict fci_as_tested(const fc_site *site, const fc_check_options *options,
                         fc_verdict works);

/* A verdict that cannot be told. */
struct fci_unsettled {
    const fc_site *site;
    fc_state state;
    const double *flow; /* of each element, worst end [m3/s] */
    /* Whether it is well in a variant of the site; `flows`: one in which the
     * flows that are drawn differ.  Leaves how much is to spare in
     * `governing`, and what went wrong in `status`. */
    bool (*works)(struct fci_unsettled *what, const fc_site *site, bool flows);
    /* The same by all that is known, which is slow; where it says no, `works`
     * asks from then on for what it missed.  NULL: there is no more. */
    bool (*confirm)(struct fci_unsettled *what, const fc_site *site);
    bool drawn; /* `works` rests on what is drawn at random */
    double governing;
    fc_status status;
};

/* The input, and its figure, that would turn it into one that works.
 * FC_OK, FC_ENOMEM, FC_ENOCONV. */
fc_status fci_settle(struct fci_unsettled *what, struct fci_arena *arena,
                     fc_proviso *proviso);

/* The same of a check: of one fixture, or of all (FCI_NONE) in a state
 * (check/settle_check.c).  `options` may be NULL. */
fc_status fci_settle_check(const struct fci_judge *judge, fc_state state,
                           size_t fixture, const fc_check_options *options,
                           struct fci_arena *arena, fc_proviso *proviso,
                           fc_diagnostics *messages);

#endif
