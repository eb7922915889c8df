/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/tables_report.h -- the report of `tables`, in its forms. */
#ifndef CLI_REPORT_TABLES_REPORT_H
#define CLI_REPORT_TABLES_REPORT_H

#include "page/text.h"

/* A line for each entry. */
void tables_list(struct page *page, const fc_table_entry *entries, size_t n);
/* Entries in full. */
void tables_text(struct page *page, const fc_table_entry *entries, size_t n);
void tables_json(struct page *page, const fc_table_entry *entries, size_t n);

#endif
