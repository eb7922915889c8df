/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/solver_event.c -- what flows in an event: the fewest places that
 * must be solved for.
 *
 * From each open valve, steady draw and loop the links are followed towards
 * the source as far as they are not yet marked.  Links that carry the same
 * flow then join to one node.  Nothing that does not flow is visited.
 */
#include "flow/solver_work.h"

/* ---- What flows in this event ----------------------------------------- */

/* Mark a link and those before it that are not marked yet, parents first. */
static void
activate(struct fci_solver *s, size_t link)
{
    const size_t first = s->n_active;
    size_t low, high;

    for (; link != FCI_NONE && s->seen[link] != s->epoch;
         link = s->network->links[link].parent) {
        s->seen[link] = s->epoch;
        s->kids[link] = s->n_active > first;
        s->stops[link] = s->network->links[link].pinned;
        s->active[s->n_active++] = link;
    }
    if (link != FCI_NONE && s->n_active > first)
        s->kids[link]++;
    for (low = first, high = s->n_active; low + 1 < high; low++, high--) {
        const size_t kept = s->active[low];

        s->active[low] = s->active[high - 1];
        s->active[high - 1] = kept;
    }
}

static void
add_law(struct fci_law *sum, const struct fci_law *law)
{
    sum->friction += law->friction;
    sum->square += law->square;
    sum->constant += law->constant;
    sum->lift += law->lift;
}

static void
new_node(struct fci_solver *s, size_t link, size_t parent)
{
    const struct fci_link *given = &s->network->links[link];
    const enum fci_end end = fci_end_at(s, link);
    struct fci_node *node = &s->nodes[s->n_nodes];

    node->parent = parent;
    node->law = s->network->laws[end][link];
    node->special = given->special;
    s->powers &= !given->special || given->power[end];
    node->one_way = given->one_way;
    node->holding = false;
    node->standing = false;
    node->shut = false;
    node->steps = given->steps;
    node->back = false;
    node->flow = NAN;
    if (given->special) {
        s->asides[s->n_nodes].link = link;
        s->asides[s->n_nodes].end = end;
        s->asides[s->n_nodes].pair = 0;
    }
    s->slot[link] = s->n_nodes++;
}

/* A link that carries what the one before it carries joins its node. */
static void
join_links(struct fci_solver *s)
{
    size_t i;

    s->n_nodes = 0;
    for (i = 0; i < s->n_active; i++) {
        const size_t link = s->active[i];
        const size_t before = s->network->links[link].parent;

        if (before != FCI_NONE && !s->network->links[link].special
            && s->kids[before] == 1 && !s->stops[before]) {
            const size_t node = s->slot[before];

            add_law(&s->nodes[node].law,
                    &s->network->laws[fci_end_at(s, link)][link]);
            s->slot[link] = node;
        } else {
            new_node(s, link, before == FCI_NONE ? FCI_NONE : s->slot[before]);
        }
    }
}

static void
add_valve(struct fci_solver *s, const struct fci_open *open)
{
    const struct fci_outlet *outlet = &s->network->outlets[open->fixture];
    struct fci_open_valve *valve = &s->valves[s->n_valves];
    struct fci_drawn *drawn = &s->drawn[s->n_valves];
    const bool own = open->fixture == s->fixture || s->whole;
    /* the rate of a neighbor is at the other end than what leads to it */
    const struct fci_outlet_law *law =
        own && !s->for_flow ? &outlet->law[s->end]
        : own               ? &outlet->beside[fci_other_end(s->end)]
                            : &outlet->beside[s->end];

    s->outlets[s->n_valves++] = (struct fci_open_outlet){ outlet, law };
    drawn->fixture = open->fixture;
    drawn->count = open->count;
    s->powers &= !outlet->curved_stop;
    valve->curved = outlet->curved_stop;
    valve->count = open->count;
    valve->need = law->need;
    valve->square = law->need + law->stop.square;
    valve->lift = law->stop.lift;
    valve->most = law->most;
    valve->still = law->stop.constant
                   + fci_curved_stop(s->network, outlet, 0, law->end).loss;
    valve->state = FCI_FLOWS;
    valve->flow = s->recall[open->fixture] == s->memory
                      ? s->last[open->fixture]
                      : outlet->alone;
    /* what it drew before may be more, at another end of its rate */
    valve->flow = fmin(valve->flow, valve->most);
    if (valve->flow <= 0)
        valve->state = FCI_DRY;
    else if (valve->flow >= valve->most)
        valve->state = FCI_FULL;
    valve->before = valve->flow;
    activate(s, outlet->link);
    s->stops[outlet->link] = true;
}

void
fci_event_begin(struct fci_solver *s, const struct fci_open *open, size_t n)
{
    const struct fci_network *network = s->network;
    size_t i;

    s->epoch++;
    s->powers = !network->meshed;
    s->n_active = 0;
    s->n_valves = 0;
    for (i = 0; i < network->n_loops; i++) {
        activate(s, network->loops[i].from);
        activate(s, network->loops[i].to);
    }
    for (i = 0; i < network->n_drawing; i++)
        activate(s, network->drawing[i]);
    for (i = 0; i < n; i++)
        add_valve(s, &open[i]);
    join_links(s);
    for (i = 0; i < n; i++)
        s->valves[i].node = s->slot[s->outlets[i].outlet->link];
    if (network->meshed)
        fci_mesh_begin(s);
}
