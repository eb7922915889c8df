/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_calls.c -- every public function, called as none of them is
 * to be called: without what it needs, with values that no enumeration has,
 * with counts of nothing, in the wrong order.
 *
 * Each refuses, says so where it takes a list of messages, and leaves what it
 * would have set as it was.  The last test reads the headers: a function that
 * nothing here tried fails it.
 */
#include "unit/calls_suite.h"
#include "site/site.h"

#include <float.h>
#include <limits.h>
#include <math.h>
#include <stdint.h>

/* ---- A building with a part of every kind ----------------------------- */

static const char text_of_every_kind[] =
    "[site]\ntitle = Invented\nmaterial = copper L\n"
    "[source main]\nkind = street main\nstatic = 58..64 psi\n"
    "flow test = 50 psi at 200 gpm\n"
    "[meter m]\nfrom = main\nkind = displacement\nsize = 2 in\n"
    "[backflow b]\nfrom = m\nloss = 0 gpm 6 psi, 80 gpm 9 psi\n"
    "[device filter]\nfrom = b\nloss = 2 psi at 60 gpm\n"
    "[pump p]\nfrom = filter\ncurve = 0 gpm 95 ft, 120 gpm 60 ft\n"
    "[pressure tank t]\nfrom = p\nvolume = 200 gal\ncut-in = 60 psi\n"
    "cut-out = 80 psi\n"
    "[prv r]\nfrom = t\nset = 55 psi\n"
    "[pipe riser]\nfrom = r\nsize = 2 in\nlength = 40 ft\n"
    "fittings = 2 elbow 90\n"
    "[floors]\n1 = 10 ft\n2 = 22 ft\n"
    "[fixture wc]\non = riser\nkind = water closet, flush valve\ncount = 3\n"
    "retrofit = sensor\n"
    "[fixture lav]\non = riser\nkind = lavatory\n"
    "[valve sensor]\nminimum flowing = 25 psi\nflow = 25 gpm at 25 psi\n"
    "full flush = 1.28 gal\n"
    "[demand d]\non = riser\nflow = 5 gpm\n"
    "[prices c]\nmaterial = copper L\n2 in = 20\n"
    "[price]\nvalve = 250\n"
    "[heater h]\non = riser\nserves = lav\n"
    "[usage]\npeople = 20..30\nclosed = 1 of 70 d\n"
    "[people guests]\nmen = 3\n"
    "[reading one]\nat = wc\npressure = 50 psi\ngauge = shop\n"
    "[gauge shop]\nwithin = 2 psi\n"
    "[look l]\nat = riser\nshows = open\n"
    "[claim one]\nfixture = wc\nflowing = 30 psi\nwhile = 2 of wc\n"
    "[tolerance]\npressure = 1 psi\n"
    "[case more]\ntitle = More\nmain.static = 70 psi\n";

fc_site *
every_kind(void)
{
    fc_site *site = NULL;

    ck_assert_msg(fc_site_read_text(text_of_every_kind,
                                    strlen(text_of_every_kind), "site.ini",
                                    &site, fresh())
                      == FC_OK,
                  "%s", all_messages(said));
    return site;
}

const char *
call_of_kind(enum fci_kind kind)
{
    static const char *const calls[FCI_KINDS] = {
        [FCI_SITE] = "fc_site_set",
        [FCI_SOURCE] = "fc_site_add_source",
        [FCI_PIPE] = "fc_site_add_pipe",
        [FCI_METER] = "fc_site_add_device",
        [FCI_BACKFLOW] = "fc_site_add_device",
        [FCI_DEVICE] = "fc_site_add_device",
        [FCI_REDUCER] = "fc_site_add_reducer",
        [FCI_PUMP] = "fc_site_add_pump",
        [FCI_PRESSURE_TANK] = "fc_site_add_pressure_tank",
        [FCI_FIXTURE] = "fc_site_add_fixture",
        [FCI_VALVE] = "fc_site_add_valve",
        [FCI_DEMAND] = "fc_site_add_demand",
        [FCI_PRICES] = "fc_site_add_prices",
        [FCI_HEATER] = "fc_site_add_heater",
        [FCI_FIX_PRICES] = "fc_site_set_fix_prices",
        [FCI_USAGE] = "fc_site_set_usage",
        [FCI_PEOPLE] = "fc_site_add_people",
        [FCI_READING] = "fc_site_add_reading",
        [FCI_CLAIM] = "fc_site_add_claim",
        [FCI_GAUGE] = "fc_site_add_gauge",
        [FCI_LOOK] = "fc_site_add_look",
        [FCI_FLOORS] = "fc_site_set_floors",
        [FCI_TOLERANCE] = "fc_site_set_tolerance",
    };

    return calls[kind];
}

/* ---- What was tried, and said ----------------------------------------- */

#define MOST_FUNCTIONS 200

static const char *functions[MOST_FUNCTIONS];
static int n_functions;
fc_diagnostics *said;
static bool handed_over; /* since the last look at it */

fc_diagnostics *
fresh(void)
{
    fc_diagnostics_free(said);
    said = fc_diagnostics_new();
    ck_assert_ptr_nonnull(said);
    handed_over = true;
    return said;
}

void
tried(const char *function)
{
    for (int i = 0; i < n_functions; i++)
        if (strcmp(functions[i], function) == 0)
            return;
    ck_assert_int_lt(n_functions, MOST_FUNCTIONS);
    functions[n_functions++] = function;
}

static void
refused(const char *function, fc_status expected, fc_status status, int line)
{
    ck_assert_msg(status == expected, "line %d: %s: status %d, expected %d",
                  line, function, status, expected);
    ck_assert_msg(!handed_over || fc_diagnostics_count(said) > 0,
                  "line %d: %s says nothing", line, function);
    for (size_t i = 0; i < fc_diagnostics_count(said); i++)
        ck_assert_ptr_null(strchr(fc_diagnostics_at(said, i).text, '\n'));
    handed_over = false;
    tried(function);
}

