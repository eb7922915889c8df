/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/carry.c -- a reading of one day carried to the condition of a
 * claim.
 *
 * The gauge and the model differ by something, if only by what the gauge may
 * be off.  What is wrong at rest, a static pressure or a height, is wrong by
 * as much whatever flows.  A restriction, or a main that sags, takes what
 * grows with the flow through its place: with its square, or as friction does
 * with its power 1.85.  Which of these it is nobody knows, so that each is
 * carried by its own law, for every place on the way to the fixture through
 * which something flowed when the gauge was read; between the least and the
 * most that they come to is what the reading says of the claim.
 *
 * What flow has taken until the gauge is a difference of two pressures, of
 * which that of the source is not known exactly either: what it may be off by
 * stands as it is at any flow, and what is taken for flow's doing is off by as
 * much the other way, which grows.
 */
#include "verify/verify.h"

#include <math.h>
#include <stdlib.h>

/* As the resistance of a pipe (Hazen and Williams), and of an opening. */
#define POWER_OF_FRICTION (1 / 0.54)
#define POWER_OF_OPENING 2.0
/* Less flow than this tells nothing of a place. */
#define LEAST_FLOW 1e-6 /* m3/s: 0.016 gpm */

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

/* One event of the model. */
struct event {
    struct fci_outcome at; /* the claim's fixture; NAN: it cannot tell */
    double *flow;          /* through each element */
};

static fc_status
take_event(const struct fci_verify *v, const struct fci_claim *claim,
           struct fci_solver *solver, const struct fci_open *open, size_t n,
           struct event *event)
{
    const size_t elements = v->site->n_elements;
    struct fci_at_flow *flows = calloc(elements, sizeof *flows);
    fc_status status = flows ? fci_solver_spread(solver, flows) : FC_ENOMEM;
    size_t i;

    for (i = 0; i < elements && status == FC_OK; i++)
        event->flow[i] = flows[i].flow;
    for (i = 0; i < n && open[i].fixture != claim->fixture; i++)
        ;
    if (status == FC_OK && i < n) {
        event->at.pressure = fci_solver_drawn(solver)[i].pressure;
        event->at.flow = fci_solver_drawn(solver)[i].flow;
    } else if (status == FC_OK) {
        event->at.pressure = fci_solver_at_rest(solver, claim->fixture);
        event->at.flow = 0;
    }
    free(flows);
    return status;
}

static fc_status
run_event(const struct fci_verify *v, const struct fci_claim *claim,
          fc_state state, const struct fci_open *open, size_t n,
          struct event *event, fc_diagnostics *messages)
{
    struct fci_network *network = NULL;
    struct fci_solver *solver;
    fc_status status = fci_network_new(v->site, state, &network, messages);

    if (status != FC_OK)
        return status;
    solver = fci_solver_new(network);
    status = solver ? FC_OK : FC_ENOMEM;
    if (solver) {
        fci_solver_take(solver, FCI_NOMINAL, FCI_NONE);
        status = fci_solver_run(solver, open, n);
        if (status == FC_OK)
            status = take_event(v, claim, solver, open, n, event);
        status = fci_solver_fail(solver, status, messages);
    }
    fci_solver_free(solver);
    fci_network_free(network);
    return status;
}

/* NAN in the event's pressure: the model cannot tell. */
static fc_status
model_reading(const struct fci_verify *v, const struct fci_claim *claim,
              const fc_reading *reading, struct event *event,
              fc_diagnostics *messages)
{
    struct fci_open *open;
    fc_status status;
    size_t n;

    event->at = (struct fci_outcome){ .pressure = NAN };
    if (reading->state == FC_RETROFIT && !v->converted)
        return FC_OK;
    open = fci_reading_open(v, reading, &n, &status);
    if (!open)
        return status;
    return run_event(v, claim, reading->state, open, n, event, messages);
}

/* The flows of the claim's own condition; of peak those that the pipes are
 * worked out with. */
static fc_status
model_claim(const struct fci_verify *v, const struct fci_claim *claim,
            struct event *event, fc_diagnostics *messages)
{
    const fc_state state = claim->given->state;
    struct fci_demand *demand;
    size_t i;

