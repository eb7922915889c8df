/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/parts.h -- the parts that several text reports share. */
#ifndef CLI_PARTS_H
#define CLI_PARTS_H

#include "text.h"

/* Title, address, who and when; the method and the version. */
void part_title(struct page *page, const fc_check_result *result);
/* The findings; of one fixture only, where `subject` is not NULL. */
void part_findings(struct page *page, const fc_check_result *result,
                   const char *subject);
void part_assumptions(struct page *page, const fc_check_result *result);
void part_cautions(struct page *page);
/* Where the pressure goes; with `darcy` a column for comparison. */
void part_budget(struct page *page, const fc_path *path, bool darcy);
/* The ceiling, what is needed and what is left: of a fixture in one state. */
void part_why(struct page *page, fc_range static_pressure,
              const fc_fixture_state *end);
/* What the supply may lose, or must gain: for the building or one fixture. */
void part_spare(struct page *page, fc_range spare, bool building);

#endif
