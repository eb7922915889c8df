/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_probability.c -- peak demand by probability.
 *
 *   [BMS65]  R. B. Hunter, Methods of Estimating Loads in Plumbing Systems,
 *            NBS BMS 65 (1940).  Flush valve 27 gpm for 9 s every 300 s, flush
 *            tank 60 s every 300 s, bathtub 60 s every 900 s (27 gpm and 4 gpm
 *            read on a public page, the times from memory), and the criterion
 *            of 1 % (read there).  Its printed tables could not be read.
 *
 * The numbers at which one more valve has to be counted, and the tails, were
 * worked out apart from the program in exact fractions (Python):
 *
 *   from fractions import Fraction as F
 *   from math import comb
 *   def tail(n, p, m):
 *       return 1 - sum(comb(n, k) * p**k * (1 - p)**(n - k)
 *                      for k in range(m + 1))
 *   def count(n, p):  # smallest m with P(X > m) <= 1 %
 *       return next(m for m in range(n + 1) if tail(n, p, m) <= F(1, 100))
 */
#include "generators/demands.h"
#include "peak/flush_time.h"
#include "laws/friction.h"
#include "peak/probability.h"
#include "published/published.h"

#define MOST_VALVES 12
#define MOST_PIPES 8

static double
not_exceeded(const struct fci_valves *valves, size_t n, double chance)
{
    bool enough = false;
    double step = -1;
    const double flow =
        fci_flow_not_exceeded(valves, n, chance, &step, &enough);

    ck_assert(enough);
    ck_assert_double_eq(step, 0);
    return flow;
}

/* How many of n like valves are on, by the plain 99th percentile. */
static int
on_at_once(int n, double on, double chance)
{
    const struct fci_valves valves = { 0, n, 27 * GPM, on };
    const double number = not_exceeded(&valves, 1, chance) / (27 * GPM);

    ck_assert_double_eq_tol(number, round(number), 1e-9);
    return (int)lround(number);
}

/* ---- Hunter's step tables ---------------------------------------------- */

/* The first n that needs m = 1, 2, 3... [BMS65]; by count() above. */
static const int valve_steps[] = { 1,   6,   16,  29,  45,  62,  80,
                                   99,  120, 141, 162, 184, 207, 230,
                                   253, 277, 301, 325, 349, 374, 399 };
static const int tank_steps[] = { 1,   2,   4,   6,   8,   11,  14,  17,  21,
                                  24,  27,  31,  34,  38,  41,  45,  49,  53,
                                  56,  60,  64,  68,  72,  76,  80,  84,  88,
                                  92,  96,  100, 104, 108, 112, 116, 120, 124,
                                  128, 133, 137, 141, 145 };
static const int bath_steps[] = { 1,   3,   8,   14,  21,  29,  37,
                                  46,  55,  65,  75,  85,  95,  105,
                                  116, 127, 138, 149, 160, 171, 182 };

static const struct {
    const int *first;
    int rows;
    double time, interval; /* s */
} hunter[] = {
    { valve_steps, COUNT(valve_steps), 9, 300 },
    { tank_steps, COUNT(tank_steps), 60, 300 },
    { bath_steps, COUNT(bath_steps), 60, 900 },
};

START_TEST(steps)
{
    const double on = hunter[_i].time / hunter[_i].interval;
    int m;

    for (m = 1; m <= hunter[_i].rows; m++) {
        const int first = hunter[_i].first[m - 1];

        ck_assert_int_eq(on_at_once(first, on, FCI_PEAK_CHANCE), m);
        if (m > 1)
            ck_assert_int_eq(on_at_once(first - 1, on, FCI_PEAK_CHANCE),
                             m - 1);
    }
}
END_TEST

/* P(X > m), by tail() above, to 12 digits. */
static const struct {
    int n;
    double on;
    int m;
    double tail;
} tails[] = {
    { 5, 0.03, 1, 0.008472052800 },     { 6, 0.03, 1, 0.012455870445 },
    { 15, 0.03, 2, 0.009371425985 },    { 16, 0.03, 2, 0.011279457786 },
    { 28, 0.03, 3, 0.009324837170 },    { 29, 0.03, 3, 0.010563982569 },
    { 44, 0.03, 4, 0.009978297775 },    { 45, 0.03, 4, 0.010953778476 },
    { 100, 0.03, 7, 0.010623808856 },   { 100, 0.03, 8, 0.003216035067 },
    { 20, 0.2, 8, 0.009981786321 },     { 100, 0.2, 29, 0.011248978721 },
    { 100, 0.2, 30, 0.006059335481 },   { 1000, 0.03, 44, 0.005559033344 },
    { 1600, 0.014, 40, 0.000239569080 }
};

