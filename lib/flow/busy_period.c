/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_period.c -- how often a flush is weak in the busiest period.
 *
 * What is sure without a solution is not looked for.  Of a small building
 * every state is solved.  Of others states are drawn by strata, by how many
 * valves are on: half of them in proportion to a stratum's chance, and half to
 * all alike, so that what is rare is seen too [C77, ch. 5A: a sample that
 * serves several purposes].
 *
 * Which states are drawn does not depend on what is asked, and a fixture's
 * verdict is that of the first round after which it is clear, so that it is
 * the same whatever else is asked.  Threads take whole blocks of states.  A
 * block is the same whoever draws it, and tallies are whole numbers, so that
 * neither the number of threads nor their order shows in the result.
 *
 *   [C77]  W. G. Cochran, Sampling Techniques (1977) (from memory)
 */
#include "flow/busy_period.h"
#include "flow/busy_every.h"
#include "flow/busy_sure.h"
#include "ground/pool.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Verdicts rest on one stream of states, which nobody chooses. */
#define SEED_OF_NOBODY 0x77656162ul
#define DEFAULT_STATES 1000000
/* Links of open valves' ways, at most. */
#define MOST_WORK 1e9
#define LINKS_A_VALVE 10.0

/* The first round draws so many states, and each after it as many as all
 * before. */
#define FIRST_ROUND 512

#define FIFTH 0.05
/* One in 32 of these shows what a fixture has (busy_draw.c): some 500. */
#define STATES_OF_PRESSURES 16384
/* Chances nearer to each other are the same. */
#define ROUNDING 1e-10
/* How much the pressures of one state count in the mean. */
#define WEIGHT 2048.0

/* A chance is clear of FC_MOST_WEAK by so many standard deviations, looked at
 * after each round; known well enough, by Wilson's interval of 95 %. */
#define CLEAR 4.4
#define BY_SAMPLING 1.959963984540054

/* What else is wanted of those asked for. */
struct how {
    bool draw;    /* however small the building is */
    bool chances; /* beside the verdicts */
    bool always;  /* of those too whose verdict is sure */
};

struct running {
    struct fci_arena arena;
    struct fci_busy_plan *plan;
    const fc_check_options *options;
    struct fci_busy_asked asked;
    struct fci_busy_drawer **drawers; /* a worker each */
    fc_status *status;                /* the same */
    size_t n_workers;
    struct fci_tally *sums;
    struct fci_pressures *pressures;
    struct fci_known *known;            /* of those asked for */
    struct fci_weak_part *weak;         /* of a small building, the same */
    struct fci_busy_block *blocks;      /* of the round */
    size_t n_blocks, drawn[FCI_STRATA]; /* blocks of each stratum so far */
    size_t first;                       /* stratum in which any may be weak */
    bool *never;          /* of each fixture, whether it has enough with all
                             open */
    bool *judged;         /* of those asked for: known well enough */
    enum fci_often *sure; /* of each, what is so without a draw */
    int *at_once;         /* likewise */
    bool rough;      /* chances are to be known as well as verdicts need */
    bool no_chances; /* only verdicts are wanted */
    struct how how;
    struct fci_busy_period *period;
};

/* ---- What needs no draw ----------------------------------------------- */

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

/* Whether how often it is weak is known without. */
static bool
is_sure(const struct running *r, size_t fixture)
{
    return r->sure[fixture] != FCI_UNCLEAR || r->never[fixture]
           || !isfinite(r->plan->least[fixture]);
}

static void
list_asked(struct running *r, const bool *asked)
{
    size_t i;

    for (i = 0; i < r->plan->network->site->n_fixtures; i++) {
        r->period->often[i] = r->never[i] || !isfinite(r->plan->least[i])
                                  ? FCI_SELDOM
                                  : r->sure[i];
        if (r->plan->class_of[i] != FCI_NONE
            && (!asked || (asked[i] && (r->how.always || !is_sure(r, i)))))
            r->asked.fixtures[r->asked.n++] = i;
    }
}

/* ---- Rounds ----------------------------------------------------------- */

