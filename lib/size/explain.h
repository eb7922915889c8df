/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/size/explain.h -- why no sizes serve, in words. */
#ifndef FCI_SIZE_EXPLAIN_H
#define FCI_SIZE_EXPLAIN_H

#include "size/attempt.h"

/* What a check that does not work finds first in the state to be, as a clause;
 * NULL when out of memory. */
const char *fci_explain_check(const fc_check_result *check,
                              struct fci_arena *arena);
/* Why an attempt does not work, in sentences; NULL: it does.  The text is in
 * the arena.  FC_OK, or what fc_check() returns. */
fc_status fci_explain_attempt(struct fci_attempt *attempt,
                              struct fci_arena *arena, const char **reason,
                              fc_diagnostics *messages);

#endif