/* A chance is met to 1e-9, so a tail is found to within twice that. */
START_TEST(tail)
{
    const double within = 1 - tails[_i].tail;

    ck_assert_int_le(on_at_once(tails[_i].n, tails[_i].on, within - 2e-9),
                     tails[_i].m);
    ck_assert_int_gt(on_at_once(tails[_i].n, tails[_i].on, within + 2e-9),
                     tails[_i].m);
}
END_TEST

/* A chance that is met exactly is met, whatever is left of it in doubles: one
 * valve is off for 1 - p, two are not both on for 1 - p^2. */
START_TEST(met_exactly)
{
    const double on = _i / 100.0;

    ck_assert_int_eq(on_at_once(1, on, 1 - on), 0);
    ck_assert_int_eq(on_at_once(2, on, 1 - on * on), 1);
    ck_assert_int_eq(on_at_once(1, on, 1 - on + 1e-8), 1);
    ck_assert_int_eq(on_at_once(2, on, 1 - on * on + 1e-8), 2);
}
END_TEST

/* Ten units a valve: the corners where the IPC's printed column meets the
 * binomial (NBS BMS 65 and IPC Table E103.3(3); 10 units read on a public
 * page, 60 and 160 from memory).  27, 54 and 81 gpm are printed to a tenth of
 * a gallon and the column is these very numbers, so nothing is allowed for. */
START_TEST(corners)
{
    static const int first[] = { 1, 6, 16 };
    const int n = first[_i];
    struct fci_valves valves = { 0, n, 27 * GPM, 9.0 / 300 };
    struct fci_tables *tables;
    bool beyond;
    double column;

    ck_assert_int_eq(fci_tables_read(NULL, &tables, NULL), FC_OK);
    column = fci_demand_flow(fci_tables_demand(tables, FC_IPC), FC_NEXT_ROW,
                             10.0 * n, true, &beyond);
    ck_assert_double_eq_tol(not_exceeded(&valves, 1, FCI_PEAK_CHANCE) / GPM,
                            column / GPM, 1e-9);
    ck_assert_double_eq_tol(column / GPM, 27.0 * (_i + 1), 1e-9);
    fci_tables_free(tables);
}
END_TEST

/* ---- Counts of other countries ----------------------------------------- */

/* Valves counted as open together.  France, DTU 60.11: 1 up to 3, 2 up to 12
 * (read on a public page), 3 up to 24, 4 up to 50, 5 beyond (from memory, 20
 * read as 3).  Japan, Noerbambang and Morimura (1984), from memory. */
static const struct {
    int n, france, japan; /* 0: no row */
} counts[] = { { 1, 1, 1 },   { 2, 1, 1 },  { 4, 2, 2 },  { 8, 2, 3 },
               { 12, 2, 4 },  { 16, 3, 5 }, { 20, 3, 0 }, { 24, 3, 6 },
               { 32, 4, 7 },  { 40, 4, 7 }, { 50, 4, 8 }, { 70, 5, 9 },
               { 100, 5, 10 } };

/* A comparison to be read, not an equality: each rests on other times between
 * uses.  What holds of all three is that more valves never count for less,
 * and of ours that the conditional count is one more than that of the rest. */
START_TEST(other_countries)
{
    const double on = 9.0 / 300;
    int i, plain, peak, last = 0, last_france = 0;

    printf("# valves  plain 99 %%  largest and 99 %% of the rest  "
           "DTU 60.11  Morimura\n");
    for (i = 0; i < COUNT(counts); i++) {
        const int n = counts[i].n;

        plain = on_at_once(n, on, FCI_PEAK_CHANCE);
        peak = 1 + (n > 1 ? on_at_once(n - 1, on, FCI_PEAK_CHANCE) : 0);
        printf("# %6d %11d %28d %10d %9d\n", n, plain, peak, counts[i].france,
               counts[i].japan);
        ck_assert_int_ge(plain, last);
        ck_assert_int_ge(counts[i].france, last_france);
        ck_assert(peak == plain || peak == plain + 1);
        last = plain;
        last_france = counts[i].france;
    }
    fflush(stdout);
}
END_TEST

/* ---- All patterns ------------------------------------------------------ */

static unsigned long
next(unsigned long *seed)
{
    *seed = *seed * 48271UL % 2147483647UL;
    return *seed;
}

struct outcome {
    double flow, chance;
};

static int
by_flow(const void *a, const void *b)
{
    const struct outcome *x = a, *y = b;

    return (x->flow > y->flow) - (x->flow < y->flow);
}

/* The percentile by every pattern of on and off; flows that are equal but for
 * rounding belong together. */
