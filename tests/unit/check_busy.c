/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_busy.c -- the busy period, against every state there is.
 *
 * In buildings of a dozen valves all states are solved, each with its chance:
 * valves of one group are alike, so that a state is how many of each group are
 * on, and its chance a product of binomial ones.  The exact part of weak
 * flushes counts every valve that is on as one outcome.
 *
 *   [N98]  R. G. Newcombe, Two-sided confidence intervals for the single
 *          proportion, Statistics in Medicine 17 (1998) 857-872: its four
 *          examples by the score method without continuity correction (from
 *          memory; the recipe under `intervals` gives the same)
 */
#include "flow/busy_draw.h"
#include "flow/busy_period.h"
#include "flow/busy_sure.h"
#include "check/judge.h"
#include "generators/buildings.h"
#include "generators/open_valves.h"
#include "generators/sites.h"

#include <gsl/gsl_randist.h>
#include <math.h>

/* ---- Wilson's interval ------------------------------------------------ */

/* To all digits by
 *     python3 -c "
 *     from statistics import NormalDist; from math import sqrt
 *     z = NormalDist().inv_cdf(0.975)
 *     for x, n in (81, 263), (15, 148), (0, 20), (1, 29), (20, 20), (1, 2.5):
 *         p = x / n; m = (p + z*z/2/n) / (1 + z*z/n)
 *         h = z * sqrt(p*(1-p)/n + z*z/4/n/n) / (1 + z*z/n)
 *         print(x, n, m - h, m + h)"
 */
static const struct {
    double weak, n, low, high;
} intervals[] = {
    { 81, 263, 0.255288519878274, 0.3662095769828 },
    { 15, 148, 0.0623863995307363, 0.160487241723308 },
    { 0, 20, 0, 0.161125158052819 },
    { 1, 29, 0.00611321429276265, 0.171755218793203 },
    { 20, 20, 0.838874841947181, 1 },
    { 1, 2.5, 0.0745016337305613, 0.846652155304803 },
};

/* Four digits, as [N98] prints them. */
static const struct {
    double weak, n, low, high;
} printed[] = {
    { 81, 263, 0.2553, 0.3662 },
    { 15, 148, 0.0624, 0.1605 },
    { 0, 20, 0.0000, 0.1611 },
    { 1, 29, 0.0061, 0.1718 },
};

START_TEST(wilson)
{
    const fc_chance c =
        fci_wilson(intervals[_i].weak / intervals[_i].n, intervals[_i].n);

    ck_assert(c.given);
    ck_assert_double_eq_tol(c.estimate, intervals[_i].weak / intervals[_i].n,
                            1e-15);
    ck_assert_double_eq_tol(c.low, intervals[_i].low, 1e-12);
    ck_assert_double_eq_tol(c.high, intervals[_i].high, 1e-12);
    ck_assert(c.low >= 0 && c.low <= c.estimate);
    ck_assert(c.high <= 1 && c.high >= c.estimate);
}
END_TEST

START_TEST(wilson_as_printed)
{
    const fc_chance c =
        fci_wilson(printed[_i].weak / printed[_i].n, printed[_i].n);

    ck_assert_double_eq_tol(c.low, printed[_i].low, 0.00005001);
    ck_assert_double_eq_tol(c.high, printed[_i].high, 0.00005001);
}
END_TEST

/* ---- The tally -------------------------------------------------------- */

/* Of (1, 1, 1) strong and 2 weak together: R = 2/5, and the sum of (y - R x)^2
 * is 3 (2/5)^2 + 4 (3/5)^2 = 1.92, as of 5^2 R (1 - R) / 1.92 = 3.125
 * independent outcomes; the same with none weak count by their sizes, 5^2 / 7.
 */
