/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/cure_suite.h -- the parts of tests/unit/check_cure.c. */
#ifndef TESTS_UNIT_CURE_SUITE_H
#define TESTS_UNIT_CURE_SUITE_H

#include <check.h>

TCase *cure_of_examples(void);
TCase *cure_by_hand(void);
TCase *cure_by_force(void);
TCase *cure_of_valves(void);
TCase *cure_of_odd_sites(void);
TCase *cure_of_generated(void);
TCase *cure_of_pipes(void);
TCase *cure_of_new_pipe(void);
TCase *cure_bought(void);
TCase *cure_of_zones(void);

#endif
