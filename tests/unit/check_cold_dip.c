/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_cold_dip.c -- cold pressure of others while valves flush.
 *
 * By hand: a valve of 25 gpm at 25 psi takes q^2/25 psi at q gpm, and a device
 * of 4 psi at 20 gpm takes Q^2/100.  With n such valves behind it, of 60 psi
 *     p = 60 / (1 + n^2/4): 48, 30 and 18.46 psi with 1, 2 and 3 open
 * are left behind the device: cold falls by a fifth, by half, by 9/13.  An
 * eyewash of 0.4 gpm at 30 psi draws 0.4 sqrt(p/30) beside them:
 *     p = 60 / (1 + (5 n + 0.4/sqrt(30))^2 / 100): 47.72, 29.78, 18.34 psi.
 * Small buildings: every set of 1, 2 and 3 valves is solved, and the least
 * that any leaves is what has to be told.
 */
#include "effects/cold_dip.h"
#include "flow/solver.h"
#include "generators/buildings.h"
#include "generators/open_valves.h"
#include "generators/sites.h"
#include "peak/source.h"
#include "unit/building_suite.h"

#include <math.h>

#define EXACT 1e-5
#define FOUR(source)                                                          \
    source "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = 1.6 gal\n"       \
           "minimum flowing = 10 psi\n"                                       \
           "[device d]\nfrom = s\nloss = 4 psi at 20 gpm\n"                   \
           "[fixture wc]\non = d\nkind = water closet, flush valve\n"         \
           "count = 4\nexisting = v\n"
#define FIXED "[source s]\nkind = fixed\npressure = 60 psi\n"
#define SHOWER "[fixture x]\non = d\nkind = shower\n"
#define HEATER(on) "[heater h]\non = " on "\nserves = x\n"

static const double left[] = { 48, 30, 60 / 3.25 };

static fc_effects *
effects_of(const char *text, fc_site **site)
{
    fc_effects *effects = NULL;

    *site = site_of(text);
    ck_assert_int_eq(fc_effects_find(*site, &effects, NULL), FC_OK);
    ck_assert_ptr_nonnull(effects->cold_dip);
    return effects;
}

static void
near(double got, double want, const char *what)
{
    ck_assert_msg(fabs(got - want) <= EXACT * fmax(fabs(want), 0.1),
                  "%s: %.10g, by hand %.10g", what, got, want);
}

