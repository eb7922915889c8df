/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/ladder_tables.c -- what the tables tell of a ladder, without a
 * climb. */
#include "flow/ladder_work.h"
#include "flow/most_drawn.h"
#include "flow/twins.h"

#include <math.h>
#include <string.h>

/* How finely: cells of a table, and pairs along the way. */
static const struct fineness {
    size_t cells, pairs;
} finenesses[FCI_FINENESSES] = { { 64, 12 }, { 512, 48 }, { 4096, 192 } };

/* ---- The worst set ---------------------------------------------------- */

const struct fci_most_drawn *
fci_ladder_drawn(struct fci_ladder *l, size_t fine, size_t counted)
{
    struct fci_most_drawn **drawn = &l->drawn[l->end][fine];
    const size_t valves = (size_t)l->n_valves;
    struct fci_drawn_plan plan = { l->end, FCI_FIRST_COUNTED,
                                   finenesses[fine].cells };
    const struct fci_most_drawn *known = *drawn;

    if (known && known->counted >= counted)
        return known;
    while (plan.counted < counted)
        plan.counted *= 2;
    plan.counted = plan.counted < valves ? plan.counted : valves;
    fci_most_drawn_free(*drawn);
    *drawn = fci_most_drawn_new(l->network, &l->at, &l->repeats, &plan);
    return *drawn;
}

size_t
fci_ladder_finest(const struct fci_ladder *l)
{
    return FCI_FINENESSES - (l->network->site->n_fixtures > FCI_FEW_FIXTURES);
}

/* Nothing is told where the work that is left does not do; then none is. */
fc_status
fci_ladder_ask(struct fci_ladder *l, size_t fine, double pressure,
               size_t others)
{
    const struct fci_most_drawn *drawn = fci_ladder_drawn(l, fine, others + 1);
    const struct fci_worst_question question = { l->fixture, pressure, others,
                                                 finenesses[fine].pairs };

    return drawn && fci_worst_ask(l->worst, drawn, &question, &l->work)
               ? FC_OK
               : FC_ENOMEM;
}

/* The one with so many others that asks for the most. */
fc_status
fci_ladder_try(struct fci_ladder *l, size_t others, double *pressure)
{
    if (!fci_worst_set(l->worst, others, l->set, &l->n_set))
        return FC_ENOMEM;
    return fci_ladder_solve(l, pressure);
}

/* All sets of so many. */
fc_status
fci_ladder_every(struct fci_ladder *l, size_t n, double *pressure)
{
    fc_status status;

    fci_all_sets_take(l->sets, l->end, l->fixture);
    status = fci_all_sets_least(l->sets, n, pressure);
    fci_solver_forget(l->solver);
    fci_solver_take(l->solver, l->end, l->fixture);
    return status;
}

void
fci_ladder_keep(struct fci_ladder *l)
{
    memcpy(l->kept, l->set, l->n_set * sizeof *l->kept);
    l->n_kept = l->n_set;
}

/* ---- Without a climb --------------------------------------------------- */

double
fci_own_pressure(const struct fci_outlet_law *law, double pressure)
{
    const double left = pressure - law->stop.lift - law->stop.constant;
    const double flow = fci_one_draws(law, pressure);

    return left - law->stop.square * flow * flow;
}

fc_status
fci_ladder_surely(struct fci_ladder *l, size_t fixture, enum fci_end end,
                  double least, int looked, int *surely, double *left)
{
    const struct fci_outlet *outlet = &l->network->outlets[fixture];
    const struct fci_most_drawn *d;
    size_t n;

    *surely = 0;
    *left = -INFINITY;
    if (!l->parts || end == FCI_BEST)
        return FC_OK;
    looked = looked < l->n_valves ? looked : l->n_valves;
    looked = looked < FCI_MOST_COUNTED ? looked : FCI_MOST_COUNTED;
    l->end = end;
    while (isinf(*left) && *surely < looked) {
        d = fci_ladder_drawn(l, 0, (size_t)*surely + 1);
        if (!d)
            return FC_ENOMEM;
        for (n = (size_t)*surely + 1;
             n <= d->counted && n <= (size_t)looked && isinf(*left); n++) {
            const double there =
                fci_own_pressure(&outlet->law[end],
                                 d->left[outlet->link * (d->counted + 1) + n]);

            if (there >= least)
                *surely = (int)n;
            else
                *left = there;
        }
    }
    return FC_OK;
}

fc_status
fci_ladder_may(struct fci_ladder *l, size_t fixture, enum fci_end end,
               double least, int n, bool *may)
{
    fc_status status = FC_OK;

    *may = n > 0;
    if (!l->parts || n < 1 || n > l->n_valves || n > FCI_MOST_COUNTED)
        return FC_OK;
    l->fixture = fixture;
    l->end = end;
    l->work = FCI_WORK_IN_SHORT;
    status = fci_ladder_ask(l, 0, least - FCI_SOLVED_TO, (size_t)n - 1);
    if (status == FC_OK && l->work > 0)
        *may = fci_worst_asked(l->worst, (size_t)n - 1) > 0;
    return status;
}

fc_status
fci_ladder_twins(const struct fci_ladder *l, bool *spoken_for)
{
    size_t i;

    for (i = 0; i < l->network->site->n_fixtures; i++)
        spoken_for[i] = false;
    return !l->parts
                   || fci_twins_find(l->network, &l->at, &l->repeats,
                                     spoken_for)
               ? FC_OK
               : FC_ENOMEM;
}
