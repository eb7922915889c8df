/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_tank.c -- how long the water of a tank lasts.
 *
 * What the library integrates is followed here in small steps of time: the
 * valve draws by the square root of the tank's pressure (it is on the tank
 * itself), the pump brings its rate, the rest is air that expands by p v^n.
 */
#include "effects/tank_chance.h"
#include "effects/tank_lasts.h"
#include "generators/sites.h"

#include <gsl/gsl_randist.h>
#include <math.h>

#define ATMOSPHERE 14.696 /* psi */
#define COUNT_OF(a) (sizeof(a) / sizeof *(a))

/* In the units of the trade: gal, psi, gpm. */
struct farm {
    double volume, precharge, cut_in, cut_out, rate, flush, interval;
    int closets;
};

static const struct farm farms[] = {
    { 40, 28, 30, 50, 10, 3.5, 5, 1 },   { 40, 28, 30, 50, 10, 1.28, 5, 1 },
    { 120, 38, 40, 60, 10, 3.5, 1, 6 },  { 120, 38, 40, 60, 10, 1.28, 1, 6 },
    { 220, 48, 50, 70, 8, 1.6, 0.5, 8 }, { 80, 20, 30, 50, 15, 3.5, 2, 4 },
    { 500, 30, 40, 60, 4, 3.5, 3, 6 },   { 80, 40, 40, 60, 10, 1.6, 1, 4 },
};

#define LEAST 20.0 /* psi: minimum of the valve */

static fc_site *
site_of_farm(const struct farm *f)
{
    char text[1000];

    snprintf(text, sizeof text,
             "[source well]\nkind = well\nrate = %g gpm\n"
             "[pressure tank tank]\nfrom = well\nvolume = %g gal\n"
             "precharge = %g psi\ncut-in = %g psi\ncut-out = %g psi\n"
             "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = %g gal\n"
             "minimum flowing = %g psi\n"
             "[fixture wc]\non = tank\nkind = water closet, flush valve\n"
             "existing = v\ncount = %d\n"
             "[usage]\ninterval = %g min\nbusy period = 20 min\n",
             f->rate, f->volume, f->precharge, f->cut_in, f->cut_out, f->flush,
             LEAST, f->closets, f->interval);
    return site_of(text);
}

static struct fci_tank_lasts
lasts_of(const fc_site *site)
{
    struct fci_network *network = NULL;
    struct fci_tank_lasts lasts;

    ck_assert_int_eq(fci_network_new(site, FC_EXISTING, &network, NULL),
                     FC_OK);
    ck_assert(fci_tank_lasts_find(network, &lasts));
    fci_network_free(network);
    ck_assert_ptr_null(lasts.lacks);
    return lasts;
}

static struct fci_tank_lasts
lasts_of_farm(const struct farm *f)
{
    fc_site *site = site_of_farm(f);
    const struct fci_tank_lasts lasts = lasts_of(site);

    fc_site_free(site);
    return lasts;
}

/* ---- Step by step ------------------------------------------------------ */

#define STEP 1e-5 /* min */
#define LONGEST 400.0

/* Until the tank is down at LEAST or empty: flushes one after another, or the
 * minutes of a steady draw (flush 0).  INFINITY: it settles above. */
static double
simulate(const struct farm *f, double start, double exponent, double draw)
{
    double air = f->volume
                 * fmin((f->precharge + ATMOSPHERE) / (start + ATMOSPHERE), 1);
    double pressure = start, t, flushed = 0, flow = 0;

    for (t = 0; t < LONGEST; t += STEP) {
        if (pressure < LEAST || air > f->volume)
            return draw > 0 ? t : flushed / f->flush;
        flow = draw > 0 ? draw : 25 * sqrt(pressure / 25);
        if (flow <= f->rate)
            return INFINITY;
        flushed += flow * STEP;
        pressure = (pressure + ATMOSPHERE)
                       * pow(air / (air + (flow - f->rate) * STEP), exponent)
                   - ATMOSPHERE;
        air += (flow - f->rate) * STEP;
    }
    return INFINITY;
}

/* A flush of 25 gpm takes 2.8 million steps an hour; a hundredth of a flush is
 * what such a step may be off. */
