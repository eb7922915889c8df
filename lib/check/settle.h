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

/* The input, and its figure, that would turn a verdict that cannot be told
 * into one that works: of one fixture, or of all (FCI_NONE) in a state.
 * `options` may be NULL.  FC_OK, FC_ENOMEM, FC_ENOCONV. */
fc_status fci_settle(const struct fci_judge *judge, fc_state state,
                     size_t fixture, const fc_check_options *options,
                     struct fci_arena *arena, fc_proviso *proviso,
                     fc_diagnostics *messages);

#endif
