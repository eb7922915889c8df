/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/diagnose_report.h -- the report of `diagnose`, in its forms. */
#ifndef FCI_REPORT_DIAGNOSE_REPORT_H
#define FCI_REPORT_DIAGNOSE_REPORT_H

#include "page/figure.h"
#include "page/document.h"

/* What is found as work, or where to look. */
void fci_diagnose_work(struct fci_doc *doc, const fc_diagnosis *d);
/* What to do next, with what each answer means, under its heading. */
void fci_diagnose_next(struct fci_doc *doc, const fc_diagnosis *d,
                       const char *free_gauge);

/* What no pressure shows, of a symptom. */
void fci_diagnose_by_hand(struct fci_doc *doc, const fc_diagnosis *d);

/* "open", "shut": as the site file has it; "" of FC_SEEN_NOTHING. */
const char *fci_sight_word(fc_sight sight);
/* "47.0 to 51.0 psi" */
struct fci_figure fci_figure_span(fc_unit_system units, fc_dimension dimension,
                                  double low, double high);

#endif
