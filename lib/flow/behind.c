/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/behind.c -- what the valves behind a place may draw, by the
 * pressure there alone. */
#include "flow/behind.h"
#include "ground/memory.h"
#include "laws/friction.h"

#include <string.h>

/* Valves stand at about one height [Pa]. */
#define LIKE_LIFT 3000.0

bool
fci_more_leaves_less(const struct fci_network *network)
{
    size_t i;

    for (i = 0; i < network->site->n_fixtures; i++)
        if (network->outlets[i].flushes && network->outlets[i].curved_stop)
            return false;
    return !network->meshed;
}

/* ---- Together ---------------------------------------------------------- */

static void
add_batch(struct fci_behind *to, const struct fci_batch *batch)
{
    struct fci_batch *nearest = NULL;
    size_t i;

    for (i = 0; i < to->n_batches; i++) {
        struct fci_batch *p = &to->batches[i];

        if (!nearest
            || fabs(p->lift - batch->lift) < fabs(nearest->lift - batch->lift))
            nearest = p;
    }
    if (nearest
        && (to->n_batches == FCI_BATCHES
            || fabs(nearest->lift - batch->lift) < LIKE_LIFT))
        fci_batch_join(nearest, batch);
    else
        to->batches[to->n_batches++] = *batch;
}

/* ---- One fixture, one link --------------------------------------------- */

static const struct fci_outlet_law *
law_of(const struct fci_rest *rest, size_t fixture)
{
    const struct fci_outlet *outlet = &rest->network->outlets[fixture];

    return rest->of.beside ? &outlet->beside[rest->of.end]
                           : &outlet->law[rest->of.end];
}

static struct fci_batch
batch_of(const struct fci_rest *rest, size_t fixture, int count)
{
    return fci_batch_of(law_of(rest, fixture), rest->of.most[fixture], count,
                        rest->of.on ? rest->of.on[fixture] : 0);
}

static struct fci_yield
yield_of(const struct fci_rest *rest, size_t fixture, int count)
{
    return fci_yield_of(law_of(rest, fixture), rest->of.most[fixture], count,
                        rest->of.on ? rest->of.on[fixture] : 0);
}

/* Of a special link no more is told than its lift. */
static struct fci_law
side_law(const struct fci_rest *rest, size_t link)
{
    const struct fci_network *network = rest->network;
    struct fci_law law = network->laws[rest->of.side][link];

    if (network->links[link].special)
        law = (struct fci_law){
            .lift = fci_tangent_at(
                        network->site,
                        &network->site->elements[network->links[link].element],
                        0, rest->of.side)
                        .loss
        };
    return law;
}

/* All that joins at its end is in it; then the link itself. */
static void
pass_link(const struct fci_rest *rest, size_t link)
{
    struct fci_behind *behind = &rest->behind[link];
    const struct fci_law law = side_law(rest, link);
    size_t i;

    behind->draws += rest->network->draws[rest->of.end][link];
    for (i = 0; i < behind->n_batches; i++)
        fci_batch_pass(&behind->batches[i], &law, rest->power);
    if (behind->yield.high.n == 0)
        return;
    fci_batch_pass(&behind->yield.high, &law, rest->power);
    fci_yield_pass(&behind->yield, &law, rest->power);
    behind->yield.unknown |=
        rest->network->links[link].special || behind->draws > 0;
}

/* ---- The building ------------------------------------------------------ */

static void
add_behind(struct fci_behind *to, const struct fci_behind *more)
{
    size_t i;

    for (i = 0; i < more->n_batches; i++)
        add_batch(to, &more->batches[i]);
    if (more->yield.high.n > 0)
        fci_yield_join(&to->yield, &more->yield);
    to->draws += more->draws;
}

