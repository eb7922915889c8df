/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/gsl_guard.h -- GSL's aborting error handler, set aside for a
 * moment. */
#ifndef FCI_GROUND_GSL_GUARD_H
#define FCI_GROUND_GSL_GUARD_H

#include <gsl/gsl_errno.h>

/* Between the two calls GSL returns its errors.  The handler is process-wide;
 * a lock sees to it that two threads in here put back the host's and not each
 * other's.  What stands between is short and calls nothing of the host. */
gsl_error_handler_t *fci_gsl_quiet(void);
void fci_gsl_restore(gsl_error_handler_t *host);

#endif
