/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/check_evidence_input.c -- what the file says against what
 * the code and any building have: overrides are told, slips are refused, and
 * of two sites that differ in what is known only one gets a firm verdict.
 *
 * The rows of the demand tables are those of tables/demand.ini, which
 * tests/published holds against print; chances are binomial,
 *
 *     from math import comb
 *     P = lambda k, n, p: sum(comb(n, i) * p**i * (1 - p)**(n - i)
 *                             for i in range(k + 1))
 */
#include "generators/sites.h"
#include "peak/demand.h"

#include <math.h>

/* All loss is in one device, with the square of the flow. */
#define SUPPLY(psi, loss)                                                     \
    "[source main]\nkind = fixed\npressure = " psi "\n"                       \
    "[device d]\nfrom = main\nloss = " loss "\n"
#define CLOSETS(count)                                                        \
    "[fixture wc]\non = d\nkind = water closet, flush valve\n"                \
    "supply size = 1 in\ncount = " count "\n"
#define URINAL                                                                \
    "[fixture u]\non = d\nkind = urinal, flush valve\nsupply size = 1 in\n"
#define SIPHONIC "existing = siphonic closet 1.6 gal\n"
#define PIPE(keys)                                                            \
    "[pipe p]\nfrom = main\nmaterial = copper L\n" keys                       \
    "[fixture wc]\non = p\nkind = water closet, flush valve\n"                \
    "supply size = 1 in\n"

static fc_check_result *
checked(const fc_site *site)
{
    const fc_check_options peak = { .peak_only = true };
    fc_check_result *result = NULL;

    ck_assert_int_eq(fc_check_with(site, &peak, &result, NULL), FC_OK);
    return result;
}

/* ---- Overrides -------------------------------------------------------- */

/* By the IPC 12 closets are 120 units, 73 gpm at the row of 120 units. */
#define PLENTY SUPPLY("70 psi", "5 psi at 73 gpm")

