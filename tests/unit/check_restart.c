/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_restart.c -- what every valve has when water returns.
 *
 * By hand: a valve of 25 gpm at 25 psi takes q^2/25 psi at q gpm, and a device
 * of 4 psi at 20 gpm takes Q^2/100.  With n such valves behind it, of 60 psi
 *     p = 60 / (1 + n^2/4): 48, 30, 18.46 and 12 psi with 1 to 4 open.
 * Small buildings: every set of valves is solved, and the fewest of which some
 * set leaves a valve less than what closes it is one more than may be open.
 */
#include "effects/restart.h"
#include "flow/solver.h"
#include "generators/buildings.h"
#include "generators/open_valves.h"
#include "generators/sites.h"
#include "peak/source.h"
#include "unit/building_suite.h"

#include <math.h>

#define FOUR                                                                  \
    "[device d]\nfrom = s\nloss = 4 psi at 20 gpm\n"                          \
    "[fixture wc]\non = d\nkind = water closet, flush valve\ncount = 4\n"     \
    "existing = v\n"
#define FIXED "[source s]\nkind = fixed\npressure = 60 psi\n"
#define VALVE                                                                 \
    "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = 1.6 gal\n"              \
    "minimum flowing = "
#define EXACT 1e-6
#define ATMOSPHERE 101325.0 /* Pa, the standard one */

static fc_effects *
effects_of(const char *text, fc_site **site)
{
    fc_effects *effects = NULL;

    *site = site_of(text);
    ck_assert_int_eq(fc_effects_find(*site, &effects, NULL), FC_OK);
    return effects;
}

static void
near(double got, double want, const char *what)
{
    ck_assert_msg(fabs(got - want) <= EXACT * fabs(want),
                  "%s: %.10g, by hand %.10g", what, got, want);
}

/* What an order of opening cures works only with that, and is a warning.
 * What a main does that nobody tested is not known. */
static void
assert_judged(const fc_effects *effects, const char *what)
{
    const fc_restart_state *told = &effects->restart->states[FC_EXISTING];
    const fc_verdict least =
        told->closes_alone == FC_WORKS && told->closes_all != FC_WORKS
            ? FC_CANNOT_TELL
            : told->closes_alone;
    bool judged = false, warned = false, cured = false;

    for (size_t i = 0; i < effects->n_verdicts; i++) {
        if (effects->verdicts[i].area != FC_RESTART_EFFECT)
            continue;
        judged = true;
        cured = effects->verdicts[i].only_if[FC_EXISTING] != NULL;
        ck_assert_msg(effects->verdicts[i].verdicts[FC_EXISTING]
                          == (cured ? told->closes_alone : least),
                      "%s", what);
    }
    for (size_t i = 0; i < effects->n_findings; i++)
        warned = warned
                 || (effects->findings[i].code == FC_FOUND_RESTART
                     && effects->findings[i].severity == FC_WARN);
    ck_assert_msg(judged, "%s", what);
    ck_assert_msg(!cured
                      || (warned && told->closes_alone == FC_WORKS
                          && told->closes_all != FC_WORKS
                          && told->at_once > 0),
                  "%s", what);
}

