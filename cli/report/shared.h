/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/shared.h -- the parts that several text reports share. */
#ifndef CLI_REPORT_SHARED_H
#define CLI_REPORT_SHARED_H

#include "page/text.h"

/* What was found, and the state that the report is about. */
struct found {
    const fc_finding *findings;
    size_t n;
    fc_state judged;
};

/* The title alone, which may be NULL. */
void part_title(struct page *page, const char *title);
/* Title, address, who and when. */
void part_heading(struct page *page, const fc_check_result *result);
/* Right under the verdict: what the file sets otherwise than the code. */
void part_overrides(struct page *page, const fc_override *overrides, size_t n);
/* Under a verdict, before all else: which readings contradict the site, or
 * each other; nothing where none does. */
void part_contradictions(struct page *page, const fc_contradiction *list,
                         size_t n);
/* The findings; of one fixture only, where `subject` is not NULL. */
void part_findings(struct page *page, const struct found *found,
                   const char *subject);
void part_assumptions(struct page *page, const char *const *assumptions,
                      size_t n);
void part_cautions(struct page *page);
/* Where the pressure goes; with `darcy` a column for comparison. */
void part_budget(struct page *page, const fc_path *path, bool darcy);
/* What is on the way and is drawn beyond what is known of it. */
void part_beyond(struct page *page, const struct found *found,
                 const fc_path *path);
/* The ceiling, what is needed and what is left: of a fixture in one state. */
void part_why(struct page *page, fc_range static_pressure,
              const fc_fixture_state *end);
/* Too much pressure at a fixture, a verdict line of its own; and at so many
 * more. */
void part_too_high(struct page *page, const fc_excess *excess,
                   const char *fixture, size_t more);
/* What the supply may lose, or must gain: for the building or one fixture. */
void part_spare(struct page *page, fc_range spare, bool building);

/* The figure at which a verdict that cannot be told would turn, and what would
 * settle it; nothing where no single one does. */
void part_proviso(struct page *page, const fc_proviso *proviso);

#endif
