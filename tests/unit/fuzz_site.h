/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/fuzz_site.h -- what must hold whatever a site file says. */
#ifndef TESTS_UNIT_FUZZ_SITE_H
#define TESTS_UNIT_FUZZ_SITE_H

#include "flushcalc.h"

#include <stdint.h>

/* Read the text as a site file and check it.  What follows a line `;;tables`
 * is the file `tables.ini` beside it.  Returns NULL, or what does not hold;
 * *read and *checked (may be NULL) are the statuses of the two calls. */
const char *fuzz_site(const uint8_t *text, size_t length, fc_status *read,
                      fc_status *checked);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

#endif
