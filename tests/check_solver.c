/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/check_solver.c -- what flows while valves flush.
 *
 * The buildings are invented at random, the same on every run; a failure
 * names the seed of its building.
 */
#include "solver_cases.h"

int
main(void)
{
    SRunner *runner;
    Suite *suite = suite_create("solver");
    int failed;

    building_tables();
    suite_add_tcase(suite, solver_agreement());
    suite_add_tcase(suite, solver_properties());
    suite_add_tcase(suite, solver_sameness());
    suite_add_tcase(suite, solver_by_hand());
    runner = srunner_create(suite);
    /* many short tests: a process for each would take longer than they */
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_ENV);
    failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    building_tables_end();
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
