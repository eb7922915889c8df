/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_tally.c -- what the flushes of one fixture had, counted.
 *
 *   [W27]  E. B. Wilson, J. American Statistical Association 22 (1927)
 *          209-212: interval for a binomial proportion (from memory)
 *   [K65]  L. Kish, Survey Sampling (1965): effective size of a sample with
 *          weights, (sum of weights)^2 / sum of their squares (from memory)
 *   [AS64] M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions
 *          (1964) (from memory)
 *   [C77]  W. G. Cochran, Sampling Techniques (1977), ch. 6: variance of a
 *          ratio R = sum of y / sum of x, about the sum of (y - R x)^2 over
 *          (sum of x)^2 (from memory)
 */
#include "flow/busy_tally.h"
#include "flow/solver.h"

#include <math.h>

#include <gsl/gsl_cdf.h>

#define PER_PASCAL 1000

/* When a chance is known well enough: a choice of this method. */
#define WIDE_ENOUGH 0.002
#define PART_ENOUGH 0.1

static size_t
bin_of(double pressure, double top)
{
    const double part = top > 0 ? pressure / top : 0;

    if (part >= 1)
        return FCI_TALLY_BINS - 1;
    return part > 0 ? (size_t)(part * FCI_TALLY_BINS) : 0;
}

/* `flushes` of it are still to be added. */
static void
stretch(struct fci_tally *tally, int64_t low, int64_t high)
{
    if (tally->flushes == 0 || low < tally->lowest)
        tally->lowest = low;
    if (tally->flushes == 0 || high > tally->highest)
        tally->highest = high;
}

void
fci_tally_count(struct fci_tally *tally, int count, bool weak)
{
    const uint64_t k = (uint64_t)count;

    tally->flushes += k;
    tally->squares += k * k;
    if (weak) {
        tally->weak += k;
        tally->weak_squares += k * k;
    }
}

void
fci_tally_add(struct fci_tally *tally, int count, double pressure,
              double least, double top)
{
    const int64_t rounded = (int64_t)llround(pressure * PER_PASCAL);

    stretch(tally, rounded, rounded);
    fci_tally_count(tally, count, pressure < least - FCI_SOLVED_TO);
    tally->sum += count * rounded;
    tally->bins[bin_of(pressure, top)] += (uint64_t)count;
}

void
fci_tally_merge(struct fci_tally *into, const struct fci_tally *from)
{
    size_t i;

    if (from->flushes == 0)
        return;
    stretch(into, from->lowest, from->highest);
    into->flushes += from->flushes;
    into->squares += from->squares;
    into->weak += from->weak;
    into->weak_squares += from->weak_squares;
    into->sum += from->sum;
    for (i = 0; i < FCI_TALLY_BINS; i++)
        into->bins[i] += from->bins[i];
}

fc_chance
fci_wilson(double part, double n)
{
    const double z = gsl_cdf_ugaussian_Pinv(0.975);
    const double z2 = z * z / n;
    const double middle = (part + z2 / 2) / (1 + z2);
    const double half =
        z * sqrt(part * (1 - part) / n + z2 / (4 * n)) / (1 + z2);
    fc_chance chance = { true, part, fmax(middle - half, 0),
                         fmin(middle + half, 1) };

    /* at the ends the bound is the estimate, but for rounding */
    if (part <= 0)
        chance.low = 0;
    if (part >= 1)
        chance.high = 1;
    return chance;
}

/* As many independent outcomes would have the variance of the ratio [C77], in
 * which y is k or 0 and x is k.  Where all or none are weak that is nothing,
 * and the states count by their sizes [K65]. */
static double
effective(const struct fci_tally *tally, double part)
{
    const double flushes = (double)tally->flushes;
    const double weak = (double)tally->weak_squares;
    const double strong = (double)(tally->squares - tally->weak_squares);

    if (part <= 0 || part >= 1)
        return flushes * flushes / (double)tally->squares;
    return part * (1 - part) * flushes * flushes
           / ((1 - part) * (1 - part) * weak + part * part * strong);
}

fc_chance
fci_tally_weak(const struct fci_tally *tally)
{
    double part;

    if (tally->flushes == 0)
        return (fc_chance){ 0 };
    part = (double)tally->weak / (double)tally->flushes;
    return fci_wilson(part, effective(tally, part));
}

bool
fci_tally_narrow(const struct fci_tally *tally)
{
    const fc_chance weak = fci_tally_weak(tally);

    return weak.given
           && (weak.high - weak.low) / 2
                  <= fmax(WIDE_ENOUGH, PART_ENOUGH * weak.estimate);
}

/* The chance of so few weak outcomes, or of so many, if as many were weak as
 * are allowed, against that of z deviations of a normal one.  Effective
 * outcomes are no whole numbers, for which the binomial sum is a beta integral
 * [AS64, 26.5.24]. */
enum fci_often
fci_tally_often(const struct fci_tally *tally, double z)
{
    const double rare = gsl_cdf_ugaussian_Q(z);
    double part, n, weak;

    if (tally->flushes == 0)
        return FCI_UNCLEAR;
    part = (double)tally->weak / (double)tally->flushes;
    n = effective(tally, part);
    weak = part * n;
    if (part < FC_MOST_WEAK)
        return gsl_cdf_beta_Q(FC_MOST_WEAK, weak + 1, n - weak) < rare
                   ? FCI_SELDOM
                   : FCI_UNCLEAR;
    return gsl_cdf_beta_P(FC_MOST_WEAK, weak, n - weak + 1) < rare
               ? FCI_TOO_OFTEN
               : FCI_UNCLEAR;
}

double
fci_tally_mean(const struct fci_tally *tally)
{
    if (tally->flushes == 0)
        return NAN;
    return (double)tally->sum / PER_PASCAL / (double)tally->flushes;
}

double
fci_tally_quantile(const struct fci_tally *tally, double part, double top)
{
    const double wanted = part * (double)tally->flushes;
    double below = 0, there;
    size_t i;

    if (tally->flushes == 0)
        return NAN;
    for (i = 0; i < FCI_TALLY_BINS - 1; i++) {
        if (below + (double)tally->bins[i] >= wanted)
            break;
        below += (double)tally->bins[i];
    }
    /* along the bin as if it were filled evenly, but among what there was */
    there = (double)i;
    if (tally->bins[i] > 0)
        there += (wanted - below) / (double)tally->bins[i];
    there *= top / FCI_TALLY_BINS;
    return fmin(fmax(there, (double)tally->lowest / PER_PASCAL),
                (double)tally->highest / PER_PASCAL);
}
