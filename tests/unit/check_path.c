/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_path.c -- the pressure budget of one fixture. */
#include "generators/sites.h"

#include <math.h>

/* At 60 degF a foot of water weighs 0.43310 psi (see unit/check_water.c). */
#define PSI_PER_FOOT 0.43310

/* A flow test that leaves 60 of 70 psi at 27 gpm, the peak of 10 units by IPC
 * Table E103.3(3), so that 60 psi stand at the source. */
#define BUILDING                                                              \
    "[source main]\nwithin = 0 psi\nkind = street main\nstatic = 70 psi\n"    \
    "residual = 60 psi\nresidual flow = 27 gpm\nelevation = 5 ft\n"           \
    "[pipe Service]\nfrom = main\nmaterial = steel sch 40\nsize = 2 in\n"     \
    "c = 100\nlength = 90 ft\nrise = -5 ft\n"                                 \
    "fittings = 1 tee branch\n"                                               \
    "[meter m]\nfrom = Service\nloss = 4 psi at 54 gpm\n"                     \
    "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\nfrom = m\nset = " \
    "55 psi\n"                                                                \
    "[pipe riser]\nfittings = none\nfrom = r\nlength = 200 ft\nrise = 20 "    \
    "ft\nc = 140\n"                                                           \
    "inside diameter = 1000 in\n"                                             \
    "[fixture wc-1]\non = riser\nkind = water closet, flush valve\n"          \
    "rise = 2 ft\nstop = 2 psi\n"

static fc_path *
path_to(const fc_site *site, const char *fixture, fc_state state)
{
    fc_path *path = NULL;

    ck_assert_int_eq(fc_path_find(site, fixture, state, &path, NULL), FC_OK);
    return path;
}

/* psi; NAN: not known by hand, but tied to the others by their sum. */
static const struct {
    const char *element, *kind;
    double gpm, lift, friction, fittings, device, pressure;
} want[] = {
    { "main", "source", 27, 0, 0, 0, 0, 60 },
    { "Service", "pipe", 27, -5 * PSI_PER_FOOT, NAN, NAN, 0, NAN },
    { "m", "meter", 27, 0, 0, 0, 1, NAN }, /* half the flow, a quarter */
    { "r", "prv", 27, 0, 0, 0, NAN, 55 },
    { "riser", "pipe", 27, 20 * PSI_PER_FOOT, 0, 0, 0,
      55 - 20 * PSI_PER_FOOT },
    { "wc-1", "fixture", 25, 2 * PSI_PER_FOOT, 0, 0, 2,
      53 - 22 * PSI_PER_FOOT },
};

static void
assert_psi(double pressure, double psi)
{
    if (!isnan(psi))
        ck_assert_msg(fabs(pressure / PSI - psi) < 0.001, "%.6f psi, not %.6f",
                      pressure / PSI, psi);
}

START_TEST(steps)
{
    fc_site *site = site_of(BUILDING);
    fc_path *path = path_to(site, "WC-1", FC_EXISTING);
    int i;

    ck_assert_str_eq(path->fixture, "wc-1");
    ck_assert_uint_eq(path->n_steps, (size_t)COUNT(want));
    for (i = 0; i < COUNT(want); i++) {
        const fc_path_step *s = &path->steps[i];

        ck_assert_str_eq(s->element, want[i].element);
        ck_assert_str_eq(s->kind, want[i].kind);
        ck_assert_double_eq_tol(s->flow / GPM, want[i].gpm, 1e-9);
        assert_psi(s->elevation_loss, want[i].lift);
        assert_psi(s->friction_loss, want[i].friction);
        assert_psi(s->fitting_loss, want[i].fittings);
        assert_psi(s->device_loss, want[i].device);
        assert_psi(s->pressure, want[i].pressure);
        if (i > 0)
            ck_assert_double_eq_tol(s[-1].pressure - s->elevation_loss
                                        - s->friction_loss - s->fitting_loss
                                        - s->device_loss - s->throttled,
                                    s->pressure, 1e-6);
    }
    fc_path_free(path);
    fc_path_free(NULL);
    fc_site_free(site);
}
END_TEST

