/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/tables_report.h -- the report of `tables`, in its forms. */
#ifndef FCI_REPORT_TABLES_REPORT_H
#define FCI_REPORT_TABLES_REPORT_H

#include "page/document.h"

/* A line for each entry. */
void tables_list(struct fci_doc *doc, const fc_table_entry *entries, size_t n);
/* Entries in full. */
void tables_text(struct fci_doc *doc, const fc_table_entry *entries, size_t n);
void tables_json(struct fci_doc *doc, const fc_table_entry *entries, size_t n);

#endif
