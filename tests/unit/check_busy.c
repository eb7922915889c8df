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
#include "flow/busy_far.h"
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

static fc_chance
chance_of_tally(const struct fci_tally *tally)
{
    static const double all[] = { 1 };
    const struct fci_strata strata = { .tallies = tally, .part = all, .n = 1 };
    const struct fci_known known = fci_strata_known(&strata);

    return fci_known_chance(&known);
}

/* Of (1, 1, 1) strong and 2 weak together: R = 2/5, and the sum of (y - R x)^2
 * is 3 (2/5)^2 + 4 (3/5)^2 = 1.92, as of 5^2 R (1 - R) / 1.92 = 3.125
 * independent outcomes; the same with none weak count by their sizes, 5^2 / 7
 * and one more, of which one half is weak: 3.571429 + 1 = 4.571429 outcomes.
 */
START_TEST(weak_together)
{
    struct fci_tally tally = { 0 }, strong = { 0 };
    fc_chance weak, as;
    int i;

    for (i = 0; i < 3; i++)
        fci_tally_count(&tally, 1, false);
    strong = tally;
    fci_tally_count(&tally, 2, true);
    fci_tally_count(&strong, 2, false);
    ck_assert_uint_eq(tally.flushes, 5);
    ck_assert_uint_eq(tally.squares, 7);
    ck_assert_uint_eq(tally.weak, 2);
    ck_assert_uint_eq(tally.weak_squares, 4);
    weak = chance_of_tally(&tally);
    as = fci_wilson(0.4, 3.125);
    ck_assert_double_eq_tol(weak.estimate, 0.4, 1e-15);
    ck_assert_double_eq_tol(weak.low, as.low, 1e-12);
    ck_assert_double_eq_tol(weak.high, as.high, 1e-12);
    weak = chance_of_tally(&strong);
    as = fci_wilson(0, 25.0 / 7 + 1);
    ck_assert(weak.estimate <= 0 && weak.low <= 0);
    ck_assert_double_eq_tol(weak.high, as.high, 1e-12);
}
END_TEST

/* Two strata of 0.9 and 0.1 of all, 1 weak of 10 and 20 of 40: the chance is
 * 0.09 + 0.05, its variance 0.81 0.1 0.9 / 10 + 0.01 0.25 / 40 = 0.0073525
 * [C77, 5.3: the sum of W^2 p q / n], as of 0.14 0.86 / 0.0073525 outcomes.
 * Without one weak in the first, half of one of 10 + 1 is: a variance of
 * 0.81 (1/22) (21/22) / 11 + 0.0000625, about 0.9 / 22 + 0.05.  And what is
 * left out of both may be weak or not.
 *
 *   [C77]  W. G. Cochran, Sampling Techniques (1977) (from memory) */
START_TEST(by_strata)
{
    struct fci_tally two[2] = { { 0 }, { 0 } };
    double part[2] = { 0.9, 0.1 };
    struct fci_strata strata = { .tallies = two, .part = part, .n = 2 };
    struct fci_known known;
    int i;

    for (i = 0; i < 40; i++) {
        if (i < 10)
            fci_tally_count(&two[0], 1, i < 1);
        fci_tally_count(&two[1], 1, i < 20);
    }
    known = fci_strata_known(&strata);
    ck_assert_double_eq_tol(known.part, 0.14, 1e-15);
    ck_assert_double_eq_tol(known.n, 0.14 * 0.86 / 0.0073525, 1e-9);
    two[0].weak = two[0].weak_squares = 0;
    known = fci_strata_known(&strata);
    ck_assert_double_eq_tol(known.part, 0.05, 1e-15);
    ck_assert_double_eq_tol(known.n,
                            (0.9 / 22 + 0.05) * (1 - 0.9 / 22 - 0.05)
                                / (0.81 / 22 * 21 / 22 / 11 + 0.0000625),
                            1e-9);
    part[0] = 0.8;
    known = fci_strata_known(&strata);
    ck_assert_double_eq_tol(known.left_out, 0.1, 1e-15);
    ck_assert_double_eq_tol(known.part, 0.05 / 0.9, 1e-15);
    strata.told = 2;
    known = fci_strata_known(&strata);
    ck_assert(known.part <= 0 && isinf(known.n));
    ck_assert_double_eq_tol(fci_known_chance(&known).high, 0.1, 1e-15);
}
END_TEST

