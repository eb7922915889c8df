/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_water_use.c -- uses, flushes, water and batteries of a
 * year.
 *
 *   [IAPMO]  Worksheet of the IAPMO Green Plumbing and Mechanical Code
 *            Supplement, 150 men and 150 women, read on a public page; it
 *            rounds to 1 gal a day
 *   [WSW]    EPA, WaterSense at Work (October 2012), sections 3.1 and 3.3,
 * read on a public page; printed to 0.1 gal a day [AWE]    Alliance for Water
 * Efficiency, water use of a shop, staff and customers, read on a public page;
 * whole flushes
 *
 * All other figures are sums by hand, which stand beside them.
 */
#include "effects/idle.h"
#include "generators/sites.h"

#include <gsl/gsl_rng.h>
#include <math.h>

#define EXACT 1e-9 /* what sums in another order leave */

static fc_effects *
effects_of(const char *text)
{
    fc_site *site = site_of(text);
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_effects *effects = NULL;
    const fc_status status = fc_effects_find(site, &effects, messages);

    ck_assert_msg(status == FC_OK, "%s", all_messages(messages));
    fc_diagnostics_free(messages);
    /* figures alone are looked at below, nothing that is borrowed */
    fc_site_free(site);
    return effects;
}

static void
assert_near(double got, double want, double tolerance)
{
    ck_assert_msg(fabs(got - want) <= tolerance + EXACT * fabs(want),
                  "%.10g, not %.10g", got, want);
}

static void
assert_gallons(fc_range got, double low, double high, double tolerance)
{
    ck_assert(got.given);
    assert_near(got.low / GALLON, low, tolerance);
    assert_near(got.high / GALLON, high, tolerance);
}

#define SUPPLY "[source s]\nkind = fixed\npressure = 60 psi\n"
#define CLOSET(name, keys)                                                    \
    "[fixture " name "]\non = s\nkind = water closet, flush valve\n"          \
    "existing = old-wc\nretrofit = new-wc\n" keys
#define URINAL(name, keys)                                                    \
    "[fixture " name "]\non = s\nkind = urinal, flush valve\n"                \
    "existing = old-u\nretrofit = new-u\n" keys
#define VALVE(name, volume, keys)                                             \
    "[valve " name "]\nflow = 25 gpm at 25 psi\nminimum flowing = 25 psi\n"   \
    "full flush = " volume " gal\n" keys
#define MANUAL "sensor = no\n"
#define BASELINE VALVE("old-wc", "1.6", "") VALVE("old-u", "1.0", "")
#define AFTER VALVE("new-wc", "1.28", MANUAL) VALVE("new-u", "0.5", MANUAL)

/* ---- Published --------------------------------------------------------- */

#define ROOMS                                                                 \
    SUPPLY CLOSET("men", "count = 4\nused by = men\n")                        \
        CLOSET("women", "count = 8\nused by = women\n")                       \
            URINAL("urinals", "count = 4\n") BASELINE AFTER

static double
gallons_a_day(const fc_water_use *water, size_t fixture, fc_state state)
{
    const fc_used_fixture *f = &water->fixtures[fixture];

    return f->states[state].volume.nominal * f->count / GALLON / 260;
}

START_TEST(the_worksheet)
{
    static const double daily[3][FC_STATES] = { { 240, 192 },
                                                { 720, 576 },
                                                { 300, 150 } };
    fc_effects *e = effects_of(
        ROOMS "[usage]\nmen = 150\nwomen = 150\ndays per year = 260\n");
    const fc_water_use *w = e->water;

    ck_assert_ptr_nonnull(w);
    for (size_t i = 0; i < 3; i++)
        for (int s = 0; s < FC_STATES; s++)
            assert_near(gallons_a_day(w, i, (fc_state)s), daily[i][s], 1);
    assert_gallons(w->volume[FC_EXISTING], 1260.0 * 260, 1260.0 * 260, 260);
    assert_gallons(w->volume[FC_RETROFIT], 918.0 * 260, 918.0 * 260, 260);
    assert_gallons(w->saved, 88920, 88920, 1);
    ck_assert_ptr_null(w->weighs);
    fc_effects_free(e);
}
END_TEST

START_TEST(a_man_and_a_woman)
{
    static const struct {
        const char *usage;
        double gallons;
    } rows[] = {
        { ROOMS "[usage]\nmen = 1\ndays per year = 1\n", 3.6 },
        { ROOMS "[usage]\nwomen = 1\ndays per year = 1\n", 4.8 },
    };

    for (int i = 0; i < COUNT(rows); i++) {
        fc_effects *e = effects_of(rows[i].usage);

        assert_gallons(e->water->volume[FC_EXISTING], rows[i].gallons,
                       rows[i].gallons, 0.05);
        fc_effects_free(e);
    }
}
END_TEST

