/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_surge.c -- surges of whole buildings, against waves by the
 * method of characteristics, and arresters. */
#include "unit/suite.h"
#include "unit/us_units.h"
#include "flushcalc.h"
#include "generators/surge_waves.h"
#include "laws/water.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define PI 3.14159265358979323846
#define T60F ((60.0 - 32) / 1.8)

static fc_site *site;
static fc_effects *effects;

static void
forget(void)
{
    fc_effects_free(effects);
    fc_site_free(site);
    effects = NULL;
    site = NULL;
}

static const fc_surges *
surges_of(const char *text)
{
    fc_diagnostics *messages = fc_diagnostics_new();

    forget();
    ck_assert_ptr_nonnull(messages);
    if (fc_site_read_text(text, strlen(text), "surge.ini", &site, messages)
            != FC_OK
        || fc_effects_find(site, &effects, messages) != FC_OK)
        ck_abort_msg("%s", fc_diagnostics_at(messages, 0).text);
    fc_diagnostics_free(messages);
    ck_assert_ptr_nonnull(effects->surge);
    return effects->surge;
}

static const fc_surge *
surge_of(const char *text, const char *fixture, fc_state state)
{
    const fc_surges *all = surges_of(text);

    for (size_t i = 0; i < all->n_fixtures; i++)
        if (strcmp(all->fixtures[i].name, fixture) == 0)
            return &all->fixtures[i].states[state];
    ck_abort_msg("no %s", fixture);
    return NULL;
}

static const fc_finding *
finding(fc_finding_code code)
{
    for (size_t i = 0; i < effects->n_findings; i++)
        if (effects->findings[i].code == code)
            return &effects->findings[i];
    return NULL;
}

static fc_verdict
verdict(fc_state state)
{
    for (size_t i = 0; i < effects->n_verdicts; i++)
        if (effects->verdicts[i].area == FC_SURGE_EFFECT)
            return effects->verdicts[i].verdicts[state];
    ck_abort_msg("surge is not judged");
    return FC_CANNOT_TELL;
}

#define SOURCE "[source main]\nkind = fixed\npressure = 60 psi\n"
#define VALVE "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = 1.6 gal\n"
#define WC(name, on)                                                          \
    "[fixture " name "]\non = " on                                            \
    "\nkind = water closet, flush valve\nexisting = v\n"
#define PIPE(name, from, material, size, length)                              \
    "[pipe " name "]\nfrom = " from "\nmaterial = " material "\nsize = " size \
    "\nlength = " length "\nfittings = none\ncondition = new\n"
#define ONE_PIPE                                                              \
    SOURCE PIPE("p", "main", "copper L", "1 in", "100 ft") WC("wc", "p") VALVE

/* ---- Waves by hand -------------------------------------------------------
 */

/* Copper type L: E 117 GPa and restraint 1 - 0.34^2, anchored throughout,
 * where a wave is fastest; bore and wall as ASTM B88 prints them. */
static double
copper_speed(double outside, double wall)
{
    const double sound = fci_water_sound(T60F);
    const double bulk = fci_water_density(T60F) * sound * sound;

    return sound
           / sqrt(1
                  + (1 - 0.34 * 0.34) * bulk * (outside - 2 * wall)
                        / (117e9 * wall));
}

static double
admittance(double outside, double wall)
{
    const double bore = (outside - 2 * wall) * INCH;

    return PI / 4 * bore * bore
           / (fci_water_density(T60F) * copper_speed(outside, wall));
}

/* The highest rise before the valve of that pipe, of 100 ft in 40 steps. */
static double
one_pipe_peak(double still, double flow, double closing)
{
    const double a = copper_speed(1.125, 0.050);
    const struct wave_pipe pipe = { 40, admittance(1.125, 0.050), -1, 0, 0 };
    const double step = 100 * FOOT / a / pipe.steps;
    double peak;

    wave_peaks(&pipe, 1, 0, still, flow, closing / step,
               (int)(closing / step) + 4000, &peak);
    return peak;
}

static const char *const closings[] = { "0 s",   "0.01 s", "0.04 s", "0.06 s",
                                        "0.1 s", "0.3 s",  "1 s",    "3 s" };
#define CLOSINGS ((int)(sizeof closings / sizeof *closings))

/* Shut at once it is what the waves give to 1e-6, which is Joukowsky's; slower
 * it is never below that, nor the low end above it. */