/* None of 100 weak in the first and none of 300 in the second, where they are
 * no less often: 400 and 300 tell of the two. */
START_TEST(monotone_strata)
{
    struct fci_tally two[2] = { { 100, 100, 0, 0 }, { 300, 300, 0, 0 } };
    const double part[2] = { 0.9, 0.1 };
    const double p = 0.5 / 401, q = 0.5 / 301;
    const struct fci_strata strata = {
        .tallies = two, .part = part, .n = 2, .monotone = true
    };
    const struct fci_known known = fci_strata_known(&strata);
    const double about = 0.9 * p + 0.1 * q;

    ck_assert_double_eq_tol(
        known.n,
        about * (1 - about)
            / (0.81 * p * (1 - p) / 401 + 0.01 * q * (1 - q) / 301),
        1e-6);
}
END_TEST

/* 1 flush with 30 kPa, 2 with 10 kPa, 1 with 20 kPa. */
static void
add_some(struct fci_pressures *p)
{
    fci_pressures_add(p, 1, 30000, 40000);
    fci_pressures_add(p, 2, 10000, 40000);
    fci_pressures_add(p, 1, 20000, 40000);
}

START_TEST(pressures_by_hand)
{
    struct fci_pressures one = { 0 }, two = { 0 }, both = { 0 };

    ck_assert(isnan(fci_pressures_mean(&one)));
    ck_assert(isnan(fci_pressures_quantile(&one, 0.05, 40000)));
    add_some(&one);
    ck_assert_double_eq_tol(fci_pressures_mean(&one), 70000.0 / 4, 1e-6);
    fci_pressures_add(&two, 3, -500, 40000);
    fci_pressures_add(&two, 1, 40001, 40000);
    add_some(&both);
    fci_pressures_add(&both, 3, -500, 40000);
    fci_pressures_add(&both, 1, 40001, 40000);
    fci_pressures_merge(&one, &two);
    ck_assert_mem_eq(&one, &both, sizeof one);
    ck_assert_uint_eq(both.bins[0], 3);
    ck_assert_uint_eq(both.bins[FCI_PRESSURE_BINS - 1], 1);
    ck_assert_double_eq_tol(fci_pressures_mean(&both),
                            (70000 + 40001 - 3 * 500.0) / 8, 1e-9);
}
END_TEST

/* What is lost may be far more than any pressure, and weights add up to nearly
 * 2^42: the mean of 2^41 times -a and 2^41 - 1 times a + 1 is that of a and of
 * one. */
START_TEST(pressures_far_away)
{
    static const double far[] = { 3e6, 1e8, 8e9 };
    const double half = 0x1p41;
    size_t i;

    for (i = 0; i < sizeof far / sizeof *far; i++) {
        struct fci_pressures p = { 0 };

        fci_pressures_add(&p, (uint64_t)1 << 41, -far[i], 40000);
        ck_assert_double_eq_tol(fci_pressures_mean(&p), -far[i], 1e-6);
        fci_pressures_add(&p, ((uint64_t)1 << 41) - 1, far[i] + 1, 40000);
        ck_assert_double_eq_tol(fci_pressures_mean(&p),
                                (half - 1 - far[i]) / (2 * half - 1), 1e-6);
    }
    {
        struct fci_pressures p = { 0 };

        fci_pressures_add(&p, (uint64_t)1 << 40, -1e40, 40000);
        fci_pressures_add(&p, (uint64_t)1 << 40, 1e300, 40000);
        ck_assert_double_eq_tol(fci_pressures_mean(&p), 0, 1e-6);
        ck_assert_double_le(fci_pressures_quantile(&p, 0.05, 40000), 40000);
    }
}
END_TEST

