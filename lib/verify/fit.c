/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/fit.c -- whether the site as it is given has what gauges read.
 *
 * A model that some reading refutes decides nothing where no reading bears it
 * out.  A reading is held against the buildings drawn, with its own accuracy
 * on either side of all of them, and against the bounds of a check, in which
 * the model is not off.
 */
#include "verify/verify.h"

#include <math.h>

/* So many draws are between their least and their most in about
 * 1 - 2 / 200 = 99 % of all cases. */
#define FIT_DRAWS 200

/* What is at hand while one building is held against the readings. */
struct fitting {
    struct fci_verify *v;
    const fc_site *site; /* the building drawn */
    struct fci_at_flow *elements;
    fc_diagnostics *messages;
};

/* ---- The readings ----------------------------------------------------- */

static bool
is_of_pressure(const fc_site *site, size_t part)
{
    const fc_reading *reading = site->parts[part].data;

    return site->parts[part].kind == FCI_READING && reading->pressure.given;
}

static fc_status
take_readings(struct fci_verify *v)
{
    const fc_site *site = v->site;
    fc_status status = FC_OK;
    size_t i, n = 0;

    for (i = 0; i < site->n_parts; i++)
        n += is_of_pressure(site, i);
    v->fits = fci_arena_array(v->arena, n, sizeof *v->fits);
    if (!v->fits)
        return FC_ENOMEM;
    for (i = 0; i < site->n_parts && status == FC_OK; i++) {
        struct fci_fit *fit = &v->fits[v->n_fits];

        if (!is_of_pressure(site, i))
            continue;
        *fit = (struct fci_fit){ .reading = site->parts[i].data,
                                 .low = INFINITY,
                                 .high = -INFINITY };
        fit->open = fci_reading_open(v, fit->reading, &fit->n_open, &status);
        v->n_fits++;
    }
    return status;
}

/* ---- One building ----------------------------------------------------- */

/* What its gauge has after a run. */
static double
at_gauge(const struct fitting *f, struct fci_solver *solver,
         const struct fci_fit *fit)
{
    const fc_site *site = f->v->site;
    const fc_reading *reading = fit->reading;
    size_t at, i;

    for (i = 0; i < site->n_elements; i++)
        if (fci_same_name(reading->at, site->elements[i].name))
            return f->elements[i].pressure;
    if (fci_find_fixture_named(site, reading->at, &at, NULL) != FC_OK)
        return NAN;
    for (i = 0; i < fit->n_open; i++)
        if (fit->open[i].fixture == at)
            return fci_solver_drawn(solver)[i].pressure;
    return fci_solver_at_rest(solver, at);
}

/* Flows that do not settle tell nothing of the reading. */
static fc_status
fit_reading(const struct fitting *f, struct fci_solver *solver,
            struct fci_fit *fit)
{
    fc_status status = fci_solver_run(solver, fit->open, fit->n_open);
    double pressure;

    if (status == FC_OK)
        status = fci_solver_spread(solver, f->elements);
    if (status != FC_OK)
        return status == FC_ENOMEM ? status : FC_OK;
    pressure = at_gauge(f, solver, fit);
    fit->low = fmin(fit->low, pressure);
    fit->high = fmax(fit->high, pressure);
    return FC_OK;
}

static fc_status
fit_state(const struct fitting *f, fc_state state)
{
    struct fci_network *network = NULL;
    struct fci_solver *solver = NULL;
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; i < f->v->n_fits && status == FC_OK; i++) {
        if (!f->v->fits[i].open || f->v->fits[i].reading->state != state)
            continue;
        if (!network)
            status = fci_network_new(f->site, state, &network, f->messages);
        if (status == FC_OK && !solver) {
            solver = fci_solver_new(network);
            status = solver ? FC_OK : FC_ENOMEM;
            if (solver)
                fci_solver_take(solver, FCI_NOMINAL, FCI_NONE);
        }
        if (status == FC_OK)
            status = fit_reading(f, solver, &f->v->fits[i]);
    }
    fci_solver_free(solver);
    fci_network_free(network);
    return status;
}

static fc_status
fit_building(const struct fitting *f)
{
    const fc_status status = fit_state(f, FC_EXISTING);

    return status == FC_OK && f->v->converted ? fit_state(f, FC_RETROFIT)
                                              : status;
}

/* ---- All of them ------------------------------------------------------ */

const char *
fci_fit_of(const struct fci_verify *v, const struct fci_fit *fit)
{
    return fit->bounded || v->varied == 0 ? ""
                                          : " in 99% of the buildings sampled";
}

