/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_draw.c -- states of the busy period, drawn and solved.
 *
 * A state with so many valves on is drawn class by class, each number given
 * how many are left for the classes that follow; which valves of a class they
 * are is a sample without replacement [F62].
 *
 * One state tells of every fixture: given that the valves of a state are on
 * and one of the fixture is not, that one flushes beside them.  Most of that
 * is told by flow/beside.h from one solution; what that leaves open is solved.
 * So every state counts for all fixtures, not for those alone of which a valve
 * happens to be on (conditional expectation [HH64, ch. 5]).
 *
 *   [F62]   C. T. Fan, M. E. Muller and I. Rezucha, J. American Statistical
 *           Association 57 (1962) 387-402, selection sampling; taken here in
 *           the form that looks at the chosen ones alone (from memory)
 *   [HH64]  J. M. Hammersley and D. C. Handscomb, Monte Carlo Methods (1964)
 *           (from memory)
 */
#include "flow/busy_draw.h"
#include "flow/beside.h"
#include "ground/gsl_guard.h"
#include "ground/seed.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_rng.h>

/* A class of which every valve is on as often as not tells more by those that
 * are. */
#define OFTEN_ON 0.5

/* The pressure beside others is looked for in one state of so many of each
 * fixture, as that takes longer than whether it is weak. */
#define PRESSURE_IN 32
/* It is good enough where it may be off by no more than this part of what the
 * fixture has alone. */
#define PART_OF_TOP 0.01

/* What a state does not tell of one that is asked for. */
struct near {
    size_t at;
    bool flush, pressure;
};

struct fci_busy_drawer {
    const struct fci_busy_asked *asked;
    struct fci_solver *solver;
    struct fci_beside *beside; /* NULL: flows may turn */
    gsl_rng *rng;
    struct fci_open *open;
    size_t n_open, valves;
    size_t *place; /* of each fixture in `open`, less 1; 0: it is not */
    size_t *seen;  /* of each valve: the last draw that took it */
    size_t draw;
    struct fci_tally *tallies;
    struct fci_pressures *pressures;
    struct near *near;
    size_t n_near;
    size_t *telling, n_telling; /* those that the block tells of */
    size_t solved;
};

bool
fci_busy_adds(const struct fci_busy_plan *plan, size_t class)
{
    return !plan->network->meshed && plan->classes[class].on <= OFTEN_ON;
}

/* ---- One thread ------------------------------------------------------- */

static bool
make_room(struct fci_busy_drawer *d)
{
    const struct fci_busy_plan *plan = d->asked->plan;
    const size_t n = plan->network->site->n_fixtures;
    struct fci_arena *arena = fci_arena_of(d);
    gsl_error_handler_t *host;

    d->solver = fci_solver_new(plan->network);
    if (!plan->network->meshed)
        d->beside = fci_beside_new(plan->network, plan->end);
    d->open = fci_arena_array(arena, n + 1, sizeof *d->open);
    d->place = fci_arena_array(arena, n + 1, sizeof *d->place);
    d->seen = fci_arena_array(arena, plan->n_valves + 1, sizeof *d->seen);
    d->near = fci_arena_array(arena, d->asked->n + 1, sizeof *d->near);
    d->telling = fci_arena_array(arena, d->asked->n + 1, sizeof *d->telling);
    d->tallies = fci_arena_array(arena, d->asked->n * plan->n_strata + 1,
                                 sizeof *d->tallies);
    if (d->asked->pressures)
        d->pressures =
            fci_arena_array(arena, d->asked->n + 1, sizeof *d->pressures);
    host = fci_gsl_quiet();
    d->rng = gsl_rng_alloc(gsl_rng_mt19937);
    fci_gsl_restore(host);
    return d->solver && d->rng && !arena->failed
           && (d->beside || plan->network->meshed);
}

struct fci_busy_drawer *
fci_busy_drawer_new(const struct fci_busy_asked *asked)
{
    struct fci_busy_drawer *d = fci_object_new(sizeof *d);

    if (!d)
        return NULL;
    d->asked = asked;
    if (!make_room(d)) {
        fci_busy_drawer_free(d);
        return NULL;
    }
    fci_solver_take_whole(d->solver, asked->plan->end);
    return d;
}

void
fci_busy_drawer_free(struct fci_busy_drawer *d)
{
    if (!d)
        return;
    fci_solver_free(d->solver);
    fci_beside_free(d->beside);
    if (d->rng)
        gsl_rng_free(d->rng);
    fci_object_free(d);
}

size_t
fci_busy_solved(const struct fci_busy_drawer *d)
{
    return d->solved;
}

struct fci_tally *
fci_busy_tallies(struct fci_busy_drawer *d)
{
    return d->tallies;
}

struct fci_pressures *
fci_busy_pressures(struct fci_busy_drawer *d)
{
    return d->pressures;
}

const struct fci_solver *
fci_busy_solver(const struct fci_busy_drawer *d)
{
    return d->solver;
}

/* ---- Which are on ----------------------------------------------------- */