/* A thousand pressures spread evenly from 0 to 100 kPa. */
START_TEST(quantiles)
{
    struct fci_pressures p = { 0 };
    int i;

    for (i = 0; i < 1000; i++)
        fci_pressures_add(&p, 1, 100 * i + 50, 100000);
    for (i = 1; i < 20; i++)
        ck_assert_double_eq_tol(fci_pressures_quantile(&p, i / 20.0, 100000),
                                i * 5000.0, 100000.0 / FCI_PRESSURE_BINS);
}
END_TEST

/* All the same; and a twentieth far below the rest. */
START_TEST(quantiles_of_lumps)
{
    const double width = 100000.0 / FCI_PRESSURE_BINS;
    struct fci_pressures p = { 0 };

    fci_pressures_add(&p, 95, 70010, 100000);
    ck_assert_double_eq_tol(fci_pressures_quantile(&p, 0.05, 100000), 70010,
                            width);
    fci_pressures_add(&p, 5, 20010, 100000);
    ck_assert_double_eq_tol(fci_pressures_quantile(&p, 0.04, 100000), 20010,
                            width);
    ck_assert_double_eq_tol(fci_pressures_quantile(&p, 0.06, 100000), 70010,
                            width);
}
END_TEST

/* With no weak one of n the interval is z^2 / (n + z^2) wide, and 0.04
 * percentage points at n = 9599.8; with half of them its half-width is
 * z / (2 sqrt(n + z^2)), a tenth of the half at n = 380.3.  For a verdict 0.4
 * percentage points at 956.5, and a fifth at 92.2. */
static const struct {
    double n, part;
    bool verdict, narrow;
} widths[] = {
    { 9599, 0, false, false },  { 9600, 0, false, true },
    { 380, 0.5, false, false }, { 381, 0.5, false, true },
    { 956, 0, true, false },    { 957, 0, true, true },
    { 92, 0.5, true, false },   { 93, 0.5, true, true },
};

