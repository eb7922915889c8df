/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_far.c -- fixtures that are far from being weak too often,
 * however many valves are on.
 *
 * The way from the fixture is followed as in flow/busy_sure.c, but with one
 * flow a place.  Each valve that joins draws, while it is on, no more than the
 * pressure there lets through and than it draws alone.  Valves are on
 * independently, so that with F what all of them draw that have joined so far,
 * and psi the sum of log(1 + on (exp(theta flow) - 1)) over them,
 * exp(theta F - psi) is a martingale along the way: that it is anywhere above
 * exp(rarely) has no more chance than exp(-rarely), by Ville's inequality
 * [D90, VII.3].  So everywhere at once F <= (psi + rarely) / theta but for
 * that chance, whatever theta; some are tried.  Where F is nowhere above that,
 * the source gives what is asked of it.
 *
 *   [D90]  J. L. Doob, Stochastic Processes (1953, reprinted 1990) (from
 *          memory)
 */
#include "flow/busy_far.h"

#include <math.h>

/* So much of FC_MOST_WEAK is shared by the thetas: these by what a valve draws
 * at most. */
#define SHARED 0.9
#define THETAS 4
static const double thetas[THETAS] = { 0.25, 0.5, 1, 2 };

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
    double theta[THETAS], psi[THETAS], all;
    double on, flow, of_one[THETAS]; /* of the last one: most are alike */
};

static void
add_valves(struct joined *sum, int count, double on, double flow)
{
    int k;

    if (!fci_same(on, sum->on) || !fci_same(flow, sum->flow)) {
        sum->on = on;
        sum->flow = flow;
        for (k = 0; k < THETAS; k++)
            sum->of_one[k] = log1p(on * expm1(sum->theta[k] * flow));
    }
    for (k = 0; k < THETAS; k++)
        sum->psi[k] += count * sum->of_one[k];
    sum->all += count * flow;
}

static double
most_alone(const struct fci_far *far)
{
    double most = 0;
    size_t i;

    for (i = 0; i < far->plan->network->site->n_fixtures; i++)
        if (far->on[i] > 0)
            most = fmax(most, far->plan->flow[i]);
    return most;
}

/* With each its own valve too, though that is counted apart. */
static void
join(const struct fci_far *far, size_t place, double pressure,
     struct joined *sum)
{
    const fc_site *site = far->plan->network->site;
    size_t i;

    for (i = far->first[place]; i != FCI_NONE; i = far->next[i])
        add_valves(sum, site->fixtures[i].count, far->on[i],
                   most_of(far, i, far->way[place], pressure));
}

/* What they draw together, everywhere on the way, but for a chance of
 * THETAS exp(-rarely). */
static double
most_together(const struct joined *sum, double rarely)
{
    double most = sum->all;
    int k;

    for (k = 0; k < THETAS; k++)
        most = fmin(most, (sum->psi[k] + rarely) / sum->theta[k]);
    return most;
}

bool
fci_far_seldom(struct fci_far *far, size_t fixture)
{
    const double rarely = log(THETAS / (SHARED * FC_MOST_WEAK));
    const double most = most_alone(far);
    const size_t n = find_places(far, fixture);
    struct joined sum = { .all = 0 };
    double flow, pressure = fci_rest_own(&far->rest, fixture,
                                         far->plan->least[fixture], &flow);
    size_t i;
    int k;

    for (k = 0; k < THETAS; k++)
        sum.theta[k] = thetas[k] / most;
    for (i = 0; i < n; i++) {
        join(far, i, pressure, &sum);
        flow += far->steady[i];
        pressure = fci_rest_asks(&far->rest, far->way[i], pressure,
                                 flow + most_together(&sum, rarely));
    }
    return most > 0 && pressure <= 0; /* at the source's inlet there is none */
}
