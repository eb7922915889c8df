/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_period.c -- how often a flush is weak in the busiest period.
 *
 * Threads take whole blocks of states.  A block is the same whoever draws it,
 * and tallies are whole numbers, so that neither the number of threads nor
 * their order shows in the result.  Whether to go on is asked only between
 * rounds, whose sizes are fixed.
 *
 * A valve that is seldom on shows in few states.  When it would take more
 * states to wait for it than to put it on in each, it is put on: given that it
 * is, the others are on with their own chances as before.
 */
#include "flow/busy_period.h"
#include "flow/busy_draw.h"
#include "flow/busy_sure.h"
#include "ground/memory.h"
#include "ground/pool.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define DEFAULT_SEED 1
#define DEFAULT_STATES 1000000
/* In a huge building fewer: some ten seconds on one core, in visits to links,
 * of which an open valve takes about so many. */
#define MOST_WORK 2e9
#define LINKS_A_VALVE 50
#define NODES_A_VALVE 20
#define FIRST_ROUND 16 /* blocks */
/* The first round in which valves are put on [blocks each]. */
#define BLOCKS_WITH 2
/* Fewer blocks than this are not worth another thread. */
#define BLOCKS_A_THREAD 4
/* The longest round, so that progress shows [blocks]. */
#define LONGEST_ROUND 128

#define FIFTH 0.05

/* A chance is clear of FC_MOST_WEAK by so many standard deviations: of the
 * user's seed only where one in millions would be wrong, else of one stream
 * for all.  Within so many blocks the first is to show. */
#define CLEAR_AT_ONCE 5.0
#define CLEAR 4.4
/* When no more are to be drawn, Wilson's interval of 95 % decides. */
#define BY_SAMPLING 1.959963984540054
#define BLOCKS_OF_SEED 128
#define PART_OF_SEED 4 /* or within a fourth of all */
/* Of that one so many decide: a chance so near to the limit is not worth the
 * time that more would take. */
#define BLOCKS_OF_NOBODY 192
#define FEW_BLOCKS 64 /* too few to be worth another stream */
#define SEED_OF_NOBODY 0x77656162ul

struct running {
    struct fci_arena arena;
    struct fci_busy_plan *plan;
    struct fci_busy_drawer **drawers; /* a worker each */
    fc_status *status;                /* the same */
    size_t n_workers;
    struct fci_tally *sums;
    size_t blocks, most_blocks;
    size_t *with; /* fixtures of which a valve is put on, */
    size_t n_with, begun_with, blocks_with; /* in so many blocks each before
                                               this round, and in it */
    uint64_t most_shown; /* flushes of that of them which shows most */
    bool *never; /* of each fixture, whether it has enough with all open */
    enum fci_often *sure; /* of each, what is so without a draw */
    int *at_once;         /* as of the plan */
    const bool *asked;    /* of which fixtures alone; NULL: of all, and their
                             chances are to be known too */
    bool last;            /* this round is */
    double told;          /* how far it is */
    double clear;         /* deviations that tell a chance from the limit */
};

/* ---- Rounds ----------------------------------------------------------- */

static fc_status
draw_block(void *running, size_t worker, size_t block)
{
    return fci_busy_draw(((struct running *)running)->drawers[worker], block);
}

/* Whether a fixture's flushes are counted for nothing: it is not asked for, or
 * known without them, and no round follows whose course they would set. */
static bool
is_idle(const struct running *r, size_t fixture)
{
    return r->last && r->asked
           && (!r->asked[fixture] || r->sure[fixture] != FCI_UNCLEAR
               || r->never[fixture]);
}

static fc_status
draw_block_with(void *running, size_t worker, size_t block)
{
    const struct running *r = running;
    const size_t fixture = r->with[block / r->blocks_with];

    return is_idle(r, fixture)
               ? FC_OK
               : fci_busy_draw_with(r->drawers[worker], fixture,
                                    r->begun_with + block % r->blocks_with);
}

