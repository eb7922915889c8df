/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_every.h -- every state of the busy period of a small building.
 */
#ifndef FCI_FLOW_BUSY_EVERY_H
#define FCI_FLOW_BUSY_EVERY_H

#include "flow/busy_draw.h"

/* How many states there are, of the valves that are ever on, by `on` as of a
 * plan; 1: none is. */
double fci_busy_states(const struct fci_network *network, enum fci_end end,
                       const double *on);
/* Whether they are so few that every one of them is solved. */
bool fci_busy_is_small(const struct fci_network *network, enum fci_end end,
                       const double *on);

/* What is known of a fixture: weak between so much of its flushes and so much,
 * whatever the rest. */
struct fci_weak_part {
    double low, high;
};

/* Of the fixtures asked for, to the last state; where verdicts are asked for
 * until it is known of each whether it is weak more often than FC_MOST_WEAK.
 * `pressures` as of a drawer, or NULL; `states`: how many were solved.
 * FC_OK, FC_ENOMEM, FC_ENOCONV, said in `messages`. */
fc_status fci_busy_every(const struct fci_busy_asked *asked,
                         struct fci_weak_part *weak,
                         struct fci_pressures *pressures, size_t *states,
                         fc_diagnostics *messages);

#endif
