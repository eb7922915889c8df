/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_findings.c -- findings as data: code, states, figures.
 *
 * The building stands on one source at a fixed pressure, its pipe is without
 * length and without height, so that every fixture has what the source has;
 * what a valve needs and a limit is are the file's own figures.
 */
#include "generators/sites.h"

#include <dirent.h>

#define SITE(pressure)                                                        \
    "[source main]\nkind = fixed\npressure = " pressure                       \
    "\n[pipe p]\nfittings = none\nfrom = main\nlength = 0 ft\nc = 140\n"      \
    "inside diameter = 3 in\n"
#define VALVE(name, minimum)                                                  \
    "[valve " name "]\nfull flush = 1.6 gal\n"                                \
    "flow = 25 gpm at 35 psi\nminimum flowing = " minimum "\n"
#define CLOSET "[fixture x]\non = p\nkind = water closet, flush valve\n"
#define EXACT (1e-6 * PSI)
#define EXISTING FC_IN(FC_EXISTING)
#define RETROFIT FC_IN(FC_RETROFIT)

static const char *const words[] = {
#define WORD(code, about) about,
    FC_FINDING_LIST(WORD)
#undef WORD
};
static bool seen[sizeof words / sizeof *words];

static void
see(const fc_finding *findings, size_t n)
{
    size_t i, k;

    for (i = 0; i < n; i++) {
        const fc_finding *f = &findings[i];

        ck_assert_uint_lt(f->code, sizeof words / sizeof *words);
        ck_assert_str_eq(f->about, words[f->code]);
        ck_assert_str_eq(f->about, fc_finding_about(f->code));
        ck_assert_msg(!strchr(f->text, '{') && !strchr(f->text, '}'), "%s",
                      f->text);
        for (k = 0; k < f->n_figures; k++)
            ck_assert(f->figures[k].value.given && *f->figures[k].what);
        seen[f->code] = true;
    }
}

/* ---- By hand ----------------------------------------------------------- */

static const struct {
    const char *site;
    fc_finding_code code;
    const char *subject;
    unsigned states;
    fc_severity severity;
    const char *what; /* NULL: no figure */
    double low, high; /* psi, gpm, gal or a number */
    const char *text;
} rows[] = {
    /* 20 psi against 40 and 45 psi, both more than the code asks (35 psi). */
    { VALVE("old", "40 psi") VALVE("new", "45 psi") SITE("20 psi") CLOSET
      "existing = old\nretrofit = new\n",
      FC_FOUND_STATIC_PRESSURE, "x", EXISTING, FC_FAIL, "static", 20, 20,
      "40.0 psi flowing required with existing valves (valve minimum)" },
    { VALVE("old", "40 psi") VALVE("new", "45 psi") SITE("20 psi") CLOSET
      "existing = old\nretrofit = new\n",
      FC_FOUND_STATIC_PRESSURE, "x", RETROFIT, FC_FAIL, "needed", 45, 45,
      "45.0 psi flowing required after retrofit" },
    /* 40 to 50 psi may do for 45 psi and may not. */
    { VALVE("old", "45 psi") SITE("40..50 psi") CLOSET "existing = old\n",
      FC_FOUND_FLOWING_PRESSURE, "x", 0, FC_WARN, "pressure", 40, 50,
      "40.0 to 50.0 psi flowing at peak, 45.0 psi required" },
    /* The limit is 80 psi where the file says nothing else; a fixture without
     * a retrofit is the same in both states. */
    { VALVE("new", "25 psi") SITE("90 psi") CLOSET
      "retrofit = new\n"
      "[fixture y]\non = p\nkind = water closet, flush tank\n",
      FC_FOUND_MAXIMUM_STATIC, "y", EXISTING | RETROFIT, FC_FAIL, "maximum",
      80, 80, "90.0 psi static, limit 80.0 psi" },
    { SITE("60 psi") CLOSET "[reading g]\nat = p\npressure = 59 psi\n",
      FC_FOUND_READINGS, "", 0, FC_NOTE, "readings", 1, 1,
      "gauge readings compared: 1; none contradicts another" },
    { SITE("60 psi") CLOSET "[reading g]\nat = p\npressure = 50 psi\n",
      FC_FOUND_CONTRADICTION, "g", 0, FC_WARN, "apart", 10, 10,
      "a gauge at p read 50.0 psi with nothing open; the file as entered "
      "gives 60.0 psi there: see diagnose" },
    { SITE("60 psi") "[pump u]\nfrom = p\nrunning = no\n"
                     "curve = 0 gpm 40 m, 100 gpm 40 m\n"
                     "[fixture x]\non = u\nkind = water closet, flush valve\n",
      FC_FOUND_PUMP, "u", 0, FC_NOTE, NULL, 0, 0,
      "not running: water bypasses it without loss" },
};

static double
in_us(const fc_figure *figure, double value)
{
    return fc_from_si(FC_US, figure->dimension, value);
}

static bool
is_row(const fc_finding *f, int row)
{
    return f->code == rows[row].code && f->states == rows[row].states
           && f->severity == rows[row].severity
           && strcmp(f->subject, rows[row].subject) == 0;
}

