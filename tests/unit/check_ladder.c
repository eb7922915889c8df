/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_ladder.c -- how many valves at once, against trying all
 * sets.
 *
 * In buildings of a dozen valves every choice of open valves is solved.  The
 * fewest among them that leave a fixture less than its minimum is what the
 * ladder has to find.
 */
#include "check/judge.h"
#include "flow/ladder.h"
#include "flow/surely.h"
#include "generators/buildings.h"
#include "generators/open_valves.h"
#include "generators/sites.h"

#include <math.h>

#define BLOCKS 16
#define A_BLOCK sample(25)
/* The solver's own tolerance on an element's law [Pa]. */
#define SOLVED 0.1

/* One of thousands of conditions: Check hears only of those that fail. */
#define HOLDS(seed, condition, ...)                                           \
    do {                                                                      \
        if (!(condition)) {                                                   \
            char said[256];                                                   \
                                                                              \
            snprintf(said, sizeof said, __VA_ARGS__);                         \
            ck_abort_msg("building %lu: %s", (unsigned long)(seed), said);    \
        }                                                                     \
    } while (0)

struct small {
    unsigned long seed;
    fc_site *site;
    struct fci_network *network;
    struct fci_solver *solver, *other; /* the ladder's, and the test's */
    struct fci_ladder *ladder;
    struct small_groups groups;
};

static struct small
small_of(fc_site *site, unsigned long seed)
{
    struct small s = { .seed = seed, .site = site };

    ck_assert_int_eq(fci_network_new(s.site, FC_EXISTING, &s.network, NULL),
                     FC_OK);
    s.solver = fci_solver_new(s.network);
    s.other = fci_solver_new(s.network);
    ck_assert(s.solver && s.other);
    s.ladder = fci_ladder_new(s.network, s.solver);
    ck_assert_ptr_nonnull(s.ladder);
    small_groups_of(s.network, &s.groups);
    return s;
}

static void
small_end(struct small *s)
{
    fci_ladder_free(s->ladder);
    fci_solver_free(s->other);
    fci_solver_free(s->solver);
    fci_network_free(s->network);
    fc_site_free(s->site);
}

static double
least_of(const struct small *s, size_t group, enum fci_end end)
{
    const struct fci_fixture *fixture =
        &s->site->fixtures[s->groups.fixture[group]];

    return fci_more_is_worse(fixture->valve[FC_EXISTING]->minimum_flowing,
                             end);
}

static struct fci_rungs
climb(struct small *s, size_t group, enum fci_end end)
{
    struct fci_rungs rungs;
    const fc_status status =
        fci_ladder_climb(s->ladder, s->groups.fixture[group], end,
                         least_of(s, group, end), FCI_EVERY_NUMBER, &rungs);

    HOLDS(s->seed, status == FC_OK, "the ladder of %zu: %s at %s", group,
          fc_status_text(status), fci_solver_culprit(s->solver));
    return rungs;
}

/* ---- All sets --------------------------------------------------------- */

/* The lowest pressure of one group with 1, 2, ... valves open. */
static void
try_sets(struct small *s, size_t group, enum fci_end end,
         double lowest[SMALL_VALVES + 1])
{
    int open[SMALL_GROUPS] = { 0 }, n;
    double pressures[SMALL_GROUPS];

    for (n = 0; n <= SMALL_VALVES; n++)
        lowest[n] = INFINITY;
    fci_solver_take(s->other, end, s->groups.fixture[group]);
    while (small_next(&s->groups, open)) {
        if (open[group] == 0)
            continue;
        n = small_solve(s->other, &s->groups, open, pressures);
        HOLDS(s->seed, n > 0, "%d %d %d %d %d %d open: not settled at %s",
              open[0], open[1], open[2], open[3], open[4], open[5],
              fci_solver_culprit(s->other));
        lowest[n] = fmin(lowest[n], pressures[group]);
    }
}

/* How many may be open with any choice of them. */
static int
most_of(const struct small *s, const double *lowest, double least)
{
    int n = 1;

    while (n <= s->groups.valves && lowest[n] >= least - FCI_SOLVED_TO)
        n++;
    return n - 1;
}

