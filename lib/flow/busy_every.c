/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_every.c -- every state of the busy period of a small building.
 *
 * By how many valves are on, as the fewer are far likelier, each state with
 * its chance: the product of binomial ones of the fixtures.  Of a fixture's
 * flushes a state with k of its n valves on is the part
 *
 *     chance k / (n on).
 *
 * A pressure that is as near to the minimum as it is solved to counts as weak
 * and as not weak.
 */
#include "flow/busy_every.h"

#include <math.h>

#include <gsl/gsl_randist.h>

/* So many states are solved sooner than as many are drawn that tell as much.
 */
#define FEW_STATES 20000.0

/* Weights of pressures add up to this. */
#define ALL_WEIGHT 1099511627776.0 /* 2^40 */

struct every {
    struct fci_arena arena;
    const struct fci_busy_asked *asked;
    struct fci_solver *solver;
    size_t *fixtures, n; /* that are ever on */
    double *on;          /* of each */
    double **chance;     /* of each: that 0, 1, ... are */
    int *left;           /* valves of it and of those after it */
    struct fci_open *open;
    size_t n_open;
    size_t *at; /* of each fixture of the building, of those asked for; or n */
    struct fci_weak_part *weak;
    struct fci_pressures *pressures;
    size_t states;
};

double
fci_busy_states(const struct fci_network *network, enum fci_end end,
                const double *on)
{
    const struct fc_site *site = network->site;
    double states = 1;
    size_t i;

    for (i = 0; i < site->n_fixtures; i++)
        if (fci_busy_on(network, i, end, on) > 0)
            states *= site->fixtures[i].count + 1;
    return states;
}

bool
fci_busy_is_small(const struct fci_network *network, enum fci_end end,
                  const double *on)
{
    return fci_busy_states(network, end, on) <= FEW_STATES;
}

static bool
make_room(struct every *e)
{
    const struct fci_busy_plan *plan = e->asked->plan;
    const fc_site *site = plan->network->site;
    const size_t m = site->n_fixtures;
    size_t i, k;

    e->solver = fci_solver_new(plan->network);
    e->fixtures = fci_arena_array(&e->arena, m + 1, sizeof *e->fixtures);
    e->on = fci_arena_array(&e->arena, m + 1, sizeof *e->on);
    e->chance = fci_arena_array(&e->arena, m + 1, sizeof *e->chance);
    e->left = fci_arena_array(&e->arena, m + 1, sizeof *e->left);
    e->open = fci_arena_array(&e->arena, m + 1, sizeof *e->open);
    e->at = fci_arena_array(&e->arena, m + 1, sizeof *e->at);
    if (!e->solver || e->arena.failed)
        return false;
    for (i = 0; i < m; i++) {
        const size_t class = plan->class_of[i];
        const size_t count = (size_t)site->fixtures[i].count;
        double *chance;

        e->at[i] = e->asked->n;
        if (class == FCI_NONE)
            continue;
        chance = fci_arena_array(&e->arena, count + 1, sizeof *chance);
        if (!chance)
            return false;
        e->fixtures[e->n] = i;
        e->on[e->n] = plan->classes[class].on;
        for (k = 0; k <= count; k++)
            chance[k] = gsl_ran_binomial_pdf(
                (unsigned)k, plan->classes[class].on, (unsigned)count);
        e->chance[e->n++] = chance;
    }
    for (i = e->n; i-- > 0;)
        e->left[i] = e->left[i + 1] + site->fixtures[e->fixtures[i]].count;
    for (i = 0; i < e->asked->n; i++)
        e->at[e->asked->fixtures[i]] = i;
    fci_solver_take_whole(e->solver, plan->end);
    return true;
}

/* ---- One state -------------------------------------------------------- */

