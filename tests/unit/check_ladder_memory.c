/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_ladder_memory.c -- the shortest ladder when memory runs
 * out.
 *
 * Whichever allocation fails, that is told and nothing is left behind.
 */
#include "flow/ladder.h"
#include "generators/open_valves.h"
#include "generators/repeating_towers.h"
#include "generators/sites.h"
#include "unit/allocation.h"

#define TOWERS 12

/* All that is asked of a ladder in short. */
static fc_status
ask(struct fci_ladder *ladder, const fc_site *site)
{
    bool spoken_for[SMALL_GROUPS], may;
    fc_status status = fci_ladder_twins(ladder, spoken_for);
    size_t i;

    for (i = 0; i < site->n_fixtures && status == FC_OK; i++) {
        const double least =
            site->fixtures[i].valve[FC_EXISTING]->minimum_flowing.nominal;
        struct fci_rungs rungs;
        double left;
        int surely;

        status = fci_ladder_surely(ladder, i, FCI_NOMINAL, least, 16, &surely,
                                   &left);
        if (status == FC_OK)
            status = fci_ladder_may(ladder, i, FCI_NOMINAL, least, surely + 1,
                                    &may);
        if (status == FC_OK)
            status = fci_ladder_climb(ladder, i, FCI_NOMINAL, least,
                                      FCI_MOST_WORST, &rungs);
    }
    return status;
}

static fc_status
find(const fc_site *site, const struct fci_network *network)
{
    struct fci_solver *solver = fci_solver_new(network);
    struct fci_ladder *ladder =
        solver ? fci_ladder_new(network, solver) : NULL;
    const fc_status status = ladder ? ask(ladder, site) : FC_ENOMEM;

    fci_ladder_free(ladder);
    fci_solver_free(solver);
    return status;
}

/* By the call of the library, with the network and both states. */
static fc_status
check(const fc_site *site)
{
    const fc_check_options options = { .threads = 1,
                                       .no_busy_period = true,
                                       .one_ladder = true };
    fc_check_result *result = NULL;
    const fc_status status = fc_check_with(site, &options, &result, NULL);

    fc_check_result_free(result);
    return status;
}

/* Failures as they were set up.  Check allocates as well, so that nothing is
 * asserted before they are over.  Whether there was one. */
static bool
runs_out(const fc_site *site, const struct fci_network *network)
{
    const size_t blocks = allocation_blocks();
    const fc_status status = network ? find(site, network) : check(site);
    const bool failed = allocation_failures() > 0;
    const size_t left = allocation_blocks() - blocks;

    allocation_fail_never();
    ck_assert_uint_eq(left, 0);
    /* A sort may do without its memory. */
    ck_assert(status == FC_OK || (failed && status == FC_ENOMEM));
    return failed;
}

static size_t
fail_all(const fc_site *site, const struct fci_network *network,
         void (*set_up)(size_t n))
{
    size_t n = 1;

    for (set_up(n); runs_out(site, network); set_up(n))
        n++;
    return n - 1;
}

START_TEST(out_of_memory)
{
    fc_site *site = repeating_tower((unsigned long)_i + 1);
    struct fci_network *network = NULL;

    ck_assert_int_eq(fci_network_new(site, FC_EXISTING, &network, NULL),
                     FC_OK);
    ck_assert_uint_gt(fail_all(site, network, allocation_fail_once), 30);
    ck_assert_uint_gt(fail_all(site, network, allocation_fail_from), 30);
    fci_network_free(network);
    ck_assert_uint_gt(fail_all(site, NULL, allocation_fail_once), 30);
    ck_assert_uint_gt(fail_all(site, NULL, allocation_fail_from), 30);
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("ladder memory");
    TCase *t = tcase_create("towers");

    tcase_set_timeout(t, 120);
    tcase_add_loop_test(t, out_of_memory, 0, TOWERS);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
