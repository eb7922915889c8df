/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_report_memory.c -- reports while memory runs out.
 *
 * Every report is written in every form again and again, with one allocation
 * after the other made to fail.  It must say FC_ENOMEM, or give the same text
 * by another way, leave nothing behind and print nothing.
 */
#include "flushcalc.h"
#include "unit/allocation.h"
#include "unit/suite.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const char text[] =
    "[site]\ntitle = Invented\nmaterial = copper L\n"
    "[source main]\nkind = street main\nstatic = 58..64 psi\n"
    "residual = 55 psi\nresidual flow = 200 gpm\n"
    "[meter m]\nfrom = main\nkind = displacement\nsize = 2 in\n"
    "[reducer r]\nfrom = m\nset = 50 psi\nfall-off = 6 psi at 60 gpm\n"
    "[pipe riser-1]\nfrom = r\nsize = 2 in\nlength = 40..60 ft\n"
    "[pipe riser-2]\nfrom = riser-1\nsize = 1-1/2 in\nlength = 12 ft\n"
    "rise = 12 ft\n"
    "[fixture wc-{floor}]\nfloors = 1, 2\non = riser-{floor}\n"
    "kind = water closet, flush valve\ncount = 2\nretrofit = sensor\n"
    "[fixture lav]\non = riser-1\nkind = lavatory\n"
    "[valve sensor]\nminimum flowing = 25 psi\nfull flush = 1.28 gal\n"
    "flow = 25 gpm at 25 psi\n"
    "[usage]\nmen = 20..30\nwomen = 10\n"
    "[reading one]\nat = wc-1\npressure = 40 psi\nopen = 2 of wc-2\n"
    "[claim one]\nfixture = wc-2\nflowing = 30 psi\nwhile = 2 of wc-2\n";

/* What reports are of: made while memory is to be had. */
static fc_site *site, *chosen;
static fc_check_result *checked;
static fc_path *paths[FC_STATES];
static fc_flush_result *flushed, *rest;
static fc_effects *effects;
static fc_size_result *sized;
static fc_remedies *remedies;
static fc_diagnosis *diagnosis;
static fc_verify_result *verified;
static fc_quick_result *quick;
static fc_tables *tables;
static fc_table_entry entries[3];
static fc_checked_sites *sites;
static fc_sweep_result *sweep;
static fc_comparison *comparison;

static const char *const figures[] = { "main=52", "up=16ft", "still=45",
                                       "one=20", "two=9" };

static const fc_check_options few = { .threads = 1, .most_states = 1 };

static fc_site *
site_of(const char *from)
{
    fc_site *made = NULL;

    ck_assert_int_eq(
        fc_site_read_text(from, strlen(from), "site.ini", &made, NULL), FC_OK);
    return made;
}

/* One that can be read, and one that cannot. */
static fc_status
check_two(fc_checked_sites **result)
{
    const fc_site_file files[] = {
        { .path = "a.ini", .text = text, .length = strlen(text) },
        { .path = "b.ini", .text = "[no]\n", .length = 5 },
    };
    const fc_sites_options options = { .check = few };

    return fc_check_sites(files, 2, &options, result);
}

/* A file with a case that is broken and one that is not, one that cannot be
 * read, and what is set over both. */
static fc_status
compare_two(fc_comparison **result)
{
    static char with[sizeof text + 120];
    static const char *const settings[] = { "main.static = 61 psi" };
    const fc_sites_options options = { .check = few,
                                       .settings = settings,
                                       .n_settings = 1 };
    const int n = snprintf(with, sizeof with,
                           "%s[case low]\nmain.static = 57 psi\n"
                           "[case high]\nmain.residual = 90 psi\n",
                           text);
    const fc_site_file files[] = {
        { .path = "a.ini", .text = with, .length = (size_t)n },
        { .path = "b.ini", .text = "[no]\n", .length = 5 },
    };

    return fc_compare(files, 2, &options, result);
}

