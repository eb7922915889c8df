/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/draw.c -- buildings that might be, drawn and worked out.
 *
 * [J101] With nothing known of an input but its bounds, it is drawn from a
 * rectangular distribution between them (6.4.2); inputs are independent of
 * each other.  Threads take whole blocks of draws, each with its own stream of
 * random numbers, and an outcome is kept at its draw's place, so that neither
 * the number of threads nor their order shows in the result.
 *
 *   [J101]  JCGM 101:2008, Evaluation of measurement data: Supplement 1 to the
 *           Guide to the expression of uncertainty in measurement (from
 *           memory)
 */
#include "ground/diagnostics.h"
#include "ground/gsl_guard.h"
#include "ground/pool.h"
#include "ground/seed.h"
#include "verify/verify.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_rng.h>

struct fci_bench {
    const struct fci_verify *verify;
    struct fci_variant variant;
    size_t *order; /* claims, those that share a network together */
    struct fci_demand *demand[FC_STATES]; /* NULL: not worked out */
    bool demand_varies;
    double *heights; /* of the elements, nominal; where there are loops */
    double *drawn_heights;
    struct fci_outcome *outcomes;
    gsl_rng *rng;
};

/* ---- The memory of one thread ----------------------------------------- */

/* Whether two claims are of one network: one state, one supply. */
static bool
is_same_network(const struct fci_claim *a, const struct fci_claim *b)
{
    return a->given->state == b->given->state && a->shift <= b->shift
           && a->shift >= b->shift;
}

static bool
is_after(const struct fci_claim *a, const struct fci_claim *b)
{
    if (a->given->state != b->given->state)
        return a->given->state > b->given->state;
    return a->shift > b->shift;
}

/* Claims are few: by insertion, which keeps those alike in their order. */
static void
order_claims(struct fci_bench *b)
{
    const struct fci_claim *claims = b->verify->claims;
    size_t i, k;

    for (i = 0; i < b->verify->n_claims; i++) {
        for (k = i; k > 0 && is_after(&claims[b->order[k - 1]], &claims[i]);
             k--)
            b->order[k] = b->order[k - 1];
        b->order[k] = i;
    }
}

/* A rate or a steady draw weighs in the peak demand; nothing else does. */
static bool
has_flow_input(const struct fci_variant *variant)
{
    size_t i;

    for (i = 0; i < variant->n_inputs; i++)
        if (variant->inputs[i].dimension == FC_FLOW
            && variant->inputs[i].element == FCI_NONE)
            return true;
    return false;
}

static bool
fill_bench(struct fci_bench *b)
{
    const struct fci_verify *v = b->verify;
    const size_t n = v->site->n_loops > 0 ? v->site->n_elements : 0;
    struct fci_arena *arena = fci_arena_of(b);
    gsl_error_handler_t *host;

    b->order = fci_arena_array(arena, v->n_claims, sizeof *b->order);
    b->outcomes = fci_arena_array(arena, v->n_claims, sizeof *b->outcomes);
    b->heights = fci_arena_array(arena, n, sizeof *b->heights);
    b->drawn_heights = fci_arena_array(arena, n, sizeof *b->drawn_heights);
    host = fci_gsl_quiet(); /* a generator that finds no memory aborts */
    b->rng = gsl_rng_alloc(gsl_rng_mt19937);
    fci_gsl_restore(host);
    if (fci_variant_make(&b->variant, v->site) != FC_OK || arena->failed
        || !b->rng)
        return false;
    if (v->site->n_loops > 0)
        fci_heights(v->site, b->heights);
    order_claims(b);
    b->demand_varies = has_flow_input(&b->variant);
    return true;
}

struct fci_bench *
fci_bench_new(const struct fci_verify *v)
{
    struct fci_bench *b = fci_object_new(sizeof *b);

    if (!b)
        return NULL;
    b->verify = v;
    if (!fill_bench(b)) {
        fci_bench_free(b);
        return NULL;
    }
    return b;
}

static void
forget_demand(struct fci_bench *b)
{
    int s;

    for (s = 0; s < FC_STATES; s++) {
        free(b->demand[s]);
        b->demand[s] = NULL;
    }
}

void
fci_bench_free(struct fci_bench *b)
{
    if (!b)
        return;
    forget_demand(b);
    fci_variant_free(&b->variant);
    if (b->rng)
        gsl_rng_free(b->rng);
    fci_object_free(b);
}

const struct fci_variant *
fci_bench_variant(const struct fci_bench *b)
{
    return &b->variant;
}

/* ---- One network ------------------------------------------------------ */

static fc_status
run_event(const struct fci_claim *claim, bool still, struct fci_solver *solver,
          struct fci_outcome *outcome)
{
    const size_t n = still ? 0 : claim->n_open;
    const fc_status status = fci_solver_run(solver, claim->open, n);

