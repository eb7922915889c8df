/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/surely.h -- how many valves may surely be open at once, without
 * solving for it. */
#ifndef FCI_FLOW_SURELY_H
#define FCI_FLOW_SURELY_H

#include "flow/behind.h"

/* So many valves may flush, its own among them, and the fixture surely keeps
 * `least`, whichever they are; 0: not even that is sure.  More than `most` are
 * not asked for, nor more than FCI_COUNTED others.  `way` is room for as many
 * links as there are. */
int fci_surely_at_once(const struct fci_rest *rest, size_t fixture,
                       double least, int most, bool closely);

#endif