START_TEST(one_pipe)
{
    char text[2000];
    const fc_surge *s;
    double peak;

    snprintf(text, sizeof text, "%sclosing time = %s\n", ONE_PIPE,
             closings[_i]);
    s = surge_of(text, "wc", FC_EXISTING);
    ck_assert(s->surge.given);
    ck_assert(s->bound);
    /* the valve would pass more at the static pressure than it does */
    peak = one_pipe_peak(60 * PSI, s->flow.high, strtod(closings[_i], NULL));
    ck_assert_double_ge(s->surge.high, peak * (1 - 1e-6));
    ck_assert_double_le(s->surge.low, peak);
    if (_i < 3) {
        ck_assert_double_le(s->surge.high, peak * (1 + 1e-6));
        ck_assert_int_eq(s->rapid, FC_YES);
    }
    ck_assert_int_eq(s->rapid, _i < 3 ? FC_YES : _i > 3 ? FC_NO : s->rapid);
    ck_assert_double_eq_tol(s->wave_speed.high, copper_speed(1.125, 0.050),
                            1e-6 * s->wave_speed.high);
    ck_assert_double_eq_tol(s->return_time.low,
                            200 * FOOT / copper_speed(1.125, 0.050), 1e-9);
    ck_assert_double_eq_tol(
        s->velocity.high,
        s->flow.high / (PI / 4 * 1.025 * 1.025 * INCH * INCH), 1e-9);
}
END_TEST

/* 2 in main of 60 ft, from its end two branches of 1 in, 30 ft to the valve
 * that closes and 20 ft to one that stays shut. */
#define TEE                                                                   \
    SOURCE PIPE("m", "main", "copper L", "2 in", "60 ft")                     \
        PIPE("a", "m", "copper L", "1 in", "30 ft")                           \
            PIPE("b", "m", "copper L", "1 in", "20 ft") WC("wc-a", "a")       \
                WC("wc-b", "b") VALVE

START_TEST(tee)
{
    const double a1 = copper_speed(1.125, 0.050);
    const double a2 = copper_speed(2.125, 0.070);
    const double step = 10 * FOOT / a1 / 8;
    const struct wave_pipe pipes[] = {
        { (int)lround(60 * FOOT / a2 / step), admittance(2.125, 0.070), -1, 0,
          0 },
        { 16, admittance(1.125, 0.050), 0, 0, 0 },
        { 24, admittance(1.125, 0.050), 0, 0, 0 },
    };
    const double closing = strtod(closings[_i], NULL);
    char text[2000];
    double peaks[3];
    const fc_surge *s;

    snprintf(text, sizeof text, "%sclosing time = %s\n", TEE, closings[_i]);
    s = surge_of(text, "wc-a", FC_EXISTING);
    wave_peaks(pipes, 3, 2, 60 * PSI, s->flow.high, closing / step,
               (int)(closing / step) + 4000, peaks);
    ck_assert_msg(peaks[2] <= s->surge.high, "%s: %g > %g", closings[_i],
                  peaks[2], s->surge.high);
    ck_assert_double_le(s->surge.low, peaks[2]);
    /* Joukowsky's rise is exceeded where it is shut at once: no bound */
    ck_assert_int_eq(s->bound, closing >= 0.06);
}
END_TEST

/* ---- Properties ----------------------------------------------------------
 */

START_TEST(shorter_is_no_less)
{
    double before = INFINITY;
    char text[2000];

    for (int i = 0; i < CLOSINGS; i++) {
        const fc_surge *s;

        snprintf(text, sizeof text, "%sclosing time = %s\n",
                 _i ? TEE : ONE_PIPE, closings[i]);
        s = surge_of(text, _i ? "wc-a" : "wc", FC_EXISTING);
        ck_assert_double_le(s->surge.high, before);
        before = s->surge.high;
    }
}
END_TEST

START_TEST(more_flow_is_no_less)
{
    static const char *const flows[] = { "5", "10", "20", "30", "40" };
    static const char *const times[] = { "0.02", "0.2", "2" };
    double before = 0;
    char text[2000];

    for (size_t i = 0; i < sizeof flows / sizeof *flows; i++) {
        const fc_surge *s;

        snprintf(text, sizeof text,
                 SOURCE PIPE("p", "main", "copper L", "1 in", "100 ft")
                     WC("wc", "p") "[valve v]\nflow = %s gpm at 25 "
                                   "psi\nclosing time = %s s\n",
                 flows[i], times[_i]);
        s = surge_of(text, "wc", FC_EXISTING);
        ck_assert_double_ge(s->surge.high, before);
        before = s->surge.high;
    }
}
END_TEST

/* One bore, ever stiffer: PEX, CPVC, copper, and what is not known, which is
 * rigid and told as that. */
START_TEST(stiffer_is_no_less)
{
    static const char *const pipes[] = {
        "material = pex sdr 9\nsize = 1 in\n",
        "material = cpvc sdr 11\nsize = 1 in\n",
        "material = copper L\nsize = 1 in\n",
        "",
    };
    double before = 0;
    char text[2000];

    for (size_t i = 0; i < sizeof pipes / sizeof *pipes; i++) {
        const fc_surge *s;

        snprintf(text, sizeof text,
                 SOURCE "[pipe p]\nfrom = main\n%sinside diameter = 1 in\n"
                        "c = 140\nlength = 100 ft\n%s" WC("wc", "p") VALVE
                 "closing time = 0.02 s\n",
                 pipes[i], i < 3 ? "fittings = none\n" : "");
        s = surge_of(text, "wc", FC_EXISTING);
        ck_assert_double_gt(s->surge.high, before);
        before = s->surge.high;
        if (i == 3)
            ck_assert_double_eq_tol(s->wave_speed.high, fci_water_sound(T60F),
                                    1e-9);
    }
}
END_TEST