bool
fci_rest_find(struct fci_rest *rest, struct fci_arena *arena,
              const struct fci_network *network, const struct fci_told_of *of)
{
    const size_t n = network->n_links, m = network->site->n_fixtures;
    size_t i;

    rest->network = network;
    rest->of = *of;
    for (i = 0; i <= FCI_COUNTED; i++)
        rest->power[i] = pow((double)i, FCI_FRICTION_EXPONENT);
    rest->behind = fci_arena_array(arena, n + 1, sizeof *rest->behind);
    if (!fci_network_at(network, arena, &rest->at))
        return false;
    for (i = 0; i < m; i++)
        if (network->outlets[i].flushes) {
            const int count = network->site->fixtures[i].count;
            struct fci_behind one = { .batches = { batch_of(rest, i, count) },
                                      .n_batches = 1,
                                      .yield = yield_of(rest, i, count) };

            add_behind(&rest->behind[network->outlets[i].link], &one);
        }
    for (i = n; i-- > 0;) {
        pass_link(rest, i);
        if (network->links[i].parent != FCI_NONE)
            add_behind(&rest->behind[network->links[i].parent],
                       &rest->behind[i]);
    }
    return true;
}

static int
others_of(const struct fci_rest *rest, size_t i, size_t fixture)
{
    return rest->network->site->fixtures[i].count - (i == fixture);
}

double
fci_rest_joins(const struct fci_rest *rest, size_t link, size_t from,
               size_t fixture, struct fci_behind *joins)
{
    double draws = rest->network->draws[rest->of.end][link];
    size_t i, k;

    joins->n_batches = 0;
    for (i = rest->at.fixture_start[link];
         i < rest->at.fixture_start[link + 1]; i++) {
        const int count = others_of(rest, rest->at.fixtures[i], fixture);

        if (count > 0) {
            const struct fci_batch batch =
                batch_of(rest, rest->at.fixtures[i], count);

            add_batch(joins, &batch);
        }
    }
    for (i = rest->at.link_start[link]; i < rest->at.link_start[link + 1];
         i++) {
        const struct fci_behind *behind = &rest->behind[rest->at.links[i]];

        if (rest->at.links[i] == from)
            continue;
        draws += behind->draws;
        for (k = 0; k < behind->n_batches; k++)
            add_batch(joins, &behind->batches[k]);
    }
    return draws;
}

bool
fci_rest_yield(const struct fci_rest *rest, size_t link, size_t from,
               size_t fixture, size_t *at, struct fci_yield *yield)
{
    const size_t first = rest->at.fixture_start[link];
    const size_t valves = rest->at.fixture_start[link + 1] - first;
    const size_t links =
        rest->at.link_start[link + 1] - rest->at.link_start[link];

    while (*at < valves) {
        const size_t i = rest->at.fixtures[first + (*at)++];
        const int count = others_of(rest, i, fixture);

        if (count > 0) {
            *yield = yield_of(rest, i, count);
            return true;
        }
    }
    while (*at < valves + links) {
        const size_t i =
            rest->at.links[rest->at.link_start[link] + (*at)++ - valves];

        if (i != from && rest->behind[i].yield.high.n > 0) {
            *yield = rest->behind[i].yield;
            return true;
        }
    }
    return false;
}

/* ---- The way ----------------------------------------------------------- */

double
fci_rest_own(const struct fci_rest *rest, size_t fixture, double least,
             double *flow)
{
    const struct fci_outlet_law *law =
        &rest->network->outlets[fixture].law[rest->of.end];

    least = fmax(least, 0);
    *flow = fmin(sqrt(least / law->need), law->most);
    return least + law->stop.lift + law->stop.constant
           + law->stop.square * *flow * *flow;
}

double
fci_rest_asks(const struct fci_rest *rest, size_t link, double pressure,
              double flow)
{
    const struct fci_network *network = rest->network;
    const struct fci_law *law = &network->laws[rest->of.end][link];
    struct fci_tangent at;

    if (network->links[link].special) {
        at = fci_tangent_at(
            network->site,
            &network->site->elements[network->links[link].element], flow,
            rest->of.end);
        return fci_tangent_in(&at, pressure, flow);
    }
    pressure += law->lift + law->constant + law->square * flow * flow;
    return law->friction > 0
               ? pressure + law->friction * pow(flow, FCI_FRICTION_EXPONENT)
               : pressure;
}