START_TEST(does_what_small_steps_do)
{
    const struct farm *f = &farms[_i];
    const struct fci_tank_lasts l = lasts_of_farm(f);
    const double draw = f->closets * f->flush / f->interval;
    const struct {
        enum fci_end end;
        double start, exponent;
    } ends[] = { { FCI_WORST, f->cut_in, 1.4 },
                 { FCI_NOMINAL, (f->cut_in + f->cut_out) / 2, 1 },
                 { FCI_BEST, f->cut_out, 1 } };

    ck_assert_double_eq_tol(l.least[FCI_WORST] / PSI, LEAST, 1e-6);
    for (size_t i = 0; i < COUNT_OF(ends); i++) {
        const double row = simulate(f, ends[i].start, ends[i].exponent, 0);
        const double time = simulate(f, ends[i].start, ends[i].exponent, draw);
        const double found = l.in_row[ends[i].end];
        const double found_time = l.lasts[ends[i].end] / 60;

        ck_assert_double_eq_tol(l.mean[ends[i].end].flow / GPM, draw, 1e-9);
        ck_assert_int_eq(isinf(row), isinf(found));
        if (!isinf(row))
            ck_assert_double_eq_tol(found, row, 0.01 + 0.002 * row);
        ck_assert_int_eq(isinf(time), isinf(found_time));
        if (!isinf(time))
            ck_assert_double_eq_tol(found_time, time, 0.01 + 0.002 * time);
    }
}
END_TEST

/* ---- Closed forms ------------------------------------------------------- */

/* A valve of 25 gpm at 40 psi that flushes 3.5 gal takes 3.5 (1 - 10/25) =
 * 2.1 gal from the tank at its cut-in of 40 psi, at 1.28 gal 0.768 gal. */
START_TEST(borrows_what_the_pump_does_not_give)
{
    static const double flushes[] = { 3.5, 1.28 };
    static const double borrows[] = { 2.1, 0.768 };

    for (size_t i = 0; i < COUNT_OF(flushes); i++) {
        const struct farm f = { 80, 38, 40, 60, 10, flushes[i], 5, 1 };
        fc_site *site = site_of_farm(&f), *changed = NULL;
        struct fci_tank_lasts l;

        ck_assert_int_eq(fc_site_copy(site, &changed, NULL), FC_OK);
        ck_assert_int_eq(fc_site_change(changed, "valve v", "flow",
                                        "25 gpm at 40 psi", NULL),
                         FC_OK);
        ck_assert_int_eq(fc_site_finish(changed, NULL), FC_OK);
        l = lasts_of(changed);
        ck_assert_double_eq_tol(l.borrowed[FCI_NOMINAL] / GALLON, borrows[i],
                                1e-6);
        fc_site_free(changed);
        fc_site_free(site);
    }
}
END_TEST

/* 40 gal at 30/50 psi with the precharge at 30 give 0.309 x 40 = 12.36 gal
 * from cut-out to cut-in, which 10 gpm fill in 1.236 min. */
START_TEST(fills_in_its_time)
{
    const struct farm f = { 40, 30, 30, 50, 10, 3.5, 5, 1 };
    const struct fci_tank_lasts l = lasts_of_farm(&f);

    ck_assert_double_eq_tol(l.refill[FCI_NOMINAL] / 60, 1.236, 0.002);
}
END_TEST

/* The pump's curve at the pressure of the tank: 100 ft lower, so that 40 psi
 * (92.4 ft at 0.433 psi/ft) ask 192.4 ft and 60 psi 238.5 ft.  On the curve's
 * straight parts from 0 gpm 260 ft over 10 gpm 220 ft to 20 gpm 180 ft that is
 * 16.9 and 5.4 gpm. */
