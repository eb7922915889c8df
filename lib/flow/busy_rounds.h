/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_rounds.h -- states of the busy period, drawn in rounds until
 * each chance is known. */
#ifndef FCI_FLOW_BUSY_ROUNDS_H
#define FCI_FLOW_BUSY_ROUNDS_H

#include "flow/busy_draw.h"

/* How well chances are to be known. */
enum fci_busy_wanted {
    FCI_VERDICTS, /* no more than whether they are over FC_MOST_WEAK */
    FCI_ROUGHLY,  /* as well as a verdict needs */
    FCI_FINELY
};

/* What is known of one fixture. */
struct fci_busy_found {
    bool settled;         /* nothing of its chance is to be found out */
    enum fci_often often; /* once it is clear it stays so */
    bool judged;          /* it is, or cannot be told better */
    struct fci_known known;
};

/* Of each of `asked`, in `found`; pressures are added to `pressures`, NULL
 * where none are asked for.  `asked->told` is made here.  No more than `most`
 * states a fixture.  `states` grows by what was solved, `narrow`: all is known
 * as well as is wanted.  FC_OK, FC_ENOMEM, FC_ENOCONV, said in `messages`. */
fc_status fci_busy_rounds(struct fci_busy_asked *asked,
                          const fc_check_options *options,
                          enum fci_busy_wanted wanted, size_t most,
                          struct fci_busy_found *found,
                          struct fci_pressures *pressures, size_t *states,
                          bool *narrow, fc_diagnostics *messages);

#endif
