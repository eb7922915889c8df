/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_far.c -- fixtures that are far from being weak too often,
 * however many valves are on.
 *
 * The way from the fixture is followed as in flow/busy_sure.c, but with one
 * flow a place.  Each valve that joins draws, while it is on, no more than the
 * pressure there lets through and than it draws alone.  Valves are on
 * independently, so that what all of them draw that have joined so far is
 * seldom far above its mean: by Bernstein's inequality [BLM13, 2.8],
 *     P(sum > mean + t) <= exp(-t^2 / (2 (variance + largest t / 3))).
 * That one of the places has more than is counted there has no more chance
 * than all of them together, and where none has, the source gives what is
 * asked of it.
 *
 *   [BLM13]  S. Boucheron, G. Lugosi, P. Massart, Concentration Inequalities
 *            (2013) (from memory)
 */
#include "flow/busy_far.h"

#include <math.h>

/* So much of FC_MOST_WEAK is shared by the places. */
#define SHARED 0.9

bool
fci_far_find(struct fci_far *far, struct fci_arena *arena,
             const struct fci_busy_plan *plan, const double *on)
{
    const struct fci_network *network = plan->network;
    const size_t n = network->n_links;
    size_t i;

    *far = (struct fci_far){ .plan = plan, .on = on };
    far->rest.network = network;
    far->rest.of.end = far->rest.of.side = plan->end;
    far->lift = fci_arena_array(arena, n + 1, sizeof *far->lift);
    far->specials = fci_arena_array(arena, n + 1, sizeof *far->specials);
    far->way = fci_arena_array(arena, n + 1, sizeof *far->way);
    far->place = fci_arena_array(arena, n + 1, sizeof *far->place);
    far->first = fci_arena_array(arena, n + 1, sizeof *far->first);
    far->steady = fci_arena_array(arena, n + 1, sizeof *far->steady);
    far->next = fci_arena_array(arena, network->site->n_fixtures + 1,
                                sizeof *far->next);
    if (arena->failed)
        return false;
    for (i = 0; i < n; i++) {
        const size_t parent = network->links[i].parent;

        far->lift[i] = network->laws[plan->end][i].lift;
        far->specials[i] = network->links[i].special;
        if (parent != FCI_NONE) {
            far->lift[i] += far->lift[parent];
            far->specials[i] += far->specials[parent];
        }
    }
    return true;
}

/* Where each link, each fixture and each steady draw joins the way from one;
 * returns how many places there are. */
static size_t
find_places(struct fci_far *far, size_t fixture)
{
    const struct fci_network *network = far->plan->network;
    size_t i, n = 0, link = network->outlets[fixture].link;

    for (i = 0; i < network->n_links; i++)
        far->place[i] = FCI_NONE;
    for (; link != FCI_NONE; link = network->links[link].parent) {
        far->place[link] = n;
        far->first[n] = FCI_NONE;
        far->steady[n] = 0;
        far->way[n++] = link;
    }
    for (i = 0; i < network->n_links; i++)
        if (far->place[i] == FCI_NONE)
            far->place[i] = far->place[network->links[i].parent];
    for (i = network->site->n_fixtures; i-- > 0;) {
        if (!(far->on[i] > 0))
            continue;
        link = far->place[network->outlets[i].link];
        far->next[i] = far->first[link];
        far->first[link] = i;
    }
    for (i = 0; i < network->n_drawing; i++)
        far->steady[far->place[network->drawing[i]]] +=
            network->draws[far->plan->end][network->drawing[i]];
    return n;
}

/* The most that a valve draws that joins where there is that pressure. */
static double
most_of(const struct fci_far *far, size_t fixture, size_t link,
        double pressure)
{
    const struct fci_network *network = far->plan->network;
    const struct fci_outlet *outlet = &network->outlets[fixture];
    const struct fci_outlet_law *law = &outlet->law[far->plan->end];
    const double alone = far->plan->flow[fixture];

    if (far->specials[outlet->link] != far->specials[link])
        return alone;
    pressure -= far->lift[outlet->link] - far->lift[link] + law->stop.lift;
    return pressure < law->need * alone * alone
               ? sqrt(fmax(pressure, 0) / law->need)
               : alone;
}

/* Of all that have joined. */
struct joined {
    double mean, variance, largest, all;
};

/* With each its own valve too, though that is counted apart. */
static void
join(const struct fci_far *far, size_t place, double pressure,
     struct joined *sum)
{
    const fc_site *site = far->plan->network->site;
    size_t i;

    for (i = far->first[place]; i != FCI_NONE; i = far->next[i]) {
        const double flow = most_of(far, i, far->way[place], pressure);
        const double mean = site->fixtures[i].count * far->on[i] * flow;

        sum->mean += mean;
        sum->variance += mean * (1 - far->on[i]) * flow;
        sum->largest = fmax(sum->largest, flow);
        sum->all += site->fixtures[i].count * flow;
    }
}

/* What they draw together, but for a chance of exp(-rarely). */
static double
most_together(const struct joined *sum, double rarely)
{
    const double third = sum->largest * rarely / 3;

    return fmin(sum->mean + third
                    + sqrt(third * third + 2 * sum->variance * rarely),
                sum->all);
}

bool
fci_far_seldom(struct fci_far *far, size_t fixture)
{
    const size_t n = find_places(far, fixture);
    const double rarely = log((double)n / (SHARED * FC_MOST_WEAK));
    struct joined sum = { 0, 0, 0, 0 };
    double flow, pressure = fci_rest_own(&far->rest, fixture,
                                         far->plan->least[fixture], &flow);
    size_t i;

    for (i = 0; i < n; i++) {
        join(far, i, pressure, &sum);
        flow += far->steady[i];
        pressure = fci_rest_asks(&far->rest, far->way[i], pressure,
                                 flow + most_together(&sum, rarely));
    }
    return pressure <= 0; /* at the source's inlet there is none */
}
