/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/repeats.h -- parts of a building that are the same to the last
 * digit.
 *
 * Towers repeat: what is found out of one battery is true of all that are like
 * it.
 */
#ifndef FCI_FLOW_REPEATS_H
#define FCI_FLOW_REPEATS_H

#include "flow/network.h"

/* Numbers from 0; those of links behind a link are lower than its own. */
struct fci_repeats {
    size_t *valve;   /* of each fixture that flushes: the same count, laws and
                        minimum; at every end, as all below */
    size_t *hanging; /* of each link: valves and links that are alike hang at
                      its end, in the same order */
    size_t *link;    /* of each link: that, and its law; what is special
                        is like itself alone */
    size_t n_valves, n_hanging, n_links;
    size_t *link_first; /* a link of each such number */
};

/* In time linear in the links, in the arena; false: out of memory. */
bool fci_repeats_find(struct fci_repeats *repeats, struct fci_arena *arena,
                      const struct fci_network *network,
                      const struct fci_at_links *at);

#endif
