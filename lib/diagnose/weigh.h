/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/weigh.h -- all causes, for the files that find them. */
#ifndef FCI_DIAGNOSE_WEIGH_H
#define FCI_DIAGNOSE_WEIGH_H

#include "diagnose/fit.h"

/* No more pairs than fci_most_pairs(); `rows` by fault.  FC_OK, FC_ENOMEM. */
fc_status fci_pairs_find(struct fci_least_squares *fitting,
                         const struct fci_faults *faults,
                         const struct fci_row *rows,
                         const struct fci_cause *singles, size_t n_singles,
                         struct fci_cause *pairs, size_t *n);
size_t fci_most_pairs(void);

#endif
