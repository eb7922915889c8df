/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_period.c -- how often a flush is weak in the busiest period.
 *
 * Threads take whole blocks of states.  A block is the same whoever draws it,
 * and tallies are whole numbers, so that neither the number of threads nor
 * their order shows in the result.  Whether to go on is asked only between
 * rounds, whose sizes are fixed.
 */
#include "flow/busy_period.h"
#include "flow/busy_draw.h"
#include "ground/memory.h"
#include "ground/pool.h"

#include <math.h>
#include <stdlib.h>

#define DEFAULT_SEED 1
#define DEFAULT_STATES 1000000
/* In a huge building fewer: some ten seconds on one core, in visits to links,
 * of which an open valve takes about so many. */
#define MOST_WORK 2e9
#define LINKS_A_VALVE 50
#define NODES_A_VALVE 20
#define FIRST_ROUND 16 /* blocks */
/* Fewer blocks than this are not worth another thread. */
#define BLOCKS_A_THREAD 4
/* The longest round, so that progress shows [blocks]. */
#define LONGEST_ROUND 128

#define FIFTH 0.05

struct running {
    struct fci_arena arena;
    struct fci_busy_plan *plan;
    struct fci_busy_drawer **drawers; /* a worker each */
    fc_status *status;                /* the same */
    size_t n_workers;
    struct fci_tally *sums;
    size_t blocks, most_blocks;
};

/* ---- Rounds ----------------------------------------------------------- */

static fc_status
draw_block(void *running, size_t worker, size_t block)
{
    return fci_busy_draw(((struct running *)running)->drawers[worker], block);
}

static void
draw_round(struct running *r, size_t blocks)
{
    const size_t n = blocks / BLOCKS_A_THREAD;

    fci_pool_run(draw_block, r, n < r->n_workers ? n : r->n_workers, r->status,
                 r->blocks, r->blocks + blocks);
    r->blocks += blocks;
}

/* Into the sums, and the workers' own back to nothing. */
static void
add_up(struct running *r)
{
    const size_t n = r->plan->network->site->n_fixtures;
    size_t i, k;

    for (k = 0; k < r->n_workers; k++) {
        struct fci_tally *own = fci_busy_tallies(r->drawers[k]);

        for (i = 0; i < n; i++)
            if (own[i].flushes > 0) {
                fci_tally_merge(&r->sums[i], &own[i]);
                own[i] = (struct fci_tally){ 0 };
            }
    }
}

static bool
all_narrow(const struct running *r)
{
    size_t i;

    for (i = 0; i < r->plan->n_valves; i++)
        if (!fci_tally_narrow(&r->sums[r->plan->valves[i]]))
            return false;
    return true;
}

static fc_status
worst_status(const struct running *r, fc_diagnostics *messages)
{
    size_t k;

    for (k = 0; k < r->n_workers; k++)
        if (r->status[k] != FC_OK)
            return fci_solver_fail(fci_busy_solver(r->drawers[k]),
                                   r->status[k], messages);
    return FC_OK;
}

/* Each round as long as all before it, up to a length. */
static fc_status
draw_rounds(struct running *r, const fc_check_options *options,
            struct fci_busy_period *period, fc_diagnostics *messages)
{
    fc_status status = FC_OK;
    size_t blocks;

    while (status == FC_OK && !period->narrow && r->blocks < r->most_blocks) {
        blocks = r->blocks ? r->blocks : FIRST_ROUND;
        if (blocks > LONGEST_ROUND)
            blocks = LONGEST_ROUND;
        if (blocks > r->most_blocks - r->blocks)
            blocks = r->most_blocks - r->blocks;
        draw_round(r, blocks);
        add_up(r);
        status = worst_status(r, messages);
        period->narrow = all_narrow(r);
        if (options->progress)
            options->progress(options->context,
                              (double)r->blocks / (double)r->most_blocks);
    }
    period->states = r->blocks * FCI_BUSY_BLOCK;
    return status;
}

/* ---- The whole -------------------------------------------------------- */

static bool
make_workers(struct running *r, const fc_check_options *options)
{
    const size_t n = fci_pool_threads(options->threads);
    size_t i;

    r->drawers = fci_arena_array(&r->arena, n, sizeof(void *));
    r->status = fci_arena_array(&r->arena, n, sizeof *r->status);
    if (r->arena.failed)
        return false;
    r->n_workers = n;
    for (i = 0; i < n; i++) {
        r->drawers[i] = fci_busy_drawer_new(r->plan);
        if (!r->drawers[i])
            return false;
    }
    return true;
}

static void
take_results(const struct running *r, fc_busy *fixtures)
{
    const struct fci_busy_plan *plan = r->plan;
    size_t i;

    for (i = 0; i < plan->network->site->n_fixtures; i++) {
        const struct fci_tally *tally = &r->sums[i];

        if (isfinite(plan->least[i]))
            fixtures[i].weak = fci_tally_weak(tally);
        fixtures[i].mean = fci_tally_mean(tally);
        fixtures[i].fifth = fci_tally_quantile(tally, FIFTH, plan->top[i]);
    }
}

/* A state costs about as many links as its open valves see on their ways. */
static size_t
default_states(const struct fci_busy_plan *plan)
{
    const double links = (double)plan->network->n_links;
    double on = 0, work;
    size_t i;

    for (i = 0; i < plan->n_classes; i++)
        on += plan->classes[i].on * (double)plan->classes[i].n;
    work = 1 + LINKS_A_VALVE * on;
    if (work > links + NODES_A_VALVE * on)
        work = links + NODES_A_VALVE * on;
    return work * DEFAULT_STATES > MOST_WORK ? (size_t)(MOST_WORK / work)
                                             : DEFAULT_STATES;
}

static fc_status
run(struct running *r, const fc_check_options *options,
    struct fci_busy_period *period, fc_diagnostics *messages)
{
    const size_t n = r->plan->network->site->n_fixtures;
    const size_t most =
        options->most_states ? options->most_states : default_states(r->plan);
    fc_status status;

    r->most_blocks = (most + FCI_BUSY_BLOCK - 1) / FCI_BUSY_BLOCK;
    r->sums = fci_arena_array(&r->arena, n + 1, sizeof *r->sums);
    period->fixtures = calloc(n + 1, sizeof *period->fixtures);
    if (!r->sums || !period->fixtures || !make_workers(r, options))
        return FC_ENOMEM;
    status = draw_rounds(r, options, period, messages);
    if (status == FC_OK)
        take_results(r, period->fixtures);
    return status;
}

fc_status
fci_busy_period_run(const struct fci_network *network, enum fci_end end,
                    const fc_check_options *options,
                    struct fci_busy_period *period, fc_diagnostics *messages)
{
    static const fc_check_options defaults = { 0 };
    struct running r = { 0 };
    fc_status status;

    if (!options)
        options = &defaults;
    *period = (struct fci_busy_period){ 0 };
    status = fci_busy_plan_new(network, end,
                               options->seed ? options->seed : DEFAULT_SEED,
                               &r.plan, messages);
    if (status == FC_OK)
        status = run(&r, options, period, messages);
    while (r.n_workers > 0)
        fci_busy_drawer_free(r.drawers[--r.n_workers]);
    fci_arena_free(&r.arena);
    fci_busy_plan_free(r.plan);
    if (status != FC_OK) {
        free(period->fixtures);
        period->fixtures = NULL;
    }
    return status;
}
