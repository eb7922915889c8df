/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_size.c -- sizes at least cost, of whole sites. */
#include "generators/buildings.h"
#include "generators/size_sites.h"
#include "unit/size_suite.h"

int
main(void)
{
    Suite *suite = suite_create("size");
    int status;

    size_tables_write();
    building_tables();
    suite_add_tcase(suite, size_combinations());
    suite_add_tcase(suite, size_events());
    suite_add_tcase(suite, size_refusals());
    suite_add_tcase(suite, size_stock());
    suite_add_tcase(suite, size_properties());
    suite_add_tcase(suite, size_published());
    status = run_suite(suite);
    building_tables_end();
    size_tables_remove();
    return status;
}
