/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/ties.h -- which of several is named where some are alike. */
#ifndef FCI_GROUND_TIES_H
#define FCI_GROUND_TIES_H

#include <math.h>
#include <stdbool.h>

/* Floors that are equal on paper come out as different as rounding makes them,
 * on each machine otherwise, and flush events are solved to some 0.1 Pa of
 * 1e5.  Figures as near as this part of themselves count as equal; */
#define FCI_TIE 1e-6
/* near zero, where a difference leaves nothing but rounding, those as near as
 * this, in any unit that is compared (Pa, m, m3/s, a weight). */
#define FCI_TIE_AT_ZERO 1e-8

/* Whether `a` is less than `b` by more than rounding.  Whoever picks the least
 * or the most of several takes another only for that, so that of equals the
 * first of the file is named. */
static inline bool
fci_is_less(double a, double b)
{
    return b - a > fmax(FCI_TIE * fmin(fabs(a), fabs(b)), FCI_TIE_AT_ZERO);
}

/* Whether they are the same to the last digit. */
static inline bool
fci_same(double a, double b)
{
    return a <= b && a >= b;
}

/* To sort by, where a comparison with a tolerance would be no order: what
 * differs by rounding alone becomes the same. */
static inline double
fci_coarse(double x)
{
    int exponent;
    const double part = frexp(x, &exponent);

    return ldexp(round(part / FCI_TIE), exponent);
}

#endif