/* 30 men of the staff use a closet 0.5 times and a urinal 2.5 times a shift,
 * 364 days: 30 * 0.5 * 364 = 5460 flushes of closets; customers beside them,
 * 40 men with 0.25 and 1.75: 40 * 0.25 * 364 = 3640 and 40 * 1.75 * 364 =
 * 25480. */
START_TEST(staff_and_customers)
{
    fc_effects *e = effects_of(
        ROOMS "[usage]\nmen = 30\ncloset uses = 0.5\nurinal uses = 2.5\n"
              "days per year = 364\n"
              "[people customers]\nmen = 40\ncloset uses = 0.25\n"
              "urinal uses = 1.75\ndays per year = 364\n");
    const fc_used_fixture *f = e->water->fixtures;

    assert_near(f[0].states[FC_EXISTING].flushes.nominal * f[0].count,
                5460 + 3640, 0);
    assert_near(f[1].states[FC_EXISTING].flushes.nominal, 0, 0);
    assert_near(f[2].states[FC_EXISTING].flushes.nominal * f[2].count,
                30 * 2.5 * 364 + 25480, 1e-6);
    fc_effects_free(e);
}
END_TEST

START_TEST(men_without_urinals)
{
    fc_effects *e = effects_of(SUPPLY CLOSET("wc", "count = 2\n")
                                   BASELINE AFTER "[usage]\nmen = 10\n"
                                                  "days per year = 100\n");

    /* 10 men, 3 uses of a closet a day [WSW], 100 days, over 2 closets */
    assert_near(e->water->fixtures[0].states[FC_EXISTING].uses.nominal, 1500,
                0);
    fc_effects_free(e);
}
END_TEST

/* ---- Shares and ranges -------------------------------------------------- */

/* 100 women, 3 uses, 200 days: 60,000 uses over 3 closets.  A long stay takes
 * 1.6 gal, another 1.1. */
START_TEST(long_stays)
{
    fc_effects *e = effects_of(
        SUPPLY CLOSET("wc", "count = 3\n") VALVE("old-wc", "1.6", "")
            VALVE("new-wc", "1.6",
                  "reduced flush = 1.1 gal\nflushes per use = "
                  "1\n" MANUAL) "[usage]\nwomen = 100\ndays "
                                "per year = 200\n"
                                "long stay share = 20..30 %\n");

    assert_gallons(e->water->volume[FC_EXISTING], 96000, 96000, 0);
    assert_gallons(e->water->volume[FC_RETROFIT], 60000 * (1.1 + 0.5 * 0.2),
                   60000 * (1.1 + 0.5 * 0.3), 0);
    assert_gallons(e->water->saved, 60000 * (0.5 - 0.5 * 0.3),
                   60000 * (0.5 - 0.5 * 0.2), 0);
    ck_assert_str_eq(e->water->weighs, "how many stays are long");
    fc_effects_free(e);
}
END_TEST

/* What is not known is the same in both states: 90 to 110 women save 3 * 200 *
 * 0.32 gal each, though the volumes of the states overlap by more. */
START_TEST(one_cause_in_both_states)
{
    fc_effects *e =
        effects_of(SUPPLY CLOSET("wc", "") BASELINE AFTER
                   "[usage]\nwomen = 90..110\ndays per year = 200\n");
    const fc_water_use *w = e->water;

    assert_gallons(w->volume[FC_EXISTING], 90 * 600 * 1.6, 110 * 600 * 1.6, 0);
    assert_gallons(w->saved, 90 * 600 * 0.32, 110 * 600 * 0.32, 0);
    ck_assert_str_eq(w->weighs, "how many people there are");
    fc_effects_free(e);
}
END_TEST

/* People of whom nobody says how many are men: 10 of them, all women: 30 uses
 * of closets a day; all men: 10, and 20 of urinals. */
START_TEST(people_of_either_sex)
{
    fc_effects *e =
        effects_of(ROOMS "[usage]\npeople = 10\ndays per year = 1\n");

    assert_gallons(e->water->volume[FC_EXISTING], 10 * 1.6 + 20 * 1.0,
                   30 * 1.6, 0);
    fc_effects_free(e);
}
END_TEST

