/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/draw.c -- buildings that might be, drawn and worked out.
 *
 * [J101] With nothing known of an input but its bounds, it is drawn from a
 * rectangular distribution between them (6.4.2); inputs are independent of
 * each other, or all of a kind alike.  What the model itself may be off by is
 * drawn like any input.  Threads take whole blocks of draws, each with its own
 * stream of random numbers, and an outcome is kept at its draw's place, so
 * that neither the number of threads nor their order shows in the result.
 *
 *   [J101]  JCGM 101:2008, Evaluation of measurement data: Supplement 1 to the
 *           Guide to the expression of uncertainty in measurement (from
 *           memory)
 */
#include "check/drawn.h"
#include "ground/diagnostics.h"
#include "ground/gsl_guard.h"
#include "ground/pool.h"
#include "ground/seed.h"
#include "verify/verify.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_rng.h>

/* Of those draws in which inputs of a kind go together. */
#define SEED_ALIKE 0x616c696bul

struct fci_bench {
    const struct fci_verify *verify;
    struct fci_variant variant;
    size_t *order; /* claims, those that share a network together */
    struct fci_demand *demand[FC_STATES]; /* NULL: not worked out */
    bool demand_varies;
    double *parts;        /* of its range each input is at, 0 to 1 */
    enum fci_end end;     /* of those that are left ranges */
    bool looks_at_supply; /* how far it is drawn down */
    size_t *kind;         /* of each input, the first one of its kind */
    const bool *wanted; /* of each claim, whether to work it out; NULL: all */
    double *heights;    /* of the elements, nominal; where there are loops */
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

/* What is called the same is of a kind: all rises, all lengths.  What is said
 * to be each floor's own, a pipe's own part, what the model may be off by and
 * what nobody measured go with nothing else. */
static void
find_kinds(struct fci_bench *b)
{
    const struct fci_input *inputs = b->variant.inputs;
    size_t i, k;

    for (i = 0; i < b->variant.n_inputs; i++) {
        b->kind[i] = i;
        if (!fci_input_has_kind(&inputs[i]))
            continue;
        for (k = 0; k < i
                    && !(fci_input_has_kind(&inputs[k])
                         && strcmp(inputs[k].what, inputs[i].what) == 0);
             k++)
            ;
        b->kind[i] = k;
    }
}

bool
fci_input_has_kind(const struct fci_input *input)
{
    return !input->each && input->cause != FCI_OWN_PART
           && input->cause != FCI_OF_MODEL && !input->usual;
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
        || !b->rng || fci_variant_add_model(&b->variant) != FC_OK)
        return false;
    b->parts = fci_arena_array(arena, b->variant.n_inputs, sizeof *b->parts);
    b->kind = fci_arena_array(arena, b->variant.n_inputs, sizeof *b->kind);
    if (!b->parts || !b->kind)
        return false;
    find_kinds(b);
    if (v->site->n_loops > 0)
        fci_heights(v->site, b->heights);
    order_claims(b);
    b->demand_varies = has_flow_input(&b->variant);
    b->end = FCI_NOMINAL;
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

static bool
is_wanted(const struct fci_bench *b, size_t claim)
{
    return !b->verify->claims[claim].why_not
           && (!b->wanted || b->wanted[claim]);
}

/* Of what serves the claim's fixture and must keep some pressure, where least
 * is to spare; `own`, `feeder`: at an element's outlet and its feeder's. */
static void
note_drawn(const struct fci_bench *b, size_t at, double own, double feeder,
           struct fci_outcome *outcome)
{
    const fc_site *site = &b->variant.site;
    const struct fci_element *element = &site->elements[at];
    const fc_range must = fci_must_keep(site, element);
    const double least = fci_more_is_worse(must, b->end);
    const double pressure = fci_kept_at(site, element, own, feeder, b->end);