static void
open_one(struct fci_busy_drawer *d, size_t fixture)
{
    if (d->place[fixture] == 0) {
        d->open[d->n_open] = (struct fci_open){ fixture, 0 };
        d->place[fixture] = ++d->n_open;
    }
    d->open[d->place[fixture] - 1].count++;
    d->valves++;
}

static void
close_all(struct fci_busy_drawer *d)
{
    while (d->n_open > 0)
        d->place[d->open[--d->n_open].fixture] = 0;
    d->valves = 0;
}

static int
count_of(const struct fci_busy_drawer *d, size_t fixture)
{
    return d->place[fixture] > 0 ? d->open[d->place[fixture] - 1].count : 0;
}

/* How many, by chances that need not add up to 1. */
static size_t
draw_number(gsl_rng *rng, const double *chance, size_t low, size_t high)
{
    double sum = 0, drawn;
    size_t k;

    for (k = low; k <= high; k++)
        sum += chance[k];
    drawn = gsl_rng_uniform(rng) * sum;
    for (k = low; k < high && drawn >= chance[k]; k++)
        drawn -= chance[k];
    return k;
}

/* Of one class, with so many left for it and those that follow. */
static size_t
draw_class(const struct fci_busy_drawer *d, size_t class, size_t left)
{
    const struct fci_busy_plan *plan = d->asked->plan;
    const size_t row = plan->most + 1;
    const double *own = &plan->own[class * row];
    const double *rest = &plan->rest[(class + 1) * row];
    double drawn = gsl_rng_uniform(d->rng) * plan->rest[class * row + left];
    size_t k, last = 0;

    for (k = 0; k <= left; k++) {
        const double chance = own[k] * rest[left - k];

        if (!(chance > 0))
            continue;
        last = k;
        if (drawn < chance)
            break;
        drawn -= chance;
    }
    return last;
}

/* So many of the first valves: of the first n - i + 1 one, and where that is
 * taken already the last of them [F62]. */
static void
choose_valves(struct fci_busy_drawer *d, const struct fci_busy_class *class,
              size_t wanted)
{
    const size_t *valves = d->asked->plan->valves;
    size_t n;

    d->draw++;
    for (n = class->n - wanted; n < class->n; n++) {
        size_t at = class->first + (size_t)gsl_rng_uniform_int(d->rng, n + 1);

        if (d->seen[at] == d->draw)
            at = class->first + n;
        d->seen[at] = d->draw;
        open_one(d, valves[at]);
    }
}

static void
draw_state(struct fci_busy_drawer *d, const struct fci_stratum *stratum)
{
    const struct fci_busy_plan *plan = d->asked->plan;
    size_t left = stratum->low, c;

    close_all(d);
    if (stratum->high > stratum->low)
        left = draw_number(d->rng, plan->chance, stratum->low, stratum->high);
    for (c = 0; c < plan->n_classes && left > 0; c++) {
        const size_t n =
            c + 1 == plan->n_classes ? left : draw_class(d, c, left);

        choose_valves(d, &plan->classes[c], n);
        left -= n;
    }
}

/* ---- What a state tells ----------------------------------------------- */

struct told {
    struct fci_busy_drawer *d;
    size_t stratum;
    size_t at; /* of those asked for */
    size_t fixture, class;
    double least;
    int times;     /* it stands for so many like it */
    bool pressure; /* is looked for */
};

/* `state`: the number of the state, by which one of several is chosen. */
static struct told
told_of(struct fci_busy_drawer *d, size_t stratum, size_t at, size_t state)
{
    const struct fci_busy_plan *plan = d->asked->plan;
    const size_t fixture = d->asked->fixtures[at];

    return (struct told){
        .d = d,
        .stratum = stratum,
        .at = at,
        .fixture = fixture,
        .class = plan->class_of[fixture],
        .least = plan->least[fixture] - FCI_SOLVED_TO,
        .times = 1,
        .pressure = d->asked->pressures && (fixture + state) % PRESSURE_IN == 0
    };
}

static void
count_flush(const struct told *t, int times, bool weak)
{
    const size_t n = t->d->asked->plan->n_strata;

    fci_tally_count(&t->d->tallies[t->at * n + t->stratum], times, weak);
}

static void
count_pressure(const struct told *t, int times, double pressure)
{
    const struct fci_busy_plan *plan = t->d->asked->plan;
    const uint64_t weight =
        t->d->asked->told[t->at * plan->n_strata + t->stratum].weight;

    if (t->pressure)
        fci_pressures_add(&t->d->pressures[t->at], weight * (uint64_t)times,
                          pressure, plan->top[t->fixture]);
}

/* Of the valves that are on. */
static void
tell_on(const struct told *t)
{
    const struct fci_busy_drawer *d = t->d;
    const size_t place = d->place[t->fixture];
    const struct fci_drawn *drawn;

    if (place == 0)
        return;
    drawn = &fci_solver_drawn(d->solver)[place - 1];
    count_flush(t, drawn->count, drawn->pressure < t->least);
    count_pressure(t, drawn->count, drawn->pressure);
}

