/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/check_readings_agree.c -- where check says that readings
 * contradict the file as entered, diagnose never says that they check out.
 *
 * In invented buildings with no fault or one, exact files and wide ones, a
 * plumber takes the readings of a first visit.  In three of four the needle
 * swings by more at times than a file takes a gauge to be off by, so that both
 * happen; where it does not and nothing is amiss, nothing contradicts.
 */
#include "generators/diagnose_visits.h"
#include "generators/sites.h"

#define VISITS 240
/* Fewer on either side would say little. */
#define LEAST_OF_EITHER 20

static bool
checks_out(const fc_diagnosis *d)
{
    return d->verdict == FC_CHECKS_OUT || d->verdict == FC_CHECKS_OUT_SHORT
           || d->verdict == FC_STATIC_ONLY;
}

/* Whether a check finds a contradiction in such a file, and whether all of it
 * checks out. */
static void
hold(const char *text, bool *contradicted, bool *out)
{
    const fc_check_options few = { .threads = 1, .no_busy_period = true };
    fc_site *site = site_of(text);
    fc_check_result *checked = NULL;
    fc_diagnosis *d = NULL;

    ck_assert_int_eq(fc_check_with(site, &few, &checked, NULL), FC_OK);
    ck_assert_int_eq(fc_diagnose(site, NULL, &d, NULL), FC_OK);
    *contradicted = checked->n_contradictions > 0;
    *out = checks_out(d);
    ck_assert_msg(
        !*contradicted || !*out, "check: %s; diagnose: %s; the file:\n%.3000s",
        *contradicted ? checked->contradictions[0].text : "", d->text, text);
    fc_diagnosis_free(d);
    fc_check_result_free(checked);
    fc_site_free(site);
}

/* By hand: a valve of 25 gpm at 25 psi behind a device that takes 12 psi at
 * 30 gpm has 45 of 60 psi (check_evidence_readings.c). */
#define HALL                                                                  \
    "[source main]\nkind = fixed\npressure = 60 psi\n"                        \
    "[device d]\nfrom = main\nloss = 12 psi at 30 gpm\n"                      \
    "[valve v]\nflow = 25 gpm at 25 psi\nminimum flowing = 15 psi\n"          \
    "[fixture wc]\nkind = water closet, flush valve\ncount = 2\n"             \
    "existing = v\non = d\n"
#define STILL(psi) "[reading still]\nat = wc\npressure = " psi " psi\n"
#define ONE(psi)                                                              \
    "[reading one]\nat = wc\npressure = " psi " psi\nflushing = 1 of wc\n"

static const struct {
    const char *site;
    bool contradicted, out;
} by_hand[] = {
    { HALL STILL("60") ONE("45"), false, true },
    { HALL STILL("61") ONE("46"), false, true }, /* one gauge 1 psi high */
    { HALL STILL("60") ONE("43.1"), false, true },
    { HALL STILL("60") ONE("42.6"), true, false },   /* 2.4 off */
    { HALL STILL("61.2") ONE("43.6"), true, false }, /* 2.6 apart */
    { HALL STILL("62.5"), true, false },
};

START_TEST(agrees_by_hand)
{
    bool contradicted, out;

    hold(by_hand[_i].site, &contradicted, &out);
    ck_assert_int_eq(contradicted, by_hand[_i].contradicted);
    ck_assert_int_eq(out, by_hand[_i].out);
}
END_TEST

static const struct sick_plan plans[] = {
    { .kind = FC_SUPPLY_PRESSURE }, { .kind = FC_SUPPLY_SAG },
    { .kind = FC_PIPE_ROUGHNESS },  { .kind = FC_BLOCKED },
    { .kind = FC_STOP_THROTTLED },  { .kind = FC_HEIGHT },
    { .kind = FC_RUNNING_OUTLET },
};

/* Every third building has a fault. */
static bool
visit(unsigned long seed, bool *contradicted, bool *out)
{
    struct sick_building *b = malloc(sizeof *b);
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct visit v;
    bool counts = true;

    ck_assert(b && rng);
    gsl_rng_set(rng, seed + 1);
    sick_make(b, seed, (enum sick_ranges)(seed % 4));
    b->steady = seed / 4 % 4 == 0;
    if (seed % 3 == 0)
        counts = sick_infect(b, &plans[seed % COUNT(plans)], rng);
    if (counts) {
        counts = visit_begin(&v, b, false);
        if (counts) {
            hold(v.text, contradicted, out);
            ck_assert_msg(b->n_faults > 0 || !b->steady || !*contradicted,
                          "%.3000s", v.text);
        }
        visit_end(&v);
    }
    sick_free(b);
    free(b);
    gsl_rng_free(rng);
    return counts;
}

START_TEST(agrees_on_visits)
{
    int n = 0, n_contradicted = 0, n_out = 0;
    unsigned long seed;

    for (seed = 0; seed < (unsigned long)sample(VISITS); seed++) {
        bool contradicted, out;

        if (!visit(seed, &contradicted, &out))
            continue;
        n++;
        n_contradicted += contradicted;
        n_out += out;
    }
    printf("# %d visits: check contradicts %d, diagnose checks out %d\n", n,
           n_contradicted, n_out);
    ck_assert(SANITIZED || n_contradicted >= LEAST_OF_EITHER);
    ck_assert(SANITIZED || n_out >= LEAST_OF_EITHER);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("check and diagnose agree on readings");
    TCase *tcase = tcase_create("agree");

    tcase_set_timeout(tcase, 0);
    tcase_add_loop_test(tcase, agrees_by_hand, 0, COUNT(by_hand));
    tcase_add_test(tcase, agrees_on_visits);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
