/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/network.c -- the building as links that flow while valves flush. */
#include "flow/network.h"
#include "ground/diagnostics.h"
#include "ground/memory.h"
#include "ground/ties.h"
#include "laws/friction.h"
#include "peak/source.h"
#include "site/tree.h"

#include <math.h>

struct making {
    const fc_site *site;
    struct fci_network *network;
    struct fci_arena scratch;
    size_t *leaving;      /* elements and other things that an element feeds */
    struct fci_law *ways; /* to the ends of the links */
};

/* ---- Where links begin ------------------------------------------------ */

/* Where water may turn, one that stops it or holds it back has a law of its
 * own. */
static bool
is_special(const struct making *m, const struct fci_element *element)
{
    return !fci_element_sums(element)
           || (m->network->meshed
               && (fci_is_one_way(element) || fci_element_steps(element)));
}

/* A second thing that leaves an element ends its link, and a fixture, a draw
 * or a loop always does. */
/* One without a link of its own: a pipe that closes a loop. */
static bool
is_chord(const struct fci_element *element)
{
    return element->to != FCI_NONE && element->pipe;
}

static void
count_leaving(struct making *m)
{
    const fc_site *site = m->site;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_element *element = &site->elements[i];

        if (element->parent != FCI_NONE)
            m->leaving[element->parent] += is_chord(element) ? 2 : 1;
        if (element->to != FCI_NONE)
            m->leaving[element->to] += 2;
    }
    for (i = 0; i < site->n_fixtures; i++)
        m->leaving[site->fixtures[i].element] += 2;
    for (i = 0; i < site->n_draws; i++)
        m->leaving[site->draws[i].element] += 2;
}

/* A main with one flow test falls by one power of the flow where it follows
 * its law all the way. */
static bool
is_power(const struct fci_element *element, enum fci_end end)
{
    const fc_source *source = element->part->data;
    const fc_range shape = element->shape;

    return element->part->kind == FCI_SOURCE && source->n_flow_test < 2
           && (shape.given ? fci_more_is_worse(shape, end) >= 1
                           : end != FCI_BEST);
}

static size_t
link_for(struct making *m, const struct fci_element *element)
{
    struct fci_network *network = m->network;
    const bool special = is_special(m, element);
    struct fci_link *link;
    size_t before = FCI_NONE;
    int end;

    if (element->parent != FCI_NONE) {
        before = network->link_of[element->parent];
        if (!special && !network->links[before].special
            && m->leaving[element->parent] == 1)
            return before;
    }
    link = &network->links[network->n_links];
    link->parent = before;
    link->special = special;
    link->pinned = special;
    link->one_way = fci_is_one_way(element);
    for (end = 0; end < FCI_ENDS; end++)
        link->power[end] = special && is_power(element, (enum fci_end)end);
    /* turns with the flow, as only what may be passed backwards does */
    link->steps =
        m->network->meshed && !link->one_way && fci_element_steps(element);
    return network->n_links++;
}

/* ---- What they take --------------------------------------------------- */

static void
add_device(struct fci_law *law, const fc_loss *loss, enum fci_end end)
{
    if (loss->kind == FC_CONSTANT_LOSS)
        law->constant += fci_more_is_worse(loss->pressure, end);
    if (loss->kind == FC_SQUARE_LOSS)
        law->square += fci_more_is_worse(loss->pressure, end)
                       / (loss->flow.nominal * loss->flow.nominal);
}

static void
add_source(struct fci_law *law, const fc_site *site,
           const struct fci_element *element, enum fci_end end)
{
    const fc_source *source = element->part->data;
    double still, slope;

    fci_source_tangent(source, element->shape, site->water_weight, 1,
                       FCI_NOMINAL, &still, &slope);
    still = fci_source_pressure(source, element->shape, site->water_weight, 0,
                                end);
    law->lift -= still;
    law->friction += slope / FCI_FRICTION_EXPONENT;
}