    *outcome = (struct fci_outcome){ 0, 0 };
    if (status != FC_OK)
        return status;
    if (claim->place < n) {
        const struct fci_drawn *drawn =
            &fci_solver_drawn(solver)[claim->place];

        outcome->pressure = drawn->pressure;
        outcome->flow = drawn->flow;
    } else {
        outcome->pressure = fci_solver_at_rest(solver, claim->fixture);
    }
    return FC_OK;
}

/* Claims order[from] to order[to - 1] but those at peak. */
static fc_status
run_events(struct fci_bench *b, size_t from, size_t to, bool still,
           struct fci_outcome *outcomes, fc_diagnostics *messages)
{
    const struct fci_claim *claims = b->verify->claims;
    struct fci_network *network = NULL;
    struct fci_solver *solver = NULL;
    fc_status status = FC_OK;
    size_t i;

    for (i = from; i < to && status == FC_OK; i++) {
        const struct fci_claim *claim = &claims[b->order[i]];

        if (claim->why_not || (claim->peak && !still))
            continue;
        if (!network)
            status = fci_network_new(&b->variant.site, claim->given->state,
                                     &network, messages);
        if (status == FC_OK && !solver) {
            solver = fci_solver_new(network);
            status = solver ? FC_OK : FC_ENOMEM;
            if (solver)
                fci_solver_take(solver, FCI_NOMINAL, FCI_NONE);
        }
        if (status == FC_OK)
            status = fci_solver_fail(
                solver,
                run_event(claim, still, solver, &outcomes[b->order[i]]),
                messages);
    }
    fci_solver_free(solver);
    fci_network_free(network);
    return status;
}

static void
take_peak(const struct fci_bench *b, const struct fci_claim *claim,
          const struct fci_at_peak *peak, struct fci_outcome *outcome)
{
    const fc_site *site = &b->variant.site;
    const struct fci_fixture *fixture = &site->fixtures[claim->fixture];
    const double flow =
        fci_fixture_flow(site, fixture, claim->given->state).nominal;

    outcome->flow = flow;
    outcome->pressure = fci_pressure_of(peak[fixture->element].at[FCI_NOMINAL])
                        - fci_fixture_drop(site, fixture, flow, FCI_NOMINAL);
}

static fc_status
run_peaks(struct fci_bench *b, size_t from, size_t to,
          struct fci_outcome *outcomes)
{
    const struct fci_claim *claims = b->verify->claims;
    const fc_state state = claims[b->order[from]].given->state;
    struct fci_at_peak *peak = NULL;
    size_t i;

    for (i = from; i < to; i++) {
        const struct fci_claim *claim = &claims[b->order[i]];

        if (claim->why_not || !claim->peak)
            continue;
        if (!b->demand[state])
            b->demand[state] = fci_demand_new(&b->variant.site, state);
        if (!peak && b->demand[state])
            peak = fci_march_peak(&b->variant.site, b->demand[state]);
        if (!peak)
            return FC_ENOMEM;
        take_peak(b, claim, peak, &outcomes[b->order[i]]);
    }
    free(peak);
    return FC_OK;
}

/* ---- The supply of the claim's day ------------------------------------ */

static void
move(fc_range *range, double by)
{
    if (range->given)
        *range = fc_exactly(range->nominal + by);
}

/* As found on the claim's day: the static pressure is another, the main as
 * strong as it was tested. */
static void
move_source(fc_source *source, double by)
{
    move(&source->static_pressure, by);
    move(&source->test_static, by);
    move(&source->residual, by);
    move(&source->pressure, by);
}

static fc_source *
source_of(struct fci_bench *b)
{
    return fci_variant_data(&b->variant, b->verify->site->order[0]);
}

fc_status
fci_bench_run(struct fci_bench *b, bool still, struct fci_outcome *outcomes,
              fc_diagnostics *messages)
{
    const struct fci_claim *claims = b->verify->claims;
    const size_t n = b->verify->n_claims;
    fc_status status = FC_OK;
    size_t from, to;

    for (from = 0; from < n && status == FC_OK; from = to) {
        const struct fci_claim *first = &claims[b->order[from]];
        fc_source *const source = source_of(b);
        const fc_source kept = *source;

        to = from + 1;
        while (to < n && is_same_network(first, &claims[b->order[to]]))
            to++;
        if (fabs(first->shift) > 0)
            move_source(source, first->shift);
        status = run_events(b, from, to, still, outcomes, messages);
        if (status == FC_OK && !still)
            status = run_peaks(b, from, to, outcomes);
        *source = kept;
    }
    return status;
}

/* ---- Drawing ---------------------------------------------------------- */

