/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/check_weak_chance.c -- how often a flush is weak, against
 * every state there is.
 *
 * In invented buildings of at most VALVES valves (two thousand, or the first
 * six hundred: a class of chances has a hundred fixtures) every state is
 * solved and weighed: a state is how many valves of each fixture are on, its
 * chance a product of binomial ones.  Each valve that is on is one outcome, so
 * that the chance of a weak flush is
 *
 *     sum of chance k [weak] / sum of chance k,  k of the fixture's being on.
 *
 * The library is not asked how it finds its interval: ANSWERS below has the
 * ways of getting one.  What came of it is printed, a class of chances a line.
 */
#include "flow/busy_period.h"
#include "generators/buildings.h"
#include "generators/open_valves.h"
#include "generators/sites.h"
#include "unit/building_suite.h"

#include <gsl/gsl_randist.h>
#include <math.h>

#define VALVES 14    /* in a building, at most */
#define MOST_ALIKE 8 /* of one fixture */
/* An interval of 95 % covers so many, over some thousand fixtures; and of one
 * class of chances no fewer than chance allows: by so many of the standard
 * deviations of a binomial number. */
#define LEAST_COVERED 0.94
#define DEVIATIONS 3
/* None misses by more than so many of its widths. */
#define WIDTHS 3
/* What is found by adding up chances has rounding of its own. */
#define ROUNDING 1e-9
/* A state is left out, and its fixture with it, that the tolerance of what is
 * solved decides [Pa]. */
#define UNDECIDED FCI_SOLVED_TO

/* ---- Buildings -------------------------------------------------------- */

static const struct building_plan plan = {
    .fewest = 4, .most = 13, .small = true, .busy = true
};

static double
between(gsl_rng *rng, double low, double high)
{
    return gsl_ran_flat(rng, low, high);
}

/* Up to eight alike, closets or urinals, that flush as often as every 8 s or
 * as seldom as every five hours. */
static void
vary_fixture(fc_fixture *fixture, gsl_rng *rng, int *spare)
{
    const int most = *spare < MOST_ALIKE - 1 ? *spare : MOST_ALIKE - 1;

    fixture->count = 1 + (int)gsl_rng_uniform_int(rng, (unsigned)most + 1ul);
    *spare -= fixture->count - 1;
    if (gsl_rng_uniform(rng) < 0.3)
        fixture->kind = "urinal, flush valve";
    if (gsl_rng_uniform(rng) < 0.85)
        fixture->interval =
            fc_exactly(exp(between(rng, log(8), log(5 * 3600.0))));
}

static fc_site *
make_site(unsigned long seed)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct building b;
    int spare = VALVES;
    fc_site *site;
    size_t i;

    ck_assert_ptr_nonnull(rng);
    gsl_rng_set(rng, seed);
    building_make(&b, seed, &plan);
    for (i = 0; i < b.n_parts; i++)
        spare -= b.parts[i].kind == FCI_FIXTURE;
    for (i = 0; i < b.n_parts; i++)
        if (b.parts[i].kind == FCI_FIXTURE)
            vary_fixture(&b.parts[i].as.fixture, rng, &spare);
    site = building_site(&b, NULL);
    building_free(&b);
    gsl_rng_free(rng);
    return site;
}

static struct fci_network *
network_of(fc_site *site)
{
    struct fci_network *network = NULL;

    ck_assert_int_eq(fci_network_new(site, FC_EXISTING, &network, NULL),
                     FC_OK);
    return network;
}

/* ---- What is true ----------------------------------------------------- */

struct truth {
    struct small_groups groups;
    double on[SMALL_GROUPS], least[SMALL_GROUPS];
    double flushes[SMALL_GROUPS], weak[SMALL_GROUPS];
    bool unclear[SMALL_GROUPS];
};

static void
add_state(struct truth *t, const int *open, const double *pressures)
{
    double chance = 1;
    size_t i;

    for (i = 0; i < t->groups.n; i++)
        chance *= gsl_ran_binomial_pdf((unsigned)open[i], t->on[i],
                                       (unsigned)t->groups.count[i]);
    for (i = 0; i < t->groups.n; i++) {
        const double outcomes = chance * open[i];

        if (open[i] == 0)
            continue;
        t->flushes[i] += outcomes;
        t->weak[i] += pressures[i] < t->least[i] ? outcomes : 0;
        t->unclear[i] |= fabs(pressures[i] - t->least[i]) <= UNDECIDED;
    }
}

