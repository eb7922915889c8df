/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_text.h -- the report of `check` for a person. */
#ifndef FCI_REPORT_CHECK_TEXT_H
#define FCI_REPORT_CHECK_TEXT_H

#include "page/document.h"
#include "page/figure.h"
#include "report/report.h"

/* The verdict of the judged state and, where there is one, of the other; what
 * it rests on. */
void fci_check_text_verdict(struct fci_doc *doc,
                            const fc_check_result *result);

/* How many flush valves may be open at once, in a line. */
void fci_check_text_at_once(struct fci_doc *doc,
                            const fc_check_result *result);

/* Of these the report is made (report/check_screen.c,
 * report/check_fixtures.c, report/check_flush.c, report/check_minima.c,
 * report/check_pipes.c). */
void fci_check_text_screen(struct fci_doc *doc,
                           const struct fci_check_view *view);
void fci_check_text_zones(struct fci_doc *doc,
                          const struct fci_check_view *view);
void fci_check_text_fixtures(struct fci_doc *doc,
                             const fc_check_result *result);
void fci_check_text_flush(struct fci_doc *doc, const fc_check_result *result);
void fci_check_text_minima(struct fci_doc *doc, const fc_check_result *result);
void fci_check_text_pipes(struct fci_doc *doc, const fc_check_result *result);

/* ---- What the flush events make of the building (check_flush.c) -------- */

/* "up to 3", "cannot tell", in the worst case; NULL: "-" */
struct fci_figure fci_check_at_once(const fc_at_once *at_once);
/* What limits how many, beside the valves' minimums, in some words; NULL:
 * nothing does. */
const char *fci_check_limit(struct fci_doc *doc, const fc_at_once *at_once);
/* A chance in percent: what is not zero, or is above what may be weak, never
 * looks otherwise. */
struct fci_figure fci_check_chance(double chance);
/* How much of a fixture's flushes are weak, at the worst end where there are
 * ends; NAN: that is not known. */
double fci_most_weak(const fc_busy *busy);

/* ---- One table for both states (report/check_rows.c) ------------------- */

#define FCI_MOST_CELLS 8

/* The cells of one state. */
struct fci_row {
    size_t n;
    struct fci_figure texts[FCI_MOST_CELLS];
    enum fci_tint tints[FCI_MOST_CELLS];
};

void fci_row_add(struct fci_row *row, struct fci_figure text);
void fci_row_add_tinted(struct fci_row *row, const char *text,
                        enum fci_tint tint);

/* A table whose first column names what a row is of; where the building is
 * converted the second tells the state. */
struct fci_grid *fci_check_table(struct fci_doc *doc,
                                 const fc_check_result *result,
                                 const struct fci_doc_column *columns,
                                 size_t n);
/* Its rows: one where both states are the same, else two. */
void fci_check_rows(struct fci_grid *grid, const fc_check_result *result,
                    const char *name, const struct fci_row rows[FC_STATES]);

#endif
