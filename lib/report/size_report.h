/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/size_report.h -- the report of `size`, in its two forms. */
#ifndef FCI_REPORT_SIZE_REPORT_H
#define FCI_REPORT_SIZE_REPORT_H

#include "page/figure.h"
#include "page/document.h"

/* Of it the tables (report/size_tables.c). */
void fci_size_tables(struct fci_doc *doc, const fc_size_result *result);

/* A cost in words: "812 inch-feet", "2,410 by the prices given". */
struct fci_figure fci_size_cost_said(const fc_size_result *result,
                                     double cost);

#endif
