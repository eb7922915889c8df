/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_solver.c -- what flows while valves flush.
 *
 * The buildings are invented at random, the same on every run; a failure
 * names the seed of its building.
 */
#include "unit/building_suite.h"
#include "generators/solver_cases.h"

int
main(void)
{
    Suite *suite = suite_create("solver");

    building_tables();
    suite_add_tcase(suite, solver_agreement());
    suite_add_tcase(suite, solver_properties());
    suite_add_tcase(suite, solver_sameness());
    suite_add_tcase(suite, solver_by_hand());
    suite_add_tcase(suite, solver_settles());
    return run_building_suite(suite);
}