START_TEST(by_hand)
{
    fc_site *site = site_of(rows[_i].site);
    fc_check_result *r = NULL;
    const fc_finding *f = NULL;
    bool told = rows[_i].what == NULL;
    size_t i;

    ck_assert_int_eq(fc_check(site, &r, NULL), FC_OK);
    see(r->findings, r->n_findings);
    for (i = 0; i < r->n_findings && !f; i++)
        f = is_row(&r->findings[i], _i) ? &r->findings[i] : NULL;
    ck_assert_msg(f != NULL, "no such finding: %s", rows[_i].text);
    ck_assert_msg(strstr(f->text, rows[_i].text) != NULL, "%s", f->text);
    for (i = 0; i < f->n_figures; i++) {
        const fc_figure *x = &f->figures[i];

        if (!rows[_i].what || strcmp(x->what, rows[_i].what) != 0)
            continue;
        told = true;
        ck_assert_double_eq_tol(in_us(x, x->value.low), rows[_i].low, 1e-6);
        ck_assert_double_eq_tol(in_us(x, x->value.high), rows[_i].high, 1e-6);
    }
    ck_assert(told);
    ck_assert_int_eq(f->says_state,
                     f->states
                         && (strstr(f->text, "retrofit")
                             || strstr(f->text, "existing valves")));
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* At one height and without flow both must read the same: 60 and 50 psi differ
 * by 10, and each names the other. */
START_TEST(against_each_other)
{
    fc_site *site = site_of(SITE("60 psi") CLOSET
                            "[reading a]\nat = p\npressure = 60 psi\n"
                            "[reading b]\nat = x\npressure = 50 psi\n");
    fc_diagnosis *d = NULL;
    const fc_finding *f;

    ck_assert_int_eq(fc_diagnose(site, NULL, &d, NULL), FC_OK);
    ck_assert(d->contradictory && d->n_findings > 0);
    f = &d->findings[0];
    ck_assert_int_eq(f->code, FC_FOUND_CONTRADICTION);
    ck_assert_str_eq(f->subject, "b");
    ck_assert_str_eq(f->against, "a");
    ck_assert_str_eq(f->figures[0].what, "differ");
    ck_assert_double_eq_tol(f->figures[0].value.nominal, 10 * PSI, EXACT);
    fc_diagnosis_free(d);
    fc_site_free(site);
}
END_TEST

START_TEST(word_of_no_code)
{
    ck_assert_str_eq(fc_finding_about((fc_finding_code)COUNT(words)), "");
}
END_TEST

/* ---- Each code --------------------------------------------------------- */

/* What no case and no example gives: buildings that do, */
static const char *const more[] = {
    SITE("60 psi") CLOSET "interval = 2 s\n", /* "interval" */
    /* "contradiction", "unit": 413.7 kPa are 60 psi */
    SITE("60 psi") CLOSET "[reading a]\nat = p\npressure = 413.7 psi\n"
                          "[reading b]\nat = x\npressure = 50 psi\n",
    /* "flow alone", "minimum" */
    SITE("60 psi") CLOSET "[reading f]\nat = x\nflushing = x\nflow = 25 gpm\n"
                          "[claim c]\nfixture = x\nflowing = 30 psi\nwhile = "
                          "1 of x\nstate = existing\n",
    /* "too little" */
    VALVE("old", "70 psi") SITE("60 psi") CLOSET
    "existing = old\n[reading f]\nat = x\nflushing = x\npressure = 60 psi\n",
    /* "emergency fixture", "restart": 4 valves leave each other 12 psi of 60,
     * and close at 20 psi; 3 leave an eyewash 18 psi of 30 */
    "[source main]\nkind = fixed\npressure = 60 psi\n[device d]\n"
    "from = main\nloss = 4 psi at 20 gpm\n[pipe p]\nfrom = d\n"
    "fittings = none\nlength = 0 ft\nc = 140\ninside diameter = 3 in\n"
    "[valve old]\n"
    "flow = 25 gpm at 25 psi\nminimum flowing = 20 psi\ncloses at = 20 psi\n"
    "full flush = 1.6 gal\n" CLOSET "existing = old\ncount = 4\n"
    "[fixture w]\non = p\nkind = eyewash\n",
    /* "seen" */
    VALVE("old", "10 psi") SITE("60 psi") CLOSET
    "existing = old\n[reading f]\nat = x\npressure = 60 psi\n"
    "[look l]\nat = x\nshows = shut\n",
    /* "hygiene flush", "renewal" */
    VALVE("old", "70 psi") "hygiene flush = 72 h\n" SITE("60 psi") CLOSET
    "existing = old\n[pipe end]\nfrom = p\nlength = 10 ft\n"
    "c = 140\ninside diameter = 1 in\n",
};

/* or the file of tests that names it in a table of its own. */
static const struct {
    fc_finding_code code;
    const char *file;
} elsewhere[] = {
    { FC_FOUND_ALL_AT_ONCE, "check_flush.c" },
    { FC_FOUND_ARRESTER, "check_surge.c" },
    { FC_FOUND_CURVE, "check_judge.c" },
    { FC_FOUND_DEMAND, "check_judge.c" },
    { FC_FOUND_FLUSH_EVENTS, "check_flush.c" },
    { FC_FOUND_MAXIMUM_FLOWING, "check_judge.c" },
    { FC_FOUND_METER, "check_judge.c" },
    { FC_FOUND_NOT_WORKED_OUT, "check_verify.c" },
    { FC_FOUND_PLACE_OF_GAUGE, "check_verify.c" },
    { FC_FOUND_REDUCER, "check_judge.c" },
    { FC_FOUND_RESIDUAL, "check_verify.c" },
    { FC_FOUND_SOURCE, "check_flush.c" },
    { FC_FOUND_STREET_MAIN, "check_judge.c" },
    { FC_FOUND_SUPPLY_SIZE, "check_judge.c" },
    { FC_FOUND_VALVE_MINIMUM, "check_flush.c" },
    { FC_FOUND_VELOCITY, "check_judge.c" },
};

/* Whether that file holds the word in quotes. */
static bool
names_word(const char *name, const char *word)
{
    const char *top = getenv("srcdir");
    char path[1024], line[1024], quoted[64];
    bool found = false;
    FILE *file;

    snprintf(path, sizeof path, "%s/tests/unit/%s", top ? top : ".", name);
    snprintf(quoted, sizeof quoted, "\"%s\"", word);
    file = fopen(path, "r");
    ck_assert_msg(file != NULL, "%s cannot be read", path);
    while (!found && fgets(line, sizeof line, file))
        found = strstr(line, quoted) != NULL;
    fclose(file);
    return found;
}

static void
see_all_of(fc_site *site)
{
    fc_check_result *checked = NULL;
    fc_verify_result *verified = NULL;
    fc_diagnosis *diagnosis = NULL;
    fc_flush_result *flush = NULL;
    fc_effects *effects = NULL;
    const fc_verify_options few = { .draws = 200 };

    if (fc_check(site, &checked, NULL) == FC_OK)
        see(checked->findings, checked->n_findings);
    if (fc_verify(site, &few, &verified, NULL) == FC_OK)
        see(verified->findings, verified->n_findings);
    if (fc_diagnose(site, NULL, &diagnosis, NULL) == FC_OK)
        see(diagnosis->findings, diagnosis->n_findings);
    if (fc_flush(site, FC_EXISTING, NULL, 0, &flush, NULL) == FC_OK)
        see(flush->findings, flush->n_findings);
    if (fc_effects_find(site, &effects, NULL) == FC_OK)
        see(effects->findings, effects->n_findings);
    fc_flush_result_free(flush);
    fc_effects_free(effects);
    fc_diagnosis_free(diagnosis);
    fc_verify_result_free(verified);
    fc_check_result_free(checked);
    fc_site_free(site);
}

static void
see_folder(const char *folder)
{
    const char *top = getenv("srcdir");
    char path[1024];
    struct dirent *entry;
    fc_site *site = NULL;
    DIR *all;

    snprintf(path, sizeof path, "%s/%s", top ? top : ".", folder);
    all = opendir(path);
    ck_assert_msg(all != NULL, "%s cannot be read", path);
    while ((entry = readdir(all))) {
        const size_t n = strlen(entry->d_name);

        if (n < 4 || strcmp(entry->d_name + n - 4, ".ini") != 0)
            continue;
        snprintf(path, sizeof path, "%s/%s/%.200s", top ? top : ".", folder,
                 entry->d_name);
        ck_assert_int_eq(fc_site_read(path, &site, NULL), FC_OK);
        see_all_of(site);
    }
    closedir(all);
}

START_TEST(every_code_is_given)
{
    char missing[2048] = "";
    size_t used = 0;
    int i;

    see_folder("tests/cases");
    see_folder("examples");
    for (i = 0; i < COUNT(more); i++)
        see_all_of(site_of(more[i]));
    for (i = 0; i < COUNT(elsewhere); i++) {
        const char *word = words[elsewhere[i].code];

        ck_assert_msg(!seen[elsewhere[i].code], "%s is given here", word);
        ck_assert_msg(names_word(elsewhere[i].file, word), "%s: no \"%s\"",
                      elsewhere[i].file, word);
        seen[elsewhere[i].code] = true;
    }
    for (i = 0; i < COUNT(words); i++)
        if (!seen[i])
            used += (size_t)snprintf(missing + used, sizeof missing - used,
                                     " \"%s\"", words[i]);
    ck_assert_msg(used == 0, "nothing gives%s", missing);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("findings");
    TCase *t = tcase_create("findings");

    tcase_set_timeout(t, 600);
    tcase_add_loop_test(t, by_hand, 0, COUNT(rows));
    tcase_add_test(t, against_each_other);
    tcase_add_test(t, word_of_no_code);
    tcase_add_test(t, every_code_is_given);
    suite_add_tcase(suite, t);
    return run_suite_unforked(suite);
}