/* ---- The set ---------------------------------------------------------- */

static double
solve_afresh(struct small *s, const struct fci_open *set, size_t n)
{
    HOLDS(s->seed, fci_solver_run(s->other, set, n) == FC_OK, "not settled");
    return fci_solver_drawn(s->other)[0].pressure;
}

/* It starves the fixture, and does not when any one of the others is shut. */
static void
assert_set(struct small *s, size_t group, const struct fci_rungs *rungs,
           double least)
{
    struct fci_open set[SMALL_GROUPS];
    int valves = 0;
    size_t i, n = rungs->n_set;
    double there;

    memcpy(set, rungs->set, n * sizeof *set);
    for (i = 0; i < n; i++)
        valves += set[i].count;
    HOLDS(s->seed, set[0].fixture == s->groups.fixture[group],
          "its own is not in the set of %zu", group);
    HOLDS(s->seed, valves == rungs->most + 1, "%zu: %d in the set", group,
          valves);
    fci_solver_forget(s->other);
    there = solve_afresh(s, set, n);
    HOLDS(s->seed, there < least, "%zu is not starved", group);
    HOLDS(s->seed, fabs(there - rungs->pressures[rungs->most]) <= SOLVED,
          "%zu: the last rung has another pressure", group);
    for (i = 0; i < n; i++) {
        if (i == 0 && set[0].count == 1)
            continue;
        set[i].count--;
        if (set[i].count == 0) {
            struct fci_open last = set[n - 1];

            set[n - 1] = set[i];
            set[i] = last;
            there = solve_afresh(s, set, n - 1);
            set[i] = set[n - 1];
            set[n - 1] = last;
        } else {
            there = solve_afresh(s, set, n);
        }
        set[i].count++;
        HOLDS(s->seed, there >= least - FCI_SOLVED_TO,
              "%zu is starved by fewer", group);
    }
}

/* Each pressure is the least of so many, to what the ladder says. */
static void
assert_rungs(const struct small *s, size_t group,
             const struct fci_rungs *rungs, const double *lowest)
{
    size_t i;

    HOLDS(s->seed, rungs->n_pressures >= 1, "%zu has no rung", group);
    HOLDS(s->seed, rungs->worst, "%zu: not proved", group);
    for (i = 0; i < rungs->n_pressures; i++)
        HOLDS(s->seed,
              fabs(rungs->pressures[i] - lowest[i + 1])
                  <= FCI_WORST_TO + SOLVED,
              "%zu, rung %zu: %f, all sets %f", group, i, rungs->pressures[i],
              lowest[i + 1]);
}

/* Whether there was a choice to make. */
static bool
compare(struct small *s, size_t group, enum fci_end end, int *most)
{
    double lowest[SMALL_VALVES + 1];
    const double least = least_of(s, group, end);
    struct fci_rungs rungs;
    int known;

    try_sets(s, group, end, lowest);
    known = most_of(s, lowest, least);
    rungs = climb(s, group, end);
    HOLDS(s->seed, rungs.most == known,
          "%zu at end %d: the ladder has %d, all sets %d", group, (int)end,
          rungs.most, known);
    HOLDS(s->seed, rungs.could == known, "%zu: could be %d, is %d", group,
          rungs.could, known);
    HOLDS(s->seed, rungs.all == (known == s->groups.valves),
          "%zu at end %d: all of them or not", group, (int)end);
    HOLDS(s->seed, rungs.all == (rungs.n_set == 0), "%zu: the set", group);
    assert_rungs(s, group, &rungs, lowest);
    if (!rungs.all) {
        HOLDS(s->seed, rungs.n_pressures == (size_t)known + 1, "rungs");
        assert_set(s, group, &rungs, least);
    } else {
        const size_t shown =
            (size_t)(known < FCI_RUNGS_SHOWN ? known : FCI_RUNGS_SHOWN);

        HOLDS(s->seed, rungs.n_pressures == shown, "%zu rungs of all",
              rungs.n_pressures);
    }
    *most = known;
    return known > 0 && known < s->groups.valves;
}

