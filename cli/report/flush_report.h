/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/flush_report.h -- the report of `flush`, in its two forms. */
#ifndef CLI_REPORT_FLUSH_REPORT_H
#define CLI_REPORT_FLUSH_REPORT_H

#include "page/text.h"

/* `all`: every valve of the building was opened. */
void flush_text(struct page *page, const fc_flush_result *result, bool all);
void flush_json(struct page *page, const fc_flush_result *result);

/* Of it the tables (report/flush_tables.c). */
void flush_tables(struct page *page, const fc_flush_result *result);

/* What a valve has over its own minimum; not given where none is known. */
fc_range flush_margin(const fc_flush_fixture *fixture);

#endif
