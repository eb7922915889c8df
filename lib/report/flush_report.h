/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/flush_report.h -- the parts of the report of `flush`. */
#ifndef FCI_REPORT_FLUSH_REPORT_H
#define FCI_REPORT_FLUSH_REPORT_H

#include "report/report.h"

/* What each gauge would read, in as many lines as the screen has left beside
 * `kept` (report/flush_brief.c). */
void fci_flush_brief(struct fci_doc *doc, const struct fci_flush_view *view,
                     size_t kept);
/* The same of every fixture and element (report/flush_tables.c). */
void fci_flush_tables(struct fci_doc *doc, const fc_flush_result *result);

/* What a valve has over its own minimum; not given where none is known. */
fc_range fci_flush_margin(const fc_flush_fixture *fixture);
/* Whether any pressure of a fixture is a range that looks like one. */
bool fci_flush_ranges(const fc_flush_result *result);

#endif
