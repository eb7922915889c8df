/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/laws/curve.c -- a monotone curve through points.
 *
 *   [S90]  M. Steffen, Astronomy and Astrophysics 239 (1990) 443-450, as GSL's
 *          gsl_interp_steffen does it
 */
#include "laws/curve.h"
#include "ground/gsl_guard.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_interp.h>

/* Which side of a curve that turns back a monotone one keeps to. */
enum side {
    ITSELF, /* it does not turn back */
    ABOVE,  /* as much as at any smaller x */
    BELOW   /* as little as at any larger x */
};

struct fci_curve {
    size_t n;
    double *x, *y;   /* monotone */
    double *printed; /* y before it was made so; of ITSELF the same */
    enum side side;
    gsl_interp *between; /* of `printed`; NULL: two points, a straight line */
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

/* Each y no less than those before it, or no more than those behind it. */
static void
keep_to_side(struct fci_curve *curve)
{
    const size_t n = curve->n;
    size_t i;

    for (i = 1; i < n; i++)
        if (curve->side == ABOVE)
            curve->y[i] = fmax(curve->y[i], curve->y[i - 1]);
        else if (curve->side == BELOW)
            curve->y[n - 1 - i] = fmin(curve->y[n - 1 - i], curve->y[n - i]);
}

static struct fci_curve *
new_curve(const fc_point *points, size_t n, enum side side)
{
    struct fci_curve *curve = malloc(sizeof *curve);
    size_t i;

    if (!curve)
        return NULL;
    curve->n = n;
    curve->side = side;
    curve->between = NULL;
    curve->x = malloc(3 * n * sizeof *curve->x);
    if (!curve->x) {
        free(curve);
        return NULL;
    }
    curve->y = curve->x + n;
    curve->printed = curve->y + n;
    for (i = 0; i < n; i++) {
        curve->x[i] = points[i].x;
        curve->y[i] = curve->printed[i] = points[i].y;
    }
    keep_to_side(curve);
    if (n > 2) {
        curve->between = new_interpolation(curve->x, curve->printed, n);
        if (!curve->between) {
            fci_curve_free(curve);
            return NULL;
        }
    }
    return curve;
}

struct fci_curve *
fci_curve_new(const fc_point *points, size_t n)
{
    return new_curve(points, n, ITSELF);
}

struct fci_curve *
fci_curve_over(const fc_point *points, size_t n)
{
    return new_curve(points, n, ABOVE);
}

struct fci_curve *
fci_curve_under(const fc_point *points, size_t n)
{
    return new_curve(points, n, BELOW);
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

/* Between the first point and the last, as it is printed. */
static double
printed_at(const struct fci_curve *curve, double x)
{
    const double *px = curve->x, *py = curve->printed;

    if (!curve->between)
        return py[0] + (py[1] - py[0]) / (px[1] - px[0]) * (x - px[0]);
    return gsl_interp_eval(curve->between, px, py, x, NULL);
}

static double
printed_slope(const struct fci_curve *curve, double x)
{
    const double *px = curve->x, *py = curve->printed;

    if (!curve->between)
        return (py[1] - py[0]) / (px[1] - px[0]);
    return gsl_interp_eval_deriv(curve->between, px, py, x, NULL);
}

/* What a curve that turns back is kept to at x, its points before it, or
 * behind it, taken together: on each piece it goes one way. */
static double
kept_to(const struct fci_curve *curve, double x)
{
    size_t low = 0, high = curve->n - 1;

    while (high - low > 1) {
        const size_t middle = low + (high - low) / 2;

        if (curve->x[middle] <= x)
            low = middle;
        else
            high = middle;
    }
    return curve->y[curve->side == ABOVE ? low : high];
}

double
fci_curve_at(const struct fci_curve *curve, double x)
{
    double y;

    if (x <= curve->x[0])
        return curve->y[0];
    if (x >= fci_curve_end(curve))
        return last_line(curve, x);
    if (curve->side == ITSELF)
        return curve->between ? printed_at(curve, x) : last_line(curve, x);
    y = printed_at(curve, x);
    return curve->side == ABOVE ? fmax(y, kept_to(curve, x))
                                : fmin(y, kept_to(curve, x));
}

double
fci_curve_slope(const struct fci_curve *curve, double x)
{
    double y, kept;

    if (x < curve->x[0])
        return 0;
    if (x >= fci_curve_end(curve))
        return last_slope(curve);
    if (curve->side == ITSELF)
        return curve->between ? printed_slope(curve, x) : last_slope(curve);
    y = printed_at(curve, x);
    kept = kept_to(curve, x);
    return (curve->side == ABOVE ? y > kept : y < kept)
               ? printed_slope(curve, x)
               : 0;
}
