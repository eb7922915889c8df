/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_curve.c -- a monotone curve through points.
 *
 *   [S90]  M. Steffen, Astronomy and Astrophysics 239 (1990) 443-450
 */
#include "laws/curve.h"
#include "generators/sites.h"

#include <math.h>

#include <gsl/gsl_errno.h>

#define MOST 12

/* ---- The method, written out ------------------------------------------- */

static double
slope(const fc_point *p, size_t i)
{
    return (p[i + 1].y - p[i].y) / (p[i + 1].x - p[i].x);
}

static double
sign(double x)
{
    return x < 0 ? -1 : 1;
}

/* [S90], eq. 11: the slope at a point; at the ends that of the interval
 * beside it, the simplest of the choices there (from memory). */
static double
slope_at(const fc_point *p, size_t n, size_t i)
{
    double before, after, left, right, mean;

    if (i == 0 || i == n - 1)
        return slope(p, i ? n - 2 : 0);
    before = slope(p, i - 1);
    after = slope(p, i);
    left = p[i].x - p[i - 1].x;
    right = p[i + 1].x - p[i].x;
    mean = (before * right + after * left) / (left + right);
    return (sign(before) + sign(after))
           * fmin(fmin(fabs(before), fabs(after)), 0.5 * fabs(mean));
}

/* [S90], eqs. 2 to 5. */
static double
reference(const fc_point *p, size_t n, double x)
{
    size_t i = 0;
    double h, s, from, to, t;

    while (i < n - 2 && x > p[i + 1].x)
        i++;
    h = p[i + 1].x - p[i].x;
    s = slope(p, i);
    from = slope_at(p, n, i);
    to = slope_at(p, n, i + 1);
    t = x - p[i].x;
    return p[i].y + t * from + t * t * (3 * s - 2 * from - to) / h
           + t * t * t * (from + to - 2 * s) / (h * h);
}

/* ---- Values ------------------------------------------------------------ */

/* By hand from [S90].  0, 10; 40, 11.5; 80, 14: slopes 0.0375 and 0.0625,
 * their mean 0.05, so 0.05 at the middle point; at 20
 *   10 + 20 * 0.0375 - 400 * 0.0003125 + 8000 * 0.0000078125 = 10.6875
 * and at 60 (20 into the second interval)
 *   11.5 + 20 * 0.05 + 400 * 0.000625 - 8000 * 0.0000078125 = 12.6875.
 * A flat interval has slope 0 at both its ends; between two of them the cubic
 * is 3 t2 - 2 t3: 0.15625 at a quarter, 0.5 at the half.
 * 0, 0; 1, 0.1; 2, 10.1: slopes 0.1 and 10, mean 5.05; twice the least, 0.2,
 * bounds it; at 1.5: 0.1 + 0.5 * 0.2 + 0.25 * 19.6 - 0.125 * 9.8 = 3.875. */
static const fc_point opening[] = { { 0, 10 }, { 40, 11.5 }, { 80, 14 } };
static const fc_point flats[] = { { 0, 0 }, { 1, 0 }, { 2, 1 }, { 3, 1 } };
static const fc_point bend[] = { { 0, 0 }, { 1, 0.1 }, { 2, 10.1 } };
static const fc_point line[] = { { 10, 4 }, { 30, 3 } };

static const struct {
    const fc_point *points;
    size_t n;
    double x, y;
} values[] = {
    { opening, 3, 20, 10.6875 },
    { opening, 3, 60, 12.6875 },
    { opening, 3, 0, 10 }, /* through its points */
    { opening, 3, 40, 11.5 },
    { opening, 3, 80, 14 },
    { opening, 3, -5, 10 },    /* the first value before the first */
    { opening, 3, 120, 16.5 }, /* the last slope beyond: 0.0625 a step */
    { opening, 3, 1080, 76.5 },
    { flats, 4, 0.7, 0 },
    { flats, 4, 1.25, 0.15625 },
    { flats, 4, 1.5, 0.5 },
    { flats, 4, 2.5, 1 },
    { flats, 4, 100, 1 },
    { bend, 3, 1.5, 3.875 },
    { line, 2, 20, 3.5 }, /* two points: a straight line */
    { line, 2, 15, 3.75 },
    { line, 2, 50, 2 },
    { line, 2, 0, 4 },
};

START_TEST(value)
{
    struct fci_curve *curve = fci_curve_new(values[_i].points, values[_i].n);

    ck_assert_ptr_nonnull(curve);
    ck_assert_double_eq_tol(fci_curve_at(curve, values[_i].x), values[_i].y,
                            1e-12 * (1 + fabs(values[_i].y)));
    ck_assert_double_eq(fci_curve_end(curve),
                        values[_i].points[values[_i].n - 1].x);
    fci_curve_free(curve);
}
END_TEST

/* ---- Curves of all shapes ---------------------------------------------- */

/* A repeatable sequence (D. H. Lehmer's, with the multiplier 48271). */
static double
next_share(unsigned long *seed)
{
    *seed = *seed * 48271UL % 2147483647UL;
    return (double)*seed / 2147483647.0;
}

