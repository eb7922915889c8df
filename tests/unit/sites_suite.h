/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/sites_suite.h -- the parts of tests/unit/check_sites.c. */
#ifndef TESTS_UNIT_SITES_SUITE_H
#define TESTS_UNIT_SITES_SUITE_H

#include <check.h>

TCase *sites_two_states(void);

#endif
