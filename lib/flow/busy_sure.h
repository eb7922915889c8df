/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_sure.h -- how often a flush is weak, bounded without a draw.
 */
#ifndef FCI_FLOW_BUSY_SURE_H
#define FCI_FLOW_BUSY_SURE_H

#include "flow/busy_draw.h"

/* Of each fixture, or of those `asked` for alone (NULL: all); FCI_UNCLEAR: it
 * has to be drawn.  `at_once`: as of the plan, of all.  FC_OK, FC_ENOMEM. */
fc_status fci_busy_sure(const struct fci_busy_plan *plan, const bool *asked,
                        enum fci_often *sure, int *at_once);

#endif
