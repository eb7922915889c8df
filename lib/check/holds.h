/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/holds.h -- what must hold while valves flush, beside their own
 * minimums.
 *
 * One judgment for an event that is asked about and for the number of valves
 * at once that is promised: what they leave is given, or the least that any
 * so many leave. */
#ifndef FCI_CHECK_HOLDS_H
#define FCI_CHECK_HOLDS_H

#include "check/drawn.h"
#include "effects/tank_lasts.h"

/* While some valves are open. */
struct fci_event_left {
    const fc_site *site;
    const fc_range *outlets; /* by element */
    const fc_range *kept;    /* by element: in a street main, or at a pump's
                                inlet; not given where nothing must be there */
    const fc_range *inlets;  /* by fixture */
    fc_verdict enough;       /* of each valve's own minimum */
    struct fci_tank_flushes flushes;
};

/* What does not hold, or not surely. */
struct fci_limited {
    fc_at_once_limit by;
    size_t at; /* element; fixture where it is drawn back at its inlet */
};

/* The worst of the valves' minimums, of a main and the pumps' inlets, of water
 * drawn back anywhere, and of the tank's water; the last is asked where all
 * else works. */
fc_verdict fci_event_holds(const struct fci_event_left *left,
                           struct fci_limited *limited);

/* How long the largest full flush of a valve takes at the least, and at the
 * most [s], at a pressure; NAN: its volume is not known. */
double fci_quickest_flush(const fc_valve *valve, double most_pressure);
double fci_longest_flush(const fc_valve *valve, double least_pressure);

struct fci_event_view;
struct fci_ladder;
struct fci_network;

/* How many of n valves at once, whichever they are, keep all that is judged
 * beside their own minimums, and why no more.  `views`: by fixture, with what
 * each has alone; NULL: not known, and fewer may be sure.  FC_OK, FC_ENOMEM,
 * FC_ENOCONV (check/at_once.c). */
fc_status fci_most_that_hold(const struct fci_network *network,
                             struct fci_ladder *ladder,
                             const struct fci_event_view *views,
                             struct fci_arena *scratch, int *n,
                             struct fci_limited *limited);

#endif
