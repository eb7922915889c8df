/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/words.h -- the library's judgements in words. */
#ifndef FCI_REPORT_WORDS_H
#define FCI_REPORT_WORDS_H

#include "page/document.h"

/* "works", "cannot tell"; a fixture that fails for want of pressure is
 * "short". */
const char *fci_fixture_verdict_word(const fc_fixture_state *end);
enum fci_tint fci_verdict_tint(fc_verdict verdict);
/* A cell with both verdicts of a state, as fci_verdict_said() has them. */
void fci_cell_verdict(struct fci_grid *grid, fc_verdict works,
                      fc_verdict too_high);
/* The worse of two, as the exit status counts them. */
fc_verdict fci_worse_verdict(fc_verdict a, fc_verdict b);
/* The kind of an element as it is said: "PRV", "backflow preventer". */
const char *fci_kind_said(const char *kind);
/* The one state that a finding concerns, "retrofit"; NULL: not just one. */
const char *fci_finding_state_word(const fc_finding *f);
/* "existing", "after retrofit" */
const char *fci_state_phrase(fc_state state);
/* The state that is judged: the one to be, where there is one. */
fc_state fci_judged_state(const fc_check_result *result);

/* How many buildings came out how. */
struct fci_total {
    size_t works, too_high, fails, unclear, broken;
};
void fci_total_add(struct fci_total *total, fc_verdict works,
                   fc_verdict too_high);
/* "4 compared: 2 work, 1 too high, 1 does not, 0 not certain." */
void fci_total_say(struct fci_doc *doc, const struct fci_total *total,
                   const char *what);

#endif