static double
by_patterns(const double *flow, const double *on, int n, double chance)
{
    static struct outcome outcomes[1 << MOST_VALVES];
    const int patterns = 1 << n;
    double sum = 0;
    int i, k;

    for (i = 0; i < patterns; i++) {
        outcomes[i] = (struct outcome){ 0, 1 };
        for (k = 0; k < n; k++) {
            const bool is_on = (i >> k) & 1;

            outcomes[i].flow += is_on ? flow[k] : 0;
            outcomes[i].chance *= is_on ? on[k] : 1 - on[k];
        }
    }
    qsort(outcomes, (size_t)patterns, sizeof *outcomes, by_flow);
    for (i = 0; i < patterns; i++) {
        sum += outcomes[i].chance;
        if (i + 1 < patterns
            && outcomes[i + 1].flow - outcomes[i].flow
                   <= 1e-9 * outcomes[i].flow)
            continue;
        if (sum >= chance - 1e-9)
            return outcomes[i].flow;
    }
    return outcomes[patterns - 1].flow;
}

/* Its largest, and of those as large the one that is on least, and what the
 * others do not exceed. */
static double
peak_by_patterns(const double *flow, const double *on, int n)
{
    double rest_flow[MOST_VALVES], rest_on[MOST_VALVES];
    int i, rest = 0, largest = 0;

    if (n == 0)
        return 0;
    for (i = 1; i < n; i++)
        if (flow[i] > flow[largest]
            || (!(flow[i] < flow[largest]) && on[i] < on[largest]))
            largest = i;
    for (i = 0; i < n; i++)
        if (i != largest) {
            rest_flow[rest] = flow[i];
            rest_on[rest++] = on[i];
        }
    return flow[largest]
           + by_patterns(rest_flow, rest_on, rest, FCI_PEAK_CHANCE);
}

/* Rates as data sheets print them, in two lists: a common unit of 1 gpm, and
 * one of 0.1 gpm. */
static double
some_rate(unsigned long *seed, bool fine)
{
    static const double gpm[] = { 25, 12, 27, 20, 15, 25 };
    static const double tenths[] = { 22.5, 12.7, 25, 3.3, 19.8, 16.1 };

    return (fine ? tenths : gpm)[next(seed) % 6] * GPM;
}

static double
some_chance(unsigned long *seed)
{
    static const double most[] = { 0.02, 0.1, 0.6, 1 };

    return most[next(seed) % 4] * (double)next(seed) / 2147483647.0;
}

START_TEST(patterns)
{
    unsigned long seed = 11 + (unsigned long)_i;
    const int n = 1 + (int)(next(&seed) % MOST_VALVES);
    struct fci_valves valves[MOST_VALVES];
    double flow[MOST_VALVES], on[MOST_VALVES];
    double chance = 0.5;
    int i;

    for (i = 0; i < n; i++) {
        flow[i] = some_rate(&seed, _i % 2);
        on[i] = some_chance(&seed);
        valves[i] = (struct fci_valves){ 0, 1, flow[i], on[i] };
    }
    for (; chance < 1; chance += 0.07)
        ck_assert_double_eq_tol(not_exceeded(valves, (size_t)n, chance) / GPM,
                                by_patterns(flow, on, n, chance) / GPM, 1e-6);
    ck_assert_double_eq_tol(
        not_exceeded(valves, (size_t)n, FCI_PEAK_CHANCE) / GPM,
        by_patterns(flow, on, n, FCI_PEAK_CHANCE) / GPM, 1e-6);
}
END_TEST

/* Rates without a common unit are rounded up, by less than a step each. */
START_TEST(rounding)
{
    unsigned long seed = 5 + (unsigned long)_i;
    struct fci_valves valves[MOST_VALVES];
    double flow[MOST_VALVES], on[MOST_VALVES], step, exact, got;
    bool enough;
    int i;

    for (i = 0; i < MOST_VALVES; i++) {
        flow[i] = (3 + 24 * (double)next(&seed) / 2147483647.0) * GPM;
        on[i] = some_chance(&seed);
        valves[i] = (struct fci_valves){ 0, 1, flow[i], on[i] };
    }
    exact = by_patterns(flow, on, MOST_VALVES, FCI_PEAK_CHANCE);
    got = fci_flow_not_exceeded(valves, MOST_VALVES, FCI_PEAK_CHANCE, &step,
                                &enough);
    ck_assert(enough);
    ck_assert_double_gt(step, 0);
    ck_assert_double_le(step, 27 * GPM / 256);
    ck_assert_double_ge(got, exact * (1 - 1e-9));
    ck_assert_double_le(got, exact + MOST_VALVES * step);
}
END_TEST

/* ---- Trees ------------------------------------------------------------- */

#define SOURCE "[source main]\nkind = fixed\npressure = 90 psi\n"
#define PIPE(name, from)                                                      \
    "[pipe " name "]\nfittings = none\nfrom = " from                          \
    "\nmaterial = copper L\nsize = 3 in\nlength = 10 ft\n"

