/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/published/check_published_units.c -- fixture units of codes as they
 * come out of the pipes of a whole site.
 *
 *   [IPC]  International Plumbing Code 2018, Appendix E, Table E103.3(2): read
 *          on a public page,
 *          online.flipbuilder.com/mewf/tjyt/files/basic-html/page163.html
 *   [UPC]  Uniform Plumbing Code 2018, Appendix A, Table A 103.1: read on a
 *          public page, up.codes/viewer/washington/upc-2018/chapter/A/
 *          recommended-rules-for-sizing-the-water-supply-system
 */
#include "published/published.h"

/* [UPC] private, public, assembly.  The closet above 1.6 gal is from memory.
 */
static const struct {
    const char *kind, *volume;
    double units[3];
} by_volume[] = {
    { "water closet", "1.6 gal", { 5, 5, 8 } },
    { "water closet", "1.28 gal", { 5, 5, 8 } },
    { "water closet", "3.5 gal", { 7, 8, 10 } },
    { "urinal", "1.0 gal", { 3, 4, 5 } },
    { "urinal", "0.125 gal", { 3, 4, 5 } },
    { "urinal", "1.5 gal", { 4, 5, 6 } },
};
static const char *const uses[] = { "private", "public", "assembly" };

START_TEST(units_by_volume)
{
    int use;

    for (use = 0; use < 3; use++) {
        fc_site *site =
            site_by("[site]\n"
                    "code = upc\n"
                    "material = copper L\n"
                    "[source s]\n"
                    "kind = fixed\n"
                    "pressure = 60 psi\n"
                    "[pipe p]\nfittings = none\n"
                    "from = s\n"
                    "size = 2 in\n"
                    "length = 10 ft\n"
                    "[valve v]\n"
                    "full flush = %s\n"
                    "[fixture f]\n"
                    "on = p\n"
                    "kind = %s, flush valve\n"
                    "use = %s\n"
                    "count = 3\n"
                    "existing = v\n",
                    by_volume[_i].volume, by_volume[_i].kind, uses[use]);
        fc_check_result *result = checked(site);

        ck_assert_double_eq_tol(
            result->pipes[0].states[FC_EXISTING].fixture_units,
            3 * by_volume[_i].units[use], EXACT);
        fc_check_result_free(result);
        fc_site_free(site);
    }
}
END_TEST

/* The main job under [UPC]: ten public closets of 3.5 gal and four urinals of
 * 1.5 gal are converted to 1.28 and 0.5 gal: 10 x 8 + 4 x 5 = 100 units become
 * 10 x 5 + 4 x 4 = 66.  By Table 610.10 they stay what they were. */
