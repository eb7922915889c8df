/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_rounds.c -- states of the busy period, drawn in rounds until
 * each chance is known.
 *
 * States are drawn by strata, by how many valves are on.
 *
 * What is to be known finely is drawn for all fixtures together, each round as
 * many states again as all before: half of them in proportion to a stratum's
 * chance, and half to the root of that, so that what is rare is seen too [C77,
 * ch. 5A: a sample that serves several purposes].
 *
 * Verdicts need less.  One round of that kind settles what is clear.  Of any
 * other fixture it shows where states tell the most: by a stratum's part of
 * the flushes and by how much they differ in it [N34], with some in
 * proportion, lest too little is made of what it did not show.  Then it is
 * left behind, as of its flushes fewer were solved, and such states are drawn
 * until the chance is known as well as a verdict needs.
 *
 * The blocks of a stratum are numbered, and a fixture is told of by its first
 * ones, as many as what is known of that fixture asks for.  So neither what
 * else is asked shows in a verdict nor, as tallies are whole numbers, the
 * number of threads or their order.
 *
 *   [C77]  W. G. Cochran, Sampling Techniques (1977) (from memory)
 *   [N34]  J. Neyman, J. Royal Statistical Society 97 (1934) 558-625
 *          (from memory)
 */
#include "flow/busy_rounds.h"
#include "ground/pool.h"

#include <math.h>
#include <string.h>

#define FIRST_ROUND 512

/* One in 32 of these shows what a fixture has (busy_draw.c): some 500. */
#define STATES_OF_PRESSURES 16384
/* How much the pressures of one state count in the mean. */
#define WEIGHT 2048.0

/* So much of a later round is in proportion, and so it grows: choices of this
 * method. */
#define IN_PROPORTION 0.1
#define SOME_MORE 1.1
#define LEAST_STEP 1.25
#define MOST_STEP 2.0

/* A chance is clear of FC_MOST_WEAK by so many standard deviations, looked at
 * after each round; known well enough, by Wilson's interval of 95 %. */
#define CLEAR 4.4
#define BY_SAMPLING 1.959963984540054

/* One more of the flushes that states leave open is left out for so many
 * fixtures, where all are told of, and where few are: likewise. */
#define MANY_FIXTURES 64
#define FEW_FIXTURES 1024
#define EARLY 2
#define FEWER_FIXTURES 16384

/* Of a stratum and a fixture. */
struct drawn {
    size_t first; /* blocks of the first round */
    size_t paid;  /* states up to which pressures are weighed */
};

struct rounds {
    struct fci_arena arena;
    struct fci_busy_asked *asked;
    const fc_check_options *options;
    enum fci_busy_wanted wanted;
    struct fci_busy_found *found;
    struct fci_pressures *pressures;
    struct fci_tally *sums;           /* [n][n_strata] */
    double *part;                     /* [n_classes][n_strata] */
    size_t *states;                   /* [n], of each fixture so far; those of
                                         the first round only in that */
    size_t most;                      /* of them */
    unsigned *round;                  /* [n], likewise */
    bool *going_on;                   /* [n]: it is told of in this round */
    struct drawn *drawn;              /* [n][n_strata] */
    struct fci_busy_drawer **drawers; /* a worker each */
    fc_status *status;                /* the same */
    size_t n_workers;
    struct fci_busy_block *blocks; /* of the round */
    size_t n_blocks, room;
    int *starts; /* of each block of a stratum: for how many fixtures more it
                    is wanted than the one before */
    size_t n_starts;
};

/* ---- Strata ------------------------------------------------------------- */

/* The strata that surely have no weak flush. */
static size_t
told_strata(const struct rounds *r, size_t fixture, bool with)
{
    const struct fci_busy_plan *plan = r->asked->plan;
    size_t g = 0;

    while (g < plan->n_strata
           && (int)(plan->strata[g].high + !with)
                  <= r->asked->at_once[fixture])
        g++;
    return g;
}

static struct fci_strata
strata_of(const struct rounds *r, size_t at)
{
    const struct fci_busy_plan *plan = r->asked->plan;
    const size_t fixture = r->asked->fixtures[at];
    const size_t class = plan->class_of[fixture];

    return (struct fci_strata){
        .tallies = &r->sums[at * plan->n_strata],
        .part = &r->part[class * plan->n_strata],
        .n = plan->n_strata,
        .told = told_strata(r, fixture, !fci_busy_adds(plan, class)),
        .monotone = plan->monotone,
    };
}

/* ---- Memory ------------------------------------------------------------- */