/* ---- Buildings -------------------------------------------------------- */

START_TEST(every_set)
{
    const struct building_plan plan = { .fewest = 4,
                                        .most = 13,
                                        .small = true };
    int choices = 0, most, k;
    size_t i;

    for (k = 0; k < A_BLOCK; k++) {
        const unsigned long seed = (unsigned long)(_i * A_BLOCK + k + 1);
        struct small s = small_of(building_made(seed, &plan), seed);

        for (i = 0; i < s.groups.n; i++)
            choices += compare(&s, i, FCI_NOMINAL, &most);
        small_end(&s);
    }
    ck_assert(SANITIZED || choices >= A_BLOCK);
}
END_TEST

/* What is sure without a climb is no more than all sets allow; whether it is
 * something. */
static int
bound(struct small *s, const struct fci_rest *rest, size_t group)
{
    const double least = least_of(s, group, FCI_NOMINAL);
    double lowest[SMALL_VALVES + 1];
    int known, sure, closely;

    try_sets(s, group, FCI_NOMINAL, lowest);
    known = most_of(s, lowest, least);
    sure = fci_surely_at_once(rest, s->groups.fixture[group], least,
                              s->groups.valves, false);
    closely = fci_surely_at_once(rest, s->groups.fixture[group], least,
                                 s->groups.valves, true);
    HOLDS(s->seed, known == s->groups.valves || closely <= known,
          "%zu: surely %d, all sets %d", group, closely, known);
    HOLDS(s->seed, sure <= closely, "%zu: surely %d, closely %d", group, sure,
          closely);
    return sure > 1 && known < s->groups.valves;
}

START_TEST(surely_no_more)
{
    const struct building_plan plan = { .fewest = 4,
                                        .most = 13,
                                        .small = true };
    int known = 0, k;
    size_t i;

    for (k = 0; k < A_BLOCK; k++) {
        const unsigned long seed = (unsigned long)(_i * A_BLOCK + k + 1);
        struct small s = small_of(building_made(seed, &plan), seed);
        struct fci_arena arena = { 0 };
        double *most =
            fci_arena_array(&arena, s.site->n_fixtures + 1, sizeof *most);
        const struct fci_told_of of = { .end = FCI_NOMINAL,
                                        .side = FCI_NOMINAL,
                                        .beside = true,
                                        .most = most };
        struct fci_rest rest;

        fci_solver_take(s.other, FCI_NOMINAL, FCI_NONE);
        for (i = 0; i < s.groups.n; i++) {
            const struct fci_open one = { s.groups.fixture[i], 1 };

            ck_assert_int_eq(fci_solver_run(s.other, &one, 1), FC_OK);
            most[one.fixture] = fci_solver_drawn(s.other)[0].flow;
        }
        if (fci_more_leaves_less(s.network))
            ck_assert(fci_rest_find(&rest, &arena, s.network, &of));
        for (i = 0; i < s.groups.n && fci_more_leaves_less(s.network); i++)
            known += bound(&s, &rest, i);
        fci_arena_free(&arena);
        small_end(&s);
    }
    ck_assert(SANITIZED || known >= 1);
}
END_TEST

/* The ends of the ranges: the worst allows the fewest. */
START_TEST(every_set_at_the_ends)
{
    const struct building_plan plan = {
        .fewest = 4, .most = 13, .small = true, .ranges = true
    };
    int most[FCI_ENDS], wide = 0, k, end;
    size_t i;

    for (k = 0; k < A_BLOCK; k++) {
        const unsigned long seed = (unsigned long)(_i * A_BLOCK + k + 1);
        struct small s = small_of(building_made(seed, &plan), seed);

        for (i = 0; i < s.groups.n; i++) {
            for (end = 0; end < FCI_ENDS; end++)
                compare(&s, i, (enum fci_end)end, &most[end]);
            HOLDS(seed,
                  most[FCI_WORST] <= most[FCI_NOMINAL]
                      && most[FCI_NOMINAL] <= most[FCI_BEST],
                  "%zu: the ends cross", i);
            wide += most[FCI_WORST] < most[FCI_BEST];
        }
        small_end(&s);
    }
    ck_assert(SANITIZED || wide >= A_BLOCK / 5);
}
END_TEST

