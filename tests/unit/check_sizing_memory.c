/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_sizing_memory.c -- least-cost sizes when memory runs out.
 *
 * Whichever allocation fails, that is told and nothing is left behind.
 */
#include "unit/allocation.h"
#include "generators/sites.h"
#include "least_cost/least_cost.h"
#include "least_cost/least_need.h"
#include "generators/sizing_trees.h"

#define TREES 40

static fc_status
run(const struct fci_sizing *problem)
{
    struct fci_sized *sized = NULL;
    const fc_status status = fci_sizing_run(problem, &sized);

    if (status != FC_OK && sized) /* nothing is told */
        return FC_OK;
    fci_sized_free(sized);
    return status;
}

static fc_status
find_least(const struct fci_sizing *problem)
{
    size_t choice[MOST_NODES], blocked;
    double need;

    return fci_sizing_least(problem, 0, choice, &need, &blocked);
}

/* Failures as they were set up.  Check allocates as well, so that nothing is
 * asserted before they are over.  Whether there was one. */
static bool
runs_out(fc_status (*work)(const struct fci_sizing *),
         const struct fci_sizing *problem)
{
    const size_t blocks = allocation_blocks();
    const fc_status status = work(problem);
    const bool failed = allocation_failures() > 0;
    const size_t left = allocation_blocks() - blocks;

    allocation_fail_never();
    ck_assert_uint_eq(left, 0);
    /* A sort may do without its memory. */
    ck_assert(status == FC_OK || (failed && status == FC_ENOMEM));
    return failed;
}

static size_t
fail_all(fc_status (*work)(const struct fci_sizing *),
         const struct fci_sizing *problem, void (*set_up)(size_t n))
{
    size_t n = 1;

    for (set_up(n); runs_out(work, problem); set_up(n))
        n++;
    return n - 1;
}

START_TEST(out_of_memory)
{
    struct sizing_tree tree;

    sizing_tree_make(&tree, 1 + (unsigned long)_i, 12, 5);
    tree.problem.most_points = _i % 2 ? 6 : 0;
    ck_assert_uint_gt(fail_all(run, &tree.problem, allocation_fail_once), 10);
    ck_assert_uint_gt(fail_all(run, &tree.problem, allocation_fail_from), 10);
    ck_assert_uint_ge(
        fail_all(find_least, &tree.problem, allocation_fail_once), 1);
    ck_assert_uint_ge(
        fail_all(find_least, &tree.problem, allocation_fail_from), 1);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("sizing memory");
    TCase *t = tcase_create("running out");

    tcase_add_loop_test(t, out_of_memory, 0, TREES);
    suite_add_tcase(suite, t);
    return run_suite_unforked(suite);
}
