/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/supply.c -- what feeds one fixture and nothing else.
 *
 * A code asks a least size of the supply of a fixture.  That is not the stub
 * at the wall alone: a pipe from which nothing else draws is a part of it,
 * whatever the plan calls it.
 */
#include "check/drawn.h"

#include <math.h>
#include <stdlib.h>

size_t *
fci_count_fed(const fc_site *site)
{
    size_t *fed = calloc(site->n_elements + 1, sizeof *fed);
    size_t i;

    if (!fed)
        return NULL;
    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].parent != FCI_NONE)
            fed[site->elements[i].parent]++;
    for (i = 0; i < site->n_fixtures; i++) {
        fed[site->fixtures[i].element]++;
        /* hot water is drawn from its heater's element for it */
        if (site->fixtures[i].heater != FCI_NONE)
            fed[site->fixtures[i].heater]++;
    }
    for (i = 0; i < site->n_draws; i++)
        fed[site->draws[i].element]++;
    return fed;
}

/* The nominal sizes that a pipe may have.  One that is told by its bore alone
 * has none. */
static fc_range
size_of(const struct fci_pipe *pipe)
{
    const fc_range none = { false, 0, 0, 0 };

    return pipe->size ? pipe->given->size : none;
}

/* Both ends of the smaller of two. */
static void
narrow(struct fci_supply *supply, fc_range size, size_t pipe)
{
    if (!size.given)
        return;
    if (!supply->size.given) {
        supply->size = size;
        supply->pipe = pipe;
        return;
    }
    if (size.low < supply->size.low)
        supply->pipe = pipe;
    supply->size.nominal = fmin(supply->size.nominal, size.nominal);
    supply->size.low = fmin(supply->size.low, size.low);
    supply->size.high = fmin(supply->size.high, size.high);
}

struct fci_supply
fci_supply_of(const struct fci_judge *judge, const struct fci_fixture *fixture)
{
    const fc_site *site = judge->site;
    struct fci_supply supply = { fixture->given->supply_size, FCI_NONE };
    size_t at;

    for (at = fixture->element;
         site->elements[at].parent != FCI_NONE && judge->fed[at] == 1;
         at = site->elements[at].parent)
        if (site->elements[at].pipe)
            narrow(&supply, size_of(site->elements[at].pipe), at);
    return supply;
}