START_TEST(uses_of_one_fixture)
{
    fc_effects *e =
        effects_of(SUPPLY CLOSET("a", "uses per day = 10..20\ncount = 2\n")
                       CLOSET("b", "") BASELINE AFTER
                   "[usage]\nwomen = 20\ndays per year = 100\n");
    const fc_used_fixture *f = e->water->fixtures;

    assert_near(f[0].states[FC_EXISTING].uses.low, 1000, 0);
    assert_near(f[0].states[FC_EXISTING].uses.high, 2000, 0);
    /* 60 uses a day less 20 to 40 */
    assert_near(f[1].states[FC_EXISTING].uses.low, 2000, 0);
    assert_near(f[1].states[FC_EXISTING].uses.high, 4000, 0);
    fc_effects_free(e);
}
END_TEST

#define ROOMS_WITH_SENSORS                                                    \
    SUPPLY CLOSET("wc", "count = 4\n") URINAL("u", "count = 2\n")             \
        BASELINE VALVE("new-wc", "1.6",                                       \
                       "reduced flush = 1.1 gal\nhygiene flush = 72 h\n")     \
            VALVE("new-u", "0.5", "hygiene flush = 24 h\n")

/* Any exact figures inside of ranges give what lies inside of what the ranges
 * give: 200 buildings, each with figures drawn at random. */
START_TEST(inside_of_the_ranges)
{
    static const char form[] =
        ROOMS_WITH_SENSORS "[usage]\npeople = %s\nuses per day = %s\n"
                           "days per year = %s\nlong stay share = %s\n"
                           "false flushes = %s\n";
    unsigned seed = (unsigned)_i + 1;
    double drawn[5];
    char text[4096], exact[5][32];
    fc_effects *wide, *one;

    snprintf(text, sizeof text, form, "80..140", "2..4", "180..260",
             "0.2..0.6", "0..3");
    wide = effects_of(text);
    for (int k = 0; k < 5; k++) {
        static const double low[] = { 80, 2, 180, 0.2, 0 };
        static const double high[] = { 140, 4, 260, 0.6, 3 };

        seed = seed * 1103515245u + 12345u;
        drawn[k] = low[k] + (high[k] - low[k]) * (seed >> 16 & 0x7fff) / 32767;
        snprintf(exact[k], sizeof exact[k], "%.9g", drawn[k]);
    }
    snprintf(text, sizeof text, form, exact[0], exact[1], exact[2], exact[3],
             exact[4]);
    one = effects_of(text);
    for (int s = 0; s < FC_STATES; s++) {
        ck_assert_double_ge(one->water->volume[s].low,
                            wide->water->volume[s].low * (1 - 1e-9));
        ck_assert_double_le(one->water->volume[s].high,
                            wide->water->volume[s].high * (1 + 1e-9));
    }
    ck_assert_double_ge(one->water->saved.low, wide->water->saved.low - 1e-9);
    ck_assert_double_le(one->water->saved.high,
                        wide->water->saved.high + 1e-9);
    fc_effects_free(wide);
    fc_effects_free(one);
}
END_TEST

START_TEST(twice_the_days)
{
    fc_effects *once = effects_of(
        ROOMS "[usage]\nmen = 40\nwomen = 30\ndays per year = 120\n");
    fc_effects *twice = effects_of(
        ROOMS "[usage]\nmen = 40\nwomen = 30\ndays per year = 240\n");

    for (int s = 0; s < FC_STATES; s++)
        assert_near(twice->water->volume[s].nominal,
                    2 * once->water->volume[s].nominal, 0);
    fc_effects_free(once);
    fc_effects_free(twice);
}
END_TEST

START_TEST(nobody_is_told_of)
{
    fc_effects *e = effects_of(ROOMS);

    ck_assert_ptr_null(e->water);
    ck_assert_ptr_nonnull(
        finding_of(e->findings, e->n_findings, "water use", ""));
    fc_effects_free(e);
}
END_TEST

START_TEST(nobody_serves_them)
{
    fc_effects *e =
        effects_of(SUPPLY CLOSET("men", "used by = men\n") BASELINE AFTER
                   "[usage]\nwomen = 10\ndays per year = 100\n");
    const fc_finding *f =
        finding_of(e->findings, e->n_findings, "water use", "");

    ck_assert_ptr_nonnull(f);
    ck_assert_int_eq(f->severity, FC_WARN);
    fc_effects_free(e);
}
END_TEST

/* A fixture of 1 to 3 closets with 10 uses a day each, 100 days, 1.6 gal:
 * 1,600 to 4,800 gal. */