START_TEST(four_valves_by_hand)
{
    fc_site *site;
    fc_effects *effects =
        effects_of(FIXED VALVE "25 psi\ncloses at = 20 psi\n" FOUR, &site);
    const fc_restart_state *told;

    ck_assert_ptr_nonnull(effects->restart);
    told = &effects->restart->states[FC_EXISTING];
    ck_assert(told->given);
    ck_assert_int_eq(told->valves, 4);
    ck_assert_uint_eq(told->n_list, 1);
    near(told->least.nominal, 12 * PSI, "all open");
    near(told->list[0].alone.nominal, 48 * PSI, "alone");
    near(told->flow, 4 * sqrt(12 * 25) * GPM, "flow with all open");
    ck_assert(!told->list[0].assumed);
    /* 30 psi with two, 18.46 with three */
    ck_assert_int_eq(told->at_once, 2);
    ck_assert_int_eq(told->closes_all, FC_WILL_NOT_WORK);
    ck_assert_int_eq(told->closes_alone, FC_WORKS);
    ck_assert_int_eq(told->running_on, 4);
    /* common practice: each runs 5 to 10 s; two rounds of two */
    near(told->time.low, 10, "least time");
    near(told->time.high, 20, "most time");
    near(told->volume.low, 4 * sqrt(48 * 25) * GPM * 5, "least volume");
    near(told->volume.high, 4 * sqrt(48 * 25) * GPM * 10, "most volume");
    assert_judged(effects, "four valves");
    ck_assert_ptr_nonnull(
        finding_of(effects->findings, effects->n_findings, "restart", "wc"));
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* What closes a valve, and what comes of it: with all open, and alone. */
/* A valve that stays open with all open is told whichever of them it is, and
 * what prevents that stands beside the verdict: 60 psi, two valves of 25 gpm
 * at 35 psi on 100 ft of 1-1/4 in leave each other 37 to 38 psi. */
START_TEST(stops_are_the_condition)
{
    static const struct {
        const char *first, *second, *named;
    } rows[] = { { "37 psi", "20..45 psi", "wb" },
                 { "39 psi", "20 psi", "wa" },
                 { "36 psi", "20 psi", NULL } };
    char text[2000];
    fc_site *site;
    fc_effects *effects;
    const fc_effect_verdict *v = NULL;

    snprintf(text, sizeof text,
             "[source main]\nkind = fixed\npressure = 60 psi\n[pipe A]\n"
             "from = main\nmaterial = copper L\ncondition = new\n"
             "size = 1-1/4 in\nlength = 100 ft\nfittings = none\n"
             "[fixture wa]\non = A\nkind = water closet, flush valve\n"
             "existing = va\n[fixture wb]\non = A\n"
             "kind = water closet, flush valve\nexisting = vb\n[valve va]\n"
             "flow = 25 gpm at 35 psi\ncloses at = %s\n[valve vb]\n"
             "flow = 25 gpm at 35 psi\ncloses at = %s\n",
             rows[_i].first, rows[_i].second);
    effects = effects_of(text, &site);
    for (size_t i = 0; i < effects->n_verdicts; i++)
        if (effects->verdicts[i].area == FC_RESTART_EFFECT)
            v = &effects->verdicts[i];
    ck_assert_ptr_nonnull(v);
    ck_assert_int_eq(v->verdicts[FC_EXISTING], FC_WORKS);
    ck_assert_int_eq(v->only_if[FC_EXISTING] != NULL, rows[_i].named != NULL);
    if (rows[_i].named) {
        ck_assert_ptr_nonnull(strstr(v->why, rows[_i].named));
        ck_assert_ptr_nonnull(strstr(v->why, "open at most 1 at a time"));
        ck_assert_ptr_nonnull(finding_of(effects->findings,
                                         effects->n_findings, "restart",
                                         rows[_i].named));
    }
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

static const struct {
    const char *what, *site;
    fc_verdict all, alone;
    int at_once;
    bool assumed;
} rows[] = {
    { "12 psi are enough for 12",
      FIXED VALVE "25 psi\ncloses at = 12 psi\n" FOUR, FC_WORKS, FC_WORKS, 4,
      false },
    { "by its minimum flowing alone nothing surely runs on",
      FIXED VALVE "20 psi\n" FOUR, FC_CANNOT_TELL, FC_WORKS, 2, true },
    { "12 psi with all open, and nobody knows between 10 and 14",
      FIXED VALVE "25 psi\ncloses at = 10..14 psi\n" FOUR, FC_CANNOT_TELL,
      FC_WORKS, 3, false },
    { "48 psi alone are too few for 50",
      FIXED VALVE "50 psi\ncloses at = 50 psi\n" FOUR, FC_WILL_NOT_WORK,
      FC_WILL_NOT_WORK, 0, false },
    { "48 psi alone may be too few for 50", FIXED VALVE "50 psi\n" FOUR,
      FC_CANNOT_TELL, FC_CANNOT_TELL, 0, true },
    /* 25 psi of closes at and 10 that a main may drop: two leave 30, one 48 */
    { "a main that nobody tested may drop 10 psi",
      "[source s]\nkind = street main\nstatic = 60 psi\n" VALVE
      "25 psi\ncloses at = 25 psi\n" FOUR,
      FC_WILL_NOT_WORK, FC_WORKS, 1, false },
    { "12 psi are enough for 12, unless that main drops",
      "[source s]\nkind = street main\nstatic = 60 psi\n" VALVE
      "25 psi\ncloses at = 12 psi\n" FOUR,
      FC_CANNOT_TELL, FC_WORKS, 2, false },
};

START_TEST(what_closes_it)
{
    fc_site *site;
    fc_effects *effects = effects_of(rows[_i].site, &site);
    const fc_restart_state *told = &effects->restart->states[FC_EXISTING];

    ck_assert_msg(told->closes_all == rows[_i].all, "%s: all open: %d",
                  rows[_i].what, (int)told->closes_all);
    ck_assert_msg(told->closes_alone == rows[_i].alone, "%s: alone: %d",
                  rows[_i].what, (int)told->closes_alone);
    ck_assert_msg(told->at_once == rows[_i].at_once, "%s: %d at a time",
                  rows[_i].what, told->at_once);
    ck_assert(told->list[0].assumed == rows[_i].assumed);
    assert_judged(effects, rows[_i].what);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* 23.1 ft above the others take 10 psi: 38 psi alone where those have 48. */
/* 30 to 90 psi at the source: 24 to 72 alone, so that it draws sqrt(24 * 25)
 * to sqrt(72 * 25) gpm, for 5 to 10 s. */
START_TEST(water_at_the_ends)
{
    fc_site *site;
    fc_effects *effects =
        effects_of("[source s]\nkind = fixed\npressure = 30..90 psi\n" VALVE
                   "25 psi\ncloses at = 20 psi\n" FOUR,
                   &site);
    const fc_restart_state *told = &effects->restart->states[FC_EXISTING];

    near(told->list[0].alone.low, 24 * PSI, "low");
    near(told->list[0].alone.high, 72 * PSI, "high");
    near(told->volume.low, 4 * sqrt(24 * 25) * GPM * 5, "least volume");
    near(told->volume.high, 4 * sqrt(72 * 25) * GPM * 10, "most volume");
    near(told->volume.nominal, 4 * sqrt(48 * 25) * GPM * 7.5, "volume");
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* What may be empty or stand still when water returns: 12 psi close each, and
 * 60 at the source leave that to all four. */
#define CLOSES VALVE "25 psi\ncloses at = 12 psi\n" FOUR
static const struct {
    const char *what, *site;
    fc_restart_doubt doubt;
} doubts[] = {
    { "nothing", FIXED CLOSES, FC_RESTART_NO_DOUBT },
    { "a pressure tank",
      "[source well]\nkind = well\nrate = 10 gpm\n"
      "[pressure tank s]\nfrom = well\nvolume = 220 gal\n"
      "cut-in = 60 psi\ncut-out = 80 psi\nprecharge = 58 psi\n" CLOSES,
      FC_TANK_MAY_BE_EMPTY },
    { "a roof tank of a volume",
      "[source s]\nkind = tank\nwater level = 200 ft\nvolume = 20 gal\n"
      "rate = 15 gpm\nelevation = 0 ft\n" CLOSES,
      FC_TANK_MAY_BE_EMPTY },
    { "a pump",
      "[source m]\nkind = fixed\npressure = 60 psi\n"
      "[pump s]\nfrom = m\ncurve = 0 gpm 20 ft, 500 gpm 20 ft\n" CLOSES,
      FC_PUMP_MAY_STAND_STILL },
    { "a pump that stands still anyway",
      "[source m]\nkind = fixed\npressure = 60 psi\n[pump s]\nfrom = m\n"
      "curve = 0 gpm 20 ft, 500 gpm 20 ft\nrunning = no\n" CLOSES,
      FC_RESTART_NO_DOUBT },
    { "a pump of others",
      FIXED "[pump p]\nfrom = s\ncurve = 0 gpm 20 ft, 500 gpm 20 ft\n"
            "[fixture x]\non = p\nkind = shower\n" CLOSES,
      FC_RESTART_NO_DOUBT },
};

START_TEST(what_may_be_empty_or_stand_still)
{
    const char *const what = doubts[_i].what;
    const bool sure = doubts[_i].doubt == FC_RESTART_NO_DOUBT;
    fc_site *site;
    fc_effects *effects = effects_of(doubts[_i].site, &site);
    const fc_restart_state *told = &effects->restart->states[FC_EXISTING];
    const fc_verdict want = sure ? FC_WORKS : FC_CANNOT_TELL;

    /* 60 psi or more leave 12 or more with all of them open */
    ck_assert_double_ge(told->least.low, 12 * PSI * (1 - EXACT));
    ck_assert_msg(told->list[0].doubt == doubts[_i].doubt, "%s: %d", what,
                  (int)told->list[0].doubt);
    ck_assert_msg(told->closes_all == want, "%s", what);
    ck_assert_msg(told->closes_alone == want, "%s", what);
    ck_assert_msg(told->at_once == (sure ? 4 : 0), "%s: %d", what,
                  told->at_once);
    ck_assert_msg(told->running_on == (sure ? 0 : 4), "%s", what);
    ck_assert_msg(
        (finding_of(effects->findings, effects->n_findings, "restart", "wc")
         != NULL)
            == !sure,
        "%s", what);
    assert_judged(effects, what);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

START_TEST(the_least_favorable_place_is_first)
{
    static const char text[] = "[floors]\n1 = 0 ft\n3 = 23.1 ft\n" FIXED VALVE
                               "25 psi\ncloses at = 15 psi\n"
                               "[device d]\nfrom = s\nloss = 4 psi at 20 gpm\n"
                               "[fixture low]\non = d\nelevation = floor 1\n"
                               "kind = water closet, flush valve\n"
                               "count = 2\nexisting = v\n"
                               "[fixture high]\non = d\nelevation = floor 3\n"
                               "kind = water closet, flush valve\n"
                               "count = 2\nexisting = v\n";
    fc_site *site;
    fc_effects *effects = effects_of(text, &site);
    const fc_restart_state *told = &effects->restart->states[FC_EXISTING];

    ck_assert_uint_eq(told->n_steps, 2);
    ck_assert_str_eq(told->steps[0].places[0], "floor 3");
    ck_assert_str_eq(told->steps[1].places[0], "floor 1");
    /* At the device J psi are left where 60 - J = (a sqrt(J) + b sqrt(J -
     * 10))^2 / 4 with a valves open below and b above.  All four leave 16.4,
     * enough below; above 25 are needed: one of each leave 30.4, two below and
     * one above 22.5. */
    ck_assert_int_eq(told->steps[1].at_once, 4);
    ck_assert_int_eq(told->steps[0].at_once, 2);
    ck_assert_double_lt(told->steps[0].margin.nominal,
                        told->steps[1].margin.nominal);
    near(told->steps[1].margin.nominal, 33 * PSI, "48 psi less 15");
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* 92.4 ft above the others take 40 psi.  Alone p = 60 - 40 - p/4 = 16 psi are
 * up there; the two below alone leave 60 - J = J, 30 psi at the device and so
 * 10 less than none above it. */
START_TEST(a_vacuum_is_told_once)
{
    static const char text[] = "[floors]\n1 = 0 ft\n9 = 92.4 ft\n" FIXED VALVE
                               "25 psi\ncloses at = 15 psi\n"
                               "[device d]\nfrom = s\nloss = 4 psi at 20 gpm\n"
                               "[fixture low]\non = d\nelevation = floor 1\n"
                               "kind = water closet, flush valve\n"
                               "count = 2\nexisting = v\n"
                               "[fixture high]\non = d\nelevation = floor 9\n"
                               "kind = water closet, flush valve\n"
                               "count = 2\nexisting = v\n";
    fc_site *site;
    fc_effects *effects = effects_of(text, &site);
    const fc_restart_state *told = &effects->restart->states[FC_EXISTING];
    const fc_finding *found;

    ck_assert_double_eq_tol(told->list[1].alone.nominal, 16 * PSI, 0.1 * PSI);
    ck_assert_double_eq_tol(told->list[1].all_open.nominal, -10 * PSI,
                            0.1 * PSI);
    found = finding_of(effects->findings, effects->n_findings, "backflow", "");
    ck_assert_ptr_nonnull(found);
    ck_assert_int_eq(found->severity, FC_WARN);
    ck_assert_ptr_nonnull(strstr(found->text, "0 psi or a vacuum at high "));
    ck_assert_ptr_null(
        finding_of(effects->findings, effects->n_findings, "restart", "high"));
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

START_TEST(progress)
{
    fc_site *site = site_of(FIXED VALVE "25 psi\n" FOUR "[fixture b]\non = d\n"
                                        "kind = shower\ncount = 2\n");
    struct heard heard = { 0, 0 };
    const fc_effects_options options = { .progress = hear, .context = &heard };
    fc_effects *effects = NULL;

    ck_assert_int_eq(fc_effects_find_with(site, &options, &effects, NULL),
                     FC_OK);
    ck_assert_double_ge(heard.last, 1 - EXACT);
    ck_assert_int_gt(heard.times, 9);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

START_TEST(nothing_is_told_without_a_rate)
{
    fc_site *site;
    fc_effects *effects =
        effects_of(FIXED "[valve v]\nminimum flowing = 20 psi\n" FOUR, &site);

    ck_assert_ptr_null(effects->restart);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* ---- Every set -------------------------------------------------------- */

static const struct building_plan small = {
    .fewest = 3, .most = 12, .ranges = true, .small = true
};

static const struct fci_telling nobody;

struct tried {
    fc_site *site;
    struct fci_network *network;
    struct fci_solver *solver;
    struct small_groups groups;
    struct fci_arena arena;
    fc_restart_state told;
};

static void
begin(struct tried *t, unsigned long seed)
{
    *t = (struct tried){ .site = building_made(seed, &small) };
    ck_assert_int_eq(fci_network_new(t->site, FC_EXISTING, &t->network, NULL),
                     FC_OK);
    t->solver = fci_solver_new(t->network);
    ck_assert_ptr_nonnull(t->solver);
    small_groups_of(t->network, &t->groups);
    ck_assert_int_eq(fci_restart_find(t->network, t->solver, FCI_RESTART_WORK,
                                      &nobody, &t->arena, &t->told),
                     FC_OK);
}

static void
end(struct tried *t)
{
    fci_arena_free(&t->arena);
    fci_solver_free(t->solver);
    fci_network_free(t->network);
    fc_site_free(t->site);
}

/* The least that any so many leave a group, at an end. */
static void
try_sets(struct tried *t, size_t group, enum fci_end at,
         double least[SMALL_VALVES + 1])
{
    int open[SMALL_GROUPS] = { 0 }, n;
    double pressures[SMALL_GROUPS];

    for (n = 0; n <= SMALL_VALVES; n++)
        least[n] = INFINITY;
    fci_solver_take(t->solver, at, t->groups.fixture[group]);
    while (small_next(&t->groups, open)) {
        if (open[group] == 0)
            continue;
        n = small_solve(t->solver, &t->groups, open, pressures);
        ck_assert_int_gt(n, 0);
        least[n] = fmin(least[n], pressures[group]);
    }
}

static const fc_restart_valve *
valve_of(const struct tried *t, size_t group)
{
    const char *name = t->site->fixtures[t->groups.fixture[group]].given->name;

    for (size_t i = 0; i < t->told.n_list; i++)
        if (strcmp(t->told.list[i].name, name) == 0)
            return &t->told.list[i];
    ck_abort_msg("%s is not told of", name);
    return NULL;
}

START_TEST(as_many_as_every_set_allows)
{
    struct tried t;
    size_t group;

    begin(&t, (unsigned long)_i);
    if (!t.told.given || fci_untested_main(t.site)) {
        end(&t);
        return;
    }
    for (group = 0; group < t.groups.n; group++) {
        const fc_restart_valve *v = valve_of(&t, group);
        const double closes = v->closes_at.high;
        double least[SMALL_VALVES + 1];
        int n = 1;

        try_sets(&t, group, FCI_WORST, least);
        ck_assert_double_eq_tol(v->all_open.low,
                                fmax(least[t.groups.valves], -ATMOSPHERE), 1);
        ck_assert_double_eq_tol(v->alone.low, fmax(least[1], -ATMOSPHERE), 1);
        while (n <= t.groups.valves && least[n] >= closes - FCI_SOLVED_TO)
            n++;
        ck_assert_int_eq(v->at_once,
                         v->doubt == FC_RESTART_NO_DOUBT ? n - 1 : 0);
        /* more open never leave more */
        for (n = 2; n <= t.groups.valves; n++)
            ck_assert_double_le(least[n], least[n - 1] + 1);
    }
    end(&t);
}
END_TEST

/* ---- Too many to search ----------------------------------------------- */

/* What is told where but a part was searched holds what the whole search
 * finds, and no verdict is surer for it.  How many were searched is by links:
 * what is allowed over links of the building. */
START_TEST(what_was_not_searched_is_wide)
{
    struct tried t;
    fc_restart_state part;
    size_t searched = 0, wanted;

    begin(&t, (unsigned long)_i);
    if (!t.told.given) {
        end(&t);
        return;
    }
    wanted = t.told.n_list / 2;
    ck_assert_int_eq(
        fci_restart_find(t.network, t.solver,
                         (double)(wanted * t.network->n_links) + 0.5, &nobody,
                         &t.arena, &part),
        FC_OK);
    for (size_t i = 0; i < part.n_list; i++) {
        const fc_restart_valve *v = &part.list[i], *whole = &t.told.list[i];

        searched += !v->loose;
        ck_assert(!whole->loose);
        ck_assert_double_le(v->all_open.low,
                            whole->all_open.low + FCI_SOLVED_TO);
        ck_assert_double_ge(v->all_open.high,
                            whole->all_open.high - FCI_SOLVED_TO);
        ck_assert_double_ge(v->all_open.low, -ATMOSPHERE);
        ck_assert(v->closes_all == whole->closes_all
                  || (v->loose && v->closes_all == FC_CANNOT_TELL));
        ck_assert_int_eq(v->closes_alone, whole->closes_alone);
        ck_assert_int_eq(v->at_once, whole->at_once);
        if (v->loose)
            ck_assert_double_eq(v->all_open.low, -ATMOSPHERE);
    }
    ck_assert_uint_eq(part.least_at, t.told.least_at);
    ck_assert(!part.list[part.least_at].loose);
    ck_assert_double_eq_tol(part.least.low, t.told.least.low, 1);
    ck_assert_uint_eq(searched, !t.network->bounded || t.network->exact
                                        || part.n_list == 1
                                    ? part.n_list
                                    : wanted);
    end(&t);
}
END_TEST

/* As flushcalc(1) has it 2 million valves times runs of pipe: 1450 valves,
 * each behind a pipe of its own that leaves one header, are 1451 runs, and
 * 2,000,000 over that 1378 valves. */
#define ROWS                                                                  \
    "[pipe p%d-{floor}]\nfloors = 1..290\nfrom = h\nmaterial = copper L\n"    \
    "condition = new\nsize = 1 in\nlength = 1 ft\n"                           \
    "[fixture f%d-{floor}]\nfloors = 1..290\non = p%d-{floor}\n"              \
    "kind = water closet, flush valve\nexisting = v\n"
#define SEARCHED 1378

START_TEST(what_was_not_searched_is_said)
{
    char text[4000] = "[source s]\nkind = fixed\npressure = 80..90 psi\n"
                      "[valve v]\nflow = 25 gpm at 25 psi\n"
                      "[pipe h]\nfrom = s\nmaterial = copper L\n"
                      "condition = new\nsize = 6 in\nlength = 10 ft\n";
    fc_report_options full = { .full = true };
    fc_report *report = NULL;
    char *written = NULL;
    fc_site *site;
    fc_effects *effects;
    const fc_finding *found;
    const fc_restart_state *told;
    size_t n = 0;

    for (int i = 0; i < 5; i++)
        snprintf(text + strlen(text), sizeof text - strlen(text), ROWS, i, i,
                 i);
    effects = effects_of(text, &site);
    told = &effects->restart->states[FC_EXISTING];
    for (size_t i = 0; i < told->n_list; i++) {
        n += !told->list[i].loose;
        ck_assert_int_eq(told->list[i].closes_all, FC_CANNOT_TELL);
    }
    ck_assert_uint_eq(told->n_list, 1450);
    ck_assert_uint_eq(n, SEARCHED);
    found = finding_of(effects->findings, effects->n_findings, "backflow", "");
    ck_assert_ptr_nonnull(found);
    ck_assert_int_eq(found->severity, FC_WARN);
    ck_assert_ptr_nonnull(strstr(found->text, "72 of 1450"));
    ck_assert_int_eq(fc_report_effects(site, effects, &report), FC_OK);
    ck_assert_int_eq(
        fc_report_write(report, FC_TEXT, &full, &written, NULL, NULL), FC_OK);
    ck_assert_ptr_nonnull(strstr(written, "not searched"));
    ck_assert_ptr_nonnull(strstr(written, "full vacuum"));
    fc_free(written);
    fc_report_free(report);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("restart");
    TCase *hand = tcase_create("by hand"), *sets = tcase_create("every set");

    tcase_add_test(hand, four_valves_by_hand);
    tcase_add_loop_test(hand, stops_are_the_condition, 0, 3);
    tcase_add_loop_test(hand, what_closes_it, 0, COUNT(rows));
    tcase_add_test(hand, water_at_the_ends);
    tcase_add_loop_test(hand, what_may_be_empty_or_stand_still, 0,
                        COUNT(doubts));
    tcase_add_test(hand, the_least_favorable_place_is_first);
    tcase_add_test(hand, a_vacuum_is_told_once);
    tcase_add_test(hand, nothing_is_told_without_a_rate);
    tcase_add_test(hand, progress);
    tcase_add_sampled_test(sets, as_many_as_every_set_allows, 120);
    tcase_add_loop_test(sets, what_was_not_searched_is_wide, 0, 200);
    tcase_add_test(sets, what_was_not_searched_is_said);
    tcase_set_timeout(sets, 120);
    suite_add_tcase(suite, hand);
    suite_add_tcase(suite, sets);
    return run_building_suite(suite);
}
