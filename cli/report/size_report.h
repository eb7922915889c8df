/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/size_report.h -- the report of `size`, in its two forms. */
#ifndef CLI_REPORT_SIZE_REPORT_H
#define CLI_REPORT_SIZE_REPORT_H

#include "page/figure.h"
#include "page/text.h"

void size_text(struct page *page, const fc_size_result *result);
void size_json(struct page *page, const fc_size_result *result);

/* Of it the tables (report/size_tables.c). */
void size_tables(struct page *page, const fc_size_result *result);

/* A cost in words: "812 inch-feet", "2,410 by the prices given". */
struct figure size_cost_said(const fc_size_result *result, double cost);

#endif
