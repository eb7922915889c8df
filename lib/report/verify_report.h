/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/verify_report.h -- the report of `verify`, in its forms. */
#ifndef FCI_REPORT_VERIFY_REPORT_H
#define FCI_REPORT_VERIFY_REPORT_H

#include "page/document.h"
#include "page/figure.h"
#include "page/shape.h"
#include "report/report.h"

extern const struct fci_shape fci_verify_shape;  /* of fci_verify_view */
extern const struct fci_words fci_support_words; /* of fc_support */

/* ---- Words and figures (verify_words.c) ------------------------------- */

const char *fci_support_word(fc_support support);  /* "supported" */
const char *fci_support_shout(fc_support support); /* "SUPPORTED:" */
enum fci_tint fci_support_tint(fc_support support);
/* Claims with that verdict. */
size_t fci_support_count(const fc_verify_result *result, fc_support verdict);
/* The flowing pressure that counts; NAN: none does. */
double fci_support_flowing(const fc_checked_claim *claim);
/* By verdict, then by what is left above the claim, then as in the file;
 * NULL: out of memory. */
const fc_checked_claim *const *
fci_support_worst_first(struct fci_arena *arena,
                        const fc_verify_result *result);
/* A pressure of a claim, as finely as it must be told from the claimed one;
 * the same with its unit; two of them, "34.8 to 39.8". */
struct fci_figure fci_support_pressure(const struct fci_doc *doc,
                                       const fc_checked_claim *claim,
                                       double si);
struct fci_figure fci_support_said(const struct fci_doc *doc,
                                   const fc_checked_claim *claim, double si);
struct fci_figure fci_support_span(const struct fci_doc *doc,
                                   const fc_checked_claim *claim, double low,
                                   double high);
/* Its chance in per cent: what is not certain never looks so, nor what is
 * under a limit of the verdict as if it were at it. */
struct fci_figure fci_support_chance(const fc_checked_claim *claim);
/* A share of 1 in per cent, with one decimal. */
struct fci_figure fci_support_percent(double share, int decimals);
/* "20,000" */
struct fci_figure fci_support_draws(size_t draws);
/* What leads over from a verdict to `but_under`; "" where it is not given. */
const char *fci_support_but(const fc_checked_claim *claim);
/* "reading r does not fit", "readings r and s do not both fit": what keeps the
 * model from deciding.  NULL out of memory. */
const char *fci_support_misfit(struct fci_doc *doc,
                               const fc_checked_claim *claim);
/* Whether the model and what is carried to the claim's condition disagree, and
 * nothing else is in the way of either. */
bool fci_support_is_split(const fc_checked_claim *claim);
/* Whether nothing but the supply that is drawn down keeps the model from
 * supporting it. */
bool fci_support_is_drawn_down(const fc_checked_claim *claim);
/* The pressure read, or the flow, or how long a flush took. */
struct fci_figure fci_reading_shown(const struct fci_doc *doc,
                                    const fc_listed_reading *reading);

/* ---- Parts ------------------------------------------------------------ */

/* What one screen tells below the verdict (verify_brief.c). */
void fci_verify_brief(struct fci_doc *doc, const fc_verify_result *result,
                      const fc_checked_claim *const *worst_first);
/* Lines for what ends the report and how many more warnings there are, and the
 * least that is said of minimums. */
#define FCI_CLOSE_LINES 4
#define FCI_MINIMA_LINES 5
/* What of it stands below the tables (verify_below.c). */
void fci_verify_below(struct fci_doc *doc, const fc_verify_result *result,
                      const fc_checked_claim *const *worst_first);
/* What would settle an undecided claim, a sentence of the document's; NULL:
 * out of memory (verify_settle.c). */
const char *fci_verify_settle(struct fci_doc *doc,
                              const fc_checked_claim *claim);

#endif
