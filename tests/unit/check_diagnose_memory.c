/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_diagnose_memory.c -- a diagnosis when memory runs out.
 *
 * One allocation after the other is made to fail, alone and with all that
 * follow, until none is left that could: the call says FC_ENOMEM, or comes to
 * the same answer by another way, and leaves nothing behind.
 */
#include "unit/allocation.h"
#include "generators/sites.h"

#include <check.h>

/* A tree whose readings need two causes, a loop, a valve that was seen to be
 * partly closed, and a building that nobody has read a gauge in. */
static const char *const texts[] = {
    "[site]\ntitle = Invented\n"
    "[source main]\nkind = fixed\npressure = 80 psi\n"
    "[device strainer]\nfrom = main\nloss = 10 psi at 25 gpm\n"
    "[valve v]\nminimum flowing = 10 psi\nflow = 25 gpm at 25 psi\n"
    "[fixture wc]\non = strainer\nkind = water closet, flush valve\n"
    "existing = v\n"
    "[reading r1]\nat = main\npressure = 70 psi\nwithin = 0.1 psi\n"
    "[reading r2]\nat = strainer\npressure = 72 psi\nwithin = 0.1 psi\n"
    "[reading r3]\nat = strainer\npressure = 38 psi\nwithin = 0.1 psi\n"
    "flushing = wc\n",
    "[site]\ntitle = Invented\nmaterial = copper L\n"
    "[source main]\nkind = fixed\npressure = 80 psi\n"
    "[pipe a]\nfittings = none\nfrom = main\nsize = 1 in\nlength = 50 ft\n"
    "[pipe b]\nfittings = none\nfrom = a\nsize = 1 in\nlength = 50 ft\n"
    "[pipe c]\nfittings = none\nfrom = main\nsize = 1 in\nlength = 50 ft\n"
    "[pipe d]\nfittings = none\nfrom = c\nto = b\nsize = 1 in\nlength = 50 "
    "ft\n"
    "[valve v]\nminimum flowing = 10 psi\nflow = 25 gpm at 25 psi\n"
    "[fixture wc]\non = b\nkind = water closet, flush valve\ncount = 2\n"
    "existing = v\n"
    "[reading r1]\nat = main\npressure = 80 psi\n"
    "[reading r2]\nat = wc\npressure = 42 psi\nflushing = 1 of wc\n",
    "[site]\ntitle = Invented\nmaterial = copper L\n"
    "[source main]\nkind = fixed\npressure = 80 psi\n"
    "[meter m]\nfrom = main\nloss = 10 psi at 25 gpm\n"
    "[pipe wing]\nfrom = m\nsize = 4 in\nlength = 1 ft\n"
    "fittings = 1 gate valve\n"
    "[valve v]\nminimum flowing = 10 psi\nflow = 25 gpm at 25 psi\n"
    "[fixture wc]\non = wing\nkind = water closet, flush valve\n"
    "existing = v\n"
    "[reading r1]\nat = m\npressure = 80 psi\n"
    "[reading r2]\nat = m\npressure = 62.6 psi\nflushing = wc\n"
    "[reading r3]\nat = wc\npressure = 43.5 psi\nflushing = wc\n"
    "[look l]\nat = wing\nshows = shut\n",
    "[site]\ntitle = Invented\nmaterial = copper L\n"
    "[source main]\nkind = fixed\npressure = 80 psi\n"
    "[meter m]\nfrom = main\nloss = 10 psi at 25 gpm\n"
    "[reducer prv]\nfrom = m\nset = 60 psi\nfall-off = 5 psi at 50 gpm\n"
    "[pipe wing]\nfrom = prv\nsize = 2 in\nlength = 20 ft\nrise = 12 ft\n"
    "fittings = none\n"
    "[valve v]\nminimum flowing = 10 psi\nflow = 25 gpm at 25 psi\n"
    "full flush = 1.6 gal\n"
    "[fixture wc]\non = wing\nkind = water closet, flush valve\ncount = 2\n"
    "existing = v\n"
};

static fc_site *site;
static char answer[4096];
static size_t least; /* allocations that must have failed */