START_TEST(weak_together)
{
    struct fci_tally tally = { 0 }, strong = { 0 };
    fc_chance weak, as;
    int i;

    for (i = 0; i < 3; i++)
        fci_tally_add(&tally, 1, 30000, 20000, 40000);
    strong = tally;
    fci_tally_add(&tally, 2, 10000, 20000, 40000);
    fci_tally_add(&strong, 2, 30000, 20000, 40000);
    weak = fci_tally_weak(&tally);
    as = fci_wilson(0.4, 3.125);
    ck_assert_double_eq_tol(weak.estimate, 0.4, 1e-15);
    ck_assert_double_eq_tol(weak.low, as.low, 1e-12);
    ck_assert_double_eq_tol(weak.high, as.high, 1e-12);
    weak = fci_tally_weak(&strong);
    as = fci_wilson(0, 25.0 / 7);
    ck_assert(weak.estimate <= 0 && weak.low <= 0);
    ck_assert_double_eq_tol(weak.high, as.high, 1e-12);
}
END_TEST

/* 1 valve with 30 kPa, 2 with 10 kPa, 1 with just its minimum of 20 kPa. */
static void
add_some(struct fci_tally *tally)
{
    fci_tally_add(tally, 1, 30000, 20000, 40000);
    fci_tally_add(tally, 2, 10000, 20000, 40000);
    fci_tally_add(tally, 1, 20000, 20000, 40000);
}

START_TEST(tally_by_hand)
{
    struct fci_tally tally = { 0 };
    fc_chance weak, same;

    ck_assert(!fci_tally_weak(&tally).given);
    ck_assert(!fci_tally_narrow(&tally));
    ck_assert(isnan(fci_tally_mean(&tally)));
    ck_assert(isnan(fci_tally_quantile(&tally, 0.05, 40000)));
    add_some(&tally);
    ck_assert_uint_eq(tally.flushes, 4);
    ck_assert_uint_eq(tally.squares, 1 + 4 + 1);
    ck_assert_uint_eq(tally.weak, 2);
    ck_assert_double_eq_tol(fci_tally_mean(&tally), 70000.0 / 4, 1e-6);
    /* the sum of (y - x / 2)^2 is 6 / 4: 4^2 / 6 outcomes */
    weak = fci_tally_weak(&tally);
    same = fci_wilson(0.5, 16.0 / 6);
    ck_assert_double_eq_tol(weak.low, same.low, 1e-15);
    ck_assert_double_eq_tol(weak.high, same.high, 1e-15);
}
END_TEST

START_TEST(tallies_merge)
{
    struct fci_tally one = { 0 }, two = { 0 }, both = { 0 };

    add_some(&one);
    fci_tally_add(&two, 3, -500.25, 20000, 40000);
    fci_tally_add(&two, 1, 40001, 20000, 40000);
    add_some(&both);
    fci_tally_add(&both, 3, -500.25, 20000, 40000);
    fci_tally_add(&both, 1, 40001, 20000, 40000);
    fci_tally_merge(&one, &two);
    ck_assert_mem_eq(&one, &both, sizeof one);
    ck_assert_uint_eq(both.bins[0], 3);
    ck_assert_uint_eq(both.bins[FCI_TALLY_BINS - 1], 1);
    ck_assert_double_eq_tol(fci_tally_mean(&both),
                            (70000 + 40001 - 3 * 500.25) / 8, 1e-3);
}
END_TEST

/* A thousand pressures spread evenly from 0 to 1 kPa. */
START_TEST(quantiles)
{
    struct fci_tally tally = { 0 };
    int i;

    for (i = 0; i < 1000; i++)
        fci_tally_add(&tally, 1, i + 0.5, 0, 1000);
    for (i = 1; i < 20; i++)
        ck_assert_double_eq_tol(fci_tally_quantile(&tally, i / 20.0, 1000),
                                i * 50.0, 1000.0 / FCI_TALLY_BINS);
}
END_TEST

/* All the same; and a twentieth far below the rest. */
START_TEST(quantiles_of_lumps)
{
    const double width = 1000.0 / FCI_TALLY_BINS;
    struct fci_tally tally = { 0 };

    fci_tally_add(&tally, 95, 700.1, 0, 1000);
    ck_assert_double_eq_tol(fci_tally_quantile(&tally, 0.05, 1000), 700.1,
                            width);
    fci_tally_add(&tally, 5, 200.1, 0, 1000);
    ck_assert_double_eq_tol(fci_tally_quantile(&tally, 0.04, 1000), 200.1,
                            width);
    ck_assert_double_eq_tol(fci_tally_quantile(&tally, 0.06, 1000), 700.1,
                            width);
}
END_TEST