START_TEST(units_after_conversion)
{
    fc_site *site = site_by("[site]\n"
                            "code = upc\n"
                            "material = copper L\n"
                            "[source s]\n"
                            "kind = fixed\n"
                            "pressure = 60 psi\n"
                            "[pipe p]\nfittings = none\n"
                            "from = s\n"
                            "size = 3 in\n"
                            "length = 10 ft\n"
                            "[valve large]\n"
                            "full flush = 1.5 gal\n"
                            "[fixture closets]\n"
                            "on = p\n"
                            "kind = water closet, flush valve\n"
                            "count = 10\n"
                            "existing = siphonic closet 3.5 gal\n"
                            "retrofit = siphonic closet 1.28 gal\n"
                            "[fixture urinals]\n"
                            "on = p\n"
                            "kind = urinal, flush valve\n"
                            "count = 4\n"
                            "existing = large\n"
                            "retrofit = urinal 0.5 gal\n");
    fc_check_result *result = checked(site);
    const fc_pipe_state *states = result->pipes[0].states;

    ck_assert_double_eq_tol(states[FC_EXISTING].fixture_units, 100, EXACT);
    ck_assert_double_eq_tol(states[FC_RETROFIT].fixture_units, 66, EXACT);
    ck_assert_double_eq_tol(states[FC_EXISTING].falling_units, 165 + 53,
                            EXACT);
    ck_assert_double_eq_tol(states[FC_RETROFIT].falling_units, 165 + 53,
                            EXACT);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* Uniform Plumbing Code, Table 610.10, from memory: cumulative units. */
static const struct {
    int valves;
    double closets, urinals;
} falling[] = {
    { 1, 40, 20 },   { 2, 70, 35 },    { 3, 90, 45 },  { 4, 105, 53 },
    { 5, 115, 58 },  { 6, 125, 63 },   { 8, 145, 73 }, { 10, 165, 83 },
    { 12, 185, 93 }, { 20, 265, 133 },
};

static double
falling_units_of(const char *kind, int valves)
{
    fc_site *site = site_by("[site]\n"
                            "code = upc\n"
                            "material = copper L\n"
                            "[source s]\n"
                            "kind = fixed\n"
                            "pressure = 60 psi\n"
                            "[pipe p]\nfittings = none\n"
                            "from = s\n"
                            "size = 3 in\n"
                            "length = 10 ft\n"
                            "[fixture f]\n"
                            "on = p\n"
                            "kind = %s, flush valve\n"
                            "count = %d\n",
                            kind, valves);
    fc_check_result *result = checked(site);
    const double units = result->pipes[0].states[FC_EXISTING].falling_units;

    fc_check_result_free(result);
    fc_site_free(site);
    return units;
}

START_TEST(falling_row)
{
    ck_assert_double_eq_tol(
        falling_units_of("water closet", falling[_i].valves),
        falling[_i].closets, EXACT);
    ck_assert_double_eq_tol(falling_units_of("urinal", falling[_i].valves),
                            falling[_i].urinals, EXACT);
}
END_TEST

/* [IPC] cold, hot and total units, each of a pipe of its own: the cold branch,
 * the feed of the heater, and the pipe in which both run. */
static const struct {
    const char *kind, *use;
    double cold, hot, total;
} hot_and_cold[] = {
    { "bathroom group, flush tank", "private", 2.7, 1.5, 3.6 },
    { "bathroom group, flush valve", "private", 6.0, 3.0, 8.0 },
    { "bathtub", "private", 1.0, 1.0, 1.4 },
    { "bathtub", "public", 3.0, 3.0, 4.0 },
    { "bidet", "private", 1.5, 1.5, 2.0 },
    { "combination fixture", "private", 2.25, 2.25, 3.0 },
    { "dishwasher", "private", 0, 1.4, 1.4 },
    { "drinking fountain", "public", 0.25, 0, 0.25 },
    { "kitchen sink", "private", 1.0, 1.0, 1.4 },
    { "kitchen sink", "public", 3.0, 3.0, 4.0 },
    { "laundry tray", "private", 1.0, 1.0, 1.4 },
    { "lavatory", "private", 0.5, 0.5, 0.7 },
    { "lavatory", "public", 1.5, 1.5, 2.0 },
    { "service sink", "public", 2.25, 2.25, 3.0 },
};

/* Of what takes hot water; for others a heater is refused. */
#define HEATER                                                                \
    "[heater h]\n"                                                            \
    "on = hot\n"                                                              \
    "serves = f\n"

START_TEST(heated)
{
    fc_site *site = site_by("[site]\n"
                            "material = copper L\n"
                            "[source s]\n"
                            "kind = fixed\n"
                            "pressure = 60 psi\n"
                            "[pipe both]\nfittings = none\n"
                            "from = s\n"
                            "size = 2 in\n"
                            "length = 10 ft\n"
                            "[pipe cold]\nfittings = none\n"
                            "from = both\n"
                            "size = 2 in\n"
                            "length = 10 ft\n"
                            "[pipe hot]\nfittings = none\n"
                            "from = both\n"
                            "size = 2 in\n"
                            "length = 10 ft\n"
                            "%s"
                            "[fixture f]\n"
                            "on = cold\n"
                            "kind = %s\n"
                            "use = %s\n",
                            hot_and_cold[_i].hot > 0 ? HEATER : "",
                            hot_and_cold[_i].kind, hot_and_cold[_i].use);
    fc_check_result *result = checked(site);

    ck_assert_double_eq_tol(result->pipes[0].states[FC_EXISTING].fixture_units,
                            hot_and_cold[_i].total, EXACT);
    ck_assert_double_eq_tol(result->pipes[1].states[FC_EXISTING].fixture_units,
                            hot_and_cold[_i].cold, EXACT);
    ck_assert_double_eq_tol(result->pipes[2].states[FC_EXISTING].fixture_units,
                            hot_and_cold[_i].hot, EXACT);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("published fixture units");
    TCase *tc = tcase_create("sites");

    tcase_add_loop_test(tc, units_by_volume, 0, COUNT(by_volume));
    tcase_add_test(tc, units_after_conversion);
    tcase_add_loop_test(tc, falling_row, 0, COUNT(falling));
    tcase_add_loop_test(tc, heated, 0, COUNT(hot_and_cold));
    suite_add_tcase(suite, tc);
    return run_suite(suite);
}