/* A wider range is never surer, and the ends are those of its ends. */
START_TEST(range_of_times)
{
    const fc_range wide =
        surge_of(ONE_PIPE "closing time = 0.2..2 s\n", "wc", FC_EXISTING)
            ->surge;
    const fc_range quick =
        surge_of(ONE_PIPE "closing time = 0.2 s\n", "wc", FC_EXISTING)->surge;
    const fc_range slow =
        surge_of(ONE_PIPE "closing time = 2 s\n", "wc", FC_EXISTING)->surge;

    ck_assert_double_eq(wide.high, quick.high);
    ck_assert_double_eq(wide.low, slow.low);
}
END_TEST

/* ---- Ratings -------------------------------------------------------------
 */

#define RATED(rating, closing)                                                \
    SOURCE PIPE("p", "main", "copper L", "1 in", "100 ft")                    \
        rating WC("wc", "p") VALVE closing

/* Firm only where both are given, or the static pressure alone is above a
 * rating; what is usual is never a failure. */
START_TEST(within_ratings)
{
    static const struct {
        const char *text;
        fc_verdict within;
    } rows[] = {
        { RATED("pressure rating = 150 psi\n", "closing time = 2 s\n"),
          FC_WORKS },
        { RATED("", "closing time = 2 s\n"), FC_WORKS },
        { RATED("pressure rating = 150 psi\n", "closing time = 0.02 s\n"),
          FC_WILL_NOT_WORK },
        { RATED("pressure rating = 61 psi\n", ""), FC_CANNOT_TELL },
        { RATED("", "closing time = 0.02 s\n"), FC_CANNOT_TELL },
        { RATED("pressure rating = 150 psi\n", "closing time = 0.02..2 s\n"),
          FC_CANNOT_TELL },
        { RATED("pressure rating = 59 psi\n", "closing time = 9 s\n"),
          FC_WILL_NOT_WORK },
        { RATED("pressure rating = 59 psi\n", ""), FC_WILL_NOT_WORK },
    };
    const fc_surge *s = surge_of(rows[_i].text, "wc", FC_EXISTING);

    ck_assert_int_eq(s->within, rows[_i].within);
    ck_assert_int_eq(verdict(FC_EXISTING), rows[_i].within);
    ck_assert_str_eq(s->at, "p");
    ck_assert_int_eq(finding(FC_FOUND_SURGE)->severity,
                     rows[_i].within == FC_WORKS         ? FC_NOTE
                     : rows[_i].within == FC_CANNOT_TELL ? FC_WARN
                                                         : FC_FAIL);
}
END_TEST
#define RATINGS 8

/* Closing so slowly brings the peak just to the rating, half of that beyond
 * it; none does where the static pressure is above it. */
START_TEST(shortest_closing)
{
    char text[2000];
    const fc_surge *s =
        surge_of(RATED("pressure rating = 125 psi\n", ""), "wc", FC_EXISTING);
    double time;

    ck_assert(s->least_closing.given);
    time = s->least_closing.nominal;
    snprintf(text, sizeof text,
             RATED("pressure rating = 125 psi\n", "closing time = %.12f s\n"),
             time);
    s = surge_of(text, "wc", FC_EXISTING);
    ck_assert_double_eq_tol(s->peak.high, 125 * PSI, 1);
    ck_assert_double_eq_tol(s->least_closing.nominal, time, 1e-9);
    snprintf(text, sizeof text,
             RATED("pressure rating = 125 psi\n", "closing time = %.12f s\n"),
             time / 2);
    s = surge_of(text, "wc", FC_EXISTING);
    ck_assert_double_gt(s->peak.high, 126 * PSI);
    s = surge_of(RATED("pressure rating = 59 psi\n", ""), "wc", FC_EXISTING);
    ck_assert(!s->least_closing.given);
    /* where pipes part no time is too short for nothing: what waves may do
     * is not known */
    s = surge_of(TEE "closing time = 0.01 s\n", "wc-a", FC_EXISTING);
    ck_assert(!s->bound);
    ck_assert_double_gt(s->least_closing.nominal, 0.01);
    snprintf(text, sizeof text, TEE "closing time = %.12f s\n",
             s->least_closing.nominal);
    s = surge_of(text, "wc-a", FC_EXISTING);
    ck_assert_double_eq_tol(s->peak.high, 125 * PSI, 1);
    ck_assert_int_eq(s->bound, 1);
    s = surge_of(RATED("pressure rating = 3000 psi\n", ""), "wc", FC_EXISTING);
    ck_assert_double_eq(s->least_closing.nominal, 0);
}
END_TEST

static const fc_effect *
row_of(const char *what)
{
    for (size_t i = 0; i < effects->n_summary; i++)
        if (strcmp(effects->summary[i].what, what) == 0)
            return &effects->summary[i];
    ck_abort_msg("no row %s", what);
    return NULL;
}

