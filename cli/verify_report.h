/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/verify_report.h -- the report of `verify`, in its forms. */
#ifndef CLI_VERIFY_REPORT_H
#define CLI_VERIFY_REPORT_H

#include "figure.h"
#include "text.h"

void verify_text(struct page *page, const fc_verify_result *result);
void verify_json(struct page *page, const fc_verify_result *result);
/* An inspection record, to be signed (verify_record.c). */
void verify_record(struct page *page, const fc_verify_result *result);

/* "supported", "contradicted", "undecided" */
const char *support_word(fc_support support);
/* A chance in per cent; what is not certain never looks so. */
struct figure support_chance(double chance);
/* "20,000" */
struct figure support_draws(size_t draws);

#endif