static size_t
make_points(unsigned long *seed, double direction, fc_point *points)
{
    const size_t n = 3 + (size_t)(next_share(seed) * (MOST - 3));
    double x = 0, y = 50;
    size_t i;

    for (i = 0; i < n; i++) {
        points[i] = (fc_point){ x, y };
        x += 0.01 + 10 * next_share(seed);
        if (next_share(seed) > 0.2) /* else flat */
            y += direction * pow(10 * next_share(seed), 3);
    }
    return n;
}

START_TEST(stays_monotone)
{
    unsigned long seed = 1 + (unsigned long)_i;
    const double direction = _i % 2 ? 1 : -1;
    fc_point points[MOST] = { { 0, 0 } };
    const size_t n = make_points(&seed, direction, points);
    struct fci_curve *curve = fci_curve_new(points, n);
    double last = points[0].y, y, x, slack = 0;
    size_t i;
    int k;

    ck_assert_ptr_nonnull(curve);
    slack = 1e-12 * (1 + fabs(points[0].y - points[n - 1].y) + 50);
    for (i = 0; i < n; i++)
        ck_assert_double_eq_tol(fci_curve_at(curve, points[i].x), points[i].y,
                                slack);
    for (k = 0; k <= 5000; k++) {
        x = points[n - 1].x * k / 4000;
        y = fci_curve_at(curve, x);
        ck_assert_msg(direction * (y - last) >= -slack, "turns at %g", x);
        if (k < 4000)
            ck_assert_double_eq_tol(y, reference(points, n, x), slack);
        last = y;
    }
    fci_curve_free(curve);
}
END_TEST

START_TEST(points_are_copied)
{
    fc_point points[] = { { 0, 10 }, { 40, 11.5 }, { 80, 14 } };
    struct fci_curve *curve = fci_curve_new(points, 3);

    ck_assert_ptr_nonnull(curve);
    memset(points, 0, sizeof points);
    ck_assert_double_eq_tol(fci_curve_at(curve, 20), 10.6875, 1e-12);
    ck_assert_double_eq_tol(fci_curve_at(curve, 120), 16.5, 1e-12);
    fci_curve_free(curve);
    fci_curve_free(NULL);
}
END_TEST

/* ---- The host's handler ------------------------------------------------ */

static void
of_host(const char *reason, const char *file, int at, int code)
{
    ck_abort_msg("%s (%s:%d, %d)", reason, file, at, code);
}

START_TEST(handler_is_put_back)
{
    struct fci_curve *curve;

    gsl_set_error_handler(of_host);
    curve = fci_curve_new(opening, 3);
    ck_assert_ptr_nonnull(curve);
    ck_assert(gsl_set_error_handler(NULL) == of_host);
    fci_curve_free(curve);
}
END_TEST

/* ---- Curves that turn back --------------------------------------------- */

#define STEPS 2000

static const fc_point turning[][5] = {
    { { 0, 9 }, { 20, 5 }, { 30, 6 }, { 45, 4 }, { 60, 12 } },
    { { 0, 2 }, { 10, 30 }, { 14, 1 }, { 18, 29 }, { 60, 31 } },
    { { 0, 9 }, { 20, 8 }, { 30, 6 }, { 45, 4 }, { 60, 2 } },
    { { 0, 0 }, { 20, 8 }, { 30, 8 }, { 45, 9 }, { 60, 20 } },
};

/* Against the largest value so far, and the smallest to come, of the curve
 * through the points itself, at two thousand places; a step beside one of its
 * turns it is less than 0.5 off. */
START_TEST(sides)
{
    const fc_point *p = turning[_i];
    struct fci_curve *itself = fci_curve_new(p, 5);
    struct fci_curve *over = fci_curve_over(p, 5);
    struct fci_curve *under = fci_curve_under(p, 5);
    double most = 0, least[STEPS + 1];
    int i;

    for (i = STEPS; i >= 0; i--) {
        least[i] = fci_curve_at(itself, 60.0 * i / STEPS);
        if (i < STEPS)
            least[i] = fmin(least[i], least[i + 1]);
    }
    for (i = 0; i <= STEPS; i++) {
        const double x = 60.0 * i / STEPS, y = fci_curve_at(itself, x);

        most = fmax(most, y);
        ck_assert_double_eq_tol(fci_curve_at(over, x), most, 0.5);
        ck_assert_double_eq_tol(fci_curve_at(under, x), least[i], 0.5);
        ck_assert_double_ge(fci_curve_at(over, x), most - 1e-12);
        ck_assert_double_le(fci_curve_at(under, x), least[i] + 1e-12);
        if (i < STEPS) { /* beyond the last point its line goes on */
            ck_assert_double_ge(fci_curve_slope(over, x), -1e-12);
            ck_assert_double_ge(fci_curve_slope(under, x), -1e-12);
        }
    }
    fci_curve_free(itself);
    fci_curve_free(over);
    fci_curve_free(under);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("curve");
    TCase *t = tcase_create("values");

    tcase_add_loop_test(t, value, 0, COUNT(values));
    tcase_add_loop_test(t, sides, 0, COUNT(turning));
    tcase_add_test(t, points_are_copied);
    tcase_add_test(t, handler_is_put_back);
    suite_add_tcase(suite, t);
    t = tcase_create("shapes");
    tcase_add_sampled_test(t, stays_monotone, 200);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
