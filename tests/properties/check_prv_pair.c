/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/check_prv_pair.c -- two PRVs side by side, the smaller one
 * set higher, joined at their outlets.
 *
 * Each passes the less of what its set pressure less its fall-off and what its
 * inlet less its loss wide open let through at the common outlet p; together
 * they pass what n valves draw there:
 *     q1(p) + q2(p) = n rate sqrt(p / rated).
 * The left side falls with p and the right one rises: one root, found apart
 * from the program by Brent's method.
 */
#include "generators/sites.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_roots.h>
#include <math.h>

#define TRIALS 400
#define RATED 35.0    /* psi */
#define WITHIN 0.01   /* psi: the join, 1 ft of 6 in, takes less */
#define FLOW_OFF 0.05 /* gpm: what that moves, against steep fall-offs */

/* psi and gpm */
struct prv {
    double set, fall_off, fall_off_flow, loss, loss_flow;
};

struct pair {
    double inlet, rate;
    int valves;
    struct prv prv[2]; /* large, small */
};

static double
passes(const struct pair *t, const struct prv *prv, double p)
{
    const double by_set =
        fmax(prv->set - p, 0) / prv->fall_off * prv->fall_off_flow;
    const double wide_open =
        prv->loss_flow * sqrt(fmax(t->inlet - p, 0) / prv->loss);

    return fmin(by_set, wide_open);
}

static double
miss(double p, void *pair)
{
    const struct pair *t = pair;

    return passes(t, &t->prv[0], p) + passes(t, &t->prv[1], p)
           - t->valves * t->rate * sqrt(p / RATED);
}

static double
outlet_of(struct pair *t)
{
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    gsl_function f = { miss, t };
    double root;
    int i;

    ck_assert_int_eq(gsl_root_fsolver_set(solver, &f, 1e-6, t->inlet),
                     GSL_SUCCESS);
    for (i = 0; i < 200; i++)
        gsl_root_fsolver_iterate(solver);
    root = gsl_root_fsolver_root(solver);
    gsl_root_fsolver_free(solver);
    return root;
}

/* The fall-off is given at as much as ever flows, up to which it is linear. */
static struct pair
some_pair(unsigned long seed)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct pair t = { 0 };

    gsl_rng_set(rng, 7000 + seed);
    t.inlet = 70 + 60 * gsl_rng_uniform(rng);
    t.rate = 2 + 20 * gsl_rng_uniform(rng);
    t.valves = 1 + (int)gsl_rng_uniform_int(rng, 8);
    t.prv[0].set = 45 + 15 * gsl_rng_uniform(rng);
    t.prv[1].set = t.prv[0].set + 2 + 8 * gsl_rng_uniform(rng);
    t.prv[0].fall_off = 3 + 25 * gsl_rng_uniform(rng);
    t.prv[0].fall_off_flow = 400;
    t.prv[1].fall_off = 20 + 100 * gsl_rng_uniform(rng);
    t.prv[1].fall_off_flow = 400;
    t.prv[0].loss = 2 + 6 * gsl_rng_uniform(rng);
    t.prv[0].loss_flow = 100 + 100 * gsl_rng_uniform(rng);
    t.prv[1].loss = 5 + 30 * gsl_rng_uniform(rng);
    t.prv[1].loss_flow = 5 + 30 * gsl_rng_uniform(rng);
    gsl_rng_free(rng);
    return t;
}

static int
put_prv(char *text, size_t size, const char *name, const struct prv *prv)
{
    return snprintf(text, size,
                    "[reducer %s]\nfrom = main\nset = %.17g psi\n"
                    "fall-off = %.17g psi at %.17g gpm\n"
                    "loss = %.17g psi at %.17g gpm\n",
                    name, prv->set, prv->fall_off, prv->fall_off_flow,
                    prv->loss, prv->loss_flow);
}

static fc_site *
site_for(const struct pair *t)
{
    char text[4096];
    int at = snprintf(text, sizeof text,
                      "[site]\ncode minimum = no\n"
                      "[source main]\nkind = fixed\npressure = %.17g psi\n"
                      "[valve v]\nflow = %.17g gpm at 35 psi\n"
                      "minimum flowing = 10 psi\n"
                      "[fixture wc]\non = large\ncount = 8\nexisting = v\n"
                      "kind = water closet, flush valve\n"
                      "[pipe join]\nfrom = small\nto = large\nc = 140\n"
                      "inside diameter = 6 in\nlength = 1 ft\n"
                      "fittings = none\n",
                      t->inlet, t->rate);

    at += put_prv(text + at, sizeof text - (size_t)at, "large", &t->prv[0]);
    put_prv(text + at, sizeof text - (size_t)at, "small", &t->prv[1]);
    return site_of(text);
}

/* How often which of the two flowed, and the small one was wide open. */
static int both, small_alone, wide_open;

START_TEST(pair)
{
    struct pair t = some_pair((unsigned long)_i);
    const double p = outlet_of(&t);
    const double large = passes(&t, &t.prv[0], p);
    const double small = passes(&t, &t.prv[1], p);
    const fc_flushing open = { .fixture = "wc", .count = t.valves };
    fc_site *site = site_for(&t);
    fc_flush_result *result = NULL;

    ck_assert_int_eq(fc_flush(site, FC_EXISTING, &open, 1, &result, NULL),
                     FC_OK);
    ck_assert_double_eq_tol(flush_element(result, "large")->pressure / PSI, p,
                            WITHIN);
    ck_assert_double_eq_tol(flush_element(result, "small")->pressure / PSI, p,
                            WITHIN);
    ck_assert_double_eq_tol(flush_element(result, "large")->flow / GPM, large,
                            FLOW_OFF + large * WITHIN);
    ck_assert_double_eq_tol(flush_element(result, "small")->flow / GPM, small,
                            FLOW_OFF + small * WITHIN);
    ck_assert_double_eq_tol(result->fixtures[0].pressure.nominal / PSI, p,
                            WITHIN);
    both += large > 0 && small > 0;
    small_alone += !(large > 0);
    wide_open += t.inlet - t.prv[1].loss * pow(small / t.prv[1].loss_flow, 2)
                 < t.prv[1].set - 0.1 - t.prv[1].fall_off * small / 400;
    fc_flush_result_free(result);
    fc_site_free(site);
}
END_TEST

START_TEST(all_were_met)
{
    ck_assert_int_gt(both, 50);
    ck_assert_int_gt(small_alone, 20);
    ck_assert_int_gt(wide_open, 20);
}
END_TEST

/* A peak demand is added up along a tree, and a loop is refused by name. */
START_TEST(no_peak)
{
    const struct pair t = some_pair(0);
    fc_site *site = site_for(&t);
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_check_result *result = NULL;

    ck_assert_int_eq(fc_check(site, &result, messages), FC_EUNSUPPORTED);
    ck_assert_msg(strstr(all_messages(messages), "closes a loop") != NULL,
                  "%s", all_messages(messages));
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

/* With the large one alone there is no more at any flow than with both. */
START_TEST(large_alone)
{
    struct pair t = some_pair((unsigned long)_i), alone;
    const double with_both = outlet_of(&t);

    alone = t;
    alone.prv[1].set = 0;
    ck_assert_double_le(outlet_of(&alone), with_both + 1e-9);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("two PRVs side by side");
    TCase *t = tcase_create("pair");

    tcase_add_sampled_test(t, pair, TRIALS);
    tcase_add_counting_test(t, all_were_met);
    tcase_add_test(t, no_peak);
    tcase_add_sampled_test(t, large_alone, TRIALS);
    suite_add_tcase(suite, t);
    return run_suite_unforked(suite);
}
