/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_text.h -- the report of `check` for a person. */
#ifndef FCI_REPORT_CHECK_TEXT_H
#define FCI_REPORT_CHECK_TEXT_H

#include "page/document.h"

/* The verdict of the state to be and, where there is one, of the other. */
void fci_check_text_verdict(struct fci_doc *doc,
                            const fc_check_result *result);

/* How many flush valves may be open at once, in one line
 * (report/check_flush.c). */
void fci_check_text_at_once(struct fci_doc *doc,
                            const fc_check_result *result);

/* Of these the report is made (report/check_fixtures.c, report/check_flush.c,
 * report/check_minima.c, report/check_pipes.c). */
void fci_check_text_fixtures(struct fci_doc *doc,
                             const fc_check_result *result);
void fci_check_text_flush(struct fci_doc *doc, const fc_check_result *result);
void fci_check_text_minima(struct fci_doc *doc, const fc_check_result *result);
void fci_check_text_pipes(struct fci_doc *doc, const fc_check_result *result);

#endif