/* ---- Minima next to the truth ------------------------------------------- */

/* With the valve minimum a little under, a little over and half way between
 * the least pressures of two numbers [Pa]. */
static int
try_minima(struct small *s, size_t group, enum fci_end end)
{
    static const double beside[] = { -3, -0.5, 0.5, 3 };
    double lowest[SMALL_VALVES + 1], least;
    struct fci_rungs rungs;
    int tried = 0, n, known;
    size_t i;

    try_sets(s, group, end, lowest);
    for (n = 1; n <= s->groups.valves; n++)
        for (i = 0; i <= COUNT(beside); i++) {
            least = i < COUNT(beside)      ? lowest[n] + beside[i]
                    : n < s->groups.valves ? (lowest[n] + lowest[n + 1]) / 2
                                           : lowest[n] + 1000;
            if (least <= 0)
                continue;
            known = most_of(s, lowest, least);
            HOLDS(s->seed,
                  fci_ladder_climb(s->ladder, s->groups.fixture[group], end,
                                   least, FCI_MOST_ALONE, &rungs)
                      == FC_OK,
                  "not settled");
            HOLDS(s->seed, rungs.most == known && rungs.could == known,
                  "%zu at end %d, needing %f: %d to %d, all sets %d", group,
                  (int)end, least, rungs.most, rungs.could, known);
            tried++;
        }
    return tried;
}

START_TEST(minima_next_to_the_truth)
{
    const struct building_plan plan = { .fewest = 4,
                                        .most = 15,
                                        .small = true,
                                        .ranges = _i % 2,
                                        .loops = _i % 8 == 6,
                                        .sources = _i % 8 == 4 };
    int tried = 0, end, k;
    size_t i;

    for (k = 0; k < A_BLOCK; k++) {
        const unsigned long seed = (unsigned long)(20000 + _i * A_BLOCK + k);
        struct small s = small_of(building_made(seed, &plan), seed);

        for (i = 0; i < s.groups.n; i++)
            for (end = 0; end < FCI_ENDS; end++)
                if (end == FCI_NOMINAL
                    || (s.network->bounded && !s.network->exact))
                    tried += try_minima(&s, i, (enum fci_end)end);
        small_end(&s);
    }
    ck_assert(SANITIZED || tried >= A_BLOCK);
}
END_TEST

/* What was climbed before does not show. */
START_TEST(any_order)
{
    const struct building_plan plan = {
        .fewest = 4, .most = 13, .small = true, .ranges = _i % 2
    };
    const unsigned long seed = (unsigned long)(_i + 5000);
    struct small s = small_of(building_made(seed, &plan), seed);
    double pressures[SMALL_GROUPS][SMALL_VALVES];
    struct fci_rungs first[SMALL_GROUPS], again;
    size_t i;

    for (i = 0; i < s.groups.n; i++) {
        first[i] = climb(&s, i, FCI_NOMINAL);
        memcpy(pressures[i], first[i].pressures,
               first[i].n_pressures * sizeof **pressures);
    }
    for (i = s.groups.n; i-- > 0;) {
        climb(&s, (i + 1) % s.groups.n, FCI_WORST);
        again = climb(&s, i, FCI_NOMINAL);
        ck_assert_int_eq(again.most, first[i].most);
        ck_assert_uint_eq(again.n_pressures, first[i].n_pressures);
        ck_assert_mem_eq(again.pressures, pressures[i],
                         again.n_pressures * sizeof **pressures);
    }
    small_end(&s);
}
END_TEST

/* ---- The building's least set ------------------------------------------ */