/* A tree of pipes with up to MOST_VALVES flush valves. */
struct tree {
    int parent[MOST_PIPES]; /* of a pipe; -1: the source */
    int on_pipe[MOST_VALVES], n;
    double gpm[MOST_VALVES], seconds[MOST_VALVES]; /* interval: 300 s */
    char text[8192];
};

/* Of flush and interval alike, so that no flush is larger than any valve's. */
#define SCALE (1 / 30.0)

static void
write_tree(struct tree *tree, double interval)
{
    size_t used;
    int i;

    used = (size_t)sprintf(tree->text, SOURCE "[usage]\ninterval = %.17g s\n",
                           interval * SCALE);
    for (i = 0; i < MOST_PIPES; i++) {
        char from[16] = "main";

        if (tree->parent[i] >= 0)
            snprintf(from, sizeof from, "p%d", tree->parent[i]);
        used += (size_t)snprintf(tree->text + used, sizeof tree->text - used,
                                 PIPE("p%d", "%s"), i, from);
    }
    for (i = 0; i < tree->n; i++)
        used += (size_t)snprintf(
            tree->text + used, sizeof tree->text - used,
            "[valve v%d]\nflow = %.17g gpm at 30 psi\n"
            "full flush = %.17g gal\n"
            "[fixture f%d]\non = p%d\nkind = water closet, flush valve\n"
            "existing = v%d\n",
            i, tree->gpm[i], tree->gpm[i] * tree->seconds[i] * SCALE / 60, i,
            tree->on_pipe[i], i);
    ck_assert_uint_lt(used + 1, sizeof tree->text);
}

/* Rates of 25 gpm and more, as the code's 25 gpm of a single closet counts
 * where the valve draws less. */
static void
make_tree(struct tree *tree, unsigned long seed)
{
    static const double gpm[] = { 25, 27, 30, 25.5 };
    int i;

    for (i = 0; i < MOST_PIPES; i++)
        tree->parent[i] = (int)(next(&seed) % (unsigned long)(i + 1)) - 1;
    tree->n = 1 + (int)(next(&seed) % MOST_VALVES);
    for (i = 0; i < tree->n; i++) {
        tree->on_pipe[i] = (int)(next(&seed) % MOST_PIPES);
        tree->gpm[i] = gpm[next(&seed) % 4];
        tree->seconds[i] = 300 * some_chance(&seed) + 0.01;
    }
    write_tree(tree, 300);
}

static bool
is_below(const struct tree *tree, int pipe, int top)
{
    while (pipe >= 0 && pipe != top)
        pipe = tree->parent[pipe];
    return pipe == top;
}

/* The peaks of all pipes [gpm]. */
static void
peaks_of(const struct tree *tree, double *peaks)
{
    fc_site *site = site_of(tree->text);
    struct fci_demand *demand = fci_demand_new(site, FC_EXISTING);
    char name[16];
    int i;

    ck_assert_ptr_nonnull(demand);
    for (i = 0; i < MOST_PIPES; i++) {
        snprintf(name, sizeof name, "p%d", i);
        peaks[i] =
            demand_at(site, demand, name)->by_probability[FCI_NOMINAL] / GPM;
    }
    free(demand);
    fc_site_free(site);
}

START_TEST(tree_patterns)
{
    static struct tree tree;
    double peaks[MOST_PIPES], flow[MOST_VALVES], on[MOST_VALVES];
    int pipe, i, n;

    make_tree(&tree, 31 + (unsigned long)_i);
    peaks_of(&tree, peaks);
    for (pipe = 0; pipe < MOST_PIPES; pipe++) {
        for (i = n = 0; i < tree.n; i++)
            if (is_below(&tree, tree.on_pipe[i], pipe)) {
                flow[n] = tree.gpm[i];
                on[n++] = fmin(tree.seconds[i] / 300, 1);
            }
        ck_assert_double_eq_tol(peaks[pipe], peak_by_patterns(flow, on, n),
                                1e-6);
    }
}
END_TEST

/* One valve more never lowers a peak, a longer interval never raises one. */
START_TEST(monotone)
{
    static struct tree tree;
    double before[MOST_PIPES], after[MOST_PIPES];
    int pipe, n, interval;

    make_tree(&tree, 77 + (unsigned long)_i);
    n = tree.n;
    for (tree.n = 1; tree.n <= n; tree.n++) {
        write_tree(&tree, 300);
        peaks_of(&tree, after);
        for (pipe = 0; tree.n > 1 && pipe < MOST_PIPES; pipe++)
            ck_assert_double_ge(after[pipe], before[pipe] * (1 - 1e-9));
        memcpy(before, after, sizeof before);
    }
    tree.n = n;
    for (interval = 20; interval < 2000; interval *= 2) {
        write_tree(&tree, interval);
        peaks_of(&tree, after);
        for (pipe = 0; interval > 20 && pipe < MOST_PIPES; pipe++)
            ck_assert_double_le(after[pipe], before[pipe] * (1 + 1e-9));
        memcpy(before, after, sizeof before);
    }
}
END_TEST