static struct truth
find_truth(const struct fci_network *network)
{
    struct fci_solver *solver = fci_solver_new(network);
    int open[SMALL_GROUPS] = { 0 };
    double pressures[SMALL_GROUPS];
    struct truth t = { 0 };
    size_t i;

    ck_assert_ptr_nonnull(solver);
    fci_solver_take_whole(solver, FCI_NOMINAL);
    small_groups_of(network, &t.groups);
    for (i = 0; i < t.groups.n; i++) {
        const size_t fixture = t.groups.fixture[i];

        t.on[i] = small_chance_on(&network->site->fixtures[fixture]);
        /* as a pressure that is solved is judged */
        t.least[i] =
            fci_least_kept(network, fixture, FCI_NOMINAL) - FCI_SOLVED_TO;
    }
    while (small_next(&t.groups, open)) {
        ck_assert_msg(small_solve(solver, &t.groups, open, pressures) > 0,
                      "not settled at %s", fci_solver_culprit(solver));
        add_state(&t, open, pressures);
    }
    fci_solver_free(solver);
    return t;
}

/* ---- What the library says -------------------------------------------- */

typedef struct fci_busy_period answer(const struct fci_network *network,
                                      unsigned threads);

static struct fci_busy_period
by_library(const struct fci_network *network, unsigned threads)
{
    const fc_check_options options = { .threads = threads };
    struct fci_busy_period period;

    ck_assert_int_eq(fci_busy_period_run(network, FCI_NOMINAL, &options, NULL,
                                         &period, NULL),
                     FC_OK);
    return period;
}

/* As of a building that is not small. */
static struct fci_busy_period
draw(const struct fci_network *network, unsigned threads, bool rough)
{
    const fc_check_options options = { .threads = threads, .rough = rough };
    struct fci_busy_period period;

    ck_assert_int_eq(
        fci_busy_period_draw(network, FCI_NOMINAL, &options, &period, NULL),
        FC_OK);
    return period;
}

static struct fci_busy_period
by_draws(const struct fci_network *network, unsigned threads)
{
    return draw(network, threads, false);
}

static struct fci_busy_period
roughly(const struct fci_network *network, unsigned threads)
{
    return draw(network, threads, true);
}

static const struct way {
    const char *name;
    answer *get;
    /* Half of its width is counted as too wide above this part of the
     * estimate, or that. */
    double part, wide;
    /* An interval that samples is none too wide: of chances that are neither
     * next to none nor next to sure, so many are covered at most. */
    double most_covered;
} ANSWERS[] = {
    { "as check has it", by_library, 0.1, 2e-4, 1 },
    { "by states drawn", by_draws, 0.1, 2e-4, 0.97 },
    { "as well as a verdict needs", roughly, 0.2, 2e-3, 0.97 },
};

/* ---- One against the other -------------------------------------------- */

static const struct {
    const char *name;
    double up_to; /* chances below it */
} classes[] = {
    { "never", 0 },           { "below 1e-4", 1e-4 }, { "1e-4 to 1e-2", 1e-2 },
    { "1e-2 to 1e-1", 1e-1 }, { "above", INFINITY },
};
#define CLASSES COUNT(classes)
#define MIDDLE 2 /* the first of two in which a chance is neither */

struct count {
    int fixtures, covered, far, wide;
    double widest;   /* half-width, in what is allowed */
    double farthest; /* miss, in widths */
};

struct survey {
    struct count of[CLASSES], all;
    int unclear;
    double states; /* that the library solved */
};

static int
class_of(double chance)
{
    int k = 0;

    while (k < CLASSES - 1
           && (k == 0 ? chance > 0 : chance >= classes[k].up_to))
        k++;
    return k;
}

static void
count_one(const struct way *way, struct count *count, fc_chance said,
          double weak)
{
    const double width = said.high - said.low;
    const double miss = fmax(said.low - weak, weak - said.high);
    const double wide = width / 2 / fmax(way->part * said.estimate, way->wide);
    const double far = miss > ROUNDING ? miss / fmax(width, ROUNDING) : 0;

    count->fixtures++;
    count->covered += miss <= ROUNDING;
    count->far += far > WIDTHS;
    count->wide += wide > 1 + ROUNDING;
    count->farthest = fmax(count->farthest, far);
    count->widest = fmax(count->widest, wide);
}

static void
add_answer(const struct way *way, struct survey *survey, unsigned long seed,
           const struct fci_network *network, const struct truth *t)
{
    struct fci_busy_period period = way->get(network, 1);
    size_t i;

    survey->states += (double)period.states;
    for (i = 0; i < t->groups.n; i++) {
        const fc_chance said = period.fixtures[t->groups.fixture[i]].weak;
        const double weak = fmin(t->weak[i] / t->flushes[i], 1);

        if (t->unclear[i] || isinf(t->least[i])) {
            survey->unclear++;
            continue;
        }
        ck_assert_msg(said.given && said.low >= 0 && said.low <= said.estimate
                          && said.estimate <= said.high && said.high <= 1,
                      "building %lu: %g, from %g to %g", seed, said.estimate,
                      said.low, said.high);
        count_one(way, &survey->of[class_of(weak)], said, weak);
        count_one(way, &survey->all, said, weak);
    }
    fci_busy_period_free(&period);
}

