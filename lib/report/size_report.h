/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/size_report.h -- the parts of the report of `size`. */
#ifndef FCI_REPORT_SIZE_REPORT_H
#define FCI_REPORT_SIZE_REPORT_H

#include "page/document.h"
#include "page/figure.h"

/* All pipes, and the hand method (report/size_tables.c). */
void fci_size_tables(struct fci_doc *doc, const fc_size_result *result);
/* A row for each of these, and the total; `hand`: the hand method beside. */
void fci_size_pipes(struct fci_doc *doc, const fc_size_result *result,
                    const fc_sized_pipe *pipes, size_t n, bool hand);
/* What the hand method comes to, a line. */
void fci_size_by_hand(struct fci_doc *doc, const fc_size_result *result);

/* The same in at most so many rows (report/size_fold.c). */
void fci_size_folded(struct fci_doc *doc, const fc_size_result *result,
                     size_t most);

/* A cost in words: "812.0 inch-feet", "2,410.00 by the prices given". */
struct fci_figure fci_size_cost_said(const fc_size_result *result,
                                     double cost);

#endif