static void
count_flushes(struct every *e, const struct fci_drawn *drawn, double chance)
{
    const struct fci_busy_plan *plan = e->asked->plan;
    const size_t fixture = drawn->fixture, at = e->at[fixture];
    const double on = plan->classes[plan->class_of[fixture]].on;
    const double least = plan->least[fixture];
    const double part = chance * drawn->count
                        / (plan->network->site->fixtures[fixture].count * on);

    if (at == e->asked->n)
        return;
    if (drawn->pressure < least)
        e->weak[at].high += part;
    if (drawn->pressure < least - 2 * FCI_SOLVED_TO)
        e->weak[at].low += part;
    if (e->pressures)
        fci_pressures_add(&e->pressures[at],
                          (uint64_t)llround(part * ALL_WEIGHT),
                          drawn->pressure, plan->top[fixture]);
}

static fc_status
solve_state(struct every *e, double chance)
{
    const struct fci_drawn *drawn;
    fc_status status;
    size_t i;

    if (!(chance > 0))
        return FC_OK;
    status = fci_solver_run(e->solver, e->open, e->n_open);
    e->states++;
    drawn = fci_solver_drawn(e->solver);
    for (i = 0; i < e->n_open && status == FC_OK; i++)
        count_flushes(e, &drawn[i], chance);
    return status;
}

/* Every way in which the fixtures from the i-th on have so many valves on. */
static fc_status
solve_from(struct every *e, size_t i, int valves, double chance)
{
    const struct fc_site *site = e->asked->plan->network->site;
    fc_status status = FC_OK;
    int k, count;

    if (i == e->n)
        return solve_state(e, chance);
    count = site->fixtures[e->fixtures[i]].count;
    for (k = valves > e->left[i + 1] ? valves - e->left[i + 1] : 0;
         k <= count && k <= valves && status == FC_OK; k++) {
        if (k > 0)
            e->open[e->n_open++] = (struct fci_open){ e->fixtures[i], k };
        status = solve_from(e, i + 1, valves - k, chance * e->chance[i][k]);
        if (k > 0)
            e->n_open--;
    }
    return status;
}

/* ---- All -------------------------------------------------------------- */

/* The chance, given that a valve of the class is on, that more than so many
 * are. */
static double
more_than(const struct fci_busy_plan *plan, size_t class, size_t valves)
{
    const double *others = &plan->others[class * (plan->most + 1)];
    double sum = 0;
    size_t k;

    for (k = 0; k < valves && k <= plan->most; k++)
        sum += others[k];
    return fmax(1 - sum, 0);
}

/* What is not solved may be weak. */
static bool
is_known(const struct every *e, size_t at, size_t valves)
{
    const struct fci_busy_plan *plan = e->asked->plan;
    const double more =
        more_than(plan, plan->class_of[e->asked->fixtures[at]], valves);

    return e->weak[at].low > FC_MOST_WEAK
           || e->weak[at].high + more < FC_MOST_WEAK;
}

static bool
all_known(const struct every *e, size_t valves)
{
    size_t i;

    for (i = 0; i < e->asked->n; i++)
        if (!is_known(e, i, valves))
            return false;
    return true;
}

fc_status
fci_busy_every(const struct fci_busy_asked *asked, struct fci_weak_part *weak,
               struct fci_pressures *pressures, size_t *states,
               fc_diagnostics *messages)
{
    const struct fci_busy_plan *plan = asked->plan;
    struct every e = { .asked = asked, .weak = weak, .pressures = pressures };
    fc_status status = make_room(&e) ? FC_OK : FC_ENOMEM;
    size_t valves, i;

    for (valves = 1; valves <= plan->most && status == FC_OK; valves++) {
        if (asked->verdicts && all_known(&e, valves - 1))
            break;
        status = solve_from(&e, 0, (int)valves, 1);
    }
    for (i = 0; i < asked->n && status == FC_OK; i++)
        weak[i].high =
            fmin(weak[i].high
                     + more_than(plan, plan->class_of[asked->fixtures[i]],
                                 valves - 1),
                 1);
    *states = e.states;
    if (e.solver)
        status = fci_solver_fail(e.solver, status, messages);
    fci_solver_free(e.solver);
    fci_arena_free(&e.arena);
    return status;
}
