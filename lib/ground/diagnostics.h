/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/diagnostics.h -- messages with path and line. */
#ifndef FCI_GROUND_DIAGNOSTICS_H
#define FCI_GROUND_DIAGNOSTICS_H

#include "flushcalc.h"

#define FCI_MOST_FAILURES 50

/* Append a failure and return `status`; FC_ENOMEM when the message cannot be
 * kept.  `file` may be NULL and `line` 0.  `list` may be NULL.  Everything is
 * copied. */
fc_status fci_fail(fc_diagnostics *list, fc_status status, const char *file,
                   int line, const char *format, ...)
    __attribute__((format(printf, 5, 6)));

/* Say what cannot be done, and why by that errno.  FC_EIO, or FC_ENOMEM when
 * memory is what lacks; then nothing is said. */
fc_status fci_fail_system(fc_diagnostics *list, const char *file,
                          const char *what, int error);

/* Whether one more failure would still be kept: what is costly to word (the
 * nearest known name) is worth it only then. */
int fci_failure_has_room(const fc_diagnostics *list);

/* The line that a failure was said with; below 0: of what is set over a file,
 * which nobody but who reads that over it is to see. */
int fci_failure_line(const fc_diagnostics *list, size_t i);

/* Put the failures from `first` on in the order of the lines of their file,
 * those without a line last. */
void fci_failures_sort(fc_diagnostics *list, size_t first);

#endif