static void
set_up(void)
{
    const fc_size_options size = { .check = few };
    const fc_verify_options verify = { .threads = 1, .draws = 20 };
    static char choose[sizeof text + 40];

    snprintf(choose, sizeof choose, "%s", text);
    memcpy(strstr(choose, "size = 1-1/2 in"), "size = choose  ", 15);
    site = site_of(text);
    chosen = site_of(choose);
    ck_assert_int_eq(fc_check_with(site, &few, &checked, NULL), FC_OK);
    for (int s = 0; s < FC_STATES; s++)
        ck_assert_int_eq(fc_path_find_with(site, "wc-2", (fc_state)s, &few,
                                           &paths[s], NULL),
                         FC_OK);
    ck_assert_int_eq(
        fc_flush(site, FC_RETROFIT, NULL, (size_t)-1, &flushed, NULL), FC_OK);
    ck_assert_int_eq(fc_flush(site, FC_EXISTING, NULL, 0, &rest, NULL), FC_OK);
    ck_assert_int_eq(fc_effects_find(site, &effects, NULL), FC_OK);
    ck_assert_int_eq(fc_size(chosen, &size, &sized, NULL), FC_OK);
    ck_assert_int_eq(fc_remedies_find(site, &size, &remedies, NULL), FC_OK);
    ck_assert_int_eq(fc_diagnose(site, NULL, &diagnosis, NULL), FC_OK);
    ck_assert_int_eq(fc_verify(site, &verify, &verified, NULL), FC_OK);
    ck_assert_int_eq(check_two(&sites), FC_OK);
    ck_assert_int_eq(fc_quick(figures, COUNT(figures), FC_US, &quick, NULL),
                     FC_OK);
    ck_assert_int_eq(
        fc_sweep(site, "main.static=58..70 psi/2", &few, &sweep, NULL), FC_OK);
    ck_assert_int_eq(compare_two(&comparison), FC_OK);
    ck_assert_uint_eq(comparison->n_broken, 3);
    tables = fc_tables_new(NULL);
    ck_assert_ptr_nonnull(tables);
    for (size_t i = 0; i < COUNT(entries); i++)
        entries[i] = fc_tables_at(tables, i);
}

/* ---- Each report ------------------------------------------------------- */

static fc_status
make(int kind, fc_report **report)
{
    const fc_path *const ways[] = { paths[0], paths[1] };

    switch (kind) {
    case 0:
        return fc_report_check(site, checked, ways, report);
    case 1:
        return fc_report_sites(sites, report);
    case 2:
        return fc_report_path(site, checked, paths[1], true, report);
    case 3:
        return fc_report_flush(site, flushed, true, report);
    case 4:
        return fc_report_size(chosen, sized, report);
    case 5:
        return fc_report_remedies(site, remedies, report);
    case 6:
        return fc_report_diagnosis(site, diagnosis, report);
    case 7:
        return fc_report_sheet(site, diagnosis, rest, report);
    case 8:
        return fc_report_verify(site, verified, report);
    case 9:
        return fc_report_record(site, verified, report);
    case 10:
        return fc_report_quick(quick, report);
    case 11:
        return fc_report_sweep(site, sweep, report);
    case 12:
        return fc_report_compare(comparison, report);
    case 13:
        return fc_report_effects(site, effects, report);
    default:
        return fc_report_tables(entries, COUNT(entries), false, report);
    }
}
#define KINDS 15

/* Brief and full text are two. */
static const struct {
    fc_form form;
    bool full;
} forms[] = { { FC_TEXT, false },
              { FC_TEXT, true },
              { FC_HTML, false },
              { FC_CSV, false },
              { FC_JSON, false } };

static fc_status
write_one(int kind, size_t form, char **written)
{
    const fc_report_options options = { .site = "site.ini",
                                        .full = forms[form].full };
    fc_report *report = NULL;
    fc_status status = make(kind, &report);

    if (status == FC_OK)
        status = fc_report_write(report, forms[form].form, &options, written,
                                 NULL, NULL);
    fc_report_free(report);
    return status;
}

/* Every allocation of the first ones, then every so many: a page takes some
 * ten thousand. */
#define ALL 150
#define STEP 61

/* xmlTextWriterStartElement() of libxml2 2.9 puts a record and a copy of the
 * element's name on a list, and loses both where the list cannot grow. */
static size_t
lost_by(fc_form form)
{
    return form == FC_HTML ? 2 : 0;
}

START_TEST(runs_out)
{
    const int kind = _i / (int)COUNT(forms);
    const size_t form = (size_t)_i % COUNT(forms);
    char *whole = NULL;
    size_t failed = 0, left = 1;

    set_up();
    ck_assert_int_eq(write_one(kind, form, &whole), FC_OK);
    ck_assert_uint_gt(strlen(whole), 100);
    for (size_t n = 1; left > 0; n += n < ALL ? 1 : STEP) {
        const size_t blocks = allocation_blocks();
        char *written = NULL;
        fc_status status;
        bool same = true;

        if (n % 2)
            allocation_fail_once(n);
        else
            allocation_fail_from(n);
        status = write_one(kind, form, &written);
        left = allocation_failures();
        allocation_fail_never();
        failed += left > 0;
        if (status == FC_OK)
            same = strcmp(whole, written) == 0;
        fc_free(written);
        ck_assert_msg(allocation_blocks()
                          <= blocks
                                 + (left > 0 ? lost_by(forms[form].form) : 0),
                      "%d, %zu, %zu: leaks", kind, form, n);
        ck_assert_msg(status == FC_OK || status == FC_ENOMEM,
                      "%d, %zu, %zu: %s", kind, form, n,
                      fc_status_text(status));
        ck_assert_msg(same, "%d, %zu, %zu: another text", kind, form, n);
        ck_assert_msg(left > 0 || status == FC_OK, "%d, %zu, %zu: no failure",
                      kind, form, n);
    }
    ck_assert_uint_gt(failed, 3);
    fc_free(whole);
}
END_TEST

