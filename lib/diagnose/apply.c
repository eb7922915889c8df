/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/apply.c -- a trial as a cause would have it. */
#include "diagnose/fault_kinds.h"
#include "diagnose/uncertain.h"

bool
fci_cause_apply(struct fci_fault_trial *t, const struct fci_uncertain *u,
                const struct fci_cause *cause, fc_state state)
{
    bool room = true;
    size_t k;

    fci_variant_reset(&t->variant);
    fci_uncertain_apply(u, t, cause->u);
    for (k = 0; k < cause->n_faults; k++) {
        const struct fci_fault *fault = cause->fault[k];
        const struct fci_supposed supposed = {
            .trial = t,
            .fault = fault,
            .state = state,
            .here = t->here[fault->element],
            .k = k,
            .value = cause->x[k] * fault->scale,
        };

        /* a fixture that is left out shows nothing of what is amiss with it */
        if (fault->kind->apply
            && (fault->fixture == FCI_NONE
                || t->fixture_here[fault->fixture] != FCI_NONE))
            room &= fault->kind->apply(&supposed);
    }
    return room;
}

bool
fci_doubts(const struct fci_fault *fault)
{
    return fault->kind->doubts;
}

void
fci_cause_misread(const struct fci_cause *cause, const struct fci_readings *r,
                  double *shows)
{
    size_t i, k;

    for (k = 0; k < cause->n_faults; k++)
        for (i = 0; i < r->n && cause->fault[k]->kind->reads; i++)
            shows[i] = cause->fault[k]->kind->reads(
                cause->fault[k], r, i, shows[i],
                cause->x[k] * cause->fault[k]->scale);
}