static void
find_parts(struct rounds *r)
{
    const struct fci_busy_plan *plan = r->asked->plan;
    size_t c, g;

    for (c = 0; c < plan->n_classes; c++)
        for (g = 0; g < plan->n_strata; g++)
            r->part[c * plan->n_strata + g] =
                fci_busy_part(plan, c, g, !fci_busy_adds(plan, c));
}

static bool
make_room(struct rounds *r)
{
    const struct fci_busy_plan *plan = r->asked->plan;
    const size_t workers = fci_pool_threads(r->options->threads);
    const size_t cells = r->asked->n * plan->n_strata + 1;
    struct fci_arena *arena = &r->arena;

    r->drawers = fci_arena_array(arena, workers, sizeof(void *));
    r->status = fci_arena_array(arena, workers, sizeof *r->status);
    r->sums = fci_arena_array(arena, cells, sizeof *r->sums);
    r->states = fci_arena_array(arena, r->asked->n + 1, sizeof *r->states);
    r->round = fci_arena_array(arena, r->asked->n + 1, sizeof *r->round);
    r->going_on = fci_arena_array(arena, r->asked->n + 1, sizeof *r->going_on);
    r->drawn = fci_arena_array(arena, cells, sizeof *r->drawn);
    r->asked->told = fci_arena_array(arena, cells, sizeof *r->asked->told);
    r->part = fci_arena_array(arena, plan->n_classes * plan->n_strata + 1,
                              sizeof *r->part);
    if (arena->failed)
        return false;
    find_parts(r);
    while (r->n_workers < workers) {
        r->drawers[r->n_workers] = fci_busy_drawer_new(r->asked);
        if (!r->drawers[r->n_workers])
            return false;
        r->n_workers++;
    }
    return true;
}

/* ---- What is known ------------------------------------------------------ */

/* The first verdict stands: of a chance that is clear, or when it is known
 * well enough. */
static void
judge(const struct rounds *r, size_t at)
{
    struct fci_busy_found *f = &r->found[at];
    const struct fci_strata strata = strata_of(r, at);
    bool enough;

    f->known = fci_strata_known(&strata);
    enough = f->settled || fci_known_narrow(&f->known, true);
    if (f->often == FCI_UNCLEAR && !f->judged)
        f->often = fci_known_often(&f->known, enough ? BY_SAMPLING : CLEAR);
    f->judged |= enough || f->often != FCI_UNCLEAR;
}

/* Whether all is known of one that is wanted, but for its pressures. */
static bool
is_known(const struct rounds *r, size_t at)
{
    const struct fci_busy_found *f = &r->found[at];

    return f->judged
           && (r->wanted == FCI_VERDICTS || f->settled
               || fci_known_narrow(&f->known, r->wanted == FCI_ROUGHLY));
}

/* ---- What the next round draws ------------------------------------------ */

/* Whether a fixture is told of by states of its own. */
static bool
has_own(const struct rounds *r, size_t at)
{
    return r->wanted != FCI_FINELY && r->round[at] > 0;
}

/* What part of the states of a fixture are of each stratum; beside them those
 * of which all is told already are drawn for their pressures alone. */
static void
share_out(const struct rounds *r, size_t at, double *share)
{
    const struct fci_busy_plan *plan = r->asked->plan;
    const struct fci_strata strata = strata_of(r, at);
    const bool own = has_own(r, at);
    const size_t told =
        r->wanted == FCI_FINELY ? r->asked->first : strata.told;
    const double even = own ? IN_PROPORTION : 0.5;
    double spread[FCI_STRATA], all = 0, sum = 0;
    size_t g;

    if (own)
        fci_strata_spread(&strata, spread);
    for (g = told; g < plan->n_strata; g++) {
        if (!own)
            spread[g] = sqrt(plan->strata[g].chance);
        all += plan->strata[g].chance;
        sum += spread[g];
    }
    for (g = 0; g < plan->n_strata; g++) {
        const double chance = plan->strata[g].chance;

        if (g < told)
            share[g] = r->pressures ? chance / 2 : 0;
        else
            share[g] = (all > 0 ? even * chance / all : 0)
                       + (sum > 0 ? (1 - even) * spread[g] / sum : 0);
    }
}

/* Of the flushes that a state leaves open one in so many is solved: of each
 * fixture in other states, so that what is told of it does not depend on what
 * is told of others.  In later rounds there are few such fixtures. */
