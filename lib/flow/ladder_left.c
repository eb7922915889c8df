/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/ladder_left.c -- what any so many valves leave, everywhere.
 *
 * Where more flow leaves less, no more than the most that so many draw
 * (flow/most_drawn.h) flows through any link, so that the elements are marched
 * with that.  Elsewhere so many of every fixture are opened at once: any so
 * many of the building are among those, and draw no more.
 */
#include "flow/ladder_work.h"
#include "flow/most_drawn.h"

#include <math.h>

/* ---- By the most that is drawn ------------------------------------------ */

static double
flow_behind(const struct fci_most_drawn *d, size_t link, size_t n, double in)
{
    const size_t most = d->classes[d->class_of[link]].n;
    size_t near = 0;

    return fci_most_behind(d, link, n < most ? n : most, in, &near);
}

/* Without a flow a backflow preventer holds back what it opens at. */
static double
passes(const struct fci_network *network, size_t at, double in, double flow,
       enum fci_end end)
{
    const struct fci_element *element = &network->site->elements[at];
    const struct fci_tangent tangent =
        fci_tangent_at(network->site, element, flow, end);
    const double out = fci_tangent_out(&tangent, in, flow);

    return element->parent == FCI_NONE
               ? out
               : fmin(out, fci_element_still(network->site, element, in, false,
                                             end));
}

static void
march(const struct fci_most_drawn *d, size_t n, enum fci_end end,
      double *outlets)
{
    const struct fci_network *network = d->network;
    const fc_site *site = network->site;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i], parent = site->elements[at].parent;
        const size_t link = network->link_of[at];
        const size_t before = network->links[link].parent;
        const double in =
            before == FCI_NONE ? 0 : d->left[before * (d->counted + 1) + n];

        outlets[at] =
            passes(network, at, parent == FCI_NONE ? 0 : outlets[parent],
                   flow_behind(d, link, n, in), end);
    }
}

/* What a flush valve has where so much is at its element, or what a fixture
 * has that does not flush. */
static double
at_inlet(const struct fci_network *network, size_t fixture, double pressure,
         enum fci_end end)
{
    const struct fci_outlet *outlet = &network->outlets[fixture];
    const fc_site *site = network->site;

    return outlet->flushes
               ? fci_own_pressure(&outlet->law[end], pressure)
               : pressure
                     - site->water_weight
                           * fci_more_is_worse(
                               site->fixtures[fixture].given->rise, end);
}

/* ---- By more valves ----------------------------------------------------- */

static size_t
open_of_each(struct fci_ladder *l, size_t n)
{
    const fc_site *site = l->network->site;
    size_t i, k = 0;

    for (i = 0; i < site->n_fixtures; i++)
        if (l->network->outlets[i].flushes) {
            const size_t count = (size_t)site->fixtures[i].count;

            l->set[k++] = (struct fci_open){ i, (int)(count < n ? count : n) };
        }
    l->n_set = k;
    return k;
}

static fc_status
solve_each(struct fci_ladder *l, size_t n, enum fci_end end,
           struct fci_left *left)
{
    const fc_site *site = l->network->site;
    const size_t n_open = open_of_each(l, n);
    const struct fci_drawn *drawn = fci_solver_drawn(l->solver);
    fc_status status = FC_OK;
    size_t i, at, k = 0;

    for (i = 0; i < site->n_elements; i++)
        left->outlets[i] = INFINITY;
    for (i = 0; i < site->n_fixtures && status == FC_OK; i++) {
        fci_solver_take(l->solver, end, i);
        status = fci_solver_run(l->solver, l->set, n_open);
        if (status != FC_OK)
            break;
        fci_solver_way(l->solver, site->fixtures[i].element, left->way);
        for (at = site->fixtures[i].element; at != FCI_NONE;
             at = site->elements[at].parent)
            left->outlets[at] = fmin(left->outlets[at], left->way[at]);
        left->inlets[i] = l->network->outlets[i].flushes
                              ? drawn[k++].pressure
                              : fci_solver_at_rest(l->solver, i);
    }
    return status;
}

/* ---- The whole ---------------------------------------------------------- */

bool
fci_left_room(struct fci_left *left, const fc_site *site,
              struct fci_arena *arena)
{
    left->outlets =
        fci_arena_array(arena, site->n_elements + 1, sizeof *left->outlets);
    left->way =
        fci_arena_array(arena, site->n_elements + 1, sizeof *left->way);
    left->inlets =
        fci_arena_array(arena, site->n_fixtures + 1, sizeof *left->inlets);
    return left->outlets && left->way && left->inlets;
}

fc_status
fci_ladder_left(struct fci_ladder *l, size_t n, bool finely,
                struct fci_left *left)
{
    const struct fci_network *network = l->network;
    const fc_site *site = network->site;
    const enum fci_end end = network->bounded ? FCI_WORST : FCI_NOMINAL;
    const struct fci_most_drawn *d;
    size_t i;

    fci_solver_forget(l->solver);
    if (!l->parts || n > FCI_MOST_COUNTED)
        return solve_each(l, n, end, left);
    l->end = end;
    d = fci_ladder_drawn(l, finely ? fci_ladder_finest(l) - 1 : 0, n);
    if (!d)
        return FC_ENOMEM;
    march(d, n, end, left->outlets);
    for (i = 0; i < site->n_fixtures; i++)
        left->inlets[i] = at_inlet(
            network, i, left->outlets[site->fixtures[i].element], end);
    return FC_OK;
}