    if (!must.given
        || (outcome->drawn_at != FCI_NONE
            && pressure - least >= outcome->drawn_to - outcome->must_keep))
        return;
    outcome->drawn_at = at;
    outcome->drawn_to = pressure;
    outcome->must_keep = least;
}

/* Where flows may turn, every source and pump serves every fixture. */
static bool
serves(const fc_site *site, size_t element, const struct fci_claim *claim)
{
    size_t at = site->fixtures[claim->fixture].element;

    while (at != element && at != FCI_NONE)
        at = site->elements[at].parent;
    return at != FCI_NONE;
}

static void
note_event(const struct fci_bench *b, const struct fci_claim *claim,
           struct fci_solver *solver, struct fci_outcome *outcome)
{
    const fc_site *site = &b->variant.site;
    size_t i;

    for (i = 0; b->looks_at_supply && i < site->n_elements; i++) {
        const size_t parent = site->elements[i].parent;

        if (b->verify->meshed || serves(site, i, claim))
            note_drawn(b, i, fci_solver_at(solver, i),
                       parent == FCI_NONE ? 0 : fci_solver_at(solver, parent),
                       outcome);
    }
}

static fc_status
run_event(const struct fci_bench *b, const struct fci_claim *claim, bool still,
          struct fci_solver *solver, struct fci_outcome *outcome)
{
    const size_t n = still ? 0 : claim->n_open;
    fc_status status;

    *outcome = (struct fci_outcome){ .drawn_at = FCI_NONE };
    if (b->end != FCI_NOMINAL)
        fci_solver_take(solver, b->end, claim->fixture);
    status = fci_solver_run(solver, claim->open, n);
    if (status != FC_OK)
        return status;
    note_event(b, claim, solver, outcome);
    for (size_t i = 0; i < n; i++)
        outcome->all += fci_solver_drawn(solver)[i].flow
                        * fci_solver_drawn(solver)[i].count;
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

        if (!is_wanted(b, b->order[i]) || (claim->peak && !still))
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
                run_event(b, claim, still, solver, &outcomes[b->order[i]]),
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
    const struct fci_demand *demand = b->demand[claim->given->state];
    const struct fci_fixture *fixture = &site->fixtures[claim->fixture];
    const double flow = fci_more_is_worse(
        fci_fixture_flow(site, fixture, claim->given->state), b->end);
    size_t at;

    *outcome =
        (struct fci_outcome){ .flow = flow,
                              .all = demand[site->order[0]].flow[b->end],
                              .drawn_at = FCI_NONE };
    outcome->pressure = fci_pressure_of(peak[fixture->element].at[b->end])
                        - fci_fixture_drop(site, fixture, flow, b->end);
    for (at = fixture->element; b->looks_at_supply && at != FCI_NONE;
         at = site->elements[at].parent) {
        const size_t parent = site->elements[at].parent;

        note_drawn(
            b, at, fci_pressure_of(peak[at].at[b->end]),
            parent == FCI_NONE ? 0 : fci_pressure_of(peak[parent].at[b->end]),
            outcome);
    }
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

