/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/diagnose_suite.h -- the parts of tests/check_diagnose.c. */
#ifndef DIAGNOSE_SUITE_H
#define DIAGNOSE_SUITE_H

#include "sites.h"

TCase *diagnose_by_hand(void);
TCase *diagnose_properties(void);
TCase *diagnose_recovery(void);

/* The diagnosis of a site file, or the test fails. */
fc_diagnosis *diagnosis_of(fc_site *site);

#endif
