/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/contents.c -- the water in pipes, and how much of it a day of
 * the mean flow takes.
 *
 * A pipe is full, so that over a long time T all that passes it spends
 * together contents x T there, whenever and however it flows: per unit of what
 * passes that is contents / mean flow, the mean time that water takes through
 * the pipe [L61].  Water moves as a plug: none overtakes other water.
 *
 *   [L61]  J. D. C. Little, A Proof for the Queuing Formula L = lambda W,
 *          Operations Research 9 (1961) 383-387 (from memory)
 */
#include "effects/contents.h"
#include "units/range_sums.h"
#include "site/pipe_size.h"

#include <gsl/gsl_math.h>

static double
cylinder(double bore, double length)
{
    return M_PI / 4 * bore * bore * length;
}

fc_range
fci_contents(const struct fci_element *element)
{
    const struct fci_pipe *pipe = element->pipe;
    fc_range bore;

    if (!pipe)
        return (fc_range){ 0 };
    bore = fci_pipe_bore(pipe);
    return (fc_range){ true, cylinder(bore.nominal, pipe->length.nominal),
                       cylinder(bore.low, pipe->length.low),
                       cylinder(bore.high, pipe->length.high) };
}

/* ---- Mean flows ------------------------------------------------------- */

static void
add_outlets(const fc_site *site, const fc_range *outlets,
            const struct fci_mean_flows *flows)
{
    size_t i;

    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_fixture *fixture = &site->fixtures[i];

        flows->feeds[fixture->element] = true;
        if (outlets[i].given)
            fci_range_add(&flows->flow[fixture->element], outlets[i]);
        else
            flows->at_least[fixture->element] = true;
        if (fixture->heater == FCI_NONE)
            continue;
        flows->feeds[fixture->heater] = true;
        flows->at_least[fixture->heater] = true; /* hot water */
    }
    for (i = 0; i < site->n_draws; i++) {
        const struct fci_draw *draw = &site->draws[i];

        flows->feeds[draw->element] = true;
        fci_range_add(&flows->flow[draw->element], draw->flow);
    }
}

bool
fci_mean_flows(const fc_site *site, const fc_range *outlets,
               struct fci_mean_flows *flows, struct fci_arena *arena)
{
    const size_t n = site->n_elements;
    size_t i;

    flows->flow = fci_arena_array(arena, n + 1, sizeof *flows->flow);
    flows->at_least = fci_arena_array(arena, n + 1, sizeof *flows->at_least);
    flows->feeds = fci_arena_array(arena, n + 1, sizeof *flows->feeds);
    if (arena->failed)
        return false;
    add_outlets(site, outlets, flows);
    for (i = n; i-- > 0;) {
        const size_t at = site->order[i], up = site->elements[at].parent;

        if (up == FCI_NONE)
            continue;
        fci_range_add(&flows->flow[up], flows->flow[at]);
        flows->at_least[up] = flows->at_least[up] || flows->at_least[at];
        flows->feeds[up] = flows->feeds[up] || flows->feeds[at];
    }
    return true;
}

/* ---- Renewal ---------------------------------------------------------- */

fc_range
fci_turnovers(fc_range contents, fc_range flow)
{
    if (!flow.given || !(contents.low > 0))
        return (fc_range){ 0 };
    return (fc_range){ true, FCI_DAY * flow.nominal / contents.nominal,
                       FCI_DAY * flow.low / contents.high,
                       FCI_DAY * flow.high / contents.low };
}

fc_range
fci_residence(fc_range contents, fc_range flow)
{
    if (!flow.given || !(contents.low > 0) || !(flow.low > 0))
        return (fc_range){ 0 };
    return (fc_range){ true, contents.nominal / flow.nominal,
                       contents.low / flow.high, contents.high / flow.low };
}