/* The rows have the extremes of all valves, wherever each is. */
START_TEST(rows_have_the_extremes)
{
    const fc_surges *all = surges_of(TEE "closing time = 0.5 s\n");
    double surge = 0, peak = 0, closing = 0;

    for (size_t i = 0; i < all->n_fixtures; i++) {
        const fc_surge *s = &all->fixtures[i].states[FC_EXISTING];

        ck_assert_double_ge(s->highest.high, s->surge.high);
        surge = fmax(surge, s->highest.high);
        peak = fmax(peak, s->peak.high);
        closing = fmax(closing, s->least_closing.nominal);
    }
    ck_assert_double_gt(surge, 0);
    ck_assert_double_eq(row_of("surge up to, psi")->values[FC_EXISTING].high,
                        surge);
    ck_assert_double_eq(
        row_of("static + surge up to, psi")->values[FC_EXISTING].high, peak);
    ck_assert_double_eq(
        row_of("closing time needed, s")->values[FC_EXISTING].high, closing);
    ck_assert_ptr_nonnull(effects->verdicts[0].why);
    surges_of(RATED("pressure rating = 59 psi\n", ""));
    ck_assert_str_eq(row_of("closing time needed, s")->said[FC_EXISTING],
                     "none is enough");
    ck_assert(!row_of("closing time needed, s")->values[FC_EXISTING].given);
}
END_TEST

/* A quicker retrofit valve fails in its state alone. */
START_TEST(both_states)
{
    const fc_surges *all = surges_of(SOURCE PIPE(
        "p", "main", "copper L", "1 in",
        "100 ft") "pressure rating = 150 psi\n" WC("wc",
                                                   "p") "retrofit = "
                                                        "quick\n" VALVE
                                                        "closing time = 3 "
                                                        "s\n[valve "
                                                        "quick]\nflow = 25 "
                                                        "gpm at 25 psi\n"
                                                        "closing time = "
                                                        "20..30 s\n");

    ck_assert_int_eq(all->fixtures[0].states[FC_RETROFIT].within, FC_WORKS);
    all = surges_of(SOURCE PIPE(
        "p", "main", "copper L", "1 in",
        "100 ft") "pressure rating = 150 psi\n" WC("wc",
                                                   "p") "retrofit = "
                                                        "quick\n" VALVE
                                                        "closing time = 3 "
                                                        "s\n[valve "
                                                        "quick]\nflow = 25 "
                                                        "gpm at 25 psi\n"
                                                        "closing time = 0.02 "
                                                        "s\n");
    ck_assert_int_eq(all->fixtures[0].states[FC_EXISTING].within, FC_WORKS);
    ck_assert_int_eq(all->fixtures[0].states[FC_RETROFIT].within,
                     FC_WILL_NOT_WORK);
    ck_assert_int_eq(verdict(FC_EXISTING), FC_WORKS);
    ck_assert_int_eq(verdict(FC_RETROFIT), FC_WILL_NOT_WORK);
    ck_assert_int_eq(effects->enough, FC_WILL_NOT_WORK);
}
END_TEST

/* A check takes up what is firm, beside its verdict on the flush, in the state
 * that it is of, and nothing else; the path to the fixture agrees. */
static const struct {
    const char *text;
    fc_verdict too_high[FC_STATES];
} checks[] = {
    { RATED("pressure rating = 150 psi\n", "closing time = 0.02 s\n"),
      { FC_WILL_NOT_WORK, FC_WORKS } },
    { RATED("pressure rating = 150 psi\n", "closing time = 0.02..2 s\n"),
      { FC_WORKS, FC_WORKS } },
    { RATED("pressure rating = 150 psi\n", ""), { FC_WORKS, FC_WORKS } },
    { RATED("", "closing time = 0.02 s\n"), { FC_WORKS, FC_WORKS } },
    { SOURCE PIPE(
          "p", "main", "copper L", "1 in",
          "100 ft") "pressure rating = 150 psi\n" WC("wc",
                                                     "p") "retrofit = "
                                                          "quick\n" VALVE
                                                          "closing time = 3 "
                                                          "s\n[valve "
                                                          "quick]\nflow = 25 "
                                                          "gpm at 25 psi\n"
                                                          "full flush = 1.6 "
                                                          "gal\nclosing time "
                                                          "= 0.02 s\n",
      { FC_WORKS, FC_WILL_NOT_WORK } },
};

START_TEST(check_takes_it_up)
{
    const fc_checked_fixture *f;
    fc_check_result *result = NULL;
    fc_path *path = NULL;

    surges_of(checks[_i].text);
    ck_assert_int_eq(fc_check(site, &result, NULL), FC_OK);
    f = &result->fixtures[0];
    for (int s = 0; s < (result->converted ? FC_STATES : 1); s++) {
        const fc_excess *excess = f->states[s].excess;

        ck_assert_int_eq(f->states[s].too_high, checks[_i].too_high[s]);
        ck_assert_int_eq(result->states[s].too_high, checks[_i].too_high[s]);
        ck_assert_int_eq(f->states[s].works, f->states[0].works);
        if (!excess)
            continue;
        ck_assert_str_eq(excess->surge_at, "p");
        ck_assert_double_eq_tol(excess->maximum, 150 * PSI, 1e-6);
        ck_assert_double_eq(excess->pressure.low,
                            effects->surge->fixtures[0].states[s].peak.low);
    }
    ck_assert_int_eq(result->too_high,
                     checks[_i].too_high[result->converted ? 1 : 0]);
    ck_assert_int_eq(
        fc_path_find(site, "wc", result->converted ? FC_RETROFIT : FC_EXISTING,
                     &path, NULL),
        FC_OK);
    fc_path_free(path);
    fc_check_result_free(result);
}
END_TEST

