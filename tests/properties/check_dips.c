/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/check_dips.c -- losses whose curve dips, against all flows
 * that fit the printed curve.
 *
 *   [S90]  M. Steffen, Astronomy and Astrophysics 239 (1990) 443-450, by GSL's
 *          gsl_interp_steffen, through the points as they are printed
 *
 * A source of constant pressure P, something with a loss L(q), and one valve
 * that has k q^2: every q with P - L(q) = k q^2 is a flow that may be.  They
 * are found apart from the program, by a scan and Brent's method.
 */
#include "generators/sites.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_interp.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_roots.h>
#include <math.h>

#define TRIALS 500
#define MOST_POINTS 6
#define LAST_FLOW 100.0 /* gpm */
#define SCAN 20000
#define MOST_ROOTS 8
#define RATED 25.0 /* gpm at 35 psi */
#define K (35.0 / (RATED * RATED))
#define WITHIN 1e-3 /* psi: the solver is good to 0.1 Pa, 1.5e-5 psi */

struct trial {
    int n;
    double x[MOST_POINTS], y[MOST_POINTS]; /* gpm, psi */
    double supply;                         /* psi */
    gsl_interp *printed;
    double roots[MOST_ROOTS]; /* gpm */
    int n_roots;
};

static double
printed_loss(const struct trial *t, double flow)
{
    return gsl_interp_eval(t->printed, t->x, t->y, flow, NULL);
}

static double
miss(double flow, void *trial)
{
    const struct trial *t = trial;

    return t->supply - printed_loss(t, flow) - K * flow * flow;
}

static double
root_between(struct trial *t, double low, double high)
{
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    gsl_function f = { miss, t };
    double root;
    int i;

    ck_assert_int_eq(gsl_root_fsolver_set(solver, &f, low, high), GSL_SUCCESS);
    for (i = 0; i < 100; i++)
        gsl_root_fsolver_iterate(solver);
    root = gsl_root_fsolver_root(solver);
    gsl_root_fsolver_free(solver);
    return root;
}

static void
find_roots(struct trial *t)
{
    const double step = LAST_FLOW / SCAN;
    int i;

    for (i = 0; i < SCAN && t->n_roots < MOST_ROOTS; i++)
        if ((miss(i * step, t) > 0) != (miss((i + 1) * step, t) > 0))
            t->roots[t->n_roots++] = root_between(t, i * step, (i + 1) * step);
}

/* Points of which some dip; the supply is enough for some flow, and not for
 * one beyond the last point. */
static struct trial
some_trial(unsigned long seed)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct trial t = { 0 };
    int i;

    gsl_rng_set(rng, 9000 + seed);
    t.n = 3 + (int)gsl_rng_uniform_int(rng, MOST_POINTS - 2);
    for (i = 0; i < t.n; i++) {
        t.x[i] = i == 0 ? 0 : t.x[i - 1] + 3 + 12 * gsl_rng_uniform(rng);
        t.y[i] = floor(120 * gsl_rng_uniform(rng)) / 2;
    }
    t.x[t.n - 1] = LAST_FLOW;
    t.supply = 62 + 50 * gsl_rng_uniform(rng);
    t.printed = gsl_interp_alloc(gsl_interp_steffen, (size_t)t.n);
    ck_assert_int_eq(gsl_interp_init(t.printed, t.x, t.y, (size_t)t.n),
                     GSL_SUCCESS);
    find_roots(&t);
    gsl_rng_free(rng);
    return t;
}

/* Where the loss stands; %s: the curve. */
static const char *const places[] = {
    "[meter m]\nfrom = main\nloss = %s\n[fixture x]\non = m\n",
    "[device m]\nfrom = main\nloss = %s\n[fixture x]\non = m\n",
    "[backflow m]\nfrom = main\nloss = %s\n[fixture x]\non = m\n",
    "[fixture x]\non = main\nstop = %s\n",
};

#define IN_STOP 3

static fc_site *
site_for(const struct trial *t, int place, double minimum)
{
    char curve[256], text[2048];
    int i, used = 0, at;

    for (i = 0; i < t->n; i++)
        used +=
            snprintf(curve + used, sizeof curve - (size_t)used,
                     "%s%.17g gpm %.17g psi", i ? ", " : "", t->x[i], t->y[i]);
    at = snprintf(text, sizeof text,
                  "[site]\ncode minimum = no\n[source main]\nkind = fixed\n"
                  "pressure = %.17g psi\n"
                  "[valve v]\nflow = 25 gpm at 35 psi\n"
                  "minimum flowing = %.17g psi\n",
                  t->supply, minimum);
    at += snprintf(text + at, sizeof text - (size_t)at, places[place], curve);
    snprintf(text + at, sizeof text - (size_t)at,
             "kind = water closet, flush valve\nexisting = v\n");
    return site_of(text);
}

