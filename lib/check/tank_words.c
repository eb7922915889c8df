/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/tank_words.c -- how long the water of a tank lasts beside a
 * verdict. */
#include "check/events.h"
#include "peak/march.h"

/* Less is no flow [m3/s]. */
#define NO_FLOW 1e-9

/* What the tank serves beside the pump, as long as it has water. */
static void
find_peak(struct fci_check_words *w, const struct fci_tank_lasts *l,
          fc_state state)
{
    const fc_site *site = w->judge->site;
    const struct fci_demand *demand = &w->judge->demand[state][site->order[0]];
    const fc_range peak = fci_as_range(demand->flow);

    if (peak.high > l->rate[FCI_WORST] + NO_FLOW)
        fci_find(&w->found, FC_NOTE, fci_tank_name(site), FC_IN(state),
                 FC_FOUND_TANK,
                 "peak demand{when} is {peak}, and {rate} come into the tank: "
                 "the verdict holds as long as it has water",
                 FCI_WITH(FCI_RANGE("peak", FC_FLOW, peak),
                          FCI_RANGE("rate", FC_FLOW, fci_as_range(l->rate))));
}

void
fci_find_tank(struct fci_check_words *w, const struct fci_events *events,
              fc_state state)
{
    const struct fci_tank_lasts *l = events->tank;

    fci_tell_unknown_tank(&w->found, w->judge->site, state);
    if (!l)
        return;
    if (!l->lacks)
        find_peak(w, l, state);
    fci_tell_tank(&w->found, w->judge->site, l, state);
}