/* With no weak one of n the interval is z^2 / (n + z^2) wide, and 0.4
 * percentage points at n = 956.6; with half of them its half-width is
 * z / (2 sqrt(n + z^2)), a tenth of the half at n = 380.3. */
static const struct {
    int n, weak;
    bool narrow;
} widths[] = {
    { 956, 0, false },
    { 957, 0, true },
    { 380, 190, false },
    { 382, 191, true },
};

START_TEST(narrow)
{
    struct fci_tally tally = { 0 };
    int i;

    for (i = 0; i < widths[_i].n; i++)
        fci_tally_add(&tally, 1, i < widths[_i].weak ? 1 : 3, 2, 4);
    ck_assert(fci_tally_narrow(&tally) == widths[_i].narrow);
}
END_TEST

/* ---- Every state ------------------------------------------------------- */

struct exact {
    struct small_groups groups;
    double on[SMALL_GROUPS];
    double weak[SMALL_GROUPS], mean[SMALL_GROUPS];
    /* Per state and flush of the mean, squared: the sums of (k weak - k R)^2
     * and of (k p - k mean)^2 need those of k^2 times 1, weak, p and p^2. */
    double k2[SMALL_GROUPS], k2_weak[SMALL_GROUPS], k2_p[SMALL_GROUPS],
        k2_p2[SMALL_GROUPS];
    double alone[SMALL_GROUPS];
    double mark[SMALL_GROUPS], under[SMALL_GROUPS]; /* part of flushes below */
    double k2_under[SMALL_GROUPS];
};

/* Volume over rate over interval, as a file gives them. */
static double
chance_of(const struct fci_fixture *fixture)
{
    const fc_valve *valve = fixture->valve[FC_EXISTING];
    const double interval = fixture->given->interval.given
                                ? fixture->given->interval.nominal
                                : 300;

    return fmin(valve->full_flush.nominal / valve->flow.nominal / interval, 1);
}

static double
chance_of_state(const struct exact *e, const int *open)
{
    double chance = 1;
    size_t i;

    for (i = 0; i < e->groups.n; i++)
        chance *= gsl_ran_binomial_pdf((unsigned)open[i], e->on[i],
                                       (unsigned)e->groups.count[i]);
    return chance;
}

/* What the flushes of one state add. */
static void
add_state(struct exact *e, const fc_site *site, const int *open,
          const double *pressures)
{
    const double chance = chance_of_state(e, open);
    size_t i;

    for (i = 0; i < e->groups.n; i++) {
        const fc_valve *valve =
            site->fixtures[e->groups.fixture[i]].valve[FC_EXISTING];
        const double least = valve->minimum_flowing.nominal - FCI_SOLVED_TO;
        const double p = pressures[i];
        const double k = open[i] / (e->groups.count[i] * e->on[i]);

        if (open[i] == 0)
            continue;
        e->mean[i] += chance * k * p;
        e->weak[i] += p < least ? chance * k : 0;
        e->under[i] += p < e->mark[i] ? chance * k : 0;
        e->k2_under[i] += p < e->mark[i] ? chance * k * k : 0;
        e->k2[i] += chance * k * k;
        e->k2_weak[i] += p < least ? chance * k * k : 0;
        e->k2_p[i] += chance * k * k * p;
        e->k2_p2[i] += chance * k * k * p * p;
    }
}

/* `marks`: of the groups, or NULL. */
static struct exact
solve_states(const struct fci_network *network, const double *marks)
{
    struct fci_solver *solver = fci_solver_new(network);
    int open[SMALL_GROUPS] = { 0 }, n;
    double pressures[SMALL_GROUPS];
    struct exact e = { 0 };
    size_t i;

    ck_assert_ptr_nonnull(solver);
    small_groups_of(network, &e.groups);
    for (i = 0; i < e.groups.n; i++) {
        e.on[i] = chance_of(&network->site->fixtures[e.groups.fixture[i]]);
        e.mark[i] = marks ? marks[i] : 0;
    }
    while (small_next(&e.groups, open)) {
        n = small_solve(solver, &e.groups, open, pressures);
        ck_assert_msg(n > 0, "not settled at %s", fci_solver_culprit(solver));
        for (i = 0; n == 1 && i < e.groups.n; i++)
            if (open[i] == 1)
                e.alone[i] = pressures[i];
        add_state(&e, network->site, open, pressures);
    }
    fci_solver_free(solver);
    return e;
}