/* UPC Table A 104.4(1): a 2 in threaded tee branch is 10 ft of pipe, so of 90
 * ft and it a tenth is the fitting's.  The loss of both, by the form of NFPA
 * 13, 4.52 Q^1.85 / (C^1.85 d^4.87) psi a foot (from memory) with Q = 27 gpm,
 * C = 100 and d = 2.067 in (ASME B36.10M), within the 2 % by which that form
 * is rounded: 4.52 * 444.65 / (5011.9 * 34.333) * 100 = 1.1680. */
START_TEST(friction)
{
    fc_site *site = site_of(BUILDING);
    fc_path *path = path_to(site, "wc-1", FC_EXISTING);
    const fc_path_step *s = &path->steps[1];

    ck_assert_double_eq_tol(s->fitting_loss * 9, s->friction_loss, 1e-6);
    ck_assert_double_eq_tol((s->fitting_loss + s->friction_loss) / PSI, 1.1680,
                            0.02 * 1.1680);
    ck_assert(isfinite(s->darcy_loss) && s->darcy_loss > 0);
    ck_assert(isnan(path->steps[0].darcy_loss));
    ck_assert(isnan(path->steps[2].darcy_loss)); /* no pipe */
    ck_assert(isnan(path->steps[4].darcy_loss)); /* of unknown material */
    fc_path_free(path);
    fc_site_free(site);
}
END_TEST

/* Lengths are those of pipes: 90 ft, and 10 ft for a threaded tee, on the
 * branch, of 2 in (tables/fittings.ini). */
START_TEST(lengths)
{
    fc_site *site = site_of(BUILDING);
    fc_path *path = path_to(site, "wc-1", FC_EXISTING);
    const double feet[] = { 0, 90, 0, 0, 200, 0 };
    size_t i;

    for (i = 0; i < path->n_steps; i++) {
        ck_assert_double_eq_tol(path->steps[i].length / FOOT, feet[i], 1e-9);
        ck_assert_double_eq_tol(path->steps[i].equivalent_length / FOOT,
                                i == 1 ? 10 : 0, 1e-9);
    }
    fc_path_free(path);
    fc_site_free(site);
}
END_TEST

/* The end of the path is what the check says of the fixture. */
START_TEST(end)
{
    fc_site *site =
        site_of(BUILDING "retrofit = v\n"
                         "[valve v]\nminimum flowing = 40..50 psi\n");
    fc_path *path = path_to(site, "wc-1", FC_RETROFIT);
    fc_check_result *r = NULL;
    const fc_fixture_state *s;

    ck_assert_int_eq(fc_check(site, &r, NULL), FC_OK);
    s = &r->fixtures[0].states[FC_RETROFIT];
    ck_assert_int_eq(path->state, FC_RETROFIT);
    ck_assert_int_eq(path->end.works, FC_CANNOT_TELL);
    ck_assert_int_eq(s->works, FC_CANNOT_TELL);
    ck_assert_str_eq(path->end.decided_by, s->decided_by);
    ck_assert_str_eq(path->end.valve, "v");
    ck_assert_double_eq(path->end.flowing.nominal, s->flowing.nominal);
    ck_assert_double_eq(path->end.required.high, s->required.high);
    ck_assert_double_eq_tol(path->steps[path->n_steps - 1].pressure,
                            s->flowing.nominal, 1e-6);
    fc_check_result_free(r);
    fc_path_free(path);
    fc_site_free(site);
}
END_TEST

#define RISER(of, on, rise)                                                   \
    "[pipe r" of "]\nfrom = " on "\nsize = 1-1/2 in\nlength = 30..60 ft\n"    \
    "rise = " rise "\nfittings = none\n"                                      \
    "[fixture wc" of "]\non = r" of "\ncount = 4\n"                           \
    "kind = water closet, flush valve\nretrofit = v\n"