START_TEST(starved_first)
{
    const struct building_plan plan = { .fewest = 4,
                                        .most = 13,
                                        .small = true };
    const fc_check_options options = { .threads = 1, .most_states = 1 };
    const unsigned long seed = (unsigned long)(_i + 1);
    struct small s = small_of(building_made(seed, &plan), seed);
    fc_check_result *result = NULL;
    int fewest = s.groups.valves, most;
    size_t starved, i;

    for (i = 0; i < s.groups.n; i++) {
        compare(&s, i, FCI_NOMINAL, &most);
        fewest = most < fewest ? most : fewest;
    }
    ck_assert_int_eq(fc_check_with(s.site, &options, &result, NULL), FC_OK);
    starved = result->states[FC_EXISTING].starved;
    if (fewest == s.groups.valves) {
        ck_assert(starved == SIZE_MAX);
    } else {
        const fc_ladder *ladder;
        int valves = 0;

        ck_assert_uint_lt(starved, result->n_fixtures);
        ladder = &result->fixtures[starved].states[FC_EXISTING].ladder;
        ck_assert(ladder->given && !ladder->all);
        ck_assert_int_eq(ladder->most, fewest);
        ck_assert_str_eq(ladder->first[0].fixture,
                         result->fixtures[starved].name);
        for (i = 0; i < ladder->n_first; i++)
            valves += ladder->first[i].count;
        ck_assert_int_eq(valves, fewest + 1);
    }
    fc_check_result_free(result);
    small_end(&s);
}
END_TEST

/* ---- By hand ---------------------------------------------------------- */

#define BY_HAND(pressure)                                                     \
    pressure, "[source s]\nkind = fixed\npressure = " #pressure " psi\n"      \
              "[device d]\nfrom = s\nloss = 6 psi at 30 gpm\n"                \
              "[valve v]\nminimum flowing = 20 psi\n"                         \
              "flow = 30 gpm at 20 psi\nregulated = yes\n"                    \
              "[fixture f]\non = d\nkind = water closet, flush valve\n"       \
              "count = 9\nexisting = v\n"

/* n valves take 30 gpm each, whatever is beyond 20 psi: 6 n^2 psi are lost, so
 * that n may be open while 20 + 6 n^2 psi are there. */
static const struct {
    double psi;
    const char *site;
    int most;
} hands[] = {
    { BY_HAND(19.9), 0 }, { BY_HAND(25.99), 0 },  { BY_HAND(26), 1 },
    { BY_HAND(43.9), 1 }, { BY_HAND(44), 2 },     { BY_HAND(73.99), 2 },
    { BY_HAND(74), 3 },   { BY_HAND(505.99), 8 }, { BY_HAND(506), 9 },
};

START_TEST(by_hand)
{
    struct small s = small_of(site_of(hands[_i].site), 0);
    const struct fci_rungs rungs = climb(&s, 0, FCI_NOMINAL);
    size_t i;

    ck_assert_int_eq(rungs.most, hands[_i].most);
    ck_assert(rungs.all == (rungs.most == 9));
    ck_assert_uint_eq(rungs.n_set, rungs.all ? 0 : 1);
    if (!rungs.all)
        ck_assert_int_eq(rungs.set[0].count, rungs.most + 1);
    ck_assert_uint_eq(rungs.n_pressures,
                      (size_t)(rungs.all ? FCI_RUNGS_SHOWN : rungs.most + 1));
    for (i = 0; i < (size_t)rungs.most && i < rungs.n_pressures; i++)
        ck_assert_double_eq_tol(
            rungs.pressures[i],
            (hands[_i].psi - 6 * (double)((i + 1) * (i + 1))) * PSI, SOLVED);
    small_end(&s);
}
END_TEST

/* Behind a reducer that holds no valve before it shows, until together they
 * take it out of its setting. */
