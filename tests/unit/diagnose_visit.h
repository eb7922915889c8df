/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/diagnose_visit.h -- the parts of
 * tests/unit/check_diagnose_visit.c. */
#ifndef TESTS_UNIT_DIAGNOSE_VISIT_H
#define TESTS_UNIT_DIAGNOSE_VISIT_H

#include "generators/sites.h"

extern fc_site *visited;
extern fc_diagnosis *said; /* of it */

/* The diagnosis of a site file, or the test fails. */
void ask(const char *text);
void put_away(void);

TCase *visit_of_buildings(void);

#endif