/* A fixture lower down on the way has more static pressure: its pipe decides.
 * 0.4331 psi a foot (Kell 1975, 60 degF). */
START_TEST(lower_pipe_decides)
{
    const fc_surge *s = surge_of(
        SOURCE PIPE(
            "low", "main", "copper L", "1 in",
            "50 ft") "rise = -40 ft\n" PIPE("up", "low", "copper L", "1 in",
                                            "60 ft") "rise = 40 ft\n" WC("wc",
                                                                         "up")
            VALVE "closing time = 5 s\n",
        "wc", FC_EXISTING);

    ck_assert_double_eq_tol(s->static_pressure.nominal,
                            (60 + 40 * 0.4331) * PSI, 0.01 * PSI);
    /* 110 ft of one bore: at the end of the first 50 ft the root of 50/110 of
     * what it is before the valve */
    ck_assert_double_eq_tol(s->surge.high / s->highest.high, sqrt(50 / 110.0),
                            1e-6);
}
END_TEST

START_TEST(not_known)
{
    const fc_surges *all =
        surges_of(SOURCE PIPE("p", "main", "copper L", "1 in", "100 ft")
                      WC("wc", "p") "[valve v]\nfull flush = 1.6 gal\n");

    ck_assert(!all->fixtures[0].states[FC_EXISTING].surge.given);
    ck_assert_int_eq(verdict(FC_EXISTING), FC_CANNOT_TELL);
    all = surges_of(SOURCE PIPE("p", "main", "copper L", "2 in", "40 ft")
                        PIPE("q", "main", "copper L", "2 in",
                             "60 ft") "to = p\n" WC("wc", "p") VALVE);
    ck_assert(!all->fixtures[0].states[FC_EXISTING].surge.given);
    ck_assert_int_eq(verdict(FC_EXISTING), FC_CANNOT_TELL);
    ck_assert_ptr_nonnull(strstr(finding(FC_FOUND_SURGE)->text,
                                 "water may come by several ways"));
}
END_TEST

/* ---- Arresters -----------------------------------------------------------
 */

/* PDI-WH201: A 1-11 fixture units, B 12-32, C 33-60, D 61-113, E 114-154, F
 * 155-330 (read on a public page); from memory: the next larger above 65 psi,
 * two on a branch over 20 ft.  A closet with flush valve has 10 units, a
 * private lavatory 0.5 cold and 0.7 in all (IPC Appendix E). */
static const struct {
    int closets, pressure, feet, number;
    fc_arrester size;
} branches[] = {
    { 1, 60, 20, 1, FC_ARRESTER_A },  { 2, 60, 20, 1, FC_ARRESTER_B },
    { 3, 60, 20, 1, FC_ARRESTER_B },  { 4, 60, 20, 1, FC_ARRESTER_C },
    { 6, 60, 20, 1, FC_ARRESTER_C },  { 7, 60, 20, 1, FC_ARRESTER_D },
    { 11, 60, 20, 1, FC_ARRESTER_D }, { 12, 60, 20, 1, FC_ARRESTER_E },
    { 15, 60, 20, 1, FC_ARRESTER_E }, { 16, 60, 20, 1, FC_ARRESTER_F },
    { 33, 60, 20, 1, FC_ARRESTER_F }, { 34, 60, 20, 2, FC_ARRESTER_F },
    { 1, 65, 20, 1, FC_ARRESTER_A },  { 1, 66, 20, 1, FC_ARRESTER_B },
    { 3, 66, 20, 1, FC_ARRESTER_C },  { 15, 66, 20, 1, FC_ARRESTER_F },
    { 16, 66, 20, 2, FC_ARRESTER_E }, { 2, 60, 21, 2, FC_ARRESTER_A },
    { 4, 60, 21, 2, FC_ARRESTER_B },  { 12, 60, 21, 2, FC_ARRESTER_C },
    { 12, 66, 21, 2, FC_ARRESTER_D },
};

