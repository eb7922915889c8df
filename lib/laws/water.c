/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/laws/water.c -- what water weighs, and how thick it is, and how
 * fast sound runs in it.
 *
 *   [K75]  G. S. Kell, J. Chem. Eng. Data 20 (1975) 97-105: density of
 *          air-free water at 1 atm, 0 to 150 degC (coefficients from memory)
 *   [SR6]  IAPWS, Supplementary Release SR6-08, properties of liquid water at
 *          0.1 MPa: viscosity, -20 to 110 degC (coefficients from memory)
 *   [M97]  W. Marczak, J. Acoust. Soc. Am. 102 (1997) 2776-2779: speed of
 *          sound at 1 atm, 0 to 95 degC (coefficients from memory)
 */
#include "laws/water.h"

#include <math.h>
#include <stddef.h>

/* [K75] numerator, ascending powers of t, and the factor of t below. */
static const double numerator[] = {
    999.83952,     16.945176,    -7.9870401e-3,
    -46.170461e-6, 105.56302e-9, -280.54253e-12
};
#define DENOMINATOR 16.879850e-3

double
fci_water_density(double t)
{
    size_t i = sizeof numerator / sizeof numerator[0];
    double sum = 0.0;

    if (!(t >= FCI_WATER_COLDEST && t <= FCI_WATER_HOTTEST))
        return NAN; /* and so for NaN */
    while (i-- > 0)
        sum = sum * t + numerator[i];
    return sum / (1.0 + DENOMINATOR * t);
}

double
fci_water_weight(double t)
{
    return fci_water_density(t) * FCI_GRAVITY;
}

double
fci_water_viscosity(double t)
{
    /* [SR6] micropascal seconds, T in kelvin over 300 K */
    static const double factor[] = { 280.68, 511.45, 61.131, 0.45903 };
    static const double power[] = { -1.9, -7.7, -19.6, -40.0 };
    const double reduced = (t + 273.15) / 300;
    double sum = 0;
    size_t i;

    for (i = 0; i < sizeof factor / sizeof *factor; i++)
        sum += factor[i] * pow(reduced, power[i]);
    return sum * 1e-6;
}

double
fci_water_sound(double t)
{
    /* [M97] ascending powers of t */
    static const double factor[] = { 1402.385,    5.038813,     -5.799136e-2,
                                     3.287156e-4, -1.398845e-6, 2.787860e-9 };
    size_t i = sizeof factor / sizeof *factor;
    double sum = 0;

    while (i-- > 0)
        sum = sum * t + factor[i];
    return sum;
}