/* Each with a file that sets so little less that it is none. */
static const struct {
    const char *text, *near;
    const char *what, *set, *code;
} overrides[] = {
    { "[site]\nmaximum static = 300 psi\n" PLENTY CLOSETS("12"),
      "[site]\nmaximum static = 80 psi\n" PLENTY CLOSETS("12"),
      "maximum static", "300.0 psi", "80.0 psi" },
    { "[site]\nmaximum static = 81 psi\n" PLENTY CLOSETS("12"),
      "[site]\nmaximum static = 60 psi\n" PLENTY CLOSETS("12"),
      "maximum static", "81.0 psi", "80.0 psi" },
    { PLENTY CLOSETS("12") "fixture units = 2\n",
      PLENTY CLOSETS("12") "fixture units = 10\n", "fixture units of wc",
      "2 each", "10 each" },
    { PLENTY CLOSETS("12") "use = private\nfixture units = 5.9\n",
      PLENTY CLOSETS("12") "use = private\nfixture units = 6\n",
      "fixture units of wc", "5.9 each", "6 each" },
    { "[site]\ncode minimum = no\n" PLENTY CLOSETS(
          "12") "existing = v\n"
                "[valve v]\nminimum flowing = 15 psi\nflow = 25 gpm at 35 "
                "psi\n",
      PLENTY CLOSETS("12") "existing = v\n"
                           "[valve v]\nminimum flowing = 15 psi\nflow = 25 "
                           "gpm at 35 psi\n",
      "minimum flowing pressure of wc (code minimum = no)",
      "the valve's 15.0 psi", "35.0 psi" },
    { "[site]\ncode minimum = no\n" PLENTY CLOSETS("12"),
      "[site]\ncode minimum = yes\n" PLENTY CLOSETS("12"), "code minimum",
      "no", "yes; no valve here states less than the code" },
    { "[site]\ndemand = interpolate\n" PLENTY CLOSETS("12"),
      "[site]\ndemand = next row\n" PLENTY CLOSETS("12"), "demand",
      "by interpolation between two rows of the demand table",
      "the next row up, as in the worked example of IPC Appendix E" },
    /* usual of a urinal: 0.1 to 3 gal at 4 to 20 gpm; of a closet 1 to 7 gal
     * at 15 to 40 gpm (tables/fixtures-ipc.ini) */
    { PLENTY URINAL SIPHONIC, PLENTY URINAL "existing = urinal 1.0 gal\n",
      "valve of u, siphonic closet 1.6 gal", "1.6 gal at 25.0 gpm",
      "one for \"urinal, flush valve\", usually 0.1 to 3 gal at 4.0 to 20.0 "
      "gpm" },
    { PLENTY CLOSETS("1") "existing = urinal 0.5 gal\n",
      PLENTY CLOSETS("1") SIPHONIC, "valve of wc, urinal 0.5 gal",
      "0.5 gal at 12.0 gpm",
      "one for \"water closet, flush valve\", usually 1 to 7 gal at 15.0 to "
      "40.0 gpm" },
    { PLENTY CLOSETS("1") "existing = blowout closet 3.5 gal\n",
      PLENTY CLOSETS("1") "existing = siphonic closet 3.5 gal\n",
      "valve of wc, blowout closet 3.5 gal", "3.5 gal at 25.0 gpm",
      "one for \"water closet, flush valve\", usually 1 to 7 gal at 15.0 to "
      "40.0 gpm" },
    { PLENTY URINAL "existing = v\n[valve v]\nflow = 21 gpm at 25 psi\n"
                    "minimum flowing = 25 psi\nfull flush = 1 gal\n",
      PLENTY URINAL "existing = v\n[valve v]\nflow = 20 gpm at 25 psi\n"
                    "minimum flowing = 25 psi\nfull flush = 1 gal\n",
      "valve of u, v", "1 gal at 21.0 gpm",
      "one for \"urinal, flush valve\", usually 0.1 to 3 gal at 4.0 to 20.0 "
      "gpm" },
    /* copper: 8 ft/s for cold water, C 140 (tables/pipe-copper.ini) */
    { "[site]\nvelocity limit = 20 ft/s\n" SUPPLY("70 psi", "1 psi")
          PIPE("size = 2 in\nlength = 9 ft\n"),
      "[site]\nvelocity limit = 8 ft/s\n" SUPPLY("70 psi", "1 psi")
          PIPE("size = 2 in\nlength = 9 ft\n"),
      "velocity limit of p", "20.0 ft/s", "8.0 ft/s" },
    { SUPPLY("70 psi", "1 psi") PIPE("size = 2 in\nlength = 9 ft\nc = 155\n"),
      SUPPLY("70 psi", "1 psi") PIPE("size = 2 in\nlength = 9 ft\nc = 140\n"),
      "C of p", "155", "140 for new pipe" },
    /* 300 units: 108 gpm; by probability 75 gpm (see below) */
    { "[site]\npeak = probability\n" SUPPLY("60 psi", "30 psi at 108 gpm")
          CLOSETS("30") SIPHONIC,
      "[site]\npeak = probability\n" SUPPLY("60 psi", "24 psi at 108 gpm")
          CLOSETS("30") SIPHONIC,
      "peak demand", "by probability, 75.0 gpm",
      "108.0 gpm by fixture units, with which 30 fixtures are not known to "
      "have enough" },
};

static const fc_override *
override_of(const fc_check_result *result, const char *what)
{
    size_t i;

    for (i = 0; i < result->n_overrides; i++)
        if (strcmp(result->overrides[i].what, what) == 0)
            return &result->overrides[i];
    return NULL;
}

