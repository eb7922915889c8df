/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/laws/curve.h -- a monotone curve through points. */
#ifndef FCI_LAWS_CURVE_H
#define FCI_LAWS_CURVE_H

#include "flushcalc.h"

struct fci_curve;

/* A curve through n >= 2 points ascending in x and monotone in y: Steffen's
 * cubic between them, which stays monotone; the first value before the first
 * point; the last interval's straight line beyond the last.  NULL when out of
 * memory.  Points are copied. */
struct fci_curve *fci_curve_new(const fc_point *points, size_t n);
/* The same through points that turn back, which is monotone and rises: the
 * least that is nowhere under the curve through them, and the most that is
 * nowhere over it. */
struct fci_curve *fci_curve_over(const fc_point *points, size_t n);
struct fci_curve *fci_curve_under(const fc_point *points, size_t n);
void fci_curve_free(struct fci_curve *curve);

/* x not NaN.  Safe from several threads at once. */
double fci_curve_at(const struct fci_curve *curve, double x);
/* Its derivative there; at a kink, that of the piece to the right. */
double fci_curve_slope(const struct fci_curve *curve, double x);
/* Beyond the last point, by the square of x from the first point through the
 * last one, with its slope; where the points do not grow that way yet, from
 * none (a head that `falls`: from the last one down). */
double fci_curve_beyond(const struct fci_curve *curve, double x, bool falls,
                        double *slope);
/* The last point's x: beyond it the curve is extrapolated. */
double fci_curve_end(const struct fci_curve *curve);

#endif
