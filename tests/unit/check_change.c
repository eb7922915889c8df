/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_change.c -- a site with changes, and a site written back.
 *
 * A changed site must be worked out as the one that reads from the file with
 * the change made by hand; an unchanged copy as the site itself, to the last
 * bit of every figure.  What is written must read as the same building again.
 */
#include "unit/building_suite.h"
#include "unit/change_suite.h"

int
main(void)
{
    Suite *suite = suite_create("changes");

    building_tables();
    suite_add_tcase(suite, change_of_files());
    suite_add_tcase(suite, change_of_values());
    suite_add_tcase(suite, change_of_parts());
    suite_add_tcase(suite, change_refusals());
    suite_add_tcase(suite, change_by_name());
    suite_add_tcase(suite, change_texts());
    suite_add_tcase(suite, change_of_generated());
    suite_add_tcase(suite, change_of_settings());
    suite_add_tcase(suite, change_of_keys());
    suite_add_tcase(suite, change_rewritten());
    return run_building_suite(suite);
}
