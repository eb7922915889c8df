/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/remedy_report.h -- the report of `size --remedy`, in its two
 * forms. */
#ifndef CLI_REPORT_REMEDY_REPORT_H
#define CLI_REPORT_REMEDY_REPORT_H

#include "page/text.h"

void remedy_text(struct page *page, const fc_remedies *remedies);
void remedy_json(struct page *page, const fc_remedies *remedies);

/* Of it the tables (report/remedy_tables.c). */
void remedy_pipes(struct page *page, const fc_remedies *remedies,
                  const fc_remedy *remedy);
void remedy_floors(struct page *page, const fc_remedies *remedies);
void remedy_windows(struct page *page, const fc_remedies *remedies);

#endif
