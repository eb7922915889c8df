/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_diagnose_visit_memory.c -- a diagnosis with looks, outlets
 * and ranges when memory runs out; as check_diagnose_memory.c.
 */
#include "unit/allocation.h"
#include "generators/sites.h"

#include <check.h>

static const char *const texts[] = {
    /* looks, a dial, two gauges and a timed flush: several causes are left */
    "[site]\ntitle = Invented\n"
    "[gauge first]\nwithin = 0.1 psi\n[gauge second]\nwithin = 0.1 psi\n"
    "[source main]\nkind = fixed\npressure = 80 psi\n"
    "[meter m]\nfrom = main\nloss = 1 psi at 25 gpm\ngauge = no\n"
    "[device strainer]\nfrom = m\nloss = 10 psi at 25 gpm\n"
    "[valve v]\nminimum flowing = 10 psi\nflow = 25 gpm at 25 psi\n"
    "full flush = 1.6 gal\n"
    "[fixture wc]\non = strainer\nkind = water closet, flush valve\n"
    "existing = v\n"
    "[look l]\nat = strainer\nshows = clean\n"
    "[look k]\nat = wc\nshows = open\n"
    "[reading d]\nat = m\ndial = still\n"
    "[reading r1]\nat = main\npressure = 80 psi\ngauge = first\n"
    "[reading r2]\nat = wc\npressure = 80 psi\ngauge = second\n"
    "[reading r3]\nat = wc\npressure = 40 psi\ngauge = first\n"
    "flushing = wc\nflush time = 3 s\n",
    /* outlets of unknown rate, and ranges: what is learned */
    "[site]\ntitle = Invented\n"
    "[source main]\nkind = fixed\npressure = 70..90 psi\n"
    "[pipe run]\nfittings = none\nfrom = main\nc = 80..140\n"
    "inside diameter = 1 in\nlength = 40..60 ft\n"
    "[fixture tap]\non = run\nkind = urinal, flush tank\n"
    "[fixture bibb]\non = run\nkind = hose bibb\nfixture units = 3\n"
    "rate = 4..6 gpm at 8 psi\n"
    "[look l]\nat = run\nlength = 50 ft\n"
    "[reading r1]\nat = main\npressure = 80 psi\n"
    "[reading r2]\nat = tap\nfilled = 1 gal in 6 s\n"
    "[reading r3]\nat = run\npressure = 76 psi\nopen = bibb\n",
};

static fc_site *site;
static char answer[4096];

static void
set_up(int i)
{
    fc_diagnosis *diagnosis = NULL;

    site = site_of(texts[i]);
    ck_assert_int_eq(fc_diagnose(site, NULL, &diagnosis, NULL), FC_OK);
    ck_assert_msg(i == 0 ? diagnosis->n_causes > 1 : diagnosis->n_learned > 0,
                  "%s", diagnosis->text);
    snprintf(answer, sizeof answer, "%s", diagnosis->text);
    fc_diagnosis_free(diagnosis);
}

/* Every so many, so that the loop ends. */
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
    ck_assert_uint_gt(failed, 100);
}

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
    Suite *suite = suite_create("diagnose visit memory");
    TCase *tcase = tcase_create("memory");

    tcase_add_loop_test(tcase, once, 0, COUNT(texts));
    tcase_add_loop_test(tcase, from_then_on, 0, COUNT(texts));
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
