/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/budget.h -- the pressure budget in its three forms: all of it
 * (report/budget.c), a row for each element or run of like pipes
 * (report/steps.c), a dozen rows (report/ledger.c). */
#ifndef FCI_REPORT_BUDGET_H
#define FCI_REPORT_BUDGET_H

#include "report/shared.h"

/* The step that the budget starts at: the last PRV that controls, or the
 * source. */
size_t fci_budget_first(const fc_path *path);
/* What the flow loses in a step. */
double fci_step_loss(const fc_path_step *step);
/* What the flow loses on the whole way. */
double fci_budget_loss(const fc_budget *budget);
/* "PRV low", but "meter" of a meter of that name. */
void fci_step_name(const fc_path_step *step, char *name, size_t size);
/* "PRV low", or of two side by side "PRVs small and large"; each name takes
 * no more than so many columns. */
const char *fci_prv_name(struct fci_doc *doc, const char *name,
                         const char *beside, size_t most);
/* "valve minimum; code minimum 35.0" */
void fci_note_required(fc_unit_system units, const fc_fixture_state *end,
                       char *note, size_t size);

/* What pipes and fittings lose by another equation, in a sentence. */
void fci_part_darcy(struct fci_doc *doc, const fc_path *path);
/* The budget by elements, runs of like pipes folded; false: the screen has no
 * room for it beside `kept` lines to come, and nothing was put down. */
bool fci_part_steps(struct fci_doc *doc, const fc_path *path,
                    const fc_fixture_state *end, size_t kept);

#endif
