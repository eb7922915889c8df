/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/laws/friction.h -- friction loss of pipes running full. */
#ifndef FCI_LAWS_FRICTION_H
#define FCI_LAWS_FRICTION_H

/* The exponent of the flow in the loss, 1 / 0.54 of Hazen-Williams. */
#define FCI_FRICTION_EXPONENT (1.0 / 0.54)

/* Pressure lost [Pa] at a flow of 1 m3/s: `weight` of the water [N/m3],
 * `bore` [m] and `c` above 0, `length` [m] 0 or more. */
double fci_friction_resistance(double weight, double bore, double c,
                               double length);

/* Loss [Pa] at a flow [m3/s], in the direction of the flow: odd in it. */
double fci_friction_loss(double resistance, double flow);

/* Mean velocity [m/s]. */
double fci_velocity(double flow, double bore);

#endif