START_TEST(arrester_row)
{
    char text[2000];
    const fc_surge_branch *b;

    snprintf(text, sizeof text,
             "[source main]\nkind = fixed\npressure = %d psi\n"
             "[meter m]\nfrom = main\nloss = 5 psi\n[pipe branch]\n"
             "from = m\nmaterial = copper L\nsize = 2 in\nlength = %d ft\n" WC(
                 "wc", "branch") "count = %d\n" VALVE,
             branches[_i].pressure, branches[_i].feet, branches[_i].closets);
    ck_assert_uint_eq(surges_of(text)->n_branches, 1);
    b = &effects->surge->branches[0];
    ck_assert_double_eq_tol(b->states[0].units, 10.0 * branches[_i].closets,
                            1e-9);
    ck_assert_int_eq(b->states[0].number, branches[_i].number);
    ck_assert_str_eq(fc_arrester_word(b->states[0].size),
                     fc_arrester_word(branches[_i].size));
}
END_TEST

/* A riser with a branch a floor; drops to single outlets are part of their
 * branch, and a lavatory counts. */
#define RISER                                                                 \
    SOURCE PIPE("riser-1", "main", "copper L", "2 in",                        \
                "12 ft") "rise = 12 ft\n" PIPE("b1", "riser-1", "copper L",   \
                                               "2 in", "8 ft")
#define FLOORS RISER PIPE("b2", "b1", "copper L", "1-1/2 in", "6 ft")
#define ONE_MORE                                                              \
    RISER "arrester = B\n" PIPE("b2", "b1", "copper L", "1-1/2 in", "6 ft")
#define DROPS                                                                 \
    PIPE("drop", "b2", "copper L", "1 in", "2 ft")                            \
    "rise = -2 ft\n" WC("wc-1", "b1") WC("wc-2", "b2")                        \
        WC("wc-3", "drop") "[fixture lav]\non = b2\nkind = lavatory\n" PIPE(  \
            "riser-2", "riser-1", "copper L", "2 in",                         \
            "12 ft") "rise = 12 ft\n" WC("top",                               \
                                         "riser-2") "count = 2\n" VALVE

START_TEST(branches_of_a_riser)
{
    const fc_surges *all = surges_of(FLOORS DROPS);
    const fc_surge_branch *b = all->branches;

    ck_assert_uint_eq(all->n_branches, 2);
    ck_assert_str_eq(b[0].name, "b1");
    ck_assert_str_eq(b[0].last, "wc-3");
    ck_assert_double_eq_tol(b[0].length.nominal, 16 * FOOT, 1e-9);
    /* IPC Appendix E: a public lavatory has 1.5 cold units */
    ck_assert_double_eq_tol(b[0].states[0].units, 31.5, 1e-9);
    ck_assert_str_eq(b[1].name, "riser-2");
    ck_assert_double_eq_tol(b[1].states[0].units, 20, 1e-9);
    ck_assert_double_eq(b[1].length.nominal, 0);
}
END_TEST

/* What stands there and is enough keeps the peak to 150 psi (ASSE 1010, from
 * memory) within 20 ft: from b2, of 6 ft, not at the end of riser-2, 8 and
 * 12 ft from there; from b1 it does.  One that is too small is told, and does
 * nothing that is known. */
START_TEST(arresters_that_stand)
{
    const fc_surge *s =
        surge_of(FLOORS "arrester = B\n" DROPS "closing time = 0.02 s\n",
                 "wc-3", FC_EXISTING);

    ck_assert(!s->arrester);
    ck_assert_str_eq(s->at, "riser-2");
    ck_assert_double_gt(s->peak.high, 151 * PSI);
    ck_assert_int_eq(s->within, FC_CANNOT_TELL);
    ck_assert_int_eq(effects->surge->branches[0].states[0].enough, FC_WORKS);
    ck_assert_ptr_null(finding(FC_FOUND_ARRESTER));
    s = surge_of(ONE_MORE "arrester = B\n" DROPS "closing time = 0.02 s\n",
                 "wc-3", FC_EXISTING);
    ck_assert(s->arrester);
    ck_assert_double_eq_tol(s->peak.high, 150 * PSI, 1);
    s = surge_of(FLOORS "arrester = A\n" DROPS "closing time = 0.02 s\n",
                 "wc-3", FC_EXISTING);
    ck_assert(!s->arrester);
    ck_assert_double_gt(s->peak.high, 300 * PSI);
    ck_assert_int_eq(effects->surge->branches[0].states[0].enough,
                     FC_WILL_NOT_WORK);
    ck_assert_str_eq(finding(FC_FOUND_ARRESTER)->about, "arrester");
    ck_assert_str_eq(finding(FC_FOUND_ARRESTER)->subject, "b1");
    ck_assert_str_eq(finding(FC_FOUND_ARRESTER)->text,
                     "1 arrester on it, enough for 11.0 fixture units; "
                     "PDI-WH201 asks for one of size B for its 31.5 units, "
                     "near its end, by wc-3");
    ck_assert(effects->surge->branches[0].states[0].needed);
}
END_TEST

/* PDI-WH201 sizes arresters for static pressure up to 85 psi (from memory):
 * above that one is told, and neither keeps the peak to 150 psi nor leaves it
 * sure that a rating is exceeded, but by static alone. */
