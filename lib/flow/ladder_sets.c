/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/ladder_sets.c -- sets of valves that are tried for a ladder. */
#include "flow/ladder_work.h"
#include "flow/solver_work.h"

#include <math.h>
#include <string.h>

/* Solve a set. */
fc_status
fci_ladder_solve(struct fci_ladder *l, double *pressure)
{
    const fc_status status = fci_solver_run(l->solver, l->set, l->n_set);

    if (status == FC_OK)
        *pressure = fci_solver_drawn(l->solver)[0].pressure;
    return status;
}

/* Where what is fed by each link meets the way: 0 at the fixture. */
static void
find_meets(struct fci_ladder *l)
{
    const struct fci_network *network = l->network;
    size_t i, link, n = 0;

    for (i = 0; i < network->n_links; i++)
        l->meets[i] = FCI_NONE;
    for (link = network->outlets[l->fixture].link; link != FCI_NONE;
         link = network->links[link].parent)
        l->meets[link] = n++;
    for (i = 0; i < network->n_links; i++)
        if (l->meets[i] == FCI_NONE)
            l->meets[i] = network->links[i].parent == FCI_NONE
                              ? n - 1
                              : l->meets[network->links[i].parent];
}

/* What is near runs through most of the way. */
void
fci_ladder_order(struct fci_ladder *l)
{
    const struct fci_network *network = l->network;
    const size_t m = network->site->n_fixtures;
    size_t i, n = network->n_links;

    if (l->ordered)
        return;
    find_meets(l);
    memset(l->placed, 0, (n + 2) * sizeof *l->placed);
    for (i = 0; i < m; i++)
        if (network->outlets[i].flushes && i != l->fixture)
            l->placed[l->meets[network->outlets[i].link] + 1]++;
    l->placed[0] = 1;
    for (i = 0; i < n; i++)
        l->placed[i + 1] += l->placed[i];
    l->near[0] =
        (struct fci_open){ l->fixture,
                           network->site->fixtures[l->fixture].count };
    l->n_near = l->placed[n];
    for (i = 0; i < m; i++)
        if (network->outlets[i].flushes && i != l->fixture)
            l->near[l->placed[l->meets[network->outlets[i].link]]++] =
                (struct fci_open){ i, network->site->fixtures[i].count };
    l->ordered = true;
}

/* The n nearest valves. */
fc_status
fci_ladder_nearest(struct fci_ladder *l, size_t n, double *pressure)
{
    size_t i, left = n;

    fci_ladder_order(l);
    for (i = 0; i < l->n_near && left > 0; i++) {
        const size_t count = (size_t)l->near[i].count;

        l->set[i] = l->near[i];
        l->set[i].count = (int)(count < left ? count : left);
        left -= (size_t)l->set[i].count;
    }
    l->n_set = i;
    return fci_ladder_solve(l, pressure);
}

/* With all of them open, at the nominal inputs: once for all fixtures. */
static fc_status
find_all_open(struct fci_ladder *l)
{
    const struct fci_drawn *drawn = fci_solver_drawn(l->solver);
    double pressure;
    fc_status status;
    size_t i;

    if (l->all_known)
        return FC_OK;
    fci_solver_take(l->solver, FCI_NOMINAL, FCI_NONE);
    status = fci_ladder_nearest(l, (size_t)l->n_valves, &pressure);
    for (i = 0; i < l->n_set && status == FC_OK; i++)
        l->all_open[drawn[i].fixture] = drawn[i].pressure;
    l->all_known = status == FC_OK;
    return status;
}

/* Whether a fixture keeps enough with all of them open; most do not.  What is
 * short at the nominal inputs is so at the worst, and what is not is not at
 * the best. */
fc_status
fci_ladder_all(struct fci_ladder *l, bool *enough)
{
    double pressure;
    fc_status status = find_all_open(l);

    *enough = status == FC_OK
              && !fci_ladder_short(l->all_open[l->fixture], l->least);
    if (status != FC_OK || l->end == FCI_NOMINAL || l->network->exact
        || *enough == (l->end == FCI_BEST))
        return status;
    fci_solver_take(l->solver, l->end, l->fixture);
    status = fci_ladder_nearest(l, (size_t)l->n_valves, &pressure);
    *enough = status == FC_OK && !fci_ladder_short(pressure, l->least);
    return status;
}
