/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_sure.h -- how often a flush is weak, bounded without a draw.
 */
#ifndef FCI_FLOW_BUSY_SURE_H
#define FCI_FLOW_BUSY_SURE_H

#include "flow/busy_plan.h"
#include "flow/busy_tally.h"

#define FCI_ALWAYS_WEAK (-1)

/* Of each fixture, or of those `asked` for alone (NULL: all); FCI_UNCLEAR: it
 * has to be drawn.  `at_once`, of all where one has to be or all are asked
 * for: so many valves at once surely leave it its minimum, or FCI_ALWAYS_WEAK.
 * FC_OK, FC_ENOMEM. */
fc_status fci_busy_sure(const struct fci_busy_plan *plan, const bool *asked,
                        enum fci_often *sure, int *at_once);

#endif
