/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/open_valves.c -- see generators/open_valves.h. */
#include "generators/open_valves.h"

#include <math.h>
#include <stdlib.h>

struct fci_open *
some_open(const fc_site *site, fc_state state, double share, gsl_rng *rng,
          size_t *n)
{
    struct fci_open *open = malloc((site->n_fixtures + 1) * sizeof *open);
    size_t i;

    if (!open)
        abort();
    *n = 0;
    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_fixture *fixture = &site->fixtures[i];
        const fc_valve *valve = fixture->valve[state];

        if (!valve || !valve->flow.given || gsl_rng_uniform(rng) >= share)
            continue;
        open[*n].fixture = i;
        open[*n].count =
            1 + (int)gsl_rng_uniform_int(rng, (unsigned long)fixture->count);
        (*n)++;
    }
    return open;
}

/* ---- Every set -------------------------------------------------------- */

void
small_groups_of(const struct fci_network *network, struct small_groups *groups)
{
    size_t i;

    *groups = (struct small_groups){ 0 };
    for (i = 0; i < network->site->n_fixtures; i++) {
        if (!network->outlets[i].flushes)
            continue;
        groups->fixture[groups->n] = i;
        groups->count[groups->n] = network->site->fixtures[i].count;
        groups->valves += groups->count[groups->n++];
    }
}

bool
small_next(const struct small_groups *groups, int open[SMALL_GROUPS])
{
    size_t i;

    for (i = 0; i < groups->n; i++) {
        if (++open[i] <= groups->count[i])
            return true;
        open[i] = 0;
    }
    return false;
}

int
small_solve(struct fci_solver *solver, const struct small_groups *groups,
            const int open[SMALL_GROUPS], double pressures[SMALL_GROUPS])
{
    struct fci_open list[SMALL_GROUPS];
    size_t n = 0, i;
    int valves = 0;

    for (i = 0; i < groups->n; i++)
        if (open[i] > 0) {
            list[n].fixture = groups->fixture[i];
            list[n++].count = open[i];
            valves += open[i];
        }
    if (fci_solver_run(solver, list, n) != FC_OK)
        return -1;
    for (i = 0, n = 0; i < groups->n; i++)
        if (open[i] > 0)
            pressures[i] = fci_solver_drawn(solver)[n++].pressure;
    return valves;
}

double
small_chance_on(const struct fci_fixture *fixture)
{
    const fc_valve *valve = fixture->valve[FC_EXISTING];
    const double interval = fixture->given->interval.given
                                ? fixture->given->interval.nominal
                                : 300;

    return fmin(valve->full_flush.nominal / valve->flow.nominal / interval, 1);
}
