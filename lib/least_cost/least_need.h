/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/least_cost/least_need.h -- the choice that needs least, whatever it
 * costs. */
#ifndef FCI_LEAST_COST_LEAST_NEED_H
#define FCI_LEAST_COST_LEAST_NEED_H

#include "least_cost/least_cost.h"

/* The least that serves at the root's outlet in one state, and the choice, by
 * node, that needs so little.  INFINITY: nothing serves; `*blocked` is then
 * the node furthest down that cannot be served whatever feeds it, or the root,
 * and there is no choice.  FC_OK or FC_ENOMEM. */
fc_status fci_sizing_least(const struct fci_sizing *problem, int state,
                           size_t *choice, double *need, size_t *blocked);

#endif
