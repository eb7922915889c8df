/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/diagnose_report.h -- the report of `diagnose`, in its forms. */
#ifndef CLI_REPORT_DIAGNOSE_REPORT_H
#define CLI_REPORT_DIAGNOSE_REPORT_H

#include "page/figure.h"
#include "page/text.h"

/* `free_gauge`: a name that a gauge of the site file may still be given. */
void diagnose_text(struct page *page, const fc_diagnosis *d,
                   const char *free_gauge);
void diagnose_json(struct page *page, const fc_diagnosis *d);
/* A field sheet to fill in (report/diagnose_sheet.c); `rest`: the building
 * with nothing flushing. */
void diagnose_sheet(struct page *page, const fc_diagnosis *d,
                    const fc_flush_result *rest, const char *free_gauge);

/* What is found as work, or where to look. */
void diagnose_work(struct page *page, const fc_diagnosis *d);
/* What to do next, with what each answer means, under its heading. */
void diagnose_next(struct page *page, const fc_diagnosis *d,
                   const char *free_gauge);

/* What no pressure shows, of a symptom. */
void diagnose_by_hand(struct page *page, const fc_diagnosis *d);

/* "open", "shut": as the site file has it; "" of FC_SEEN_NOTHING. */
const char *sight_word(fc_sight sight);
/* "47.0 to 51.0 psi" */
struct figure figure_span(fc_unit_system units, fc_dimension dimension,
                          double low, double high);

#endif
