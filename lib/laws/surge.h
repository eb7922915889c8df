/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/laws/surge.h -- pressure waves in pipes: what a closing valve adds. */
#ifndef FCI_LAWS_SURGE_H
#define FCI_LAWS_SURGE_H

/* How fast a wave runs in a pipe full of water [m/s]: `sound` in water [m/s],
 * `density` [kg/m3], `bore` and `wall` [m] of a thin-walled pipe, `modulus` of
 * elasticity of its material [Pa] and `restraint`, the coefficient of how it
 * is held: 1 with expansion joints, 1 - nu/2 anchored at one end, 1 - nu^2
 * anchored throughout.  A `modulus` of INFINITY is a rigid pipe, where a wave
 * is fastest. */
double fci_wave_speed(double sound, double density, double bore, double wall,
                      double modulus, double restraint);

/* After so long a wave is back from the other end of a pipe [s]. */
double fci_return_time(double length, double wave_speed);

/* What the pressure rises by where water that ran at `velocity` [m/s] is
 * stopped at once [Pa]. */
double fci_joukowsky(double density, double wave_speed, double velocity);

/* What the pressure rises by over `still`, that without flow, as the opening
 * of a valve shrinks evenly to nothing within `time` [s], with the water as
 * one rigid body [Pa].  `flowing` is the pressure before the open valve, above
 * 0 and at most `still`, and `inertia` the sum of density, length and velocity
 * over the pipes [Pa s].  INFINITY where `time` is 0. */
double fci_rigid_surge(double still, double flowing, double inertia,
                       double time);

/* The time that makes it `surge`, above 0: shorter makes it more. */
double fci_rigid_closing(double still, double flowing, double inertia,
                         double surge);

#endif