static const char *const supplies[] = { "40", "48", "52", "56", "60", "70" };

/* Asked for alone, in its own time, a fixture is judged as beside all others:
 * short, in doubt or well. */
START_TEST(judged_alone)
{
    char text[3000];
    fc_site *site;
    fc_check_result *r = NULL;
    size_t i;
    int state;

    snprintf(text, sizeof text,
             "[site]\nmaterial = steel sch 40\ncondition = new\n"
             "[source main]\nkind = street main\nstatic = %s psi\n"
             "residual = 36 psi\nresidual flow = 150 gpm\n" RISER(
                 "1", "main", "5 ft") RISER("2", "r1", "9 ft")
                 RISER("3", "r2", "9 ft") "[valve v]\nminimum flowing = 25 "
                                          "psi\nflow = 25 gpm at 35 psi\n"
                                          "full flush = 1.28 gal\n",
             supplies[_i]);
    site = site_of(text);
    ck_assert_int_eq(fc_check(site, &r, NULL), FC_OK);
    for (i = 0; i < r->n_fixtures; i++)
        for (state = 0; state < FC_STATES; state++) {
            const fc_fixture_state *s = &r->fixtures[i].states[state];
            fc_path *path =
                path_to(site, r->fixtures[i].name, (fc_state)state);

            ck_assert_int_eq(path->end.works, s->works);
            ck_assert_int_eq(path->end.too_high, s->too_high);
            ck_assert_double_eq(path->end.alone.low, s->alone.low);
            ck_assert_pstr_eq(path->end.decided_by, s->decided_by);
            fc_path_free(path);
        }
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* At peak alone the steps are the same, and so is the budget. */
START_TEST(at_peak)
{
    fc_site *site =
        site_of(BUILDING "retrofit = v\n"
                         "[valve v]\nminimum flowing = 40..50 psi\n");
    fc_path *path = path_to(site, "wc-1", FC_RETROFIT), *peak = NULL;
    size_t i;

    ck_assert_int_eq(fc_path_at_peak(site, "wc-1", FC_RETROFIT, &peak, NULL),
                     FC_OK);
    ck_assert_int_eq(peak->state, FC_RETROFIT);
    ck_assert_uint_eq(peak->n_steps, path->n_steps);
    for (i = 0; i < path->n_steps; i++) {
        ck_assert_str_eq(peak->steps[i].element, path->steps[i].element);
        ck_assert_double_eq(peak->steps[i].flow, path->steps[i].flow);
        ck_assert_double_eq(peak->steps[i].pressure, path->steps[i].pressure);
    }
    ck_assert_double_eq(peak->budget.start, path->budget.start);
    ck_assert_double_eq(peak->budget.friction, path->budget.friction);
    ck_assert_double_eq(peak->end.flowing.low, path->end.flowing.low);
    ck_assert(!peak->end.alone.given && !peak->proviso.given);
    ck_assert_int_eq(fc_path_at_peak(site, "wc-9", FC_EXISTING, &peak, NULL),
                     FC_EUNKNOWN);
    fc_path_free(peak);
    fc_path_free(path);
    fc_site_free(site);
}
END_TEST

/* The findings on the way to it alone; in short those that are warnings. */
START_TEST(told)
{
    fc_site *site = site_of(BUILDING "retrofit = v\n"
                                     "[fixture wc-0]\non = riser\nkind = "
                                     "water closet, flush valve\n"
                                     "rise = 40 ft\n"
                                     "[valve v]\nminimum flowing = 40..50 "
                                     "psi\n");
    const fc_check_options in_short = { .in_short = true, .rough = true };
    fc_path *path = NULL, *brief = NULL, *plain = path_to(site, "wc-1", 0);
    const fc_check_result *check;
    size_t i;

    ck_assert_int_eq(
        fc_path_find_with(site, "wc-1", FC_RETROFIT, NULL, &path, NULL),
        FC_OK);
    check = path->check;
    ck_assert_uint_eq(check->n_fixtures, 1);
    ck_assert_str_eq(check->fixtures->name, "wc-1");
    ck_assert_ptr_nonnull(finding_of(check->findings, check->n_findings,
                                     "flowing pressure", "wc-1"));
    for (i = 0; i < check->n_findings; i++)
        ck_assert_str_ne(check->findings[i].subject, "wc-0");
    ck_assert_uint_gt(check->n_assumptions, 0);
    ck_assert_int_eq(check->works, path->end.works);
    ck_assert_int_eq(
        fc_path_find_with(site, "wc-1", FC_RETROFIT, &in_short, &brief, NULL),
        FC_OK);
    ck_assert_int_eq(brief->end.works, path->end.works);
    ck_assert_uint_le(brief->check->n_findings, check->n_findings);
    ck_assert_int_eq(brief->check->fixtures->states[FC_EXISTING].works,
                     FC_CANNOT_TELL); /* not looked at */
    ck_assert_ptr_null(plain->check);
    ck_assert_int_eq(
        fc_path_find_with(site, "wc-9", FC_EXISTING, NULL, &plain, NULL),
        FC_EUNKNOWN);
    fc_path_free(plain);
    fc_path_free(brief);
    fc_path_free(path);
    fc_site_free(site);
}
END_TEST

/* A building without a retrofit has one state. */
START_TEST(only_state)
{
    fc_site *site = site_of(BUILDING);
    fc_path *path = path_to(site, "wc-1", FC_RETROFIT);

    ck_assert_int_eq(path->state, FC_EXISTING);
    fc_path_free(path);
    fc_site_free(site);
}
END_TEST

static const struct {
    const char *name, *said;
} unknown[] = {
    { "wc-2", "the site has no fixture \"wc-2\"; one of these is expected: " },
    { "cw-1", "the site has no fixture \"cw-1\"; did you mean \"wc-1\"?\n" },
    /* A pipe is no fixture, however near. */
    { "riser", "\"riser\" is a pipe; the name of a fixture is expected\n" },
    { "wc-1:1", "the site has no fixture \"wc-1:1\"; \"wc-1\" without a "
                "number is expected here\n" },
    { "wc-3:1", "the site has no fixture \"wc-3:1\"; " },
    { "", "the site has no fixture \"\"; " },
};

START_TEST(unknown_fixture)
{
    fc_site *site = site_of(BUILDING);
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_path *path = (fc_path *)site; /* any: it is kept */

    ck_assert_int_eq(
        fc_path_find(site, unknown[_i].name, FC_EXISTING, &path, messages),
        FC_EUNKNOWN);
    ck_assert_ptr_eq(path, site);
    ck_assert_msg(strncmp(all_messages(messages), unknown[_i].said,
                          strlen(unknown[_i].said))
                      == 0,
                  "%s", all_messages(messages));
    ck_assert_int_eq(
        fc_path_find(site, unknown[_i].name, FC_EXISTING, &path, NULL),
        FC_EUNKNOWN);
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

START_TEST(unfinished)
{
    fc_site *site = fc_site_new();
    fc_path *path = NULL;

    ck_assert_int_eq(fc_path_find(site, "wc-1", FC_EXISTING, &path, NULL),
                     FC_ESTATE);
    ck_assert_ptr_null(path);
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("path");
    TCase *t = tcase_create("steps");

    tcase_add_test(t, steps);
    tcase_add_test(t, friction);
    tcase_add_test(t, lengths);
    tcase_add_test(t, end);
    tcase_add_test(t, at_peak);
    tcase_add_test(t, told);
    tcase_add_loop_test(t, judged_alone, 0, COUNT(supplies));
    tcase_add_test(t, only_state);
    suite_add_tcase(suite, t);
    t = tcase_create("refusals");
    tcase_add_loop_test(t, unknown_fixture, 0, COUNT(unknown));
    tcase_add_test(t, unfinished);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
