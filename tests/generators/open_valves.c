/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/open_valves.c -- see generators/open_valves.h. */
#include "generators/open_valves.h"

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
