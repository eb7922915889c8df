/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/check_prv_beside.c -- two PRVs side by side as one element.
 *
 * At the outlet pressure p each passes the most flow that leaves it p: the
 * less of what its set pressure less its fall-off and what its inlet less its
 * loss wide open let through.  Together they pass the flow q:
 *     q1(p) + q2(p) = q.
 * The left side falls with p, and rises with the inlet: one root of either,
 * found apart from the program by Brent's method.
 */
#include "generators/sites.h"
#include "peak/element.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_roots.h>
#include <math.h>

#define TRIALS usual(1200, 3000)
#define FLUSHES usual(800, 2000)
#define JOINED 150
#define WITHIN 1e-6 /* psi: both are exact but for rounding */
#define JOIN_TAKES                                                            \
    0.02 /* psi: a joining pipe of 1 ft, and flow that it                     \
            moves against steep fall-offs */

/* psi and gpm */
struct prv {
    double set, fall_off, fall_off_flow, loss, loss_flow;
};

struct pair {
    double inlet, flow, rise; /* rise: psi */
    struct prv prv[2];        /* small, large */
};

static struct prv
some_prv(gsl_rng *rng, double set, double size)
{
    return (struct prv){ set, 2 + 18 * gsl_rng_uniform(rng),
                         size * (0.3 + gsl_rng_uniform(rng)),
                         2 + 18 * gsl_rng_uniform(rng),
                         size * (0.3 + gsl_rng_uniform(rng)) };
}

/* Sets, sizes and inlet of any order: also those that nobody would choose. */
static struct pair
some_pair(unsigned long seed)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct pair t = { 0 };

    gsl_rng_set(rng, 41000 + seed);
    t.inlet = 45 + 80 * gsl_rng_uniform(rng);
    t.prv[0] = some_prv(rng, 40 + 30 * gsl_rng_uniform(rng), 30);
    t.prv[1] = some_prv(rng, 40 + 30 * gsl_rng_uniform(rng), 200);
    t.flow = pow(gsl_rng_uniform(rng), 2) * 300;
    t.rise = 6 * gsl_rng_uniform(rng) - 3;
    gsl_rng_free(rng);
    return t;
}

/* Beyond the flow of its fall-off the nominal law is half way between the
 * line and the square (flushcalc-site(5)): (x + x^2) / 2 = fall, of x the
 * share of that flow. */
static double
by_set(const struct prv *prv, double p)
{
    const double fall = fmax(prv->set - p, 0) / prv->fall_off;
    const double x = fall > 1 ? (sqrt(1 + 8 * fall) - 1) / 2 : fall;

    return x * prv->fall_off_flow;
}

static double
passes(const struct prv *prv, double inlet, double p)
{
    return fmin(by_set(prv, p),
                prv->loss_flow * sqrt(fmax(inlet - p, 0) / prv->loss));
}

static double
miss_at(double p, void *pair)
{
    const struct pair *t = pair;
    const double inlet = t->inlet - t->rise;

    return passes(&t->prv[0], inlet, p) + passes(&t->prv[1], inlet, p)
           - t->flow;
}

static double
root_of(double (*miss)(double, void *), struct pair *t, double low,
        double high)
{
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    gsl_function f = { miss, t };
    double root;
    int i;

    ck_assert_int_eq(gsl_root_fsolver_set(solver, &f, low, high), GSL_SUCCESS);
    for (i = 0; i < 300; i++)
        gsl_root_fsolver_iterate(solver);
    root = gsl_root_fsolver_root(solver);
    gsl_root_fsolver_free(solver);
    return root;
}

static double
outlet_of(struct pair *t)
{
    return root_of(miss_at, t, -1e5, fmax(t->inlet + 10, 200));
}

static int
put_prv(char *text, size_t size, const char *name, const char *place,
        const struct prv *prv)
{
    return snprintf(text, size,
                    "[reducer %s]\n%s\nset = %.17g psi\n"
                    "fall-off = %.17g psi at %.17g gpm\n"
                    "loss = %.17g psi at %.17g gpm\n",
                    name, place, prv->set, prv->fall_off, prv->fall_off_flow,
                    prv->loss, prv->loss_flow);
}

#define FIXTURES                                                              \
    "[valve v]\nflow = 20 gpm at 35 psi\nminimum flowing = 10 psi\n"          \
    "[fixture wc]\non = small\ncount = 8\nexisting = v\n"                     \
    "kind = water closet, flush valve\n"