START_TEST(a_number_that_is_a_range)
{
    fc_effects *e =
        effects_of(SUPPLY CLOSET("wc", "count = 1..3\nuses per day = 10\n")
                       BASELINE AFTER "[usage]\ndays per year = 100\n");

    assert_gallons(e->water->volume[FC_EXISTING], 1600, 4800, 0);
    ck_assert_str_eq(e->water->weighs, "how many fixtures there are");
    fc_effects_free(e);
}
END_TEST

/* Of "b" the volume after the retrofit is not known: nothing of it is saved,
 * and nothing spent. 3 uses of 10 women, 100 days, half of them at "a". */
START_TEST(a_volume_that_is_not_known)
{
    fc_effects *e = effects_of(SUPPLY CLOSET(
        "a", "") "[fixture b]\non = s\nkind = water closet, flush valve\n"
                 "existing = old-wc\nretrofit = bare\n" BASELINE AFTER
                 "[valve bare]\nflow = 25 gpm at 25 psi\n" MANUAL
                 "[usage]\nwomen = 10\ndays per year = 100\n");

    assert_gallons(e->water->volume[FC_EXISTING], 1500 * 1.6, 1500 * 1.6, 0);
    assert_gallons(e->water->volume[FC_RETROFIT], 1500 * 1.28, 1500 * 1.28, 0);
    fc_effects_free(e);
    e = effects_of(SUPPLY
                   "[fixture b]\non = s\nkind = water closet, flush valve\n"
                   "existing = bare\nretrofit = new-wc\n" AFTER
                   "[valve bare]\nflow = 25 gpm at 25 psi\n" MANUAL
                   "[usage]\nwomen = 10\ndays per year = 100\n");
    for (int s = 0; s < FC_STATES; s++)
        ck_assert(!e->water->volume[s].given);
    ck_assert(!e->water->saved.given);
    fc_effects_free(e);
}
END_TEST

/* Any uses within 0 to 3 a day stay inside of what that range gives, hygiene
 * flushes and all: most are least used. */
START_TEST(hygiene_of_any_use)
{
#define SELDOM(uses)                                                          \
    SUPPLY CLOSET("wc", "uses per day = " uses "\n") BASELINE VALVE(          \
        "new-wc", "1.28",                                                     \
        "reduced flush = 0.5 gal\nreduced share = 0.9\n"                      \
        "flushes per use = 1\nhygiene flush = 24 h\n") "[usage]\ndays per "   \
                                                       "year = 300\nclosed "  \
                                                       "= 20 of 2 d\n"
    static const char *const exact[] = { SELDOM("0"),   SELDOM("0.2"),
                                         SELDOM("0.4"), SELDOM("0.8"),
                                         SELDOM("1.5"), SELDOM("3") };
    fc_effects *wide = effects_of(SELDOM("0..3"));

    for (int i = 0; i < COUNT(exact); i++) {
        fc_effects *one = effects_of(exact[i]);

        for (int s = 0; s < FC_STATES; s++) {
            ck_assert_double_ge(one->water->volume[s].low,
                                wide->water->volume[s].low * (1 - 1e-9));
            ck_assert_double_le(one->water->volume[s].high,
                                wide->water->volume[s].high * (1 + 1e-9));
        }
        fc_effects_free(one);
    }
    fc_effects_free(wide);
}
END_TEST

/* A building with every kind of range: %s stand for people, men, uses of each,
 * days, hours, count and uses of the fixture with uses of its own, and false
 * flushes. */
#define VARIED                                                                \
    SUPPLY                                                                    \
    "[pipe main]\nfrom = s\nmaterial = copper L\nsize = 2 in\n"               \
    "length = 50 ft\nfittings = none\n"                                       \
    "[fixture women]\non = main\nkind = water closet, flush valve\n"          \
    "existing = old-wc\nretrofit = new-wc\nused by = women\n"                 \
    "count = %s\n"                                                            \
    "[fixture men]\non = main\nkind = water closet, flush valve\n"            \
    "existing = old-wc\nretrofit = new-wc\nused by = men\ncount = %s\n"       \
    "[fixture own]\non = main\nkind = water closet, flush valve\n"            \
    "existing = old-wc\nretrofit = new-wc\ncount = 2\n"                       \
    "%s\n" BASELINE VALVE("new-wc", "1.28",                                   \
                          "reduced flush = 0.8 gal\nhygiene flush = 36 "      \
                          "h\n") "[usage]\npeople = %s\nuses per day = "      \
                                 "%s\ndays per year = "                       \
                                 "%s\nhours per day = %s h\nfalse "           \
                                 "flushes = %s\n"

#define VARIES 8

