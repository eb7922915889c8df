/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/size/cost.h -- what a pipe costs at a size. */
#ifndef FCI_SIZE_COST_H
#define FCI_SIZE_COST_H

#include "site/site.h"

struct fci_price_list {
    const struct fci_material *material;
    const fc_prices *prices;
};

/* Start from { 0 }. */
struct fci_costs {
    struct fci_price_list *lists; /* of materials; none: inch-feet count */
    size_t n_lists;
    bool all;   /* sizes that nobody stocks may be bought too */
    double per; /* the length that a price is for [m] */
};

/* Its lists from the arena.  FC_OK, FC_ENOMEM, FC_EINPUT where a material has
 * two lists. */
fc_status fci_costs_make(struct fci_costs *costs, const fc_site *site,
                         struct fci_arena *arena, fc_diagnostics *messages);

/* Whether what the pipe is made of has a price at all. */
bool fci_is_priced(const struct fci_costs *costs, const struct fci_pipe *pipe);
/* Nominal diameter times nominal length in inch-feet, or by the prices;
 * INFINITY: that size has no price, or where there are no prices is not
 * stocked: it is not to be had. */
double fci_cost_at(const struct fci_costs *costs, const struct fci_pipe *pipe,
                   const struct fci_size *size);

#endif
