/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_hygiene.c -- hygiene flushes that come due together,
 * against closed forms, all subsets, and a building solved by hand.
 *
 *   [F71]  W. Feller, An Introduction to Probability Theory and Its
 *          Applications 2, 2nd ed. (1971), I.7: of n points at random in 1,
 *          no two are nearer than t with the chance (1 - (n - 1) t)^n, and all
 *          lie within t with n t^(n-1) - (n - 1) t^n (from memory)
 */
#include "effects/together.h"
#include "generators/sites.h"

#include <gsl/gsl_randist.h>
#include <math.h>
#include <string.h>

/* ---- How many at once ------------------------------------------------- */

#define MOST 12

/* The mean of 4,000 cases is off by less than 4 deviations of it, of which one
 * is at most sqrt(1 / 4 (n - 1)^2 / 4000). */
static double
bar(size_t n)
{
    return 4 * 0.5 * (double)(n - 1) / sqrt(4000);
}

/* Of two the most is one, and two where they begin within t of each other; of
 * three it is two or more unless no two do, and three where all do [F71]. */
START_TEST(most_at_once)
{
    const double t = 0.05 + 0.04 * _i;
    const double lasts[3] = { t * 60, t * 60, t * 60 };
    struct fci_events events = { 2, lasts, 60 };
    struct fci_at_once found;

    ck_assert(fci_at_once(&events, &found));
    ck_assert_uint_eq(found.cases, 4000);
    ck_assert_double_eq_tol(found.mean, 2 - (1 - t) * (1 - t), bar(2));
    events.n = 3;
    ck_assert(fci_at_once(&events, &found));
    ck_assert_double_eq_tol(
        found.mean, 2 - pow(1 - 2 * t, 3) + 3 * t * t - 2 * t * t * t, bar(3));
}
END_TEST

/* What lasts longer than the time goes on together; what hardly lasts never
 * does; one is alone. */
START_TEST(most_at_the_ends)
{
    const double longer[] = { 61, 75, 100, 61, 80 }, brief[] = { 1e-9, 1e-9 };
    struct fci_events events = { 5, longer, 60 };
    struct fci_at_once found;

    ck_assert(fci_at_once(&events, &found));
    ck_assert_double_eq(found.mean, 5);
    ck_assert_uint_eq(found.most_often, 5);
    events = (struct fci_events){ 2, brief, 60 };
    ck_assert(fci_at_once(&events, &found));
    ck_assert_double_eq_tol(found.mean, 1, 1e-3);
    ck_assert_uint_eq(found.most_often, 1);
    events.n = 1;
    ck_assert(fci_at_once(&events, &found));
    ck_assert_double_eq(found.mean, 1);
}
END_TEST

/* By all subsets of the others of each one. */
START_TEST(others_by_all_subsets)
{
    const size_t n = 2 + (size_t)_i % 9;
    double lasts[MOST], chance[MOST], expected[MOST] = { 0 };
    struct fci_events events = { n, lasts, 60 };

    for (size_t i = 0; i < n; i++)
        lasts[i] = 2 + 9.5 * (double)((i * 7 + (size_t)_i) % 8);
    for (size_t one = 0; one < n; one++)
        for (unsigned set = 0; set < 1u << n; set++) {
            double p = 1.0 / (double)n;
            size_t on = 0;

            if (set & 1u << one)
                continue;
            for (size_t k = 0; k < n; k++) {
                const double q = fmin(lasts[k] / 60, 1);

                if (k == one)
                    continue;
                on += (set >> k) & 1;
                p *= set & 1u << k ? q : 1 - q;
            }
            expected[on] += p;
        }
    ck_assert(fci_others_on(&events, n - 1, chance));
    for (size_t k = 0; k < n; k++)
        ck_assert_double_eq_tol(chance[k], expected[k], 1e-12);
}
END_TEST

/* ---- Over a time ------------------------------------------------------ */

/* Valves of two kinds that are on for a time and then off for one that is
 * exponential, followed over the busiest minutes. */
