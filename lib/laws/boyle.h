/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/laws/boyle.h -- water in a tank under a cushion of air.
 *
 * Pressures are gauge pressures [Pa], volumes in m3.  `precharge` is the
 * pressure of the air while the tank has no water. */
#ifndef FCI_LAWS_BOYLE_H
#define FCI_LAWS_BOYLE_H

#define FCI_ATMOSPHERE                                                        \
    101325.0 /* Pa, standard atmosphere (CGPM 1954): no                       \
                gauge reads further below 0 */

/* How the air is followed: slowly it keeps the temperature of the water, at
 * once it keeps its heat, and cools as it expands.  Between the two lies every
 * draw, and the second gives up less water. */
#define FCI_ISOTHERMAL 1.0
#define FCI_ADIABATIC 1.4 /* ratio of the specific heats of air */

/* The part of the tank's volume that is water at a pressure, 0 up to below 1;
 * 0 where the pressure is no more than the precharge. */
double fci_boyle_water(double precharge, double pressure);

/* The part of the tank's volume that it gives while the pressure falls from
 * one to another; what it has, where it is empty before.  The air had time to
 * take the temperature of the water at `from`, and is followed by `exponent`
 * from there.  0 where `to` is no less than `from`. */
double fci_boyle_drawn(double precharge, double from, double to,
                       double exponent);

/* The pressure after the part `drawn` of the volume was drawn since it had
 * `from`; NAN where the tank has not so much. */
double fci_boyle_pressure(double precharge, double from, double drawn,
                          double exponent);

#endif