static void
held(const char *function, bool holds, const char *condition, int line)
{
    ck_assert_msg(holds, "line %d: %s", line, condition);
    tried(function);
}

/* A call whose status is that, and which says why. */
#define REFUSED_AS(status, function, ...)                                     \
    refused(#function, status, function(__VA_ARGS__), __LINE__)
#define REFUSED(function, ...) REFUSED_AS(FC_EINPUT, function, __VA_ARGS__)
/* A call without a status. */
#define HOLDS(function, condition)                                            \
    held(#function, condition, #condition, __LINE__)
/* A free that takes NULL. */
#define FREES_NULL(function) (function(NULL), tried(#function))
#define M fresh()

/* What no call may write to when it refuses. */
static char untouched;
#define KEPT(type, name) type *name = (type *)(void *)&untouched
#define IS_KEPT(name) ck_assert_ptr_eq((void *)(name), (void *)&untouched)

static fc_site *site, *unfinished;

static void
setup(void)
{
    site = every_kind();
    unfinished = fc_site_new();
    ck_assert_ptr_nonnull(unfinished);
    handed_over = false;
}

static void
teardown(void)
{
    fc_site_free(site);
    fc_site_free(unfinished);
    fc_diagnostics_free(said);
    said = NULL;
}

/* No value of an enumeration that ends with this one. */
#define WRONG(type, last, i)                                                  \
    ((type)((i) == 0   ? -1                                                   \
            : (i) == 1 ? (int)(last) + 1                                      \
                       : ((i) == 2 ? INT_MAX : INT_MIN)))
#define WRONG_VALUES 4

/* ---- Figures, messages, words ----------------------------------------- */

START_TEST(words)
{
    for (int i = 0; i < WRONG_VALUES; i++) {
        HOLDS(fc_status_text,
              strcmp(fc_status_text(WRONG(fc_status, FC_ENOCONV, i)),
                     "unknown status")
                  == 0);
        HOLDS(fc_finding_about, !*fc_finding_about(WRONG(
                                    fc_finding_code, FC_FOUND_WATER_USE, i)));
        HOLDS(fc_effect_area_word,
              !*fc_effect_area_word(
                  WRONG(fc_effect_area, FC_COLD_DIP_EFFECT, i)));
        HOLDS(fc_lever_word,
              !fc_lever_word(WRONG(fc_lever, FC_THROTTLE_STOPS, i)));
        HOLDS(fc_pipe_way_word,
              !fc_pipe_way_word(WRONG(fc_pipe_way, FC_LOOP, i)));
        HOLDS(fc_arrester_word,
              !*fc_arrester_word(WRONG(fc_arrester, FC_ARRESTER_F, i)));
        HOLDS(fc_fault_word, !fc_fault_word(WRONG(fc_cause_kind, 1000, i)));
    }
    HOLDS(fc_version, *fc_version());
    HOLDS(fc_cautions, fc_cautions()[0] != NULL);
    HOLDS(fc_quick_keys, fc_quick_keys(NULL) > 0);
    HOLDS(fc_starter_keys, fc_starter_keys(NULL) > 0);
    fc_text_put(NULL, stdout);
    fc_text_put("text", NULL);
    tried("fc_text_put");
}
END_TEST

START_TEST(quantities)
{
    fc_range kept = { true, 1, 2, 3 };
    char text[40];

    REFUSED(fc_parse, NULL, FC_FLOW, &kept, M);
    REFUSED(fc_parse, "1 gpm", FC_FLOW, NULL, M);
    REFUSED(fc_parse, "", FC_FLOW, &kept, M);
    REFUSED(fc_parse, "nan gpm", FC_FLOW, &kept, M);
    REFUSED(fc_parse, "inf gpm", FC_FLOW, &kept, M);
    REFUSED(fc_parse, "1e999 gpm", FC_FLOW, &kept, M);
    REFUSED(fc_parse, "1 \ngpm", FC_FLOW, &kept, M);
    REFUSED(fc_parse, "\033[2J", FC_FLOW, &kept, M);
    for (int i = 0; i < WRONG_VALUES; i++) {
        const fc_dimension d = WRONG(fc_dimension, FC_WATER, i);
        const fc_unit_system s = WRONG(fc_unit_system, FC_SI, i);

        REFUSED(fc_parse, "1 gpm", d, &kept, M);
        HOLDS(fc_unit_name, !*fc_unit_name(FC_US, d));
        HOLDS(fc_unit_name, !*fc_unit_name(s, FC_FLOW));
        HOLDS(fc_from_si, isnan(fc_from_si(FC_US, d, 1)));
        HOLDS(fc_from_si, isnan(fc_from_si(s, FC_FLOW, 1)));
        fc_show(s, FC_FLOW, FC_NEAREST, 0, 1, text, sizeof text);
        HOLDS(fc_show, strcmp(text, "nan") == 0);
        fc_show(FC_US, d, FC_NEAREST, 0, 1, text, sizeof text);
        HOLDS(fc_show, strcmp(text, "nan") == 0);
        fc_show_number(WRONG(fc_rounding, FC_UP, i), 1, 2.25, text,
                       sizeof text);
        HOLDS(fc_show_number, strncmp(text, "2.", 2) == 0);
    }
    ck_assert(kept.nominal == 1 && kept.low == 2 && kept.high == 3);
    HOLDS(fc_from_si, isnan(fc_from_si(FC_US, FC_FLOW, NAN)));
    HOLDS(fc_exactly, isnan(fc_exactly(NAN).nominal));
    HOLDS(fc_between, fc_between(2, 1).low > fc_between(2, 1).high);
}
END_TEST

/* Whatever is asked for, what is printed has room and is a figure. */
START_TEST(shown)
{
    static const double figures[] = { NAN,    INFINITY, -INFINITY, 1e280,
                                      -1e280, DBL_MIN,  0,         1.0 / 3 };
    static const int decimals[] = { INT_MIN, -2, 0, 1, 15, 400, INT_MAX };
    char text[41];

    for (int i = 0; i < COUNT(figures); i++)
        for (int k = 0; k < COUNT(decimals); k++)
            for (int r = FC_NEAREST; r <= FC_UP; r++) {
                memset(text, '#', sizeof text);
                fc_show(FC_US, FC_PRESSURE, (fc_rounding)r, decimals[k],
                        figures[i], text, 40);
                ck_assert(text[40] == '#' && memchr(text, '\0', 40));
                ck_assert(isfinite(figures[i]) ? !strstr(text, "n") : *text);
                fc_show_number((fc_rounding)r, decimals[k], figures[i], text,
                               40);
                ck_assert(text[40] == '#' && memchr(text, '\0', 40));
                ck_assert(isfinite(figures[i]) ? !strstr(text, "n") : *text);
            }
    fc_show(FC_US, FC_PRESSURE, FC_NEAREST, 0, 1, NULL, 40);
    fc_show_number(FC_NEAREST, 0, 1, NULL, 40);
    memset(text, '#', sizeof text);
    fc_show(FC_US, FC_PRESSURE, FC_NEAREST, 0, 1, text, 0);
    fc_show_number(FC_NEAREST, 0, 1, text, 0);
    ck_assert_int_eq(text[0], '#');
}
END_TEST

START_TEST(lists_of_messages)
{
    FREES_NULL(fc_diagnostics_free);
    HOLDS(fc_diagnostics_count, fc_diagnostics_count(NULL) == 0);
    HOLDS(fc_diagnostics_at, !*fc_diagnostics_at(NULL, 0).text);
    HOLDS(fc_diagnostics_at, !*fc_diagnostics_at(fresh(), 0).text);
    HOLDS(fc_diagnostics_at, !*fc_diagnostics_at(said, SIZE_MAX).text);
    HOLDS(fc_diagnostics_new, fc_diagnostics_count(said) == 0);
}
END_TEST

START_TEST(entries)
{
    fc_tables *tables = fc_tables_new(NULL);

    ck_assert_ptr_nonnull(tables);
    tried("fc_tables_new");
    FREES_NULL(fc_tables_free);
    HOLDS(fc_tables_count, fc_tables_count(NULL) == 0);
    HOLDS(fc_tables_at, fc_tables_at(NULL, 0).n_lines == 0);
    HOLDS(fc_tables_at, !*fc_tables_at(tables, fc_tables_count(tables)).name);
    HOLDS(fc_tables_at, !*fc_tables_at(tables, SIZE_MAX).name);
    fc_tables_free(tables);
}
END_TEST

/* ---- Sites ------------------------------------------------------------- */

START_TEST(reading)
{
    static const char *const null[] = { NULL };
    static const char *const sets[] = { "",
                                        "=",
                                        "main.static",
                                        "\n",
                                        "main.static = nan psi",
                                        "main.static = 1 psi\n[pipe x]",
                                        "nobody.static = 1 psi" };
    static const char zeros[8] = "";
    const char *text = text_of_every_kind;
    const size_t length = strlen(text);
    KEPT(fc_site, to);

    REFUSED(fc_site_read, NULL, &to, M);
    REFUSED(fc_site_read, "/nowhere", NULL, M);
    REFUSED_AS(FC_EIO, fc_site_read, "", &to, M);
    REFUSED_AS(FC_EIO, fc_site_read, "/nowhere/\nat all", &to, M);
    REFUSED_AS(FC_EIO, fc_site_read, "/", &to, M);
    REFUSED(fc_site_read_text, NULL, 1, "a", &to, M);
    REFUSED(fc_site_read_text, NULL, 0, "a", &to, M);
    REFUSED(fc_site_read_text, text, length, NULL, &to, M);
    REFUSED(fc_site_read_text, text, length, "a", NULL, M);
    REFUSED(fc_site_read_text, zeros, sizeof zeros, "a", &to, M);
    REFUSED(fc_site_read_text, text, length - 400, "a\nb\033", &to, M);
    REFUSED(fc_site_read_with, NULL, NULL, 0, &to, M);
    REFUSED(fc_site_read_with, "/nowhere", NULL, 1, &to, M);
    REFUSED(fc_site_read_with, "/nowhere", null, SIZE_MAX, &to, M);
    REFUSED(fc_site_read_with, "/nowhere", null, 1, &to, M);
    REFUSED(fc_site_read_with, "/nowhere", NULL, 0, NULL, M);
    REFUSED_AS(FC_EIO, fc_site_read_with, "/nowhere", NULL, 0, &to, M);
    REFUSED(fc_site_read_text_with, NULL, 1, "a", NULL, 0, &to, M);
    REFUSED(fc_site_read_text_with, text, length, "a", NULL, 1, &to, M);
    REFUSED(fc_site_read_text_with, text, length, "a", null, 1, &to, M);
    REFUSED(fc_site_read_text_with, text, length, "a", NULL, 0, NULL, M);
    REFUSED(fc_site_with, NULL, NULL, 0, &to, M);
    REFUSED(fc_site_with, site, NULL, 1, &to, M);
    REFUSED(fc_site_with, site, null, 1, &to, M);
    REFUSED(fc_site_with, site, NULL, 0, NULL, M);
    REFUSED_AS(FC_ESTATE, fc_site_with, unfinished, NULL, 0, &to, M);
    for (int i = 0; i < COUNT(sets); i++)
        REFUSED(fc_site_with, site, &sets[i], 1, &to, M);
    REFUSED(fc_site_case, NULL, 0, &to, M);
    REFUSED(fc_site_case, site, 0, NULL, M);
    REFUSED_AS(FC_EUNKNOWN, fc_site_case, site, 1, &to, M);
    REFUSED_AS(FC_EUNKNOWN, fc_site_case, site, SIZE_MAX, &to, M);
    REFUSED_AS(FC_EUNKNOWN, fc_site_case, unfinished, 0, &to, M);
    IS_KEPT(to);
}
END_TEST

START_TEST(asking_a_site)
{
    HOLDS(fc_site_new, unfinished != NULL);
    FREES_NULL(fc_site_free);
    HOLDS(fc_site_set_values, fc_site_set_values(NULL) == 0);
    HOLDS(fc_site_set_value_at, !fc_site_set_value_at(NULL, 0).key);
    HOLDS(fc_site_set_value_at, !fc_site_set_value_at(site, 0).key);
    HOLDS(fc_site_set_value_at, !fc_site_set_value_at(site, SIZE_MAX).key);
    HOLDS(fc_site_cases, fc_site_cases(NULL) == 0);
    HOLDS(fc_site_cases, fc_site_cases(unfinished) == 0);
    HOLDS(fc_site_case_name, !fc_site_case_name(NULL, 0));
    HOLDS(fc_site_case_name, !fc_site_case_name(site, 1));
    HOLDS(fc_site_case_title, !fc_site_case_title(NULL, 0));
    HOLDS(fc_site_case_title, !fc_site_case_title(site, SIZE_MAX));
    HOLDS(fc_site_digest, !fc_site_digest(NULL));
    HOLDS(fc_site_tables_digest, !fc_site_tables_digest(NULL));
    HOLDS(fc_site_tables_digest, !fc_site_tables_digest(unfinished));
    HOLDS(fc_site_count, fc_site_count(NULL) == 0);
    HOLDS(fc_site_part_at, !*fc_site_part_at(NULL, 0).name);
    HOLDS(fc_site_part_at, !*fc_site_part_at(unfinished, 0).kind);
    HOLDS(fc_site_part_at, !*fc_site_part_at(site, SIZE_MAX).kind);
    HOLDS(fc_site_units, fc_site_units(NULL) == FC_US);
    HOLDS(fc_site_title, !fc_site_title(NULL));
    HOLDS(fc_site_title, !fc_site_title(unfinished));
    fc_site_set_units(NULL, FC_SI);
    fc_site_set_units(site, FC_SI);
    for (int i = 0; i < WRONG_VALUES; i++) {
        fc_site_set_units(site, WRONG(fc_unit_system, FC_SI, i));
        HOLDS(fc_site_set_units, fc_site_units(site) == FC_SI);
    }
}
END_TEST

START_TEST(changing)
{
    static char overlong[5001];
    static const char *const values[] = { "",       "a\nb",  "\033",
                                          "nan ft", "-1 ft", "1e300 ft",
                                          overlong };
    fc_site *copy = NULL;
    KEPT(char, value);
    KEPT(fc_site, to);

    memset(overlong, '1', sizeof overlong - 1);
    REFUSED(fc_site_copy, NULL, &to, M);
    REFUSED(fc_site_copy, site, NULL, M);
    IS_KEPT(to);
    REFUSED(fc_site_value, NULL, "main", "static", &value, M);
    REFUSED(fc_site_value, site, NULL, "static", &value, M);
    REFUSED(fc_site_value, site, "main", NULL, &value, M);
    REFUSED(fc_site_value, site, "main", "static", NULL, M);
    REFUSED_AS(FC_EUNKNOWN, fc_site_value, site, "", "static", &value, M);
    REFUSED_AS(FC_EUNKNOWN, fc_site_value, site, overlong, "static", &value,
               M);
    REFUSED_AS(FC_EUNKNOWN, fc_site_value, site, "ma\nin", "static", &value,
               M);
    IS_KEPT(value);
    REFUSED(fc_site_change, NULL, "main", "static", "1 psi", M);
    REFUSED_AS(FC_ESTATE, fc_site_change, site, "main", "static", "1 psi", M);
    ck_assert_int_eq(fc_site_copy(site, &copy, NULL), FC_OK);
    REFUSED(fc_site_change, copy, NULL, "static", "1 psi", M);
    REFUSED(fc_site_change, copy, "main", NULL, "1 psi", M);
    REFUSED_AS(FC_EUNKNOWN, fc_site_change, copy, "", "static", "1 psi", M);
    REFUSED(fc_site_change, copy, "main", "", "1 psi", M);
    REFUSED(fc_site_change, copy, "main", overlong, "1 psi", M);
    REFUSED(fc_site_change, copy, "main", "sta\ntic", "1 psi", M);
    fc_site_free(copy);
    for (int i = 0; i < COUNT(values); i++) {
        fc_status status;

        ck_assert_int_eq(fc_site_copy(site, &copy, NULL), FC_OK);
        status = fc_site_change(copy, "riser", "length", values[i], M);
        if (status == FC_OK) /* by itself it is seen to on finishing */
            status = fc_site_finish(copy, M);
        ck_assert_int_eq(status, FC_EINPUT);
        ck_assert_uint_gt(fc_diagnostics_count(said), 0);
        REFUSED(fc_site_finish, copy, M);
        fc_site_free(copy);
    }
}
END_TEST

/* What a change refused cannot be finished, nor what is copied of it. */
START_TEST(finishing)
{
    fc_site *copy = NULL, *again = NULL;

    REFUSED(fc_site_finish, NULL, M);
    REFUSED(fc_site_finish, unfinished, M);
    REFUSED(fc_site_finish, unfinished, M);
    REFUSED_AS(FC_ESTATE, fc_site_finish, site, M);
    ck_assert_int_eq(fc_site_copy(site, &copy, NULL), FC_OK);
    ck_assert_int_eq(fc_site_change(copy, "riser", "length", "no", NULL),
                     FC_EINPUT);
    ck_assert_int_eq(fc_site_copy(copy, &again, NULL), FC_OK);
    REFUSED(fc_site_finish, copy, M);
    REFUSED(fc_site_finish, again, M);
    fc_site_free(copy);
    fc_site_free(again);
}
END_TEST

/* The parts of the building but one, as they were given. */
static fc_site *
all_but(const char *name)
{
    fc_site *copy = NULL, *made = fc_site_new();

    ck_assert_int_eq(fc_site_copy(site, &copy, NULL), FC_OK);
    for (size_t i = 0; i < copy->n_parts; i++) {
        const struct fci_part *part = &copy->parts[i];

        if (strcmp(part->name, name) != 0)
            ck_assert_int_eq(fci_site_add(made, part->kind, part->data, M),
                             FC_OK);
    }
    fc_site_free(copy);
    return made;
}

/* A site that could not be finished is as it was, and may be mended: by the
 * part that it lacked, or by a key.  It is then the building that it would
 * have been at once. */
START_TEST(finishing_again)
{
    static const fc_valve sensor = {
        .name = "sensor",
        .minimum_flowing = { true, 172368.93, 172368.93, 172368.93 },
        .flow = { true, 1.577e-3, 1.577e-3, 1.577e-3 },
        .flow_pressure = { true, 172368.93, 172368.93, 172368.93 },
    };
    fc_site *lacks = all_but("sensor"), *whole = all_but("sensor");
    const size_t n = fc_site_count(lacks);
    const char *name = fc_site_part_at(lacks, 1).name;
    fc_check_result *a = NULL, *b = NULL;

    for (int i = 0; i < 3; i++) {
        REFUSED(fc_site_finish, lacks, M);
        ck_assert_ptr_nonnull(strstr(all_messages(said), "\"sensor\""));
        ck_assert_uint_eq(fc_site_count(lacks), n);
        REFUSED_AS(FC_ESTATE, fc_check, lacks, &a, M);
    }
    ck_assert_str_eq(name, "main"); /* lent before, and alive */
    ck_assert_int_eq(fc_site_add_valve(lacks, &sensor, M), FC_OK);
    ck_assert_int_eq(fc_site_change(lacks, "wc", "count", "4", M), FC_OK);
    ck_assert_int_eq(fc_site_change(lacks, "wc", "on", "nowhere", M), FC_OK);
    REFUSED(fc_site_finish, lacks, M);
    ck_assert_int_eq(fc_site_change(lacks, "wc", "on", "riser", M), FC_OK);
    ck_assert_int_eq(fc_site_change(lacks, "wc", "count", "3", M), FC_OK);
    ck_assert_msg(fc_site_finish(lacks, M) == FC_OK, "%s", all_messages(said));
    ck_assert_int_eq(fc_site_add_valve(whole, &sensor, M), FC_OK);
    ck_assert_int_eq(fc_site_finish(whole, M), FC_OK);
    ck_assert_int_eq(fc_check(lacks, &a, M), FC_OK);
    ck_assert_int_eq(fc_check(whole, &b, M), FC_OK);
    ck_assert_int_eq(a->works, b->works);
    ck_assert_uint_eq(a->n_findings, b->n_findings);
    for (size_t i = 0; i < a->n_fixtures; i++)
        for (int s = 0; s < FC_STATES; s++) {
            const fc_fixture_state *x = &a->fixtures[i].states[s];
            const fc_fixture_state *y = &b->fixtures[i].states[s];

            ck_assert(x->flowing.low == y->flowing.low);
            ck_assert(x->flowing.high == y->flowing.high);
            ck_assert_int_eq(x->works, y->works);
        }
    fc_check_result_free(a);
    fc_check_result_free(b);
    fc_site_free(lacks);
    fc_site_free(whole);
}
END_TEST

/* ---- What is worked out ------------------------------------------------ */

static const fc_check_options endless = { .most_states = SIZE_MAX };

START_TEST(checking)
{
    KEPT(fc_check_result, result);

    REFUSED(fc_check, NULL, &result, M);
    REFUSED(fc_check, site, NULL, M);
    REFUSED_AS(FC_ESTATE, fc_check, unfinished, &result, M);
    REFUSED(fc_check_with, NULL, NULL, &result, M);
    REFUSED(fc_check_with, site, NULL, NULL, M);
    REFUSED(fc_check_with, site, &endless, &result, M);
    REFUSED_AS(FC_ESTATE, fc_check_with, unfinished, NULL, &result, M);
    IS_KEPT(result);
    FREES_NULL(fc_check_result_free);
}
END_TEST

START_TEST(paths)
{
    static char overlong[5001];
    KEPT(fc_path, path);

    memset(overlong, 'a', sizeof overlong - 1);
    REFUSED(fc_path_find, NULL, "wc", FC_EXISTING, &path, M);
    REFUSED(fc_path_find, site, NULL, FC_EXISTING, &path, M);
    REFUSED(fc_path_find, site, "wc", FC_EXISTING, NULL, M);
    REFUSED_AS(FC_EUNKNOWN, fc_path_find, site, "", FC_EXISTING, &path, M);
    REFUSED_AS(FC_EUNKNOWN, fc_path_find, site, overlong, FC_EXISTING, &path,
               M);
    REFUSED_AS(FC_EUNKNOWN, fc_path_find, site, "w\nc", FC_EXISTING, &path, M);
    REFUSED_AS(FC_ESTATE, fc_path_find, unfinished, "wc", FC_EXISTING, &path,
               M);
    REFUSED(fc_path_find_with, NULL, "wc", FC_EXISTING, NULL, &path, M);
    REFUSED(fc_path_find_with, site, NULL, FC_EXISTING, NULL, &path, M);
    REFUSED(fc_path_find_with, site, "wc", FC_EXISTING, NULL, NULL, M);
    REFUSED(fc_path_find_with, site, "wc", FC_EXISTING, &endless, &path, M);
    REFUSED_AS(FC_ESTATE, fc_path_find_with, unfinished, "wc", FC_EXISTING,
               NULL, &path, M);
    REFUSED(fc_path_at_peak, NULL, "wc", FC_EXISTING, &path, M);
    REFUSED(fc_path_at_peak, site, NULL, FC_EXISTING, &path, M);
    REFUSED(fc_path_at_peak, site, "wc", FC_EXISTING, NULL, M);
    REFUSED_AS(FC_ESTATE, fc_path_at_peak, unfinished, "wc", FC_EXISTING,
               &path, M);
    for (int i = 0; i < WRONG_VALUES; i++) {
        const fc_state state = WRONG(fc_state, FC_RETROFIT, i);

        REFUSED(fc_path_find, site, "wc", state, &path, M);
        REFUSED(fc_path_find_with, site, "wc", state, NULL, &path, M);
        REFUSED(fc_path_at_peak, site, "wc", state, &path, M);
    }
    IS_KEPT(path);
    FREES_NULL(fc_path_free);
}
END_TEST

START_TEST(flushes)
{
    static const fc_flushing none = { 1, NULL }, below = { -1, "wc" },
                             over = { INT_MAX, "wc" }, empty = { 1, "" },
                             lines = { 1, "w\nc" };
    KEPT(fc_flush_result, result);

    REFUSED(fc_flush, NULL, FC_EXISTING, NULL, 0, &result, M);
    REFUSED(fc_flush, site, FC_EXISTING, NULL, 0, NULL, M);
    REFUSED(fc_flush, site, FC_EXISTING, NULL, 1, &result, M);
    REFUSED(fc_flush, site, FC_EXISTING, NULL, SIZE_MAX - 1, &result, M);
    REFUSED(fc_flush, site, FC_EXISTING, &over, SIZE_MAX, &result, M);
    REFUSED(fc_flush, site, FC_RETROFIT, &none, 1, &result, M);
    REFUSED(fc_flush, site, FC_RETROFIT, &below, 1, &result, M);
    REFUSED(fc_flush, site, FC_RETROFIT, &over, 1, &result, M);
    REFUSED_AS(FC_EUNKNOWN, fc_flush, site, FC_RETROFIT, &empty, 1, &result,
               M);
    REFUSED_AS(FC_EUNKNOWN, fc_flush, site, FC_RETROFIT, &lines, 1, &result,
               M);
    REFUSED_AS(FC_ESTATE, fc_flush, unfinished, FC_EXISTING, NULL, 0, &result,
               M);
    REFUSED_AS(FC_ESTATE, fc_flush, unfinished, FC_EXISTING, NULL, SIZE_MAX,
               &result, M);
    for (int i = 0; i < WRONG_VALUES; i++)
        REFUSED(fc_flush, site, WRONG(fc_state, FC_RETROFIT, i), NULL, 0,
                &result, M);
    REFUSED(fc_flush_with, NULL, FC_EXISTING, NULL, 0, NULL, &result, M);
    REFUSED(fc_flush_with, site, FC_EXISTING, NULL, 0, NULL, NULL, M);
    IS_KEPT(result);
    FREES_NULL(fc_flush_result_free);
}
END_TEST

START_TEST(sizes_and_fixes)
{
    static const fc_size_options too_many = { .check = { .most_states =
                                                             SIZE_MAX } };
    KEPT(fc_size_result, size);
    KEPT(fc_remedies, remedies);
    KEPT(char, text);

    REFUSED(fc_size, NULL, NULL, &size, M);
    REFUSED(fc_size, site, NULL, NULL, M);
    REFUSED(fc_size, site, &too_many, &size, M);
    REFUSED(fc_size, site, NULL, &size, M); /* none is to be chosen */
    REFUSED_AS(FC_ESTATE, fc_size, unfinished, NULL, &size, M);
    REFUSED(fc_size_text, NULL, NULL, &text, M);
    FREES_NULL(fc_size_result_free);
    REFUSED(fc_remedies_find, NULL, NULL, &remedies, M);
    REFUSED(fc_remedies_find, site, NULL, NULL, M);
    REFUSED(fc_remedies_find, site, &too_many, &remedies, M);
    REFUSED_AS(FC_ESTATE, fc_remedies_find, unfinished, NULL, &remedies, M);
    REFUSED(fc_remedies_text, NULL, 0, NULL, &text, M);
    FREES_NULL(fc_remedies_free);
    IS_KEPT(size);
    IS_KEPT(remedies);
    IS_KEPT(text);
}
END_TEST

START_TEST(claims_and_causes)
{
    static const fc_verify_options draws = { .draws = SIZE_MAX };
    KEPT(fc_verify_result, verified);
    KEPT(fc_diagnosis, diagnosis);
    KEPT(fc_effects, effects);

    REFUSED(fc_verify, NULL, NULL, &verified, M);
    REFUSED(fc_verify, site, NULL, NULL, M);
    REFUSED(fc_verify, site, &draws, &verified, M);
    REFUSED_AS(FC_ESTATE, fc_verify, unfinished, NULL, &verified, M);
    FREES_NULL(fc_verify_result_free);
    REFUSED(fc_diagnose, NULL, NULL, &diagnosis, M);
    REFUSED(fc_diagnose, site, NULL, NULL, M);
    REFUSED_AS(FC_ESTATE, fc_diagnose, unfinished, NULL, &diagnosis, M);
    for (int i = 0; i < WRONG_VALUES; i++) {
        const fc_diagnose_options state = { .state = WRONG(fc_state,
                                                           FC_RETROFIT, i) };
        const fc_diagnose_options symptom = { .symptom = WRONG(fc_symptom,
                                                               FC_SPLASH, i) };

        REFUSED(fc_diagnose, site, &state, &diagnosis, M);
        REFUSED(fc_diagnose, site, &symptom, &diagnosis, M);
    }
    FREES_NULL(fc_diagnosis_free);
    REFUSED(fc_effects_find, NULL, &effects, M);
    REFUSED(fc_effects_find, site, NULL, M);
    REFUSED_AS(FC_ESTATE, fc_effects_find, unfinished, &effects, M);
    REFUSED(fc_effects_find_with, NULL, NULL, &effects, M);
    REFUSED(fc_effects_find_with, site, NULL, NULL, M);
    REFUSED_AS(FC_ESTATE, fc_effects_find_with, unfinished, NULL, &effects, M);
    FREES_NULL(fc_effects_free);
    IS_KEPT(verified);
    IS_KEPT(diagnosis);
    IS_KEPT(effects);
}
END_TEST

START_TEST(several)
{
    static const char *const null[] = { NULL };
    static const fc_site_file nameless = { .text = "", .length = 0 };
    static const fc_site_file lengthy = { .path = "a", .length = 5 };
    static const fc_site_file file = { .path = "/nowhere" };
    const fc_sites_options options[] = {
        { .n_settings = 1 },
        { .settings = null, .n_settings = 1 },
        { .settings = null, .n_settings = SIZE_MAX },
        { .in_units = true, .units = (fc_unit_system)2 },
        { .in_units = true, .units = (fc_unit_system)-1 },
        { .check = { .most_states = SIZE_MAX } },
    };
    KEPT(fc_checked_sites, sites);
    KEPT(fc_comparison, comparison);
    KEPT(fc_sweep_result, sweep);

    REFUSED(fc_check_sites, NULL, 1, NULL, &sites);
    REFUSED(fc_check_sites, &file, SIZE_MAX, NULL, &sites);
    REFUSED(fc_check_sites, &file, 1, NULL, NULL);
    REFUSED(fc_check_sites, &nameless, 1, NULL, &sites);
    REFUSED(fc_check_sites, NULL, 0, NULL, NULL);
    REFUSED(fc_compare, NULL, 1, NULL, &comparison);
    REFUSED(fc_compare, &file, SIZE_MAX, NULL, &comparison);
    REFUSED(fc_compare, &file, 1, NULL, NULL);
    REFUSED(fc_compare, &nameless, 1, NULL, &comparison);
    for (int i = 0; i < COUNT(options); i++) {
        REFUSED(fc_check_sites, &file, 1, &options[i], &sites);
        REFUSED(fc_compare, &file, 1, &options[i], &comparison);
    }
    IS_KEPT(sites);
    IS_KEPT(comparison);
    ck_assert_int_eq(fc_check_sites(&lengthy, 1, NULL, &sites), FC_OK);
    ck_assert_uint_eq(sites->n_broken, 1); /* it is a file of that name */
    fc_checked_sites_free(sites);
    FREES_NULL(fc_checked_sites_free);
    FREES_NULL(fc_comparison_free);
    REFUSED(fc_sweep, NULL, "main.static=50 psi..60 psi", NULL, &sweep, M);
    REFUSED(fc_sweep, site, NULL, NULL, &sweep, M);
    REFUSED(fc_sweep, site, "main.static=50 psi..60 psi", NULL, NULL, M);
    REFUSED(fc_sweep, site, "main.static=50 psi..60 psi", &endless, &sweep, M);
    REFUSED(fc_sweep, site, "", NULL, &sweep, M);
    REFUSED(fc_sweep, site, "=", NULL, &sweep, M);
    REFUSED(fc_sweep, site, "main.static=nan..inf psi/3", NULL, &sweep, M);
    REFUSED(fc_sweep, site, "main.static=1..2 psi/99999999999", NULL, &sweep,
            M);
    REFUSED(fc_sweep, site, "main.static=1..2 psi/-1", NULL, &sweep, M);
    REFUSED(fc_sweep, site, "main.static=1..2 psi\n[pipe a]", NULL, &sweep, M);
    REFUSED_AS(FC_ESTATE, fc_sweep, unfinished, "main.static=50..60 psi", NULL,
               &sweep, M);
    IS_KEPT(sweep);
    FREES_NULL(fc_sweep_result_free);
}
END_TEST

START_TEST(quick_and_new)
{
    static const char *const null[] = { NULL };
    static const char *const wrong[] = { "",          "=",        "main=",
                                         "=5",        "main=nan", "main=1e999",
                                         "main=5\n6", "\033",     "nobody=1" };
    KEPT(fc_quick_result, result);
    KEPT(char, text);

    REFUSED(fc_quick, NULL, 1, FC_US, &result, M);
    REFUSED(fc_quick, null, SIZE_MAX, FC_US, &result, M);
    REFUSED(fc_quick, null, 1, FC_US, &result, M);
    REFUSED(fc_quick, wrong, 1, FC_US, NULL, M);
    for (int i = 0; i < WRONG_VALUES; i++)
        REFUSED(fc_quick, NULL, 0, WRONG(fc_unit_system, FC_SI, i), &result,
                M);
    for (int i = 0; i < COUNT(wrong); i++) {
        REFUSED(fc_quick, &wrong[i], 1, FC_US, &result, M);
        REFUSED(fc_starter_text, &wrong[i], 1, &text, M);
    }
    REFUSED(fc_quick_try, NULL, "52", M);
    REFUSED(fc_quick_try, "main", NULL, M);
    REFUSED(fc_quick_try, "main", "", M);
    REFUSED(fc_quick_try, "main", "nan", M);
    REFUSED_AS(FC_EUNKNOWN, fc_quick_try, "", "52", M);
    REFUSED_AS(FC_EUNKNOWN, fc_quick_try, "nobody", "52", M);
    FREES_NULL(fc_quick_free);
    REFUSED(fc_starter_text, NULL, 1, &text, M);
    REFUSED(fc_starter_text, null, 1, &text, M);
    REFUSED(fc_starter_text, null, SIZE_MAX, &text, M);
    REFUSED(fc_starter_text, NULL, 0, NULL, M);
    REFUSED(fc_starter_text, NULL, 0, &text, M); /* stories are needed */
    REFUSED(fc_starter_try, NULL, "8", M);
    REFUSED(fc_starter_try, "stories", NULL, M);
    REFUSED(fc_starter_try, "stories", "", M);
    REFUSED(fc_starter_try, "stories", "nan", M);
    REFUSED(fc_starter_try, "stories", "1e9", M);
    REFUSED(fc_starter_try, "", "8", M);
    REFUSED(fc_starter_try, "sto\nries", "8", M);
    IS_KEPT(result);
    IS_KEPT(text);
}
END_TEST

/* ---- Reports ----------------------------------------------------------- */

START_TEST(reports)
{
    fc_check_result *result = NULL;
    fc_path *path = NULL;
    fc_report *report = NULL;
    const void *any = site; /* not looked at: another argument is missing */
    const fc_report_options narrow = { .width = 1 },
                            wide = { .width = UINT_MAX };
    char *text = NULL;
    size_t size = 0;
    KEPT(fc_report, to);
    KEPT(char, kept);

    ck_assert_int_eq(fc_check(site, &result, NULL), FC_OK);
    ck_assert_int_eq(fc_path_at_peak(site, "wc", FC_EXISTING, &path, NULL),
                     FC_OK);
#define OF_SITE(function)                                                     \
    (REFUSED(function, NULL, any, &to), REFUSED(function, site, NULL, &to),   \
     REFUSED(function, site, any, NULL))
    OF_SITE(fc_report_sweep);
    OF_SITE(fc_report_effects);
    OF_SITE(fc_report_size);
    OF_SITE(fc_report_remedies);
    OF_SITE(fc_report_diagnosis);
    OF_SITE(fc_report_verify);
    OF_SITE(fc_report_record);
    REFUSED(fc_report_check, NULL, result, NULL, &to);
    REFUSED(fc_report_check, site, NULL, NULL, &to);
    REFUSED(fc_report_check, site, result, NULL, NULL);
    REFUSED(fc_report_sites, NULL, &to);
    REFUSED(fc_report_sites, any, NULL);
    REFUSED(fc_report_compare, NULL, &to);
    REFUSED(fc_report_compare, any, NULL);
    REFUSED(fc_report_path, NULL, result, path, false, &to);
    REFUSED(fc_report_path, site, result, NULL, false, &to);
    REFUSED(fc_report_path, site, result, path, false, NULL);
    REFUSED_AS(FC_EUNKNOWN, fc_report_path, site, NULL, path, false, &to);
    REFUSED(fc_report_flush, NULL, any, false, &to);
    REFUSED(fc_report_flush, site, NULL, false, &to);
    REFUSED(fc_report_flush, site, any, false, NULL);
    REFUSED(fc_report_quick, NULL, &to);
    REFUSED(fc_report_quick, any, NULL);
    REFUSED(fc_report_sheet, NULL, any, any, &to);
    REFUSED(fc_report_sheet, site, NULL, any, &to);
    REFUSED(fc_report_sheet, site, any, NULL, &to);
    REFUSED(fc_report_sheet, site, any, any, NULL);
    REFUSED(fc_report_tables, NULL, 1, false, &to);
    REFUSED(fc_report_tables, any, SIZE_MAX, false, &to);
    REFUSED(fc_report_tables, NULL, 0, false, NULL);
    IS_KEPT(to);
    ck_assert_int_eq(fc_report_check(site, result, NULL, &report), FC_OK);
    REFUSED(fc_report_write, NULL, FC_TEXT, NULL, &kept, &size, M);
    REFUSED(fc_report_write, report, FC_TEXT, NULL, NULL, &size, M);
    for (int i = 0; i < WRONG_VALUES; i++)
        REFUSED(fc_report_write, report, WRONG(fc_form, FC_JSON, i), NULL,
                &kept, &size, M);
    IS_KEPT(kept);
    ck_assert_uint_eq(size, 0);
    ck_assert_int_eq(fc_report_write(report, FC_TEXT, &narrow, &text, NULL, M),
                     FC_OK);
    fc_free(text);
    ck_assert_int_eq(fc_report_write(report, FC_TEXT, &wide, &text, NULL, M),
                     FC_OK);
    fc_free(text);
    fc_report_free(report);
    fc_path_free(path);
    fc_check_result_free(result);
    FREES_NULL(fc_report_free);
    FREES_NULL(fc_free);
    text = fc_report_schema();
    HOLDS(fc_report_schema, text != NULL);
    fc_free(text);
}
END_TEST

/* ---- All of them ------------------------------------------------------- */

static bool
was_tried(const char *name)
{
    int i = 0;

    while (i < n_functions && strcmp(functions[i], name) != 0)
        i++;
    return i < n_functions;
}

/* As tests/scripts/exports.sh finds them. */
START_TEST(nothing_left_out)
{
    static const char command[] =
        "cat \"$srcdir\"/lib/flushcalc/*.h | "
        "sed -n 's/.*[ *]\\(fc_[a-z_]*\\)(.*/\\1/p' | sort -u";
    FILE *names = popen(command, "r");
    char name[80];
    int n = 0;

    ck_assert_ptr_nonnull(names);
    for (; fgets(name, sizeof name, names); n++) {
        name[strcspn(name, "\n")] = '\0';
        ck_assert_msg(was_tried(name), "%s is not tried", name);
    }
    ck_assert_int_eq(pclose(names), 0);
    ck_assert_int_gt(n, 100);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("calls");
    TCase *tcase = tcase_create("functions"), *last = tcase_create("all");

    tcase_add_checked_fixture(tcase, setup, teardown);
    tcase_add_test(tcase, words);
    tcase_add_test(tcase, quantities);
    tcase_add_test(tcase, shown);
    tcase_add_test(tcase, lists_of_messages);
    tcase_add_test(tcase, entries);
    tcase_add_test(tcase, reading);
    tcase_add_test(tcase, asking_a_site);
    tcase_add_test(tcase, changing);
    tcase_add_test(tcase, finishing);
    tcase_add_test(tcase, finishing_again);
    tcase_add_test(tcase, checking);
    tcase_add_test(tcase, paths);
    tcase_add_test(tcase, flushes);
    tcase_add_test(tcase, sizes_and_fixes);
    tcase_add_test(tcase, claims_and_causes);
    tcase_add_test(tcase, several);
    tcase_add_test(tcase, quick_and_new);
    tcase_add_test(tcase, reports);
    suite_add_tcase(suite, tcase);
    suite_add_tcase(suite, tcase_of_parts());
    tcase_add_test(last, nothing_left_out);
    suite_add_tcase(suite, last);
    return run_suite_unforked(suite);
}
