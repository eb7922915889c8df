/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/behind.c -- what the valves behind a place may draw, by the
 * pressure there alone.
 *
 * The most: a link takes at least what the flow q of some valves behind it
 * takes alone.  With E = 1/0.54 and q no more than m its friction q^E is at
 * least m^(E - 2) q^2, so that what the valves conduct and what the link does
 * add up as resistances of the square.  Of things side by side, k valves are
 * shared out so that they conduct the most.  The least: a link through which
 * up to k valves draw takes no more than if each drew the most that any does.
 *
 * How many of some valves are on is a sum of independent outcomes, whose
 * distribution is exact [F68, XI.2: product of generating functions].
 *
 *   [F68]  W. Feller, An Introduction to Probability Theory and Its
 *          Applications 1, 3rd ed. (1968) (from memory)
 */
#include "flow/behind.h"
#include "ground/memory.h"
#include "laws/friction.h"
#include "site/tree.h"

#include <string.h>

/* Valves stand at about one height [Pa]. */
#define LIKE_LIFT 3000.0
/* Chances below this are left to those of more valves. */
#define NO_CHANCE 1e-9

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

/* ---- Chances ----------------------------------------------------------- */

/* Those of both together. */
static void
add_chances(struct fci_batch *to, const struct fci_batch *more)
{
    double sum[FCI_COUNTED + 1] = { 0 };
    size_t i, k, n = to->n_chances + more->n_chances - 1;

    n = n > FCI_COUNTED + 1 ? FCI_COUNTED + 1 : n;
    for (i = 0; i < to->n_chances; i++)
        for (k = 0; k < more->n_chances && i + k < n; k++)
            sum[i + k] += to->chance[i] * more->chance[k];
    while (n > 1 && sum[n - 1] < NO_CHANCE)
        n--;
    memcpy(to->chance, sum, sizeof sum);
    to->n_chances = n;
}

static void
set_chances(struct fci_batch *batch, int count, double on)
{
    struct fci_batch one = { .chance = { 1 - on, on }, .n_chances = 2 };
    int i;

    batch->n = (size_t)count;
    batch->chance[0] = 1;
    batch->n_chances = 1;
    for (i = 0; i < count && on > 0; i++)
        add_chances(batch, &one);
}

/* ---- Together ---------------------------------------------------------- */

static size_t
told_apart(size_t n)
{
    return n < FCI_COUNTED ? n : FCI_COUNTED;
}

/* Shared out between both for the most. */
static void
add_conducts(struct fci_batch *to, const struct fci_batch *more)
{
    const size_t n = told_apart(to->n), m = told_apart(more->n);
    double most[FCI_COUNTED + 1] = { 0 };
    size_t i, k;

    for (i = 0; i <= n; i++)
        for (k = 0; k <= m && i + k <= FCI_COUNTED; k++) {
            const double both = to->conducts[i] + more->conducts[k];

            if (both > most[i + k])
                most[i + k] = both;
        }
    memcpy(to->conducts, most, sizeof most);
}

void
fci_batch_join(struct fci_batch *to, const struct fci_batch *more)
{
    add_conducts(to, more);
    to->n += more->n;
    to->lift = fmin(to->lift, more->lift);
    to->most = fmax(to->most, more->most);
    add_chances(to, more);
}

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

static void
join_share(struct fci_share *to, const struct fci_share *more)
{
    size_t k;

    if (to->high.n == 0) {
        *to = *more;
        return;
    }
    fci_batch_join(&to->high, &more->high);
    to->lift = fmax(to->lift, more->lift);
    to->need = fmax(to->need, more->need);
    to->most = fmin(to->most, more->most);
    to->unknown |= more->unknown;
    for (k = 0; k <= FCI_COUNTED; k++) {
        to->friction[k] = fmax(to->friction[k], more->friction[k]);
        to->square[k] = fmax(to->square[k], more->square[k]);
    }
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
    const struct fci_outlet_law *law = law_of(rest, fixture);
    struct fci_batch batch = { .lift = law->stop.lift + law->stop.constant,
                               .most =
                                   fmin(law->most, rest->of.most[fixture]) };
    const double one = 1 / sqrt(law->need + law->stop.square);
    size_t k;

    set_chances(&batch, count, rest->of.on ? rest->of.on[fixture] : 0);
    for (k = 1; k <= told_apart(batch.n); k++)
        batch.conducts[k] = (double)k * one;
    return batch;
}

static struct fci_share
share_of(const struct fci_rest *rest, size_t fixture, int count)
{
    const struct fci_outlet_law *law = law_of(rest, fixture);
    struct fci_share share = { .high = batch_of(rest, fixture, count),
                               .lift = law->stop.lift + law->stop.constant,
                               .need = law->need + law->stop.square,
                               .most = law->most };

    return share;
}

static void
pass_batch(const struct fci_rest *rest, struct fci_batch *batch,
           const struct fci_law *law)
{
    const double friction =
        law->friction > 0 && batch->most > 0
            ? law->friction * pow(batch->most, FCI_FRICTION_EXPONENT - 2)
            : 0;
    size_t k;

    batch->lift += law->lift + law->constant;
    for (k = 1; k <= told_apart(batch->n); k++) {
        const double g = batch->conducts[k];
        const double square =
            law->square + friction * rest->power[k] / (double)(k * k);

        batch->conducts[k] = g / sqrt(1 + square * g * g);
    }
}

