/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/drawing_plots.c -- scales, the hydraulic grade, and where the
 * demand stands. */
#include "unit/drawing_suite.h"
#include "drawing/axis.h"
#include "drawing/grade.h"

#include <math.h>

/* At 60 degF a foot of water weighs 0.43310 psi (see unit/check_water.c). */
#define PSI_PER_FOOT 0.43310

/* ---- Scales ----------------------------------------------------------- */

START_TEST(even_axis)
{
    /* nine of 50 px fit: 450 / 9 = 50 */
    const struct fci_axis a = fci_axis_make(0, 450, 0, 450, 1, 50);

    ck_assert_uint_eq(a.n_ticks, 10);
    ck_assert_double_eq(a.ticks[9], 450);
    ck_assert_int_eq(a.decimals, 0);
    ck_assert_double_eq_tol(fci_axis_at(&a, 225), 225, 1e-9);
}
END_TEST

START_TEST(fine_axis)
{
    /* 0.3 in at most 4 pieces: 0.1, as 0.05 makes six */
    const struct fci_axis a = fci_axis_make(0.5, 0.8, 100, 0, 1, 25);

    ck_assert_uint_eq(a.n_ticks, 4);
    ck_assert_double_eq_tol(a.ticks[1], 0.6, 1e-12);
    ck_assert_int_eq(a.decimals, 1);
    ck_assert_double_eq_tol(fci_axis_at(&a, 0.8), 0, 1e-9);
}
END_TEST

/* 0.5^1.85 = exp(-1.85 ln 2) = exp(-1.282323) = 0.277392 */
START_TEST(power_axis)
{
    const struct fci_axis a = fci_axis_make(0, 100, 0, 1000, 1.85, 50);
    size_t i;

    ck_assert_double_eq_tol(fci_axis_at(&a, 50), 277.392, 0.001);
    for (i = 1; i < a.n_ticks; i++)
        ck_assert_double_ge(fci_axis_at(&a, a.ticks[i])
                                - fci_axis_at(&a, a.ticks[i - 1]),
                            50 - 1e-9);
}
END_TEST

/* ---- The grade -------------------------------------------------------- */

/* No friction: bores of 1000 in.  10 fixture units are 27 gpm by IPC Table
 * E103.3(3), so that the main falls from 70 to 60 psi. */
#define PIPES                                                                 \
    "[source main]\nwithin = 0 psi\nkind = street main\nstatic = 70 psi\n"    \
    "residual = 60 psi\nresidual flow = 27 gpm\nelevation = 5 ft\n"           \
    "[pipe service]\nfrom = main\nlength = 90 ft\nrise = -5 ft\nc = 140\n"    \
    "inside diameter = 1000 in\nfittings = none\n"                            \
    "[meter m]\nfrom = service\nloss = 4 psi at 54 gpm\n"                     \
    "[pipe riser]\nfrom = m\nlength = 30 ft\nrise = 20 ft\nc = 140\n"         \
    "inside diameter = 1000 in\nfittings = none\n"
#define CLOSET "[fixture wc]\non = riser\nkind = water closet, flush valve\n"
#define CONVERTED                                                             \
    CLOSET "existing = a\nretrofit = b\n"                                     \
           "[valve a]\nminimum flowing = 40 psi\nflow = 25 gpm at 40 psi\n"   \
           "full flush = 3.5 gal\n"                                           \
           "[valve b]\nminimum flowing = 45 psi\nflow = 25 gpm at 45 psi\n"   \
           "full flush = 1.6 gal\n"

START_TEST(grade_adds_up)
{
    /* feet along; feet up; psi given up.  A quarter of 4 psi at half of its
     * flow. */
    static const double want[][3] = {
        { 0, 5, 10 },   { 90, 0, 0 },   { 90, 0, 1 },
        { 120, 20, 0 }, { 120, 20, 0 },
    };
    fc_site *site = site_of(PIPES CLOSET);
    struct fci_grade_point p[5];
    fc_path *path = NULL;
    double still, grade;
    size_t i;

    ck_assert_int_eq(fc_path_find(site, "wc", FC_EXISTING, &path, NULL),
                     FC_OK);
    ck_assert_uint_eq(path->n_steps, 5);
    fci_grade(site, path, p, &still);
    grade = 70 + 5 * PSI_PER_FOOT;
    ck_assert_double_eq_tol(still / PSI, grade, 0.001);
    for (i = 0; i < 5; i++) {
        grade -= want[i][2];
        ck_assert_double_eq_tol(p[i].along / FOOT, want[i][0], 1e-9);
        ck_assert_double_eq_tol(p[i].elevation / PSI,
                                want[i][1] * PSI_PER_FOOT, 0.001);
        ck_assert_double_eq_tol(p[i].given_up / PSI, want[i][2], 0.001);
        ck_assert_double_eq_tol(p[i].grade / PSI, grade, 0.002);
    }
    ck_assert_double_eq_tol(p[4].grade - p[4].elevation,
                            path->end.flowing.nominal, 1e-6);
    fc_path_free(path);
    fc_site_free(site);
}
END_TEST

