/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/uncertain.c -- what is not known exactly, and is no fault.
 *
 * Every input that the file or the tables give as a range, what an untested
 * main drops, and what each gauge is off by within its accuracy is an unknown
 * of every fit: flat inside its range and nothing outside of it.  Those that
 * move no reading are left at their nominal values.
 */
#include "diagnose/uncertain.h"
#include "peak/source.h"

#include <math.h>

#define STEP 0.05 /* of a range, for a slope */
/* An input that moves no reading by this part of its deviation over its whole
 * range is left alone. */
#define MOVES 0.02

/* ---- Listing ----------------------------------------------------------- */

/* What a gauge may be off by itself is the same in all of its readings. */
static void
list_gauges(struct fci_uncertain *u, const struct fci_readings *r)
{
    size_t i, k;

    for (i = 0; i < r->n; i++) {
        u->gauge[i] = FCI_NONE;
        if (r->gauges[i].dimension != FC_PRESSURE)
            continue;
        for (k = 0; k < i; k++)
            if (u->gauge[k] != FCI_NONE
                && fci_reading_same_gauge(r->gauges[i].reading,
                                          r->gauges[k].reading)) {
                u->gauge[i] = u->gauge[k];
                break;
            }
        if (u->gauge[i] == FCI_NONE) {
            u->gauge[i] = u->n;
            u->list[u->n++] =
                (struct fci_unsure){ .of = FCI_OF_GAUGE,
                                     .which = i,
                                     .least = -1,
                                     .most = 1,
                                     .size = r->gauges[i].within };
        }
    }
}

/* A main that nobody tested drops by some of what is usual. */
static void
list_mains(struct fci_uncertain *u, const struct fci_fault_trial *t,
           const double *flows)
{
    const fc_site *site = t->from;
    const struct fci_usual *usual =
        fci_tables_usual(site->tables, FCI_USUAL_MAIN_DROP);
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (t->here[i] != FCI_NONE && t->slot[i] != FCI_NONE && flows[i] > 0
            && site->elements[i].part->kind == FCI_SOURCE
            && fci_source_untested(site->elements[i].part->data, 0))
            u->list[u->n++] = (struct fci_unsure){ .of = FCI_OF_MAIN,
                                                   .which = i,
                                                   .most = 1,
                                                   .size = usual->range.high,
                                                   .flow = flows[i] };
}

double
fci_nominal_part(const struct fci_input *input)
{
    return input->sizes ? 0
                        : (input->given.nominal - input->given.low)
                              / (input->given.high - input->given.low);
}

static void
list_inputs(struct fci_uncertain *u, const struct fci_variant *variant)
{
    size_t i;

    for (i = 0; i < variant->n_inputs; i++) {
        u->parts[i] = fci_nominal_part(&variant->inputs[i]);
        u->list[u->n++] = (struct fci_unsure){
            .of = FCI_OF_INPUT, .which = i, .most = 1, .start = u->parts[i]
        };
    }
}

/* ---- As they are ------------------------------------------------------- */

void
fci_uncertain_apply(const struct fci_uncertain *u, struct fci_fault_trial *t,
                    const double *at)
{
    size_t i;

    for (i = 0; i < u->n; i++)
        if (u->list[i].of == FCI_OF_INPUT && !u->list[i].idle)
            u->parts[u->list[i].which] = at[i];
    if (t->variant.n_inputs > 0)
        fci_variant_take(&t->variant, u->parts);
    fci_looks_apply(u->looks, t);
    for (i = 0; i < u->n; i++)
        if (u->list[i].of == FCI_OF_MAIN)
            fci_fault_trial_lose(t, u->list[i].which, at[i] * u->list[i].size,
                                 u->list[i].flow);
}

void
fci_uncertain_misread(const struct fci_uncertain *u,
                      const struct fci_readings *r, const double *at,
                      double *shows)
{
    size_t i;

    for (i = 0; i < r->n; i++)
        if (u->gauge[i] != FCI_NONE)
            shows[i] += at[u->gauge[i]] * u->list[u->gauge[i]].size;
}

/* ---- Slopes ------------------------------------------------------------ */

double
fci_deviation(const struct fci_gauge *gauge)
{
    return gauge->within * sqrt((double)gauge->times / 3);
}