static void
add_element(struct making *m, struct fci_law *law,
            const struct fci_element *element, enum fci_end end)
{
    const fc_site *site = m->site;
    const fc_loss *loss = fci_element_loss(element);

    if (element->parent == FCI_NONE) {
        add_source(law, site, element, end);
        return;
    }
    law->lift += site->water_weight * fci_more_is_worse(element->rise, end);
    if (element->pipe)
        law->friction += element->pipe->resistance[end];
    if (loss)
        add_device(law, loss, end);
}

static void
make_links(struct making *m)
{
    const fc_site *site = m->site;
    struct fci_network *network = m->network;
    size_t i, at, link;
    int end;

    for (i = 0; i < site->n_elements; i++) {
        at = site->order[i];
        network->link_of[at] = FCI_NONE;
        if (is_chord(&site->elements[at]))
            continue;
        link = link_for(m, &site->elements[at]);
        network->link_of[at] = link;
        network->links[link].element = at;
        for (end = 0; end < FCI_ENDS && !network->links[link].special; end++)
            add_element(m, &network->laws[end][link], &site->elements[at],
                        (enum fci_end)end);
    }
}

static void
make_draws(struct making *m)
{
    const fc_site *site = m->site;
    struct fci_network *network = m->network;
    size_t i, link;
    int end;

    for (i = 0; i < site->n_draws; i++) {
        link = network->link_of[site->draws[i].element];
        network->links[link].pinned = true;
        for (end = 0; end < FCI_ENDS; end++)
            network->draws[end][link] +=
                fci_more_is_worse(site->draws[i].flow, (enum fci_end)end);
    }
    for (link = 0; link < network->n_links; link++)
        if (network->draws[FCI_BEST][link] > 0
            || network->draws[FCI_WORST][link] > 0)
            network->drawing[network->n_drawing++] = link;
}

/* Two reducers side by side join at once: their join takes 0.01 psi at 1000
 * gpm, which leaves no flow that goes round between them undecided
 * [Pa / (m3/s)^(1/0.54)]. */
#define JOIN 1e4

static void
make_loops(struct making *m)
{
    const fc_site *site = m->site;
    struct fci_network *network = m->network;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_element *element = &site->elements[i];
        struct fci_loop *loop = &network->loops[network->n_loops];

        if (element->to == FCI_NONE)
            continue;
        network->n_loops++;
        loop->element = i;
        loop->from = network->link_of[element->pipe ? element->parent : i];
        loop->to = network->link_of[element->to];
        loop->friction =
            element->pipe ? element->pipe->resistance[FCI_NOMINAL] : JOIN;
        loop->lift =
            element->pipe ? site->water_weight * element->rise.nominal : 0;
        network->links[loop->from].pinned = true;
        network->links[loop->to].pinned = true;
    }
}

/* ---- Valves ----------------------------------------------------------- */

/* What an outlet passes at a pressure. */
struct passing {
    fc_range rate, pressure;
    bool regulated; /* and never more */
};

static struct passing
passed_by(const fc_valve *valve)
{
    return (struct passing){ valve->flow, valve->flow_pressure,
                             valve->regulated == FC_YES };
}

/* `rate_end`: which end of its rate; `end`: of all before it. */
static struct fci_outlet_law
outlet_law(const fc_site *site, const struct fci_fixture *fixture,
           const struct passing *passing, enum fci_end rate_end,
           enum fci_end end)
{
    const double rate = fci_more_is_worse(passing->rate, rate_end);
    struct fci_outlet_law law = { 0 };

    law.end = end;
    law.need = passing->pressure.nominal / (rate * rate);
    law.most = passing->regulated ? rate : INFINITY;
    law.stop.lift =
        site->water_weight * fci_more_is_worse(fixture->given->rise, end);
    add_device(&law.stop, &fixture->given->stop, end);
    return law;
}

static void
make_laws(struct fci_network *network, size_t i, const struct passing *passing)
{
    const fc_site *site = network->site;
    struct fci_outlet *outlet = &network->outlets[i];
    int end;

    for (end = 0; end < FCI_ENDS; end++) {
        const enum fci_end at = (enum fci_end)end;

        outlet->law[end] =
            outlet_law(site, &site->fixtures[i], passing, at, at);
        outlet->beside[end] = outlet_law(site, &site->fixtures[i], passing, at,
                                         fci_other_end(at));
    }
}

