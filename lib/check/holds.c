/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/holds.c -- what must hold while valves flush, beside their own
 * minimums. */
#include "check/holds.h"
#include "flow/network.h"
#include "peak/source.h"

/* At or below zero water may be drawn back, whatever flushes. */
static fc_verdict
above_zero(fc_range pressure)
{
    if (pressure.low > 0)
        return FC_WORKS;
    return pressure.high > 0 ? FC_CANNOT_TELL : FC_WILL_NOT_WORK;
}

/* Whether foul water may be drawn in at the outlet of an element; there is
 * none at the surface of a tank. */
static fc_verdict
drawn_back(const struct fci_event_left *left, size_t at)
{
    const struct fci_part *part = left->site->elements[at].part;
    const fc_range pressure = left->outlets[at];

    return part->kind == FCI_SOURCE
                   && fci_source_is_surface(part->data, pressure.low)
               ? FC_WORKS
               : above_zero(pressure);
}

/* The first of the worst is told. */
static void
worsen(fc_verdict *worst, fc_verdict verdict, struct fci_limited *limited,
       fc_at_once_limit by, size_t at)
{
    if (fci_worse_of(*worst, verdict) == *worst)
        return;
    *worst = verdict;
    *limited = (struct fci_limited){ by, at };
}

fc_verdict
fci_event_holds(const struct fci_event_left *left, struct fci_limited *limited)
{
    const fc_site *site = left->site;
    fc_verdict worst = left->enough;
    size_t i;

    *limited = (struct fci_limited){ FC_NO_LIMIT, FCI_NONE };
    for (i = 0; i < site->n_elements; i++)
        worsen(&worst,
               fci_is_kept(left->kept[i],
                           fci_must_keep(site, &site->elements[i])),
               limited,
               site->elements[i].part->kind == FCI_SOURCE ? FC_LIMIT_MAIN
                                                          : FC_LIMIT_SUCTION,
               i);
    for (i = 0; i < site->n_elements; i++)
        worsen(&worst, drawn_back(left, i), limited, FC_LIMIT_BACKFLOW, i);
    for (i = 0; i < site->n_fixtures; i++)
        worsen(&worst, above_zero(left->inlets[i]), limited,
               FC_LIMIT_BACKFLOW_FIXTURE, i);
    if (worst == FC_WORKS && fci_tank_ends(site)
        && !fci_tank_carries(site, &left->flushes))
        worsen(&worst, FC_CANNOT_TELL, limited, FC_LIMIT_TANK, site->order[0]);
    return worst;
}

double
fci_quickest_flush(const fc_valve *valve, double most_pressure)
{
    return fci_tank_full_flush(valve, FCI_WORST)
           / fci_flow_at_end(valve, most_pressure, FCI_BEST);
}

double
fci_longest_flush(const fc_valve *valve, double least_pressure)
{
    return fci_tank_full_flush(valve, FCI_WORST)
           / fci_flow_at_end(valve, least_pressure, FCI_WORST);
}
