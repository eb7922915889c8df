/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/behind.h -- what the valves behind a place may draw, by the
 * pressure there alone.
 *
 * Followed from a fixture that has just its least, towards the source, this is
 * all that has to be known of the rest of the building: nothing is solved.
 */
#ifndef FCI_FLOW_BEHIND_H
#define FCI_FLOW_BEHIND_H

#include "flow/batch.h"

/* So many heights of valves behind a place. */
#define FCI_BATCHES 4

struct fci_behind {
    struct fci_batch batches[FCI_BATCHES];
    size_t n_batches;
    struct fci_yield yield;
    double draws; /* steady */
};

/* Which inputs it is told of. */
struct fci_told_of {
    enum fci_end end;   /* of the way, and of steady draws */
    enum fci_end side;  /* of what is beside the way */
    bool beside;        /* valves by their law beside one that is judged */
    const double *most; /* of each fixture, what its valve draws at most */
    const double *on;   /* of each, the chance that a valve is; NULL: unknown
                         */
};

struct fci_rest {
    const struct fci_network *network;
    struct fci_told_of of;
    double power[FCI_COUNTED + 1]; /* of 0, 1, ... as friction grows */
    struct fci_behind *behind;     /* of each link, seen from before it */
    struct fci_at_links at;
};

/* Whether what is behind a place is told by the pressure there: a tree in
 * which more flow leaves less pressure everywhere.  Losses grow with the flow,
 * heads of pumps fall with it, and what holds holds less; the curve of a stop
 * is not followed here. */
bool fci_more_leaves_less(const struct fci_network *network);

/* Of a network of which that holds; false: out of memory. */
bool fci_rest_find(struct fci_rest *rest, struct fci_arena *arena,
                   const struct fci_network *network,
                   const struct fci_told_of *of);

/* What joins the way from a fixture at the end of a link: all that hangs there
 * but the link that the way comes from (FCI_NONE: none) and one valve of the
 * fixture.  The most that is drawn, in batches; steady draws are returned. */
double fci_rest_joins(const struct fci_rest *rest, size_t link, size_t from,
                      size_t fixture, struct fci_behind *joins);
/* The least that is drawn by each thing that hangs there in its turn, from 0;
 * false: there is no more. */
bool fci_rest_yield(const struct fci_rest *rest, size_t link, size_t from,
                    size_t fixture, size_t *at, struct fci_yield *yield);

/* What a fixture draws that has `least`, and the pressure that it asks for at
 * the end of its link. */
double fci_rest_own(const struct fci_rest *rest, size_t fixture, double least,
                    double *flow);
/* The pressure that a link of the way asks for at its inlet, to leave one at
 * its end; INFINITY: nothing is enough.  A source's inlet has 0. */
double fci_rest_asks(const struct fci_rest *rest, size_t link, double pressure,
                     double flow);

#endif