static fc_status
draw_block(void *running, size_t worker, size_t block)
{
    struct running *r = running;

    return fci_busy_draw(r->drawers[worker], &r->blocks[block]);
}

/* Into the sums, and the workers' own back to nothing. */
static void
add_up(struct running *r)
{
    const size_t n = r->asked.n * r->plan->n_strata;
    size_t i, k;

    for (k = 0; k < r->n_workers; k++) {
        struct fci_tally *own = fci_busy_tallies(r->drawers[k]);
        struct fci_pressures *had = fci_busy_pressures(r->drawers[k]);

        for (i = 0; i < n; i++)
            if (own[i].squares > 0) {
                fci_tally_merge(&r->sums[i], &own[i]);
                own[i] = (struct fci_tally){ 0 };
            }
        for (i = 0; had && i < r->asked.n; i++) {
            fci_pressures_merge(&r->pressures[i], &had[i]);
            had[i] = (struct fci_pressures){ 0 };
        }
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

/* So many valves at once leave every fixture its minimum, so that no state of
 * fewer tells of any whether it is weak. */
static size_t
first_stratum(const struct running *r)
{
    const struct fci_busy_plan *plan = r->plan;
    int least = INT_MAX;
    size_t i, g = 0;

    for (i = 0; i < plan->network->site->n_fixtures; i++)
        if (plan->class_of[i] != FCI_NONE && !r->never[i]
            && isfinite(plan->least[i]) && r->at_once[i] >= 0
            && r->at_once[i] < least)
            least = r->at_once[i];
    while (g + 1 < plan->n_strata && (int)plan->strata[g].high + 1 <= least)
        g++;
    return g;
}

/* How many blocks of a stratum there are after so many states.  Those before
 * the first are drawn for their pressures alone. */
static size_t
blocks_of(const struct running *r, size_t stratum, size_t states)
{
    const struct fci_busy_plan *plan = r->plan;
    const double chance = plan->strata[stratum].chance;
    double all = 0, roots = 0, share;
    size_t g;

    if (stratum < r->first && r->rough)
        return 0;
    for (g = r->first; g < plan->n_strata; g++) {
        all += plan->strata[g].chance;
        roots += sqrt(plan->strata[g].chance);
    }
    share = 0.5 * chance / (stratum < r->first ? 1 : all);
    if (stratum >= r->first)
        share += 0.5 * sqrt(chance) / roots;
    return (size_t)ceil(share * (double)states / FCI_BUSY_BLOCK);
}

/* A flush of a stratum counts as much as the stratum's part of all flushes,
 * whichever of its states are drawn. */
static void
weigh(struct running *r, size_t stratum, size_t blocks, size_t states)
{
    const struct fci_busy_plan *plan = r->plan;
    const double one =
        WEIGHT * (double)states / ((double)blocks * FCI_BUSY_BLOCK);
    size_t c;

    for (c = 0; c < plan->n_classes; c++)
        r->asked.weights[c * plan->n_strata + stratum] = (uint64_t)llround(
            one * fci_busy_part(plan, c, stratum, !fci_busy_adds(plan, c)));
}

/* Those that are new when so many states are to be drawn in all. */
static bool
list_blocks(struct running *r, size_t states)
{
    const struct fci_busy_plan *plan = r->plan;
    size_t g, n = 0;

    for (g = 0; g < plan->n_strata; g++)
        n += blocks_of(r, g, states) - r->drawn[g];
    r->blocks = fci_arena_array(&r->arena, n + 1, sizeof *r->blocks);
    r->n_blocks = 0;
    for (g = 0; g < plan->n_strata && r->blocks; g++) {
        const size_t blocks = blocks_of(r, g, states);

        if (blocks > r->drawn[g])
            weigh(r, g, blocks - r->drawn[g], states);
        while (r->drawn[g] < blocks)
            r->blocks[r->n_blocks++] =
                (struct fci_busy_block){ g, r->drawn[g]++ };
    }
    return r->blocks != NULL;
}

/* The strata that surely have no weak flush. */
static size_t
told_strata(const struct running *r, size_t fixture, bool with)
{
    size_t g = 0;

    while (g < r->plan->n_strata
           && (int)(r->plan->strata[g].high + !with) <= r->at_once[fixture])
        g++;
    return g;
}

static struct fci_known
known_of(const struct running *r, size_t at)
{
    const struct fci_busy_plan *plan = r->plan;
    const size_t fixture = r->asked.fixtures[at];
    const size_t class = plan->class_of[fixture];
    const bool with = !fci_busy_adds(plan, class);
    double part[FCI_STRATA];
    struct fci_strata strata = {
        .tallies = &r->sums[at * plan->n_strata],
        .part = part,
        .n = plan->n_strata,
        .told = told_strata(r, fixture, with),
        .monotone = plan->monotone,
    };
    size_t g;

    for (g = 0; g < plan->n_strata; g++)
        part[g] = fci_busy_part(plan, class, g, with);
    return fci_strata_known(&strata);
}

/* Well enough for a verdict, or for all that is wanted. */
static bool
is_narrow(const struct running *r, size_t at, bool verdict)
{
    const size_t fixture = r->asked.fixtures[at];

    return r->never[fixture] || !isfinite(r->plan->least[fixture])
           || r->at_once[fixture] == FCI_ALWAYS_WEAK
           || fci_known_narrow(&r->known[at], verdict);
}

/* The first verdict stands: of a chance that is clear, or when it is known
 * well enough. */
static void
judge_one(struct running *r, size_t at)
{
    enum fci_often *often = &r->period->often[r->asked.fixtures[at]];
    bool enough;

    r->known[at] = known_of(r, at);
    enough = is_narrow(r, at, true);
    if (*often == FCI_UNCLEAR && !r->judged[at])
        *often = fci_known_often(&r->known[at], enough ? BY_SAMPLING : CLEAR);
    r->judged[at] |= enough || *often != FCI_UNCLEAR;
}

/* Whether all is known that is wanted. */
static bool
judge(struct running *r)
{
    bool all = true;
    size_t i;

    for (i = 0; i < r->asked.n; i++) {
        if (!r->no_chances || !r->judged[i])
            judge_one(r, i);
        all &= r->judged[i] && (r->no_chances || is_narrow(r, i, r->rough));
    }
    return all;
}

/* Of one stream. */
static void
begin(struct running *r, unsigned long seed)
{
    r->asked.seed = seed;
    memset(r->drawn, 0, sizeof r->drawn);
    memset(r->sums, 0, r->asked.n * r->plan->n_strata * sizeof *r->sums);
    if (r->pressures)
        memset(r->pressures, 0, r->asked.n * sizeof *r->pressures);
}

static void
tell(const struct running *r, double done)
{
    if (r->options->progress && done < 1)
        r->options->progress(r->options->context, done);
}

static fc_status
draw_rounds(struct running *r, size_t most, fc_diagnostics *messages)
{
    size_t states = FIRST_ROUND < most ? FIRST_ROUND : most;
    fc_status status = FC_OK;
    bool known = false;

    while (status == FC_OK) {
        if (!list_blocks(r, states))
            return FC_ENOMEM;
        fci_pool_run(draw_block, r, r->n_workers, r->status, 0, r->n_blocks);
        add_up(r);
        status = worst_status(r, messages);
        known = status == FC_OK && judge(r);
        tell(r, (double)states / (double)most);
        if ((known && (!r->pressures || states >= STATES_OF_PRESSURES))
            || states >= most)
            break;
        states = 2 * states < most ? 2 * states : most;
    }
    r->period->narrow = known;
    return status;
}

/* ---- The whole -------------------------------------------------------- */

static bool
make_workers(struct running *r)
{
    const size_t n = fci_pool_threads(r->options->threads);
    const size_t tallies = r->asked.n * r->plan->n_strata;
    size_t i;

    r->drawers = fci_arena_array(&r->arena, n, sizeof(void *));
    r->status = fci_arena_array(&r->arena, n, sizeof *r->status);
    r->sums = fci_arena_array(&r->arena, tallies + 1, sizeof *r->sums);
    r->asked.weights =
        fci_arena_array(&r->arena, r->plan->n_classes * r->plan->n_strata + 1,
                        sizeof *r->asked.weights);
    if (r->arena.failed)
        return false;
    for (i = 0; i < n; i++) {
        r->drawers[i] = fci_busy_drawer_new(&r->asked);
        if (!r->drawers[i])
            return false;
        r->n_workers++;
    }
    return true;
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
    work = 1 + links + LINKS_A_VALVE * on;
    return work * DEFAULT_STATES > MOST_WORK ? (size_t)(MOST_WORK / work)
                                             : DEFAULT_STATES;
}

static fc_status
draw_all(struct running *r, fc_diagnostics *messages)
{
    const size_t most = r->options->most_states ? r->options->most_states
                                                : default_states(r->plan);
    fc_status status;
    size_t i;

    if (!make_workers(r))
        return FC_ENOMEM;
    r->first = first_stratum(r);
    begin(r, SEED_OF_NOBODY);
    status = draw_rounds(r, most, messages);
    if (status == FC_OK && !r->rough && r->options->seed) {
        for (i = 0; i < r->asked.n; i++)
            r->judged[i] = true;
        begin(r, r->options->seed);
        status = draw_rounds(r, most, messages);
    }
    for (i = 0; i < r->n_workers; i++)
        r->period->states += fci_busy_solved(r->drawers[i]);
    return status;
}

static enum fci_often
often_of(const struct fci_weak_part *weak)
{
    return weak->low > FC_MOST_WEAK + ROUNDING    ? FCI_TOO_OFTEN
           : weak->high < FC_MOST_WEAK - ROUNDING ? FCI_SELDOM
                                                  : FCI_UNCLEAR;
}

static fc_status
solve_all(struct running *r, fc_diagnostics *messages)
{
    fc_status status = fci_busy_every(&r->asked, r->weak, r->pressures,
                                      &r->period->states, messages);
    size_t i;

    for (i = 0; i < r->asked.n && status == FC_OK; i++) {
        const size_t fixture = r->asked.fixtures[i];

        if (!is_sure(r, fixture))
            r->period->often[fixture] = often_of(&r->weak[i]);
    }
    r->period->narrow = r->period->every = true;
    return status;
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

static fc_chance
chance_of(const struct running *r, size_t at)
{
    const size_t fixture = r->asked.fixtures[at];
    fc_chance chance = { .given = true };

    if (r->never[fixture])
        return chance;
    if (r->at_once[fixture] == FCI_ALWAYS_WEAK)
        return (fc_chance){ true, 1, 1, 1 };
    if (r->weak) {
        chance.low = fmin(r->weak[at].low, 1);
        chance.high = r->weak[at].high;
        chance.estimate = (chance.low + chance.high) / 2;
    } else {
        chance = fci_known_chance(&r->known[at]);
    }
    if (chance.given)
        hold_to_proof(&chance, r->sure[fixture]);
    return chance;
}

static void
take_results(const struct running *r)
{
    const struct fci_busy_plan *plan = r->plan;
    size_t i;

    for (i = 0; i < plan->network->site->n_fixtures; i++)
        r->period->fixtures[i].mean = r->period->fixtures[i].fifth = NAN;
    for (i = 0; i < r->asked.n; i++) {
        const size_t fixture = r->asked.fixtures[i];
        fc_busy *busy = &r->period->fixtures[fixture];

        if (isfinite(plan->least[fixture]))
            busy->weak = chance_of(r, i);
        if (!r->pressures)
            continue;
        busy->mean = fci_pressures_mean(&r->pressures[i]);
        busy->fifth = fci_pressures_quantile(&r->pressures[i], FIFTH,
                                             plan->top[fixture]);
    }
}

static bool
make_room(struct running *r)
{
    const size_t n = r->plan->network->site->n_fixtures;

    r->period->fixtures = calloc(n + 1, sizeof *r->period->fixtures);
    r->period->often = calloc(n + 1, sizeof *r->period->often);
    r->never = fci_arena_array(&r->arena, n + 1, sizeof *r->never);
    r->sure = fci_arena_array(&r->arena, n + 1, sizeof *r->sure);
    r->at_once = fci_arena_array(&r->arena, n + 1, sizeof *r->at_once);
    r->known = fci_arena_array(&r->arena, n + 1, sizeof *r->known);
    r->judged = fci_arena_array(&r->arena, n + 1, sizeof *r->judged);
    r->asked.fixtures =
        fci_arena_array(&r->arena, n + 1, sizeof *r->asked.fixtures);
    r->asked.at_once = r->at_once;
    return !r->arena.failed && r->period->fixtures && r->period->often;
}

/* Room for what is told of those that are asked for. */
static bool
make_answers(struct running *r)
{
    if (r->asked.pressures)
        r->pressures =
            fci_arena_array(&r->arena, r->asked.n + 1, sizeof *r->pressures);
    if (!r->how.draw && fci_busy_is_small(r->plan->network, r->plan->end))
        r->weak = fci_arena_array(&r->arena, r->asked.n + 1, sizeof *r->weak);
    return !r->arena.failed;
}

static fc_status
run(struct running *r, const bool *asked, fc_diagnostics *messages)
{
    fc_status status;

    if (!make_room(r))
        return FC_ENOMEM;
    status = fci_never_weak(r->plan->network, r->plan->end, r->never);
    if (status == FC_OK)
        status = fci_busy_sure(r->plan, asked, r->sure, r->at_once);
    if (status != FC_OK)
        return status;
    list_asked(r, asked);
    if (r->asked.n > 0 && !make_answers(r))
        return FC_ENOMEM;
    if (r->asked.n > 0 && r->weak)
        status = solve_all(r, messages);
    else if (r->asked.n > 0 && r->plan->n_strata > 0)
        status = draw_all(r, messages);
    else
        r->period->narrow = r->asked.n == 0;
    if (status == FC_OK)
        take_results(r);
    return status;
}

static fc_status
run_period(const struct fci_network *network, enum fci_end end,
           const fc_check_options *options, const bool *asked, struct how how,
           struct fci_busy_period *period, fc_diagnostics *messages)
{
    static const fc_check_options defaults = { 0 };
    struct running r = { .options = options ? options : &defaults,
                         .how = how,
                         .period = period };
    fc_status status;

    r.no_chances = asked && !how.chances;
    r.rough = r.no_chances || r.options->rough;
    *period = (struct fci_busy_period){ 0 };
    status = fci_busy_plan_new(network, end, &r.plan, messages);
    if (status == FC_OK) {
        r.asked = (struct fci_busy_asked){ .plan = r.plan,
                                           .verdicts = r.no_chances,
                                           .pressures = !r.rough };
        status = run(&r, asked, messages);
    }
    while (r.n_workers > 0)
        fci_busy_drawer_free(r.drawers[--r.n_workers]);
    fci_arena_free(&r.arena);
    fci_busy_plan_free(r.plan);
    if (status != FC_OK)
        fci_busy_period_free(period);
    return status;
}

fc_status
fci_busy_period_run(const struct fci_network *network, enum fci_end end,
                    const fc_check_options *options, const bool *asked,
                    struct fci_busy_period *period, fc_diagnostics *messages)
{
    const struct how how = { 0 };

    return run_period(network, end, options, asked, how, period, messages);
}

fc_status
fci_busy_period_of(const struct fci_network *network, enum fci_end end,
                   const fc_check_options *options, size_t fixture,
                   bool always, struct fci_busy_period *period,
                   fc_diagnostics *messages)
{
    const struct how how = { .chances = true, .always = always };
    bool *asked = calloc(network->site->n_fixtures, sizeof *asked);
    fc_status status = FC_ENOMEM;

    if (asked) {
        asked[fixture] = true;
        status =
            run_period(network, end, options, asked, how, period, messages);
    }
    free(asked);
    return status;
}

fc_status
fci_busy_period_draw(const struct fci_network *network, enum fci_end end,
                     const fc_check_options *options,
                     struct fci_busy_period *period, fc_diagnostics *messages)
{
    const struct how how = { .draw = true };

    return run_period(network, end, options, NULL, how, period, messages);
}

void
fci_busy_period_free(struct fci_busy_period *period)
{
    free(period->fixtures);
    free(period->often);
    period->fixtures = NULL;
    period->often = NULL;
}