static void
pass_share(const struct fci_rest *rest, struct fci_share *share,
           const struct fci_law *law)
{
    const size_t n = share->high.n;
    size_t k;

    share->lift += law->lift + law->constant;
    for (k = 1; k <= FCI_COUNTED; k++) {
        const size_t flows = k < n ? k : n;

        share->friction[k] += law->friction * rest->power[flows];
        share->square[k] += law->square * (double)(flows * flows);
    }
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

/* All that hangs on its end is in it; then the link itself. */
static void
pass_link(const struct fci_rest *rest, size_t link)
{
    struct fci_behind *behind = &rest->behind[link];
    const struct fci_law law = side_law(rest, link);
    size_t i;

    behind->draws += rest->network->draws[rest->of.end][link];
    for (i = 0; i < behind->n_batches; i++)
        pass_batch(rest, &behind->batches[i], &law);
    if (behind->share.high.n == 0)
        return;
    pass_batch(rest, &behind->share.high, &law);
    pass_share(rest, &behind->share, &law);
    behind->share.unknown |=
        rest->network->links[link].special || behind->draws > 0;
}

/* ---- The building ------------------------------------------------------ */

static size_t
link_of_valve(const void *of, size_t fixture)
{
    const struct fci_outlet *outlet =
        &((const struct fci_network *)of)->outlets[fixture];

    return outlet->flushes ? outlet->link : FCI_NONE;
}

static size_t
link_before(const void *of, size_t link)
{
    return ((const struct fci_network *)of)->links[link].parent;
}

static void
add_behind(struct fci_behind *to, const struct fci_behind *more)
{
    size_t i;

    for (i = 0; i < more->n_batches; i++)
        add_batch(to, &more->batches[i]);
    if (more->share.high.n > 0)
        join_share(&to->share, &more->share);
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
    rest->fixture_start =
        fci_arena_array(arena, n + 2, sizeof *rest->fixture_start);
    rest->fixtures = fci_arena_array(arena, m + 1, sizeof *rest->fixtures);
    rest->link_start = fci_arena_array(arena, n + 2, sizeof *rest->link_start);
    rest->links = fci_arena_array(arena, n + 1, sizeof *rest->links);
    if (arena->failed)
        return false;
    fci_list_hanging(rest->fixture_start, n, rest->fixtures, m, link_of_valve,
                     network);
    fci_list_hanging(rest->link_start, n, rest->links, n, link_before,
                     network);
    for (i = 0; i < m; i++)
        if (network->outlets[i].flushes) {
            const int count = network->site->fixtures[i].count;
            struct fci_behind one = { .batches = { batch_of(rest, i, count) },
                                      .n_batches = 1,
                                      .share = share_of(rest, i, count) };

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
    for (i = rest->fixture_start[link]; i < rest->fixture_start[link + 1];
         i++) {
        const int count = others_of(rest, rest->fixtures[i], fixture);

        if (count > 0) {
            const struct fci_batch batch =
                batch_of(rest, rest->fixtures[i], count);

            add_batch(joins, &batch);
        }
    }
    for (i = rest->link_start[link]; i < rest->link_start[link + 1]; i++) {
        const struct fci_behind *behind = &rest->behind[rest->links[i]];

        if (rest->links[i] == from)
            continue;
        draws += behind->draws;
        for (k = 0; k < behind->n_batches; k++)
            add_batch(joins, &behind->batches[k]);
    }
    return draws;
}

bool
fci_rest_share(const struct fci_rest *rest, size_t link, size_t from,
               size_t fixture, size_t *at, struct fci_share *share)
{
    const size_t first = rest->fixture_start[link];
    const size_t valves = rest->fixture_start[link + 1] - first;
    const size_t links = rest->link_start[link + 1] - rest->link_start[link];

    while (*at < valves) {
        const size_t i = rest->fixtures[first + (*at)++];
        const int count = others_of(rest, i, fixture);

        if (count > 0) {
            *share = share_of(rest, i, count);
            return true;
        }
    }
    while (*at < valves + links) {
        const size_t i =
            rest->links[rest->link_start[link] + (*at)++ - valves];

        if (i != from && rest->behind[i].share.high.n > 0) {
            *share = rest->behind[i].share;
            return true;
        }
    }
    return false;
}

double
fci_share_flow(const struct fci_share *share, double pressure, size_t k)
{
    const double high = fci_batch_flow(&share->high, pressure, 1);
    double left = pressure - share->lift;

    if (share->unknown || high <= 0)
        return 0;
    left -= share->square[k] * high * high;
    if (share->friction[k] > 0)
        left -= share->friction[k] * pow(high, FCI_FRICTION_EXPONENT);
    return left > 0 ? fmin(sqrt(left / share->need), share->most) : 0;
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
        return pressure > at.cap - at.fall * flow ? INFINITY
                                                  : pressure + at.loss;
    }
    pressure += law->lift + law->constant + law->square * flow * flow;
    return law->friction > 0
               ? pressure + law->friction * pow(flow, FCI_FRICTION_EXPONENT)
               : pressure;
}
