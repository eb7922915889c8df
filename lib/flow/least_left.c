/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/least_left.c -- the least that a fixture has left while no more
 * than so many valves flush, without solving for it. */
#include "flow/least_left.h"
#include "ground/memory.h"
#include "laws/friction.h"

#include <math.h>

/* ---- What may flow behind a link --------------------------------------- */

bool
fci_more_leaves_less(const struct fci_network *network)
{
    const fc_site *site = network->site;
    size_t i;

    for (i = 0; i < network->n_links; i++) {
        const struct fci_element *element =
            &site->elements[network->links[i].element];
        const fc_loss *loss = fci_element_loss(element);

        if (network->links[i].special
            && (fci_adds_pressure(element)
                || (loss && loss->kind == FC_CURVE_LOSS)))
            return false;
    }
    for (i = 0; i < site->n_fixtures; i++)
        if (network->outlets[i].flushes && network->outlets[i].curved_stop)
            return false;
    return !network->meshed;
}

static void
enlist(double *list, double flow)
{
    size_t i = FCI_TOLD_APART - 1;

    if (list[i] >= flow)
        return;
    for (; i > 0 && list[i - 1] < flow; i--)
        list[i] = list[i - 1];
    list[i] = flow;
}

static void
add_fixture(struct fci_least_left *left, size_t fixture)
{
    const struct fci_network *network = left->network;
    const int count = network->site->fixtures[fixture].count;
    size_t link = network->outlets[fixture].link;
    int k;

    for (; link != FCI_NONE; link = network->links[link].parent) {
        left->behind[link] += (size_t)count;
        for (k = 0; k < count && k < FCI_TOLD_APART; k++)
            enlist(&left->strongest[link * FCI_TOLD_APART],
                   left->most[fixture]);
    }
}

struct fci_least_left *
fci_least_left_new(struct fci_arena *arena, const struct fci_network *network,
                   enum fci_end end, const double *most)
{
    struct fci_least_left *left = fci_arena_alloc(arena, sizeof *left);
    const size_t n = network->n_links;
    size_t i;

    if (!left)
        return NULL;
    left->network = network;
    left->end = end;
    left->most = most;
    left->behind = fci_arena_array(arena, n + 1, sizeof *left->behind);
    left->draws = fci_arena_array(arena, n + 1, sizeof *left->draws);
    left->strongest = fci_arena_array(arena, (n + 1) * FCI_TOLD_APART,
                                      sizeof *left->strongest);
    if (arena->failed)
        return NULL;
    for (i = 0; i < network->site->n_fixtures; i++)
        if (network->outlets[i].flushes)
            add_fixture(left, i);
    for (i = n; i-- > 0;) {
        left->draws[i] += network->draws[end][i];
        if (network->links[i].parent != FCI_NONE)
            left->draws[network->links[i].parent] += left->draws[i];
    }
    return left;
}

/* ---- What is left ------------------------------------------------------ */

static double
flow_at_most(const struct fci_least_left *left, size_t fixture, size_t link,
             size_t others)
{
    const double *strongest = &left->strongest[link * FCI_TOLD_APART];
    double flow = left->draws[link] + left->most[fixture];
    size_t i;

    for (i = 0; i < others; i++)
        flow += strongest[i];
    return flow;
}

static double
pass(const struct fci_least_left *left, size_t link, double in, double flow)
{
    const struct fci_network *network = left->network;
    const struct fci_law *law = &network->laws[left->end][link];
    struct fci_tangent at;

    if (network->links[link].special) {
        at = fci_tangent_at(
            network->site,
            &network->site->elements[network->links[link].element], flow,
            left->end);
        return fci_tangent_out(&at, in, flow);
    }
    in -= law->lift + law->constant + law->square * flow * flow;
    return law->friction > 0
               ? in - law->friction * pow(flow, FCI_FRICTION_EXPONENT)
               : in;
}

/* Behind the stop. */
static double
at_inlet(const struct fci_outlet_law *law, double in)
{
    const double there = in - law->stop.lift - law->stop.constant;
    const double flow =
        fmin(sqrt(fmax(there, 0) / (law->need + law->stop.square)), law->most);

    return there - law->stop.square * flow * flow;
}

/* The way is followed back to the source first. */
static double
at_end_of(const struct fci_least_left *left, size_t fixture, size_t link,
          const size_t *others)
{
    const size_t before = left->network->links[link].parent;
    double in = 0;

    if (*others > FCI_TOLD_APART)
        return -INFINITY;
    if (before != FCI_NONE)
        in = at_end_of(left, fixture, before, others + 1);
    return pass(left, link, in, flow_at_most(left, fixture, link, *others));
}

double
fci_least_left(const struct fci_least_left *left, size_t fixture,
               const size_t *others)
{
    const struct fci_outlet *outlet = &left->network->outlets[fixture];
    const double in = at_end_of(left, fixture, outlet->link, others);

    return isfinite(in) ? at_inlet(&outlet->law[left->end], in) : -INFINITY;
}

int
fci_surely_at_once(const struct fci_least_left *left, size_t fixture,
                   double least, size_t *others)
{
    const struct fci_network *network = left->network;
    size_t k, i, link;

    for (k = 0; k <= FCI_TOLD_APART; k++) {
        i = 0;
        for (link = network->outlets[fixture].link; link != FCI_NONE;
             link = network->links[link].parent) {
            others[i] = left->behind[link] - 1;
            if (others[i] > k)
                others[i] = k;
            i++;
        }
        if (!(fci_least_left(left, fixture, others) >= least))
            break;
    }
    return (int)k;
}
