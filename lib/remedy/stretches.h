/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/stretches.h -- stretches of the way to a fixture that a second
 * pipe could run beside. */
#ifndef FCI_REMEDY_STRETCHES_H
#define FCI_REMEDY_STRETCHES_H

#include "remedy/remedies.h"

/* Pipes one after another on the way, some of which feed something else too:
 * a pipe beside them takes over what the last of them feeds there. */
struct fci_stretch {
    size_t moved; /* place on the way of what the new pipe feeds; 0: the
                     fixture itself */
    size_t from;  /* likewise of what feeds it */
    double length;
};

struct fci_way {
    const struct fci_cures *c;
    size_t fixture; /* that governs */
    size_t *at; /* elements, from that of the fixture to the source; the place
                   of at[i] is i + 1 */
    size_t n;
    struct fci_stretch *stretches; /* the shortest first */
    size_t n_stretches;
};

/* Pipes on the way that are looked at, from the fixture on: with more there
 * are too many stretches of them to try. */
#define FCI_MOST_ON_WAY 40u

/* All in the arena; false when out of memory. */
bool fci_way_make(struct fci_way *way, const struct fci_cures *cures,
                  size_t fixture);
/* The element at a place, from 1 on. */
size_t fci_way_at(const struct fci_way *way, size_t place);
/* The pipe beside a stretch, as large as the first of its pipes; false when
 * out of memory. */
bool fci_way_feed(const struct fci_way *way, const struct fci_stretch *stretch,
                  struct fci_feed *feed);
/* How far it climbs [m]. */
double fci_way_climb(const struct fci_way *way,
                     const struct fci_stretch *stretch);
/* The pipes that it runs beside; NULL when out of memory. */
const char *fci_way_beside(const struct fci_way *way,
                           const struct fci_stretch *stretch);
/* What the fixture has more at peak in the building so changed, at the worst
 * end [Pa]. */
fc_status fci_way_gain(const struct fci_way *way,
                       const struct fci_change_list *changes, double *gain);

#endif