/* What is true takes longest: it is found once for all ways. */
static struct survey surveys[COUNT(ANSWERS)];

static void
add_building(unsigned long seed)
{
    fc_site *site = make_site(seed);
    struct fci_network *network = network_of(site);
    const struct truth t = find_truth(network);
    int i;

    for (i = 0; i < COUNT(ANSWERS); i++)
        add_answer(&ANSWERS[i], &surveys[i], seed, network, &t);
    fci_network_free(network);
    fc_site_free(site);
}

START_TEST(all_surveyed)
{
    unsigned long seed;

    for (seed = 1; seed <= (unsigned long)usual(600, 2000); seed++)
        add_building(seed);
}
END_TEST

/* A comment of TAP. */
static void
print_count(const char *name, const struct count *c)
{
    printf("# %-13s %6d  %7.2f %%  %5d %7.1f  %5d %7.2f\n", name, c->fixtures,
           c->fixtures > 0 ? 100.0 * c->covered / c->fixtures : 0.0, c->far,
           c->farthest, c->wide, c->widest);
}

static void
print_survey(const struct survey *survey, const char *way)
{
    int k;

    printf("# %s: %.3g states; %d fixtures unclear or without a minimum\n"
           "# chance        fixtures  covered  missed by over %d widths (most)"
           "  too wide (most)\n",
           way, survey->states, survey->unclear, WIDTHS);
    for (k = 0; k < CLASSES; k++)
        print_count(classes[k].name, &survey->of[k]);
    print_count("all", &survey->all);
    fflush(stdout);
}

/* As many as should, but for what chance explains in a class. */
static void
assert_covered(const char *name, const struct count *c, double deviations)
{
    const double part = (double)c->covered / c->fixtures;
    const double deviation =
        sqrt(LEAST_COVERED * (1 - LEAST_COVERED) / c->fixtures);

    ck_assert_msg(part >= LEAST_COVERED - deviations * deviation,
                  "%s: %d of %d are covered", name, c->covered, c->fixtures);
}

START_TEST(every_state)
{
    const struct way *way = &ANSWERS[_i];
    const struct survey *survey = &surveys[_i];
    int k, middle = 0, covered = 0;

    print_survey(survey, way->name);
    for (k = 0; k < CLASSES; k++) {
        ck_assert_msg(survey->of[k].fixtures >= 100, "%s: too few",
                      classes[k].name);
        assert_covered(classes[k].name, &survey->of[k], DEVIATIONS);
    }
    assert_covered("all", &survey->all, 0);
    for (k = MIDDLE; k < MIDDLE + 2; k++) {
        middle += survey->of[k].fixtures;
        covered += survey->of[k].covered;
    }
    ck_assert_msg(covered <= way->most_covered * middle,
                  "%d of %d are covered: it is too wide", covered, middle);
    ck_assert_int_eq(survey->all.far, 0);
    ck_assert_int_eq(survey->all.wide, 0);
}
END_TEST

/* ---- Whoever finds it ------------------------------------------------- */

#define BUILDINGS_THREADED 60ul

static void
assert_same(const fc_site *site, const struct fci_busy_period *a,
            const struct fci_busy_period *b, unsigned long seed)
{
    size_t i;

    ck_assert_uint_eq(a->states, b->states);
    for (i = 0; i < site->n_fixtures; i++) {
        const fc_chance x = a->fixtures[i].weak, y = b->fixtures[i].weak;

        ck_assert(x.given == y.given);
        ck_assert_msg(memcmp(&x.estimate, &y.estimate, sizeof x.estimate) == 0
                          && memcmp(&x.low, &y.low, sizeof x.low) == 0
                          && memcmp(&x.high, &y.high, sizeof x.high) == 0,
                      "building %lu, fixture %zu", seed, i);
    }
}

START_TEST(any_threads)
{
    const struct way *way = &ANSWERS[_i];
    unsigned long seed;
    unsigned threads;

    for (seed = 1; seed <= BUILDINGS_THREADED; seed++) {
        fc_site *site = make_site(seed);
        struct fci_network *network = network_of(site);
        struct fci_busy_period one = way->get(network, 1);

        for (threads = 2; threads <= 3; threads++) {
            struct fci_busy_period other = way->get(network, threads);

            assert_same(site, &one, &other, seed);
            fci_busy_period_free(&other);
        }
        fci_busy_period_free(&one);
        fci_network_free(network);
        fc_site_free(site);
    }
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("weak chance");
    TCase *tcase = tcase_create("weak chance");

    building_tables();
    tcase_add_test(tcase, all_surveyed);
    tcase_add_loop_test(tcase, every_state, 0, COUNT(ANSWERS));
    tcase_add_loop_test(tcase, any_threads, 0, COUNT(ANSWERS));
    suite_add_tcase(suite, tcase);
    return run_building_suite(suite);
}
