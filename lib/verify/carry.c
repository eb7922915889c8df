/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/carry.c -- a reading of one day carried to the condition of a
 * claim.
 *
 * What the building was off from the model when the gauge was read it is taken
 * to be off by under the claim too.
 */
#include "verify/verify.h"

#include <math.h>

/* ---- What flushed ----------------------------------------------------- */

struct fci_open *
fci_reading_open(const struct fci_verify *v, const fc_reading *reading,
                 size_t *n, fc_status *status)
{
    fc_flushing timed;
    size_t i, k, listed, at = 0;
    const fc_flushing *list = fci_reading_flushing(reading, &timed, &listed);
    struct fci_open *open =
        fci_arena_array(v->arena, listed + 1, sizeof *open);

    *n = 0;
    *status = open ? FC_OK : FC_ENOMEM;
    for (i = 0; open && i < listed; i++) {
        const struct fci_fixture *fixture;
        const int given = list[i].count;

        if (fci_find_fixture_named(v->site, list[i].fixture, &at, NULL)
            != FC_OK)
            return NULL;
        fixture = &v->site->fixtures[at];
        if (!fci_has_rate(fixture->valve[reading->state]))
            return NULL;
        for (k = 0; k < *n && open[k].fixture != at; k++)
            ;
        if (k == *n)
            open[(*n)++] = (struct fci_open){ at, 0 };
        open[k].count += given ? given : fixture->count;
        if (open[k].count > fixture->count)
            open[k].count = fixture->count;
    }
    return open;
}

/* ---- What the model makes of it --------------------------------------- */

static fc_status
run_reading(const struct fci_verify *v, const struct fci_claim *claim,
            fc_state state, const struct fci_open *open, size_t n,
            struct fci_outcome *outcome, fc_diagnostics *messages)
{
    struct fci_network *network = NULL;
    struct fci_solver *solver;
    fc_status status = fci_network_new(v->site, state, &network, messages);
    size_t i;

    if (status != FC_OK)
        return status;
    solver = fci_solver_new(network);
    status = solver ? FC_OK : FC_ENOMEM;
    if (solver) {
        fci_solver_take(solver, FCI_NOMINAL, FCI_NONE);
        status =
            fci_solver_fail(solver, fci_solver_run(solver, open, n), messages);
    }
    for (i = 0; i < n && open[i].fixture != claim->fixture; i++)
        ;
    if (status == FC_OK && i < n) {
        outcome->pressure = fci_solver_drawn(solver)[i].pressure;
        outcome->flow = fci_solver_drawn(solver)[i].flow;
    } else if (status == FC_OK) {
        outcome->pressure = fci_solver_at_rest(solver, claim->fixture);
        outcome->flow = 0;
    }
    fci_solver_free(solver);
    fci_network_free(network);
    return status;
}

/* NAN in the outcome's pressure: the model cannot tell. */
static fc_status
model_reading(const struct fci_verify *v, const struct fci_claim *claim,
              const fc_reading *reading, struct fci_outcome *outcome,
              fc_diagnostics *messages)
{
    struct fci_open *open;
    fc_status status;
    size_t n;

    *outcome = (struct fci_outcome){ NAN, 0 };
    if (reading->state == FC_RETROFIT && !v->converted)
        return FC_OK;
    open = fci_reading_open(v, reading, &n, &status);
    if (!open)
        return status;
    return run_reading(v, claim, reading->state, open, n, outcome, messages);
}

/* ---- Carried ---------------------------------------------------------- */

fc_status
fci_reading_carry_one(const struct fci_verify *v,
                      const struct fci_claim *claim, const fc_reading *reading,
                      double computed, struct fci_brought *carried,
                      fc_diagnostics *messages)
{
    struct fci_outcome then;
    const fc_status status = model_reading(v, claim, reading, &then, messages);

    *carried = (struct fci_brought){ NULL, NAN, NAN, NAN, NULL };
    if (status != FC_OK || isnan(then.pressure))
        return status;
    *carried = fci_reading_bring(v, reading, claim, then.flow);
    carried->pressure += computed - then.pressure;
    return FC_OK;
}

/* Of those with something flowing only, or of all. */
static fc_status
carry(const struct fci_verify *v, const struct fci_claim *claim,
      double computed, bool flowing, struct fci_brought *carried,
      fc_diagnostics *messages)
{
    const fc_site *site = v->site;
    double least = INFINITY;
    size_t i;

    *carried = (struct fci_brought){ NULL, NAN, NAN, NAN, NULL };
    for (i = 0; i < site->n_parts; i++) {
        const fc_reading *reading = site->parts[i].data;
        struct fci_brought next;
        fc_status status;

        if (site->parts[i].kind != FCI_READING || !reading->pressure.given
            || !fci_reading_is_there(v, reading, claim)
            || fci_reading_against(v, reading)
            || fci_reading_is_too_high(v, reading)
            || (flowing && !fci_reading_flows(reading)))
            continue;
        status = fci_reading_carry_one(v, claim, reading, computed, &next,
                                       messages);
        if (status != FC_OK)
            return status;
        if (!next.reading || fabs(next.pressure - next.read) >= least)
            continue;
        least = fabs(next.pressure - next.read);
        *carried = next;
    }
    return FC_OK;
}

/* What flows tells of pipes and devices, what stands still only of the
 * supply. */
fc_status
fci_reading_carry(const struct fci_verify *v, const struct fci_claim *claim,
                  double computed, struct fci_brought *carried,
                  fc_diagnostics *messages)
{
    const fc_status status =
        carry(v, claim, computed, true, carried, messages);

    if (status != FC_OK || carried->reading)
        return status;
    return carry(v, claim, computed, false, carried, messages);
}