/* So little at so much changes no pressure by more than what is solved holds
 * to [m3/s, Pa]. */
#define GAUGE_FLOW 1e-7
#define GAUGE_PRESSURE 4e5

void
fci_network_open(struct fci_network *network, size_t fixture, fc_range rate,
                 fc_range pressure)
{
    struct fci_outlet *outlet = &network->outlets[fixture];
    const struct passing passing =
        rate.given ? (struct passing){ rate, pressure, false }
                   : (struct passing){ fc_exactly(GAUGE_FLOW),
                                       fc_exactly(GAUGE_PRESSURE), false };

    make_laws(network, fixture, &passing);
    outlet->flushes = true;
    outlet->alone = passing.rate.nominal;
    network->exact &= fci_is_exact(passing.rate);
}

static void
make_outlets(struct making *m)
{
    const fc_site *site = m->site;
    size_t i;

    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_fixture *fixture = &site->fixtures[i];
        const fc_valve *valve = fixture->valve[m->network->state];
        struct fci_outlet *outlet = &m->network->outlets[i];

        outlet->link = m->network->link_of[fixture->element];
        outlet->flushes = fci_has_rate(valve);
        outlet->curved_stop = fixture->given->stop.kind == FC_CURVE_LOSS;
        if (outlet->flushes) {
            const struct passing passing = passed_by(valve);

            make_laws(m->network, i, &passing);
        }
    }
}

double
fci_flow_at_end(const fc_valve *valve, double pressure, enum fci_end end)
{
    const double part = sqrt(fmax(pressure, 0) / valve->flow_pressure.nominal);

    return fci_less_is_worse(valve->flow, end)
           * (valve->regulated == FC_YES ? fmin(part, 1) : part);
}

double
fci_least_kept(const struct fci_network *network, size_t fixture,
               enum fci_end end)
{
    const struct fci_fixture *f = &network->site->fixtures[fixture];
    const fc_valve *valve = f->valve[network->state];

    if (valve && valve->minimum_flowing.given)
        return fci_more_is_worse(valve->minimum_flowing, end);
    return valve && !isnan(f->kind->pressure) ? f->kind->pressure : -INFINITY;
}

static bool
same_range(fc_range a, fc_range b)
{
    return a.given == b.given && a.nominal == b.nominal && a.low == b.low
           && a.high == b.high;
}

/* All that outlet_law() and fci_least_kept() read of a valve. */
static bool
valves_alike(const fc_valve *a, const fc_valve *b)
{
    if (!a || !b)
        return a == b;
    return same_range(a->flow, b->flow)
           && same_range(a->flow_pressure, b->flow_pressure)
           && same_range(a->minimum_flowing, b->minimum_flowing)
           && a->regulated == b->regulated;
}

bool
fci_flows_alike(const fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_fixtures; i++)
        if (!valves_alike(site->fixtures[i].valve[FC_EXISTING],
                          site->fixtures[i].valve[FC_RETROFIT]))
            return false;
    return true;
}

struct fci_tangent
fci_curved_stop(const struct fci_network *network,
                const struct fci_outlet *outlet, double flow, enum fci_end end)
{
    const struct fci_fixture *fixture =
        &network->site->fixtures[outlet - network->outlets];
    struct fci_tangent tangent = { 0, 0, INFINITY, 0, INFINITY };

    if (outlet->curved_stop)
        fci_tangent_add(&tangent, &fixture->given->stop, fixture->stop_curve,
                        fixture->stop_lower, fixture->stop_shape, flow, end);
    return tangent;
}

/* ---- First guesses ---------------------------------------------------- */

/* What is taken on the whole way to the end of a link, about.  A special link
 * is taken at no flow here. */
