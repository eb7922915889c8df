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

/* A sum of what is given alone: it begins as not given. */
static inline void
fci_range_add(fc_range *sum, fc_range more)
{
    if (more.given)
        *sum = sum->given ? fci_range_with(*sum, more) : more;
}

#endif
