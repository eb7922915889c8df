/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/laws/curve.c -- a monotone curve through points.
 *
 *   [S90]  M. Steffen, Astronomy and Astrophysics 239 (1990) 443-450, as GSL's
 *          gsl_interp_steffen does it
 */
#include "laws/curve.h"
#include "ground/gsl_guard.h"

#include <stdlib.h>

#include <gsl/gsl_interp.h>

struct fci_curve {
    size_t n;
    double *x, *y;
    gsl_interp *between; /* NULL: two points, a straight line */
};

static gsl_interp *
new_interpolation(const double *x, const double *y, size_t n)
{
    gsl_error_handler_t *host = fci_gsl_quiet();
    gsl_interp *interpolation = gsl_interp_alloc(gsl_interp_steffen, n);

    if (interpolation
        && gsl_interp_init(interpolation, x, y, n) != GSL_SUCCESS) {
        gsl_interp_free(interpolation);
        interpolation = NULL;
    }
    fci_gsl_restore(host);
    return interpolation;
}

struct fci_curve *
fci_curve_new(const fc_point *points, size_t n)
{
    struct fci_curve *curve = malloc(sizeof *curve);
    size_t i;

    if (!curve)
        return NULL;
    curve->n = n;
    curve->between = NULL;
    curve->x = malloc(2 * n * sizeof *curve->x);
    if (!curve->x) {
        free(curve);
        return NULL;
    }
    curve->y = curve->x + n;
    for (i = 0; i < n; i++) {
        curve->x[i] = points[i].x;
        curve->y[i] = points[i].y;
    }
    if (n > 2) {
        curve->between = new_interpolation(curve->x, curve->y, n);
        if (!curve->between) {
            fci_curve_free(curve);
            return NULL;
        }
    }
    return curve;
}

void
fci_curve_free(struct fci_curve *curve)
{
    if (!curve)
        return;
    gsl_interp_free(curve->between);
    free(curve->x);
    free(curve);
}

double
fci_curve_end(const struct fci_curve *curve)
{
    return curve->x[curve->n - 1];
}

/* The straight line through the last two points. */
static double
last_slope(const struct fci_curve *curve)
{
    const double *px = curve->x + curve->n - 2, *py = curve->y + curve->n - 2;

    return (py[1] - py[0]) / (px[1] - px[0]);
}

double
fci_curve_beyond(const struct fci_curve *curve, double x, bool falls,
                 double *slope)
{
    const double end = fci_curve_end(curve), y = curve->y[curve->n - 1];
    const double sign = falls ? -1 : 1;
    double from = curve->y[0];

    /* points that do not grow yet say nothing of how it will */
    if (sign * (y - from) <= 0 || sign * last_slope(curve) <= 0)
        from = falls ? 2 * y : 0;
    *slope = 2 * (y - from) * x / (end * end);
    return from + (y - from) * (x / end) * (x / end);
}

static double
last_line(const struct fci_curve *curve, double x)
{
    return curve->y[curve->n - 1]
           + last_slope(curve) * (x - fci_curve_end(curve));
}

double
fci_curve_at(const struct fci_curve *curve, double x)
{
    if (x <= curve->x[0])
        return curve->y[0];
    if (x >= fci_curve_end(curve) || !curve->between)
        return last_line(curve, x);
    return gsl_interp_eval(curve->between, curve->x, curve->y, x, NULL);
}

double
fci_curve_slope(const struct fci_curve *curve, double x)
{
    if (x < curve->x[0])
        return 0;
    if (x >= fci_curve_end(curve) || !curve->between)
        return last_slope(curve);
    return gsl_interp_eval_deriv(curve->between, curve->x, curve->y, x, NULL);
}
