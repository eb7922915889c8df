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
 * nothing and `flowing` the same as `still`.  Friction makes it less.
 * fci_closing_stir() has what elastic pipes do. */
double
fci_rigid_surge(double still, double flowing, double inertia, double time)
{
    const double n = inertia / (time * sqrt(still * flowing));

    return still * n * (n / 2 + sqrt(n * n / 4 + 1));
}

/* ---- Pipes that give -----------------------------------------------------
 *
 * In pipes of inertia i and storage s, by length, with a drop of pressure
 * r(q) by length that grows with the flow q, and nothing with it:
 *     i q' = -dp/dx - r(q),  s p' = -dq/dx.
 * So stir, the root of the sum over all pipes of i q'^2 + s p'^2, obeys
 *     (stir^2)' = -2 (sum of r'(q) q'^2) - 2 p' q' at the valve,
 * for a source keeps its pressure, and a closed end its flow of none.  The
 * valve passes q = open c sqrt(p), open' = -1 / time, so that there
 *     q' = -c / time sqrt(p) + q / (2 p) p',
 *     -2 p' q' <= 2 c / time sqrt(p) p' = 4 c / (3 time) (p^(3/2))'.
 * stir is 0 at first and stays as it is after the valve has closed, or grows
 * less.  So
 *     stir^2 <= 4 c / (3 time) (p^(3/2) - flowing^(3/2)).
 * From the source to a place p is what it is without flow, less the sum of
 * i q' and of what is lost, which is against it where the flow runs back.  By
 * Cauchy and Schwarz the first is at most root stir; the flow back in a pipe
 * is at most the root of the storage behind it times stir, what is lost to it
 * hence at most back stir^2.  The two share stir^2, so that back adds nothing
 * until 2 back stir is more than root, and
 *     back (stir - root / (2 back))^2
 * from there on.  The first rise before the valve that comes out as itself,
 * put in for p, is not passed.
 *
 * Where flow back may be blocked the pressure behind may stay above that of
 * the source.  While it runs back there, the pipes behind only lose water, so
 * that their mean pressure falls; it is then at most what it was when the flow
 * was last none, and a place differs from the mean by another root times
 * stir: the roots add up. */

static double
power_at(const struct fci_closing *c, double rise)
{
    return pow(c->still + rise, 1.5) - pow(c->flowing, 1.5);
}

double
fci_stirred_rise(const struct fci_closing *c, double stir,
                 const struct fci_follow *place)
{
    const double more =
        c->back > 0 ? fmax(stir - place->least / (2 * c->back), 0) : 0;
    const double lost = place->terms * c->back * more * more;

    return place->root > 0 ? place->root * stir + lost : lost;
}

#define MOST_STEPS 2000

double
fci_closing_stir(const struct fci_closing *c)
{
    const double k = 4 * c->opening / (3 * c->time);
    double rise = 1e-9 * c->still; /* without a loss none comes out as none */

    if (!(c->time > 0))
        return (double)INFINITY;
    for (int i = 0; i < MOST_STEPS; i++) {
        const double stir = sqrt(k * power_at(c, rise));
        const double next = fci_stirred_rise(c, stir, &c->valve);

        if (!isfinite(next))
            break;
        if (next <= rise * (1 + 1e-12))
            return stir * (1 + 1e-9);
        rise = next;
    }
    return (double)INFINITY;
}

double
fci_stir_within(double back, double rise, const struct fci_follow *place)
{
    const double root = place->root, all = back * place->terms;
    const double stir = rise / root, least = place->least / (2 * back);

    /* root stir + all (stir - least)^2 = rise */
    return !(back * stir > 0) || stir <= least
               ? stir
               : least
                     + 2 * (rise - root * least)
                           / (root
                              + sqrt(root * root
                                     + 4 * all * (rise - root * least)));
}

/* What it takes to stir up so much, and no less. */
static double
time_of(const struct fci_closing *c, double stir)
{
    return 4 * c->opening / 3
           * power_at(c, fci_stirred_rise(c, stir, &c->valve)) / (stir * stir);
}

#define STEPS 64

/* Of less stir it is longer, as long as little is lost to a flow back; beyond
 * the shortest time no bound is known. */
double
fci_closing_time(const struct fci_closing *c, double stir)
{
    const double least =
        c->back > 0 ? fmin(stir, c->valve.least / (2 * c->back)) : stir;
    double time = time_of(c, least);

    for (int i = 1; i <= STEPS && stir > least; i++) {
        const double next = time_of(c, least + (stir - least) * i / STEPS);

        if (next > time)
            break;
        time = next;
    }
    return time;
}