START_TEST(arrester_of_too_much)
{
    static const struct {
        int still, rating;
        fc_verdict within;
        bool known;
    } rows[] = {
        { 84, 151, FC_WORKS, true },
        { 86, 151, FC_CANNOT_TELL, false },
        { 160, 170, FC_CANNOT_TELL, false },
        { 160, 5000, FC_WORKS, false },
        { 160, 159, FC_WILL_NOT_WORK, false },
    };
    char text[2000];
    const fc_surge *s;
    fc_check_result *result = NULL;

    snprintf(text, sizeof text,
             "[site]\nmaximum static = 250 psi\n[source main]\nkind = fixed\n"
             "pressure = %d psi\n" PIPE("a", "main", "copper L", "2 in",
                                        "15 ft") "arrester = C\n"
                                                 "pressure rating = %d "
                                                 "psi\n" WC("wc", "a") VALVE
             "closing time = 0.01 s\n",
             rows[_i].still, rows[_i].rating);
    s = surge_of(text, "wc", FC_EXISTING);
    ck_assert_int_eq(s->within, rows[_i].within);
    ck_assert_int_eq(s->arrester, rows[_i].known);
    ck_assert_int_eq(finding(FC_FOUND_ARRESTER) == NULL, rows[_i].known);
    if (!rows[_i].known) {
        ck_assert_double_gt(s->surge.high, 10 * PSI);
        ck_assert_ptr_nonnull(strstr(finding(FC_FOUND_ARRESTER)->text,
                                     "PDI-WH201 sizes none for more than "
                                     "85.0 psi"));
    }
    ck_assert_int_eq(fc_check(site, &result, NULL), FC_OK);
    if (rows[_i].within == FC_WILL_NOT_WORK) {
        const fc_excess *excess = result->fixtures[0].states[0].excess;

        ck_assert(excess->static_alone);
        ck_assert_double_eq_tol(excess->pressure.high, 160 * PSI, 1);
    }
    fc_check_result_free(result);
}
END_TEST

/* An arrester does nothing for what is over 20 ft of pipe from it, wherever on
 * its pipe it stands: from the far end of 1 ft and 19 ft more, and one inch
 * more.  Static 60 psi, so that one that is near leaves 90. */
START_TEST(arrester_is_near)
{
    static const struct {
        const char *length;
        bool near;
    } rows[] = { { "19 ft", true }, { "229 in", false }, { "200 ft", false } };
    char text[2000];
    const fc_surge *s;

    snprintf(text, sizeof text,
             SOURCE PIPE("a1", "main", "copper L", "1 in",
                         "1 ft") "arrester = F\npressure rating = 160 "
                                 "psi\n" PIPE("a2", "a1", "copper L", "1 in",
                                              "1 ft") "arrester = F\npressure "
                                                      "rating = 160 psi\n"
                                                      "[pipe b]\nfrom = "
                                                      "a2\nmaterial = copper "
                                                      "L\n"
                                                      "size = 1 in\nlength = "
                                                      "%s\n"
                                                      "pressure rating = 160 "
                                                      "psi\n" WC("wc", "b")
                                                          VALVE
             "closing time = 0 s\n",
             rows[_i].length);
    s = surge_of(text, "wc", FC_EXISTING);
    ck_assert_int_eq(s->arrester, rows[_i].near);
    ck_assert_int_eq(s->within == FC_WORKS, rows[_i].near);
    if (rows[_i].near)
        ck_assert_double_eq_tol(s->peak.high, 150 * PSI, 1);
    else
        ck_assert_double_gt(s->peak.high, 160 * PSI);
}
END_TEST

/* Of a valve's own rate the most that it may draw is stopped: by the pipe's
 * Joukowsky a rise as that of a valve of just that rate, 35 gpm. */
START_TEST(highest_rate)
{
    const char *const one = SOURCE PIPE("p", "main", "copper L", "1 in",
                                        "100 ft")
        WC("wc", "p") "[valve v]\nfull flush = 1.6 gal\nclosing time = 0 s\n";
    char text[2000];
    double rise[2], flow[2];

    snprintf(text, sizeof text, "%sflow = 12..35 gpm at 25 psi\n", one);
    rise[0] = surge_of(text, "wc", FC_EXISTING)->surge.high;
    flow[0] = effects->surge->fixtures[0].states[0].flow.high;
    snprintf(text, sizeof text, "%sflow = 35 gpm at 25 psi\n", one);
    rise[1] = surge_of(text, "wc", FC_EXISTING)->surge.high;
    flow[1] = effects->surge->fixtures[0].states[0].flow.high;
    ck_assert_double_eq_tol(flow[0] / flow[1], 1, 1e-6);
    ck_assert_double_eq_tol(rise[0] / rise[1], 1, 1e-6);
}
END_TEST

/* A pipe beside the way, narrower and hence of more inertia than what leads to
 * the valve, has more surge than that; static alone, 60 psi, fails it. */
