/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/change_suite.h -- the parts of tests/unit/check_change.c. */
#ifndef TESTS_UNIT_CHANGE_SUITE_H
#define TESTS_UNIT_CHANGE_SUITE_H

#include <check.h>

TCase *change_of_files(void);
TCase *change_of_values(void);
TCase *change_of_parts(void);
TCase *change_refusals(void);
TCase *change_by_name(void);
TCase *change_texts(void);
TCase *change_of_generated(void);
TCase *change_of_settings(void);
TCase *change_of_keys(void);
TCase *change_rewritten(void);

#endif
