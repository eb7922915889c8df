/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/twins.h -- fixtures that another one's ladder speaks for. */
#ifndef FCI_FLOW_TWINS_H
#define FCI_FLOW_TWINS_H

#include "flow/repeats.h"

/* Of each fixture whether one that is not so marked has no longer ladder than
 * it, and with each number of valves no more pressure at its worst, at every
 * end.  Where more flow leaves less (flow/behind.h), in time linear in the
 * links; `spoken_for` has room for every fixture.  False: out of memory. */
bool fci_twins_find(const struct fci_network *network,
                    const struct fci_at_links *at,
                    const struct fci_repeats *repeats, bool *spoken_for);

#endif