static void
holds(fc_range range, double psi, const char *what)
{
    ck_assert_msg(range.given && range.low / PSI <= psi + WITHIN
                      && psi <= range.high / PSI + WITHIN,
                  "%s: %.4f psi is not in %.4f to %.4f", what, psi,
                  range.low / PSI, range.high / PSI);
}

/* Whatever flow it is, what it leaves is within the range that is told; and
 * where one of them is enough for the valve and another is not, nobody is told
 * which. */
static int with_several;

START_TEST(every_flow_that_fits)
{
    struct trial t = some_trial((unsigned long)_i / COUNT(places));
    const int place = _i % COUNT(places);
    const double first = t.n_roots ? K * t.roots[0] * t.roots[0] : 10;
    const double last =
        t.n_roots ? K * t.roots[t.n_roots - 1] * t.roots[t.n_roots - 1] : 10;
    fc_site *site = site_for(&t, place, fmin(fmax((first + last) / 2, 1), 99));
    fc_check_result *result = NULL;
    const fc_fixture_state *s;
    int i;

    ck_assert_int_eq(fc_check(site, &result, NULL), FC_OK);
    s = &result->fixtures[0].states[0];
    for (i = 0; i < t.n_roots; i++)
        holds(s->alone, K * t.roots[i] * t.roots[i], "alone");
    /* the stop has what one valve takes, all else what the code counts on */
    holds(s->flowing,
          t.supply
              - printed_loss(&t,
                             place == IN_STOP
                                 ? RATED
                                 : result->states[0].peak_flow.nominal / GPM),
          "at peak");
    if (t.n_roots > 1) {
        ck_assert_int_eq((int)s->works, FC_CANNOT_TELL);
        with_several++;
    }
    fc_check_result_free(result);
    fc_site_free(site);
    gsl_interp_free(t.printed);
}
END_TEST

START_TEST(some_had_several)
{
    ck_assert_int_gt(with_several, 40);
}
END_TEST

/* A curve that does not dip is read as one flow. */
START_TEST(no_dip)
{
    struct trial t = {
        .n = 3, .x = { 0, 30, LAST_FLOW }, .y = { 4, 6, 20 }, .supply = 60
    };
    int place;

    t.printed = gsl_interp_alloc(gsl_interp_steffen, 3);
    ck_assert_int_eq(gsl_interp_init(t.printed, t.x, t.y, 3), GSL_SUCCESS);
    find_roots(&t);
    ck_assert_int_eq(t.n_roots, 1);
    for (place = 0; place < COUNT(places); place++) {
        fc_site *site = site_for(&t, place, 10);
        fc_check_result *result = NULL;
        fc_range alone;

        ck_assert_int_eq(fc_check(site, &result, NULL), FC_OK);
        alone = result->fixtures[0].states[0].alone;
        ck_assert_double_eq_tol(alone.low / PSI, alone.high / PSI, 1e-9);
        ck_assert_double_eq_tol(alone.nominal / PSI,
                                K * t.roots[0] * t.roots[0], WITHIN);
        fc_check_result_free(result);
        fc_site_free(site);
    }
    gsl_interp_free(t.printed);
}
END_TEST

/* Beyond its last point, 15 gpm, a curve goes on in the straight line of its
 * last two points, to 10 + 15 x 4 / 7 = 18.6 psi at 30 gpm, or by the square
 * from its first, to 9 + 1 x 2^2 = 13 psi.  Of 60 psi that leaves 41.4 or 47:
 * in the worst case less than 45, in the best enough. */
START_TEST(beyond_the_last_point)
{
    fc_site *site =
        site_of("[site]\ncode minimum = no\n[source main]\nkind = fixed\n"
                "pressure = 60 psi\n[valve v]\nflow = 30 gpm at 10 psi\n"
                "regulated = yes\nminimum flowing = 45 psi\n"
                "[backflow m]\nfrom = main\n"
                "loss = 0 gpm 9 psi, 8 gpm 6 psi, 15 gpm 10 psi\n[fixture x]\n"
                "on = m\nkind = water closet, flush valve\nexisting = v\n");
    fc_check_result *result = NULL;
    const fc_fixture_state *s;

    ck_assert_int_eq(fc_check(site, &result, NULL), FC_OK);
    s = &result->fixtures[0].states[0];
    holds(s->alone, 60 - (10 + 15 * 4.0 / 7), "the line");
    holds(s->alone, 60 - (9 + 1 * 4), "the square");
    ck_assert_int_eq(s->ladder.low, 0);
    ck_assert_int_eq(s->ladder.high, 1);
    ck_assert_int_eq(s->works, FC_CANNOT_TELL);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("dips");
    TCase *t = tcase_create("dips");

    tcase_add_sampled_test(t, every_flow_that_fits, TRIALS * COUNT(places));
    tcase_add_counting_test(t, some_had_several);
    tcase_add_test(t, no_dip);
    tcase_add_test(t, beyond_the_last_point);
    suite_add_tcase(suite, t);
    return run_suite_unforked(suite);
}