        if (!is_wanted(b, b->order[i]) || !claim->peak)
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
    range->low += by;
    range->nominal += by;
    range->high += by;
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

/* The building whose inputs are at these parts of their ranges; those that are
 * left ranges, at that end. */
static void
take_parts(struct fci_bench *b, enum fci_end end)
{
    fci_variant_take(&b->variant, b->parts);
    b->end = end;
    b->looks_at_supply = false;
    if (b->demand_varies)
        forget_demand(b);
    close_loops(b);
}

void
fci_bench_begin(struct fci_bench *b, unsigned long seed, size_t block)
{
    gsl_rng_set(b->rng, fci_seed_of_block(seed, block));
}

/* The part of its range at which an input is at an end for every fixture: on a
 * tree it is left a range.  Where flows may turn there are no ends of ranges,
 * and it is at its own. */
static double
part_at_end(const struct fci_bench *b, size_t input, enum fci_end end)
{
    return !b->verify->meshed                                             ? NAN
           : b->variant.inputs[input].more_is_worse == (end == FCI_WORST) ? 1
                                                                          : 0;
}

void
fci_bench_draw(struct fci_bench *b, struct fci_draw_as as)
{
    size_t i;

    for (i = 0; i < b->variant.n_inputs; i++)
        b->parts[i] = gsl_rng_uniform(b->rng);
    for (i = 0; as.kinds_alike && i < b->variant.n_inputs; i++)
        b->parts[i] = b->parts[b->kind[i]];
    for (i = 0; as.usual != FCI_NOMINAL && i < b->variant.n_inputs; i++)
        if (b->variant.inputs[i].usual)
            b->parts[i] = part_at_end(b, i, as.usual);
    take_parts(b, as.usual);
}

void
fci_bench_take_bad(struct fci_bench *b, double bad)
{
    const struct fci_input *inputs = b->variant.inputs;
    size_t i;

    for (i = 0; i < b->variant.n_inputs; i++)
        b->parts[i] = inputs[i].more_is_worse ? bad : 1 - bad;
    take_parts(b, FCI_NOMINAL);
}

void
fci_bench_take_end(struct fci_bench *b, enum fci_end end)
{
    size_t i;

    for (i = 0; i < b->variant.n_inputs; i++)
        b->parts[i] = part_at_end(b, i, end);
    take_parts(b, end);
    b->looks_at_supply = true;
}

static void
take_nominal(struct fci_bench *b, enum fci_end end)
{
    fci_variant_reset(&b->variant);
    b->end = end;
    b->looks_at_supply = false;
    if (b->demand_varies)
        forget_demand(b);
}

static void
set_to_end(struct fci_bench *b, size_t input, enum fci_end end)
{
    const fc_range given = b->variant.inputs[input].given;
    const double part = part_at_end(b, input, end);

    fci_variant_set(&b->variant, input,
                    isnan(part) ? NAN
                    : part > 0  ? given.high
                                : given.low);
}

void
fci_bench_take_model(struct fci_bench *b, enum fci_end end, bool usual)
{
    const struct fci_input *inputs = b->variant.inputs;
    size_t i;

    take_nominal(b, usual ? end : FCI_NOMINAL);
    for (i = 0; i < b->variant.n_inputs; i++) {
        const bool high = inputs[i].more_is_worse == (end == FCI_WORST);

        if (inputs[i].cause == FCI_OF_MODEL) /* one for all */
            fci_variant_set(&b->variant, i,
                            high ? inputs[i].given.high : inputs[i].given.low);
        else if (usual && inputs[i].usual)
            set_to_end(b, i, end);
    }
}

void
fci_bench_take_one(struct fci_bench *b, size_t input, enum fci_end end)
{
    take_nominal(b, end);
    set_to_end(b, input, end);
}

/* ---- Threads ---------------------------------------------------------- */

struct worker {
    struct fci_bench *bench;
    size_t *reach;            /* of each claim, outcomes that do */
    fc_diagnostics *messages; /* lists of them are not for two threads */
};

struct fci_drawing {
    const struct fci_verify *verify;
    const fc_verify_options *options;
    struct worker *workers;
    fc_status *status; /* of each worker */
    size_t n_workers, n_blocks;
    /* What is drawn now. */
    unsigned long seed;
    struct fci_draw_as as;
    bool keep; /* outcomes as well */
    const bool *wanted;
};

static void
take_outcomes(const struct fci_drawing *d, const struct worker *w, size_t draw)
{
    const struct fci_verify *v = d->verify;
    size_t c;

    for (c = 0; c < v->n_claims; c++) {
        const double pressure = w->bench->outcomes[c].pressure;

        if (v->claims[c].why_not)
            continue;
        w->reach[c] += pressure >= v->checked[c].claimed - FCI_SOLVED_TO;
        if (d->keep)
            v->outcomes[c * v->draws + draw] = pressure;
    }
}

static fc_status
draw_block(const struct fci_drawing *d, const struct worker *w, size_t block)
{
    const struct fci_verify *v = d->verify;
    const size_t first = block * FCI_VERIFY_BLOCK;
    fc_status status = FC_OK;
    size_t i;

    fci_bench_begin(w->bench, d->seed, block);
    w->bench->wanted = d->wanted;
    for (i = first; i < first + FCI_VERIFY_BLOCK && status == FC_OK; i++) {
        if (d->keep && i >= v->draws)
            break;
        fci_bench_draw(w->bench, d->as);
        status =
            fci_bench_run(w->bench, false, w->bench->outcomes, w->messages);
        if (status == FC_OK)
            take_outcomes(d, w, i);
    }
    return status;
}

static fc_status
work(void *data, size_t number, size_t block)
{
    const struct fci_drawing *d = data;
    const fc_status status = draw_block(d, &d->workers[number], block);

    if (number == 0 && d->keep && d->options->progress) /* this thread */
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
fci_drawing_new(struct fci_verify *v, const fc_verify_options *options,
                struct fci_drawing **drawing)
{
    struct fci_arena *arena = &v->scratch;
    const size_t blocks = (v->draws + FCI_VERIFY_BLOCK - 1) / FCI_VERIFY_BLOCK;
    const size_t wanted = fci_pool_threads(options->threads);
    const size_t n = wanted < blocks ? wanted : blocks;
    struct fci_drawing *d = fci_arena_alloc(arena, sizeof *d);
    size_t i;

    *drawing = d;
    if (!d)
        return FC_ENOMEM;
    d->verify = v;
    d->options = options;
    d->n_blocks = blocks;
    d->workers = fci_arena_array(arena, n, sizeof *d->workers);
    d->status = fci_arena_array(arena, n, sizeof *d->status);
    if (!d->workers || !d->status)
        return FC_ENOMEM;
    for (i = 0; i < n; i++) {
        struct worker *w = &d->workers[d->n_workers++];

        w->bench = fci_bench_new(v);
        w->messages = fc_diagnostics_new();
        w->reach = fci_arena_array(arena, v->n_claims, sizeof *w->reach);
        if (!w->bench || !w->messages || !w->reach)
            return FC_ENOMEM;
    }
    return FC_OK;
}

void
fci_drawing_free(struct fci_drawing *d)
{
    size_t i;

    for (i = 0; d && i < d->n_workers; i++) {
        fci_bench_free(d->workers[i].bench);
        fc_diagnostics_free(d->workers[i].messages);
    }
}

/* The blocks, and how many of their outcomes reach each claim added up. */
static fc_status
draw_blocks(struct fci_drawing *d, size_t first, size_t end, size_t *reach,
            fc_diagnostics *messages)
{
    const size_t n_claims = d->verify->n_claims;
    fc_status status = FC_OK;
    size_t i, c;

    for (i = 0; i < d->n_workers; i++)
        memset(d->workers[i].reach, 0, n_claims * sizeof *reach);
    fci_pool_run(work, d, d->n_workers, d->status, first, end);
    for (i = 0; i < d->n_workers && status == FC_OK; i++) {
        status = pass_on(&d->workers[i], d->status[i], messages);
        for (c = 0; c < n_claims; c++)
            reach[c] += d->workers[i].reach[c];
    }
    return status;
}

fc_status
fci_drawing_first(struct fci_drawing *d, size_t *reach,
                  fc_diagnostics *messages)
{
    d->seed = d->verify->seed;
    d->as = (struct fci_draw_as){ false, FCI_NOMINAL };
    d->keep = true;
    d->wanted = NULL;
    return draw_blocks(d, 0, d->n_blocks, reach, messages);
}

fc_status
fci_drawing_more(struct fci_drawing *d, struct fci_draw_as as,
                 const bool *wanted, size_t first, size_t blocks,
                 size_t *reach, fc_diagnostics *messages)
{
    d->seed = as.kinds_alike ? SEED_ALIKE : FCI_SEED_OF_NOBODY;
    d->as = as;
    d->keep = false;
    d->wanted = wanted;
    return draw_blocks(d, first, first + blocks, reach, messages);
}