/* Of any building: the steps, from where the water stands still to the
 * fixture, add up to the budget. */
START_TEST(grade_is_the_budget)
{
    fc_site *site = site_of(
        PIPES "[reducer r]\nfrom = riser\nset = 30 psi\n"
              "fall-off = 2 psi at 27 gpm\nloss = 0 psi\n"
              "[pump p]\nfrom = r\ncurve = 0 gpm 60 ft, 100 gpm 40 ft\n"
              "[pipe last]\nfrom = p\nsize = 1 in\nmaterial = copper L\n"
              "length = 25 ft\nrise = 4 ft\n"
              "[fixture wc]\non = last\nstop = 2 psi\nrise = 2 ft\n"
              "kind = water closet, flush valve\n");
    struct fci_grade_point p[8];
    fc_path *path = NULL;
    double still, sum = 0, taken;
    size_t i;

    ck_assert_int_eq(fc_path_find(site, "wc", FC_EXISTING, &path, NULL),
                     FC_OK);
    ck_assert_uint_eq(path->n_steps, 8);
    fci_grade(site, path, p, &still);
    for (i = 0; i < 8; i++)
        sum += p[i].given_up;
    ck_assert_double_eq_tol(still - sum, p[7].grade, 1e-6);
    ck_assert_double_eq_tol(p[7].grade - p[7].elevation,
                            path->end.flowing.nominal, 1e-6);
    /* behind the reducer, which sets it afresh */
    taken = path->budget.elevation + path->budget.friction
            + path->budget.fittings + path->budget.devices
            + path->budget.backflow + path->budget.reducers
            - path->budget.pumps;
    ck_assert_double_eq_tol(path->budget.start - taken,
                            p[7].grade - p[7].elevation, 1e-6);
    fc_path_free(path);
    fc_site_free(site);
}
END_TEST

/* ---- Supply and demand ------------------------------------------------ */

struct checked {
    fc_site *site;
    fc_check_result *result;
};

static bool
supply(xmlTextWriterPtr out, void *context)
{
    const struct checked *c = context;

    return fci_draw_supply(out, c->site, c->result);
}

static char *
supply_text(const char *file)
{
    struct checked c = { .site = site_of(file) };
    char *text;

    ck_assert_int_eq(fc_check(c.site, &c.result, NULL), FC_OK);
    text = drawn_text(supply, &c);
    fc_check_result_free(c.result);
    fc_site_free(c.site);
    return text;
}

/* The figure of the next attribute behind a place. */
static double
figure_behind(const char *at, const char *attribute)
{
    at = strstr(at, attribute);
    ck_assert_ptr_nonnull(at);
    return strtod(at + strlen(attribute), NULL);
}

/* The first and the last tick of a scale: figures and px. */
static void
ends_of(const char *text, const char *class, const char *px, double first[2],
        double last[2])
{
    const char *at = strstr(text, class);

    ck_assert_ptr_nonnull(at);
    first[0] = figure_behind(at, "data-value=\"");
    first[1] = figure_behind(at, px);
    for (; at; at = strstr(at + 1, class)) {
        last[0] = figure_behind(at, "data-value=\"");
        last[1] = figure_behind(at, px);
    }
    ck_assert_double_gt(last[0], first[0]);
}

static const struct {
    const char *class;
    double flow, pressure;
} demands[] = {
    /* what the valve requires, and 20 ft of water less the 5 ft that the main
     * lies up, and 1 psi in the meter */
    { "demand existing", 27, 40 + 15 * PSI_PER_FOOT + 1 },
    { "demand retrofit", 27, 45 + 15 * PSI_PER_FOOT + 1 },
};