/* A figure somewhere in its range, written to four digits. */
static void
put_inside(const double range[2], bool whole, gsl_rng *random, char *text)
{
    const double at = gsl_rng_uniform(random) * 1.4 - 0.2;
    double value = range[0] + fmin(fmax(at, 0), 1) * (range[1] - range[0]);

    if (whole)
        value = round(value);
    snprintf(text, 16, "%.4g", fmin(fmax(value, range[0]), range[1]));
}

static void
assert_within(fc_range in, fc_range whole, const char *what, int building)
{
    ck_assert_int_eq(in.given, whole.given);
    if (in.given
        && (in.low < whole.low - 1e-9 * (1 + fabs(whole.low))
            || in.high > whole.high + 1e-9 * (1 + fabs(whole.high))))
        ck_abort_msg("building %d, %s: %.8g to %.8g, not in %.8g to %.8g",
                     building, what, in.low, in.high, whole.low, whole.high);
}

static void
assert_inside(const fc_effects *in, const fc_effects *whole, int building)
{
    for (int s = 0; s < FC_STATES; s++) {
        assert_within(in->water->volume[s], whole->water->volume[s], "water",
                      building);
        assert_within(in->water->hygiene[s], whole->water->hygiene[s],
                      "hygiene flushes", building);
        assert_within(in->renewal->pipes[0].states[s].turnovers,
                      whole->renewal->pipes[0].states[s].turnovers,
                      "turnovers", building);
    }
    assert_within(in->water->saved, whole->water->saved, "saved", building);
    assert_within(in->batteries[FC_RETROFIT]->sets,
                  whole->batteries[FC_RETROFIT]->sets, "sets", building);
}

/* 40 buildings, each with 4 points inside its ranges: what is told of a point
 * lies in what is told of the ranges. */
START_TEST(points_inside_the_ranges)
{
    gsl_rng *random = gsl_rng_alloc(gsl_rng_taus);

    for (int b = 0; b < 40; b++) {
        double ranges[VARIES][2];
        char texts[VARIES][40], text[4000];
        const bool own = b % 3 == 0;
        fc_effects *whole = NULL;

        gsl_rng_set(random, 100 + (unsigned long)b);
        for (int k = 0; k < VARIES; k++) {
            /* count, count, own uses, people, uses, days, hours, false */
            static const double lows[] = { 1, 1, 0, 5, 1, 100, 8, 0 };
            static const double wide[] = { 2, 2, 8, 20, 3, 200, 10, 2 };

            ranges[k][0] = lows[k] + floor(3 * gsl_rng_uniform(random));
            ranges[k][1] = ranges[k][0];
            if (gsl_rng_uniform(random) < 0.6)
                ranges[k][1] += round(wide[k] * gsl_rng_uniform(random));
        }
        for (int point = 0; point < 5; point++) {
            fc_effects *in;

            for (int k = 0; k < VARIES; k++)
                if (point == 0)
                    snprintf(texts[k], sizeof texts[k], "%g..%g", ranges[k][0],
                             ranges[k][1]);
                else
                    put_inside(ranges[k], k < 2, random, texts[k]);
            if (own) {
                char uses[40];

                snprintf(uses, sizeof uses, "uses per day = %s", texts[2]);
                snprintf(texts[2], sizeof texts[2], "%s", uses);
            } else
                texts[2][0] = 0;
            snprintf(text, sizeof text, VARIED, texts[0], texts[1], texts[2],
                     texts[3], texts[4], texts[5], texts[6], texts[7]);
            in = effects_of(text);
            if (whole) {
                assert_inside(in, whole, b);
                fc_effects_free(in);
            } else
                whole = in;
        }
        fc_effects_free(whole);
    }
    gsl_rng_free(random);
}
END_TEST

/* Customers on 364 days, and nobody else: 40 uses of 1.6 gal a day, whatever
 * the 100 days of [usage] are of; 8 valves. */
START_TEST(days_of_people_who_come_most)
{
    fc_effects *e =
        effects_of(SUPPLY CLOSET("wc", "count = 8\n") BASELINE VALVE(
            "new-wc", "1.28",
            "flushes per use = 1\nhygiene flush = 72 h\n") "[usage]\n"
                                                           "days per year = "
                                                           "100\n"
                                                           "[people "
                                                           "customers]\n"
                                                           "women = 40\n"
                                                           "uses per day = 1"
                                                           "\ndays per year "
                                                           "= 364\n");

    assert_gallons(e->water->volume[FC_EXISTING], 364 * 40 * 1.6,
                   364 * 40 * 1.6, 0.01);
    /* 5 uses a day of each: of three days without one there are hardly any */
    ck_assert_double_lt(e->water->hygiene[FC_RETROFIT].high, 8);
    fc_effects_free(e);
}
END_TEST

