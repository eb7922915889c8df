/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/published/check_published_sites.c -- figures of codes and handbooks as
 * they come out of a whole site with one fixture or one pipe: static head,
 * fittings, what a fixture needs.
 *
 *   [604.3]    International Plumbing Code 2018, Table 604.3: read on a public
 * page, up.codes/s/design-of-building-water-distribution-system [CHI] Chicago
 * Plumbing Code, Table 18-29-604.5: read on a public page,
 * codelibrary.amlegal.com/codes/chicago/latest/ chicago_il/0-0-0-2691491
 */
#include "published/published.h"

#include <unistd.h>

/* The first fixture as it stands. */
static struct fci_judgement
judged(const fc_site *site)
{
    struct fci_judgement j;
    struct fci_judge judge;

    ck_assert_int_eq(fci_judge_begin(&judge, site, NULL), FC_OK);
    j = fci_judge_fixture(&judge, &site->fixtures[0], FC_EXISTING);
    fci_judge_end(&judge);
    return j;
}

/* ---- Static head ------------------------------------------------------ */

/* G. S. Kell, J. Chem. Eng. Data 20 (1975) 97-105, and the newer standard
 * density of water, which differ in the last digits: both from memory; half of
 * the last digit.  10 m of water below the source stand for the density,
 * at the standard gravity of 9.80665 m/s2 (CGPM 1901). */
static const struct {
    const char *temperature;
    double low, high;
} densities[] = {
    { "4 degC", 999.972, 999.975 },
    { "20 degC", 998.204, 998.207 },
    { "25 degC", 997.045, 997.048 },
};

START_TEST(density)
{
    fc_site *site = site_by("[site]\n"
                            "water temperature = %s\n"
                            "[source s]\n"
                            "kind = fixed\n"
                            "pressure = 100 kPa\n"
                            "[fixture f]\n"
                            "on = s\n"
                            "kind = lavatory\n"
                            "rise = -10 m\n",
                            densities[_i].temperature);
    const double rho = (judged(site).ceiling.nominal - 100e3) / (9.80665 * 10);

    ck_assert_double_ge(rho, densities[_i].low - 0.0005);
    ck_assert_double_le(rho, densities[_i].high + 0.0005);
    fc_site_free(site);
}
END_TEST

/* IPC, Appendix E, E103.2, read on a public page, studylib.net/doc/18059635: a
 * fixture 20 ft above or below the source, 8.66 psi; half of the last digit.
 */
static const struct {
    const char *of_pipe, *of_fixture;
    double sign;
} heights[] = {
    { "20 ft", "0 ft", -1 },
    { "-20 ft", "0 ft", 1 },
    { "12 ft", "8 ft", -1 },
};

