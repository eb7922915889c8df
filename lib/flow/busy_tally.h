/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_tally.h -- what the flushes of one fixture had, counted. */
#ifndef FCI_FLOW_BUSY_TALLY_H
#define FCI_FLOW_BUSY_TALLY_H

#include "flushcalc.h"

#include <stdint.h>

#define FCI_TALLY_BINS 400

/* All whole numbers, so that tallies add up to the same in any order. */
struct fci_tally {
    uint64_t flushes, squares; /* sum of k and of k^2 over the states, k of its
                                  valves being on */
    uint64_t weak, weak_squares;   /* of those, with less than its minimum: sum
                                      of k, and of k^2 */
    int64_t sum;                   /* of their pressures [mPa] */
    int64_t lowest, highest;       /* of them, where there are any */
    uint64_t bins[FCI_TALLY_BINS]; /* of pressure, up to `top` */
};

/* `count` valves have `pressure` [Pa], at most `top`. */
void fci_tally_add(struct fci_tally *tally, int count, double pressure,
                   double least, double top);
/* The same, weak or not, with no pressure told. */
void fci_tally_count(struct fci_tally *tally, int count, bool weak);
void fci_tally_merge(struct fci_tally *into, const struct fci_tally *from);

/* Wilson's interval of 95 % [W27] for `part` of `n` independent outcomes,
 * n > 0. */
fc_chance fci_wilson(double part, double n);

/* The part of weak flushes.  Valves of one fixture that are on together fare
 * alike, and are the weaker the more they are, so that their outcomes count
 * for less than so many independent ones [C77]. */
fc_chance fci_tally_weak(const struct fci_tally *tally);
/* Whether that is known to 0.2 percentage points, or a tenth of itself. */
bool fci_tally_narrow(const struct fci_tally *tally);
/* Whether that is above FC_MOST_WEAK or below it, as surely as what is z
 * standard deviations off; where nothing was drawn it is unclear. */
enum fci_often { FCI_SELDOM, FCI_TOO_OFTEN, FCI_UNCLEAR };
enum fci_often fci_tally_often(const struct fci_tally *tally, double z);
double fci_tally_mean(const struct fci_tally *tally);
/* The pressure that `part` of the flushes stay below, to a bin's width. */
double fci_tally_quantile(const struct fci_tally *tally, double part,
                          double top);

#endif