/* Sensor valves that may flush by themselves or not, before valves that do, on
 * no day of use: 8 of them, each 365 / 3 times or not at all.  What is saved
 * is at the most nothing. */
START_TEST(valves_that_may_flush_by_themselves)
{
    fc_effects *e = effects_of(
        SUPPLY CLOSET("wc", "count = 8\nuses per day = 0\n")
            VALVE("old-wc", "1.6", "sensor = yes\nflushes per use = 1\n")
                VALVE("new-wc", "1.6",
                      "flushes per use = 1\nhygiene flush = 72 "
                      "h\n") "[usage]\ndays per year = 200\n");
    const double all = 8 * 365 / 3.0 * 1.6;

    assert_gallons(e->water->volume[FC_EXISTING], 0, all, 0.01);
    assert_gallons(e->water->volume[FC_RETROFIT], all, all, 0.01);
    assert_gallons(e->water->saved, -all, 0, 0.01);
    fc_effects_free(e);
}
END_TEST

/* ---- Hygiene flushes ---------------------------------------------------- */

/* A valve that is used at random in the first `hours` of each day of use,
 * watched for so many years: it flushes each time that its clock has run out.
 */
static double
watched(const struct fci_calendar *calendar, double rate, double hours,
        double after, int years, unsigned *seed)
{
    double clock = 0, n = 0;

    for (int day = 0; day < years * 365; day++) {
        double now = 0;

        while (calendar->used[day % 365]) {
            *seed = *seed * 1664525u + 1013904223u;
            now -=
                log(((double)(*seed >> 8) + 0.5) / 16777216.0) / rate * hours;
            if (now > hours)
                break;
            while (clock + after <= day + now) {
                clock += after;
                n++;
            }
            clock = day + now;
        }
    }
    return n;
}

/* 100 years of each; the flushes scatter by no more than the root of their
 * number, as uses part them: 5 of these.  Where nobody comes for long the
 * chances beyond the 40th flush are those of the mean day, which is told
 * apart from the calendar by 0.2% at the most here. */
START_TEST(flushes_between_uses)
{
    static const fc_spell weekends[] = { { 52, 2 * FCI_DAY } };
    static const fc_spell school[] = { { 50, 2 * FCI_DAY },
                                       { 1, 70 * FCI_DAY } };
    static const struct {
        fc_usage usage;
        double days;
    } years[] = { { { .n_closed = 0 }, 365 },
                  { { .closed = weekends, .n_closed = 1 }, 261 },
                  { { .closed = school, .n_closed = 2 }, 195 } };
    static const double rates[] = { 0.05, 0.5, 3, 20 };
    static const double hours[] = { 1, 9 / 24.0 };
    static const double after[] = { 0.5, 1, 3, 7 };
    struct fci_calendar calendar;
    unsigned seed = 7;

    for (int y = 0; y < COUNT(years); y++) {
        fci_mark_days(&years[y].usage, years[y].days, 1, &calendar);
        ck_assert_uint_eq(calendar.n_used, (size_t)years[y].days);
        for (int r = 0; r < COUNT(rates); r++)
            for (int h = 0; h < COUNT(hours); h++)
                for (int a = 0; a < COUNT(after); a++) {
                    const double want = watched(&calendar, rates[r], hours[h],
                                                after[a], 100, &seed);
                    const double got = 100
                                       * fci_idle_flushes(&calendar, rates[r],
                                                          hours[h], after[a]);

                    assert_near(got, want,
                                5 * sqrt(fmax(want, 4)) + 0.002 * want);
                }
        assert_near(fci_idle_flushes(&calendar, 0, 1, 7), 365 / 7.0, 1e-9);
    }
}
END_TEST

/* An office of 260 days, 52 weekends and a holiday, its hours 8 to 10, its
 * valves used all day long: 12 h later each flushes once in a night of 14 to
 * 16 h (260 less 53 of them), 5 times in a weekend (48 h and a night make 62
 * to 64) and 3 times in a day off (38 to 40).  After 72 h never. */
