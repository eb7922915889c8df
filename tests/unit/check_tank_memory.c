/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_tank_memory.c -- tanks when memory runs out.
 *
 * Whichever allocation fails, that is told and nothing is left behind.
 */
#include "generators/sites.h"
#include "unit/allocation.h"

#define BUILDING                                                              \
    "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = 3.5 gal\n"              \
    "minimum flowing = 20 psi\n"                                              \
    "[valve w]\nflow = 25 gpm at 25 psi\nfull flush = 1.28 gal\n"             \
    "minimum flowing = 20 psi\n"                                              \
    "[fixture wc]\non = tank\nkind = water closet, flush valve\n"             \
    "existing = v\nretrofit = w\ncount = 2\n"

static const char *const sites[] = {
    "[source well]\nkind = tank\nwater level = -80 ft\nelevation = -90 ft\n"
    "[pump jet]\nfrom = well\nrise = 90 ft\n"
    "curve = 0 gpm 280 ft, 10 gpm 230 ft, 20 gpm 150 ft\n"
    "[device strainer]\nfrom = jet\nloss = 0 gpm 0 psi, 5 gpm 2 psi, "
    "10 gpm 1 psi, 20 gpm 3 psi\n"
    "[pressure tank tank]\nfrom = strainer\nvolume = 80 gal\n"
    "cut-in = 40 psi\ncut-out = 60 psi\n" BUILDING,
    "[source tank]\nkind = tank\nwater level = 90 ft\nelevation = 80 ft\n"
    "volume = 400 gal\nrate = 5 gpm\n" BUILDING,
};

/* Read, checked, flushed, and what else changes. */
static fc_status
work(const char *text)
{
    const fc_check_options options = { .threads = 1, .no_busy_period = true };
    const fc_flushing open = { .count = 1, .fixture = "wc" };
    fc_site *site = NULL;
    fc_check_result *checked = NULL;
    fc_flush_result *flushed = NULL;
    fc_effects *effects = NULL;
    fc_status status =
        fc_site_read_text(text, strlen(text), "tank.ini", &site, NULL);

    if (status == FC_OK)
        status = fc_check_with(site, &options, &checked, NULL);
    if (status == FC_OK)
        status = fc_flush(site, FC_RETROFIT, &open, 1, &flushed, NULL);
    if (status == FC_OK)
        status = fc_effects_find(site, &effects, NULL);
    fc_effects_free(effects);
    fc_flush_result_free(flushed);
    fc_check_result_free(checked);
    fc_site_free(site);
    return status;
}

/* Check allocates as well, so that nothing is asserted before the failures are
 * over.  Whether there was one. */
static bool
runs_out(const char *text)
{
    const size_t blocks = allocation_blocks();
    const fc_status status = work(text);
    const bool failed = allocation_failures() > 0;
    const size_t left = allocation_blocks() - blocks;

    allocation_fail_never();
    ck_assert_uint_eq(left, 0);
    /* A sort may do without its memory. */
    ck_assert(status == FC_OK || (failed && status == FC_ENOMEM));
    return failed;
}

/* Each of the first, which read the site, and one of so many of the rest. */
#define FIRST 400
#define ONE_OF 11

START_TEST(an_allocation_fails_once)
{
    size_t n = 0;
    bool failed;

    ck_assert_int_eq(work(sites[_i]), FC_OK);
    do {
        n += n < FIRST ? 1 : ONE_OF;
        allocation_fail_once(n);
        failed = runs_out(sites[_i]);
    } while (failed);
    ck_assert_uint_gt(n, FIRST);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("tank, memory");
    TCase *tcase = tcase_create("one by one");

    tcase_set_timeout(tcase, 300);
    tcase_add_loop_test(tcase, an_allocation_fails_once, 0, COUNT(sites));
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