static struct fci_network *
network_of(fc_site *site)
{
    struct fci_network *network = NULL;

    ck_assert_int_eq(fci_network_new(site, FC_EXISTING, &network, NULL),
                     FC_OK);
    return network;
}

static struct fci_busy_period
run_period(const struct fci_network *network, fc_check_options options)
{
    struct fci_busy_period period;

    ck_assert_int_eq(fci_busy_period_run(network, FCI_NOMINAL, &options, NULL,
                                         &period, NULL),
                     FC_OK);
    return period;
}

/* ---- The estimates ----------------------------------------------------- */

static const struct building_plan busy = {
    .fewest = 4, .most = 13, .small = true, .busy = true
};

/* Each estimate lies in its own interval with 95 % chance.  Over 200 seeds the
 * number that do is binomial with a standard deviation of 1.5 % of them; the
 * least that is asked of one fixture, 91 %, is 2.6 of those below, which the
 * seeds being the same in each run no more than shows whether they are an
 * unlucky choice; of all together, fixtures of one building not being
 * independent, 93.5 %. */
#define SEEDS 200
/* The interval is one of large samples.  Of a group that is on for a sixtieth
 * of the time, and short when two of it are on, 1024 states hold three such
 * pairs or so, of which nine intervals in ten cover the part that is short. */
#define STATES (4 * FCI_BUSY_BLOCK)
#define LEAST_OF_ONE 0.91
#define LEAST_OF_ALL 0.935

static const unsigned long covered[] = { 1, 2, 3, 4, 5, 6, 7, 8 };

static void
count_covered(const struct fci_network *network, const struct exact *e,
              int *inside)
{
    unsigned long seed;
    size_t i;

    for (seed = 1; seed <= SEEDS; seed++) {
        struct fci_busy_period period = run_period(
            network, (fc_check_options){
                         .seed = seed, .threads = 1, .most_states = STATES });

        for (i = 0; i < e->groups.n; i++) {
            const fc_chance weak = period.fixtures[e->groups.fixture[i]].weak;

            ck_assert(weak.given);
            inside[i] += weak.low <= e->weak[i] && e->weak[i] <= weak.high;
        }
        fci_busy_period_free(&period);
    }
}

START_TEST(coverage)
{
    int all = 0, groups = 0, k;

    for (k = 0; k < COUNT(covered); k++) {
        fc_site *site = building_made(covered[k], &busy);
        struct fci_network *network = network_of(site);
        const struct exact e = solve_states(network, NULL);
        int inside[SMALL_GROUPS] = { 0 };
        size_t i;

        count_covered(network, &e, inside);
        for (i = 0; i < e.groups.n; i++) {
            if (e.weak[i] < 0.01 || e.weak[i] > 0.99)
                continue; /* hardly a chance */
            ck_assert_msg(inside[i] >= LEAST_OF_ONE * SEEDS,
                          "building %lu, %zu: %d of %d cover %.4f", covered[k],
                          i, inside[i], SEEDS, e.weak[i]);
            all += inside[i];
            groups++;
        }
        fci_network_free(network);
        fc_site_free(site);
    }
    ck_assert_int_ge(groups, 12);
    ck_assert_msg(all >= LEAST_OF_ALL * groups * SEEDS, "%d of %d", all,
                  groups * SEEDS);
}
END_TEST

/* Within 5 standard errors of what is exact: those of a ratio, as valves of
 * one group that are on together fare alike. */
#define ERRORS 5

