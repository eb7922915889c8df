/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/report_data.h -- reports as a program gets them, to the last bit,
 * to compare. */
#ifndef TESTS_UNIT_REPORT_DATA_H
#define TESTS_UNIT_REPORT_DATA_H

#include "flushcalc.h"

#include <jansson.h>

/* The JSON of a report, which is freed. */
json_t *report_data(fc_report *report);

/* Without these keys, the last of which is NULL. */
void drop_keys(json_t *data, const char *const *keys);

/* Both are the same, or the test fails with `what` and the text that the first
 * is of. */
void same_data(json_t *one, json_t *other, const char *what, const char *text);

/* Of the full report of a check of a text that stands for the file at `path`,
 * with n texts set over it, less what tells these and the file's digest. NULL:
 * it is refused, and `status` tells how. */
json_t *checked_data(const char *text, const char *path,
                     const char *const *settings, size_t n,
                     const fc_check_options *options, fc_status *status);

#endif
