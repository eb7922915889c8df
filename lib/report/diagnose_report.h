/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/diagnose_report.h -- the parts of the reports of `diagnose`.
 *
 * `most`: so many entries of a list are in the brief text (page/screen.h).
 */
#ifndef FCI_REPORT_DIAGNOSE_REPORT_H
#define FCI_REPORT_DIAGNOSE_REPORT_H

#include "page/document.h"
#include "page/figure.h"

/* The answer, and where else it may be. */
void fci_diagnose_verdict(struct fci_doc *doc, const fc_diagnosis *d,
                          size_t most);

/* What is found as work, or where to look. */
void fci_diagnose_work(struct fci_doc *doc, const fc_diagnosis *d,
                       size_t most);
/* What to do next, with what each answer means, under its heading; the looks
 * that come before it only where they are asked for. */
void fci_diagnose_next(struct fci_doc *doc, const fc_diagnosis *d,
                       const char *free_gauge, bool looks, size_t most);
/* What no pressure shows, of a symptom. */
void fci_diagnose_by_hand(struct fci_doc *doc, const fc_diagnosis *d,
                          size_t most);

/* The readings against the file, and what was seen. */
void fci_diagnose_readings(struct fci_doc *doc, const fc_diagnosis *d,
                           size_t most);
/* What the readings leave of what is known as a range. */
void fci_diagnose_learned(struct fci_doc *doc, const fc_diagnosis *d,
                          size_t most);
/* All causes, and how well each fits; not in the brief text. */
void fci_diagnose_causes(struct fci_doc *doc, const fc_diagnosis *d);

/* "fully open" */
const char *fci_sight_said(fc_sight sight);
/* "47.0 to 51.0 psi" */
struct fci_figure fci_figure_span(fc_unit_system units, fc_dimension dimension,
                                  double low, double high);

#endif