/* ---- What a valve does ------------------------------------------------- */

/* t = volume / rate, p = t / interval times the flushes of a use; half the
 * flushes are reduced where no share is given.  By hand:
 *   27 gpm and 4.05 gal: 9 s; of 300 s 0.03 [BMS65]
 *   1.6 and 1.2 gal, half each, at 24 gpm: 1.4 / 24 min = 3.5 s
 *   a quarter reduced: 1.5 / 24 min = 3.75 s */
static const struct {
    const char *valve, *fixture, *usage;
    double time, interval, on;
    enum fci_interval_from from;
    bool capped;
} busy[] = {
    { "flow = 27 gpm at 25 psi\nfull flush = 4.05 gal\n", "", "", 9, 300, 0.03,
      FCI_OF_DEFAULT, false },
    { "flow = 24 gpm at 25 psi\nfull flush = 1.6 gal\nreduced flush = 1.2 "
      "gal\n",
      "", "", 3.5, 300, 3.5 / 300, FCI_OF_DEFAULT, false },
    { "flow = 24 gpm at 25 psi\nfull flush = 1.6 gal\nreduced flush = 1.2 "
      "gal\nreduced share = 25 %\n",
      "", "[usage]\ninterval = 75 s\n", 3.75, 75, 0.05, FCI_OF_USAGE, false },
    { "flow = 24 gpm at 25 psi\nfull flush = 1.6 gal\nflushes per use = 1.5\n",
      "interval = 1 min\n", "[usage]\ninterval = 75 s\n", 4, 60, 0.1,
      FCI_OF_FIXTURE, false },
    { "flow = 1 gpm at 25 psi\nfull flush = 6 gal\n", "", "", 360, 300, 1,
      FCI_OF_DEFAULT, true },
};

static fc_site *
one_closet(const char *valve, const char *fixture, const char *rest)
{
    return site_by("%s[valve v]\n%s[fixture f]\non = p\n"
                   "kind = water closet, flush valve\nexisting = v\n%s%s",
                   SOURCE PIPE("p", "main"), valve, fixture, rest);
}

START_TEST(flush_times)
{
    fc_site *site =
        one_closet(busy[_i].valve, busy[_i].fixture, busy[_i].usage);
    const struct fci_busy b =
        fci_valve_busy(site, &site->fixtures[0], FC_EXISTING, FCI_NOMINAL);

    ck_assert_double_eq_tol(b.time, busy[_i].time, 1e-9);
    ck_assert_double_eq_tol(
        b.volume, b.time * site->fixtures[0].valve[FC_EXISTING]->flow.nominal,
        1e-12);
    ck_assert_double_eq_tol(b.interval, busy[_i].interval, 1e-9);
    ck_assert_double_eq_tol(b.on, busy[_i].on, 1e-12);
    ck_assert_int_eq(b.from, busy[_i].from);
    ck_assert(b.capped == busy[_i].capped);
    fc_site_free(site);
}
END_TEST

static const struct {
    const char *valve, *lacks;
} lacking[] = {
    { "full flush = 1.6 gal\n", "flow" },
    { "flow = 25 gpm at 25 psi\n", "full flush" },
    { "closing time = 1 s\n", "flow" },
};

/* Without a rate or a volume nothing is said; by probability it is asked for,
 * at the line that names the valve. */
