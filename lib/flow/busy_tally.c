/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_tally.c -- what the flushes of one fixture had, counted.
 *
 * A chance is the sum over strata of the part of flushes that are of each and
 * of the part of those that are weak, and its variance that of a stratified
 * sample [C77, ch. 5].  Where all or none of a stratum are weak, so many of
 * them say no more than that it is seldom otherwise: half a flush is put to
 * both sides then [AC98, in its form of one half].  With more valves on in a
 * monotone building the chance of a weak flush is no less [E65], so that the
 * strata from one up to the last without a weak flush tell of it together.
 *
 *   [W27]  E. B. Wilson, J. American Statistical Association 22 (1927)
 *          209-212: interval for a binomial proportion (from memory)
 *   [K65]  L. Kish, Survey Sampling (1965): effective size of a sample with
 *          weights, (sum of weights)^2 / sum of their squares (from memory)
 *   [AS64] M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions
 *          (1964) (from memory)
 *   [C77]  W. G. Cochran, Sampling Techniques (1977), ch. 5: stratified
 *          samples; ch. 6: variance of a ratio R = sum of y / sum of x, about
 *          the sum of (y - R x)^2 over (sum of x)^2 (from memory)
 *   [AC98] A. Agresti and B. A. Coull, The American Statistician 52 (1998)
 *          119-126 (from memory)
 *   [E65]  B. Efron, Annals of Mathematical Statistics 36 (1965) 272-279:
 *          given their sum, independent variables whose densities are
 *          logarithmically concave grow with it (from memory)
 */
#include "flow/busy_tally.h"

#include <math.h>

#include <gsl/gsl_cdf.h>

/* When a chance is known well enough: a choice of this method. */
#define WIDE_ENOUGH 0.0002
#define PART_ENOUGH 0.1
#define WIDE_ENOUGH_TO_JUDGE (0.2 * FC_MOST_WEAK)
#define PART_ENOUGH_TO_JUDGE 0.2

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
fci_tally_merge(struct fci_tally *into, const struct fci_tally *from)
{
    into->flushes += from->flushes;
    into->squares += from->squares;
    into->weak += from->weak;
    into->weak_squares += from->weak_squares;
}

/* ---- Intervals -------------------------------------------------------- */

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

/* ---- Strata ----------------------------------------------------------- */

/* Of one stratum. */
struct outcome {
    double part, n;
};

static struct outcome
outcome_of(const struct fci_tally *tally)
{
    const double part = (double)tally->weak / (double)tally->flushes;

    return (struct outcome){ part, effective(tally, part) };
}

/* The outcomes of the stratum and of those beyond it, up to the first of which
 * any is the other way. */
static double
alike(const struct fci_strata *s, size_t i)
{
    const struct outcome own = outcome_of(&s->tallies[i]);
    const bool none = own.part <= 0;
    double n = own.n;
    size_t k = i;

    while (s->monotone) {
        const struct fci_tally *tally;

        if (none ? ++k >= s->n : k-- <= s->told)
            break;
        tally = &s->tallies[k];
        if (tally->weak != (none ? 0 : tally->flushes))
            break;
        if (tally->flushes > 0)
            n += outcome_of(tally).n;
    }
    return n;
}

/* The same, never sure of its part; `i` has been seen. */
static struct outcome
doubted(const struct fci_strata *s, size_t i)
{
    struct outcome o = outcome_of(&s->tallies[i]);

    if (o.part > 0 && o.part < 1)
        return o;
    o.n = alike(s, i) + 1;
    o.part = (o.part * (o.n - 1) + 0.5) / o.n;
    return o;
}

struct fci_known
fci_strata_known(const struct fci_strata *s)
{
    double variance = 0, about = 0, all = 0;
    struct fci_known known = { 0, 0, 1 };
    size_t i;

    for (i = 0; i < s->n; i++) {
        struct outcome o;

        if (i >= s->told && s->tallies[i].flushes == 0)
            continue;
        all += s->part[i];
        if (i < s->told || !(s->part[i] > 0))
            continue;
        o = doubted(s, i);
        known.part += s->part[i] * outcome_of(&s->tallies[i]).part;
        about += s->part[i] * o.part;
        variance += s->part[i] * s->part[i] * o.part * (1 - o.part) / o.n;
    }
    known.left_out = fmax(1 - all, 0);
    known.part = all > 0 ? fmin(known.part / all, 1) : 0;
    known.n = variance > 0 ? about * (1 - about) / variance : INFINITY;
    return known;
}

void
fci_strata_spread(const struct fci_strata *s, double *spread)
{
    size_t i;

    for (i = 0; i < s->n; i++) {
        const double part = i < s->told                  ? 0
                            : s->tallies[i].flushes == 0 ? 0.5
                                                         : doubted(s, i).part;

        spread[i] = s->part[i] * sqrt(part * (1 - part));
    }
}

