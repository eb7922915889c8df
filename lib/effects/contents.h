/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/contents.h -- the water in pipes, and how much of it a day of
 * the mean flow takes. */
#ifndef FCI_EFFECTS_CONTENTS_H
#define FCI_EFFECTS_CONTENTS_H

#include "effects/idle.h"
#include "site/site.h"

/* Of a pipe, by its bore and length [m3]: of old pipe by
 * what scale has left of it.  Not given: the element is no pipe, and what it
 * holds is not known. */
fc_range fci_contents(const struct fci_element *element);

/* Mean flows [m3/s] in a tree, by element, and what is known of them. */
struct fci_mean_flows {
    fc_range *flow; /* of what is known to flow */
    bool *at_least; /* something that draws downstream is not known */
    bool *feeds;    /* something draws downstream, known or not */
};

/* All of it in the arena; false: out of memory.  `outlets` tells the mean
 * flow of all outlets of each fixture together; not given: it is not known. */
bool fci_mean_flows(const fc_site *site, const fc_range *outlets,
                    struct fci_mean_flows *flows, struct fci_arena *arena);

/* How often a day a mean flow renews the contents.  Not given: nothing is
 * known to flow, or the contents may be nothing. */
fc_range fci_turnovers(fc_range contents, fc_range flow);
/* The mean time that water takes through them [s]; likewise, and where the
 * flow may be nothing.
 */
fc_range fci_residence(fc_range contents, fc_range flow);

#endif