static struct fci_law
way_through(const struct making *m, size_t link, struct fci_law before)
{
    const struct fci_network *network = m->network;
    const double in = -(before.lift + before.constant);
    struct fci_law law = network->laws[FCI_NOMINAL][link];
    struct fci_tangent tangent;

    if (network->links[link].special) {
        tangent = fci_tangent_at(
            m->site, &m->site->elements[network->links[link].element], 0,
            FCI_NOMINAL);
        law.lift = tangent.loss;
        if (in - tangent.past > tangent.cap) /* a pump that stands still */
            law.lift = fmax(tangent.loss, tangent.past);
        else if (in - tangent.loss > tangent.cap)
            return (struct fci_law){ 0, 0, 0, -tangent.cap };
    }
    law.friction += before.friction;
    law.square += before.square;
    law.constant += before.constant;
    law.lift += before.lift;
    return law;
}

/* The flow at which a way and the valve at its end take all there is; Newton
 * from above, on a convex function. */
static double
alone(struct fci_law way, const struct fci_outlet_law *outlet)
{
    const double square = way.square + outlet->need + outlet->stop.square;
    const double there =
        -way.lift - way.constant - outlet->stop.lift - outlet->stop.constant;
    double flow = sqrt(fmax(there, 0) / square);
    int i;

    for (i = 0; i < 6 && flow > 0; i++) {
        const double slope =
            way.friction * pow(flow, FCI_FRICTION_EXPONENT - 1);

        flow -= (slope * flow + square * flow * flow - there)
                / (FCI_FRICTION_EXPONENT * slope + 2 * square * flow);
    }
    return fmin(flow, outlet->most);
}

static void
make_guesses(struct making *m)
{
    struct fci_network *network = m->network;
    const struct fci_law none = { 0 };
    size_t i;

    for (i = 0; i < network->n_links; i++) {
        const size_t parent = network->links[i].parent;

        m->ways[i] =
            way_through(m, i, parent == FCI_NONE ? none : m->ways[parent]);
    }
    for (i = 0; i < m->site->n_fixtures; i++)
        if (network->outlets[i].flushes)
            network->outlets[i].alone =
                alone(m->ways[network->outlets[i].link],
                      &network->outlets[i].law[FCI_NOMINAL]);
}

/* ---- Ranges ----------------------------------------------------------- */

/* The ends of a special link differ at any flow if they differ at all. */
static bool
same_tangent(const fc_site *site, const struct fci_element *element)
{
    const double flow = 1e-6; /* within the points of any curve */
    const struct fci_tangent low =
        fci_tangent_at(site, element, flow, FCI_WORST);
    const struct fci_tangent high =
        fci_tangent_at(site, element, flow, FCI_BEST);

    return fci_same(low.loss, high.loss) && fci_same(low.cap, high.cap);
}

static bool
exact_links(const struct fci_network *network)
{
    size_t i;

    for (i = 0; i < network->n_links; i++) {
        if (!fci_same_law(&network->laws[FCI_WORST][i],
                          &network->laws[FCI_BEST][i])
            || !fci_same(network->draws[FCI_WORST][i],
                         network->draws[FCI_BEST][i]))
            return false;
        if (network->links[i].special
            && (!fci_is_exact(
                    network->site->elements[network->links[i].element].shape)
                || !same_tangent(
                    network->site,
                    &network->site->elements[network->links[i].element])))
            return false;
    }
    for (i = 0; i < network->n_loops; i++) {
        const struct fci_pipe *pipe =
            network->site->elements[network->loops[i].element].pipe;
        const double *resistance = pipe ? pipe->resistance : NULL;

        if (resistance
            && !fci_same(resistance[FCI_WORST], resistance[FCI_BEST]))
            return false;
    }
    return true;
}

/* Of what it needs. */
static bool
exact_valve(const fc_valve *valve)
{
    return !valve || fci_is_exact(valve->minimum_flowing);
}