fc_chance
fci_known_chance(const struct fci_known *known)
{
    fc_chance chance = { true, known->part, known->part, known->part };

    if (!(known->n > 0))
        return (fc_chance){ 0 };
    if (!isinf(known->n))
        chance = fci_wilson(known->part, known->n);
    chance.low *= 1 - known->left_out;
    chance.high = fmin(chance.high + known->left_out, 1);
    return chance;
}

double
fci_known_lacks(const struct fci_known *known, bool verdict)
{
    const fc_chance weak = fci_known_chance(known);
    const double wide = verdict ? WIDE_ENOUGH_TO_JUDGE : WIDE_ENOUGH;
    const double part = verdict ? PART_ENOUGH_TO_JUDGE : PART_ENOUGH;
    const double half = (weak.high - weak.low) / 2;
    const double enough = fmax(wide, part * weak.estimate);

    return weak.given ? half * half / (enough * enough) : INFINITY;
}

bool
fci_known_narrow(const struct fci_known *known, bool verdict)
{
    return fci_known_lacks(known, verdict) <= 1;
}

/* The chance of so few weak outcomes, or of so many, if as many were weak as
 * are allowed, against that of z deviations of a normal one.  Effective
 * outcomes are no whole numbers, for which the binomial sum is a beta integral
 * [AS64, 26.5.24]. */
enum fci_often
fci_known_often(const struct fci_known *known, double z)
{
    const double rare = gsl_cdf_ugaussian_Q(z);
    const double n = known->n, weak = known->part * n;

    if (!(n > 0))
        return FCI_UNCLEAR;
    if (known->part + known->left_out < FC_MOST_WEAK)
        return isinf(n)
                       || gsl_cdf_beta_Q(FC_MOST_WEAK - known->left_out,
                                         weak + 1, n - weak)
                              < rare
                   ? FCI_SELDOM
                   : FCI_UNCLEAR;
    if (!(known->part > FC_MOST_WEAK))
        return FCI_UNCLEAR;
    return isinf(n) || gsl_cdf_beta_P(FC_MOST_WEAK, weak, n - weak + 1) < rare
               ? FCI_TOO_OFTEN
               : FCI_UNCLEAR;
}

/* ---- What they had ---------------------------------------------------- */

/* With weights of 2^42 the sums of parts stay below 2^59.  What is lost on the
 * way may be more than any pressure; so far below it is all the same. */
#define PART 65536       /* [Pa] */
#define FARTHEST 0x1p+33 /* [Pa] */

static size_t
bin_of(double pressure, double top)
{
    const double part = top > 0 ? pressure / top : 0;

    if (part >= 1)
        return FCI_PRESSURE_BINS - 1;
    return part > 0 ? (size_t)(part * FCI_PRESSURE_BINS) : 0;
}

/* The weight is still to be added. */
static void
stretch(struct fci_pressures *p, int64_t low, int64_t high)
{
    if (p->weight == 0 || low < p->lowest)
        p->lowest = low;
    if (p->weight == 0 || high > p->highest)
        p->highest = high;
}

void
fci_pressures_add(struct fci_pressures *p, uint64_t weight, double pressure,
                  double top)
{
    const int64_t rounded =
        (int64_t)llround(fmin(fmax(pressure, -FARTHEST), FARTHEST));
    const int64_t part = rounded & (PART - 1);

    if (weight == 0)
        return;
    stretch(p, rounded, rounded);
    p->weight += weight;
    p->sum += (int64_t)weight * ((rounded - part) / PART);
    p->parts += (int64_t)weight * part;
    p->bins[bin_of(pressure, top)] += weight;
}

void
fci_pressures_merge(struct fci_pressures *into,
                    const struct fci_pressures *from)
{
    size_t i;

    if (from->weight == 0)
        return;
    stretch(into, from->lowest, from->highest);
    into->weight += from->weight;
    into->sum += from->sum;
    into->parts += from->parts;
    for (i = 0; i < FCI_PRESSURE_BINS; i++)
        into->bins[i] += from->bins[i];
}

double
fci_pressures_mean(const struct fci_pressures *p)
{
    return p->weight == 0 ? NAN
                          : ((double)p->sum * PART + (double)p->parts)
                                / (double)p->weight;
}

double
fci_pressures_quantile(const struct fci_pressures *p, double part, double top)
{
    const double wanted = part * (double)p->weight;
    double below = 0, there;
    size_t i;

    if (p->weight == 0)
        return NAN;
    for (i = 0; i < FCI_PRESSURE_BINS - 1; i++) {
        if (below + (double)p->bins[i] >= wanted)
            break;
        below += (double)p->bins[i];
    }
    /* along the bin as if it were filled evenly, but among what there was */
    there = (double)i;
    if (p->bins[i] > 0)
        there += (wanted - below) / (double)p->bins[i];
    there *= top / FCI_PRESSURE_BINS;
    return fmin(fmax(there, (double)p->lowest), (double)p->highest);
}
