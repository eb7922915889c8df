/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/supply.c -- the size of what feeds each element.
 *
 * A code asks a least size of the supply of a fixture.  That is not the stub
 * at the wall alone: a pipe on the way that is smaller cannot serve it,
 * whatever else it feeds.
 */
#include "check/drawn.h"

#include <math.h>
#include <stdlib.h>

/* The nominal sizes that a pipe may have, by its bore where none is told. */
static struct fci_supply
supply_of(const fc_site *site, size_t at)
{
    const struct fci_pipe *pipe = site->elements[at].pipe;
    struct fci_supply own = { fc_exactly(INFINITY), at };
    fc_range low;

    if (pipe && pipe->size) {
        own.size = pipe->given->size;
    } else if (pipe) {
        low = fci_tables_nominals(site->tables, pipe->bore.low);
        own.size = fci_tables_nominals(site->tables, pipe->bore.high);
        own.size.low = low.low;
        own.size.nominal = own.size.high;
    }
    return own;
}

/* Both ends of the smaller of two, that after the other. */
static struct fci_supply
smaller(struct fci_supply supply, struct fci_supply next)
{
    if (next.size.low < supply.size.low)
        supply.pipe = next.pipe;
    supply.size.nominal = fmin(supply.size.nominal, next.size.nominal);
    supply.size.low = fmin(supply.size.low, next.size.low);
    supply.size.high = fmin(supply.size.high, next.size.high);
    return supply;
}

struct fci_supply *
fci_supplies(const fc_site *site)
{
    struct fci_supply *supplies =
        calloc(site->n_elements + 1, sizeof *supplies);
    size_t i;

    for (i = 0; supplies && i < site->n_elements; i++) {
        const size_t at = site->order[i], parent = site->elements[at].parent;
        const struct fci_supply own = supply_of(site, at);

        supplies[at] =
            parent == FCI_NONE ? own : smaller(supplies[parent], own);
    }
    return supplies;
}

struct fci_supply
fci_supply_of(const struct fci_judge *judge, const struct fci_fixture *fixture)
{
    const fc_range said = fixture->given->supply_size;
    const struct fci_supply stub = { said, FCI_NONE };
    const struct fci_supply supply = judge->supplies[fixture->element];
    struct fci_supply both = said.given ? smaller(stub, supply) : supply;

    both.size.given = isfinite(both.size.high);
    return both;
}
