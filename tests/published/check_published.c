/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/published/check_published.c -- a whole building against a worked
 * example in print: units, flows, losses, and the verdict before and after
 * conversion.
 *
 *   [E103]  International Plumbing Code, Appendix E, E103.3, worked example of
 *           a two-storey factory with Table E103.3(1): from memory, its
 *           arithmetic closes
 *   [604]   International Plumbing Code 2018, Table 604.3, siphonic closet
 *           with flushometer valve, 25 gpm at 35 psi: read on a public page,
 *           up.codes/s/design-of-building-water-distribution-system
 */
#include "published/published.h"

/* psi/ft of water at 60 degF: density by Kell (1975), 999.01 kg/m3, times
 * 9.80665 m/s2 times 0.3048 m over 6894.757 Pa = 0.43310, computed apart from
 * this program; good to half of the last digit. */
#define PSI_PER_FT 0.43310
#define PSI_PER_FT_WITHIN 0.000005

/* ---- The factory of IPC Appendix E ------------------------------------ */

/* Twelve closets and eight lavatories a floor give the 132 cold units that are
 * printed; the split itself is not printed.  The example adds the 24 units of
 * the hot branch to the 264 of the cold one where both run in pipe ab; a
 * heater would count the total units of a lavatory there, which are fewer than
 * cold and hot together.  So the hot branch stands as one fixture of stated
 * units with cold water only.  Only the sum of the rises is printed, 21 ft.
 *
 * The old valve works at the 15 psi of the example; what replaces it needs the
 * 35 psi of [604]. */
static const char factory[] = "[site]\n"
                              "title = Two-storey factory\n"
                              "code minimum = %s\n"
                              "material = copper L\n"
                              "condition = new\n" /* C 140 */
                              "[source main]\n"
                              "kind = fixed\n"
                              "pressure = 55 psi\n"
                              "[device tap]\n"
                              "from = main\n"
                              "loss = 1.61 psi\n"
                              "[meter meter]\n"
                              "from = tap\n"
                              "loss = 11 psi\n"
                              "[backflow preventer]\n"
                              "from = meter\n"
                              "loss = 9 psi\n"
                              "[pipe ab]\n"
                              "from = preventer\n"
                              "size = 2-1/2 in\n"
                              "length = 54 ft\n"
                              "rise = 8 ft\n"
                              "fittings = 3 gate valve, 1 tee branch\n"
                              "[pipe bc]\n"
                              "from = ab\n"
                              "size = 2-1/2 in\n"
                              "length = 8 ft\n"
                              "fittings = 1 tee run\n"
                              "[pipe cd]\n"
                              "from = bc\n"
                              "size = 2-1/2 in\n"
                              "length = 13 ft\n"
                              "rise = 13 ft\n"
                              "fittings = 1 elbow 90\n"
                              "[pipe de]\n"
                              "from = cd\n"
                              "size = 2-1/2 in\n"
                              "length = 150 ft\n"
                              "fittings = 1 tee branch\n"
                              "[pipe cf]\n"
                              "from = bc\n"
                              "size = 2-1/2 in\n"
                              "length = 150 ft\n"
                              "fittings = 1 tee branch\n"
                              "[valve old]\n"
                              "minimum flowing = 15 psi\n"
                              "flow = 25 gpm at 35 psi\n"
                              "full flush = 3.5 gal\n"
                              "[valve new]\n"
                              "minimum flowing = 35 psi\n"
                              "flow = 25 gpm at 35 psi\n"
                              "full flush = 1.28 gal\n"
                              "[fixture closets-{floor}]\n"
                              "floors = 1, 2\n"
                              "on = closets-main-{floor}\n"
                              "kind = water closet, flush valve\n"
                              "count = 12\n"
                              "supply size = 1 in\n"
                              "existing = old\n"
                              "retrofit = new\n"
                              "[fixture lavatories-{floor}]\n"
                              "floors = 1, 2\n"
                              "on = closets-main-{floor}\n"
                              "kind = lavatory\n"
                              "count = 8\n"
                              "supply size = 3/8 in\n"
                              "[device closets-main-1]\n"
                              "from = cf\n"
                              "loss = 0 psi\n"
                              "[device closets-main-2]\n"
                              "from = de\n"
                              "loss = 0 psi\n"
                              "[fixture hot-branch]\n"
                              "on = ab\n"
                              "kind = drinking fountain\n"
                              "fixture units = 24\n"
                              "supply size = 1/2 in\n";