static bool
exact_outlets(const struct fci_network *network)
{
    size_t i;

    for (i = 0; i < network->site->n_fixtures; i++) {
        const struct fci_outlet *outlet = &network->outlets[i];
        const struct fci_outlet_law *worst = &outlet->law[FCI_WORST];
        const struct fci_outlet_law *best = &outlet->law[FCI_BEST];

        if (!fci_is_exact(network->site->fixtures[i].given->rise)
            || !fci_is_exact(network->site->fixtures[i].stop_shape)
            || !fci_same(worst->need, best->need)
            || !fci_same(worst->most, best->most)
            || !fci_same_law(&worst->stop, &best->stop)
            || !exact_valve(network->site->fixtures[i].valve[network->state]))
            return false;
    }
    return true;
}

/* ---- The whole -------------------------------------------------------- */

static fc_status
check_supported(const fc_site *site, fc_diagnostics *messages)
{
    fc_status status;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_element *element = &site->elements[i];

        if (!element->pipe || !element->pipe->given->choose_size)
            continue;
        status = fci_part_fail(element->part, messages, "size",
                               "is to be chosen; run flushcalc size, or give "
                               "a nominal size");
        return status == FC_ENOMEM ? status : FC_EUNSUPPORTED;
    }
    return FC_OK;
}

static bool
make_room(struct making *m)
{
    struct fci_network *network = m->network;
    const fc_site *site = m->site;
    struct fci_arena *arena = fci_arena_of(network);
    const size_t n = site->n_elements;
    int end;

    network->links = fci_arena_array(arena, n, sizeof *network->links);
    network->link_of = fci_arena_array(arena, n, sizeof *network->link_of);
    network->drawing = fci_arena_array(arena, n, sizeof *network->drawing);
    network->outlets =
        fci_arena_array(arena, site->n_fixtures, sizeof *network->outlets);
    network->loops =
        fci_arena_array(arena, site->n_loops + 1, sizeof *network->loops);
    for (end = 0; end < FCI_ENDS; end++) {
        network->laws[end] =
            fci_arena_array(arena, n, sizeof *network->laws[end]);
        network->draws[end] =
            fci_arena_array(arena, n, sizeof *network->draws[end]);
    }
    m->leaving = fci_arena_array(&m->scratch, n, sizeof *m->leaving);
    m->ways = fci_arena_array(&m->scratch, n, sizeof *m->ways);
    return !arena->failed && !m->scratch.failed;
}

fc_status
fci_network_new(const fc_site *site, fc_state state,
                struct fci_network **network, fc_diagnostics *messages)
{
    struct making m = { .site = site };
    fc_status status = check_supported(site, messages);

    if (status != FC_OK)
        return status;
    m.network = fci_object_new(sizeof *m.network);
    if (!m.network)
        return FC_ENOMEM;
    m.network->site = site;
    m.network->state = state;
    m.network->meshed = site->n_loops > 0 || site->n_sources > 1;
    m.network->bounded =
        site->n_loops == site->n_pairs && site->n_sources == 1;
    if (make_room(&m)) {
        count_leaving(&m);
        make_links(&m);
        make_draws(&m);
        make_loops(&m);
        make_outlets(&m);
        m.network->exact = exact_links(m.network) && exact_outlets(m.network);
        make_guesses(&m);
        *network = m.network;
    } else {
        fci_network_free(m.network);
        status = FC_ENOMEM;
    }
    fci_arena_free(&m.scratch);
    return status;
}

/* ---- What each link bears ---------------------------------------------- */

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

bool
fci_network_at(const struct fci_network *network, struct fci_arena *arena,
               struct fci_at_links *at)
{
    const size_t n = network->n_links, m = network->site->n_fixtures;

    at->fixture_start = fci_arena_array(arena, n + 2, sizeof *at->fixtures);
    at->fixtures = fci_arena_array(arena, m + 1, sizeof *at->fixtures);
    at->link_start = fci_arena_array(arena, n + 2, sizeof *at->links);
    at->links = fci_arena_array(arena, n + 1, sizeof *at->links);
    if (arena->failed)
        return false;
    fci_list_hanging(at->fixture_start, n, at->fixtures, m, link_of_valve,
                     network);
    fci_list_hanging(at->link_start, n, at->links, n, link_before, network);
    return true;
}

void
fci_network_free(struct fci_network *network)
{
    fci_object_free(network);
}