START_TEST(takes_the_rate_from_the_curve)
{
    fc_site *site =
        site_of("[source well]\nkind = tank\nwater level = -100 ft\n"
                "elevation = -100 ft\n"
                "[pump jet]\nfrom = well\nrise = 100 ft\n"
                "curve = 0 gpm 260 ft, 10 gpm 220 ft, 20 gpm 180 ft\n"
                "[pressure tank tank]\nfrom = jet\nvolume = 80 gal\n"
                "precharge = 38 psi\ncut-in = 40 psi\ncut-out = 60 psi\n"
                "[fixture wc]\non = tank\nkind = water closet, flush valve\n");
    const struct fci_tank_lasts l = lasts_of(site);

    ck_assert_double_eq_tol(l.rate[FCI_NOMINAL] / GPM, 16.9, 0.05);
    ck_assert_double_eq_tol(l.rate_out[FCI_NOMINAL] / GPM, 5.37, 0.05);
    fc_site_free(site);
}
END_TEST

/* A roof tank of 420 gal, 6 closets of 3.5 gal a minute each and 5 gpm coming
 * in: 420 / (21 - 5) = 26.25 min, filled in 84 min. */
START_TEST(a_roof_tank_runs_dry)
{
    fc_site *site = site_of(
        "[source roof]\nkind = tank\nwater level = 15 ft\nvolume = 420 gal\n"
        "rate = 5 gpm\n"
        "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = 3.5 gal\n"
        "minimum flowing = 15 psi\n"
        "[fixture wc]\non = roof\nrise = -100 ft\ncount = 6\n"
        "kind = water closet, flush valve\nexisting = v\n"
        "[usage]\ninterval = 1 min\nbusy period = 20 min\n");
    const struct fci_tank_lasts l = lasts_of(site);

    ck_assert(l.roof);
    ck_assert_double_eq_tol(l.lasts[FCI_WORST] / 60, 26.25, 1e-6);
    ck_assert_double_eq_tol(l.refill[FCI_WORST] / 60, 84, 1e-6);
    ck_assert_int_eq(l.row, FC_WORKS);
    /* 20 min take 320 gal in the mean, and 2 x 3.5 x sqrt(120) = 77 gal more
     * by chance: 397 gal, which it has */
    ck_assert_int_eq(l.busy, FC_WORKS);
    fc_site_free(site);
}
END_TEST

/* ---- By chance --------------------------------------------------------- */

/* [gal, min]; the first two are a well of 6 gpm and a tank of 255 gal at a
 * school of 6 closets, each used every 100 s. */
static const struct fci_tank_run runs[] = {
    { 3.6, 1.28, 5.36, 5.248, 20, 7.9, 40 },
    { 3.6, 1.28, 5.36, 5.248, 20, 12, 60 },
    { 6, 3.5, 5, 21, 20, 420, 0 },
    { 6, 3.5, 5, 21, 20, 370, 0 },
    { 2, 3.5, 7.5, 7, 60, 60, 0 },
    { 2, 3.5, 7.5, 8, 60, 30, 30 },
    { 1, 1.6, 4, 1.6, 30, 3.5, 5 },
    { 10, 1.28, 13, 14, 15, 25, 10 },
    { 0.5, 3.5, 0, 3, 30, 90, 0 },
};
#define PERIODS 20000

/* What is left until it runs out, flush by flush; a pump that runs until so
 * much is between, a roof tank that is filled up to its start. */
static bool
runs_out(gsl_rng *rng, const struct fci_tank_run *run)
{
    const double steady = run->drawn - run->flushes * run->volume;
    const double full = run->water + run->between;
    double left = run->water, t = 0;
    bool pumps = true;

    for (;;) {
        double next = gsl_ran_exponential(rng, 1 / run->flushes);

        if (t + next > run->time)
            return false;
        t += next;
        while (next > 0) { /* until the pump stops, or starts */
            const double net = pumps ? run->fills : -steady;
            const double until = run->between == 0  ? INFINITY
                                 : pumps && net > 0 ? (full - left) / net
                                 : !pumps && net < 0
                                     ? (left - run->water) / -net
                                     : INFINITY;
            const double step = fmin(next, until);

            left += net * step;
            next -= step;
            if (next > 0)
                pumps = !pumps;
        }
        if (run->between == 0)
            left = fmin(left, full);
        left -= run->volume;
        if (run->between > 0 && left <= run->water)
            pumps = true;
        if (left < 0)
            return true;
    }
}

/* The chance that is told is not less than what 20,000 periods tell, but for 4
 * deviations of that; nor is it of no use: not above three times that and 2%.
 */
