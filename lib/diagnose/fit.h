/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/fit.h -- fitting causes, for its own files. */
#ifndef FCI_DIAGNOSE_FIT_H
#define FCI_DIAGNOSE_FIT_H

#include "diagnose/diagnose.h"

#define FCI_UNSETTLED 1e30
#define FCI_MOST_STARTS 6

/* What the readings show of one fault at some values of its unknown. */
struct fci_row {
    double x[FCI_MOST_STARTS + 1];
    double *shows;  /* by value and reading */
    size_t n;       /* values; one more than the starts have room */
    size_t best[2]; /* starts; FCI_NONE: none settles */
    double promise; /* about how much it would leave unexplained */
};

/* The k-th unknown at one of its starts. */
void fci_cause_start(struct fci_cause *cause, size_t k, size_t start);
/* The k-th unknown at a value, within what it may be. */
void fci_cause_put(struct fci_cause *cause, size_t k, double x);
/* What every gauge shows of the cause as it is; false in `settled` where the
 * flows do not.  FC_OK, FC_ENOMEM. */
fc_status fci_cause_shows(struct fci_least_squares *fitting,
                          const struct fci_cause *cause, double *shows,
                          bool *settled);
/* Fits it from where it is, and says whether it explains the readings. */
fc_status fci_cause_settle(struct fci_least_squares *fitting,
                           struct fci_cause *cause, bool own);
/* What a single one shows at its starts. */
fc_status fci_cause_starts(struct fci_least_squares *fitting,
                           struct fci_cause *cause, struct fci_row *row);
/* What is left, and what was taken up by unknowns off the middle of their
 * ranges, over what both may be. */
double fci_cause_strain(struct fci_least_squares *fitting,
                        const struct fci_cause *cause);
/* A single one from the best of its starts. */
fc_status fci_cause_fit(struct fci_least_squares *fitting,
                        struct fci_cause *cause, struct fci_row *row);

/* The covariance of the readings with all that is uncertain, by its Cholesky
 * factor, from the slopes; and readings in deviations divided by that. */
fc_status fci_spread_make(struct fci_least_squares *fitting);
void fci_spread_divide(const struct fci_least_squares *fitting,
                       double *readings);

#endif