/* To the digit printed, and there on the paper. */
START_TEST(demand_point)
{
    char *text = supply_text(PIPES CONVERTED);
    const char *at = strstr(text, demands[_i].class);
    double low[2], high[2], flow, pressure;

    ck_assert_ptr_nonnull(at);
    flow = figure_behind(at, "data-flow=\"");
    pressure = figure_behind(at, "data-pressure=\"");
    ck_assert_double_eq_tol(flow, demands[_i].flow, 1e-9);
    ck_assert_double_eq_tol(pressure, demands[_i].pressure, 0.0501);
    ends_of(text, "tick-flow", "x1=\"", low, high);
    ck_assert_double_eq(low[0], 0);
    ck_assert_double_eq_tol(
        figure_behind(at, "translate("),
        low[1] + (high[1] - low[1]) * pow(flow / high[0], 1.85), 0.02);
    ends_of(text, "tick-pressure", "y1=\"", low, high);
    at = strchr(strstr(at, "translate("), ' ');
    ck_assert_double_eq_tol(
        strtod(at, NULL),
        low[1] + (high[1] - low[1]) * (pressure - low[0]) / (high[0] - low[0]),
        0.02);
    xmlFree(text);
}
END_TEST

static const struct {
    const char *file, *said;
} sources[] = {
    { PIPES CONVERTED,
      "flow test: static 70.0 psi, residual 60.0 psi at 27.0 gpm" },
    { PIPES CONVERTED, "after retrofit: 52.5 psi required at 27.0 gpm; "
                       "7.5 psi to spare" },
    { PIPES CONVERTED, ">7.5 psi to spare<" },
    { "[source t]\nkind = tank\nwater level = 100 ft\nelevation = 80 ft\n"
      "[pipe riser]\nfrom = t\nlength = 70 ft\nrise = -60 ft\nc = 140\n"
      "inside diameter = 1000 in\nfittings = none\n" CONVERTED,
      "tank: 8.7 psi at any flow" }, /* 20 ft of water */
    { "[source f]\nkind = fixed\npressure = 50 psi\n"
      "[pipe riser]\nfrom = f\nlength = 1 ft\nc = 140\n"
      "inside diameter = 1000 in\nfittings = none\n" CLOSET,
      "constant pressure: 50.0 psi at any flow" },
    { "[source f]\nkind = street main\nstatic = 50 psi\n"
      "[pipe riser]\nfrom = f\nlength = 1 ft\nc = 140\n"
      "inside diameter = 1000 in\nfittings = none\n" CLOSET,
      "city main without a flow test: how far it drops is not known" },
};

START_TEST(source_words)
{
    char *text = supply_text(sources[_i].file);

    ck_assert_msg(strstr(text, sources[_i].said), "no %s", sources[_i].said);
    xmlFree(text);
}
END_TEST

/* ---- The profile ------------------------------------------------------ */

static bool
profile(xmlTextWriterPtr out, void *context)
{
    const struct checked *c = context;
    fc_path *paths[FC_STATES] = { NULL };
    bool done;
    int s;

    for (s = 0; s < FC_STATES; s++)
        ck_assert_int_eq(
            fc_path_find(c->site, "wc", (fc_state)s, &paths[s], NULL), FC_OK);
    done = fci_draw_profile(out, c->site, c->result,
                            (const fc_path *const *)paths);
    for (s = 0; s < FC_STATES; s++)
        fc_path_free(paths[s]);
    return done;
}

/* 60 psi less 15 ft and the meter's 1 psi: 52.5. */
START_TEST(profile_words)
{
    static const char *const said[] = {
        ">main drops 10.0 psi<", ">m 1.0 psi<",
        ">existing 52.5 psi<",   ">after retrofit 52.5 psi<",
        ">required 45.0 psi<",   ">required 40.0 psi, existing<",
        ">elevation 20.0 ft<",
    };
    struct checked c = { .site = site_of(PIPES CONVERTED) };
    char *text;
    int i;

    ck_assert_int_eq(fc_check(c.site, &c.result, NULL), FC_OK);
    text = drawn_text(profile, &c);
    for (i = 0; i < COUNT(said); i++)
        ck_assert_msg(strstr(text, said[i]), "no %s", said[i]);
    xmlFree(text);
    fc_check_result_free(c.result);
    fc_site_free(c.site);
}
END_TEST

TCase *
drawing_plot_tests(void)
{
    TCase *t = tcase_create("plots");

    tcase_add_test(t, even_axis);
    tcase_add_test(t, fine_axis);
    tcase_add_test(t, power_axis);
    tcase_add_test(t, grade_adds_up);
    tcase_add_test(t, grade_is_the_budget);
    tcase_add_loop_test(t, demand_point, 0, COUNT(demands));
    tcase_add_loop_test(t, source_words, 0, COUNT(sources));
    tcase_add_test(t, profile_words);
    return t;
}