static const struct {
    int count[2];
    double lasts[2], on[2]; /* [s] */
} busies[] = {
    { { 60, 0 }, { 4, 4 }, { 0.066, 0.5 } },
    { { 8, 4 }, { 8, 3 }, { 0.027, 0.02 } },
    { { 30, 30 }, { 5, 12 }, { 0.02, 0.1 } },
    { { 5, 3 }, { 10, 10 }, { 0.4, 0.9 } },
    { { 400, 100 }, { 6, 4 }, { 0.02, 0.01 } },
    { { 1, 1 }, { 4, 4 }, { 0.001, 0.0002 } },
};
#define BUSY 1200.0 /* s */
#define PERIODS 2000
#define MOST_CHANGES 200000

struct change {
    double at;
    int by;
};

static int
in_time(const void *a, const void *b)
{
    const struct change *x = a, *y = b;

    return (x->at > y->at) - (x->at < y->at);
}

/* One that is on at first has been so for any part of its time. */
static size_t
add_changes(gsl_rng *rng, double lasts, double on, struct change *list)
{
    const bool first = gsl_rng_uniform(rng) < on;
    double t = first ? -lasts * gsl_rng_uniform(rng)
                     : gsl_ran_exponential(rng, lasts / on - lasts);
    size_t n = 0;

    while (t < BUSY) {
        list[n++] = (struct change){ t, 1 };
        list[n++] = (struct change){ t + lasts, -1 };
        t += lasts + gsl_ran_exponential(rng, lasts / on - lasts);
    }
    return n;
}

static size_t
most_of_a_period(gsl_rng *rng, int busy, struct change *list)
{
    size_t n = 0;
    int now = 0, most = 0;

    for (int kind = 0; kind < 2; kind++)
        for (int i = 0; i < busies[busy].count[kind]; i++) {
            n += add_changes(rng, busies[busy].lasts[kind],
                             busies[busy].on[kind], &list[n]);
            ck_assert_uint_lt(n, MOST_CHANGES - 2000);
        }
    qsort(list, n, sizeof *list, in_time);
    for (size_t i = 0; i < n; i++) {
        now += list[i].by;
        if (list[i].at < BUSY && now > most)
            most = now;
    }
    return (size_t)most;
}

/* 2000 periods tell 5% within 4 deviations of 0.5%.  It is a bound, but one
 * that three fewer valves do not keep. */
START_TEST(no_more_at_any_moment)
{
    struct change *list = calloc(MOST_CHANGES, sizeof *list);
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct fci_like_valves kinds[2];
    size_t most, more = 0, many = 0;

    ck_assert_ptr_nonnull(list);
    for (int i = 0; i < 2; i++)
        kinds[i] =
            (struct fci_like_valves){ (size_t)busies[_i].count[i],
                                      busies[_i].on[i],
                                      busies[_i].on[i] / busies[_i].lasts[i] };
    ck_assert(fci_most_at_once(kinds, 2, BUSY, &most));
    gsl_rng_set(rng, 17 + (unsigned long)_i);
    for (int i = 0; i < PERIODS; i++) {
        const size_t n = most_of_a_period(rng, _i, list);

        more += n > most;
        many += n + 3 > most;
    }
    ck_assert_double_le((double)more / PERIODS, 0.05 + 4 * 0.005);
    ck_assert_double_ge((double)many / PERIODS, most < 3 ? 0 : 0.05);
    gsl_rng_free(rng);
    free(list);
}
END_TEST

/* All of them where they are few or hardly off, and where they are beyond
 * what is counted. */
START_TEST(at_most_all)
{
    const struct fci_like_valves few = { 3, 0.9, 0.1 };
    const struct fci_like_valves many = { 500, 0.5, 0.1 };
    size_t most;

    ck_assert(fci_most_at_once(&few, 1, BUSY, &most));
    ck_assert_uint_eq(most, 3);
    ck_assert(fci_most_at_once(&many, 1, BUSY, &most));
    ck_assert_uint_eq(most, 500);
    ck_assert(fci_most_at_once(NULL, 0, BUSY, &most));
    ck_assert_uint_eq(most, 0);
}
END_TEST

/* ---- A building solved by hand ---------------------------------------- */

/* n valves at the end of 100 ft of pipe of a bore of 1.6 in from 45 psi: with
 * k of them open the pipe loses, by Hazen-Williams in its original form for
 * 60 degF, 4.52 Q^1.852 / (C^1.852 d^4.87) psi in a foot [gpm, in], and each
 * passes 25 gpm times the root of its pressure over 25 psi. */