static void
assert_near(unsigned long number, const struct exact *e, size_t i,
            const fc_busy *b, double states)
{
    const double w = e->weak[i], m = e->mean[i];
    const double weak = (1 - 2 * w) * e->k2_weak[i] + w * w * e->k2[i];
    const double mean = e->k2_p2[i] - 2 * m * e->k2_p[i] + m * m * e->k2[i];

    ck_assert_msg(fabs(b->weak.estimate - w)
                      <= ERRORS * sqrt(fmax(weak, 0) / states) + 1e-9,
                  "building %lu, %zu: %.5f, not %.5f", number, i,
                  b->weak.estimate, w);
    ck_assert_msg(fabs(b->mean - m)
                      <= ERRORS * sqrt(fmax(mean, 0) / states) + 0.1,
                  "building %lu, %zu: a mean of %.1f Pa, not %.1f", number, i,
                  b->mean, m);
}

/* A twentieth of the flushes lies below the 5th percentile, to the width of a
 * bin either way. */
static void
assert_percentile(const struct fci_network *network, unsigned long number,
                  const struct fci_busy_period *period, int side)
{
    struct exact e = solve_states(network, NULL);
    double marks[SMALL_GROUPS];
    size_t i;

    for (i = 0; i < e.groups.n; i++) {
        marks[i] = period->fixtures[e.groups.fixture[i]].fifth
                   + side * 1.01 * e.alone[i] / FCI_TALLY_BINS;
        if (marks[i] < 0) /* they all are in the lowest bin */
            marks[i] = -INFINITY;
    }
    e = solve_states(network, marks);
    for (i = 0; i < e.groups.n; i++) {
        const double u = e.under[i];
        const double square = (1 - 2 * u) * e.k2_under[i] + u * u * e.k2[i];
        const double error =
            ERRORS * sqrt(fmax(square, 0) / (double)period->states);

        ck_assert_msg(side * (e.under[i] - 0.05) >= -error,
                      "building %lu, %zu: %.4f are below its 5th percentile",
                      number, i, e.under[i]);
    }
}