static int
off_of(const struct told *t)
{
    const fc_site *site = t->d->asked->plan->network->site;

    return site->fixtures[t->fixture].count - count_of(t->d, t->fixture);
}

/* The pressure of one more beside those that are on; false: not told. */
static bool
tell_pressure(const struct told *t, int off)
{
    double may_be_off;
    const double pressure =
        fci_beside_pressure(t->d->beside, t->fixture, &may_be_off);

    if (may_be_off > PART_OF_TOP * t->d->asked->plan->top[t->fixture])
        return false;
    count_pressure(t, off, pressure);
    return true;
}

/* Of one more beside those that are on; what is not told is left to a
 * solution, in `near`. */
static void
tell_one_more(const struct told *t)
{
    struct fci_busy_drawer *d = t->d;
    const int off = off_of(t);
    double spare = 1, may_be_off = 0;
    struct near near = { .at = t->at };

    if (d->valves == 0) {
        const double top = d->asked->plan->top[t->fixture];

        count_flush(t, off, top < t->least);
        count_pressure(t, off, top);
        return;
    }
    if ((int)d->valves + 1 > d->asked->at_once[t->fixture])
        spare = fci_beside_spare(d->beside, t->fixture, t->least, &may_be_off);
    near.flush = fabs(spare) <= may_be_off;
    if (!near.flush)
        count_flush(t, off, spare < 0);
    near.pressure = t->pressure && !tell_pressure(t, off);
    if (near.flush || near.pressure)
        d->near[d->n_near++] = near;
}

/* By a solution with one more. */
static fc_status
solve_one_more(const struct told *t, const struct near *near)
{
    struct fci_busy_drawer *d = t->d;
    const int off = off_of(t);
    const bool was_closed = d->place[t->fixture] == 0;
    const struct fci_drawn *drawn;
    fc_status status;

    open_one(d, t->fixture);
    status = fci_solver_run(d->solver, d->open, d->n_open);
    d->solved++;
    if (status == FC_OK) {
        drawn = &fci_solver_drawn(d->solver)[d->place[t->fixture] - 1];
        if (near->flush)
            count_flush(t, off * t->times, drawn->pressure < t->least);
        if (near->pressure)
            count_pressure(t, off, drawn->pressure);
    }
    d->valves--;
    d->open[d->place[t->fixture] - 1].count--;
    if (was_closed) {
        d->place[t->fixture] = 0;
        d->n_open--;
    }
    return status;
}

static fc_status
solve_near(struct fci_busy_drawer *d, size_t stratum, size_t state)
{
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; i < d->n_near && status == FC_OK; i++) {
        struct near near = d->near[i];
        struct told t = told_of(d, stratum, near.at, state);

        t.times = d->asked->told[near.at * d->asked->plan->n_strata + stratum]
                      .one_in;
        near.flush = near.flush && (t.fixture + state) % (size_t)t.times == 0;
        if (near.flush || near.pressure)
            status = solve_one_more(&t, &near);
    }
    return status;
}

static fc_status
tell_all(struct fci_busy_drawer *d, size_t stratum, size_t state)
{
    const struct fci_busy_plan *plan = d->asked->plan;
    size_t i;

    d->n_near = 0;
    for (i = 0; i < d->n_telling; i++) {
        const struct told t = told_of(d, stratum, d->telling[i], state);

        if (!fci_busy_adds(plan, t.class))
            tell_on(&t);
        else if (off_of(&t) > 0)
            tell_one_more(&t);
    }
    return solve_near(d, stratum, state);
}

static void
list_telling(struct fci_busy_drawer *d, const struct fci_busy_block *block)
{
    size_t i;

    d->n_telling = 0;
    for (i = 0; i < d->asked->n; i++) {
        const struct fci_busy_told *told =
            &d->asked->told[i * d->asked->plan->n_strata + block->stratum];

        if (told->from <= block->number && block->number < told->to)
            d->telling[d->n_telling++] = i;
    }
}

fc_status
fci_busy_draw(struct fci_busy_drawer *d, const struct fci_busy_block *block)
{
    const struct fci_busy_plan *plan = d->asked->plan;
    fc_status status = FC_OK;
    size_t i;

    list_telling(d, block);
    gsl_rng_set(d->rng, fci_seed_of_block(
                            fci_seed_of_block(d->asked->seed, block->stratum),
                            block->number));
    fci_solver_forget(d->solver);
    for (i = 0; i < FCI_BUSY_BLOCK && status == FC_OK; i++) {
        draw_state(d, &plan->strata[block->stratum]);
        if (d->valves > 0) {
            status = fci_solver_run(d->solver, d->open, d->n_open);
            d->solved++;
            if (status == FC_OK && d->beside)
                fci_beside_take(d->beside, d->solver);
        }
        if (status == FC_OK)
            status = tell_all(d, block->stratum,
                              block->number * FCI_BUSY_BLOCK + i);
    }
    return status;
}
