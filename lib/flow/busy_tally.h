/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_tally.h -- what the flushes of one fixture had, counted. */
#ifndef FCI_FLOW_BUSY_TALLY_H
#define FCI_FLOW_BUSY_TALLY_H

#include "flushcalc.h"

#include <stdint.h>

/* Of one fixture in the states of one stratum.  All whole numbers, so that
 * tallies add up to the same in any order. */
struct fci_tally {
    uint64_t flushes, squares;   /* sums of k and of k^2, k flushes of one
                                    state being told of together */
    uint64_t weak, weak_squares; /* of those, with less than its minimum */
};

void fci_tally_count(struct fci_tally *tally, int count, bool weak);
void fci_tally_merge(struct fci_tally *into, const struct fci_tally *from);

/* Wilson's interval of 95 % [W27] for `part` of `n` independent outcomes,
 * n > 0. */
fc_chance fci_wilson(double part, double n);

/* A chance by strata. */
struct fci_strata {
    const struct fci_tally *tallies;
    const double *part; /* of all flushes that are of each; the rest of 1 is of
                           none */
    size_t n, told;     /* the first `told` of them have no weak flush */
    bool monotone;      /* a flush of a later one is weak as often or more */
};

/* How the chance is known: as the part of so many independent outcomes. */
struct fci_known {
    double part, n;
    double left_out; /* that nothing is known of */
};
struct fci_known fci_strata_known(const struct fci_strata *strata);
/* Of each stratum its part of the flushes times the deviation of one of them,
 * as far as that is known. */
void fci_strata_spread(const struct fci_strata *strata, double *spread);

/* Its interval; not given: nothing is known. */
fc_chance fci_known_chance(const struct fci_known *known);
/* Whether that is known to 0.02 percentage points, or a tenth of itself; for
 * a verdict to a fifth of the chance that is allowed, or of itself. */
bool fci_known_narrow(const struct fci_known *known, bool verdict);
/* About so many times as many outcomes would do. */
double fci_known_lacks(const struct fci_known *known, bool verdict);
/* Whether that is above FC_MOST_WEAK or below it, as surely as what is z
 * standard deviations off. */
enum fci_often { FCI_SELDOM, FCI_TOO_OFTEN, FCI_UNCLEAR };
enum fci_often fci_known_often(const struct fci_known *known, double z);

/* ---- What they had ---------------------------------------------------- */

#define FCI_PRESSURE_BINS 400

/* Pressures of one fixture, with whole weights that add up to less than
 * 2^42. */
struct fci_pressures {
    uint64_t weight;
    int64_t sum, parts; /* of weight and pressure, in 2^16 Pa and in what is
                           left of each [Pa] */
    int64_t lowest, highest;          /* of them, where there are any [Pa] */
    uint64_t bins[FCI_PRESSURE_BINS]; /* of pressure, up to `top` */
};

/* [Pa], at most `top`. */
void fci_pressures_add(struct fci_pressures *pressures, uint64_t weight,
                       double pressure, double top);
void fci_pressures_merge(struct fci_pressures *into,
                         const struct fci_pressures *from);
double fci_pressures_mean(const struct fci_pressures *pressures);
/* The pressure that `part` of the flushes stay below, to a bin's width. */
double fci_pressures_quantile(const struct fci_pressures *pressures,
                              double part, double top);

#endif