START_TEST(near)
{
    const unsigned long number = (unsigned long)(_i + 1);
    fc_site *site = building_made(number, &busy);
    struct fci_network *network = network_of(site);
    const struct exact e = solve_states(network, NULL);
    struct fci_busy_period period = run_period(
        network, (fc_check_options){ .threads = 1, .most_states = 40000 });
    size_t i;

    for (i = 0; i < e.groups.n; i++)
        assert_near(number, &e, i, &period.fixtures[e.groups.fixture[i]],
                    (double)period.states);
    assert_percentile(network, number, &period, -1);
    assert_percentile(network, number, &period, 1);
    fci_busy_period_free(&period);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

/* ---- The same whoever draws -------------------------------------------- */

static void
assert_same_chance(fc_chance a, fc_chance b)
{
    ck_assert(a.given == b.given);
    ck_assert_mem_eq(&a.estimate, &b.estimate, sizeof a.estimate);
    ck_assert_mem_eq(&a.low, &b.low, sizeof a.low);
    ck_assert_mem_eq(&a.high, &b.high, sizeof a.high);
}

static void
assert_same(const fc_site *site, const struct fci_busy_period *a,
            const struct fci_busy_period *b)
{
    size_t i;

    ck_assert_uint_eq(a->states, b->states);
    ck_assert(a->narrow == b->narrow);
    for (i = 0; i < site->n_fixtures; i++) {
        const fc_busy *x = &a->fixtures[i], *y = &b->fixtures[i];

        assert_same_chance(x->weak, y->weak);
        ck_assert_mem_eq(&x->mean, &y->mean, sizeof x->mean);
        ck_assert_mem_eq(&x->fifth, &y->fifth, sizeof x->fifth);
    }
}

static const unsigned threads[] = { 1, 2, 3, 8, 0 };

START_TEST(any_threads)
{
    fc_site *site = building_made(3, &busy);
    struct fci_network *network = network_of(site);
    fc_check_options options = { .seed = 7, .most_states = 60000 };
    struct fci_busy_period one, other;
    int run;

    options.threads = 1;
    one = run_period(network, options);
    options.threads = threads[_i];
    for (run = 0; run < 3; run++) {
        other = run_period(network, options);
        assert_same(site, &one, &other);
        fci_busy_period_free(&other);
    }
    fci_busy_period_free(&one);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

/* No seed is the first; another gives other figures. */
START_TEST(seeds)
{
    fc_site *site = building_made(3, &busy);
    struct fci_network *network = network_of(site);
    fc_check_options options = { .threads = 1, .most_states = 5000 };
    struct fci_busy_period none = run_period(network, options), one, two;

    options.seed = 1;
    one = run_period(network, options);
    options.seed = 2;
    two = run_period(network, options);
    assert_same(site, &none, &one);
    ck_assert(one.fixtures[0].mean < two.fixtures[0].mean
              || one.fixtures[0].mean > two.fixtures[0].mean);
    fci_busy_period_free(&none);
    fci_busy_period_free(&one);
    fci_busy_period_free(&two);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

/* ---- What is drawn ----------------------------------------------------- */

/* No pipe loses anything, so that only who is on is of interest; 24 gpm and
 * 1.2 gal are 3 s. */
#define SOURCE                                                                \
    "[source s]\nkind = fixed\npressure = 50 psi\n"                           \
    "[valve v]\nminimum flowing = 20 psi\nflow = 24 gpm at 30 psi\n"          \
    "full flush = 1.2 gal\n"
#define GROUP(name, count, interval)                                          \
    "[fixture " name "]\non = s\nkind = water closet, flush valve\n"          \
    "count = " #count "\nexisting = v\ninterval = " #interval " s\n"

static const struct {
    const char *site;
    double on[6];
    int count[6], n;
} drawn[] = {
    { SOURCE GROUP("a", 50, 60), { 0.05 }, { 50 }, 1 },
    { SOURCE GROUP("a", 50, 5), { 0.6 }, { 50 }, 1 },
    { SOURCE GROUP("a", 3, 3), { 1 }, { 3 }, 1 },
    { SOURCE GROUP("a", 1, 30) GROUP("b", 7, 60) GROUP("c", 1, 4)
          GROUP("d", 2, 30) GROUP("e", 5, 3000) GROUP("f", 2, 2),
      { 0.1, 0.05, 0.75, 0.1, 0.001, 1 },
      { 1, 7, 1, 2, 5, 2 },
      6 },
};

#define SOME_BLOCKS 20

/* E(k^4) of a binomial number, over all k. */
static double
fourth_moment(int count, double on)
{
    double sum = 0;
    int k;

    for (k = 0; k <= count; k++)
        sum +=
            pow(k, 4) * gsl_ran_binomial_pdf((unsigned)k, on, (unsigned)count);
    return sum;
}

/* Numbers of flushes, and of their squares, are those of independent valves,
 * within 5 standard deviations. */
static void
assert_drawn(const struct fci_tally *tally, int count, double on)
{
    const double n = (double)SOME_BLOCKS * FCI_BUSY_BLOCK;
    const double mean = count * on, second = mean * (1 - on) + mean * mean;
    const double fourth = fourth_moment(count, on);

    ck_assert_double_eq_tol((double)tally->flushes, n * mean,
                            5 * sqrt(n * mean * (1 - on)) + 1e-6);
    ck_assert_double_eq_tol((double)tally->squares, n * second,
                            5 * sqrt(n * fmax(fourth - second * second, 0))
                                + 1e-3);
}

START_TEST(who_is_on)
{
    fc_site *site = site_of(drawn[_i].site);
    struct fci_network *network = network_of(site);
    struct fci_busy_plan *plan = NULL;
    struct fci_busy_drawer *drawer;
    size_t block;
    int i;

    ck_assert_int_eq(fci_busy_plan_new(network, FCI_NOMINAL, 5, &plan, NULL),
                     FC_OK);
    drawer = fci_busy_drawer_new(plan);
    ck_assert_ptr_nonnull(drawer);
    for (block = 0; block < SOME_BLOCKS; block++)
        ck_assert_int_eq(fci_busy_draw(drawer, block), FC_OK);
    for (i = 0; i < drawn[_i].n; i++)
        assert_drawn(&fci_busy_tallies(drawer)[i], drawn[_i].count[i],
                     drawn[_i].on[i]);
    fci_busy_drawer_free(drawer);
    fci_busy_plan_free(plan);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

/* ---- What is sure ------------------------------------------------------ */

/* What is called sure without a draw holds by every state there is. */
START_TEST(sure)
{
    const struct building_plan plan = {
        .fewest = 4, .most = 13, .small = true, .busy = _i % 2 == 1
    };
    int seldom = 0, too_often = 0, k;
    size_t i;

    for (k = 0; k < 40; k++) {
        const unsigned long number = (unsigned long)(40 * _i + k + 1);
        fc_site *site = building_made(number, &plan);
        struct fci_network *network = network_of(site);
        const struct exact e = solve_states(network, NULL);
        enum fci_often often[SMALL_GROUPS * 4];
        int at_once[COUNT(often)];
        struct fci_busy_plan *chances = NULL;

        ck_assert_uint_le(site->n_fixtures, COUNT(often));
        ck_assert_int_eq(
            fci_busy_plan_new(network, FCI_NOMINAL, 5, &chances, NULL), FC_OK);
        ck_assert_int_eq(fci_busy_sure(chances, NULL, often, at_once), FC_OK);
        for (i = 0; i < e.groups.n; i++) {
            const enum fci_often found = often[e.groups.fixture[i]];

            ck_assert_msg(found != FCI_SELDOM || e.weak[i] <= FC_MOST_WEAK,
                          "building %lu, %zu: %.5f", number, i, e.weak[i]);
            ck_assert_msg(found != FCI_TOO_OFTEN || e.weak[i] > FC_MOST_WEAK,
                          "building %lu, %zu: %.5f", number, i, e.weak[i]);
            seldom += found == FCI_SELDOM;
            too_often += found == FCI_TOO_OFTEN;
        }
        fci_busy_plan_free(chances);
        fci_network_free(network);
        fc_site_free(site);
    }
    ck_assert_int_ge(seldom, 10);
    ck_assert_int_ge(too_often, 1);
}
END_TEST

/* ---- Ends -------------------------------------------------------------- */

/* Always on, all of three: the device takes 1 psi at 24 gpm, so 9 psi at three
 * times that; each valve is regulated to its 24 gpm. */
START_TEST(always_on)
{
    fc_site *site = site_of(
        "[source s]\nkind = fixed\npressure = 50 psi\n"
        "[device d]\nfrom = s\nloss = 1 psi at 24 gpm\n"
        "[valve v]\nminimum flowing = 42 psi\nflow = 24 gpm at 30 psi\n"
        "regulated = yes\nfull flush = 1.2 gal\n"
        "[fixture f]\non = d\nkind = water closet, flush valve\ncount = 3\n"
        "existing = v\ninterval = 2 s\n");
    struct fci_network *network = network_of(site);
    struct fci_busy_period period = run_period(
        network, (fc_check_options){ .threads = 1, .most_states = 5000 });

    ck_assert_double_eq_tol(period.fixtures[0].mean, 41 * PSI, 0.1);
    ck_assert(period.fixtures[0].weak.estimate >= 1);
    ck_assert(period.fixtures[0].weak.high >= 1);
    ck_assert_double_eq_tol(period.fixtures[0].fifth, 41 * PSI,
                            49 * PSI / FCI_TALLY_BINS);
    fci_busy_period_free(&period);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

/* 3 s in 30 years: nothing is on in a few thousand states. */
START_TEST(hardly_ever_on)
{
    fc_site *site = site_of(SOURCE GROUP("a", 2, 1e9));
    struct fci_network *network = network_of(site);
    struct fci_busy_period period = run_period(
        network, (fc_check_options){ .threads = 1, .most_states = 5000 });

    ck_assert(!period.fixtures[0].weak.given);
    ck_assert(isnan(period.fixtures[0].mean));
    ck_assert(isnan(period.fixtures[0].fifth));
    ck_assert(!period.narrow);
    fci_busy_period_free(&period);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

static const struct {
    size_t asked, drawn;
} sizes[] = {
    { 1, 1024 },
    { 1024, 1024 },
    { 1025, 2048 },
    { 15000, 15360 },
};

/* Whole blocks are drawn. */
START_TEST(so_many_states)
{
    fc_site *site = site_of(SOURCE GROUP("a", 2, 100000));
    struct fci_network *network = network_of(site);
    struct fci_busy_period period = run_period(
        network,
        (fc_check_options){ .threads = 2, .most_states = sizes[_i].asked });

    ck_assert_uint_eq(period.states, sizes[_i].drawn);
    ck_assert(!period.narrow);
    fci_busy_period_free(&period);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

/* A flush that is never weak is known well enough after some 960 of them;
 * with a valve that is on half the time a first round is enough. */
START_TEST(stops_when_known)
{
    fc_site *site = site_of(SOURCE GROUP("a", 1, 6));
    struct fci_network *network = network_of(site);
    struct fci_busy_period period =
        run_period(network, (fc_check_options){ .threads = 1 });

    ck_assert(period.narrow);
    ck_assert_uint_lt(period.states, 100000);
    ck_assert(period.fixtures[0].weak.estimate <= 0);
    ck_assert(period.fixtures[0].weak.high <= 0.004);
    fci_busy_period_free(&period);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

/* A valve without a minimum is held against the code's least, 35 psi, as a
 * usual one, which 50 psi keep. */
START_TEST(no_minimum)
{
    fc_site *site = site_of(
        "[source s]\nkind = fixed\npressure = 50 psi\n"
        "[valve v]\nflow = 24 gpm at 30 psi\nfull flush = 1.2 gal\n" GROUP(
            "a", 1, 6));
    struct fci_network *network = network_of(site);
    struct fci_busy_period period = run_period(
        network, (fc_check_options){ .threads = 1, .most_states = 2000 });

    ck_assert(period.fixtures[0].weak.given
              && period.fixtures[0].weak.estimate <= 0);
    ck_assert_double_eq_tol(period.fixtures[0].mean, 50 * PSI, 0.1);
    fci_busy_period_free(&period);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

struct heard {
    double last;
    int calls;
    bool rose;
};

static void
hear(void *context, double done)
{
    struct heard *heard = context;

    heard->rose = heard->rose && done > heard->last && done <= 1;
    heard->last = done;
    heard->calls++;
}

/* Two valves of 3 s in 300 s, each weak while the other is on: in 1 % of its
 * flushes, which no draw tells from the limit.  Alone 20 and 30 psi make the
 * 50 there are; of two the loss takes 80 to 30, and leaves 14 psi. */
START_TEST(progress)
{
    struct heard heard = { .rose = true };
    fc_site *site =
        site_of(SOURCE "[device d]\nfrom = s\nloss = 20 psi at 24 gpm\n"
                       "[fixture a]\non = d\n"
                       "kind = water closet, flush valve\n"
                       "count = 2\nexisting = v\ninterval = 300 s\n");
    struct fci_network *network = network_of(site);
    struct fci_busy_period period =
        run_period(network, (fc_check_options){ .threads = 2,
                                                .most_states = 200000,
                                                .progress = hear,
                                                .context = &heard });

    ck_assert(heard.rose);
    ck_assert_int_ge(heard.calls, 3);
    ck_assert_double_eq_tol(heard.last, 1, 1e-12);
    fci_busy_period_free(&period);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("busy");
    TCase *t = tcase_create("states");

    tcase_set_timeout(t, 120);
    tcase_add_loop_test(t, wilson, 0, COUNT(intervals));
    tcase_add_loop_test(t, wilson_as_printed, 0, COUNT(printed));
    tcase_add_test(t, tally_by_hand);
    tcase_add_test(t, weak_together);
    tcase_add_test(t, tallies_merge);
    tcase_add_test(t, quantiles);
    tcase_add_test(t, quantiles_of_lumps);
    tcase_add_loop_test(t, narrow, 0, COUNT(widths));
    tcase_add_test(t, coverage);
    tcase_add_loop_test(t, near, 0, 25);
    tcase_add_loop_test(t, any_threads, 0, COUNT(threads));
    tcase_add_test(t, seeds);
    tcase_add_loop_test(t, who_is_on, 0, COUNT(drawn));
    tcase_add_loop_test(t, sure, 0, 4);
    tcase_add_test(t, always_on);
    tcase_add_test(t, hardly_ever_on);
    tcase_add_loop_test(t, so_many_states, 0, COUNT(sizes));
    tcase_add_test(t, stops_when_known);
    tcase_add_test(t, no_minimum);
    tcase_add_test(t, progress);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