START_TEST(narrow)
{
    const struct fci_known known = { widths[_i].part, widths[_i].n, 0 };

    ck_assert(fci_known_narrow(&known, widths[_i].verdict)
              == widths[_i].narrow);
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
        e.on[i] =
            small_chance_on(&network->site->fixtures[e.groups.fixture[i]]);
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

/* However small the building is. */
static struct fci_busy_period
draw_period(const struct fci_network *network, fc_check_options options)
{
    struct fci_busy_period period;

    ck_assert_int_eq(
        fci_busy_period_draw(network, FCI_NOMINAL, &options, &period, NULL),
        FC_OK);
    return period;
}

/* ---- The estimates ----------------------------------------------------- */

static const struct building_plan busy = {
    .fewest = 4, .most = 13, .small = true, .busy = true
};

/* Each estimate lies in its own interval with 95 % chance.  Over 200 seeds the
 * number that do is binomial with a standard deviation of 1.5 % of them, over
 * 100 of 2.2 %; the least that is asked of one fixture is 2.6 of those below,
 * which the seeds being the same in each run no more than shows whether they
 * are an unlucky choice; of all together, fixtures of one building not being
 * independent, 93.5 %. */
#define SEEDS usual(100, 200)
/* The interval is one of large samples.  Of a group that is on for a sixtieth
 * of the time, and short when two of it are on, 1024 states hold three such
 * pairs or so, of which nine intervals in ten cover the part that is short. */
#define STATES 4096
#define LEAST_OF_ONE (0.95 - 2.6 * sqrt(0.95 * 0.05 / SEEDS))
#define LEAST_OF_ALL 0.935

static const unsigned long covered[] = { 1, 2, 3, 4, 5, 6, 7, 8 };

static void
count_covered(const struct fci_network *network, const struct exact *e,
              int *inside)
{
    unsigned long seed;
    size_t i;

    for (seed = 1; seed <= (unsigned long)SEEDS; seed++) {
        struct fci_busy_period period = draw_period(
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
 * one group that are on together fare alike.  A state shows the pressure of a
 * fixture one time in 32, and half of the states are drawn of what is rare. */
#define ERRORS 5
#define SHOWN 64
#define NEAR_STATES 2000 /* a chance may be known well enough by so few */

static void
assert_near(unsigned long number, const struct exact *e, size_t i,
            const fc_busy *b, double states)
{
    const double w = e->weak[i], m = e->mean[i];
    const double weak = (1 - 2 * w) * e->k2_weak[i] + w * w * e->k2[i];
    const double mean = e->k2_p2[i] - 2 * m * e->k2_p[i] + m * m * e->k2[i];

    ck_assert_msg(fabs(b->weak.estimate - w)
                      <= ERRORS * sqrt(fmax(weak, 0) / states) + 1e-9,
                  "building %lu, %zu: %.9f, not %.9f", number, i,
                  b->weak.estimate, w);
    ck_assert_msg(fabs(b->mean - m)
                      <= ERRORS * sqrt(fmax(mean, 0) * SHOWN / states) + 1,
                  "building %lu, %zu: a mean of %.1f Pa, not %.1f", number, i,
                  b->mean, m);
}

/* A twentieth of the flushes lies below the 5th percentile, to the width of a
 * bin either way, and as much that one valve more may be off. */
static void
assert_percentile(const struct fci_network *network, unsigned long number,
                  const struct fci_busy_period *period, int side)
{
    struct exact e = solve_states(network, NULL);
    double marks[SMALL_GROUPS];
    size_t i;

    for (i = 0; i < e.groups.n; i++) {
        marks[i] = period->fixtures[e.groups.fixture[i]].fifth
                   + side * 2.02 * e.alone[i] / FCI_PRESSURE_BINS;
        if (marks[i] < 0) /* they all are in the lowest bin */
            marks[i] = side > 0 ? INFINITY : -INFINITY;
    }
    e = solve_states(network, marks);
    for (i = 0; i < e.groups.n; i++) {
        const double u = e.under[i];
        const double square = (1 - 2 * u) * e.k2_under[i] + u * u * e.k2[i];
        const double error =
            ERRORS * sqrt(fmax(square, 0) * SHOWN / NEAR_STATES);

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
    struct fci_busy_period period =
        draw_period(network, (fc_check_options){ .threads = 1,
                                                 .most_states = NEAR_STATES });
    size_t i;

    for (i = 0; i < e.groups.n; i++)
        assert_near(number, &e, i, &period.fixtures[e.groups.fixture[i]],
                    NEAR_STATES);
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
    one = draw_period(network, options);
    options.threads = threads[_i];
    for (run = 0; run < 3; run++) {
        other = draw_period(network, options);
        assert_same(site, &one, &other);
        fci_busy_period_free(&other);
    }
    fci_busy_period_free(&one);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

/* Another seed gives other figures, but no other verdict. */
START_TEST(seeds)
{
    fc_site *site = building_made(3, &busy);
    struct fci_network *network = network_of(site);
    fc_check_options options = { .threads = 1, .most_states = 5000 };
    struct fci_busy_period none = draw_period(network, options);
    struct fci_busy_period again = draw_period(network, options), one, two;
    size_t i;

    assert_same(site, &none, &again);
    options.seed = 1;
    one = draw_period(network, options);
    options.seed = 2;
    two = draw_period(network, options);
    ck_assert(one.fixtures[0].mean < two.fixtures[0].mean
              || one.fixtures[0].mean > two.fixtures[0].mean);
    for (i = 0; i < site->n_fixtures; i++)
        ck_assert(one.often[i] == none.often[i]
                  && two.often[i] == none.often[i]);
    fci_busy_period_free(&none);
    fci_busy_period_free(&again);
    fci_busy_period_free(&one);
    fci_busy_period_free(&two);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

/* A verdict is the same whatever else is asked, and in short. */
START_TEST(asked_alone)
{
    const unsigned long number = (unsigned long)(_i + 1);
    static const struct building_plan large = { .fewest = 20, .most = 80 };
    fc_site *site = building_made(number, _i % 2 ? &large : &busy);
    struct fci_network *network = network_of(site);
    struct fci_busy_period all = run_period(
        network, (fc_check_options){ .threads = 1, .most_states = 20000 });
    bool *asked = calloc(site->n_fixtures + 1, sizeof *asked);
    size_t i;

    ck_assert_ptr_nonnull(asked);
    for (i = 0; i < site->n_fixtures; i++) {
        const fc_check_options options = { .threads = 1,
                                           .most_states = 20000 };
        struct fci_busy_period one;

        if (!network->outlets[i].flushes)
            continue;
        asked[i] = true;
        ck_assert_int_eq(fci_busy_period_run(network, FCI_NOMINAL, &options,
                                             asked, &one, NULL),
                         FC_OK);
        ck_assert_msg(one.often[i] == all.often[i],
                      "building %lu, %zu: %d alone, %d of all", number, i,
                      (int)one.often[i], (int)all.often[i]);
        asked[i] = false;
        fci_busy_period_free(&one);
    }
    free(asked);
    fci_busy_period_free(&all);
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

#define SOME_BLOCKS 300

/* What the states of a stratum show of a fixture: valves that are on, or those
 * that are off. */
static void
sum_strata(const struct fci_busy_plan *plan, const struct fci_tally *tallies,
           double *mean, double *second)
{
    const double states = (double)SOME_BLOCKS * FCI_BUSY_BLOCK;
    size_t g;

    *mean = *second = 0;
    for (g = 0; g < plan->n_strata; g++) {
        *mean += plan->strata[g].chance * (double)tallies[g].flushes / states;
        *second +=
            plan->strata[g].chance * (double)tallies[g].squares / states;
    }
}

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

/* The strata together are independent valves, within 5 standard deviations of
 * as many states drawn at random. */
static void
assert_drawn(const struct fci_busy_plan *plan, const struct fci_tally *tallies,
             int count, double shown)
{
    const double n = (double)SOME_BLOCKS * FCI_BUSY_BLOCK;
    const double mean = count * shown;
    const double second = mean * (1 - shown) + mean * mean;
    const double fourth = fourth_moment(count, shown);
    double m, s;

    sum_strata(plan, tallies, &m, &s);
    ck_assert_double_eq_tol(m, mean, 5 * sqrt(mean * (1 - shown) / n) + 1e-8);
    ck_assert_double_eq_tol(
        s, second, 5 * sqrt(fmax(fourth - second * second, 0) / n) + 1e-6);
}

static double
chance_of_all(const struct fci_busy_plan *plan)
{
    double sum = 0;
    size_t g;

    for (g = 0; g < plan->n_strata; g++)
        sum += plan->strata[g].chance;
    return sum;
}

START_TEST(who_is_on)
{
    fc_site *site = site_of(drawn[_i].site);
    struct fci_network *network = network_of(site);
    size_t fixtures[] = { 0, 1, 2, 3, 4, 5 };
    const int at_once[COUNT(fixtures)] = { 0 };
    struct fci_busy_plan *plan = NULL;
    struct fci_busy_asked asked = { .seed = 5,
                                    .fixtures = fixtures,
                                    .n = (size_t)drawn[_i].n,
                                    .at_once = at_once };
    struct fci_busy_drawer *drawer;
    struct fci_busy_block block;
    struct fci_busy_told told[6 * FCI_STRATA];
    size_t k;
    int i;

    ck_assert_int_eq(
        fci_busy_plan_new(network, FCI_NOMINAL, NULL, &plan, NULL), FC_OK);
    ck_assert_double_eq_tol(chance_of_all(plan), 1, 2e-10);
    asked.plan = plan;
    for (k = 0; k < COUNT(told); k++)
        told[k] = (struct fci_busy_told){ .to = SOME_BLOCKS, .one_in = 1 };
    asked.told = told;
    drawer = fci_busy_drawer_new(&asked);
    ck_assert_ptr_nonnull(drawer);
    for (block.stratum = 0; block.stratum < plan->n_strata; block.stratum++)
        for (block.number = 0; block.number < SOME_BLOCKS; block.number++)
            ck_assert_int_eq(fci_busy_draw(drawer, &block), FC_OK);
    for (i = 0; i < drawn[_i].n; i++)
        assert_drawn(
            plan, &fci_busy_tallies(drawer)[(size_t)i * plan->n_strata],
            drawn[_i].count[i],
            fci_busy_adds(plan, plan->class_of[i]) ? 1 - drawn[_i].on[i]
                                                   : drawn[_i].on[i]);
    fci_busy_drawer_free(drawer);
    fci_busy_plan_free(plan);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

/* How many of all valves are on, and of all but one of a class, against sums
 * of binomial chances over both classes: by
 *     python3 -c "
 *     from math import comb
 *     b = lambda n, p: [comb(n, k) * p**k * (1 - p)**(n - k)
 *                       for k in range(n + 1)]
 *     c = lambda u, v: [sum(u[i] * v[k - i] for i in range(len(u))
 *                           if 0 <= k - i < len(v)) for k in range(3)]
 *     print(c(b(7, .05), b(2, .6))); print(c(b(6, .05), b(2, .6)))
 *     print(c(b(7, .05), b(1, .6)))" */
START_TEST(how_many)
{
    static const double all[] = { 0.11173396737499998, 0.37636704799999987,
                                  0.38139662409374986 };
    static const double less_a[] = { 0.11761470249999999, 0.38998559249999987,
                                     0.3809445731249999 };
    static const double less_b[] = { 0.2793349184374999, 0.5219152423437499,
                                     0.17061869671874996 };
    fc_site *site = site_of(SOURCE GROUP("a", 7, 60) GROUP("b", 2, 5));
    struct fci_network *network = network_of(site);
    struct fci_busy_plan *plan = NULL;
    size_t k, row;

    ck_assert_int_eq(
        fci_busy_plan_new(network, FCI_NOMINAL, NULL, &plan, NULL), FC_OK);
    row = plan->most + 1;
    for (k = 0; k < 3; k++) {
        ck_assert_double_eq_tol(plan->chance[k], all[k], 1e-12);
        ck_assert_double_eq_tol(plan->others[k], less_a[k], 1e-12);
        ck_assert_double_eq_tol(plan->others[row + k], less_b[k], 1e-12);
    }
    fci_busy_plan_free(plan);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

/* ---- Many fixtures ----------------------------------------------------- */

#define MANY_STATES 20000
/* The library shows some 500 states, half of them of what is rare. */
#define SHOWN_OF_MANY 250

/* Of one fixture by plain draws: one valve of it on, every other one with its
 * own chance. */
static void
draw_plainly(const struct fci_network *network, struct fci_solver *solver,
             size_t fixture, gsl_rng *rng, double *mean, double *variance)
{
    const fc_site *site = network->site;
    struct fci_open *open = calloc(site->n_fixtures + 1, sizeof *open);
    double sum = 0, squares = 0;
    int state;

    ck_assert_ptr_nonnull(open);
    for (state = 0; state < MANY_STATES; state++) {
        size_t n = 0, at = 0, i;
        double pressure;

        for (i = 0; i < site->n_fixtures; i++) {
            const int given = i == fixture;
            int count = 0;

            if (network->outlets[i].flushes)
                count = given
                        + (int)gsl_ran_binomial(
                            rng, small_chance_on(&site->fixtures[i]),
                            (unsigned)(site->fixtures[i].count - given));
            if (given)
                at = n;
            if (count > 0)
                open[n++] = (struct fci_open){ i, count };
        }
        ck_assert_int_eq(fci_solver_run(solver, open, n), FC_OK);
        pressure = fci_solver_drawn(solver)[at].pressure;
        sum += pressure;
        squares += pressure * pressure;
    }
    free(open);
    *mean = sum / MANY_STATES;
    *variance = fmax(squares / MANY_STATES - *mean * *mean, 0);
}

/* Thirty alike fixtures behind one device, three or so valves of sixty being
 * on: how many are decides what each has.  What the library shows of all of
 * them is put together. */
START_TEST(means_of_many)
{
    enum { FIXTURES = 30 };
    char text[8192] = SOURCE "[device d]\nfrom = s\nloss = 1 psi at 24 gpm\n";
    struct fci_network *network;
    struct fci_busy_period period;
    struct fci_solver *solver;
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    double mean, variance, of_all = 0;
    fc_site *site;
    int i;

    for (i = 0; i < FIXTURES; i++)
        snprintf(text + strlen(text), sizeof text - strlen(text),
                 "[fixture f%d]\non = d\nkind = water closet, flush valve\n"
                 "count = 2\nexisting = v\ninterval = 60 s\n",
                 i);
    site = site_of(text);
    network = network_of(site);
    solver = fci_solver_new(network);
    ck_assert(solver && rng);
    period = draw_period(network, (fc_check_options){ .threads = 1 });
    for (i = 0; i < FIXTURES; i++)
        of_all += period.fixtures[i].mean / FIXTURES;
    draw_plainly(network, solver, 0, rng, &mean, &variance);
    ck_assert_double_eq_tol(
        of_all, mean,
        ERRORS
                * sqrt(
                    variance
                    * (1.0 / MANY_STATES + 1.0 / (SHOWN_OF_MANY * FIXTURES)))
            + 100);
    gsl_rng_free(rng);
    fci_busy_period_free(&period);
    fci_solver_free(solver);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

/* ---- What is sure ------------------------------------------------------ */

/* Every fixture that is called far from too often by its own look; returns how
 * many there are. */
static int
far_ones(const struct fci_busy_plan *plan, const struct exact *e,
         unsigned long number)
{
    struct fci_arena arena = { 0 };
    double on[SMALL_GROUPS * 4] = { 0 };
    struct fci_far far;
    int found = 0;
    size_t i, k;

    for (i = 0; i < plan->n_classes; i++)
        for (k = 0; k < plan->classes[i].n; k++)
            on[plan->valves[plan->classes[i].first + k]] = plan->classes[i].on;
    ck_assert(fci_far_find(&far, &arena, plan, on));
    for (i = 0; i < e->groups.n; i++) {
        const size_t fixture = e->groups.fixture[i];

        if (!fci_more_leaves_less(plan->network)
            || !isfinite(plan->least[fixture])
            || !fci_far_seldom(&far, fixture))
            continue;
        ck_assert_msg(e->weak[i] <= FC_MOST_WEAK, "building %lu, %zu: %.5f",
                      number, i, e->weak[i]);
        found++;
    }
    fci_arena_free(&arena);
    return found;
}

/* What is called sure without a draw holds by every state there is. */
START_TEST(sure)
{
    const struct building_plan plan = {
        .fewest = 4, .most = 13, .small = true, .busy = _i % 2 == 1
    };
    int seldom = 0, too_often = 0, far = 0, k;
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
            fci_busy_plan_new(network, FCI_NOMINAL, NULL, &chances, NULL),
            FC_OK);
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
        far += far_ones(chances, &e, number);
        fci_busy_plan_free(chances);
        fci_network_free(network);
        fc_site_free(site);
    }
    ck_assert_int_ge(far, 10);
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
                            49 * PSI / FCI_PRESSURE_BINS);
    fci_busy_period_free(&period);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

/* 3 s in 30 years: all that may be is solved, seldom as it is. */
START_TEST(hardly_ever_on)
{
    fc_site *site = site_of(SOURCE GROUP("a", 2, 1e9));
    struct fci_network *network = network_of(site);
    struct fci_busy_period period =
        run_period(network, (fc_check_options){ .threads = 1 });

    ck_assert(period.fixtures[0].weak.given
              && period.fixtures[0].weak.high <= 0);
    ck_assert_double_eq_tol(period.fixtures[0].mean, 50 * PSI, 1);
    ck_assert(period.narrow && period.every);
    fci_busy_period_free(&period);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

/* Blocks of all strata are drawn to the end, and a state is solved once, and
 * beside some one more of it. */
START_TEST(so_many_states)
{
    fc_site *site = building_made(3, &busy);
    struct fci_network *network = network_of(site);
    struct fci_busy_period few = draw_period(
        network, (fc_check_options){ .threads = 2, .most_states = 1 });
    struct fci_busy_period more = draw_period(
        network, (fc_check_options){ .threads = 2, .most_states = 3000 });

    ck_assert_uint_gt(few.states, 0);
    ck_assert_uint_le(few.states, 5 * FCI_STRATA * FCI_BUSY_BLOCK);
    ck_assert(!few.narrow && !few.every);
    ck_assert_uint_gt(more.states, few.states);
    ck_assert_uint_le(more.states, 5 * (3000 + FCI_STRATA * FCI_BUSY_BLOCK));
    fci_busy_period_free(&few);
    fci_busy_period_free(&more);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

/* Of one valve there is one state. */
START_TEST(stops_when_known)
{
    fc_site *site = site_of(SOURCE GROUP("a", 1, 6));
    struct fci_network *network = network_of(site);
    struct fci_busy_period period =
        run_period(network, (fc_check_options){ .threads = 1 });

    ck_assert(period.narrow && period.every);
    ck_assert_uint_eq(period.states, 1);
    ck_assert(period.fixtures[0].weak.high <= 0);
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
    ck_assert_double_eq_tol(period.fixtures[0].mean, 50 * PSI, 1);
    fci_busy_period_free(&period);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

START_TEST(progress)
{
    struct heard heard = { 0, 0 };
    fc_site *site = building_made(3, &busy);
    struct fci_network *network = network_of(site);
    struct fci_busy_period period =
        draw_period(network, (fc_check_options){ .threads = 2,
                                                 .most_states = 200000,
                                                 .progress = hear,
                                                 .context = &heard });

    ck_assert_int_ge(heard.times, 1);
    fci_busy_period_free(&period);
    fci_network_free(network);
    fc_site_free(site);
}
END_TEST

/* Two valves of 3 s in 300 s, each weak while the other is on: in just the 1 %
 * of its flushes that is allowed, which is too near to call.  Alone 20 and 30
 * psi make the 50 there are; of two the loss takes 80 to 30, and leaves 14
 * psi. */
START_TEST(just_allowed)
{
    fc_site *site =
        site_of(SOURCE "[device d]\nfrom = s\nloss = 20 psi at 24 gpm\n"
                       "[fixture a]\non = d\n"
                       "kind = water closet, flush valve\n"
                       "count = 2\nexisting = v\ninterval = 300 s\n");
    struct fci_network *network = network_of(site);
    struct fci_busy_period period =
        run_period(network, (fc_check_options){ .threads = 1 });

    ck_assert_double_eq_tol(period.fixtures[0].weak.low, 0.01, 1e-12);
    ck_assert_double_eq_tol(period.fixtures[0].weak.high, 0.01, 1e-12);
    ck_assert_int_eq((int)period.often[0], (int)FCI_UNCLEAR);
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
    tcase_add_test(t, weak_together);
    tcase_add_test(t, by_strata);
    tcase_add_test(t, monotone_strata);
    tcase_add_test(t, pressures_by_hand);
    tcase_add_test(t, quantiles);
    tcase_add_test(t, quantiles_of_lumps);
    tcase_add_loop_test(t, narrow, 0, COUNT(widths));
    tcase_add_counting_test(t, coverage);
    tcase_add_sampled_test(t, near, 25);
    tcase_add_test(t, means_of_many);
    tcase_add_loop_test(t, any_threads, 0, COUNT(threads));
    tcase_add_test(t, seeds);
    tcase_add_sampled_test(t, asked_alone, usual(30, 60));
    tcase_add_test(t, how_many);
    tcase_add_loop_test(t, who_is_on, 0, COUNT(drawn));
    tcase_add_loop_test(t, sure, 0, 4);
    tcase_add_test(t, always_on);
    tcase_add_test(t, hardly_ever_on);
    tcase_add_test(t, pressures_far_away);
    tcase_add_test(t, so_many_states);
    tcase_add_test(t, stops_when_known);
    tcase_add_test(t, no_minimum);
    tcase_add_test(t, progress);
    tcase_add_test(t, just_allowed);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
