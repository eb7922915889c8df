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

/* How a place follows what a closing valve stirs up: see
 * fci_closing_stir(). */
struct fci_follow {
    double root;  /* of the inertia, density times length over area of the
                     pipes from the source; the sum of several where the flow
                     back may be blocked on the way [(Pa s2/m3)^0.5] */
    double least; /* the least of those [(Pa s2/m3)^0.5] */
    int terms;    /* so many */
};

struct fci_closing {
    double still, flowing; /* pressure before the valve without flow, and
                              while it is open, above 0 and at most that */
    double opening;        /* flow over the root of pressure at first [m3/(s
                              Pa^0.5)] */
    double time;           /* that it closes in [s] */
    double back;           /* of all pipes on the way, what they lose over the
                              square of the flow, times the storage behind
                              them [Pa2 s2/W] */
    struct fci_follow valve;
};

/* How much a valve stirs up at most that closes as in fci_rigid_surge(), with
 * water and pipes that give: the root of the sum of inertia times the square
 * of how fast the flow changes, and storage times the square of how fast the
 * pressure does, over all pipes [(W/s2)^0.5].  INFINITY: no bound is known. */
double fci_closing_stir(const struct fci_closing *closing);

/* What the pressure rises by over that without flow, at most, at a place,
 * where so much is stirred up [Pa]. */
double fci_stirred_rise(const struct fci_closing *closing, double stir,
                        const struct fci_follow *place);

/* The most stir of which fci_stirred_rise() makes no more than `rise`, above
 * 0, at a place whose root is above 0 [(W/s2)^0.5]. */
double fci_stir_within(double back, double rise,
                       const struct fci_follow *place);

/* The shortest time to close in that stirs up no more than `stir`, above 0: in
 * any longer one it is no more, either [s]. */
double fci_closing_time(const struct fci_closing *closing, double stir);

#endif
