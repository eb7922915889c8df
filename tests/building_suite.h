/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/building_suite.h -- running tests over generated buildings. */
#ifndef BUILDING_SUITE_H
#define BUILDING_SUITE_H

#include "buildings.h"

#include <check.h>
#include <stdlib.h>

/* The tables for the buildings must have been read before the first test. */
static inline int
run_building_suite(Suite *suite)
{
    SRunner *runner = srunner_create(suite);
    int failed;

    /* many short tests: a process for each would take longer than they */
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_ENV);
    failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    building_tables_end();
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}

#endif
