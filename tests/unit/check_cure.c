/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_cure.c -- what cures a building.
 *
 * Every remedy that is said to work is read anew from its site file and
 * checked; the same with a step less, made by the test's own hand, must not
 * work.  Figures by hand, and every choice of pipes in small buildings.
 */
#include "unit/building_suite.h"
#include "unit/cure_suite.h"

int
main(void)
{
    Suite *suite = suite_create("cure");

    building_tables();
    suite_add_tcase(suite, cure_by_hand());
    suite_add_tcase(suite, cure_of_valves());
    suite_add_tcase(suite, cure_of_odd_sites());
    suite_add_tcase(suite, cure_of_new_pipe());
    suite_add_tcase(suite, cure_of_examples());
    suite_add_tcase(suite, cure_of_generated());
    suite_add_tcase(suite, cure_of_pipes());
    suite_add_tcase(suite, cure_bought());
    suite_add_tcase(suite, cure_of_zones());
    suite_add_tcase(suite, cure_by_force());
    return run_building_suite(suite);
}