START_TEST(not_known)
{
    fc_site *site = one_closet(lacking[_i].valve, "", "[site]\n");
    struct fci_demand *d = fci_demand_new(site, FC_EXISTING);
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_check_result *r = checked(site);

    ck_assert_ptr_nonnull(d);
    ck_assert(isnan(
        fci_valve_busy(site, &site->fixtures[0], FC_EXISTING, FCI_NOMINAL)
            .on));
    ck_assert_str_eq(fci_flush_lacks(&site->fixtures[0], FC_EXISTING),
                     lacking[_i].lacks);
    ck_assert(isnan(demand_at(site, d, "p")->by_probability[FCI_NOMINAL]));
    ck_assert(!pipe_of(r, "p")->states[0].peak_by_probability.given);
    ck_assert(!r->states[0].peak_by_probability.given);
    ck_assert_double_eq_tol(pipe_of(r, "p")->states[0].peak_flow.nominal / GPM,
                            27, 1e-9); /* IPC, 10 units */
    fc_check_result_free(r);
    free(d);
    fc_site_free(site);

    site = one_closet(lacking[_i].valve, "", "[site]\npeak = probability\n");
    r = NULL;
    ck_assert_int_eq(fc_check(site, &r, messages), FC_EINPUT);
    ck_assert_ptr_null(r);
    ck_assert_uint_eq(fc_diagnostics_count(messages), 1);
    ck_assert_ptr_nonnull(strstr(all_messages(messages),
                                 "[fixture f] existing \"v\" has no \""));
    ck_assert_ptr_nonnull(strstr(all_messages(messages), lacking[_i].lacks));
    ck_assert_int_eq(fc_diagnostics_at(messages, 0).line, 15);
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

/* Unknown is what is above such a valve, and no more. */
START_TEST(unknown_on_one_branch)
{
    fc_site *site = site_of(SOURCE PIPE("a", "main") PIPE("b", "a") PIPE(
        "c", "a") "[valve v]\nflow = 30 gpm at 25 psi\n"
                  "[fixture f]\non = b\nkind = water closet, flush valve\n"
                  "existing = v\n"
                  "[fixture g]\non = c\nkind = water closet, flush valve\n");
    fc_check_result *r = checked(site);

    ck_assert(!pipe_of(r, "a")->states[0].peak_by_probability.given);
    ck_assert(!pipe_of(r, "b")->states[0].peak_by_probability.given);
    ck_assert(pipe_of(r, "c")->states[0].peak_by_probability.given);
    ck_assert_double_eq_tol(
        pipe_of(r, "c")->states[0].peak_by_probability.nominal / GPM, 25,
        1e-9);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- What a site makes of it ------------------------------------------- */

/* n valves of [BMS65] on one pipe: one, and as many of the other n - 1 as the
 * step table has. */
START_TEST(conditional)
{
    static const struct {
        int n, m;
    } rows[] = { { 1, 1 },  { 2, 2 },  { 6, 2 },  { 7, 3 },
                 { 16, 3 }, { 17, 4 }, { 29, 4 }, { 30, 5 },
                 { 62, 6 }, { 63, 7 }, { 100, 9 } };
    char count[32];
    fc_site *site;
    struct fci_demand *d;

    snprintf(count, sizeof count, "count = %d\n", rows[_i].n);
    site = one_closet("flow = 27 gpm at 25 psi\nfull flush = 4.05 gal\n",
                      count, "");
    d = fci_demand_new(site, FC_EXISTING);
    ck_assert_ptr_nonnull(d);
    ck_assert_double_eq_tol(
        demand_at(site, d, "p")->by_probability[FCI_NOMINAL] / GPM,
        27.0 * rows[_i].m, 1e-9);
    ck_assert_double_eq(demand_at(site, d, "p")->step, 0);
    free(d);
    fc_site_free(site);
}
END_TEST

/* A flush of 16 s every 15: all are always on. */
START_TEST(always_on)
{
    fc_site *site = one_closet("flow = 30 gpm at 25 psi\nfull flush = 8 gal\n",
                               "count = 7\n", "[usage]\ninterval = 15 s\n");
    struct fci_demand *d = fci_demand_new(site, FC_EXISTING);
    fc_check_result *r = checked(site);
    bool said = false;
    size_t i;

    ck_assert_ptr_nonnull(d);
    ck_assert_double_eq_tol(
        demand_at(site, d, "p")->by_probability[FCI_NOMINAL] / GPM, 7 * 30,
        1e-9);
    for (i = 0; i < r->n_assumptions; i++)
        said |= strstr(r->assumptions[i], "counts as always on: f") != NULL;
    ck_assert(said);
    fc_check_result_free(r);
    free(d);
    fc_site_free(site);
}
END_TEST

/* 25 gpm and 3 s of 300 s: of one other valve 0.99 is exactly the chance that
 * it is off, so one counts; of two others it takes one more. */
START_TEST(exactly_99)
{
    static const double want[] = { 25, 25, 50 };
    char count[32];
    fc_site *site;
    struct fci_demand *d;

    snprintf(count, sizeof count, "count = %d\n", _i + 1);
    site = one_closet("flow = 25 gpm at 25 psi\nfull flush = 1.25 gal\n",
                      count, "");
    d = fci_demand_new(site, FC_EXISTING);
    ck_assert_ptr_nonnull(d);
    ck_assert_double_eq_tol(
        demand_at(site, d, "p")->by_probability[FCI_NOMINAL] / GPM, want[_i],
        1e-9);
    free(d);
    fc_site_free(site);
}
END_TEST

/* A single closet of 18 gpm counts with the code's 25 gpm (IPC 2018, Table
 * 604.3, read on a public page), two of them with what they draw; without the
 * code's minimum each with its own. */
START_TEST(least_of_one)
{
    static const struct {
        int count;
        const char *site;
        double gpm;
    } rows[] = { { 1, "", 25 },
                 { 2, "", 36 },
                 { 1, "[site]\ncode minimum = no\n", 18 } };
    char count[32];
    fc_site *site;
    struct fci_demand *d;

    snprintf(count, sizeof count, "count = %d\n", rows[_i].count);
    site = one_closet("flow = 18 gpm at 25 psi\nfull flush = 1.6 gal\n", count,
                      rows[_i].site);
    d = fci_demand_new(site, FC_EXISTING);
    ck_assert_ptr_nonnull(d);
    ck_assert_double_eq_tol(
        demand_at(site, d, "p")->by_probability[FCI_NOMINAL] / GPM,
        rows[_i].gpm, 1e-9);
    free(d);
    fc_site_free(site);
}
END_TEST

/* Rates of 20 to 30 gpm and 6 gal: at worst 18 s and 30 gpm, at best 12 s and
 * 20 gpm, 14.4 s in the middle.  count(9, F(18, 300)) is 3, and both
 * count(9, F(144, 3000)) and count(9, F(12, 300)) are 2. */
START_TEST(three_ends)
{
    fc_site *site =
        one_closet("flow = 20..30 gpm at 25 psi\nfull flush = 6 gal\n",
                   "count = 10\n", "[demand d]\non = p\nflow = 5..7 gpm\n");
    struct fci_demand *d = fci_demand_new(site, FC_EXISTING);
    const double *peak;

    ck_assert_ptr_nonnull(d);
    peak = demand_at(site, d, "p")->by_probability;
    ck_assert_double_eq_tol(peak[FCI_WORST] / GPM, 4 * 30 + 7, 1e-9);
    ck_assert_double_eq_tol(peak[FCI_NOMINAL] / GPM, 3 * 25 + 6, 1e-9);
    ck_assert_double_eq_tol(peak[FCI_BEST] / GPM, 3 * 20 + 5, 1e-9);
    free(d);
    fc_site_free(site);
}
END_TEST

/* Ten public lavatories have 15 cold units, 20 where their hot water comes
 * along: 17.5 and 19.6 gpm in the flush-tank column (IPC Tables E103.3(2) and
 * (3); 15 units read on a public page, 20 from memory).  They stand beside
 * one closet of 25 gpm, whose ten units are none of theirs. */
START_TEST(others_in_full)
{
    fc_site *site = site_of(SOURCE PIPE("a", "main") PIPE("b", "a") PIPE(
        "h", "a") "[fixture l]\non = b\nkind = lavatory\ncount = 10\n"
                  "[fixture c]\non = b\nkind = water closet, flush valve\n"
                  "[heater w]\non = h\nserves = l\n");
    struct fci_demand *d = fci_demand_new(site, FC_EXISTING);

    ck_assert_ptr_nonnull(d);
    ck_assert_double_eq_tol(demand_at(site, d, "b")->other_units, 15, 1e-9);
    ck_assert_double_eq_tol(
        demand_at(site, d, "b")->by_probability[FCI_NOMINAL] / GPM, 25 + 17.5,
        1e-9);
    ck_assert_double_eq_tol(
        demand_at(site, d, "h")->by_probability[FCI_NOMINAL] / GPM, 17.5,
        1e-9);
    ck_assert_double_eq_tol(
        demand_at(site, d, "a")->by_probability[FCI_NOMINAL] / GPM, 25 + 19.6,
        1e-9);
    free(d);
    fc_site_free(site);
}
END_TEST

/* Twenty closets, 3.5 gal before and 1.28 gal after, 25 gpm, every 5 min:
 * 8.4 and 3.072 s.  count(19, F(84, 3000)) is 3 and count(19, F(3072, 300000))
 * is 2: 100 and 75 gpm.  The IPC's 200 units are 90 gpm in both (from
 * memory). */
#define SCHOOL(site)                                                          \
    site SOURCE PIPE("p", "main") "[fixture f]\non = p\nkind = water "        \
                                  "closet, flush valve\ncount = 20\n"         \
                                  "existing = siphonic closet 3.5 gal\n"      \
                                  "retrofit = siphonic closet 1.28 gal\n"

static void
expect_state(const fc_check_result *r, int state, double probable)
{
    const fc_pipe_state *s = &pipe_of(r, "p")->states[state];
    const double used = r->peak == FC_PROBABILITY ? probable : 90;

    ck_assert_double_eq_tol(s->peak_by_units.nominal / GPM, 90, 1e-9);
    ck_assert_double_eq_tol(s->peak_by_probability.nominal / GPM, probable,
                            1e-9);
    ck_assert_double_eq_tol(s->peak_flow.nominal / GPM, used, 1e-9);
    ck_assert_double_eq_tol(s->velocity.nominal,
                            fci_velocity(used * GPM, 2.945 * INCH), 1e-9);
    ck_assert_double_eq_tol(r->states[state].peak_flow.nominal / GPM, used,
                            1e-9);
    ck_assert_double_eq_tol(r->states[state].peak_by_units.nominal / GPM, 90,
                            1e-9);
    ck_assert_double_eq_tol(r->states[state].peak_by_probability.nominal / GPM,
                            probable, 1e-9);
}

START_TEST(retrofit)
{
    fc_site *site = _i ? site_of(SCHOOL("[site]\npeak = probability\n"))
                       : site_of(SCHOOL(""));
    fc_check_result *r = checked(site);

    ck_assert_int_eq(r->peak, _i ? FC_PROBABILITY : FC_FIXTURE_UNITS);
    expect_state(r, FC_EXISTING, 100);
    expect_state(r, FC_RETROFIT, 75);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- Large ones -------------------------------------------------------- */

/* A run of pipes with a closet on each, in two rates. */
static fc_site *
long_run(int n)
{
    fc_site *site = fc_site_new();
    char name[16], from[16] = "main";
    int i;

    ck_assert_int_eq(
        fc_site_add_source(site,
                           &(fc_source){ .name = "main",
                                         .kind = FC_FIXED,
                                         .pressure = fc_exactly(80 * PSI) },
                           NULL),
        FC_OK);
    for (i = 0; i < n; i++) {
        snprintf(name, sizeof name, "p%d", i);
        ck_assert_int_eq(
            fc_site_add_pipe(site,
                             &(fc_pipe){ .name = name,
                                         .from = from,
                                         .length = fc_exactly(1),
                                         .c = fc_exactly(140),
                                         .inside_diameter = fc_exactly(0.5) },
                             NULL),
            FC_OK);
        snprintf(from, sizeof from, "p%d", i);
        snprintf(name, sizeof name, "f%d", i);
        ck_assert_int_eq(
            fc_site_add_fixture(
                site,
                &(fc_fixture){ .name = name,
                               .on = from,
                               .kind = i % 2 ? "urinal, flush valve"
                                             : "water closet, flush valve" },
                NULL),
            FC_OK);
    }
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
    return site;
}

/* All but one closet at the source are two groups of like valves: two
 * binomials, apart from the way they were put together one by one.  3.5 gal at
 * 25 gpm is 8.4 s, 1 gal at 12 gpm 5 s. */
START_TEST(many)
{
    const int n = 20000;
    fc_site *site = long_run(n);
    struct fci_demand *d = fci_demand_new(site, FC_EXISTING);
    const struct fci_valves groups[] = { { 0, n / 2 - 1, 25 * GPM, 8.4 / 300 },
                                         { 0, n / 2, 12 * GPM, 5.0 / 300 } };

    ck_assert_ptr_nonnull(d);
    ck_assert_double_eq_tol(
        demand_at(site, d, "p0")->by_probability[FCI_NOMINAL] / GPM,
        25 + not_exceeded(groups, 2, FCI_PEAK_CHANCE) / GPM, 1e-6);
    free(d);
    fc_site_free(site);
}
END_TEST

/* Of 10,000,000 valves, p = 0.01: the normal law, whose error there is of the
 * order of half a valve: 100000 + 2.3263 sqrt(99000) = 100732. */
START_TEST(very_many)
{
    const int on = on_at_once(10000000, 0.01, FCI_PEAK_CHANCE);

    ck_assert_int_ge(on, 100730);
    ck_assert_int_le(on, 100734);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("probability");
    TCase *t = tcase_create("published");

    tcase_add_loop_test(t, steps, 0, COUNT(hunter));
    tcase_add_loop_test(t, tail, 0, COUNT(tails));
    tcase_add_loop_test(t, met_exactly, 1, 100);
    tcase_add_loop_test(t, corners, 0, 3);
    tcase_add_test(t, other_countries);
    suite_add_tcase(suite, t);
    t = tcase_create("patterns");
    tcase_add_loop_test(t, patterns, 0, 60);
    tcase_add_loop_test(t, rounding, 0, 20);
    tcase_add_loop_test(t, tree_patterns, 0, 60);
    tcase_add_loop_test(t, monotone, 0, 20);
    suite_add_tcase(suite, t);
    t = tcase_create("valves");
    tcase_add_loop_test(t, flush_times, 0, COUNT(busy));
    tcase_add_loop_test(t, not_known, 0, COUNT(lacking));
    tcase_add_test(t, unknown_on_one_branch);
    suite_add_tcase(suite, t);
    t = tcase_create("sites");
    tcase_add_loop_test(t, conditional, 0, 11);
    tcase_add_test(t, always_on);
    tcase_add_loop_test(t, exactly_99, 0, 3);
    tcase_add_loop_test(t, least_of_one, 0, 3);
    tcase_add_test(t, three_ends);
    tcase_add_test(t, others_in_full);
    tcase_add_loop_test(t, retrofit, 0, 2);
    suite_add_tcase(suite, t);
    t = tcase_create("large");
    tcase_set_timeout(t, 120);
    tcase_add_test(t, many);
    tcase_add_test(t, very_many);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
