/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_far.h -- fixtures that are far from being weak too often,
 * however many valves are on. */
#ifndef FCI_FLOW_BUSY_FAR_H
#define FCI_FLOW_BUSY_FAR_H

#include "flow/behind.h"
#include "flow/busy_plan.h"

struct fci_far {
    const struct fci_busy_plan *plan;
    struct fci_rest rest; /* of it the network and the ends alone */
    const double *on;     /* of each fixture, the chance that a valve is on */
    double *lift;         /* from the source to the end of each link */
    size_t *specials;     /* on that way */
    size_t *way, *place;  /* links from a fixture; of each link, where on that
                             way it joins */
    size_t *first, *next; /* fixtures that join at a place, one after the other
                           */
    double *steady;       /* what is drawn there anyway */
};

/* Of a network in which more flow leaves less pressure, with all inputs at the
 * plan's end; false: out of memory. */
bool fci_far_find(struct fci_far *far, struct fci_arena *arena,
                  const struct fci_busy_plan *plan, const double *on);
/* Whether it is surely weak less often than FC_MOST_WEAK, in time that grows
 * with the building. */
bool fci_far_seldom(struct fci_far *far, size_t fixture);

#endif
