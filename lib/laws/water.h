/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/laws/water.h -- what water weighs, and how thick it is, and how
 * fast sound runs in it. */
#ifndef FCI_LAWS_WATER_H
#define FCI_LAWS_WATER_H

#define FCI_GRAVITY 9.80665 /* m/s2, standard gravity (CGPM 1901) */

#define FCI_WATER_COLDEST 0.0 /* degC, range of fci_water_density */
#define FCI_WATER_HOTTEST 100.0

/* Density of air-free water at 1 atm [kg/m3], t in degC, 0 to 100 (Kell
 * 1975); NAN outside. */
double fci_water_density(double t);
/* The same water's weight [N/m3]: pressure by height. */
double fci_water_weight(double t);

/* Dynamic viscosity at 0.1 MPa [Pa s], t in degC, 0 to 100 (IAPWS SR6-08). */
double fci_water_viscosity(double t);

/* Speed of sound in air-free water at 1 atm [m/s], t in degC, 0 to 95 (Marczak
 * 1997), and up to 100 by the same curve. */
double fci_water_sound(double t);

#endif
