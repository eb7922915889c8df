/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_sure.h -- what is sure of weak flushes without a draw. */
#ifndef FCI_FLOW_BUSY_SURE_H
#define FCI_FLOW_BUSY_SURE_H

#include "flow/busy_draw.h"

/* Of each fixture; FCI_UNCLEAR: it has to be drawn.  FC_OK, FC_ENOMEM. */
fc_status fci_busy_sure(const struct fci_busy_plan *plan,
                        enum fci_often *sure);

#endif
