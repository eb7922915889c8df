/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/probability.h -- the flow of independent flush valves, by chance.
 */
#ifndef FCI_PEAK_PROBABILITY_H
#define FCI_PEAK_PROBABILITY_H

#include "site/site.h"

/* Like valves at one place, each on by itself. */
struct fci_valves {
    size_t element; /* that feeds them */
    int count;      /* 1 or more */
    double flow;    /* of one [m3/s]; NAN: not known */
    double on;      /* the chance that one is on, 0 to 1; NAN: not known */
};

/* The part of the busiest time in which a peak holds. */
#define FCI_PEAK_CHANCE 0.99

/* The smallest flow that all valves together do not exceed with at least this
 * chance: exact, whatever elements they are on.  `step`, which may be NULL, is
 * set to 0, or to a step in flow: then flows had no common unit, and each
 * valve counts with the next multiple of the step up.  NAN where a flow or a
 * chance is not known, *enough false when out of memory. */
double fci_flow_not_exceeded(const struct fci_valves *valves, size_t n,
                             double chance, double *step, bool *enough);

/* The peak flow of the valves downstream of every element: the largest of
 * them, and of all others together what is not exceeded with the chance
 * FCI_PEAK_CHANCE.  `peaks` has room for the site's elements; NAN where a
 * valve downstream is not known.  False when out of memory. */
bool fci_probable_peaks(const fc_site *site, const struct fci_valves *valves,
                        size_t n, double *peaks, double *step);

#endif
