/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/ladder.c -- how many valves may be open before one is short.
 *
 * Where more flow leaves less pressure, along the way of one fixture what asks
 * the source for the most is found exactly (flow/worst_set.c), for all numbers
 * of valves at once.  Up to the first number that asks for more than there is
 * nothing starves it; the set that does ask for more is then solved.  Where
 * the tables were too coarse to tell, finer ones are made; where those are too
 * coarse too, every set is solved (flow/all_sets.c), as in a network of loops.
 * Where those are too many the number is left open between what is proved and
 * a set that starves it.
 *
 * The least pressure that n valves leave is found by asking for what the worst
 * set known leaves, less what does not matter: either no set has less, or a
 * worse one is found and asked for in its turn, as in Dinkelbach's method
 * [D67].
 *
 * More valves leave less pressure in loops too, as every flow grows with the
 * pressure before it and falls with that behind it [R70]: where all of them
 * open are enough, so are any.
 *
 *   [D67]  W. Dinkelbach, Management Science 13 (1967) 492-498 (from memory)
 *   [R70]  W. C. Rheinboldt, Journal of Mathematical Analysis and Applications
 *          32 (1970) 274-307 (from memory)
 */
#include "flow/behind.h"
#include "flow/ladder_work.h"
#include "flow/most_drawn.h"

/* ---- Memory ----------------------------------------------------------- */

static bool
make_room(struct fci_ladder *l)
{
    const size_t n = l->network->n_links, m = l->network->site->n_fixtures;
    struct fci_arena *arena = fci_arena_of(l);

    l->near = fci_arena_array(arena, m + 1, sizeof *l->near);
    l->meets = fci_arena_array(arena, n + 1, sizeof *l->meets);
    l->placed = fci_arena_array(arena, n + 2, sizeof *l->placed);
    l->set = fci_arena_array(arena, m + 1, sizeof *l->set);
    l->kept = fci_arena_array(arena, m + 1, sizeof *l->kept);
    l->pressures =
        fci_arena_array(arena, (size_t)l->n_valves + 1, sizeof *l->pressures);
    l->all_open = fci_arena_array(arena, m + 1, sizeof *l->all_open);
    return fci_network_at(l->network, arena, &l->at)
           && fci_repeats_find(&l->repeats, arena, l->network, &l->at);
}

struct fci_ladder *
fci_ladder_new(const struct fci_network *network, struct fci_solver *solver)
{
    struct fci_ladder *l = fci_object_new(sizeof *l);
    size_t i;

    if (!l)
        return NULL;
    l->network = network;
    l->solver = solver;
    for (i = 0; i < network->site->n_fixtures; i++)
        if (network->outlets[i].flushes)
            l->n_valves += network->site->fixtures[i].count;
    if (make_room(l)) {
        l->parts = fci_more_leaves_less(network);
        l->worst = fci_worst_new(network, &l->at);
        l->sets = fci_all_sets_new(network, solver);
    }
    if (l->worst && l->sets)
        return l;
    fci_ladder_free(l);
    return NULL;
}

void
fci_ladder_free(struct fci_ladder *l)
{
    size_t end, i;

    if (!l)
        return;
    for (end = 0; end < FCI_ENDS; end++)
        for (i = 0; i < FCI_FINENESSES; i++)
            fci_most_drawn_free(l->drawn[end][i]);
    fci_worst_free(l->worst);
    fci_all_sets_free(l->sets);
    fci_object_free(l);
}

/* ---- The whole -------------------------------------------------------- */

void
fci_ladder_take(struct fci_ladder *l, size_t fixture, enum fci_end end,
                double least)
{
    const size_t n = l->network->site->n_fixtures;

    l->fixture = fixture;
    l->end = l->network->bounded ? end : FCI_NOMINAL;
    l->least = least;
    l->ordered = false;
    l->roughly = false;
    l->work = FCI_MOST_WORK / n;
    if (n > FCI_MANY_FIXTURES)
        l->work = l->work * FCI_MANY_FIXTURES / n;
    l->work = l->work > FCI_LEAST_WORK ? l->work : FCI_LEAST_WORK;
}

fc_status
fci_ladder_climb(struct fci_ladder *l, size_t fixture, enum fci_end end,
                 double least, enum fci_ladder_depth depth,
                 struct fci_rungs *rungs)
{
    struct fci_finding f = { 0 };
    fc_status status;
    size_t n;

    *rungs = (struct fci_rungs){ .pressures = l->pressures };
    fci_ladder_take(l, fixture, end, least);
    l->roughly = depth == FCI_MOST_WORST
                 && l->network->site->n_fixtures > FCI_FEW_FIXTURES;
    if (depth == FCI_MOST_WORST && l->work < FCI_WORK_IN_SHORT)
        l->work = FCI_WORK_IN_SHORT;
    fci_solver_forget(l->solver);
    status = fci_ladder_all(l, &rungs->all);
    if (status != FC_OK)
        return status;
    fci_solver_forget(l->solver);
    fci_solver_take(l->solver, l->end, fixture);
    status = fci_ladder_find(l, &f, rungs->all);
    rungs->all = f.known == (size_t)l->n_valves;
    rungs->most = (int)f.known;
    rungs->could = rungs->all ? rungs->most : (int)f.starving - 1;
    n = rungs->all ? (f.known < FCI_RUNGS_SHOWN ? f.known : FCI_RUNGS_SHOWN)
                   : f.starving;
    if (status == FC_OK && depth != FCI_MOST_ALONE) {
        status = fci_ladder_pressures(l, &f, n, depth, &rungs->worst);
        rungs->n_pressures = n;
    }
    if (!rungs->all) {
        rungs->set = l->kept;
        rungs->n_set = l->n_kept;
    }
    return status;
}
