/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/diagnose_report.h -- the report of `diagnose`, in its forms. */
#ifndef CLI_REPORT_DIAGNOSE_REPORT_H
#define CLI_REPORT_DIAGNOSE_REPORT_H

#include "page/text.h"

/* What the readings come to. */
enum outcome {
    OUTCOME_AS_DESCRIBED,
    OUTCOME_TOO_LITTLE, /* as described, which is less than a valve needs */
    OUTCOME_STILL,      /* so far, with nothing flowing */
    OUTCOME_FOUND,
    OUTCOME_SEVERAL,
    OUTCOME_UNEXPLAINED,
    OUTCOME_CONTRADICTORY
};

enum outcome outcome_of(const fc_diagnosis *d);

void diagnose_text(struct page *page, const fc_diagnosis *d);
void diagnose_json(struct page *page, const fc_diagnosis *d);
/* A field sheet to fill in (report/diagnose_sheet.c); `rest`: the building
 * with nothing flushing. */
void diagnose_sheet(struct page *page, const fc_diagnosis *d,
                    const fc_flush_result *rest);

/* The next reading, with what each answer means, under its heading. */
void diagnose_next(struct page *page, const fc_next_reading *next);

#endif
