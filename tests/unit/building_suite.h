/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/building_suite.h -- running tests over generated buildings. */
#ifndef TESTS_UNIT_BUILDING_SUITE_H
#define TESTS_UNIT_BUILDING_SUITE_H

#include "generators/buildings.h"
#include "unit/suite.h"

/* The tables for the buildings must have been read before the first test. */
static inline int
run_building_suite(Suite *suite)
{
    const int status = run_suite_unforked(suite);

    building_tables_end();
    return status;
}

#endif