static int
one_in(const struct rounds *r, size_t at)
{
    const size_t n = r->asked->plan->network->site->n_fixtures;

    return 1
           + (int)(n
                   / (!has_own(r, at)         ? MANY_FIXTURES
                      : r->round[at] <= EARLY ? FEW_FIXTURES
                                              : FEWER_FIXTURES));
}

/* A flush of a stratum counts as much as the stratum's part of all flushes,
 * whichever of its states are drawn. */
static void
weigh(struct rounds *r, size_t at, size_t stratum)
{
    const struct fci_busy_plan *plan = r->asked->plan;
    const size_t class = plan->class_of[r->asked->fixtures[at]];
    const size_t cell = at * plan->n_strata + stratum;
    struct fci_busy_told *told = &r->asked->told[cell];

    if (told->to == told->from)
        return;
    told->weight = (uint64_t)llround(
        WEIGHT * r->part[class * plan->n_strata + stratum]
        * (double)(r->states[at] - r->drawn[cell].paid)
        / ((double)(told->to - told->from) * FCI_BUSY_BLOCK));
    r->drawn[cell].paid = r->states[at];
}

/* Whether nothing more of a fixture is to be drawn. */
static bool
is_done(const struct rounds *r, size_t at)
{
    return r->states[at] >= r->most
           || (is_known(r, at)
               && (!r->pressures || r->states[at] >= STATES_OF_PRESSURES));
}

/* As many as are about enough, in steps that are neither small nor large; for
 * all alike where they share them. */
static size_t
next_states(const struct rounds *r, size_t at)
{
    const double lacks = fci_known_lacks(&r->found[at].known, true);
    double next = FIRST_ROUND, step = MOST_STEP;

    if (r->wanted != FCI_FINELY)
        step = fmin(fmax(SOME_MORE * lacks, LEAST_STEP), MOST_STEP);
    if (r->round[at] > (r->wanted != FCI_FINELY))
        next = (double)r->states[at] * step;
    return next < (double)r->most ? (size_t)next : r->most;
}

/* What the first round told is left behind. */
static void
leave_first(struct rounds *r, size_t at)
{
    const size_t n = r->asked->plan->n_strata;
    size_t g;

    for (g = at * n; g < (at + 1) * n; g++) {
        r->drawn[g] = (struct drawn){ .first = r->asked->told[g].to };
        r->sums[g] = (struct fci_tally){ 0 };
    }
}

static void
plan_one(struct rounds *r, size_t at)
{
    const size_t n = r->asked->plan->n_strata;
    const bool done = is_done(r, at);
    struct fci_busy_told *told = &r->asked->told[at * n];
    double share[FCI_STRATA];
    size_t g;

    r->going_on[at] = !done;
    for (g = 0; g < n; g++)
        told[g].from = told[g].to;
    if (done)
        return;
    share_out(r, at, share);
    r->states[at] = next_states(r, at);
    if (r->wanted != FCI_FINELY && r->round[at] == 1)
        leave_first(r, at);
    for (g = 0; g < n; g++) {
        const size_t blocks =
            r->drawn[at * n + g].first
            + (size_t)ceil(share[g] * (double)r->states[at] / FCI_BUSY_BLOCK);

        told[g].one_in = one_in(r, at);
        told[g].to = blocks > told[g].from ? blocks : told[g].from;
        if (r->pressures)
            weigh(r, at, g);
    }
    r->round[at]++;
}

static bool
add_block(struct rounds *r, size_t stratum, size_t number)
{
    if (r->n_blocks == r->room) {
        const size_t room = 2 * r->room + 64;
        struct fci_busy_block *blocks =
            fci_arena_array(&r->arena, room, sizeof *blocks);

        if (!blocks)
            return false;
        if (r->n_blocks > 0)
            memcpy(blocks, r->blocks, r->n_blocks * sizeof *blocks);
        r->blocks = blocks;
        r->room = room;
    }
    r->blocks[r->n_blocks++] = (struct fci_busy_block){ stratum, number };
    return true;
}

/* Room for that many blocks of a stratum, and none of them wanted. */
static bool
clear_starts(struct rounds *r, size_t n)
{
    if (n > r->n_starts) {
        r->starts = fci_arena_array(&r->arena, 2 * n, sizeof *r->starts);
        r->n_starts = r->starts ? 2 * n : 0;
    }
    if (!r->starts)
        return false;
    memset(r->starts, 0, n * sizeof *r->starts);
    return true;
}