/* From block `first` on. */
static void
draw_round(struct running *r, fci_pool_block *draw, size_t first,
           size_t blocks)
{
    const size_t n = blocks / BLOCKS_A_THREAD;

    r->last = r->blocks + blocks >= r->most_blocks;
    fci_pool_run(draw, r, n < r->n_workers ? n : r->n_workers, r->status,
                 first, first + blocks);
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

fc_status
fci_never_weak(const struct fci_network *network, enum fci_end end,
               bool *never)
{
    const fc_site *site = network->site;
    struct fci_solver *solver = fci_solver_new(network);
    struct fci_open *open = calloc(site->n_fixtures + 1, sizeof *open);
    const bool room = solver && open;
    size_t i, n = 0;

    for (i = 0; room && i < site->n_fixtures; i++)
        if (network->outlets[i].flushes)
            open[n++] = (struct fci_open){ i, site->fixtures[i].count };
    if (room)
        fci_solver_take_whole(solver, end);
    if (room && fci_solver_run(solver, open, n) == FC_OK)
        for (i = 0; i < n; i++)
            never[open[i].fixture] =
                fci_solver_drawn(solver)[i].pressure
                >= fci_least_kept(network, open[i].fixture, end)
                       - FCI_SOLVED_TO; /* else it is not known */
    free(open);
    fci_solver_free(solver);
    return room ? FC_OK : FC_ENOMEM;
}

static enum fci_often
often_of(const struct running *r, size_t fixture, double z)
{
    return isfinite(r->plan->least[fixture]) && !r->never[fixture]
               ? fci_tally_often(&r->sums[fixture], z)
               : FCI_SELDOM;
}

static bool
all_clear(const struct running *r, double z)
{
    size_t i;

    for (i = 0; i < r->plan->n_valves; i++)
        if (often_of(r, r->plan->valves[i], z) == FCI_UNCLEAR)
            return false;
    return true;
}

/* Of a fixture that was asked for, by far. */
static bool
is_known(const struct running *r, size_t fixture)
{
    return !r->asked[fixture] || r->sure[fixture] != FCI_UNCLEAR
           || r->never[fixture]
           || fci_tally_often(&r->sums[fixture], CLEAR_AT_ONCE) != FCI_UNCLEAR;
}

/* Whether what was asked is known, so that no more needs to be drawn. */
static bool
all_known(const struct running *r)
{
    size_t i;

    for (i = 0; r->asked && i < r->plan->n_valves; i++)
        if (!is_known(r, r->plan->valves[i]))
            return false;
    return r->asked != NULL;
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

static void
note_unknown(struct running *r, size_t fixture)
{
    const uint64_t shown = r->sums[fixture].flushes;

    r->with[r->n_with++] = fixture;
    if (shown > r->most_shown)
        r->most_shown = shown;
}

/* The fixtures whose chance is not known well enough, or, while it has to be,
 * not clear of the limit. */
static void
find_unknown(struct running *r, double z, bool clear)
{
    const struct fci_busy_plan *plan = r->plan;
    size_t i;

    r->n_with = 0;
    r->most_shown = 0;
    for (i = 0; i < plan->n_valves; i++) {
        const size_t fixture = plan->valves[i];

        if (i > 0 && plan->valves[i - 1] == fixture)
            continue;
        if (!fci_tally_narrow(&r->sums[fixture])
            || (clear && often_of(r, fixture, z) == FCI_UNCLEAR))
            note_unknown(r, fixture);
    }
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

/* Another stream begins anew, and nobody should see that go back. */
static void
tell(struct running *r, const fc_check_options *options)
{
    const double done = (double)r->blocks / (double)r->most_blocks;

    if (options->progress && done > r->told)
        options->progress(options->context, done);
    r->told = fmax(r->told, done);
}

static size_t
least_of(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Each round as long as all before it, up to a length. */
static size_t
next_round(size_t before, size_t first, size_t most)
{
    return least_of(least_of(before ? before : first, LONGEST_ROUND), most);
}

/* As long as one of them shows itself as often as when each is put on in its
 * turn. */
static bool
waiting_pays(const struct running *r)
{
    return r->blocks == 0
           || (double)r->most_shown * (double)r->n_with
                  >= (double)FCI_BUSY_BLOCK * (double)r->blocks;
}

static void
draw_more(struct running *r)
{
    const size_t left = r->most_blocks - r->blocks;

    if (r->asked && r->blocks < FIRST_ROUND) {
        /* the same first round, looked at now and then */
        draw_round(r, draw_block, r->blocks, next_round(r->blocks, 1, left));
        return;
    }
    if (r->begun_with == 0 && waiting_pays(r)) {
        draw_round(r, draw_block, r->blocks,
                   next_round(r->blocks, FIRST_ROUND, left));
        return;
    }
    if (r->n_with > left)
        r->n_with = left;
    r->blocks_with = next_round(r->begun_with, BLOCKS_WITH, left / r->n_with);
    draw_round(r, draw_block_with, 0, r->n_with * r->blocks_with);
    r->begun_with += r->blocks_with;
}

/* Until every chance is clear of the limit, or known well enough after
 * `enough` blocks. */
static fc_status
draw_rounds(struct running *r, double z, size_t enough,
            const fc_check_options *options, struct fci_busy_period *period,
            fc_diagnostics *messages)
{
    fc_status status = FC_OK;

    r->blocks = r->begun_with = 0;
    r->n_with = 1; /* there may be one */
    while (status == FC_OK && r->n_with > 0 && r->blocks < r->most_blocks) {
        draw_more(r);
        add_up(r);
        status = worst_status(r, messages);
        find_unknown(r, z, r->blocks < enough);
        if (r->asked && r->n_with == 0 && r->blocks < FIRST_ROUND)
            r->n_with = 1; /* so far as the first round goes */
        tell(r, options);
        if (all_known(r))
            break;
    }
    period->narrow = all_narrow(r);
    period->states = r->blocks * FCI_BUSY_BLOCK;
    return status;
}

/* By the seed, and where that leaves a chance too near to the limit, by one
 * that is the same for all. */
static fc_status
draw_all(struct running *r, const fc_check_options *options,
         struct fci_busy_period *period, fc_diagnostics *messages)
{
    const size_t n = r->plan->network->site->n_fixtures;
    const size_t part = r->most_blocks / PART_OF_SEED;
    const bool few = r->most_blocks < FEW_BLOCKS;
    fc_status status = draw_rounds(
        r, CLEAR_AT_ONCE, part < BLOCKS_OF_SEED ? part : BLOCKS_OF_SEED,
        options, period, messages);

    r->clear = few ? BY_SAMPLING : CLEAR_AT_ONCE;
    if (status != FC_OK || few || all_known(r) || all_clear(r, CLEAR_AT_ONCE))
        return status;
    r->clear = BY_SAMPLING;
    if (r->most_blocks > BLOCKS_OF_NOBODY)
        r->most_blocks = BLOCKS_OF_NOBODY;
    r->plan->seed = SEED_OF_NOBODY;
    memset(r->sums, 0, n * sizeof *r->sums);
    return draw_rounds(r, CLEAR, SIZE_MAX, options, period, messages);
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

/* What is proved without a draw narrows what was drawn. */
static void
hold_to_proof(fc_chance *weak, enum fci_often sure)
{
    double *const figures[] = { &weak->estimate, &weak->low, &weak->high };
    size_t i;

    for (i = 0; sure != FCI_UNCLEAR && i < 3; i++)
        *figures[i] = sure == FCI_SELDOM ? fmin(*figures[i], FC_MOST_WEAK)
                                         : fmax(*figures[i], FC_MOST_WEAK);
}

static void
take_results(const struct running *r, const struct fci_busy_period *period)
{
    fc_busy *fixtures = period->fixtures;
    const struct fci_busy_plan *plan = r->plan;
    size_t i;

    for (i = 0; i < plan->network->site->n_fixtures; i++) {
        const struct fci_tally *tally = &r->sums[i];

        period->often[i] = r->sure[i];
        if (r->sure[i] == FCI_UNCLEAR || r->never[i])
            period->often[i] = often_of(r, i, r->clear);
        if (isfinite(plan->least[i]))
            fixtures[i].weak = fci_tally_weak(tally);
        hold_to_proof(&fixtures[i].weak, r->sure[i]);
        fixtures[i].mean = r->asked ? NAN : fci_tally_mean(tally);
        fixtures[i].fifth =
            r->asked ? NAN : fci_tally_quantile(tally, FIFTH, plan->top[i]);
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
    r->with = fci_arena_array(&r->arena, n + 1, sizeof *r->with);
    period->fixtures = calloc(n + 1, sizeof *period->fixtures);
    period->often = calloc(n + 1, sizeof *period->often);
    r->never = fci_arena_array(&r->arena, n + 1, sizeof *r->never);
    r->sure = fci_arena_array(&r->arena, n + 1, sizeof *r->sure);
    r->at_once = fci_arena_array(&r->arena, n + 1, sizeof *r->at_once);
    if (r->arena.failed || !period->fixtures || !period->often)
        return FC_ENOMEM;
    status = fci_never_weak(r->plan->network, r->plan->end, r->never);
    if (status == FC_OK)
        status = fci_busy_sure(r->plan, r->asked, r->sure, r->at_once);
    if (r->asked)
        r->plan->at_once = r->at_once;
    if (status == FC_OK && !all_known(r)) {
        status = make_workers(r, options) ? FC_OK : FC_ENOMEM;
        if (status == FC_OK)
            status = draw_all(r, options, period, messages);
    }
    if (status == FC_OK)
        take_results(r, period);
    return status;
}

fc_status
fci_busy_period_run(const struct fci_network *network, enum fci_end end,
                    const fc_check_options *options, const bool *asked,
                    struct fci_busy_period *period, fc_diagnostics *messages)
{
    static const fc_check_options defaults = { 0 };
    struct running r = { .asked = asked };
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
    if (status != FC_OK)
        fci_busy_period_free(period);
    return status;
}

void
fci_busy_period_free(struct fci_busy_period *period)
{
    free(period->fixtures);
    free(period->often);
    period->fixtures = NULL;
    period->often = NULL;
}