START_TEST(twenty_feet)
{
    fc_site *site = site_by("[source s]\n"
                            "kind = street main\n"
                            "static = 62 psi\n"
                            "[pipe riser]\nfittings = none\n"
                            "from = s\n"
                            "material = copper L\n"
                            "size = 2 in\n"
                            "length = 20 ft\n"
                            "rise = %s\n"
                            "[fixture f]\n"
                            "on = riser\n"
                            "kind = lavatory\n"
                            "rise = %s\n",
                            heights[_i].of_pipe, heights[_i].of_fixture);
    fc_check_result *result = checked(site);

    ck_assert_double_eq_tol(result->fixtures[0].static_pressure.nominal / PSI,
                            62 + heights[_i].sign * 8.66, 0.005);
    ck_assert_double_eq_tol(result->fixtures[0].elevation / FOOT,
                            -heights[_i].sign * 20, EXACT);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* ---- Equivalent lengths ----------------------------------------------- */

/* Tables as they are named in [pipe] entries, with what they were copied from:
 *   threaded          UPC Table A 104.4(1) in a table of the Consortium of
 *                     Institutes for Decentralized Wastewater Treatment
 *                     (2008), read; angle valve from memory
 *   soldered copper   IPC Appendix E and Copper Tube Handbook, Table 14.7,
 *                     from memory; where none is printed it counts as nothing
 *   illinois ...      77 Ill. Adm. Code 890, App. A, Table Q, read,
 *                     law.cornell.edu/regulations/illinois/
 *                     Ill-Admin-Code-tit-77-890M-app-A-Table-Q
 *   nfpa 13           NFPA 13, Schedule 40 steel at C 120, from memory
 *   capillary metric  common practice: the soldered copper row of the inch
 *                     size with the nearest bore (20.2 and 19.9 mm)
 * All are printed exactly, in feet. */
static const struct {
    const char *material, *table, *size, *fittings;
    double feet;
} fittings[] = {
    { "steel sch 40", "threaded", "1 in", "1 elbow 90", 3.0 },
    { "steel sch 40", "threaded", "2 in", "2 elbow 90, 1 tee branch", 24 },
    { "steel sch 40", "threaded", "3/4 in", "1 globe valve, 1 tee run", 20.8 },
    { "steel sch 40", "threaded", "1-1/4 in", "3 gate valve", 2.4 },
    { "steel sch 40", "threaded", "1 in", "1 angle valve", 15 },
    { "copper L", "soldered copper", "1/2 in", "1 elbow 90", 1 },
    { "copper L", "soldered copper", "1-1/2 in",
      "1 tee branch, 2 elbow 90, 1 tee run", 15.5 },
    { "copper K", "soldered copper", "3-1/2 in", "1 elbow 90", 9 },
    { "copper M", "soldered copper", "5 in", "1 butterfly valve", 11.5 },
    { "copper L", "soldered copper", "1/2 in", "4 gate valve, 1 elbow 45",
      0.5 },
    { "copper L", "illinois wrought", "1 in", "1 elbow 90", 1.0 },
    { "copper L", "illinois wrought", "2 in", "1 tee branch", 7.0 },
    { "copper L", "illinois wrought", "3/4 in", "1 compression stop", 21 },
    { "copper L", "illinois cast", "1 in", "1 elbow 90", 4.0 },
    { "copper L", "illinois cast", "1-1/2 in", "1 tee branch", 9.0 },
    { "copper L", "illinois cast", "2 in", "2 globe valve", 180 },
    { "steel sch 40", "nfpa 13", "2 in", "1 elbow 90, 1 tee branch", 15 },
    { "steel sch 40", "nfpa 13", "4 in", "1 check valve", 22 },
    { "copper en 1057", "capillary metric", "22 mm", "1 elbow 90", 2 },
};

/* A tables file that gives a material these fittings, in the working folder,
 * and its name. */
static void
write_tables(const char *material, const char *table, char *name)
{
    const int file = mkstemp(name);
    FILE *out;

    ck_assert_int_ne(file, -1);
    out = fdopen(file, "w");
    ck_assert_ptr_nonnull(out);
    fprintf(out, "[pipe %s]\nsource = as this test has it\nfittings = %s\n",
            material, table);
    ck_assert_int_eq(fclose(out), 0);
}

START_TEST(fitting)
{
    char name[] = "published-XXXXXX";
    fc_check_result *result;
    fc_site *site;

    write_tables(fittings[_i].material, fittings[_i].table, name);
    site = site_by("[site]\n"
                   "tables = %s\n"
                   "[source s]\n"
                   "kind = fixed\n"
                   "pressure = 60 psi\n"
                   "[pipe p]\n"
                   "from = s\n"
                   "material = %s\n"
                   "size = %s\n"
                   "length = 10 ft\n"
                   "fittings = %s\n"
                   "[fixture f]\n"
                   "on = p\n"
                   "kind = lavatory\n",
                   name, fittings[_i].material, fittings[_i].size,
                   fittings[_i].fittings);
    unlink(name);
    result = checked(site);
    ck_assert_double_eq_tol(result->pipes[0].equivalent_length / FOOT,
                            fittings[_i].feet, EXACT);
    ck_assert_double_eq_tol(result->pipes[0].length / FOOT, 10, EXACT);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* ---- What a fixture needs --------------------------------------------- */

/* [604.3] gpm and psi at the outlet. */
static const struct {
    const char *kind, *use;
    double gpm, psi;
} outlets[] = {
    { "water closet, flush valve", "public", 25, 35 },
    { "water closet, blowout, flush valve", "public", 25, 45 },
    { "urinal, flush valve", "public", 12, 25 },
    { "water closet, flush tank", "public", 3, 20 },
    { "water closet, one-piece, flush tank", "public", 6, 20 },
    { "water closet, flushometer tank", "public", 1.6, 20 },
    { "lavatory", "private", 0.8, 8 },
    { "service sink", "public", 3, 8 },
    { "drinking fountain", "public", 0.75, 8 },
    { "shower", "public", 2.5, 8 },
    { "shower, mixing valve", "public", 2.5, 20 },
    { "laundry tray", "private", 4, 8 },
    { "combination fixture", "private", 4, 8 },
    { "bidet", "private", 2, 20 },
    { "dishwasher", "private", 2.75, 8 },
};

START_TEST(outlet)
{
    fc_site *site = site_by("[source s]\n"
                            "kind = fixed\n"
                            "pressure = 60 psi\n"
                            "[fixture f]\n"
                            "on = s\n"
                            "kind = %s\n"
                            "use = %s\n",
                            outlets[_i].kind, outlets[_i].use);
    fc_path *path = NULL;

    ck_assert_int_eq(fc_path_find(site, "f", FC_EXISTING, &path, NULL), FC_OK);
    ck_assert_double_eq_tol(path->end.required.nominal / PSI, outlets[_i].psi,
                            EXACT);
    ck_assert_double_eq_tol(path->steps[path->n_steps - 1].flow / GPM,
                            outlets[_i].gpm, EXACT);
    ck_assert_int_eq(path->end.governed_by, FC_CODE_GOVERNS);
    fc_path_free(path);
    fc_site_free(site);
}
END_TEST

/* [604.3] to the thousandth of a psi either way: just enough, just short. */
START_TEST(just_enough)
{
    const double least = outlets[_i].psi;
    int enough;

    for (enough = 0; enough < 2; enough++) {
        fc_site *site = site_by("[source s]\n"
                                "kind = fixed\n"
                                "pressure = %.3f psi\n"
                                "[fixture f]\n"
                                "on = s\n"
                                "kind = %s\n"
                                "use = %s\n",
                                enough ? least : least - 0.001,
                                outlets[_i].kind, outlets[_i].use);

        ck_assert_int_eq(judged(site).pressure,
                         enough ? FC_WORKS : FC_WILL_NOT_WORK);
        fc_site_free(site);
    }
}
END_TEST

/* [CHI], which the IPC's Table 604.5 equals from memory; and the next smaller
 * size. */
static const struct {
    const char *kind, *least, *smaller;
} supplies[] = {
    { "water closet, flush valve", "1 in", "3/4 in" },
    { "urinal, flush valve", "3/4 in", "1/2 in" },
    { "lavatory", "3/8 in", "1/4 in" },
    { "service sink", "1/2 in", "3/8 in" },
    { "urinal, flush tank", "1/2 in", "3/8 in" },
    { "water closet, flush tank", "3/8 in", "1/4 in" },
};

START_TEST(supply_size)
{
    int enough;

    for (enough = 0; enough < 2; enough++) {
        fc_site *site =
            site_by("[source s]\n"
                    "kind = fixed\n"
                    "pressure = 60 psi\n"
                    "[fixture f]\n"
                    "on = s\n"
                    "kind = %s\n"
                    "supply size = %s\n",
                    supplies[_i].kind,
                    enough ? supplies[_i].least : supplies[_i].smaller);
        const struct fci_judgement j = judged(site);

        ck_assert_int_eq(j.supply, enough ? FC_WORKS : FC_WILL_NOT_WORK);
        ck_assert_int_eq(j.works, enough ? FC_WORKS : FC_WILL_NOT_WORK);
        fc_site_free(site);
    }
}
END_TEST

/* UPC 608.2 (2018), read on a public page,
 * forms.iapmo.org/email_marketing/codespotlight/2018/Jan4.htm: above 80 psi
 * static a regulator, to 80 psi or less. */
static const struct {
    const char *still, *set;
    fc_verdict maximum;
} ceilings[] = {
    { "80 psi", "100 psi", FC_WORKS },
    { "80.1 psi", "100 psi", FC_WILL_NOT_WORK },
    { "85 psi", "100 psi", FC_WILL_NOT_WORK },
    { "85 psi", "60 psi", FC_WORKS },
};

START_TEST(maximum_static)
{
    fc_site *site =
        site_by("[site]\n"
                "code = upc\n"
                "[source s]\n"
                "kind = street main\n"
                "static = %s\n"
                "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\n"
                "from = s\n"
                "set = %s\n"
                "[fixture f]\n"
                "on = r\n"
                "kind = water closet, flush valve\n"
                "supply size = 1 in\n",
                ceilings[_i].still, ceilings[_i].set);
    const struct fci_judgement j = judged(site);

    ck_assert_int_eq(j.maximum, ceilings[_i].maximum);
    ck_assert_int_eq(fci_too_high(&j), ceilings[_i].maximum);
    fc_site_free(site);
}
END_TEST

/* ---- A meter ---------------------------------------------------------- */

/* 1 in displacement meter: 15 psi at 50 gpm at most (AWWA C700, from memory),
 * 12.75 at least (NAVFAC MO-221, section 4); at 34 gpm 15 (34/50)^2 = 6.936
 * and 12.75 (34/50)^2 = 5.896 psi, 6.416 midway, computed apart, half of the
 * last digit. */
START_TEST(meter)
{
    fc_site *site = site_by("[source s]\n"
                            "kind = fixed\n"
                            "pressure = 60 psi\n"
                            "[meter m]\n"
                            "from = s\n"
                            "kind = displacement\n"
                            "size = 1 in\n"
                            "[demand d]\n"
                            "on = m\n"
                            "flow = 34 gpm\n"
                            "[fixture f]\n"
                            "on = m\n"
                            "kind = lavatory\n"
                            "fixture units = 0\n");
    fc_path *path = NULL;
    double flow;

    ck_assert_int_eq(fc_path_find(site, "f", FC_EXISTING, &path, NULL), FC_OK);
    ck_assert_str_eq(path->steps[1].element, "m");
    flow = path->steps[1].flow / GPM;
    /* 0.8 gpm of the lavatory [604.3] come on top */
    ck_assert_double_eq_tol(flow, 34.8, EXACT);
    ck_assert_double_eq_tol(
        path->steps[1].device_loss / PSI * pow(34 / flow, 2), 6.416, 0.0005);
    fc_path_free(path);
    fc_site_free(site);
}
END_TEST

static void
add_needs(TCase *tc)
{
    tcase_add_loop_test(tc, outlet, 0, COUNT(outlets));
    tcase_add_loop_test(tc, just_enough, 0, COUNT(outlets));
    tcase_add_loop_test(tc, supply_size, 0, COUNT(supplies));
    tcase_add_loop_test(tc, maximum_static, 0, COUNT(ceilings));
    tcase_add_test(tc, meter);
}

int
main(void)
{
    Suite *suite = suite_create("published figures through sites");
    TCase *tc = tcase_create("sites");

    tcase_add_loop_test(tc, density, 0, COUNT(densities));
    tcase_add_loop_test(tc, twenty_feet, 0, COUNT(heights));
    tcase_add_loop_test(tc, fitting, 0, COUNT(fittings));
    add_needs(tc);
    suite_add_tcase(suite, tc);
    return run_suite(suite);
}