START_TEST(out_of_its_setting)
{
    struct small s = small_of(
        site_of("[source s]\nkind = fixed\npressure = 70 psi\n"
                "[device d]\nfrom = s\nloss = 3 psi at 30 gpm\n"
                "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\nfrom "
                "= d\nset = 40 psi\n"
                "[device e]\nfrom = r\nloss = 1 psi at 30 gpm\n"
                "[valve v]\nminimum flowing = 30 psi\n"
                "flow = 30 gpm at 10 psi\nregulated = yes\n"
                "[fixture far]\non = e\nkind = water closet, flush valve\n"
                "count = 3\nexisting = v\n"
                "[fixture near]\non = d\nkind = water closet, flush valve\n"
                "count = 6\nexisting = v\n"),
        0);
    double lowest[SMALL_VALVES + 1];
    struct fci_rungs rungs;

    /* With k of its own and m others there are 70 - 3 (k + m)^2 psi before the
     * reducer, at most 40 behind it, less k^2.  Short: 3 n^2 + k^2 > 40, so
     * that 3 and 1 are too few (3 * 9 + 9 = 36) and any 4 are enough. */
    try_sets(&s, 0, FCI_NOMINAL, lowest);
    rungs = climb(&s, 0, FCI_NOMINAL);
    ck_assert_int_eq(rungs.most, 3);
    ck_assert_double_eq_tol(lowest[4], (70 - 3 * 16 - 9) * PSI, SOLVED);
    assert_rungs(&s, 0, &rungs, lowest);
    assert_set(&s, 0, &rungs, 30 * PSI);
    small_end(&s);
}
END_TEST

/* A pump that stands, as it gets more than it holds, lets water by: beyond
 * where its curve ends in no head it takes what the curve falls below that.
 *
 * The curve is straight, 100 ft less 1 ft a gpm, a foot being 62.37 / 144 psi
 * (water at 60 F, 62.37 lb a cubic foot).  Beyond its end it goes on in a
 * straight line or falls by the square of the flow, in the middle by the mean
 * of both: with five valves of 30 gpm, at 150 gpm, by 50 or 125 ft, 87.5 ft;
 * with four by 20 or 44 ft, 32 ft; with three it has 10 ft left, and as they
 * get more than it holds, they get 90 psi. */
START_TEST(beyond_a_pump)
{
    struct small s = small_of(
        site_of("[source s]\nkind = fixed\npressure = 90 psi\n"
                "[pump p]\nfrom = s\ncurve = 0 gpm 100 ft, 100 gpm 0 ft\n"
                "hold = 60 psi\n"
                "[valve v]\nminimum flowing = 75 psi\n"
                "flow = 30 gpm at 10 psi\nregulated = yes\n"
                "[fixture one]\non = p\nkind = water closet, flush valve\n"
                "count = 2\nexisting = v\n"
                "[fixture other]\non = p\n"
                "kind = water closet, flush valve\n"
                "count = 3\nexisting = v\n"),
        0);
    double lowest[SMALL_VALVES + 1];
    struct fci_rungs rungs;

    try_sets(&s, 0, FCI_NOMINAL, lowest);
    rungs = climb(&s, 0, FCI_NOMINAL);
    ck_assert_double_eq_tol(lowest[3], 90 * PSI, SOLVED);
    ck_assert_double_eq_tol(lowest[5], (90 - 87.5 * 62.37 / 144) * PSI,
                            0.01 * PSI);
    ck_assert_int_eq(rungs.most, 4);
    assert_rungs(&s, 0, &rungs, lowest);
    assert_set(&s, 0, &rungs, 75 * PSI);
    small_end(&s);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("ladder");
    TCase *t = tcase_create("sets");

    tcase_set_timeout(t, 120);
    tcase_add_loop_test(t, every_set, 0, BLOCKS);
    tcase_add_loop_test(t, surely_no_more, 0, BLOCKS);
    tcase_add_loop_test(t, every_set_at_the_ends, 0, BLOCKS / 2);
    tcase_add_loop_test(t, minima_next_to_the_truth, 0, BLOCKS);
    tcase_add_sampled_test(t, any_order, 40);
    tcase_add_sampled_test(t, starved_first, 40);
    tcase_add_loop_test(t, by_hand, 0, COUNT(hands));
    tcase_add_test(t, out_of_its_setting);
    tcase_add_test(t, beyond_a_pump);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
