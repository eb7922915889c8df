/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/least_left.h -- the least that a fixture has left while no more
 * than so many valves flush, without solving for it. */
#ifndef FCI_FLOW_LEAST_LEFT_H
#define FCI_FLOW_LEAST_LEFT_H

#include "flow/network.h"

/* So many of the valves behind a link are told apart. */
#define FCI_TOLD_APART 24

struct fci_least_left {
    const struct fci_network *network;
    enum fci_end end;   /* of the ways, and of the fixture itself */
    const double *most; /* of each fixture, what its valve draws at most */
    size_t *behind;     /* valves behind each link */
    double *strongest;  /* of each link, the most of those, FCI_TOLD_APART */
    double *draws;      /* steady, behind each link */
};

/* Whether more flow leaves less pressure everywhere: a tree in which nothing
 * adds pressure and no printed curve may dip. */
bool fci_more_leaves_less(const struct fci_network *network);

/* Of a network of which that holds, with what a valve of each fixture draws at
 * most; from the arena, NULL: out of memory. */
struct fci_least_left *fci_least_left_new(struct fci_arena *arena,
                                          const struct fci_network *network,
                                          enum fci_end end,
                                          const double *most);

/* At its inlet while it flushes and behind each link of its way, from its own
 * on, no more than `others` of the other valves do.  No valve draws more for
 * another that opens, so that every loss is at most that of the strongest of
 * them together, and the pressure no less than this [Pa].  -INFINITY: more
 * than are told apart. */
double fci_least_left(const struct fci_least_left *left, size_t fixture,
                      const size_t *others);

/* So many valves may flush, its own among them, and it surely keeps `least`;
 * 0: not even that is sure.  `others` is room for its way. */
int fci_surely_at_once(const struct fci_least_left *left, size_t fixture,
                       double least, size_t *others);

#endif