START_TEST(runs_out_no_more_often)
{
    const struct fci_tank_run *run = &runs[_i];
    const double told = fci_tank_runs_out(run);
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    int out = 0;
    double often;

    gsl_rng_set(rng, 24 + (unsigned long)_i);
    for (int i = 0; i < PERIODS; i++)
        out += runs_out(rng, run);
    often = (double)out / PERIODS;
    ck_assert_double_ge(told, often - 4 * sqrt(often * (1 - often) / PERIODS));
    ck_assert_msg(told <= 3 * often + 0.02, "%g told, %g", told, often);
    gsl_rng_free(rng);
}
END_TEST

/* So much more water is just enough for a chance of 5%. */
START_TEST(more_water_is_enough)
{
    struct fci_tank_run run = runs[_i];
    const double times = fci_tank_times_more(&run, 0.05);

    run.water *= times;
    run.between *= times;
    ck_assert_double_le(fci_tank_runs_out(&run), 0.05);
    run.water *= 0.9;
    run.between *= 0.9;
    ck_assert_double_gt(fci_tank_runs_out(&run), 0.05);
    run.water = 0;
    ck_assert(isinf(fci_tank_times_more(&run, 0.05)));
}
END_TEST

/* ---- What holds of all ------------------------------------------------- */

static void
no_fewer(const struct farm *a, const struct farm *b)
{
    const struct fci_tank_lasts few = lasts_of_farm(a);
    const struct fci_tank_lasts many = lasts_of_farm(b);

    for (int end = 0; end < FCI_ENDS; end++) {
        ck_assert(many.in_row[end] >= few.in_row[end] * (1 - 1e-9));
        ck_assert(many.lasts[end] >= few.lasts[end] * (1 - 1e-9));
    }
    ck_assert(few.busy != FC_WORKS || many.busy == FC_WORKS);
    ck_assert(few.row != FC_WORKS || many.row == FC_WORKS);
}

START_TEST(more_never_lasts_shorter)
{
    const struct farm f = farms[_i];
    struct farm larger = f, smaller = f, richer = f, rarer = f;

    larger.volume *= 1.5;
    smaller.flush *= 0.7;
    richer.rate *= 1.3;
    rarer.interval *= 2;
    no_fewer(&f, &larger);
    no_fewer(&f, &smaller);
    no_fewer(&f, &richer);
    no_fewer(&f, &rarer);
}
END_TEST

/* The tank that it asks for does what it is asked for, and one that is a
 * little smaller does not. */
START_TEST(asks_for_a_tank_that_does)
{
    const struct farm f = farms[_i];
    const struct fci_tank_lasts l = lasts_of_farm(&f);
    struct farm other = f;

    if (l.for_row[FCI_WORST] > 0 && !isinf(l.for_row[FCI_WORST])) {
        other.volume = l.for_row[FCI_WORST] / GALLON;
        ck_assert_double_eq_tol(lasts_of_farm(&other).in_row[FCI_WORST],
                                f.closets, 1e-3);
    }
    ck_assert_int_eq(l.for_busy[FCI_WORST] / GALLON > f.volume,
                     l.busy != FC_WORKS);
    if (l.for_busy[FCI_WORST] > 0 && !isinf(l.for_busy[FCI_WORST])) {
        other.volume = 1.001 * l.for_busy[FCI_WORST] / GALLON;
        ck_assert_int_eq(lasts_of_farm(&other).busy, FC_WORKS);
        other.volume = 0.999 * l.for_busy[FCI_WORST] / GALLON;
        ck_assert_int_ne(lasts_of_farm(&other).busy, FC_WORKS);
    }
}
END_TEST

/* ---- What a check makes of it ------------------------------------------ */

static fc_verdict
verdict_of(const struct farm *f)
{
    fc_site *site = site_of_farm(f);
    fc_check_result *result = NULL;
    fc_verdict works;

    ck_assert_int_eq(fc_check(site, &result, NULL), FC_OK);
    works = result->works;
    ck_assert_ptr_nonnull(
        finding_of(result->findings, result->n_findings, "tank", "tank"));
    fc_check_result_free(result);
    fc_site_free(site);
    return works;
}