START_TEST(flushes_of_an_office)
{
    static const fc_spell spells[] = { { 52, 2 * FCI_DAY }, { 1, FCI_DAY } };
    static const fc_usage usage = { .closed = spells, .n_closed = 2 };
    const fc_range hours = { true, 9 / 24.0, 8 / 24.0, 10 / 24.0 };
    fc_range bounds =
        fci_idle_bounds(&usage, fc_exactly(200), fc_exactly(260), hours, 0.5);

    assert_near(bounds.low, 207 + 52 * 5 + 3, 0.01);
    assert_near(bounds.high, 207 + 52 * 5 + 3, 0.01);
    bounds =
        fci_idle_bounds(&usage, fc_exactly(200), fc_exactly(260), hours, 3);
    assert_near(bounds.high, 0, 0.01);
}
END_TEST

/* 65 days of use and no spell told: the other 300 may be single days, of which
 * none holds 3 days, or 150 times 2, which with a night each do, the most;
 * whatever they are, no bound is passed. */
START_TEST(flushes_of_spells_not_told)
{
    static const fc_usage none = { .n_closed = 0 };
    const fc_range hours = { true, 12 / 24.0, 1 / 24.0, 1 };
    const fc_range bounds =
        fci_idle_bounds(&none, fc_exactly(200), fc_exactly(65), hours, 3);

    for (size_t spell = 1; spell <= 300; spell++) {
        struct fci_calendar calendar;
        double got;

        fci_mark_days(&none, 65, spell, &calendar);
        got = fci_idle_flushes(&calendar, 200, 0.5, 3);
        ck_assert_double_ge(got, bounds.low - 1e-9);
        ck_assert_double_le(got, bounds.high + 1e-9);
    }
    ck_assert_double_ge(bounds.high, 300 / 3.0);
}
END_TEST

/* ---- Batteries ---------------------------------------------------------- */

#define SENSORS                                                               \
    VALVE("new-wc", "1.28",                                                   \
          "sensor = yes\nflushes per use = 1\nhygiene flush = 90 d\n"         \
          "flushes per battery set = 50000\n")                                \
    VALVE("new-u", "0.5",                                                     \
          "sensor = yes\nflushes per use = 1\nhygiene flush = 90 d\n"         \
          "flushes per battery set = 50000\nbattery life = 2..3 years\n")

/* A closet at 20 uses a day on 365 days: 50,000 / 7,300 = 6.85 years.  A
 * urinal at 10 would last 13.7: its life is 2 to 3. */
START_TEST(sets_of_batteries)
{
    fc_effects *e =
        effects_of(SUPPLY CLOSET("wc", "count = 2\nuses per day = 20\n")
                       URINAL("u", "uses per day = 10\n") BASELINE SENSORS
                   "[usage]\ndays per year = 365\n"
                   "[price]\nbattery set = 20\nwater = 10\n");
    const fc_batteries *b = e->batteries[FC_RETROFIT];

    ck_assert_ptr_null(e->batteries[FC_EXISTING]);
    ck_assert_ptr_nonnull(b);
    ck_assert_uint_eq(b->n_fixtures, 2);
    assert_near(b->fixtures[0].years.low, 2, 0);
    assert_near(b->fixtures[0].years.high, 3, 0);
    assert_near(b->fixtures[1].years.nominal, 50000.0 / 7300, 1e-6);
    assert_near(b->sets.high, 2 * 7300 / 50000.0 + 0.5, 1e-6);
    assert_near(b->cost.high, 20 * b->sets.high, 0);
    /* after 7 years: both closets once; the urinal 2 or 3 times */
    assert_near(b->calendar[6].sets.low, 2 + 2, 0);
    assert_near(b->calendar[6].sets.high, 2 + 3, 0);
    /* 14,600 flushes of 1.6 gal and 3,650 of 1 gal at 10 for 1,000 gal */
    assert_near(e->water->cost[FC_EXISTING].nominal,
                (14600 * 1.6 + 3650) / 1000 * 10, 1e-6);
    fc_effects_free(e);
}
END_TEST

/* 100 to 200 women, 3 uses, 100 days, 1.6 gal: 48,000 to 96,000 gal at 10 for
 * 1,000; what the report is in changes no price. */
START_TEST(prices_of_a_range)
{
    fc_site *site = site_of(SUPPLY CLOSET("wc", "") BASELINE AFTER
                            "[usage]\nwomen = 100..200\n"
                            "days per year = 100\n[price]\nwater = 10\n");

    for (int units = 0; units < 2; units++) {
        fc_effects *e = NULL;
        const fc_range *cost;

        fc_site_set_units(site, units ? FC_SI : FC_US);
        ck_assert_int_eq(fc_effects_find(site, &e, NULL), FC_OK);
        cost = &e->water->cost[FC_EXISTING];
        assert_near(cost->low, 480, 1e-6);
        assert_near(cost->nominal, 720, 1e-6);
        assert_near(cost->high, 960, 1e-6);
        assert_near(e->water->cost_saved.low, 96, 1e-6);
        assert_near(e->water->cost_saved.high, 192, 1e-6);
        fc_effects_free(e);
    }
    fc_site_free(site);
}
END_TEST

