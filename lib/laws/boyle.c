/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/laws/boyle.c -- water in a tank under a cushion of air.
 *
 * Boyle's law, p v = const. of a gas that keeps its temperature, on absolute
 * pressures; p v^1.4 = const. of air that takes up no heat (textbooks of
 * thermodynamics).  The atmosphere is that of sea level: higher up a tank
 * gives more between the same two readings of a gauge.
 */
#include "laws/boyle.h"

#include <math.h>

/* The part of the volume that is air. */
static double
air(double precharge, double pressure)
{
    return pressure <= precharge
               ? 1
               : (precharge + FCI_ATMOSPHERE) / (pressure + FCI_ATMOSPHERE);
}

double
fci_boyle_water(double precharge, double pressure)
{
    return 1 - air(precharge, pressure);
}

double
fci_boyle_drawn(double precharge, double from, double to, double exponent)
{
    const double before = air(precharge, from);
    double grows;

    if (to >= from)
        return 0;
    grows = pow((from + FCI_ATMOSPHERE) / (to + FCI_ATMOSPHERE), 1 / exponent);
    return fmin(before * (grows - 1), 1 - before);
}

double
fci_boyle_pressure(double precharge, double from, double drawn,
                   double exponent)
{
    const double before = air(precharge, from);

    if (!(drawn <= 1 - before))
        return NAN;
    return (from + FCI_ATMOSPHERE) * pow(before / (before + drawn), exponent)
           - FCI_ATMOSPHERE;
}
