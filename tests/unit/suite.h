/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/suite.h -- running a suite from main. */
#ifndef TESTS_UNIT_SUITE_H
#define TESTS_UNIT_SUITE_H

#include <check.h>
#include <stdlib.h>

static inline int
run_suite_with(Suite *suite, enum fork_status fork)
{
    SRunner *runner = srunner_create(suite);
    int failed;

    srunner_set_fork_status(runner, fork);
    srunner_run_all(runner, CK_ENV);
    failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}

/* The exit status; a process for each test, unless the user says otherwise. */
static inline int
run_suite(Suite *suite)
{
    return run_suite_with(suite, CK_FORK_GETENV);
}

/* The same in one process: for tests that hand on what they found, and for
 * many short ones. */
static inline int
run_suite_unforked(Suite *suite)
{
    return run_suite_with(suite, CK_NOFORK);
}

#endif
