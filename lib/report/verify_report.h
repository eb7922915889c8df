/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/verify_report.h -- the report of `verify`, in its forms. */
#ifndef FCI_REPORT_VERIFY_REPORT_H
#define FCI_REPORT_VERIFY_REPORT_H

#include "page/figure.h"
#include "page/document.h"

/* By which the files and the run are told from others. */

/* "supported", "contradicted", "undecided" */
const char *fci_support_word(fc_support support);
/* A chance in per cent; what is not certain never looks so, and what is under
 * a limit of the verdict does not look as if it were at it. */
struct fci_figure fci_support_chance(double chance);
/* Of a claim: what was drawn without exception is no certainty. */
struct fci_figure fci_support_chance_of(const fc_checked_claim *claim);
/* "sampling"; NULL: there is none. */
const char *fci_support_doubt(fc_doubt doubt);
/* A pressure of a claim, as finely as it must be told from the claimed one;
 * the same with its unit; what most of the outcomes lie within. */
struct fci_figure fci_support_pressure(const struct fci_doc *doc,
                                       const fc_checked_claim *claim,
                                       double si);
struct fci_figure fci_support_said(const struct fci_doc *doc,
                                   const fc_checked_claim *claim, double si);
struct fci_figure fci_support_interval(const struct fci_doc *doc,
                                       const fc_checked_claim *claim);
/* What leads over from a verdict to `but_under`; "" where it is not given. */
const char *fci_support_but(const fc_checked_claim *claim);
/* The pressure read, or the flow, or how long a flush took. */
struct fci_figure fci_reading_shown(const struct fci_doc *doc,
                                    const fc_listed_reading *reading);
/* Whether the model and what is carried to the claim's condition disagree, and
 * nothing else is in the way of either. */
bool fci_support_is_split(const fc_checked_claim *claim);
/* Whether nothing but the supply that is drawn down keeps the model from
 * supporting it. */
bool fci_support_is_drawn_down(const fc_checked_claim *claim);
/* "20,000" */
struct fci_figure fci_support_draws(size_t draws);

#endif
