/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/verify_report.h -- the report of `verify`, in its forms. */
#ifndef CLI_REPORT_VERIFY_REPORT_H
#define CLI_REPORT_VERIFY_REPORT_H

#include "page/figure.h"
#include "page/text.h"
#include "shell/digest.h"

void verify_text(struct page *page, const fc_verify_result *result);
/* By which the files and the run are told from others. */
struct origin {
    const char *site_path, *tables_path; /* tables_path NULL: none */
    struct digest site, tables;
    char date[40]; /* "2026-11-29 02:05 UTC" */
};

void verify_json(struct page *page, const fc_verify_result *result,
                 const struct origin *origin);
/* An inspection record, to be signed (report/verify_record.c). */
void verify_record(struct page *page, const fc_verify_result *result,
                   const struct origin *origin);

/* "supported", "contradicted", "undecided" */
const char *support_word(fc_support support);
/* A chance in per cent; what is not certain never looks so, and what is under
 * a limit of the verdict does not look as if it were at it. */
struct figure support_chance(double chance);
/* Of a claim: what was drawn without exception is no certainty. */
struct figure support_chance_of(const fc_checked_claim *claim);
/* "sampling"; NULL: there is none. */
const char *support_doubt(fc_doubt doubt);
/* A pressure of a claim, as finely as it must be told from the claimed one;
 * the same with its unit; what most of the outcomes lie within. */
struct figure support_pressure(const struct page *page,
                               const fc_checked_claim *claim, double si);
struct figure support_said(const struct page *page,
                           const fc_checked_claim *claim, double si);
struct figure support_interval(const struct page *page,
                               const fc_checked_claim *claim);
/* What leads over from a verdict to `but_under`; "" where it is not given. */
const char *support_but(const fc_checked_claim *claim);
/* The pressure read, or the flow, or how long a flush took. */
struct figure reading_shown(const struct page *page,
                            const fc_listed_reading *reading);
/* Whether the model and what is carried to the claim's condition disagree, and
 * nothing else is in the way of either. */
bool support_is_split(const fc_checked_claim *claim);
/* Whether nothing but the supply that is drawn down keeps the model from
 * supporting it. */
bool support_is_drawn_down(const fc_checked_claim *claim);
/* "20,000" */
struct figure support_draws(size_t draws);

#endif
