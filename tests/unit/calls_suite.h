/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/calls_suite.h -- what tests of wrong calls share. */
#ifndef TESTS_UNIT_CALLS_SUITE_H
#define TESTS_UNIT_CALLS_SUITE_H

#include "generators/sites.h"
#include "site/parts.h"

/* A building with a part of every kind, finished; to be freed. */
fc_site *every_kind(void);
/* The public call that adds such a part. */
const char *call_of_kind(enum fci_kind kind);

/* The list that was handed over last; a new one, empty. */
extern fc_diagnostics *said;
fc_diagnostics *fresh(void);

/* That a function was called wrongly, and refused. */
void tried(const char *function);

TCase *tcase_of_parts(void);

#endif