/* The same building, but for the water of its tank: 70 gal hold no flush at
 * the cut-in, 2000 gal hold several, and 4 gpm fill neither while 6 closets
 * take 21 gpm, for longer than 20 min. */
START_TEST(works_no_surer_than_its_water_lasts)
{
    const struct farm large = { 2000, 48, 50, 70, 10, 1.28, 5, 6 };
    const struct farm small = { 20, 48, 50, 70, 10, 1.28, 5, 6 };
    const struct farm poor = { 2000, 48, 50, 70, 4, 3.5, 1, 6 };

    ck_assert_int_eq(verdict_of(&large), FC_WORKS);
    ck_assert_int_eq(verdict_of(&small), FC_CANNOT_TELL);
    ck_assert_int_eq(verdict_of(&poor), FC_CANNOT_TELL);
}
END_TEST

/* One flush from 2000 gal; of 20 gal six at once take more than is there. */
START_TEST(a_flush_no_surer_than_its_water_lasts)
{
    const struct farm large = { 2000, 48, 50, 70, 10, 1.28, 5, 6 };
    const struct farm small = { 20, 48, 50, 70, 10, 1.28, 5, 6 };
    const struct farm *both[] = { &large, &small };

    for (size_t i = 0; i < COUNT_OF(both); i++) {
        const fc_flushing open = { .count = 6, .fixture = "wc" };
        fc_site *site = site_of_farm(both[i]);
        fc_flush_result *result = NULL;

        ck_assert_int_eq(fc_flush(site, FC_EXISTING, &open, 1, &result, NULL),
                         FC_OK);
        ck_assert_int_eq(result->enough, i == 0 ? FC_WORKS : FC_CANNOT_TELL);
        ck_assert_int_eq(result->tank_ends, i == 1);
        fc_flush_result_free(result);
        fc_site_free(site);
    }
}
END_TEST

/* n flushes that begin together at the cut-in last as long as the quickest, at
 * the cut-out, does: the pump gives its rate so long, and the air expands by p
 * v^1.4 by the rest, down to the valve's minimum at the lowest. */
static int
most_together(const struct farm *f)
{
    const double start = f->cut_in + ATMOSPHERE;
    const double air = f->volume * (f->precharge + ATMOSPHERE) / start;
    const double brought =
        f->rate * f->flush / (25 * sqrt(f->cut_out / 25)); /* gal */
    int n = 0;

    for (; n < f->closets; n++) {
        const double taken = fmax((n + 1) * f->flush - brought, 0);

        if (air + taken > f->volume
            || start * pow(air / (air + taken), 1.4) < LEAST + ATMOSPHERE)
            break;
    }
    return n;
}