static double
pressure_of(int k)
{
    double low = 0, high = 45;

    for (int i = 0; i < 200; i++) {
        const double p = (low + high) / 2, q = k * 25 * sqrt(p / 25);
        const double lost =
            100 * 4.52 * pow(q, 1.852) / (pow(120, 1.852) * pow(1.6, 4.87));

        if (45 - lost > p)
            low = p;
        else
            high = p;
    }
    return low;
}

static fc_effects *
effects_of(fc_site **site, int n, const char *within, const char *least)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_effects *effects = NULL;
    char text[900];

    snprintf(text, sizeof text,
             "[source s]\nkind = fixed\npressure = 45 psi\n"
             "[pipe p]\nfrom = s\nlength = 100 ft\nc = 120\n"
             "inside diameter = 1.6 in\nfittings = none\n"
             "[fixture wc]\non = p\ncount = %d\nexisting = v\n"
             "kind = water closet, flush valve\n"
             "[valve v]\nminimum flowing = %s\nflow = 25 gpm at 25 psi\n"
             "full flush = 1.25 gal\nhygiene flush = 72 h\n"
             "[usage]\nlast use within = %s\n",
             n, least, within);
    *site = site_of(text);
    ck_assert_msg(fc_effects_find(*site, &effects, messages) == FC_OK, "%s",
                  all_messages(messages));
    fc_diagnostics_free(messages);
    return effects;
}

/* 1.25 gal at 25 gpm take 3 s; within w one is on with the chance 3 / w.  A
 * flush is weak where so many are on that its pressure is below the minimum,
 * which lies half-way between those of 2 and 3, of 3 and 4, ...: the tail of a
 * binomial of the n - 1 others.  Every state is solved, so that no more than
 * rounding is allowed for: 1e-9.  The 5th percentile is among 400 steps of
 * what one alone has. */
static const struct {
    int n, enough;
    double within;
} cases[] = { { 4, 2, 30 }, { 6, 2, 60 },  { 10, 3, 30 },
              { 8, 1, 20 }, { 12, 4, 24 }, { 5, 2, 3 } };