    if (!claim->peak)
        return run_event(v, claim, state, claim->open, claim->n_open, event,
                         messages);
    demand = fci_demand_new(v->site, state);
    if (!demand)
        return FC_ENOMEM;
    for (i = 0; i < v->site->n_elements; i++)
        event->flow[i] = demand[i].flow[FCI_NOMINAL];
    event->at.flow =
        fci_fixture_flow(v->site, &v->site->fixtures[claim->fixture], state)
            .nominal;
    free(demand);
    return FC_OK;
}

/* ---- Carried ---------------------------------------------------------- */

/* By how many times a difference may have grown. */
struct growth {
    double least, most;
};

static void
grow(struct growth *growth, double then, double now)
{
    if (!(then > LEAST_FLOW) || !(now > 0))
        return;
    growth->least = fmin(growth->least, pow(now / then, POWER_OF_FRICTION));
    growth->least = fmin(growth->least, pow(now / then, POWER_OF_OPENING));
    growth->most = fmax(growth->most, pow(now / then, POWER_OF_FRICTION));
    growth->most = fmax(growth->most, pow(now / then, POWER_OF_OPENING));
}

static struct growth
find_growth(const struct fci_verify *v, const struct fci_claim *claim,
            const struct event *then, const struct event *now)
{
    const fc_site *site = v->site;
    struct growth growth = { 1, 1 }; /* what is off at rest */
    size_t i;

    for (i = site->fixtures[claim->fixture].element; i != FCI_NONE;
         i = site->elements[i].parent)
        grow(&growth, fabs(then->flow[i]), fabs(now->flow[i]));
    grow(&growth, then->at.flow, now->at.flow);
    return growth;
}

/* By how much the pressure of a source, as the model has it, may be off. */
static double
supply_within(const fc_site *site)
{
    double within = 0;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const fc_source *source = site->elements[i].part->data;
        fc_range pressure;

        if (site->elements[i].part->kind != FCI_SOURCE
            || source->kind == FC_TANK)
            continue;
        pressure = source->kind == FC_STREET_MAIN ? source->static_pressure
                                                  : source->pressure;
        within = fmax(within, fci_is_exact(pressure)
                                  ? fci_source_within(site, source)
                                  : fmax(pressure.high - pressure.nominal,
                                         pressure.nominal - pressure.low));
    }
    return within;
}

/* Grown by g, a source that is off by e adds e and takes g e. */
static void
carry_by(const fc_site *site, struct fci_brought *carried, double computed,
         const struct event *then, struct growth growth)
{
    const double low = carried->low - then->at.pressure;
    const double high = carried->high - then->at.pressure;
    const double within = supply_within(site);
    const double less = within * (1 - growth.least);
    const double more = within * (growth.most - 1);

    carried->pressure += computed - then->at.pressure;
    carried->low =
        computed + fmin(low * growth.least - less, low * growth.most - more);
    carried->high =
        computed + fmax(high * growth.least + less, high * growth.most + more);
}

fc_status
fci_reading_carry_one(const struct fci_verify *v,
                      const struct fci_claim *claim, const fc_reading *reading,
                      double computed, struct fci_brought *carried,
                      fc_diagnostics *messages)
{
    const size_t n = v->site->n_elements;
    struct event then = { .flow = calloc(n, sizeof(double)) };
    struct event now = { .flow = calloc(n, sizeof(double)) };
    fc_status status = then.flow && now.flow ? FC_OK : FC_ENOMEM;

    *carried = fci_not_brought();
    if (status == FC_OK)
        status = model_reading(v, claim, reading, &then, messages);
    if (status == FC_OK && !isnan(then.at.pressure)) {
        status = model_claim(v, claim, &now, messages);
        *carried = fci_reading_bring(v, reading, claim, then.at.flow);
        carry_by(v->site, carried, computed, &then,
                 find_growth(v, claim, &then, &now));
    }
    free(then.flow);
    free(now.flow);
    return status;
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

    *carried = fci_not_brought();
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
        if (!next.reading || next.high - next.low >= least)
            continue;
        least = next.high - next.low;
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
