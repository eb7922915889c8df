/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_period.c -- how often a flush is weak in the busiest period.
 *
 * What is sure without a solution is not looked for.  Of a small building
 * every state is solved.  Of others states are drawn (flow/busy_rounds.h), and
 * a fixture's verdict is that of the first round after which it is clear, so
 * that it is the same whatever else is asked.
 */
#include "flow/busy_period.h"
#include "flow/busy_every.h"
#include "flow/busy_rounds.h"
#include "flow/busy_sure.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>

/* Verdicts rest on one stream of states, which nobody chooses. */
#define SEED_OF_NOBODY 0x77656162ul
#define DEFAULT_STATES 1000000
/* Links of open valves' ways, at most. */
#define MOST_WORK 1e9
#define LINKS_A_VALVE 10.0
/* A verdict needs some thousand states of a fixture.  Where a chance is so
 * near to what is allowed that it asks for more, it is not told of a building
 * in which states cost much: a choice of this method. */
#define STATES_TO_JUDGE 40000
#define LEAST_TO_JUDGE 2048
#define MOST_WORK_TO_JUDGE 4e7

#define FIFTH 0.05
/* Chances nearer to each other are the same. */
#define ROUNDING 1e-10

/* What else is wanted of those asked for. */
struct how {
    bool draw;        /* however small the building is */
    bool chances;     /* beside the verdicts */
    bool always;      /* of those too whose verdict is sure */
    const double *on; /* as of a plan */
};

struct running {
    struct fci_arena arena;
    struct fci_busy_plan *plan;
    const fc_check_options *options;
    struct fci_busy_asked asked;
    struct fci_pressures *pressures;
    struct fci_busy_found *found; /* of those asked for */
    struct fci_weak_part *weak;   /* of a small building, the same */
    bool *never;          /* of each fixture, whether it has enough with all
                             open */
    enum fci_often *sure; /* of each, what is so without a draw */
    int *at_once;         /* likewise */
    enum fci_busy_wanted wanted;
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

/* ---- The whole -------------------------------------------------------- */

/* A state costs about as many links as its open valves see on their ways. */
static size_t
as_many_as(const struct fci_busy_plan *plan, double most_work, size_t most)
{
    const double links = (double)plan->network->n_links;
    double on = 0, work;
    size_t i;

    for (i = 0; i < plan->n_classes; i++)
        on += plan->classes[i].on * (double)plan->classes[i].n;
    work = 1 + links + LINKS_A_VALVE * on;
    return work * (double)most > most_work ? (size_t)(most_work / work) : most;
}

static size_t
states_of(const struct running *r, bool verdicts)
{
    size_t states =
        verdicts ? as_many_as(r->plan, MOST_WORK_TO_JUDGE, STATES_TO_JUDGE)
                 : as_many_as(r->plan, MOST_WORK, DEFAULT_STATES);

    if (verdicts && states < LEAST_TO_JUDGE)
        states = LEAST_TO_JUDGE;
    if (r->options->most_states
        && (!verdicts || r->options->most_states < states))
        states = r->options->most_states;
    return states;
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

/* Where nothing of its chance is to be drawn. */
static bool
is_settled(const struct running *r, size_t fixture)
{
    return r->never[fixture] || !isfinite(r->plan->least[fixture])
           || r->at_once[fixture] == FCI_ALWAYS_WEAK;
}

static fc_status
draw_all(struct running *r, fc_diagnostics *messages)
{
    const bool finely = r->wanted == FCI_FINELY;
    struct fci_busy_period *period = r->period;
    fc_status status;
    size_t i;

    for (i = 0; i < r->asked.n; i++) {
        struct fci_busy_found *found = &r->found[i];

        found->settled = is_settled(r, r->asked.fixtures[i]);
        found->often = period->often[r->asked.fixtures[i]];
        found->judged = found->settled || found->often != FCI_UNCLEAR;
    }
    r->asked.seed = SEED_OF_NOBODY;
    r->asked.first = first_stratum(r);
    status = fci_busy_rounds(&r->asked, r->options,
                             finely ? FCI_VERDICTS : r->wanted,
                             states_of(r, true), r->found, NULL,
                             &period->states, &period->narrow, messages);
    for (i = 0; i < r->asked.n && finely; i++) {
        r->found[i].judged = true;
        r->found[i].known = (struct fci_known){ 0 };
    }
    if (r->options->seed)
        r->asked.seed = r->options->seed;
    if (status == FC_OK && finely)
        status = fci_busy_rounds(&r->asked, r->options, r->wanted,
                                 states_of(r, false), r->found, r->pressures,
                                 &period->states, &period->narrow, messages);
    for (i = 0; i < r->asked.n; i++)
        period->often[r->asked.fixtures[i]] = r->found[i].often;
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
        chance = fci_known_chance(&r->found[at].known);
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
    r->found = fci_arena_array(&r->arena, n + 1, sizeof *r->found);
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
    if (!r->how.draw
        && fci_busy_is_small(r->plan->network, r->plan->end, r->how.on))
        r->weak = fci_arena_array(&r->arena, r->asked.n + 1, sizeof *r->weak);
    return !r->arena.failed;
}

/* Those asked for: all open tells no more of them. */
static bool
all_seldom(const struct running *r, const bool *asked)
{
    size_t i;

    for (i = 0; i < r->plan->network->site->n_fixtures; i++)
        if (asked[i] && r->sure[i] != FCI_SELDOM)
            return false;
    return true;
}

static fc_status
run(struct running *r, const bool *asked, fc_diagnostics *messages)
{
    fc_status status;

    if (!make_room(r))
        return FC_ENOMEM;
    status = fci_busy_sure(r->plan, asked, r->sure, r->at_once);
    if (status == FC_OK && !(asked && !r->how.always && all_seldom(r, asked)))
        status = fci_never_weak(r->plan->network, r->plan->end, r->never);
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

    r.wanted = asked && !how.chances ? FCI_VERDICTS
               : r.options->rough    ? FCI_ROUGHLY
                                     : FCI_FINELY;
    *period = (struct fci_busy_period){ 0 };
    status = fci_busy_plan_new(network, end, how.on, &r.plan, messages);
    if (status == FC_OK) {
        r.asked =
            (struct fci_busy_asked){ .plan = r.plan,
                                     .verdicts = r.wanted == FCI_VERDICTS,
                                     .pressures = r.wanted == FCI_FINELY };
        status = run(&r, asked, messages);
    }
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
fci_busy_period_at(const struct fci_network *network, enum fci_end end,
                   const double *on, const fc_check_options *options,
                   const bool *asked, struct fci_busy_period *period,
                   fc_diagnostics *messages)
{
    const struct how how = { .on = on };

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
