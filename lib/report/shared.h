/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/shared.h -- the parts that several text reports share. */
#ifndef FCI_REPORT_SHARED_H
#define FCI_REPORT_SHARED_H

#include "page/document.h"

/* What was found, and the state that the report is about. */
struct fci_found {
    const fc_finding *findings;
    size_t n;
    fc_state judged;
};

/* A name that takes no more than so many columns, of a longer one the end,
 * where names differ: "...-branch-12". */
const char *fci_short_name(struct fci_doc *doc, const char *name,
                           size_t columns);
/* The title alone, which may be NULL. */
void fci_part_title(struct fci_doc *doc, const char *title);
/* Title, address, who and when. */
struct fci_told_file {
    const char *path, *title, *digest; /* the last two may be NULL */
};
/* Of a page on several files: which they are. */
void fci_part_files(struct fci_doc *doc, const struct fci_told_file *files,
                    size_t n);

void fci_part_heading(struct fci_doc *doc, const fc_check_result *result);
/* What was set over the file; nothing where nothing was. */
void fci_part_set(struct fci_doc *doc);
/* Right under the verdict: the same, and what the file sets otherwise than the
 * code. */
void fci_part_overrides(struct fci_doc *doc, const fc_override *overrides,
                        size_t n);
/* Under a verdict, before all else: which readings contradict the site, or
 * each other; nothing where none does. */
void fci_part_contradictions(struct fci_doc *doc, const fc_contradiction *list,
                             size_t n);
/* A table whose first columns are names: where the document folds, rows that
 * differ in these alone are one.  A row without a name belongs to the one
 * above. */
void fci_part_table(struct fci_doc *doc, struct fci_grid *grid, size_t names);
/* The findings; of one fixture only, where `subject` is not NULL. */
void fci_part_findings(struct fci_doc *doc, const struct fci_found *found,
                       const char *subject);
/* Of all of them, what fails and the warnings; and the notes. */
void fci_part_harm(struct fci_doc *doc, const struct fci_found *found);
void fci_part_notes(struct fci_doc *doc, const struct fci_found *found);
void fci_part_assumptions(struct fci_doc *doc, const char *const *assumptions,
                          size_t n);
void fci_part_cautions(struct fci_doc *doc);
/* Where the pressure goes; with `darcy` a column for comparison. */
void fci_part_budget(struct fci_doc *doc, const fc_path *path, bool darcy);
/* The same in a dozen rows, down to what is required and the margin. */
void fci_part_ledger(struct fci_doc *doc, const fc_site *site,
                     const fc_path *path, const fc_fixture_state *end);
/* How many a fixture is: "3", or "1-3". */
const char *fci_count_text(struct fci_doc *doc, const fc_checked_fixture *f);
/* ", after retrofit": the state in a heading; "" where there is but one. */
const char *fci_state_said(const struct fci_doc *doc, fc_state state);
/* The end of one screen: that something is assumed, and whose word counts. */
void fci_part_close(struct fci_doc *doc, size_t n_assumptions);
/* What is on the way and is drawn beyond what is known of it. */
void fci_part_beyond(struct fci_doc *doc, const struct fci_found *found,
                     const fc_path *path);
/* That even with no flow there is less than is required; nothing where there
 * is not. */
void fci_part_ceiling(struct fci_doc *doc, const char *fixture,
                      fc_range static_pressure, const fc_fixture_state *end);
/* Static, required and flowing pressure of a fixture in one state. */
void fci_part_why(struct fci_doc *doc, fc_range static_pressure,
                  const fc_fixture_state *end);
/* Too much pressure at a fixture, a verdict line of its own; and at so many
 * more. */
void fci_part_too_high(struct fci_doc *doc, const fc_excess *excess,
                       const char *fixture, size_t more);
/* What the supply may lose, or must gain: for the building or one fixture. */
void fci_part_spare(struct fci_doc *doc, fc_range spare, bool building);

/* The figure at which a verdict that cannot be told would turn, and what would
 * settle it; nothing where no single one does. */
void fci_part_proviso(struct fci_doc *doc, const fc_proviso *proviso);

/* "WORKS after retrofit: ..."; the state is said where there are two. */
void fci_part_verdict(struct fci_doc *doc, fc_verdict verdict, fc_state state,
                      const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/* The verdict where nothing is short and something else fails: it quotes the
 * first finding that does, which is returned. */
const fc_finding *fci_part_fails(struct fci_doc *doc,
                                 const struct fci_found *found);
/* What fails and what to mind in the judged state, a line for each sort that
 * `told` (NULL: none) does not leave to other parts, nearly no pressure first;
 * as many as one screen holds beside `kept` lines to come.  `quoted`: one that
 * the verdict quotes, or NULL. */
void fci_part_warnings(struct fci_doc *doc, const struct fci_found *found,
                       bool (*told)(const fc_finding *f),
                       const fc_finding *quoted, size_t kept);

#endif
