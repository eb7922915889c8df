/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/verdicts.h -- whether a building works, and nothing else.
 *
 * To try a building takes no more than the verdict on the state to be: neither
 * its words nor the events of the state that is left behind.
 */
#ifndef FCI_CHECK_VERDICTS_H
#define FCI_CHECK_VERDICTS_H

#include "site/site.h"

struct fci_verdicts {
    bool converted;
    fc_state state;            /* to be: that of the verdicts */
    fc_verdict works, at_peak; /* as check says; but for the flush events */
    fc_verdict pressure[FC_STATES]; /* at peak, of all fixtures */
    fc_verdict *fixtures;           /* malloc'ed: each as check says */
    fc_verdict too_high;            /* a verdict beside: FC_WORKS, it is not */
    double *over; /* malloc'ed: how far each is above its maximum at most */
};

/* What fc_check_with() would say with these options; NULL: the defaults.
 * Statuses as of it; freed with fci_verdicts_free() on any outcome. */
fc_status fci_verdicts_make(struct fci_verdicts *verdicts, const fc_site *site,
                            const fc_check_options *options,
                            fc_diagnostics *messages);
void fci_verdicts_free(struct fci_verdicts *verdicts);

#endif