START_TEST(weak_by_hand)
{
    const int n = cases[_i].n, enough = cases[_i].enough;
    const double on = fmin(3 / cases[_i].within, 1);
    const double least = (pressure_of(enough) + pressure_of(enough + 1)) / 2;
    double weak = 0, below = 0, mean = 0, part;
    const fc_hygiene_state *state;
    char within[24], minimum[24];
    fc_site *site;
    fc_effects *effects;
    int k;

    snprintf(within, sizeof within, "%.9g s", cases[_i].within);
    snprintf(minimum, sizeof minimum, "%.9g psi", least);
    effects = effects_of(&site, n, within, minimum);
    ck_assert_ptr_nonnull(effects->hygiene);
    state = &effects->hygiene->states[FC_EXISTING];
    ck_assert_uint_eq(state->valves, (size_t)n);
    ck_assert_uint_eq(state->together, (size_t)n);
    ck_assert_uint_eq(state->n_others, (size_t)n);
    for (k = 0; k < n; k++) {
        part = gsl_ran_binomial_pdf((unsigned)k, on, (unsigned)n - 1);
        ck_assert_double_eq_tol(state->others[k], part, 1e-12);
        mean += part * pressure_of(k + 1);
        if (k + 1 > enough)
            weak += part;
    }
    ck_assert_double_eq_tol(state->fixtures[0].busy.weak.estimate, weak, 1e-9);
    ck_assert_double_eq_tol(state->fixtures[0].time.nominal, 3, 1e-9);
    /* friction forms differ by up to 1% in the loss (common practice) */
    ck_assert_double_eq_tol(state->fixtures[0].busy.mean / PSI / mean, 1,
                            0.01);
    for (k = n - 1; k > 0; k--) {
        below += gsl_ran_binomial_pdf((unsigned)k, on, (unsigned)n - 1);
        if (below >= 0.05)
            break;
    }
    ck_assert_double_eq_tol(state->fixtures[0].busy.fifth / PSI,
                            pressure_of(k + 1), 0.3);
    ck_assert_int_eq(state->seldom_weak,
                     weak > FC_MOST_WEAK ? FC_WILL_NOT_WORK : FC_WORKS);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* The spread at which the binomial tail falls to 1%, found here by halving,
 * and there from above to a tenth. */
START_TEST(spread_by_hand)
{
    const int n = 6 + 2 * _i, enough = 2;
    const double least = (pressure_of(enough) + pressure_of(enough + 1)) / 2;
    double low = 10, high = 1e5;
    const fc_hygiene_state *state;
    char minimum[24];
    fc_site *site;
    fc_effects *effects;

    for (int i = 0; i < 100; i++) {
        const double w = (low + high) / 2;
        double tail = 1;

        for (int k = 0; k < enough; k++)
            tail -= gsl_ran_binomial_pdf((unsigned)k, 3 / w, (unsigned)n - 1);
        if (tail > FC_MOST_WEAK)
            low = w;
        else
            high = w;
    }
    snprintf(minimum, sizeof minimum, "%.9g psi", least);
    effects = effects_of(&site, n, "10 s", minimum);
    state = &effects->hygiene->states[FC_EXISTING];
    ck_assert(!state->alone_weak);
    ck_assert_int_eq(state->seldom_weak, FC_WILL_NOT_WORK);
    ck_assert_double_ge(state->spread, high * (1 - 1e-6));
    ck_assert_double_le(state->spread, high / (1 - 0.1) * (1 + 1e-6));
    ck_assert_ptr_nonnull(finding_of(effects->findings, effects->n_findings,
                                     "hygiene flush", "wc"));
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* A minimum that is a range: weak more or less often, as the tails say. */
START_TEST(weak_in_a_range)
{
    const double few = (pressure_of(4) + pressure_of(5)) / 2;
    const double many = (pressure_of(2) + pressure_of(3)) / 2;
    double seldom = 0, often = 0;
    const fc_finding *finding;
    char minimum[40], words[60];
    fc_site *site;
    fc_effects *effects;

    for (int k = 2; k < 10; k++) {
        const double part = gsl_ran_binomial_pdf((unsigned)k, 0.1, 9);

        often += part;
        if (k >= 4)
            seldom += part;
    }
    snprintf(minimum, sizeof minimum, "%.9g..%.9g psi", few, many);
    effects = effects_of(&site, 10, "30 s", minimum);
    finding = finding_of(effects->findings, effects->n_findings,
                         "hygiene flush", "wc");
    snprintf(words, sizeof words, "may be weak %.1f to %.1f%% of their time",
             100 * seldom, 100 * often);
    ck_assert_ptr_nonnull(finding);
    ck_assert_msg(strstr(finding->text, words) != NULL, "%s: not \"%s\"",
                  finding->text, words);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

START_TEST(weak_alone)
{
    const fc_hygiene_state *state;
    char minimum[24];
    fc_site *site;
    fc_effects *effects;

    snprintf(minimum, sizeof minimum, "%.9g psi", pressure_of(1) + 1);
    effects = effects_of(&site, 3, "10 min", minimum);
    state = &effects->hygiene->states[FC_EXISTING];
    ck_assert(state->alone_weak);
    ck_assert(isnan(state->spread));
    ck_assert_double_eq(state->fixtures[0].busy.weak.estimate, 1);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* ---- Who comes due together ------------------------------------------- */

static size_t
together(const char *first, const char *second)
{
    fc_effects *effects = NULL;
    char text[1200];
    fc_site *site;
    size_t n;

    snprintf(text, sizeof text,
             "[source s]\nkind = fixed\npressure = 60 psi\n"
             "[pipe p]\nfrom = s\nlength = 100 ft\nc = 120\n"
             "inside diameter = 2 in\nfittings = none\n"
             "[fixture a]\non = p\ncount = 3\nexisting = v\n"
             "kind = water closet, flush valve\n"
             "[fixture b]\non = p\ncount = 2\nexisting = u\n"
             "kind = water closet, flush valve\n"
             "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = 1.28 gal\n"
             "%s\n[valve u]\nflow = 25 gpm at 25 psi\n"
             "full flush = 1.28 gal\n%s\n"
             "[usage]\nlast use within = 10 min\n",
             first, second);
    site = site_of(text);
    ck_assert_int_eq(fc_effects_find(site, &effects, NULL), FC_OK);
    n = effects->hygiene ? effects->hygiene->states[0].together : 0;
    fc_effects_free(effects);
    fc_site_free(site);
    return n;
}

/* 24 h comes due again at 72 h; 72 h and half an hour do not meet 72 h, nor
 * does what nobody says flushes of itself. */
START_TEST(who_comes_due)
{
    ck_assert_uint_eq(together("hygiene flush = 72 h", "hygiene flush = 72 h"),
                      5);
    /* 6 days on */
    ck_assert_uint_eq(together("hygiene flush = 48 h", "hygiene flush = 72 h"),
                      5);
    ck_assert_uint_eq(together("hygiene flush = 24 h", "hygiene flush = 72 h"),
                      5);
    ck_assert_uint_eq(
        together("hygiene flush = 72 h", "hygiene flush = 72.5 h"), 3);
    ck_assert_uint_eq(together("", "hygiene flush = 72 h"), 2);
    ck_assert_uint_eq(together("", ""), 0);
}
END_TEST

/* [usual last use] of tables/usual.ini: 5 to 15 min, common practice. */
START_TEST(usual_last_use)
{
    fc_effects *effects = NULL;
    fc_site *site =
        site_of("[source s]\nkind = fixed\npressure = 60 psi\n"
                "[pipe p]\nfrom = s\nlength = 10 ft\nc = 120\n"
                "inside diameter = 2 in\nfittings = none\n"
                "[fixture a]\non = p\nexisting = v\n"
                "kind = water closet, flush valve\n"
                "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = 1.28 gal\n"
                "hygiene flush = 72 h\n");

    ck_assert_int_eq(fc_effects_find(site, &effects, NULL), FC_OK);
    ck_assert(effects->hygiene->usual);
    ck_assert_double_eq(effects->hygiene->last_use_within.low, 300);
    ck_assert_double_eq(effects->hygiene->last_use_within.high, 900);
    ck_assert_double_eq(effects->hygiene->states[0].at_once, 1);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* 10000 are the most that are calculated: a choice of the method. */
START_TEST(too_many_are_said)
{
    fc_effects *effects = NULL;
    bool said = false;
    fc_site *site =
        site_of("[source s]\nkind = fixed\npressure = 60 psi\n"
                "[pipe p]\nfrom = s\nlength = 10 ft\nc = 120\n"
                "inside diameter = 2 in\nfittings = none\n"
                "[fixture a]\non = p\nexisting = v\ncount = 10001\n"
                "kind = water closet, flush valve\n"
                "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = 1.28 gal\n"
                "hygiene flush = 72 h\n");

    ck_assert_int_eq(fc_effects_find(site, &effects, NULL), FC_OK);
    ck_assert_ptr_null(effects->hygiene);
    for (size_t i = 0; i < effects->n_assumptions; i++)
        said |=
            strstr(effects->assumptions[i], "10001 of them come due") != NULL;
    ck_assert(said);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

static Suite *
hygiene_suite(void)
{
    Suite *suite = suite_create("hygiene");
    TCase *tcase = tcase_create("at once");

    tcase_add_loop_test(tcase, most_at_once, 0, 8);
    tcase_add_test(tcase, most_at_the_ends);
    tcase_add_loop_test(tcase, others_by_all_subsets, 0, 18);
    tcase_add_loop_test(tcase, no_more_at_any_moment, 0, COUNT(busies));
    tcase_add_test(tcase, at_most_all);
    suite_add_tcase(suite, tcase);
    tcase = tcase_create("weak");
    tcase_add_loop_test(tcase, weak_by_hand, 0, COUNT(cases));
    tcase_add_loop_test(tcase, spread_by_hand, 0, 3);
    tcase_add_test(tcase, weak_in_a_range);
    tcase_add_test(tcase, weak_alone);
    suite_add_tcase(suite, tcase);
    tcase = tcase_create("due");
    tcase_add_test(tcase, who_comes_due);
    tcase_add_test(tcase, usual_last_use);
    tcase_add_test(tcase, too_many_are_said);
    suite_add_tcase(suite, tcase);
    return suite;
}

int
main(void)
{
    return run_suite(hygiene_suite());
}