static fc_site *
site_with(const struct pair *t, const char *of_second, const char *more)
{
    char text[4096], place[100];
    int at = snprintf(
        text, sizeof text,
        "[site]\ncode minimum = no\n"
        "[source main]\nkind = fixed\npressure = %.17g psi\n" FIXTURES "%s",
        t->inlet, more);

    snprintf(
        place, sizeof place, "from = main\nrise = %.17g ft",
        t->rise * PSI
            / (62.3664 * 4.4482216152605 / 0.3048 / 0.3048 / 0.3048 * 0.3048));
    at += put_prv(text + at, sizeof text - (size_t)at, "large", of_second,
                  &t->prv[1]);
    put_prv(text + at, sizeof text - (size_t)at, "small", place, &t->prv[0]);
    return site_of(text);
}

static size_t
index_of(const fc_site *site, const char *name)
{
    size_t i = 0;

    while (strcmp(site->elements[i].name, name) != 0)
        ck_assert_uint_lt(++i, site->n_elements);
    return i;
}

/* How often both flowed, one alone, and one was wide open. */
static int both, one_alone, wide_open;

START_TEST(law)
{
    struct pair t = some_pair((unsigned long)_i);
    fc_site *site = site_with(&t, "beside = small", "");
    const struct fci_element *small = &site->elements[index_of(site, "small")];
    const struct fci_pressure in = { t.inlet * PSI, INFINITY };
    const struct fci_pressure less = { t.inlet * PSI - 5 * PSI, INFINITY };
    struct fci_pressure out;
    double p, x;

    t.rise = site->water_weight * small->rise.nominal / PSI;
    p = outlet_of(&t);
    out = fci_element_passes(site, small, in, t.flow * GPM, FCI_NOMINAL);
    ck_assert_double_eq_tol(fci_pressure_of(out) / PSI, p, WITHIN);
    /* with less at the inlet no more is said than there is */
    x = fci_pressure_of(
        (struct fci_pressure){ out.direct - 5 * PSI, out.capped });
    ck_assert_double_le(
        x / PSI, fci_pressure_of(fci_element_passes(site, small, less,
                                                    t.flow * GPM, FCI_NOMINAL))
                         / PSI
                     + WITHIN);
    /* the least inlet that leaves as much leaves it, and a bit less does not
     */
    x = fci_element_asks(site, small, fci_pressure_of(out) - 1, t.flow * GPM,
                         FCI_NOMINAL);
    ck_assert_double_le(x, t.inlet * PSI + 1);
    t.inlet = x / PSI;
    ck_assert_double_eq_tol(outlet_of(&t), p, 0.001);
    t.inlet -= 0.01;
    ck_assert_double_lt(outlet_of(&t), p);
    t.inlet = in.direct / PSI;
    /* more than either set pressure no inlet leaves */
    ck_assert(isinf(fci_element_asks(
        site, small, fmax(t.prv[0].set, t.prv[1].set) * PSI + 100,
        t.flow * GPM, FCI_NOMINAL)));
    /* without flow the higher set pressure stands, or the inlet's */
    ck_assert_double_eq_tol(
        fci_element_still(site, small, in.direct, false, FCI_NOMINAL) / PSI,
        fmin(fmax(t.prv[0].set, t.prv[1].set), t.inlet - t.rise), WITHIN);
    both += passes(&t.prv[0], t.inlet - t.rise, p) > 0.1
            && passes(&t.prv[1], t.inlet - t.rise, p) > 0.1;
    one_alone += p > fmin(t.prv[0].set, t.prv[1].set);
    wide_open +=
        by_set(&t.prv[0], p) > passes(&t.prv[0], t.inlet - t.rise, p) + 0.1
        && by_set(&t.prv[1], p)
               < passes(&t.prv[1], t.inlet - t.rise, p) + 1e-9;
    fc_site_free(site);
}
END_TEST

START_TEST(all_were_met)
{
    ck_assert_int_gt(both, 500);
    ck_assert_int_gt(one_alone, 100);
    ck_assert_int_gt(wide_open, 100);
}
END_TEST

/* While valves flush the pair has what the law has, and each its flow. */
START_TEST(flush)
{
    struct pair t = some_pair((unsigned long)_i);
    const fc_flushing open = { .fixture = "wc", .count = 1 + _i % 8 };
    fc_flush_result *result = NULL;
    fc_site *site;
    double p;

    t.rise = 0;
    t.inlet += 20;
    site = site_with(&t, "beside = small", "");
    ck_assert_int_eq(fc_flush(site, FC_EXISTING, &open, 1, &result, NULL),
                     FC_OK);
    t.flow = flush_element(result, "main")->flow / GPM;
    p = outlet_of(&t);
    ck_assert_double_eq_tol(flush_element(result, "small")->pressure / PSI, p,
                            JOIN_TAKES);
    ck_assert_double_eq_tol(flush_element(result, "large")->pressure / PSI, p,
                            JOIN_TAKES);
    ck_assert_double_eq_tol(flush_element(result, "small")->flow / GPM
                                + flush_element(result, "large")->flow / GPM,
                            t.flow, 1e-6 * t.flow);
    fc_flush_result_free(result);
    fc_site_free(site);
}
END_TEST