/* Those that some fixture is told of. */
static bool
list_blocks(struct rounds *r, size_t stratum)
{
    const struct fci_busy_told *told = r->asked->told + stratum;
    const size_t n = r->asked->plan->n_strata;
    size_t i, most = 0;
    int wanted = 0;

    for (i = 0; i < r->asked->n; i++)
        most = told[i * n].to > most ? told[i * n].to : most;
    if (!clear_starts(r, most + 1))
        return false;
    for (i = 0; i < r->asked->n; i++) {
        r->starts[told[i * n].from]++;
        r->starts[told[i * n].to]--;
    }
    for (i = 0; i < most; i++) {
        wanted += r->starts[i];
        if (wanted > 0 && !add_block(r, stratum, i))
            return false;
    }
    return true;
}

/* `any`: some fixture is told of. */
static bool
plan_round(struct rounds *r, bool *any)
{
    size_t i, g;

    *any = false;
    for (i = 0; i < r->asked->n; i++) {
        plan_one(r, i);
        *any |= r->going_on[i];
    }
    r->n_blocks = 0;
    for (g = 0; g < r->asked->plan->n_strata && *any; g++)
        if (!list_blocks(r, g))
            return false;
    return true;
}

/* ---- Rounds ------------------------------------------------------------- */

static fc_status
draw_block(void *rounds, size_t worker, size_t block)
{
    struct rounds *r = rounds;

    return fci_busy_draw(r->drawers[worker], &r->blocks[block]);
}

/* Into the sums, and the workers' own back to nothing. */
static void
add_up(struct rounds *r)
{
    const size_t n = r->asked->n * r->asked->plan->n_strata;
    size_t i, k;

    for (k = 0; k < r->n_workers; k++) {
        struct fci_tally *own = fci_busy_tallies(r->drawers[k]);
        struct fci_pressures *had = fci_busy_pressures(r->drawers[k]);

        for (i = 0; i < n; i++)
            if (own[i].squares > 0) {
                fci_tally_merge(&r->sums[i], &own[i]);
                own[i] = (struct fci_tally){ 0 };
            }
        for (i = 0; had && i < r->asked->n; i++) {
            fci_pressures_merge(&r->pressures[i], &had[i]);
            had[i] = (struct fci_pressures){ 0 };
        }
    }
}

static fc_status
worst_status(const struct rounds *r, fc_diagnostics *messages)
{
    size_t k;

    for (k = 0; k < r->n_workers; k++)
        if (r->status[k] != FC_OK)
            return fci_solver_fail(fci_busy_solver(r->drawers[k]),
                                   r->status[k], messages);
    return FC_OK;
}

static void
judge_all(struct rounds *r)
{
    size_t i;

    for (i = 0; i < r->asked->n; i++)
        if (r->going_on[i])
            judge(r, i);
}

/* The fixture that is least known tells how far it is. */
static void
tell(const struct rounds *r)
{
    double done = 1;
    size_t i;

    for (i = 0; i < r->asked->n; i++)
        if (!is_done(r, i))
            done = fmin(done, (double)r->states[i] / (double)r->most);
    if (r->options->progress && done < 1)
        r->options->progress(r->options->context, done);
}

static fc_status
draw_rounds(struct rounds *r, fc_diagnostics *messages)
{
    fc_status status = FC_OK;
    bool any;

    while (status == FC_OK) {
        if (!plan_round(r, &any))
            return FC_ENOMEM;
        if (!any)
            break;
        fci_pool_run(draw_block, r, r->n_workers, r->status, 0, r->n_blocks);
        add_up(r);
        status = worst_status(r, messages);
        if (status == FC_OK)
            judge_all(r);
        tell(r);
    }
    return status;
}

fc_status
fci_busy_rounds(struct fci_busy_asked *asked, const fc_check_options *options,
                enum fci_busy_wanted wanted, size_t most,
                struct fci_busy_found *found, struct fci_pressures *pressures,
                size_t *states, bool *narrow, fc_diagnostics *messages)
{
    struct rounds r = { .asked = asked,
                        .options = options,
                        .wanted = wanted,
                        .most = most,
                        .found = found,
                        .pressures = pressures };
    fc_status status = FC_ENOMEM;
    size_t i;

    *narrow = false;
    asked->pressures = pressures != NULL;
    if (make_room(&r))
        status = draw_rounds(&r, messages);
    if (status == FC_OK)
        for (i = 0, *narrow = true; i < asked->n; i++)
            *narrow &= is_known(&r, i);
    for (i = 0; i < r.n_workers; i++) {
        *states += fci_busy_solved(r.drawers[i]);
        fci_busy_drawer_free(r.drawers[i]);
    }
    asked->told = NULL;
    fci_arena_free(&r.arena);
    return status;
}