START_TEST(override_is_told)
{
    fc_site *site = site_of(overrides[_i].text);
    fc_check_result *result = checked(site);
    const fc_override *found = override_of(result, overrides[_i].what);

    ck_assert_ptr_nonnull(found);
    ck_assert_str_eq(found->set, overrides[_i].set);
    ck_assert_str_eq(found->code, overrides[_i].code);
    ck_assert_ptr_nonnull(strstr(found->text, "Set by the file: "));
    ck_assert_ptr_nonnull(strstr(found->text, overrides[_i].set));
    ck_assert_ptr_nonnull(strstr(found->text, overrides[_i].code));
    fc_check_result_free(result);
    fc_site_free(site);
    site = site_of(overrides[_i].near);
    result = checked(site);
    ck_assert_ptr_null(override_of(result, overrides[_i].what));
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* Of a valve that is there in one state alone, the state is told; `a` is one
 * that asks for less than the code, `b` one that does not. */
static const struct {
    const char *fixtures;
    const char *what[2], *text[2];
    unsigned states[2];
} of_states[] = {
#define STATES(name, valves)                                                  \
    "[fixture " name "]\non = street\nkind = urinal, flush valve\n" valves
    { STATES("u", "existing = a\nretrofit = b\n"),
      { "minimum flowing pressure of u (code minimum = no)", NULL },
      { "Set by the file, existing: minimum", NULL },
      { FC_IN(FC_EXISTING), 0 } },
    { STATES("u", "existing = b\nretrofit = a\n"),
      { "minimum flowing pressure of u (code minimum = no)", NULL },
      { "Set by the file, after retrofit: minimum", NULL },
      { FC_IN(FC_RETROFIT), 0 } },
    { STATES("u", "existing = a\nretrofit = a\n"),
      { "minimum flowing pressure of u (code minimum = no)", NULL },
      { "Set by the file: minimum", NULL },
      { FC_IN(FC_EXISTING) | FC_IN(FC_RETROFIT), 0 } },
    /* one keeps its valve, one gets it, one loses it */
    { STATES("u", "existing = a\n") STATES("v", "existing = b\nretrofit = a\n")
          STATES("w", "existing = a\nretrofit = b\n")
              STATES("x", "existing = a\n"),
      { "minimum flowing pressure of u, x (code minimum = no)",
        "minimum flowing pressure of v (code minimum = no)" },
      { "Set by the file: minimum",
        "Set by the file, after retrofit: minimum" },
      { FC_IN(FC_EXISTING) | FC_IN(FC_RETROFIT), FC_IN(FC_RETROFIT) } },
    /* a building that is not converted has no state to tell */
    { STATES("u", "existing = a\n"),
      { "minimum flowing pressure of u (code minimum = no)", NULL },
      { "Set by the file: minimum", NULL },
      { 0, 0 } },
};

START_TEST(override_tells_its_state)
{
    char text[1200];
    fc_site *site;
    fc_check_result *result;

    snprintf(text, sizeof text,
             "[site]\ncode minimum = no\n"
             "[source street]\nkind = fixed\npressure = 60 psi\n%s"
             "[valve a]\nminimum flowing = 10 psi\n"
             "[valve b]\nminimum flowing = 35 psi\n",
             of_states[_i].fixtures);
    site = site_of(text);
    result = checked(site);
    for (int i = 0; i < 2 && of_states[_i].what[i]; i++) {
        const fc_override *found = override_of(result, of_states[_i].what[i]);

        ck_assert_ptr_nonnull(found);
        ck_assert_uint_eq(found->states, of_states[_i].states[i]);
        ck_assert_msg(strncmp(found->text, of_states[_i].text[i],
                              strlen(of_states[_i].text[i]))
                          == 0,
                      "%s", found->text);
    }
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* A file of amended tables, beside where the test runs. */
static void
write_tables(const char *path, const char *text)
{
    FILE *file = fopen(path, "w");

    ck_assert_ptr_nonnull(file);
    ck_assert_int_ge(fputs(text, file), 0);
    ck_assert_int_eq(fclose(file), 0);
}

#define AMENDED "check_evidence_input.tables"

/* What an amendment changes is told beside the built-in figures (of
 * tables/pipe-copper.ini); what it adds, or leaves, is none. */
START_TEST(amended_tables_are_told)
{
    static const char *const texts[] = {
        "[pipe copper L]\nsource = s\nc new = 150\nvelocity limit = 12 "
        "ft/s\n",
        "[valve new]\nsource = s\nflow = 25 gpm at 35 psi\n",
    };
    fc_site *site;
    fc_check_result *result;
    const fc_override *found;

    write_tables(AMENDED, texts[_i]);
    site = site_of("[site]\ntables = " AMENDED "\n" PLENTY CLOSETS("12"));
    remove(AMENDED);
    result = checked(site);
    found = override_of(result, "[pipe copper L] in " AMENDED);
    if (_i == 0) {
        ck_assert_ptr_nonnull(found);
        ck_assert_str_eq(found->set, "c new = 150, velocity limit = 12 ft/s");
        ck_assert_str_eq(found->code, "c new = 140, velocity limit = 8 ft/s");
    } else
        ck_assert_uint_eq(result->n_overrides, 0);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* ---- Verdicts that turn on what is known ------------------------------ */

/* 30 closets: 300 units are 108 gpm by the IPC. A flush of 1.6 gal at 25 gpm
 * lasts 3.84 s. With one use in 300 s P(2, 29, 3.84 / 300) = 0.9940, so the
 * largest and two others, 75 gpm; P(1, 29, the same) = 0.947. P(2, 29, p) =
 * 0.99 at p = 0.0154596, that is 248.39 s; with less, 100 gpm. In 24 h
 * P(0, 29, 3.84 / 86400) = 0.9987: 25 gpm. */
#define PROBABLE(interval, loss)                                              \
    "[site]\npeak = probability\n[usage]\ninterval = " interval               \
    "\n" SUPPLY("60 psi", loss) CLOSETS("30") SIPHONIC

/* By the UPC a closet is 5 units up to 1.6 gal and 8 above: ten are 50 units,
 * 51.5 gpm, or 80, 62 gpm. A urinal is 4 up to 1.0 gal and 5 above: twenty
 * are 80 units, 62 gpm, or 100, 67.5 gpm. The code asks for 15 psi. */
#define UPC_CLOSETS(valve)                                                    \
    "[site]\ncode = upc\n" SUPPLY("60 psi", "50 psi at 62 gpm") CLOSETS("10") \
        valve
#define UPC_URINALS(valve)                                                    \
    "[site]\ncode = upc\n" SUPPLY("60 psi", "46 psi at 67.5 gpm") URINAL      \
        "count = 20\n" valve
#define NOT_SAID                                                              \
    "[valve v]\nminimum flowing = 15 psi\nflow = 25 gpm at 35 psi\n"
#define SMALL NOT_SAID "full flush = 1.28 gal\n"
#define U_NOT_SAID                                                            \
    "[valve v]\nminimum flowing = 15 psi\nflow = 12 gpm at 25 psi\n"
#define U_SMALL U_NOT_SAID "full flush = 0.5 gal\n"

/* 11 closets are 110 units by the IPC: 73 gpm at the row of 120, 70.25 between
 * it and the 67.5 of 100. By the UPC with 1.28 gal 55 units: 55 gpm at the row
 * of 60, 53.25 between it and the 51.5 of 50. 35 psi are asked for. */
#define IPC_ROWS(demand)                                                      \
    "[site]\ndemand = " demand "\n" SUPPLY("54 psi", "20 psi at 73 gpm")      \
        CLOSETS("11")
#define UPC_ROWS(demand)                                                      \
    "[site]\ncode = upc\ndemand = " demand                                    \
    "\n" SUPPLY("54 psi", "20 psi at 55 gpm")                                 \
        CLOSETS("11") "existing = v\n"                                        \
                      "[valve v]\nminimum flowing = 35 psi\nflow = 25 gpm "   \
                      "at 35 psi\n"                                           \
                      "full flush = 1.28 gal\n"

static const struct {
    const char *text;
    fc_verdict works;
    double flow, other; /* at the source [gpm]; NAN: not looked at */
} verdicts[] = {
    /* the code's peak: 30 psi of 60 */
    { PROBABLE("24 h", "30 psi at 108 gpm"), FC_CANNOT_TELL, 25, NAN },
    { PROBABLE("301 s", "30 psi at 108 gpm"), FC_CANNOT_TELL, 75, NAN },
    { PROBABLE("300 s", "30 psi at 108 gpm"), FC_WORKS, 75, NAN },
    { PROBABLE("24 h", "24 psi at 108 gpm"), FC_WORKS, 25, NAN },
    /* a hair either side of where it flips: 60 - 30 (100 / 108)^2 = 34.3 */
    { PROBABLE("249 s", "30 psi at 108 gpm"), FC_WORKS, 75, NAN },
    { PROBABLE("248 s", "30 psi at 108 gpm"), FC_WILL_NOT_WORK, 100, NAN },
    { UPC_CLOSETS("existing = v\n" SMALL), FC_WORKS, 51.5, NAN },
    { UPC_CLOSETS("existing = v\n" NOT_SAID), FC_WILL_NOT_WORK, 62, NAN },
    { UPC_CLOSETS("existing = siphonic closet 3.5 gal\nretrofit = v\n" SMALL),
      FC_WORKS, 51.5, NAN },
    { UPC_CLOSETS(
          "existing = siphonic closet 3.5 gal\nretrofit = v\n" NOT_SAID),
      FC_WILL_NOT_WORK, 62, NAN },
    /* 60 - 46 (62 / 67.5)^2 = 21.2 psi; 14 psi with the larger */
    { UPC_URINALS("existing = v\n" U_SMALL), FC_WORKS, 62, NAN },
    { UPC_URINALS("existing = v\n" U_NOT_SAID), FC_WILL_NOT_WORK, 67.5, NAN },
    { UPC_URINALS(""), FC_WILL_NOT_WORK, 67.5, NAN }, /* class assumed */
    { IPC_ROWS("next row"), FC_WILL_NOT_WORK, 73, 70.25 },
    { IPC_ROWS("interpolate"), FC_WORKS, 70.25, 73 },
    { UPC_ROWS("next row"), FC_WILL_NOT_WORK, 55, 53.25 },
    { UPC_ROWS("interpolate"), FC_WORKS, 53.25, 55 },
};

START_TEST(verdict_by_what_is_known)
{
    fc_site *site = site_of(verdicts[_i].text);
    fc_check_result *result = checked(site);
    const fc_checked_state *state =
        &result->states[result->converted ? FC_RETROFIT : FC_EXISTING];

    ck_assert_int_eq(result->works, verdicts[_i].works);
    ck_assert_double_eq_tol(state->peak_flow.nominal / GPM, verdicts[_i].flow,
                            1e-9);
    if (!isnan(verdicts[_i].other))
        ck_assert_double_eq_tol(state->peak_by_other_reading.nominal / GPM,
                                verdicts[_i].other, 1e-9);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* The interval at which it flips is named, and its finding warns. */
START_TEST(interval_flips)
{
    fc_site *site = site_of(PROBABLE("24 h", "30 psi at 108 gpm"));
    fc_check_result *result = checked(site);
    const fc_override *found =
        override_of(result, "interval between two uses");
    const fc_finding *warned =
        finding_of(result->findings, result->n_findings, "interval", "");

    ck_assert_ptr_nonnull(found);
    ck_assert_str_eq(found->set, "24 h");
    ck_assert_str_eq(found->code, "at most 5 min; with 4.14 min or less, "
                                  "fewer fixtures have enough");
    ck_assert_ptr_nonnull(warned);
    ck_assert_int_eq(warned->severity, FC_WARN);
    ck_assert_str_eq(warned->figures[2].what, "flips at");
    ck_assert_double_eq_tol(warned->figures[2].value.nominal, 248.38863, 0.01);
    ck_assert_ptr_nonnull(
        strstr(result->fixtures[0].states[0].decided_by, "interval"));
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

static bool
assumes(const fc_check_result *result, const char *words)
{
    size_t i;

    for (i = 0; i < result->n_assumptions; i++)
        if (strstr(result->assumptions[i], words))
            return true;
    return false;
}

/* What the smaller units would come to: 60 - 50 (51.5 / 62)^2 = 25.50 psi at
 * 51.5 gpm, 10.50 to spare; with the larger 5.0 psi short. */
START_TEST(smaller_units_are_told)
{
    fc_site *site = site_of(UPC_CLOSETS("existing = v\n" NOT_SAID));
    fc_check_result *result = checked(site);

    ck_assert(assumes(result, "counts as 8 UPC fixture units, the larger "
                              "value, not 5 (1.6 gal or less): wc"));
    ck_assert(assumes(result,
                      "the peak at the source is 51.5 gpm, not 62.0 gpm, and "
                      "10.5 psi to spare at wc, not short by 5.0 psi at wc"));
    fc_check_result_free(result);
    fc_site_free(site);
    site = site_of(UPC_CLOSETS("existing = v\n" SMALL));
    result = checked(site);
    ck_assert(!assumes(result, "larger"));
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* Beyond the last row, below the first one and on a row both readings are
 * one. */
START_TEST(readings_agree)
{
    static const struct {
        fc_code code;
        double units, gpm;
    } rows[] = {
        { FC_IPC, 5, 15 },     { FC_IPC, 2, 15 }, { FC_IPC, 300, 108 },
        { FC_IPC, 6000, 661 }, /* 593 + (593 - 525) */
        { FC_UPC, 10, 27 },    { FC_UPC, 3, 27 }, { FC_UPC, 80, 62 },
    };
    struct fci_tables *tables = NULL;
    bool beyond;

    ck_assert_int_eq(fci_tables_read(NULL, &tables, NULL), FC_OK);
    ck_assert_double_eq_tol(
        fci_demand_flow(fci_tables_demand(tables, rows[_i].code),
                        FC_INTERPOLATE, rows[_i].units, true, &beyond)
            / GPM,
        rows[_i].gpm, 1e-9);
    ck_assert_double_eq_tol(
        fci_demand_flow(fci_tables_demand(tables, rows[_i].code), FC_NEXT_ROW,
                        rows[_i].units, true, &beyond)
            / GPM,
        rows[_i].gpm, 1e-9);
    fci_tables_free(tables);
}
END_TEST

/* ---- Rare, and no slip ------------------------------------------------ */

#define MAIN "[source main]\nkind = street main\nstatic = 60 psi\n"

/* Each has a neighbour in tests/bad that is refused. */
static const char *const accepted[] = {
    MAIN PIPE("size = 2 in\nlength = 9 ft\nc = 160\n"),
    MAIN PIPE("size = 2 in\nlength = 9 ft\nc = 20..90\n"),
    MAIN PIPE("size = 2 in\nlength = 30 ft\nrise = 30 ft\n"),
    MAIN PIPE("size = 2 in\nlength = 8..9 ft\nrise = 9..12 ft\n"),
    MAIN PIPE("size = 2 in\nlength = 9 ft\nrise = -9 ft\n"),
    /* The bore of steel pipe of 2 in is 2.067 in; scale leaves less. */
    MAIN PIPE("size = 2 in\nlength = 9 ft\ninside diameter = 1.3 in\n"),
    MAIN PIPE("size = 2 in\nlength = 9 ft\ninside diameter = 2.07 in\n"),
    MAIN PIPE("size = DN50\nlength = 9 ft\ninside diameter = 52.5 mm\n"),
    MAIN "[pipe p]\nfittings = none\nfrom = main\nmaterial = copper en "
         "1057\nsize = 54 mm\n"
         "length = 9 m\ninside diameter = 40 mm\n"
         "[fixture wc]\non = p\nkind = water closet, flush valve\n",
    "[source main]\nkind = tank\nwater level = 20 ft\n" PIPE(
        "size = 2 in\nlength = 9 ft\n"),
    "[source main]\nkind = tank\nwater level = 90 ft\nelevation = 0 ft\n" PIPE(
        "size = 2 in\nlength = 9 ft\n"),
    "[source main]\nkind = tank\nwater level = 5350 ft\n"
    "elevation = 5280 ft\n" PIPE("size = 2 in\nlength = 9 ft\n"),
    "[source main]\nkind = street main\nstatic = 250 psi\n" PIPE(
        "size = 2 in\nlength = 9 ft\n"),
    MAIN PIPE(
        "size = 2 in\nlength = 9 ft\n") "[valve v]\nflow = 80 gpm at 45 "
                                        "psi\nminimum flowing = 100 psi\n"
                                        "full flush = 10 gal\n",
    MAIN PIPE("size = 2 in\nlength = 9 ft\n") "[valve v]\nflow = 1 gpm at 25 "
                                              "psi\nfull flush = 0.125 gal\n",
    MAIN PIPE("size = 2 in\nlength = 9 ft\n") "rise = 200 ft\n",
    MAIN PIPE("size = 2 in\nlength = 9 ft\n") "fixture units = 9999\n",
    MAIN PIPE("size = 2 in\nlength = 9 ft\n") "[valve v]\n"
                                              "supply size = 1/8 in\n"
                                              "flushes per use = 100\n",
    MAIN PIPE("size = 2 in\nlength = 9 ft\n") "[tolerance]\nlength = 99 %\n",
    MAIN PIPE("size = 2 in\nlength = 9 ft\n") "[tolerance]\nlength = 8 ft\n",
    MAIN PIPE("size = 2 in\nlength = 0 ft\n") "[tolerance]\nlength = 8 ft\n",
    MAIN PIPE(
        "size = 2 in\nlength = 1..9 ft\n") "[tolerance]\nlength = 8.5 ft\n",
    MAIN PIPE(
        "size = 2 in\nlength = 9 ft\nrise = 1 ft\n") "[tolerance]\nelevation "
                                                     "= 2 ft\n",
};

START_TEST(rare_is_accepted)
{
    fc_site_free(site_of(accepted[_i]));
}
END_TEST

/* What a file may not say, a call may not either. */
START_TEST(calls_are_refused)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *site = fc_site_new();
    const fc_pipe pipe = { .name = "p",
                           .from = "main",
                           .c = fc_exactly(900),
                           .inside_diameter = fc_exactly(0.05),
                           .length = fc_exactly(3) };

    ck_assert_int_eq(fc_site_add_pipe(site, &pipe, messages), FC_EINPUT);
    ck_assert_str_eq(all_messages(messages),
                     "[pipe p] c is 900, which no pipe has; 20..160 is "
                     "expected\n");
    fc_site_free(site);
    fc_diagnostics_free(messages);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("evidence_input");
    TCase *tcase = tcase_create("input");

    tcase_add_loop_test(tcase, override_is_told, 0, COUNT(overrides));
    tcase_add_loop_test(tcase, override_tells_its_state, 0, COUNT(of_states));
    tcase_add_loop_test(tcase, amended_tables_are_told, 0, 2);
    tcase_add_loop_test(tcase, verdict_by_what_is_known, 0, COUNT(verdicts));
    tcase_add_test(tcase, interval_flips);
    tcase_add_test(tcase, smaller_units_are_told);
    tcase_add_loop_test(tcase, readings_agree, 0, 7);
    tcase_add_loop_test(tcase, rare_is_accepted, 0, COUNT(accepted));
    tcase_add_test(tcase, calls_are_refused);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
