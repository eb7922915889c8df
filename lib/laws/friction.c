/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/laws/friction.c -- friction loss of pipes running full.
 *
 * Hazen-Williams in its original form,
 *     V = k C R^0.63 S^0.54,   k = 1.318 in feet and seconds,
 * with V the mean velocity, R = bore / 4 the hydraulic radius and S the head
 * lost per length (G. S. Williams and A. Hazen, Hydraulic Tables, 1905; held
 * from memory).  The rounded forms of the handbooks (4.52 in NFPA 13, 10.67 in
 * SI) differ from it by up to 2 %.  The fit is empirical: turbulent water near
 * 60 degF, pipes of about 2 in and more, up to about 10 ft/s.
 */
#include "laws/friction.h"

#include <math.h>

#define PI 3.14159265358979323846
#define FOOT 0.3048 /* m, exact */
#define K_FEET 1.318

double
fci_friction_resistance(double weight, double bore, double c, double length)
{
    /* V / R^0.63 in ft^0.37/s becomes m^0.37/s by one factor. */
    const double k = K_FEET * pow(FOOT, 0.37);
    const double area = PI / 4 * bore * bore;
    const double carry = area * k * c * pow(bore / 4, 0.63);

    return weight * length * pow(carry, -FCI_FRICTION_EXPONENT);
}

double
fci_friction_loss(double resistance, double flow)
{
    return copysign(resistance * pow(fabs(flow), FCI_FRICTION_EXPONENT), flow);
}

double
fci_velocity(double flow, double bore)
{
    return flow / (PI / 4 * bore * bore);
}
