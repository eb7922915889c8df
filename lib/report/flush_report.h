/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/flush_report.h -- the report of `flush`, in its two forms. */
#ifndef FCI_REPORT_FLUSH_REPORT_H
#define FCI_REPORT_FLUSH_REPORT_H

#include "page/document.h"

/* Of it the tables (report/flush_tables.c). */
void fci_flush_tables(struct fci_doc *doc, const fc_flush_result *result);

/* What a valve has over its own minimum; not given where none is known. */
fc_range fci_flush_margin(const fc_flush_fixture *fixture);

#endif
