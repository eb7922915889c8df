/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/remedy_report.h -- the tables of `size --remedy`. */
#ifndef FCI_REPORT_REMEDY_REPORT_H
#define FCI_REPORT_REMEDY_REPORT_H

#include "page/document.h"

void fci_remedy_pipes(struct fci_doc *doc, const fc_remedies *remedies,
                      const fc_remedy *remedy);
void fci_remedy_gains(struct fci_doc *doc, const fc_remedies *remedies);
void fci_remedy_floors(struct fci_doc *doc, const fc_remedies *remedies);
void fci_remedy_windows(struct fci_doc *doc, const fc_remedies *remedies);

#endif
