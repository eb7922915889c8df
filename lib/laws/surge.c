/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/laws/surge.c -- pressure waves in pipes: what a closing valve adds.
 *
 *   [WS]  E. B. Wylie and V. L. Streeter, Fluid Transients in Systems (1993):
 *         wave speed of a thin-walled elastic pipe with its restraint,
 *         Joukowsky's rise, and the rigid column under a valve that closes
 *         evenly (from memory)
 */
#include "laws/surge.h"

#include <math.h>

double
fci_wave_speed(double sound, double density, double bore, double wall,
               double modulus, double restraint)
{
    const double bulk = density * sound * sound;

    return sound / sqrt(1 + restraint * bulk * bore / (modulus * wall));
}

double
fci_return_time(double length, double wave_speed)
{
    return 2 * length / wave_speed;
}

double
fci_joukowsky(double density, double wave_speed, double velocity)
{
    return density * wave_speed * velocity;
}

/* With s the share of the opening left, v that of the velocity and x the rise
 * over `still`, v = s sqrt((1 + x) still / flowing).  The most that x comes to
 * is where it stays, the velocity falling as fast as the opening does:
 *     x = n sqrt(1 + x),  n = inertia / (time sqrt(still flowing)),
 * which is the textbooks' N/2 + sqrt(N^2/4 + N) of N = n^2, where friction is
 * nothing and `flowing` the same as `still`.  Friction makes it less. */
double
fci_rigid_surge(double still, double flowing, double inertia, double time)
{
    const double n = inertia / (time * sqrt(still * flowing));

    return still * n * (n / 2 + sqrt(n * n / 4 + 1));
}

double
fci_rigid_closing(double still, double flowing, double inertia, double surge)
{
    const double x = surge / still;
    const double n = x / sqrt(1 + x);

    return inertia / (n * sqrt(still * flowing));
}