/* Heights around a loop belong together: the pipe that closes it ends where
 * it meets the other. */
static void
close_loops(struct fci_bench *b)
{
    const fc_site *from = b->verify->site;
    const double *was = b->heights, *is = b->drawn_heights;
    fc_site *site = &b->variant.site;
    size_t i;

    if (from->n_loops == 0)
        return;
    fci_heights(site, b->drawn_heights);
    for (i = 0; i < site->n_elements; i++) {
        const struct fci_element *element = &from->elements[i];

        if (element->to != FCI_NONE)
            site->elements[i].rise = fc_exactly(
                element->rise.nominal + is[element->to] - was[element->to]
                - is[element->parent] + was[element->parent]);
    }
}

static void
draw_inputs(struct fci_bench *b)
{
    struct fci_variant *variant = &b->variant;
    size_t i;

    for (i = 0; i < variant->n_inputs; i++) {
        const struct fci_input *input = &variant->inputs[i];
        const double u = gsl_rng_uniform(b->rng);
        const fc_range given = input->given;

        if (input->sizes)
            fci_variant_set_size(variant, i,
                                 (size_t)(u * (double)input->n_sizes));
        else
            fci_variant_set(variant, i,
                            given.low + u * (given.high - given.low));
    }
    if (b->demand_varies)
        forget_demand(b);
}

void
fci_bench_begin(struct fci_bench *b, size_t block)
{
    gsl_rng_set(b->rng, fci_seed_of_block(b->verify->seed, block));
}

void
fci_bench_draw(struct fci_bench *b)
{
    draw_inputs(b);
    close_loops(b);
}

static fc_status
draw_block(struct fci_bench *b, size_t block, fc_diagnostics *messages)
{
    const struct fci_verify *v = b->verify;
    const size_t first = block * FCI_VERIFY_BLOCK;
    fc_status status = FC_OK;
    size_t i, c;

    fci_bench_begin(b, block);
    for (i = first; i < first + FCI_VERIFY_BLOCK && i < v->draws; i++) {
        fci_bench_draw(b);
        status = fci_bench_run(b, false, b->outcomes, messages);
        if (status != FC_OK)
            return status;
        for (c = 0; c < v->n_claims; c++)
            v->outcomes[c * v->draws + i] = b->outcomes[c].pressure;
    }
    return FC_OK;
}

/* ---- Threads ---------------------------------------------------------- */

struct worker {
    struct fci_bench *bench;
    fc_diagnostics *messages; /* lists of them are not for two threads */
};

struct drawing {
    const fc_verify_options *options;
    struct worker *workers;
    size_t n_blocks;
};

static fc_status
work(void *data, size_t number, size_t block)
{
    const struct drawing *d = data;
    const struct worker *w = &d->workers[number];
    const fc_status status = draw_block(w->bench, block, w->messages);

    if (number == 0 && d->options->progress) /* the calling thread */
        d->options->progress(d->options->context,
                             (double)(block + 1) / (double)d->n_blocks);
    return status;
}

static fc_status
pass_on(const struct worker *w, fc_status status, fc_diagnostics *messages)
{
    size_t i;

    for (i = 0; i < fc_diagnostics_count(w->messages); i++) {
        const fc_diagnostic d = fc_diagnostics_at(w->messages, i);

        if (fci_fail(messages, status, d.file, d.line, "%s", d.text)
            == FC_ENOMEM)
            status = FC_ENOMEM;
    }
    return status;
}

fc_status
fci_verify_draw(struct fci_verify *v, const fc_verify_options *options,
                fc_diagnostics *messages)
{
    const size_t blocks = (v->draws + FCI_VERIFY_BLOCK - 1) / FCI_VERIFY_BLOCK;
    const size_t wanted = fci_pool_threads(options->threads);
    const size_t n = wanted < blocks ? wanted : blocks;
    struct worker *workers = fci_arena_array(&v->scratch, n, sizeof *workers);
    fc_status *of = fci_arena_array(&v->scratch, n, sizeof *of);
    struct drawing drawing = { options, workers, blocks };
    fc_status status = workers && of ? FC_OK : FC_ENOMEM;
    size_t i;

    for (i = 0; workers && i < n; i++) {
        workers[i].bench = fci_bench_new(v);
        workers[i].messages = fc_diagnostics_new();
        if (!workers[i].bench || !workers[i].messages)
            status = FC_ENOMEM;
    }
    if (status == FC_OK)
        fci_pool_run(work, &drawing, n, of, 0, blocks);
    for (i = 0; workers && i < n; i++) {
        if (status == FC_OK)
            status = pass_on(&workers[i], of[i], messages);
        fci_bench_free(workers[i].bench);
        fc_diagnostics_free(workers[i].messages);
    }
    return status;
}