/* One valve flushes, and all pressures are those of the tank. */
START_TEST(promises_no_more_at_once_than_its_water_lasts)
{
    static const struct farm tanks[] = {
        { 220, 48, 50, 70, 8, 1.6, 5, 40 },
        { 220, 44, 50, 70, 8, 1.6, 5, 40 },
        { 600, 38, 40, 60, 8, 1.28, 5, 90 },
        { 80, 37, 40, 60, 20, 1.28, 9, 9 },
        { 2000, 37, 40, 60, 20, 3.5, 9, 12 },
    };
    const struct farm *f = &tanks[_i];
    const int most = most_together(f);
    const fc_flushing more = { .fixture = "wc", .count = most + 1 };
    fc_site *site = site_of_farm(f);
    fc_check_result *result = NULL;
    fc_flush_result *flushed = NULL;
    const fc_at_once *n;

    ck_assert_int_gt(most, 1); /* one alone is asked for the code's least */
    ck_assert_int_eq(fc_check(site, &result, NULL), FC_OK);
    n = result->states[FC_EXISTING].at_once;
    ck_assert_int_eq(n->low, most);
    ck_assert_int_eq(n->valves, f->closets);
    ck_assert_int_eq(n->limit,
                     most < f->closets ? FC_LIMIT_TANK : FC_NO_LIMIT);
    if (most < f->closets) {
        ck_assert_str_eq(n->limit_at, "tank");
        ck_assert_int_eq(fc_flush(site, FC_EXISTING, &more, 1, &flushed, NULL),
                         FC_OK);
        ck_assert_int_eq(flushed->enough, FC_CANNOT_TELL);
        ck_assert(flushed->tank_ends);
    }
    fc_flush_result_free(flushed);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* What a flush takes is not known: no number is sure, nor is a flush. */
START_TEST(promises_none_at_once_of_an_unknown_volume)
{
    fc_site *site =
        site_of("[source well]\nkind = well\nrate = 10 gpm\n"
                "[pressure tank tank]\nfrom = well\nvolume = 400 gal\n"
                "precharge = 38 psi\ncut-in = 40 psi\ncut-out = 60 psi\n"
                "[valve v]\nflow = 25 gpm at 25 psi\n"
                "minimum flowing = 20 psi\n"
                "[fixture wc]\non = tank\nexisting = v\ncount = 4\n"
                "kind = water closet, flush valve\n");
    const fc_flushing two = { .fixture = "wc", .count = 2 };
    fc_check_result *result = NULL;
    fc_flush_result *flushed = NULL;

    ck_assert_int_eq(fc_check(site, &result, NULL), FC_OK);
    ck_assert_int_eq(result->states[FC_EXISTING].at_once->low, 0);
    ck_assert_int_eq(result->states[FC_EXISTING].at_once->limit,
                     FC_LIMIT_TANK);
    ck_assert_int_eq(fc_flush(site, FC_EXISTING, &two, 1, &flushed, NULL),
                     FC_OK);
    ck_assert_int_eq(flushed->enough, FC_CANNOT_TELL);
    fc_flush_result_free(flushed);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* ---- What effects makes of it ------------------------------------------- */

/* A tank of 40 gal at 30/50 psi with the precharge at 28, a well of 10 gpm, a
 * valve of 25 gpm at 25 psi: what is told is what is calculated, and that is
 * held against small steps above. */
START_TEST(effects_tell_it_side_by_side)
{
    fc_site *site =
        site_of("[source well]\nkind = well\nrate = 10 gpm\n"
                "[pressure tank tank]\nfrom = well\nvolume = 40 gal\n"
                "precharge = 28 psi\ncut-in = 30 psi\ncut-out = 50 psi\n"
                "[valve old]\nflow = 25 gpm at 25 psi\nfull flush = 3.5 gal\n"
                "minimum flowing = 20 psi\n"
                "[valve new]\nflow = 25 gpm at 25 psi\nfull flush = 1.28 gal\n"
                "minimum flowing = 20 psi\n"
                "[fixture wc]\non = tank\nkind = water closet, flush valve\n"
                "existing = old\nretrofit = new\n");
    struct farm f = farms[0];
    fc_effects *effects = NULL;

    ck_assert_int_eq(fc_effects_find(site, &effects, NULL), FC_OK);
    ck_assert_ptr_nonnull(effects->tank);
    ck_assert_str_eq(effects->tank->name, "tank");
    ck_assert(!effects->tank->at_height);
    for (int state = 0; state < FC_STATES; state++) {
        const fc_tank_state *s = &effects->tank->states[state];
        char said[80];

        f.flush = state == FC_EXISTING ? 3.5 : 1.28;
        ck_assert_str_eq(s->first, "wc");
        ck_assert_str_eq(s->thirsty, "wc");
        ck_assert_double_eq_tol(s->in_row_worst,
                                floor(simulate(&f, 30, 1.4, 0)), 0.5);
        ck_assert_double_eq_tol(s->in_row_best, floor(simulate(&f, 50, 1, 0)),
                                0.5);
        snprintf(said, sizeof said, "%.0f to %.0f", s->in_row_worst,
                 s->in_row_best);
        ck_assert_str_eq(effects->summary[0].what, "tank: flushes in a row");
        ck_assert_str_eq(effects->summary[0].said[state], said);
    }
    ck_assert_str_eq(effects->summary[0].rests_on,
                     "40 gal 30/50 psi, 10.0 gpm coming in");
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* Nothing is told of a tank where there is none whose water ends. */
START_TEST(effects_of_other_sources_have_no_tank)
{
    static const char *const sources[] = {
        "[source main]\nkind = fixed\npressure = 60 psi\n",
        "[source main]\nkind = street main\nstatic = 60 psi\n",
    };

    for (size_t i = 0; i < COUNT_OF(sources); i++) {
        char text[400];
        fc_effects *effects = NULL;
        fc_site *site;

        snprintf(text, sizeof text,
                 "%s[fixture wc]\non = main\n"
                 "kind = water closet, flush valve\n",
                 sources[i]);
        site = site_of(text);
        ck_assert_int_eq(fc_effects_find(site, &effects, NULL), FC_OK);
        ck_assert_ptr_null(effects->tank);
        for (size_t k = 0; k < effects->n_verdicts; k++)
            ck_assert_int_ne(effects->verdicts[k].area, FC_TANK_EFFECT);
        fc_effects_free(effects);
        fc_site_free(site);
    }
}
END_TEST

/* What is not known is said, and no verdict of it is firm. */
/* A tank at a height whose volume is not given: nothing is calculated of it,
 * and that is said wherever its water counts. */
START_TEST(an_unknown_volume_is_said)
{
    fc_site *site =
        site_of("[source roof]\nkind = tank\nwater level = 90 ft\n"
                "elevation = 85 ft\n"
                "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = 1.6 gal\n"
                "minimum flowing = 15 psi\n"
                "[fixture wc]\non = roof\nexisting = v\n"
                "rise = -80 ft\n"
                "kind = water closet, flush valve\n");
    fc_effects *effects = NULL;
    fc_check_result *checked = NULL;
    fc_flush_result *flushed = NULL;
    size_t judged = 0;

    ck_assert_int_eq(fc_effects_find(site, &effects, NULL), FC_OK);
    ck_assert_ptr_null(effects->tank);
    ck_assert_int_eq(effects->enough, FC_CANNOT_TELL);
    for (size_t k = 0; k < effects->n_verdicts; k++)
        if (effects->verdicts[k].area == FC_TANK_EFFECT) {
            judged++;
            ck_assert_int_eq(effects->verdicts[k].verdicts[FC_EXISTING],
                             FC_CANNOT_TELL);
        }
    ck_assert_uint_eq(judged, 1);
    ck_assert_int_eq(fc_check(site, &checked, NULL), FC_OK);
    ck_assert_int_eq(
        fc_flush(site, FC_EXISTING, NULL, SIZE_MAX, &flushed, NULL), FC_OK);
    ck_assert_ptr_nonnull(
        finding_of(checked->findings, checked->n_findings, "tank", "roof"));
    ck_assert_ptr_nonnull(
        finding_of(flushed->findings, flushed->n_findings, "tank", "roof"));
    fc_flush_result_free(flushed);
    fc_check_result_free(checked);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* Half of 4 and 2 gal are 3 gal; with one long stay in four 2.5 gal; a use in
 * 5 min: 0.6 and 0.5 gpm, where the share is known no more at the worst. */
START_TEST(takes_the_share_of_long_stays)
{
    static const struct {
        const char *usage;
        double mean[FCI_ENDS]; /* gpm: nominal, worst, best */
    } shares[] = { { "", { 0.6, 0.8, 0.4 } },
                   { "long stay share = 25%\n", { 0.5, 0.5, 0.5 } } };

    for (size_t i = 0; i < COUNT_OF(shares); i++) {
        char text[500];
        fc_site *site;

        snprintf(text, sizeof text,
                 "[source well]\nkind = well\nrate = 10 gpm\n"
                 "[pressure tank tank]\nfrom = well\nvolume = 400 gal\n"
                 "cut-in = 50 psi\ncut-out = 70 psi\n"
                 "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = 4 gal\n"
                 "reduced flush = 2 gal\n"
                 "[fixture wc]\non = tank\nexisting = v\n"
                 "kind = water closet, flush valve\n[usage]\n%s",
                 shares[i].usage);
        site = site_of(text);
        for (int end = 0; end < FCI_ENDS; end++)
            ck_assert_double_eq_tol(
                fci_tank_mean(site, FC_EXISTING, (enum fci_end)end).flow / GPM,
                shares[i].mean[end], 1e-9);
        fc_site_free(site);
    }
}
END_TEST

START_TEST(effects_cannot_tell_what_is_not_given)
{
    fc_site *site = site_of(
        "[source well]\nkind = well\nrate = 10 gpm\n"
        "[pressure tank tank]\nfrom = well\nvolume = 4000 gal\n"
        "cut-in = 50 psi\ncut-out = 70 psi\nprecharge = 48 psi\n"
        "[valve v]\nflow = 25 gpm at 25 psi\nminimum flowing = 20 psi\n"
        "[fixture wc]\non = tank\nkind = water closet, flush valve\n"
        "existing = v\n");
    fc_effects *effects = NULL;

    ck_assert_int_eq(fc_effects_find(site, &effects, NULL), FC_OK);
    ck_assert_str_eq(effects->tank->states[FC_EXISTING].lacks,
                     "\"full flush\" of valve v is not given");
    ck_assert(isnan(effects->tank->states[FC_EXISTING].in_row_worst));
    ck_assert_int_eq(effects->enough, FC_CANNOT_TELL);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* ---- Refused ----------------------------------------------------------- */

START_TEST(others_refuse_it_by_name)
{
    static const char reason[] =
        "[pressure tank tank] has a pressure that rises and falls, which %s "
        "does not follow; a source of one pressure is expected (check, flush, "
        "path, size and effects follow it)";
    fc_site *site = site_of_farm(&farms[0]);
    fc_diagnostics *messages[3];
    fc_verify_result *verified = NULL;
    fc_diagnosis *diagnosis = NULL;
    fc_remedies *remedies = NULL;
    static const char *const commands[] = { "verify", "diagnose",
                                            "size --remedy" };

    for (int i = 0; i < 3; i++)
        ck_assert_ptr_nonnull(messages[i] = fc_diagnostics_new());
    ck_assert_int_eq(fc_verify(site, NULL, &verified, messages[0]),
                     FC_EUNSUPPORTED);
    ck_assert_int_eq(fc_diagnose(site, NULL, &diagnosis, messages[1]),
                     FC_EUNSUPPORTED);
    ck_assert_int_eq(fc_remedies_find(site, NULL, &remedies, messages[2]),
                     FC_EUNSUPPORTED);
    for (int i = 0; i < 3; i++) {
        char text[400];

        snprintf(text, sizeof text, reason, commands[i]);
        ck_assert_str_eq(fc_diagnostics_at(messages[i], 0).text, text);
        fc_diagnostics_free(messages[i]);
    }
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("tank");
    TCase *water = tcase_create("its water");
    TCase *use = tcase_create("its use");

    tcase_set_timeout(water, 120);
    tcase_add_loop_test(water, does_what_small_steps_do, 0, COUNT(farms));
    tcase_add_test(water, borrows_what_the_pump_does_not_give);
    tcase_add_test(water, fills_in_its_time);
    tcase_add_test(water, takes_the_rate_from_the_curve);
    tcase_add_test(water, a_roof_tank_runs_dry);
    tcase_add_loop_test(water, runs_out_no_more_often, 0, COUNT(runs));
    tcase_add_loop_test(water, more_water_is_enough, 0, COUNT(runs));
    tcase_add_loop_test(water, more_never_lasts_shorter, 0, COUNT(farms));
    tcase_add_loop_test(water, asks_for_a_tank_that_does, 0, COUNT(farms));
    tcase_add_test(use, works_no_surer_than_its_water_lasts);
    tcase_add_test(use, a_flush_no_surer_than_its_water_lasts);
    tcase_add_loop_test(use, promises_no_more_at_once_than_its_water_lasts, 0,
                        5);
    tcase_add_test(use, promises_none_at_once_of_an_unknown_volume);
    tcase_add_test(use, effects_tell_it_side_by_side);
    tcase_add_test(use, effects_of_other_sources_have_no_tank);
    tcase_add_test(use, an_unknown_volume_is_said);
    tcase_add_test(use, takes_the_share_of_long_stays);
    tcase_add_test(use, effects_cannot_tell_what_is_not_given);
    tcase_add_test(use, others_refuse_it_by_name);
    suite_add_tcase(suite, water);
    suite_add_tcase(suite, use);
    return run_suite(suite);
}