START_TEST(checks_several)
{
    size_t left = 1;

    for (size_t n = 1; left > 0; n += n < ALL ? 1 : STEP) {
        const size_t blocks = allocation_blocks();
        fc_checked_sites *made = NULL;
        fc_status status;

        allocation_fail_from(n);
        status = check_two(&made);
        left = allocation_failures();
        allocation_fail_never();
        ck_assert_int_eq(status, left > 0 ? FC_ENOMEM : FC_OK);
        ck_assert_int_eq(made != NULL, status == FC_OK);
        fc_checked_sites_free(made);
        ck_assert_uint_eq(allocation_blocks(), blocks);
    }
}
END_TEST

START_TEST(compares)
{
    size_t left = 1;

    for (size_t n = 1; left > 0; n += n < ALL ? 1 : STEP) {
        const size_t blocks = allocation_blocks();
        fc_comparison *made = NULL;
        fc_status status;

        allocation_fail_from(n);
        status = compare_two(&made);
        left = allocation_failures();
        allocation_fail_never();
        ck_assert_int_eq(status, left > 0 ? FC_ENOMEM : FC_OK);
        ck_assert_int_eq(made != NULL, status == FC_OK);
        fc_comparison_free(made);
        ck_assert_uint_eq(allocation_blocks(), blocks);
    }
}
END_TEST

/* A first answer: of a reading that is wrong, too, and of a pipe. */
static const struct {
    const char *figures[6];
    size_t n;
    fc_status status;
} answers[] = {
    { { "main=52", "up=16ft", "still=45", "one=20", "two=9" }, 5, FC_OK },
    { { "main=52", "up=16", "length=60", "size=1", "pipe=copper L" },
      5,
      FC_OK },
    { { "still=45", "one=20", "length=60", "size=1", "pipe=copper L" },
      5,
      FC_OK },
    { { "main", "=", "5O", "pipe=coper" }, 4, FC_EINPUT },
    { { "main=52", "up=16", "length=60", "size=1", "pipe=coper" },
      5,
      FC_EINPUT },
};

START_TEST(answers_first)
{
    size_t left = 1;

    for (size_t n = 1; left > 0; n += n < ALL ? 1 : STEP) {
        const size_t blocks = allocation_blocks();
        fc_quick_result *made = NULL;
        fc_status status;

        if (n % 2)
            allocation_fail_once(n);
        else
            allocation_fail_from(n);
        status =
            fc_quick(answers[_i].figures, answers[_i].n, FC_US, &made, NULL);
        left = allocation_failures();
        allocation_fail_never();
        ck_assert_msg(status == answers[_i].status
                          || (left > 0 && status == FC_ENOMEM),
                      "%d, %zu: %s", _i, n, fc_status_text(status));
        ck_assert_int_eq(made != NULL, status == FC_OK);
        fc_quick_free(made);
        ck_assert_uint_eq(allocation_blocks(), blocks);
    }
}
END_TEST

START_TEST(sweeps)
{
    size_t left = 1;

    set_up();
    for (size_t n = 1; left > 0; n += n < ALL ? 1 : STEP) {
        const size_t blocks = allocation_blocks();
        fc_sweep_result *made = NULL;
        fc_status status;

        allocation_fail_from(n);
        status = fc_sweep(site, "main.static=58..60 psi/1", &few, &made, NULL);
        left = allocation_failures();
        allocation_fail_never();
        ck_assert_int_eq(status, left > 0 ? FC_ENOMEM : FC_OK);
        fc_sweep_result_free(made);
        ck_assert_uint_eq(allocation_blocks(), blocks);
    }
}
END_TEST

/* The library prints nothing, whoever fails within it. */
START_TEST(prints_nothing)
{
    char path[] = "/tmp/check_report_memory-XXXXXX";
    const int file = mkstemp(path), error = dup(STDERR_FILENO);
    char *written = NULL;
    size_t failed = 0;

    ck_assert_int_ge(file, 0);
    set_up();
    fflush(stderr);
    dup2(file, STDERR_FILENO);
    for (size_t n = 1; n < 2000; n += 7) {
        allocation_fail_from(n);
        if (write_one(0, 2, &written) == FC_OK)
            fc_free(written);
        failed += allocation_failures() > 0;
        allocation_fail_never();
    }
    fflush(stderr);
    dup2(error, STDERR_FILENO);
    close(error);
    ck_assert_uint_gt(failed, 10);
    ck_assert_int_eq(lseek(file, 0, SEEK_END), 0);
    close(file);
    unlink(path);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("report memory");
    TCase *tcase = tcase_create("memory");

    tcase_set_timeout(tcase, 300);
    tcase_add_loop_test(tcase, runs_out, 0, KINDS * (int)COUNT(forms));
    tcase_add_test(tcase, prints_nothing);
    tcase_add_test(tcase, checks_several);
    tcase_add_test(tcase, sweeps);
    tcase_add_test(tcase, compares);
    tcase_add_loop_test(tcase, answers_first, 0, COUNT(answers));
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