fc_status
fci_uncertain_slopes(const struct fci_uncertain *u,
                     struct fci_least_squares *f, struct fci_cause *cause,
                     const double *shows, double *slopes)
{
    const struct fci_readings *r = f->readings;
    double *moved = f->work;
    fc_status status = FC_OK;
    size_t i, j;

    for (j = 0; j < u->n && status == FC_OK; j++) {
        const double was = cause->u[j];
        const double by = was + STEP > u->list[j].most ? -STEP : STEP;
        bool settled = false;

        for (i = 0; i < r->n; i++)
            slopes[j * r->n + i] = 0;
        if (u->list[j].of == FCI_OF_GAUGE) {
            for (i = 0; i < r->n; i++)
                if (u->gauge[i] == j)
                    slopes[j * r->n + i] =
                        u->list[j].size / fci_deviation(&r->gauges[i]);
            continue;
        }
        if (u->list[j].steps)
            continue;
        cause->u[j] += by;
        status = fci_cause_shows(f, cause, moved, &settled);
        cause->u[j] = was;
        for (i = 0; i < r->n && settled; i++)
            slopes[j * r->n + i] =
                (moved[i] - shows[i]) / (by * fci_deviation(&r->gauges[i]));
    }
    return status;
}

/* ---- Making ------------------------------------------------------------ */

/* Whether its whole range moves a reading. */
static fc_status
moves(struct fci_least_squares *f, struct fci_cause *cause, size_t j,
      const double *shows, bool *moved)
{
    const struct fci_readings *r = f->readings;
    const struct fci_unsure *unsure = &f->uncertain->list[j];
    const double was = cause->u[j], ends[] = { unsure->least, unsure->most };
    fc_status status = FC_OK;
    size_t i, e;

    *moved = unsure->of == FCI_OF_GAUGE;
    for (e = 0; e < 2 && !*moved && status == FC_OK; e++) {
        bool settled;

        cause->u[j] = ends[e];
        status = fci_cause_shows(f, cause, f->work, &settled);
        *moved = status == FC_OK && !settled;
        for (i = 0; i < r->n && status == FC_OK && settled; i++)
            *moved |= fabs(f->work[i] - shows[i])
                      > MOVES * fci_deviation(&r->gauges[i]);
    }
    cause->u[j] = was;
    return status;
}

/* Those that move nothing go; their place in `parts` stays nominal.  Gauges
 * come first and move their readings, so that they stay where they are. */
static fc_status
drop_idle(struct fci_uncertain *u, struct fci_least_squares *f)
{
    struct fci_cause none = { .u = u->at };
    double *shows = f->work + f->readings->n;
    fc_status status = FC_OK;
    size_t j, to = 0;
    bool settled, moved;

    for (j = 0; j < u->n; j++)
        u->at[j] = u->list[j].start;
    status = fci_cause_shows(f, &none, shows, &settled);
    for (j = 0; j < u->n && status == FC_OK; j++) {
        status = moves(f, &none, j, shows, &moved);
        u->list[j].idle = !moved;
        if (u->list[j].of == FCI_OF_INPUT)
            u->parts[u->list[j].which] = u->list[j].start;
    }
    for (j = 0; j < u->n; j++) {
        if (u->list[j].idle)
            continue;
        u->at[to] = u->at[j];
        u->list[to++] = u->list[j];
    }
    u->n = to;
    return status;
}

fc_status
fci_uncertain_make(struct fci_uncertain *u, struct fci_least_squares *f,
                   const double *flows)
{
    const struct fci_readings *r = f->readings;
    const struct fci_variant *variant = &f->trial->variant;
    const size_t most =
        r->n + f->trial->from->n_sources + variant->n_inputs + 1;
    size_t i;

    u->looks = f->looks;
    u->list = fci_arena_array(f->arena, most, sizeof *u->list);
    u->gauge = fci_arena_array(f->arena, r->n + 1, sizeof *u->gauge);
    u->parts =
        fci_arena_array(f->arena, variant->n_inputs + 1, sizeof *u->parts);
    u->at = fci_arena_array(f->arena, most, sizeof *u->at);
    if (f->arena->failed)
        return FC_ENOMEM;
    list_gauges(u, r);
    list_mains(u, f->trial, flows);
    list_inputs(u, variant);
    for (i = 0; i < u->n; i++) {
        struct fci_unsure *unsure = &u->list[i];
        const bool input = unsure->of == FCI_OF_INPUT;

        unsure->steps = input && variant->inputs[unsure->which].sizes;
        unsure->likely =
            input && variant->inputs[unsure->which].dimension == FC_FLOW
                ? unsure->start
                : (unsure->least + unsure->most) / 2;
    }
    return drop_idle(u, f);
}
