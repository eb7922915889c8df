/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/units/range_sums.h -- ranges multiplied and added, end by end. */
#ifndef FCI_UNITS_RANGE_SUMS_H
#define FCI_UNITS_RANGE_SUMS_H

#include "flushcalc.h"

/* n times a range, n >= 0. */
static inline fc_range
fci_range_times(fc_range a, double n)
{
    return (fc_range){ .given = a.given,
                       .nominal = n * a.nominal,
                       .low = n * a.low,
                       .high = n * a.high };
}

/* Two together; not given where one of them is not. */
static inline fc_range
fci_range_with(fc_range a, fc_range b)
{
    return (fc_range){ .given = a.given && b.given,
                       .nominal = a.nominal + b.nominal,
                       .low = a.low + b.low,
                       .high = a.high + b.high };
}

/* Two that are not below 0, multiplied; not given where one of them is not. */
static inline fc_range
fci_range_product(fc_range a, fc_range b)
{
    return (fc_range){ .given = a.given && b.given,
                       .nominal = a.nominal * b.nominal,
                       .low = a.low * b.low,
                       .high = a.high * b.high };
}

/* The larger of two, end by end. */
static inline fc_range
fci_range_max(fc_range a, fc_range b)
{
    return (fc_range){ .given = a.given && b.given,
                       .nominal =
                           a.nominal > b.nominal ? a.nominal : b.nominal,
                       .low = a.low > b.low ? a.low : b.low,
                       .high = a.high > b.high ? a.high : b.high };
}

/* The hull of what is given alone: it begins as not given. */
static inline void
fci_range_hull(fc_range *hull, fc_range more)
{
    if (!more.given)
        return;
    if (hull->given && hull->low < more.low)
        more.low = hull->low;
    if (hull->given && hull->high > more.high)
        more.high = hull->high;
    *hull = more;
}

/* A sum of what is given alone: it begins as not given. */
static inline void
fci_range_add(fc_range *sum, fc_range more)
{
    if (more.given)
        *sum = sum->given ? fci_range_with(*sum, more) : more;
}

#endif