/* By what it and another of its gauge differ by; NULL: not so. */
static const char *
refuting_beside(const struct fci_verify *v, const char *reading)
{
    size_t i;

    for (i = 0; i < v->evidence.n; i++)
        if (v->evidence.list[i].beside
            && fci_same_name(v->evidence.list[i].reading, reading))
            return v->evidence.list[i].beside;
    return NULL;
}

/* By the buildings drawn; else by a check, in which the model is not off. */
static void
judge_fits(struct fci_verify *v)
{
    size_t i;

    for (i = 0; i < v->n_fits; i++) {
        struct fci_fit *fit = &v->fits[i];
        const char *name = fit->reading->name;
        const double read = fit->reading->pressure.nominal;
        const double within =
            fci_reading_within(v->site, fit->reading) + FCI_SOLVED_TO;
        const fc_contradiction *c = fci_evidence_against(&v->evidence, name);

        fit->refuted =
            fit->low <= fit->high
            && (read + within < fit->low || read - within > fit->high);
        if (fit->refuted || !fit->open || (c && c->against)
            || (c && fci_is_above_ceiling(c)))
            continue;
        if (!c) {
            fit->beside = refuting_beside(v, name);
            fit->refuted = fit->beside != NULL;
            continue;
        }
        fit->refuted = fit->bounded = true;
        fit->low = isnan(c->low) ? c->high : c->low;
        fit->high = c->high;
    }
}

const char *
fci_fit_beside(const struct fci_verify *v, const fc_reading *reading)
{
    size_t i;

    for (i = 0; i < v->n_fits; i++)
        if (v->fits[i].reading == reading)
            return v->fits[i].beside;
    return NULL;
}

fc_status
fci_verify_fit(struct fci_verify *v, struct fci_bench *bench,
               fc_diagnostics *messages)
{
    struct fitting f = { v, &fci_bench_variant(bench)->site, NULL, messages };
    fc_status status = take_readings(v);
    size_t i;

    if (status != FC_OK || v->n_fits == 0)
        return status;
    f.elements =
        fci_arena_array(&v->scratch, v->site->n_elements, sizeof *f.elements);
    if (!f.elements)
        return FC_ENOMEM;
    fci_bench_begin(bench, FCI_SEED_OF_NOBODY, 0);
    for (i = 0; i < FIT_DRAWS && status == FC_OK; i++) {
        fci_bench_draw(bench, (struct fci_draw_as){ false, FCI_NOMINAL });
        status = fit_building(&f);
    }
    judge_fits(v);
    return status;
}

/* ---- What it keeps the model from ------------------------------------- */

static bool
is_refuting(const struct fci_verify *v, const fc_reading *reading)
{
    size_t i;

    for (i = 0; i < v->n_fits; i++)
        if (v->fits[i].reading == reading)
            return v->fits[i].refuted;
    return false;
}

/* What was read at the claim's place and says what the model says: that
 * reading itself, or of one elsewhere what is carried from the place, of a
 * flow that the model has there; NULL: none does. */
static fc_status
bears_out(const struct fci_verify *v, const struct fci_claim *claim,
          const fc_checked_claim *checked, const fc_reading *reading,
          const fc_reading **borne, fc_diagnostics *messages)
{
    struct fci_brought carried = claim->carried;
    fc_status status = FC_OK;

    if (fci_reading_is_there(v, reading, claim))
        status = fci_reading_carry_one(v, claim, reading, checked->computed,
                                       &carried, messages);
    else if (carried.reading
             && (!fci_reading_flows(carried.reading)
                 || is_refuting(v, carried.reading)))
        carried.reading = NULL;
    *borne =
        carried.reading
                && fci_support_by_reading(claim, &carried) == checked->by_model
            ? carried.reading
            : NULL;
    return status;
}

fc_status
fci_verify_refute(const struct fci_verify *v, const struct fci_claim *claim,
                  const fc_checked_claim *checked, const fc_reading **by,
                  const fc_reading **borne, fc_diagnostics *messages)
{
    size_t i;

    *by = *borne = NULL;
    if (claim->why_not || checked->by_model == FC_UNDECIDED)
        return FC_OK;
    for (i = 0; i < v->n_fits; i++) {
        const fc_reading *reading = v->fits[i].reading;
        fc_status status;

        if (!v->fits[i].refuted)
            continue;
        status = bears_out(v, claim, checked, reading, borne, messages);
        if (status != FC_OK)
            return status;
        if (*borne)
            continue;
        *by = reading;
        return FC_OK;
    }
    return FC_OK;
}
