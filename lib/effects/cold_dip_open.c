/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/cold_dip_open.c -- how many flush valves may be open at once.
 */
#include "effects/cold_dip.h"
#include "effects/together.h"
#include "peak/flush_time.h"

#include <math.h>

static bool
list_valves(const fc_site *site, fc_state state, struct fci_like_valves *list,
            size_t *n, size_t *all)
{
    bool known = true;
    size_t i;

    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_fixture *fixture = &site->fixtures[i];
        struct fci_busy busy;

        if (!fixture->valve[state] || fixture->count == 0)
            continue;
        busy = fci_valve_busy(site, fixture, state, FCI_WORST);
        *all += (size_t)fixture->count;
        known = known && !isnan(busy.on);
        list[(*n)++] =
            (struct fci_like_valves){ (size_t)fixture->count, busy.on,
                                      busy.on / busy.time };
    }
    return known;
}

static bool
find_busiest(const fc_site *site, fc_state state, fc_cold_dip *dip,
             size_t *all)
{
    struct fci_arena scratch = { 0 };
    struct fci_like_valves *list =
        fci_arena_array(&scratch, site->n_fixtures + 1, sizeof *list);
    size_t n = 0;
    bool room = list != NULL;

    if (room && list_valves(site, state, list, &n, all))
        room = fci_most_at_once(list, n, fci_busiest_minutes(site).high,
                                &dip->open[state].busiest);
    fci_arena_free(&scratch);
    return room;
}

bool
fci_cold_dip_open(const fc_site *site, fc_state state, fc_cold_dip *dip)
{
    const size_t hygiene = dip->open[state].hygiene;
    size_t all = 0;
    const bool room = find_busiest(site, state, dip, &all);
    const size_t busiest =
        dip->open[state].busiest > 0 ? dip->open[state].busiest : all;

    dip->open[state].most = busiest > hygiene ? busiest : hygiene;
    return room;
}
