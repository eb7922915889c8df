/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/diagnose_suite.h -- the parts of tests/unit/check_diagnose.c. */
#ifndef TESTS_UNIT_DIAGNOSE_SUITE_H
#define TESTS_UNIT_DIAGNOSE_SUITE_H

#include "generators/sites.h"

TCase *diagnose_by_hand(void);
TCase *diagnose_properties(void);
TCase *diagnose_work(void);

/* The diagnosis of a site file, or the test fails. */
fc_diagnosis *diagnosis_of(fc_site *site);

#endif