/* The same as two sections and a pipe that joins them. */
START_TEST(joined)
{
    struct pair t = some_pair((unsigned long)_i);
    const fc_flushing open = { .fixture = "wc", .count = 1 + _i % 8 };
    static const char *const names[] = { "small", "large" };
    fc_flush_result *one = NULL, *two = NULL;
    fc_site *pair, *joined_site;
    size_t i;

    t.rise = 0;
    t.inlet += 20;
    pair = site_with(&t, "beside = small", "");
    joined_site = site_with(&t, "from = main",
                            "[pipe join]\nfrom = large\nto = small\nc = 140\n"
                            "inside diameter = 6 in\nlength = 1 ft\n"
                            "fittings = none\n");
    ck_assert_int_eq(fc_flush(pair, FC_EXISTING, &open, 1, &one, NULL), FC_OK);
    ck_assert_int_eq(fc_flush(joined_site, FC_EXISTING, &open, 1, &two, NULL),
                     FC_OK);
    for (i = 0; i < 2; i++) {
        ck_assert_double_eq_tol(flush_element(one, names[i])->pressure / PSI,
                                flush_element(two, names[i])->pressure / PSI,
                                JOIN_TAKES);
        ck_assert_double_eq_tol(flush_element(one, names[i])->flow / GPM,
                                flush_element(two, names[i])->flow / GPM,
                                0.01 * flush_element(two, "main")->flow / GPM);
    }
    fc_flush_result_free(one);
    fc_flush_result_free(two);
    fc_site_free(pair);
    fc_site_free(joined_site);
}
END_TEST

/* ---- Whole sites ------------------------------------------------------ */

#define HEAD                                                                  \
    "[site]\ncode minimum = no\n"                                             \
    "[source main]\nkind = fixed\npressure = 90 psi\n"                        \
    "[valve v]\nflow = 25 gpm at 35 psi\nminimum flowing = 25 psi\n"          \
    "full flush = 1.6 gal\n"                                                  \
    "[fixture wc]\non = small\nrise = 40 ft\ncount = 12\nexisting = v\n"      \
    "kind = water closet, flush valve\n"
#define SMALL                                                                 \
    "[reducer small]\nfrom = main\nset = 60 psi\n"                            \
    "fall-off = 8 psi at 20 gpm\nloss = 12 psi at 25 gpm\n"
#define LARGE                                                                 \
    "[reducer large]\nbeside = small\nset = 55 psi\n"                         \
    "fall-off = 6 psi at 200 gpm\nloss = 10 psi at 250 gpm\n"
#define LARGE_ALONE                                                           \
    "[reducer small]\nfrom = main\nset = 55 psi\n"                            \
    "fall-off = 6 psi at 200 gpm\nloss = 10 psi at 250 gpm\n"

static fc_verdict
verdict_of(const char *text, double *margin, double *standing)
{
    fc_site *site = site_of(text);
    fc_check_result *result = NULL;
    fc_verdict verdict;

    ck_assert_int_eq(fc_check(site, &result, NULL), FC_OK);
    verdict = result->fixtures[0].states[FC_EXISTING].works;
    *margin = result->fixtures[0].states[FC_EXISTING].margin.low / PSI;
    *standing = result->fixtures[0].static_pressure.nominal / PSI;
    fc_check_result_free(result);
    fc_site_free(site);
    return verdict;
}

/* The small one alone is short, and the pair is not; it has more than the
 * large one alone. */
START_TEST(checked)
{
    double small, large, pair, still_small, still_large, still;

    ck_assert_int_eq(verdict_of(HEAD SMALL, &small, &still_small),
                     FC_WILL_NOT_WORK);
    verdict_of(HEAD LARGE_ALONE, &large, &still_large);
    ck_assert_int_eq(verdict_of(HEAD SMALL LARGE, &pair, &still), FC_WORKS);
    ck_assert_double_lt(small, 0);
    ck_assert_double_gt(pair, large);
    ck_assert_double_eq_tol(still, still_small, 1e-9);
    ck_assert_double_gt(still, still_large + 4.9);
    /* in the other order the same */
    ck_assert_int_eq(verdict_of(HEAD LARGE SMALL, &large, &still_large),
                     FC_WORKS);
    ck_assert_double_eq_tol(large, pair, 1e-6);
}
END_TEST