static fc_site *
factory_of(const char *code_minimum)
{
    char text[sizeof factory + 8];

    snprintf(text, sizeof text, factory, code_minimum);
    return site_of(text);
}

/* [E103] Table E103.3(1), cold branch: units, gpm, ft, equivalent ft, psi/100
 * ft.  Units, flows and lengths are printed exactly.  The rates were read off
 * a chart: 8 % is what Hazen-Williams at C 140 and type L bores leaves, and
 * half a unit of their last digit is added. */
static const struct {
    const char *name;
    double units, gpm, length, equivalent, rate;
} sections[] = {
    { "ab", 288, 108.0, 54, 15.0, 3.2 }, { "bc", 264, 104.5, 8, 0.5, 3.1 },
    { "cd", 132, 77.0, 13, 7.0, 1.9 },   { "de", 132, 77.0, 150, 12.0, 1.9 },
    { "cf", 132, 77.0, 150, 12.0, 1.9 },
};
#define RATE_WITHIN 0.08
#define RATE_DIGIT 0.05

START_TEST(section)
{
    fc_site *site = factory_of("no");
    fc_check_result *result = checked(site);
    const fc_checked_pipe *pipe = pipe_of(result, sections[_i].name);
    const double length = sections[_i].length + sections[_i].equivalent;
    int state;

    ck_assert_double_eq_tol(pipe->length / FOOT, sections[_i].length, EXACT);
    ck_assert_double_eq_tol(pipe->equivalent_length / FOOT,
                            sections[_i].equivalent, EXACT);
    ck_assert_double_eq(pipe->c, 140);
    /* The code's units do not change with the flush volume, so that the
     * conversion leaves every flow as it was. */
    for (state = 0; state < FC_STATES; state++) {
        const fc_pipe_state *s = &pipe->states[state];

        ck_assert_double_eq_tol(s->fixture_units, sections[_i].units, EXACT);
        ck_assert_double_eq_tol(s->peak_flow.nominal / GPM, sections[_i].gpm,
                                EXACT);
        ck_assert_double_eq_tol(s->friction_loss.nominal / PSI / length * 100,
                                sections[_i].rate,
                                RATE_WITHIN * sections[_i].rate + RATE_DIGIT);
    }
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* [E103] lines A to L, psi.  Line E is 21 ft at 0.43 psi/ft; the program takes
 * the weight of the water. */
#define LINE_A 55.00
#define LINE_B 15.00
#define LINE_C 11.00
#define LINE_D 1.61
#define LINE_E 9.03
#define LINE_F 9.00
#define LINE_I 45.64
#define LINE_J 9.36
#define LINE_K 5.93
#define LINE_L 3.43
#define RISE 21
#define HEAVIER (RISE * (PSI_PER_FT - 0.43)) /* 0.065 psi */
#define HEAVIER_WITHIN (RISE * PSI_PER_FT_WITHIN + EXACT)
/* The four sections of line K, 259.5 ft with fittings, each within its rate's
 * tolerance. */
#define K_WITHIN (RATE_WITHIN * LINE_K + RATE_DIGIT * 259.5 / 100)

START_TEST(ledger)
{
    fc_site *site = factory_of("no");
    const struct budget b = budget_of(site, "closets-2", FC_EXISTING);

    ck_assert_double_eq_tol(b.required, LINE_B, EXACT);
    ck_assert_double_eq_tol(b.devices, LINE_C + LINE_D + LINE_F, EXACT);
    /* 0.433 against 0.43 psi/ft over 21 ft is 0.07 psi */
    ck_assert_double_eq_tol(b.elevation - LINE_E, HEAVIER, HEAVIER_WITHIN);
    /* the program's total with the example's elevation in place of its own */
    ck_assert_double_eq_tol(b.required + b.devices + b.elevation - HEAVIER,
                            LINE_I, HEAVIER_WITHIN);
    ck_assert_double_eq_tol(b.left + b.friction + b.elevation + b.devices,
                            LINE_A, EXACT);
    ck_assert_double_eq_tol(b.left + b.friction - b.required, LINE_J - HEAVIER,
                            HEAVIER_WITHIN);
    ck_assert_double_eq_tol(b.friction, LINE_K, K_WITHIN);
    ck_assert_double_eq_tol(b.left - b.required, LINE_L - HEAVIER,
                            K_WITHIN + HEAVIER_WITHIN);
    fc_site_free(site);
}
END_TEST

/* ---- The same as a page to be handed in ------------------------------- */

/* The page of a report, to be freed with fc_free(). */
static char *
page_of(fc_report *report)
{
    char *page = NULL;

    ck_assert_int_eq(fc_report_write(report, FC_HTML, NULL, &page, NULL, NULL),
                     FC_OK);
    fc_report_free(report);
    return page;
}

/* The text of a cell of the first row of a table that begins with this one. */
static const char *
cell_of(const char *page, const char *first, int column)
{
    static char text[40];
    char start[60];
    size_t n;

    snprintf(start, sizeof start, ">%s</td>", first);
    page = strstr(page, start);
    ck_assert_msg(page != NULL, "no row %s", first);
    page++;
    while (column-- > 0) {
        page = strchr(strstr(page, "<td"), '>') + 1;
        while (*page == '<') /* what tints it */
            page = strchr(page, '>') + 1;
    }
    n = strcspn(page, "<");
    ck_assert_uint_lt(n, sizeof text);
    memcpy(text, page, n);
    text[n] = '\0';
    return text;
}

/* The columns of [E103] Table E103.3(1) as they stand in the calculation
 * sheet: flow, length, size, equivalent length, total, loss per 100 ft, loss.
 * Loss in section as printed; the rate's tolerance over its length, and half
 * of its last digit. */
static const double lost[] = { 2.21, 0.26, 0.38, 3.08, 3.08 };
#define LOST_DIGIT 0.005

START_TEST(sheet_of_sections)
{
    fc_site *site = factory_of("no");
    fc_check_result *result = checked(site);
    const char *name = sections[_i].name;
    const double length = sections[_i].length + sections[_i].equivalent;
    const double off = RATE_WITHIN * sections[_i].rate + RATE_DIGIT;
    fc_report *report = NULL;
    char *page;
    const char *sheet;

    ck_assert_int_eq(fc_report_check(site, result, NULL, &report), FC_OK);
    page = page_of(report);
    sheet = strstr(page, "Calculation sheet: sections");
    ck_assert_ptr_nonnull(sheet);
    ck_assert_double_eq_tol(atof(cell_of(sheet, name, 2)), sections[_i].gpm,
                            EXACT);
    ck_assert_double_eq_tol(atof(cell_of(sheet, name, 3)), sections[_i].length,
                            EXACT);
    ck_assert_str_eq(cell_of(sheet, name, 4), "2-1/2 in");
    ck_assert_double_eq_tol(atof(cell_of(sheet, name, 5)),
                            sections[_i].equivalent, EXACT);
    ck_assert_double_eq_tol(atof(cell_of(sheet, name, 6)), length, EXACT);
    ck_assert_double_eq_tol(atof(cell_of(sheet, name, 7)), sections[_i].rate,
                            off + LOST_DIGIT);
    ck_assert_double_eq_tol(atof(cell_of(sheet, name, 8)), lost[_i],
                            off * length / 100 + 2 * LOST_DIGIT);
    ck_assert_double_eq_tol(atof(cell_of(sheet, name, 9)), sections[_i].units,
                            EXACT);
    fc_free(page);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* Lines of the sheet: the example's C is a meter, D a tap and F a preventer;
 * here the tap is among the other devices, H. */
START_TEST(sheet_of_pressures)
{
    const struct {
        const char *letter;
        double psi, within;
    } lines[] = {
        { "A", LINE_A, EXACT },
        { "B", LINE_B, EXACT },
        { "C", LINE_C, EXACT },
        { "E", LINE_E + HEAVIER, HEAVIER_WITHIN + LOST_DIGIT },
        { "F", LINE_F, EXACT },
        { "H", LINE_D, EXACT },
        { "I", LINE_I + HEAVIER, HEAVIER_WITHIN + LOST_DIGIT },
        { "J", LINE_J - HEAVIER, HEAVIER_WITHIN + LOST_DIGIT },
        { "K", LINE_K, K_WITHIN + LOST_DIGIT },
        { "L", LINE_L - HEAVIER, K_WITHIN + HEAVIER_WITHIN + LOST_DIGIT },
    };
    fc_site *site = factory_of("no");
    fc_check_result *result = checked(site);
    fc_path *path = NULL;
    fc_report *report = NULL;
    char *page;
    const char *sheet;

    ck_assert_int_eq(fc_path_find(site, "closets-2", FC_EXISTING, &path, NULL),
                     FC_OK);
    ck_assert_int_eq(fc_report_path(site, result, path, false, &report),
                     FC_OK);
    page = page_of(report);
    sheet = strstr(page, "Calculation sheet: pressure for friction");
    ck_assert_ptr_nonnull(sheet);
    for (int i = 0; i < COUNT(lines); i++)
        ck_assert_double_eq_tol(atof(cell_of(sheet, lines[i].letter, 2)),
                                lines[i].psi, lines[i].within);
    /* the other branch is not on the way */
    ck_assert_ptr_null(strstr(sheet, ">cf</td>"));
    fc_free(page);
    fc_path_free(path);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* Old valves at the example's 15 psi work; new ones at the 35 psi of [604] do
 * not: 55 - (45.64 + 20) = -10.64 psi before any friction. */
START_TEST(conversion)
{
    fc_site *site = factory_of("no");
    fc_check_result *result = checked(site);
    const fc_checked_fixture *closets = fixture_of(result, "closets-2");
    const struct budget b = budget_of(site, "closets-2", FC_RETROFIT);
    const double short_by = LINE_J - (35 - LINE_B); /* -10.64 */

    ck_assert_int_eq(result->states[FC_EXISTING].works, FC_WORKS);
    ck_assert_int_eq(closets->states[FC_EXISTING].works, FC_WORKS);
    ck_assert_int_eq(closets->states[FC_RETROFIT].works, FC_WILL_NOT_WORK);
    ck_assert_int_eq(closets->change, FC_STOPS_WORKING);
    ck_assert_int_eq(result->works, FC_WILL_NOT_WORK);
    ck_assert_int_eq(closets->states[FC_RETROFIT].governed_by,
                     FC_VALVE_GOVERNS);
    ck_assert_double_eq_tol(b.required, 35, EXACT);
    ck_assert_double_eq_tol(b.left + b.friction - b.required,
                            short_by - HEAVIER, HEAVIER_WITHIN);
    ck_assert_double_eq_tol(closets->states[FC_RETROFIT].margin.nominal / PSI,
                            short_by - HEAVIER - LINE_K,
                            K_WITHIN + HEAVIER_WITHIN);
    /* the supply would have to rise by as much as is short */
    ck_assert_double_eq_tol(closets->states[FC_RETROFIT].spare.nominal,
                            closets->states[FC_RETROFIT].margin.nominal, 1e-6);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* Where the code's minimum counts, the old valves are as short of it as the
 * new ones. */
START_TEST(code_minimum)
{
    fc_site *site = factory_of("yes");
    fc_check_result *result = checked(site);
    const fc_checked_fixture *closets = fixture_of(result, "closets-2");
    const struct budget b = budget_of(site, "closets-2", FC_EXISTING);

    ck_assert_int_eq(closets->states[FC_EXISTING].governed_by,
                     FC_CODE_GOVERNS);
    ck_assert_double_eq_tol(b.required, 35, EXACT);
    ck_assert_double_eq_tol(b.left + b.friction - b.required,
                            LINE_J - (35 - LINE_B) - HEAVIER, HEAVIER_WITHIN);
    ck_assert_int_eq(closets->change, FC_STILL_SHORT);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* ---- The same as a file that the trade would write -------------------- */

#define MOST_LINES 60

/* A file of this folder; its lines are counted. */
static fc_site *
site_in_lines(const char *name, int *lines)
{
    static char text[8192];
    const char *folder = getenv("srcdir");
    char path[1024];
    FILE *file;
    size_t n, i;

    snprintf(path, sizeof path, "%s/tests/published/%s", folder ? folder : ".",
             name);
    file = fopen(path, "rb");
    ck_assert_msg(file != NULL, "%s cannot be read", path);
    n = fread(text, 1, sizeof text - 1, file);
    fclose(file);
    ck_assert_uint_lt(n, sizeof text - 1);
    text[n] = '\0';
    for (*lines = 0, i = 0; i < n; i++)
        *lines += text[i] == '\n';
    return site_of(text);
}

/* [E103] units, flows, lengths, lines A to L and the verdict, from 60 lines.
 */
START_TEST(in_sixty_lines)
{
    static const char *const names[] = { "ab", "at-1", "at-2", "main-2",
                                         "main-1" };
    int lines, i;
    fc_site *site = site_in_lines("factory.ini", &lines);
    fc_check_result *result = checked(site);
    const struct budget b = budget_of(site, "closets-2", FC_EXISTING);

    ck_assert_int_le(lines, MOST_LINES);
    for (i = 0; i < COUNT(sections); i++) {
        const fc_checked_pipe *pipe = pipe_of(result, names[i]);
        const fc_pipe_state *s = &pipe->states[FC_EXISTING];

        ck_assert_double_eq_tol(s->fixture_units, sections[i].units, EXACT);
        ck_assert_double_eq_tol(s->peak_flow.nominal / GPM, sections[i].gpm,
                                EXACT);
        ck_assert_double_eq_tol(pipe->length / FOOT, sections[i].length,
                                EXACT);
        ck_assert_double_eq_tol(pipe->equivalent_length / FOOT,
                                sections[i].equivalent, EXACT);
    }
    ck_assert_double_eq_tol(b.required, LINE_B, EXACT);
    ck_assert_double_eq_tol(b.devices, LINE_C + LINE_D + LINE_F, EXACT);
    ck_assert_double_eq_tol(b.elevation - LINE_E, HEAVIER, HEAVIER_WITHIN);
    ck_assert_double_eq_tol(b.friction, LINE_K, K_WITHIN);
    ck_assert_double_eq_tol(b.left - b.required, LINE_L - HEAVIER,
                            K_WITHIN + HEAVIER_WITHIN);
    ck_assert_int_eq((int)result->states[FC_EXISTING].works, FC_WORKS);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* An office with a zone under a reducing valve and one over a booster, which
 * is invented.  Static: what the valve or the booster is set to less the
 * height.  32 closets of 10 units and 24 lavatories of 1.5 cold ones are 356,
 * of which the next row of IPC Table E103.3(3), from memory, is 400 units,
 * 127.0 gpm.  The least margin is golden: what the program gave. */
static const struct {
    const char *name;
    double still; /* psi */
} office[] = {
    { "closets-1", 65 },
    { "closets-4", 65 - 39 * PSI_PER_FT },
    { "closets-5", 98 - 52 * PSI_PER_FT },
    { "lavatories-8", 98 - 91 * PSI_PER_FT },
};

START_TEST(office_in_sixty_lines)
{
    int lines, i;
    fc_site *site = site_in_lines("office.ini", &lines);
    fc_check_result *result = checked(site);
    const fc_checked_state *after = &result->states[FC_RETROFIT];
    const fc_checked_fixture *governing = &result->fixtures[after->governing];

    ck_assert_int_le(lines, MOST_LINES);
    for (i = 0; i < COUNT(office); i++)
        ck_assert_double_eq_tol(
            fixture_of(result, office[i].name)->static_pressure.nominal / PSI,
            office[i].still, 91 * PSI_PER_FT_WITHIN + EXACT);
    ck_assert_double_eq_tol(after->peak_flow.nominal / GPM, 127.0, EXACT);
    ck_assert_uint_eq(after->n_zones, 2);
    ck_assert_int_eq((int)result->works, FC_WORKS);
    ck_assert_str_eq(governing->name, "closets-4");
    ck_assert_double_eq_tol(governing->states[FC_RETROFIT].margin.low / PSI,
                            9.6, 0.05);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("published example");
    TCase *tc = tcase_create("factory");

    tcase_add_loop_test(tc, section, 0, COUNT(sections));
    tcase_add_test(tc, ledger);
    tcase_add_loop_test(tc, sheet_of_sections, 0, COUNT(sections));
    tcase_add_test(tc, sheet_of_pressures);
    tcase_add_test(tc, conversion);
    tcase_add_test(tc, code_minimum);
    tcase_add_test(tc, in_sixty_lines);
    tcase_add_test(tc, office_in_sixty_lines);
    suite_add_tcase(suite, tc);
    return run_suite(suite);
}