START_TEST(a_shower_by_hand)
{
    fc_site *site;
    fc_effects *effects = effects_of(FOUR(FIXED) SHOWER, &site);
    const fc_cold_dip *dip = effects->cold_dip;
    const fc_cold_dip_state *told = &dip->fixtures[0].states[FC_EXISTING];
    size_t k;

    ck_assert_uint_eq(dip->n_fixtures, 1);
    ck_assert_uint_eq(told->n_dips, 3);
    near(told->at_rest.nominal, 60 * PSI, "static");
    for (k = 0; k < 3; k++) {
        near(told->dips[k].pressure.nominal, left[k] * PSI, "left");
        near(told->dips[k].fall.nominal, 1 - left[k] / 60, "fall");
        near(told->dips[k].fall.low, 1 - left[k] / 60, "least fall");
        near(told->dips[k].fall.high, 1 - left[k] / 60, "most fall");
        ck_assert(told->dips[k].worst);
        ck_assert_uint_eq(told->dips[k].n_set, 1);
        ck_assert_str_eq(told->dips[k].set[0].fixture, "wc");
        ck_assert_int_eq(told->dips[k].set[0].count, (int)k + 1);
    }
    ck_assert_uint_eq(dip->deepest[FC_EXISTING], 0);
    ck_assert_uint_eq(dip->lowest[FC_EXISTING], SIZE_MAX);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* Whether it balances and what its heater is on; the verdict, and with how
 * many valves it comes about. */
static const struct {
    const char *what, *site;
    fc_verdict works;
    int first;
    double apart[3]; /* nominal, with 1, 2, 3 valves open */
} rows[] = {
    { "not balanced, and hot stays",
      FOUR(FIXED) SHOWER "balanced = no\n" HEATER("s"),
      FC_WILL_NOT_WORK,
      2,
      { 0.2, 0.5, 9.0 / 13 } },
    { "not balanced, and nobody knows what hot does",
      FOUR(FIXED) SHOWER "balanced = no\n",
      FC_CANNOT_TELL,
      2,
      { 0.2, 0.5, 9.0 / 13 } },
    { "nobody knows whether it balances",
      FOUR(FIXED) SHOWER HEATER("s"),
      FC_CANNOT_TELL,
      2,
      { 0.2, 0.5, 9.0 / 13 } },
    /* 5 ft up 57.8345 psi are left of 60, water being 999.03 kg/m3 */
    { "balanced: tested for half",
      FOUR(FIXED) SHOWER "balanced = yes\nrise = 5 ft\n" HEATER("s"),
      FC_CANNOT_TELL,
      2,
      { 12 / 57.8345, 30 / 57.8345, (60 - 60 / 3.25) / 57.8345 } },
    { "hot falls with it",
      FOUR(FIXED) SHOWER "balanced = no\n" HEATER("d"),
      FC_CANNOT_TELL,
      2,
      { 0, 0, 0 } },
    { "upstream of the device nothing falls",
      FOUR(FIXED) "[fixture x]\non = s\nkind = lavatory\nbalanced = no\n",
      FC_WORKS,
      0,
      { 0, 0, 0 } },
};

/* Whatever is not within its limit says why, and is a warning. */
static void
assert_told(const fc_effects *effects, fc_verdict works, const char *what)
{
    const fc_finding *found = finding_of(
        effects->findings, effects->n_findings, "cold pressure", "x");
    bool judged = false;

    for (size_t i = 0; i < effects->n_verdicts; i++) {
        const fc_effect_verdict *v = &effects->verdicts[i];

        if (v->area != FC_COLD_DIP_EFFECT)
            continue;
        judged = true;
        ck_assert_msg(v->verdicts[FC_EXISTING] == works, "%s", what);
        ck_assert_msg(strstr(v->why, works == FC_WORKS
                                         ? "with up to 3 valves open"
                                         : " with 2 valves open, limit "),
                      "%s: %s", what, v->why);
    }
    ck_assert_msg(judged, "%s", what);
    ck_assert_msg((found == NULL) == (works == FC_WORKS), "%s: found", what);
    ck_assert_msg(!found || found->severity == FC_WARN, "%s: warned", what);
}

START_TEST(what_a_mixing_valve_does)
{
    fc_site *site;
    fc_effects *effects = effects_of(rows[_i].site, &site);
    const fc_cold_dip_state *told =
        &effects->cold_dip->fixtures[0].states[FC_EXISTING];
    size_t k;

    ck_assert_msg(told->works == rows[_i].works, "%s: %d", rows[_i].what,
                  (int)told->works);
    ck_assert_msg(told->first == rows[_i].first, "%s: with %d", rows[_i].what,
                  told->first);
    for (k = 0; k < 3; k++)
        near(told->dips[k].apart.nominal, rows[_i].apart[k], rows[_i].what);
    assert_told(effects, rows[_i].works, rows[_i].what);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* Behind both devices cold falls more than behind one: that is told first. */
START_TEST(the_worst_is_told_first)
{
    fc_site *site;
    fc_effects *effects =
        effects_of(FOUR(FIXED) "[device e]\nfrom = d\nloss = 4 psi at 20 gpm\n"
                               "[fixture near]\non = d\nkind = shower\n"
                               "[fixture far]\non = e\nkind = shower\n"
                               "[fixture wc2]\non = e\ncount = 2\n"
                               "kind = water closet, flush valve\n"
                               "existing = v\n",
                   &site);
    size_t i = 0;

    while (i < effects->n_findings
           && effects->findings[i].code != FC_FOUND_COLD_PRESSURE)
        i++;
    ck_assert_uint_lt(i, effects->n_findings);
    ck_assert_str_eq(effects->findings[i].subject, "far");
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* A kind that the code calls balanced, and one that washes clothes alone. */
START_TEST(kinds_say_what_mixes)
{
    fc_site *site;
    fc_effects *effects = effects_of(
        FOUR(FIXED) "[fixture x]\non = d\nkind = shower, mixing valve\n"
                    "[fixture y]\non = d\nkind = washing machine 8 lb\n"
                    "[fixture z]\non = d\nkind = drinking fountain\n",
        &site);

    ck_assert_uint_eq(effects->cold_dip->n_fixtures, 1);
    ck_assert_str_eq(effects->cold_dip->fixtures[0].name, "x");
    ck_assert_int_eq(effects->cold_dip->fixtures[0].balanced, FC_YES);
    near(effects->cold_dip->fixtures[0].limit, 0.5, "limit");
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* ANSI/ISEA Z358.1 (from memory): 0.4 gpm at 30 psi. */
START_TEST(an_eyewash_by_hand)
{
    fc_site *site;
    fc_effects *effects =
        effects_of(FOUR(FIXED) "[fixture x]\non = d\nkind = eyewash\n", &site);
    const fc_cold_dip_fixture *f = &effects->cold_dip->fixtures[0];
    const fc_cold_dip_state *told = &f->states[FC_EXISTING];
    size_t k;

    ck_assert(f->emergency);
    near(f->minimum, 30 * PSI, "minimum");
    for (k = 0; k < 3; k++) {
        const double draws = 5 * (double)(k + 1) + 0.4 / sqrt(30);

        near(told->dips[k].pressure.nominal,
             60 / (1 + draws * draws / 100) * PSI, "while it runs");
        ck_assert(!told->dips[k].fall.given);
    }
    ck_assert_int_eq(told->works, FC_WILL_NOT_WORK);
    ck_assert_int_eq(told->first, 2); /* 29.78 psi */
    ck_assert_ptr_nonnull(finding_of(effects->findings, effects->n_findings,
                                     "emergency fixture", "x"));
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* The share does not change with the supply here, whatever that is: at rest
 * and flowing it is one figure. */
START_TEST(a_supply_is_one_cause)
{
    fc_site *site;
    fc_effects *effects = effects_of(
        FOUR("[source s]\nkind = fixed\npressure = 40..80 psi\n") SHOWER,
        &site);
    const fc_cold_dip_state *told =
        &effects->cold_dip->fixtures[0].states[FC_EXISTING];
    size_t k;

    for (k = 0; k < 3; k++) {
        near(told->dips[k].pressure.low, left[k] * 40 / 60 * PSI, "low");
        near(told->dips[k].pressure.high, left[k] * 80 / 60 * PSI, "high");
        near(told->dips[k].fall.low, 1 - left[k] / 60, "least fall");
        near(told->dips[k].fall.high, 1 - left[k] / 60, "most fall");
    }
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* One valve 23 ft up, of h psi, behind a PRV that passes all up to 60 psi and
 * takes Q^2/100: of a supply of s psi it draws Q^2 = 20 (s - h), so that s -
 * (s - h)/5 are left and the share is (s - h) / (5 s), up to s = 60; at 120
 * there is none.  So it is most in between. */
START_TEST(a_share_behind_a_prv)
{
    fc_site *site;
    fc_effects *effects = effects_of(
        "[source s]\nkind = fixed\npressure = 45..120 psi\n"
        "[prv r]\nfrom = s\nset = 60 psi\nfall-off = 0 psi at 10 gpm\n"
        "loss = 4 psi at 20 gpm\n"
        "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = 1.6 gal\n"
        "minimum flowing = 10 psi\n"
        "[fixture wc]\non = r\nkind = water closet, flush valve\n"
        "rise = 23 ft\nexisting = v\n[fixture x]\non = r\nkind = shower\n",
        &site);
    const fc_dip *dip =
        &effects->cold_dip->fixtures[0].states[FC_EXISTING].dips[0];
    const double h = 23 * 0.3048 * site->water_weight / PSI;

    ck_assert_double_ge(dip->fall.high, (60 - h) / (5 * 60));
    /* least flowing, at 45 psi, of most at rest, 60 psi */
    near(dip->fall.high, 1 - (45 - (45 - h) / 5) / 60, "most fall");
    near(dip->fall.low, 0, "least fall");
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* Up to 10 psi, common practice; hot may fall as much, or not. */
START_TEST(an_untested_main_may_drop)
{
    fc_site *site;
    fc_effects *effects = effects_of(
        FOUR("[source s]\nkind = street main\nstatic = 60 psi\n") SHOWER,
        &site);
    const fc_cold_dip_state *told =
        &effects->cold_dip->fixtures[0].states[FC_EXISTING];

    near(told->dips[0].pressure.nominal, 48 * PSI, "left");
    near(told->dips[0].pressure.low, 38 * PSI, "low");
    near(told->dips[0].fall.high, 22.0 / 60, "most fall");
    near(told->dips[0].fall.low, 12.0 / 60, "least fall");
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* ---- How many are open ------------------------------------------------ */

/* A device of 4 psi at 200 gpm: with n valves behind it 60 / (1 + n^2/400) psi
 * are left, a third less than 60 from n = 14.14 on. */
#define STADIUM(count, more)                                                  \
    FIXED "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = 1.6 gal\n"        \
          "minimum flowing = 10 psi\n" more                                   \
          "[device d]\nfrom = s\nloss = 4 psi at 200 gpm\n"                   \
          "[fixture wc]\non = d\nkind = water closet, flush valve\n"          \
          "count = " count "\nexisting = v\n"                                 \
          "[fixture x]\non = d\nkind = shower\nbalanced = no\n" HEATER("s")

static const struct {
    const char *site;
    size_t least, most; /* open at once */
    fc_verdict works;
} crowds[] = {
    { STADIUM("6", "[usage]\ninterval = 10 min\nbusy period = 10 min\n"), 2, 4,
      FC_WORKS },
    { STADIUM("100", "[usage]\ninterval = 1 min\nbusy period = 20 min\n"), 15,
      24, FC_CANNOT_TELL },
    /* all come due within the time of a flush */
    { STADIUM("40", "hygiene flush = 72 h\n"
                    "[usage]\ninterval = 60 min\nlast use within = 5 s\n"),
      25, 40, FC_CANNOT_TELL },
};

START_TEST(as_many_as_are_open)
{
    fc_site *site;
    fc_effects *effects = effects_of(crowds[_i].site, &site);
    const fc_cold_dip_state *told =
        &effects->cold_dip->fixtures[0].states[FC_EXISTING];
    const fc_open_at_once *open = &effects->cold_dip->open[FC_EXISTING];

    ck_assert_uint_ge(open->most, crowds[_i].least);
    ck_assert_uint_le(open->most, crowds[_i].most);
    ck_assert_uint_ge(open->most, open->busiest);
    ck_assert_uint_ge(open->most, open->hygiene);
    ck_assert_int_eq(told->works, crowds[_i].works);
    ck_assert_uint_eq(told->n_dips, open->most > 3 ? 4 : 3);
    for (size_t k = 0; k < told->n_dips; k++) {
        const double n = (double)told->dips[k].open;

        ck_assert_uint_eq(told->dips[k].open, k < 3 ? k + 1 : open->most);
        ck_assert(told->dips[k].surely == (k < 3));
        near(told->dips[k].pressure.nominal, 60 * PSI / (1 + n * n / 400),
             "left");
    }
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* How long a flush lasts is not known: all may be open. */
START_TEST(as_many_as_there_are)
{
    fc_site *site;
    fc_effects *effects =
        effects_of(FIXED "[valve v]\nflow = 25 gpm at 25 psi\n"
                         "[device d]\nfrom = s\nloss = 4 psi at 200 gpm\n"
                         "[fixture wc]\non = d\ncount = 20\n"
                         "kind = water closet, flush valve\nexisting = v\n"
                         "[fixture x]\non = d\nkind = shower\n",
                   &site);
    const fc_cold_dip_state *told =
        &effects->cold_dip->fixtures[0].states[FC_EXISTING];

    ck_assert_uint_eq(effects->cold_dip->open[FC_EXISTING].busiest, 0);
    ck_assert_uint_eq(told->dips[3].open, 20);
    near(told->dips[3].pressure.nominal, 30 * PSI, "left");
    ck_assert_int_eq(told->works, FC_CANNOT_TELL);
    ck_assert_int_eq(told->first, 20);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* 1 to 3 valves: with 2 and 3 cold surely falls too far, but there may be one
 * alone, which leaves 48 psi of 60. */
START_TEST(as_few_as_there_may_be)
{
    static const struct {
        const char *count;
        fc_verdict works;
    } counts[] = { { "1..3", FC_CANNOT_TELL },
                   { "2..3", FC_WILL_NOT_WORK },
                   { "1", FC_WORKS } };

    for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) {
        char text[1000];
        fc_site *site;
        fc_effects *effects;
        const fc_cold_dip_state *told;

        snprintf(
            text, sizeof text,
            FIXED
            "[valve v]\nflow = 25 gpm at 25 psi\n"
            "full flush = 1.6 gal\n"
            "[device d]\nfrom = s\nloss = 4 psi at 20 gpm\n"
            "[fixture wc]\non = d\ncount = %s\n"
            "kind = water closet, flush valve\nexisting = v\n"
            "[fixture x]\non = d\nkind = shower\nbalanced = no\n" HEATER("s"),
            counts[i].count);
        effects = effects_of(text, &site);
        told = &effects->cold_dip->fixtures[0].states[FC_EXISTING];
        ck_assert_msg(told->works == counts[i].works, "%s", counts[i].count);
        if (i < 2)
            near(told->dips[2].fall.low, 1 - left[i] / 60, "least fall");
        fc_effects_free(effects);
        fc_site_free(site);
    }
}
END_TEST

/* ---- Every set -------------------------------------------------------- */

static const struct building_plan small = {
    .fewest = 3, .most = 14, .ranges = true, .small = true
};

/* The least that any n valves leave at a fixture without one, at an end. */
static void
try_sets(const struct fci_network *network, struct fci_solver *solver,
         size_t fixture, enum fci_end end, double least[FC_MOST_DIPPING + 1])
{
    int open[SMALL_GROUPS] = { 0 }, n;
    double pressures[SMALL_GROUPS];
    struct small_groups groups;

    small_groups_of(network, &groups);
    for (n = 0; n <= FC_MOST_DIPPING; n++)
        least[n] = INFINITY;
    fci_solver_take(solver, end, fixture);
    while (small_next(&groups, open)) {
        int valves = 0;

        for (size_t i = 0; i < groups.n; i++)
            valves += open[i];
        if (valves > FC_MOST_DIPPING)
            continue;
        n = small_solve(solver, &groups, open, pressures);
        ck_assert_int_eq(n, valves);
        least[n] = fmin(least[n], fci_solver_at_rest(solver, fixture));
    }
}

static void
holds_every_set(const fc_site *site, const struct fci_network *network,
                struct fci_solver *solver, const fc_cold_dip_fixture *f)
{
    const fc_cold_dip_state *told = &f->states[FC_EXISTING];
    double nominal[FC_MOST_DIPPING + 1], worst[FC_MOST_DIPPING + 1];
    double best[FC_MOST_DIPPING + 1];
    size_t fixture = 0, k;

    while (strcmp(site->fixtures[fixture].given->name, f->name) != 0)
        fixture++;
    try_sets(network, solver, fixture, FCI_NOMINAL, nominal);
    try_sets(network, solver, fixture, FCI_WORST, worst);
    try_sets(network, solver, fixture, FCI_BEST, best);
    for (k = 1; k <= told->n_dips && k <= FC_MOST_DIPPING; k++) {
        const fc_dip *dip = &told->dips[k - 1];

        ck_assert(dip->worst);
        ck_assert_double_eq_tol(dip->pressure.nominal, nominal[k], 2);
        ck_assert_double_eq_tol(dip->pressure.low, fmin(worst[k], nominal[k]),
                                2);
        ck_assert_double_eq_tol(dip->pressure.high, fmax(best[k], nominal[k]),
                                2);
        /* more valves never leave more, and never are less of a fall */
        if (k > 1) {
            ck_assert_double_le(nominal[k], nominal[k - 1] + 1);
            if (dip->fall.given)
                ck_assert_double_ge(dip->fall.nominal,
                                    told->dips[k - 2].fall.nominal - 1e-5);
        }
        if (!dip->fall.given)
            continue;
        ck_assert_double_le(dip->fall.low, dip->fall.nominal);
        ck_assert_double_ge(dip->fall.high, dip->fall.nominal);
        ck_assert_double_ge(dip->apart.nominal, 0);
        ck_assert_double_le(dip->apart.nominal, dip->fall.nominal + 1e-9);
    }
}

static int looked_at;

/* One of those buildings with some showers and lavatories more. */
static fc_site *
with_showers(unsigned long seed)
{
    static const char *const names[] = { "rest-1", "rest-2", "rest-3" };
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct building b;
    size_t i, elements = 0;
    fc_site *site;

    gsl_rng_set(rng, seed);
    building_make(&b, seed, &small);
    while (elements < b.n_parts && building_is_element(&b.parts[elements]))
        elements++;
    for (i = 0; i < 3; i++) {
        const size_t on = gsl_rng_uniform_int(rng, elements);
        fc_fixture *f = &building_add(&b, FCI_FIXTURE)->as.fixture;

        f->name = names[i];
        f->on = b.parts[on].as.name;
        f->kind = i == 1 ? "lavatory" : "shower";
        f->rise = fc_between(0, (double)i * 2 * FOOT);
    }
    site = building_site(&b, NULL);
    building_free(&b);
    gsl_rng_free(rng);
    return site;
}

START_TEST(no_set_leaves_less)
{
    const struct fci_telling nobody = { 0 };
    fc_site *site = with_showers((unsigned long)_i);
    struct fci_arena arena = { 0 };
    struct fci_network *network = NULL;
    struct fci_solver *solver;
    fc_cold_dip *dip;
    size_t i;

    ck_assert_int_eq(fci_network_new(site, FC_EXISTING, &network, NULL),
                     FC_OK);
    solver = fci_solver_new(network);
    ck_assert_ptr_nonnull(solver);
    ck_assert_int_eq(
        fci_cold_dip_all(site, false, NULL, &nobody, &arena, &dip, NULL),
        FC_OK);
    for (i = 0; i < dip->n_fixtures && !fci_untested_main(site); i++)
        if (dip->fixtures[i].states[FC_EXISTING].given
            && !dip->fixtures[i].emergency) {
            holds_every_set(site, network, solver, &dip->fixtures[i]);
            looked_at++;
        }
    fci_arena_free(&arena);
    fci_solver_free(solver);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

START_TEST(there_were_such_fixtures)
{
    ck_assert_int_ge(looked_at, 20);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("cold dip");
    TCase *hand = tcase_create("by hand"), *sets = tcase_create("every set");

    tcase_add_test(hand, a_shower_by_hand);
    tcase_add_loop_test(hand, what_a_mixing_valve_does, 0, COUNT(rows));
    tcase_add_test(hand, the_worst_is_told_first);
    tcase_add_test(hand, kinds_say_what_mixes);
    tcase_add_test(hand, an_eyewash_by_hand);
    tcase_add_test(hand, a_supply_is_one_cause);
    tcase_add_test(hand, a_share_behind_a_prv);
    tcase_add_test(hand, an_untested_main_may_drop);
    tcase_add_loop_test(hand, as_many_as_are_open, 0, COUNT(crowds));
    tcase_add_test(hand, as_many_as_there_are);
    tcase_add_test(hand, as_few_as_there_may_be);
    tcase_add_sampled_test(sets, no_set_leaves_less, 120);
    tcase_add_counting_test(sets, there_were_such_fixtures);
    tcase_set_timeout(sets, 200);
    suite_add_tcase(suite, hand);
    suite_add_tcase(suite, sets);
    return run_building_suite(suite);
}