#define UNKNOWN_SMALL "[reducer small]\nfrom = main\nset = 60 psi\n"

/* How much the small one passes is not known without a fall-off at a flow, so
 * that it is worth nothing at the worst. */
START_TEST(unknown_share)
{
    double pair, large, still;

    verdict_of(HEAD LARGE_ALONE, &large, &still);
    verdict_of(HEAD UNKNOWN_SMALL LARGE, &pair, &still);
    ck_assert_double_le(pair, large + 0.1);
    ck_assert_double_ge(pair, large - 0.1);
}
END_TEST

/* Of ranges the worst end is that of the worse two, and the best end that of
 * the better two. */
START_TEST(ranges)
{
#define RANGED(set_small, set_large)                                          \
    HEAD "[reducer small]\nfrom = main\nset = " set_small "\n"                \
         "fall-off = 8 psi at 20 gpm\nloss = 12 psi at 25 gpm\n"              \
         "[reducer large]\nbeside = small\nset = " set_large "\n"             \
         "fall-off = 6 psi at 200 gpm\nloss = 10 psi at 250 gpm\n"
    double both_ends, worst, still;

    verdict_of(RANGED("58..62 psi", "54..56 psi"), &both_ends, &still);
    verdict_of(RANGED("58 psi", "54 psi"), &worst, &still);
    ck_assert_double_eq_tol(both_ends, worst, 1e-6);
}
END_TEST

static const struct {
    const char *text, *message;
} refused[] = {
    { "[reducer large]\nbeside = nobody\nset = 55 psi\n", "nobody" },
    { "[reducer large]\nbeside = main\nset = 55 psi\n", "is not another PRV" },
    { "[reducer large]\nbeside = large\nset = 55 psi\n",
      "is not another PRV" },
    { LARGE "[reducer third]\nbeside = small\nset = 50 psi\n",
      "has one beside it" },
    { LARGE "[reducer third]\nbeside = large\nset = 50 psi\n",
      "has one beside it" },
    { "[reducer large]\nbeside = small\nfrom = main\nset = 55 psi\n",
      "one of the two is expected" },
    { "[reducer large]\nbeside = small\nrise = 3 ft\nset = 55 psi\n",
      "counts for both" },
    { "[reducer large]\nset = 55 psi\n", "lacks \"from\"" },
    { LARGE "[pipe p]\nfrom = large\nlength = 3 ft\nsize = 2 in\n"
            "material = copper L\n",
      "\"small\" is expected" },
};

START_TEST(refusals)
{
    char text[4096];
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *site = NULL;

    snprintf(text, sizeof text, HEAD SMALL "%s", refused[_i].text);
    ck_assert_int_eq(
        fc_site_read_text(text, strlen(text), "t.ini", &site, messages),
        FC_EINPUT);
    ck_assert_msg(strstr(all_messages(messages), refused[_i].message) != NULL,
                  "%s", all_messages(messages));
    ck_assert_uint_eq(fc_diagnostics_count(messages), 1);
    fc_diagnostics_free(messages);
}
END_TEST

/* Taken out, the first one leaves its place to the second. */
START_TEST(without)
{
    static const char *const first[] = { "without = small" };
    static const char *const second[] = { "without = large" };
    const char *text = HEAD SMALL LARGE;
    const char *path = "pair-without.ini";
    fc_site *site = NULL;
    FILE *f = fopen(path, "w");

    ck_assert_ptr_nonnull(f);
    fputs(text, f);
    fclose(f);
    ck_assert_int_eq(fc_site_read_with(path, first, 1, &site, NULL), FC_OK);
    ck_assert_uint_eq(site->n_loops, 0);
    ck_assert_str_eq(site->elements[site->fixtures[0].element].name, "large");
    fc_site_free(site);
    site = NULL;
    ck_assert_int_eq(fc_site_read_with(path, second, 1, &site, NULL), FC_OK);
    ck_assert_uint_eq(site->n_loops, 0);
    ck_assert_str_eq(site->elements[site->fixtures[0].element].name, "small");
    fc_site_free(site);
    remove(path);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("two PRVs beside each other");
    TCase *t = tcase_create("pair");

    tcase_add_loop_test(t, law, 0, TRIALS);
    tcase_add_test(t, all_were_met);
    tcase_add_loop_test(t, flush, 0, FLUSHES);
    tcase_add_loop_test(t, joined, 0, JOINED);
    tcase_add_test(t, checked);
    tcase_add_test(t, unknown_share);
    tcase_add_test(t, ranges);
    tcase_add_loop_test(t, refusals, 0, COUNT(refused));
    tcase_add_test(t, without);
    suite_add_tcase(suite, t);
    return run_suite_unforked(suite);
}
