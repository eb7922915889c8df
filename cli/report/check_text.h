/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/check_text.h -- the report of `check` for a person. */
#ifndef CLI_REPORT_CHECK_TEXT_H
#define CLI_REPORT_CHECK_TEXT_H

#include "shell/load.h"
#include "page/text.h"

/* The whole report of one site; `path` is the budget of the fixture that
 * governs, or NULL where none does. */
void check_text(struct page *page, const fc_check_result *result,
                const fc_path *path);
/* A line for each of several sites (report/check_sites.c). */
void check_text_sites(struct page *page, const struct loaded *sites, size_t n);

/* The verdict of the state to be and, where there is one, of the other. */
void check_text_verdict(struct page *page, const fc_check_result *result);

/* How many flush valves may be open at once, in one line
 * (report/check_flush.c). */
void check_text_at_once(struct page *page, const fc_check_result *result);

/* Of these the report is made (report/check_fixtures.c, report/check_flush.c,
 * report/check_minima.c, report/check_pipes.c). */
void check_text_fixtures(struct page *page, const fc_check_result *result);
void check_text_flush(struct page *page, const fc_check_result *result);
void check_text_minima(struct page *page, const fc_check_result *result);
void check_text_pipes(struct page *page, const fc_check_result *result);

#endif