static void
set_up(int i)
{
    fc_diagnosis *diagnosis = NULL;

    site = site_of(texts[i]);
    ck_assert_int_eq(fc_diagnose(site, NULL, &diagnosis, NULL), FC_OK);
    ck_assert(!diagnosis->as_described);
    snprintf(answer, sizeof answer, "%s", diagnosis->text);
    least = diagnosis->n_readings > 0 ? 100 : 20;
    fc_diagnosis_free(diagnosis);
}

/* Every so many, so that the loop ends; returns how often one failed. */
static void
try_all(void (*runs_out)(size_t n), size_t step)
{
    size_t n, failed = 0, left = 1;

    for (n = 1; left > 0; n += n < 200 ? 1 : step) {
        const size_t blocks = allocation_blocks();
        fc_diagnosis *diagnosis = NULL;
        fc_status status;
        bool same = true;

        runs_out(n);
        status = fc_diagnose(site, NULL, &diagnosis, NULL);
        left = allocation_failures();
        allocation_fail_never();
        failed += left > 0;
        if (status == FC_OK) {
            same = strcmp(diagnosis->text, answer) == 0;
            fc_diagnosis_free(diagnosis);
        }
        ck_assert_msg(allocation_blocks() == blocks, "%zu: leaks", n);
        ck_assert_msg(status == FC_OK || status == FC_ENOMEM, "%zu: %s", n,
                      fc_status_text(status));
        ck_assert_msg(same, "%zu: another answer", n);
        ck_assert_msg(left > 0 || status == FC_OK, "%zu: no failure, but %s",
                      n, fc_status_text(status));
    }
    ck_assert_uint_gt(failed, least);
}

/* ---- Its reports ------------------------------------------------------- */

/* It asserts nothing, which takes memory itself. */
static fc_status
write_report(const fc_diagnosis *diagnosis, fc_form form, bool full,
             char **text)
{
    const fc_report_options options = { .full = full };
    fc_report *report = NULL;
    fc_status status = fc_report_diagnosis(site, diagnosis, &report);

    *text = NULL;
    if (status == FC_OK)
        status = fc_report_write(report, form, &options, text, NULL, NULL);
    fc_report_free(report);
    return status;
}

static void
write_all(const fc_diagnosis *diagnosis, fc_form form, bool full,
          void (*runs_out)(size_t n))
{
    char *whole, *text;
    size_t n, left = 1;

    ck_assert_int_eq(write_report(diagnosis, form, full, &whole), FC_OK);
    for (n = 1; left > 0; n += n < 200 ? 1 : 37) {
        const size_t blocks = allocation_blocks();
        fc_status status;

        runs_out(n);
        status = write_report(diagnosis, form, full, &text);
        left = allocation_failures();
        allocation_fail_never();
        ck_assert_msg(status == (text ? FC_OK : FC_ENOMEM), "%zu: %s", n,
                      fc_status_text(status));
        ck_assert_msg(!text || strcmp(text, whole) == 0, "%zu: another text",
                      n);
        fc_free(text);
        ck_assert_msg(allocation_blocks() == blocks, "%zu: leaks", n);
    }
    fc_free(whole);
}

START_TEST(in_reports)
{
    static const fc_form forms[] = { FC_TEXT, FC_JSON, FC_CSV };
    fc_diagnosis *diagnosis = NULL;
    size_t i;

    set_up(_i);
    ck_assert_int_eq(fc_diagnose(site, NULL, &diagnosis, NULL), FC_OK);
    for (i = 0; i < sizeof forms / sizeof *forms; i++) {
        write_all(diagnosis, forms[i], false, allocation_fail_once);
        write_all(diagnosis, forms[i], true, allocation_fail_from);
    }
    fc_diagnosis_free(diagnosis);
    fc_site_free(site);
}
END_TEST

/* ---- All --------------------------------------------------------------- */

START_TEST(once)
{
    set_up(_i);
    try_all(allocation_fail_once, 37);
    fc_site_free(site);
}
END_TEST

START_TEST(from_then_on)
{
    set_up(_i);
    try_all(allocation_fail_from, 37);
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("diagnose memory");
    TCase *tcase = tcase_create("memory");

    tcase_add_loop_test(tcase, once, 0, COUNT(texts));
    tcase_add_loop_test(tcase, from_then_on, 0, COUNT(texts));
    tcase_add_loop_test(tcase, in_reports, 0, COUNT(texts));
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
