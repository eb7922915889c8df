/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/size/choice.h -- sizes chosen, as a building that may be checked. */
#ifndef FCI_SIZE_CHOICE_H
#define FCI_SIZE_CHOICE_H

#include "check/verdicts.h"
#include "size/problem.h"
#include "variants/change.h"

/* What a choice, by node, changes of the site is added to the list. */
bool fci_choice_changes(const struct fci_size_problem *problem,
                        const size_t *choice, struct fci_change_list *list);
/* The size that a node gets; NULL: it has none, or what is in place stays. */
const struct fci_size *fci_chosen_size(const struct fci_size_problem *problem,
                                       const size_t *choice, size_t node);
/* What the pipe that has such a size is then of. */
const struct fci_material *
fci_chosen_material(const struct fci_size_problem *problem,
                    const size_t *choice, size_t node);
/* The C of a pipe put in anew where this one is, as a site file has it; NULL:
 * that of the table.  A new pipe is not badly scaled, whatever the condition
 * of the site's pipes. */
const char *fci_c_put_in(const fc_site *site, const struct fci_pipe *pipe,
                         const struct fci_material *material);
double fci_choice_cost(const struct fci_size_problem *problem,
                       const size_t *choice);

/* A pipe as the caller sees it, with the choice or, for NULL, without. */
fc_sized_pipe fci_sized_pipe(const struct fci_size_problem *problem,
                             const size_t *choice, size_t node);

/* A building as it would be, and the verdict on it. */
struct fci_trial {
    fc_site *site;
    struct fci_verdicts verdicts;
};

/* Freed by fci_trial_free() on any outcome.  FC_ENOMEM, or what fc_check()
 * returns. */
fc_status fci_trial_make(struct fci_trial *trial, const fc_site *site,
                         const struct fci_change_list *changes,
                         const fc_check_options *options,
                         fc_diagnostics *messages);
void fci_trial_free(struct fci_trial *trial);

#endif
