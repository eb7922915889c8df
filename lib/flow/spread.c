/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/spread.c -- every element after a run, by the laws of the elements.
 */
#include "flow/solver_work.h"
#include "laws/friction.h"
#include "peak/element.h"

#include <math.h>
#include <stdlib.h>

/* Flows in a tree balance by rounding alone; where water may turn they do to
 * this part of the total. */
#define BALANCE 1e-9

static bool
is_active(const struct fci_solver *s, size_t link)
{
    return link != FCI_NONE && s->seen[link] == s->epoch;
}

static bool
is_shut(const struct fci_solver *s, size_t link)
{
    return is_active(s, link) && s->nodes[s->slot[link]].shut;
}

static double
flow_through(const struct fci_solver *s, size_t element)
{
    const size_t link = s->network->link_of[element];

    return is_active(s, link) && !is_shut(s, link)
               ? s->nodes[s->slot[link]].flow
               : 0;
}

/* What the outlet of an element has when its inlet has `in` (a source: 0). */
static double
passes(const struct fci_solver *s, size_t at, double in)
{
    const fc_site *site = s->network->site;
    const struct fci_element *element = &site->elements[at];
    const size_t link = s->network->link_of[at];
    double flow = flow_through(s, at);
    struct fci_tangent tangent;

    if (is_shut(s, link))
        return s->at[s->slot[link]].pressure;
    if (is_active(s, link))
        flow = fci_side_of(&s->nodes[s->slot[link]], flow);
    if (!is_active(s, link) && element->parent != FCI_NONE)
        return fci_element_still(site, element, in, false,
                                 fci_end_at(s, link));
    tangent = fci_tangent_at(site, element, flow, fci_end_at(s, link));
    return fci_tangent_out(&tangent, in, flow);
}

/* ---- Links ------------------------------------------------------------ */

double
fci_solver_slope(const struct fci_solver *s, size_t link)
{
    const struct fci_law *law = &s->network->laws[fci_end_at(s, link)][link];
    const struct fci_node *node;
    double squares;

    if (!is_active(s, link))
        return 0;
    node = &s->nodes[s->slot[link]];
    if (node->special || !(node->law.friction > 0))
        return fci_node_slope(node);
    /* its share of the run it belongs to */
    squares = 2 * fabs(node->flow);
    return squares * law->square
           + (node->slope - squares * node->law.square) * law->friction
                 / node->law.friction;
}

/* ---- One place -------------------------------------------------------- */

/* `way`: gets those on the way to it, by element; NULL: they are not kept. */
static double
at_element(struct fci_solver *s, size_t element, double *way)
{
    const struct fci_element *elements = s->network->site->elements;
    size_t n = 0, at;
    double pressure = 0;

    for (at = element; at != FCI_NONE; at = elements[at].parent)
        s->path[n++] = at;
    while (n-- > 0) {
        pressure = passes(s, s->path[n], pressure);
        if (way)
            way[s->path[n]] = pressure;
    }
    return pressure;
}

double
fci_solver_at(struct fci_solver *s, size_t element)
{
    return at_element(s, element, NULL);
}

void
fci_solver_way(struct fci_solver *s, size_t element, double *pressures)
{
    (void)at_element(s, element, pressures);
}

double
fci_solver_at_rest(struct fci_solver *s, size_t fixture)
{
    const fc_site *site = s->network->site;
    const struct fci_fixture *given = &site->fixtures[fixture];
    const size_t link = s->network->link_of[given->element];

    return at_element(s, given->element, NULL)
           - site->water_weight
                 * fci_more_is_worse(given->given->rise, fci_end_at(s, link));
}

/* ---- All of them ------------------------------------------------------ */

/* Whether a valve draws what the marched pressure lets through. */
static bool
valve_holds(struct fci_solver *s, size_t i, const struct fci_at_flow *elements)
{
    const struct fci_open_valve *valve = &s->valves[i];
    const struct fci_outlet *outlet = s->outlets[i].outlet;
    const struct fci_outlet_law *law = s->outlets[i].law;
    const size_t element = s->network->links[outlet->link].element;
    const double there = elements[element].pressure - law->stop.lift;
    const double taken =
        law->stop.constant
        + (law->stop.square + law->need) * valve->flow * valve->flow
        + fci_curved_stop(s->network, outlet, valve->flow, law->end).loss;

    s->culprit = element;
    switch (valve->state) {
    case FCI_FULL:
        return there - taken >= -FCI_SOLVED_TO;
    case FCI_DRY:
        return there - valve->still <= FCI_SOLVED_TO;
    default:
        return fabs(there - taken) <= FCI_SOLVED_TO;
    }
}

static bool
loop_holds(struct fci_solver *s, size_t i, const struct fci_at_flow *elements)
{
    const struct fci_element *all = s->network->site->elements;
    const struct fci_loop *loop = &s->network->loops[i];
    const size_t at = loop->element;
    const size_t from = all[at].pipe ? all[at].parent : at;
    const double loss =
        loop->lift + fci_friction_loss(loop->friction, s->mesh.loop_flow[i]);

    s->culprit = at;
    return fabs(elements[from].pressure - loss - elements[all[at].to].pressure)
           <= FCI_SOLVED_TO;
}

static bool
shut_holds(struct fci_solver *s, size_t i)
{
    const struct fci_node *node = &s->nodes[s->mesh.shut[i]];

    s->culprit = s->network->links[s->asides[s->mesh.shut[i]].link].element;
    return fabs(node->flow) <= BALANCE * fmax(s->total, FCI_LEAST_TOTAL);
}

static bool
audit(struct fci_solver *s, const struct fci_at_flow *elements)
{
    size_t i;

    for (i = 0; i < s->n_valves; i++)
        if (!valve_holds(s, i, elements))
            return false;
    for (i = 0; i < s->network->n_loops; i++)
        if (!loop_holds(s, i, elements))
            return false;
    for (i = s->network->n_loops; i < s->mesh.n_unknowns; i++)
        if (!shut_holds(s, i))
            return false;
    return true;
}

fc_status
fci_solver_spread(struct fci_solver *s, struct fci_at_flow *elements)
{
    const fc_site *site = s->network->site;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i], parent = site->elements[at].parent;

        if (s->network->link_of[at] == FCI_NONE)
            continue;
        elements[at].flow = flow_through(s, at);
        elements[at].pressure =
            passes(s, at, parent == FCI_NONE ? 0 : elements[parent].pressure);
    }
    for (i = 0; i < s->network->n_loops; i++) {
        const size_t at = s->network->loops[i].element;

        if (s->network->link_of[at] != FCI_NONE)
            continue;
        elements[at].flow = s->mesh.loop_flow[i];
        elements[at].pressure = elements[site->elements[at].to].pressure;
    }
    return audit(s, elements) ? FC_OK : FC_ENOCONV;
}