START_TEST(wired_valves_have_none)
{
    fc_effects *e = effects_of(
        SUPPLY CLOSET("wc", "uses per day = 20\n") VALVE("old-wc", "1.6", "")
            VALVE("new-wc", "1.28", "power = wired\n"));

    ck_assert_ptr_null(e->batteries[FC_RETROFIT]);
    fc_effects_free(e);
}
END_TEST

/* 4,000 flushes a month empty a set of 48,000 in a year. */
START_TEST(a_set_a_year)
{
    fc_effects *e = effects_of(
        SUPPLY CLOSET("wc", "uses per day = 131.506849315\n")
            VALVE("old-wc", "1.6", "")
                VALVE("new-wc", "1.28",
                      "flushes per use = 1\nhygiene flush = 90 d\n"
                      "flushes per battery set = 48000\n") "[usage]\ndays per "
                                                           "year = 365\n");

    assert_near(e->batteries[FC_RETROFIT]->fixtures[0].years.nominal, 1, 1e-6);
    fc_effects_free(e);
}
END_TEST

/* ---- What its data mean ------------------------------------------------- */

/* 60 psi and no pipe: a closet that asks for 70 is short, whatever is done to
 * its button. */
START_TEST(a_button_that_is_held)
{
    fc_site *site = site_of(SUPPLY CLOSET("wc", "") VALVE(
        "old-wc", "1.6",
        "") "[valve new-wc]\nflow = 25 gpm at 25 psi\n"
            "minimum flowing = 70 psi\nfull flush = 1.6 gal\n"
            "reduced flush = 1.1 gal\nheld = one flush\nsensor delay = 3 s\n"
            "short stay = 8 s\nlong stay = 60 s\n");
    fc_effects *effects = NULL;
    fc_check_result *check = NULL;
    const fc_finding *f;

    ck_assert_int_eq(fc_effects_find(site, &effects, NULL), FC_OK);
    ck_assert_int_eq(fc_check(site, &check, NULL), FC_OK);
    f = finding_of(effects->findings, effects->n_findings, "held", "new-wc");
    ck_assert_ptr_nonnull(f);
    ck_assert_str_eq(
        f->text,
        "flushes 3.0 s after leaving; a stay under 8.0 s flushes nothing; one "
        "of 60.0 s or more takes 1.6 gal, a shorter one 1.1 gal; its button "
        "gives one flush, however long it is held: holding it does not make "
        "up for low pressure");
    ck_assert_ptr_nonnull(
        finding_of(check->findings, check->n_findings, "held", "wc"));
    fc_effects_free(effects);
    fc_check_result_free(check);
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("water use");
    TCase *published = tcase_create("published");
    TCase *sums = tcase_create("sums");

    tcase_add_test(published, the_worksheet);
    tcase_add_test(published, a_man_and_a_woman);
    tcase_add_test(published, staff_and_customers);
    tcase_add_test(published, men_without_urinals);
    tcase_add_test(sums, long_stays);
    tcase_add_test(sums, one_cause_in_both_states);
    tcase_add_test(sums, people_of_either_sex);
    tcase_add_test(sums, uses_of_one_fixture);
    tcase_add_sampled_test(sums, inside_of_the_ranges, 200);
    tcase_add_test(sums, twice_the_days);
    tcase_add_test(sums, nobody_is_told_of);
    tcase_add_test(sums, nobody_serves_them);
    tcase_add_test(sums, a_number_that_is_a_range);
    tcase_add_test(sums, a_volume_that_is_not_known);
    tcase_add_test(sums, hygiene_of_any_use);
    tcase_add_test(sums, flushes_between_uses);
    tcase_add_test(sums, points_inside_the_ranges);
    tcase_add_test(sums, days_of_people_who_come_most);
    tcase_add_test(sums, valves_that_may_flush_by_themselves);
    tcase_add_test(sums, flushes_of_an_office);
    tcase_add_test(sums, flushes_of_spells_not_told);
    tcase_add_test(sums, sets_of_batteries);
    tcase_add_test(sums, prices_of_a_range);
    tcase_add_test(sums, wired_valves_have_none);
    tcase_add_test(sums, a_set_a_year);
    tcase_add_test(sums, a_button_that_is_held);
    suite_add_tcase(suite, published);
    suite_add_tcase(suite, sums);
    return run_suite(suite);
}