START_TEST(beside_the_way)
{
    static const struct {
        double rating; /* psi */
        fc_verdict within;
    } rows[] = { { 59, FC_WILL_NOT_WORK },
                 { 61, FC_CANNOT_TELL },
                 { 100, FC_WORKS } };
    char text[2000];
    const fc_surge *s;
    fc_check_result *result = NULL;

    snprintf(text, sizeof text,
             SOURCE PIPE("p", "main", "copper L", "2 in", "20 ft")
                 PIPE("q", "p", "copper L", "2 in", "20 ft")
                     PIPE("side", "p", "copper L", "1 in",
                          "20 ft") "pressure rating = %.3f psi\n[fixture "
                                   "lav]\non = side\n"
                                   "kind = lavatory\n" WC("wc", "q") VALVE
             "closing time = 2 s\n",
             rows[_i].rating);
    s = surge_of(text, "wc", FC_EXISTING);
    ck_assert_int_eq(s->within, rows[_i].within);
    ck_assert_int_eq(verdict(FC_EXISTING), rows[_i].within);
    ck_assert_str_eq(s->at, "side");
    ck_assert_double_eq_tol(s->static_pressure.high, 60 * PSI, 1);
    ck_assert_double_eq_tol(s->surge.high, s->highest.high, 1e-6);
    ck_assert_double_gt(s->surge.high, 0);
    ck_assert_int_eq(fc_check(site, &result, NULL), FC_OK);
    ck_assert_int_eq(result->too_high == FC_WILL_NOT_WORK,
                     rows[_i].within == FC_WILL_NOT_WORK);
    fc_check_result_free(result);
}
END_TEST

/* The usual rating is 125 to 200 psi (tables/usual.ini): static of 130 psi is
 * neither surely within it nor surely above. */
START_TEST(usual_rating)
{
    const fc_surge *s =
        surge_of("[source main]\nkind = fixed\npressure = 130 psi\n" PIPE(
                     "p", "main", "copper L", "1 in", "10 ft") WC("wc", "p")
                     VALVE "closing time = 9 s\n",
                 "wc", FC_EXISTING);

    ck_assert_int_eq(s->within, FC_CANNOT_TELL);
    ck_assert(s->rating_usual);
    ck_assert_double_eq_tol(s->rating, 125 * PSI, 1e-3);
    ck_assert_ptr_nonnull(strstr(finding(FC_FOUND_SURGE)->text,
                                 "static 130.0 psi at p is above the low end "
                                 "of the usual 125 to 200 psi rating"));
}
END_TEST

/* There and back is longest in the longest pipe where a wave is slowest: free
 * to move, restraint 1; least anchored, 1 - 0.34^2; modulus 117 GPa. */
START_TEST(longest_return)
{
    const fc_surge *s =
        surge_of(SOURCE PIPE("p", "main", "copper L", "1 in", "90..110 ft")
                     WC("wc", "p") VALVE "closing time = 1 s\n",
                 "wc", FC_EXISTING);
    const double sound = fci_water_sound(T60F);
    const double bulk = fci_water_density(T60F) * sound * sound;
    const double slow =
        sound / sqrt(1 + bulk * (1.125 - 2 * 0.050) / (117e9 * 0.050));

    ck_assert_double_eq_tol(s->return_time.high, 2 * 110 * FOOT / slow, 1e-6);
    ck_assert_double_eq_tol(s->return_time.low,
                            2 * 90 * FOOT / copper_speed(1.125, 0.050), 1e-6);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("surge");
    TCase *tc = tcase_create("waves");
    int status;

    tcase_add_loop_test(tc, one_pipe, 0, CLOSINGS);
    tcase_add_loop_test(tc, tee, 0, CLOSINGS);
    suite_add_tcase(suite, tc);
    tc = tcase_create("properties");
    tcase_add_loop_test(tc, shorter_is_no_less, 0, 2);
    tcase_add_loop_test(tc, more_flow_is_no_less, 0, 3);
    tcase_add_test(tc, stiffer_is_no_less);
    tcase_add_test(tc, range_of_times);
    suite_add_tcase(suite, tc);
    tc = tcase_create("ratings");
    tcase_add_loop_test(tc, within_ratings, 0, RATINGS);
    tcase_add_test(tc, highest_rate);
    tcase_add_loop_test(tc, beside_the_way, 0, 3);
    tcase_add_test(tc, usual_rating);
    tcase_add_test(tc, longest_return);
    tcase_add_test(tc, shortest_closing);
    tcase_add_test(tc, rows_have_the_extremes);
    tcase_add_test(tc, both_states);
    tcase_add_loop_test(tc, check_takes_it_up, 0,
                        (int)(sizeof checks / sizeof *checks));
    tcase_add_test(tc, lower_pipe_decides);
    tcase_add_test(tc, not_known);
    suite_add_tcase(suite, tc);
    tc = tcase_create("arresters");
    tcase_add_loop_test(tc, arrester_row, 0,
                        (int)(sizeof branches / sizeof *branches));
    tcase_add_test(tc, branches_of_a_riser);
    tcase_add_test(tc, arresters_that_stand);
    tcase_add_loop_test(tc, arrester_is_near, 0, 3);
    tcase_add_loop_test(tc, arrester_of_too_much, 0, 5);
    suite_add_tcase(suite, tc);
    status = run_suite_unforked(suite);
    forget();
    return status;
}
