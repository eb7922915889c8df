/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/apply.c -- a trial as a cause would have it. */
#include "diagnose/fault_kinds.h"

#include <string.h>

bool
fci_cause_apply(struct fci_fault_trial *t, const struct fci_cause *cause,
                fc_state state)
{
    bool room = true;
    size_t k;

    fci_variant_reset(&t->variant);
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
    return fault->kind->is_off != NULL;
}

/* Adds `sign` times what it says a gauge is off by. */
static void
misread(const struct fci_cause *cause, const struct fci_readings *r,
        double sign, double *shows)
{
    size_t i, k;

    for (k = 0; k < cause->n_faults; k++)
        for (i = 0; i < r->n && fci_doubts(cause->fault[k]); i++)
            if (cause->fault[k]->kind->is_off(cause->fault[k], r, i))
                shows[i] += sign * cause->x[k] * cause->fault[k]->scale;
}

void
fci_cause_misread(const struct fci_cause *cause, const struct fci_readings *r,
                  double *shows)
{
    misread(cause, r, 1, shows);
}

void
fci_cause_read_right(const struct fci_cause *cause,
                     const struct fci_readings *r, double *shows)
{
    memcpy(shows, cause->shows, r->n * sizeof *shows);
    misread(cause, r, -1, shows);
}
