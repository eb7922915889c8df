/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/backflow.c -- what is claimed may hold and leave another fixture
 * without pressure. */
#include "flow/solver.h"
#include "verify/verify.h"

#include <math.h>

/* At the inlet of a fixture, whether it flushes or not. */
static double
inlet_of(const struct fci_claim *claim, struct fci_solver *solver,
         size_t fixture)
{
    for (size_t i = 0; i < claim->n_open; i++)
        if (claim->open[i].fixture == fixture)
            return fci_solver_drawn(solver)[i].pressure;
    return fci_solver_at_rest(solver, fixture);
}

static fc_status
stretch_to(enum fci_end end, const struct fci_claim *claim,
           struct fci_solver *solver, size_t fixture, fc_range *range)
{
    fc_status status;
    double has;

    fci_solver_take(solver, end, fixture);
    status = fci_solver_run(solver, claim->open, claim->n_open);
    if (status != FC_OK)
        return status;
    has = inlet_of(claim, solver, fixture);
    range->low = fmin(range->low, has);
    range->high = fmax(range->high, has);
    return FC_OK;
}

/* The fixture that has least at midpoint values while all of the claim flush,
 * and what it may have: anything above, where the ends do not bound it. */
static fc_status
find_least(const struct fci_claim *claim, const struct fci_network *network,
           struct fci_solver *solver, size_t *fixture, fc_range *least)
{
    const size_t n = network->site->n_fixtures;
    fc_status status;

    fci_solver_take(solver, FCI_NOMINAL, FCI_NONE);
    status = fci_solver_run(solver, claim->open, claim->n_open);
    *least = fc_exactly(INFINITY);
    for (size_t i = 0; status == FC_OK && i < n; i++) {
        const double has = inlet_of(claim, solver, i);

        if (has < least->high) {
            *least = fc_exactly(has);
            *fixture = i;
        }
    }
    if (status != FC_OK || network->exact)
        return status;
    if (!network->bounded) {
        least->high = INFINITY;
        return FC_OK;
    }
    status = stretch_to(FCI_WORST, claim, solver, *fixture, least);
    return status == FC_OK
               ? stretch_to(FCI_BEST, claim, solver, *fixture, least)
               : status;
}

static void
tell(struct fci_findings *f, const char *name, const char *fixture,
     fc_range least)
{
    if (least.low > 0)
        return;
    fci_find(f, FC_WARN, name, 0, FC_FOUND_NO_PRESSURE,
             "while these valves flush, {fixture} {is} {pressure}: at zero or "
             "below, foul water can be drawn into the drinking water",
             FCI_WITH(FCI_WORD("fixture", fixture),
                      FCI_WORD("is", least.high <= 0 ? "is down to"
                                                     : "may be down to"),
                      FCI_ONE("pressure", FC_PRESSURE, least.low)));
}

fc_status
fci_find_backflow(struct fci_findings *f, const struct fci_verify *v,
                  const struct fci_claim *claim, const char *name,
                  fc_diagnostics *messages)
{
    struct fci_network *network = NULL;
    struct fci_solver *solver = NULL;
    fc_range least = { 0 };
    size_t fixture = 0;
    fc_status status;

    if (claim->why_not || claim->n_open == 0)
        return FC_OK;
    status = fci_network_new(v->site, claim->given->state, &network, messages);
    if (status == FC_OK) {
        solver = fci_solver_new(network);
        status = FC_ENOMEM;
    }
    if (solver)
        status = fci_solver_fail(
            solver, find_least(claim, network, solver, &fixture, &least),
            messages);
    if (v->evidence.n > 0)
        least.high = INFINITY; /* the file is refuted: nothing is certain */
    if (status == FC_OK)
        tell(f, name, v->site->fixtures[fixture].given->name, least);
    fci_solver_free(solver);
    fci_network_free(network);
    return status;
}
