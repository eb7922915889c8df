/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/size/cost.c -- what a pipe costs at a size.
 *
 * Without prices the cost is nominal diameter times length, in inch-feet: the
 * customary yardstick, as pipe costs roughly in proportion to its diameter
 * (common practice).
 */
#include "size/cost.h"

#include <math.h>

#include <gsl/gsl_const_mksa.h>

#define SAME_SIZE 1e-6 /* m: sizes come from texts in several units */

static const struct fci_price_list *
find_list(const struct fci_costs *costs, const struct fci_material *material)
{
    size_t i;

    for (i = 0; i < costs->n_lists; i++)
        if (costs->lists[i].material == material)
            return &costs->lists[i];
    return NULL;
}

static fc_status
take_list(struct fci_costs *costs, const fc_site *site,
          const struct fci_part *part, fc_diagnostics *messages)
{
    const fc_prices *prices = part->data;
    const struct fci_material *material =
        fci_tables_material(site->tables, prices->material);
    const struct fci_price_list *other = find_list(costs, material);

    if (other)
        return fci_part_fail(part, messages, "material",
                             "\"%.40s\" has its prices in [prices %.40s] "
                             "already; one list per material is expected",
                             prices->material, other->prices->name);
    costs->lists[costs->n_lists].material = material;
    costs->lists[costs->n_lists++].prices = prices;
    return FC_OK;
}

fc_status
fci_costs_make(struct fci_costs *costs, const fc_site *site,
               struct fci_arena *arena, fc_diagnostics *messages)
{
    fc_status status = FC_OK;
    size_t i, n = 0;

    costs->all = site->settings.sizes == FC_ALL_SIZES;
    costs->per = fci_file_units(site) == FC_SI ? 1 : GSL_CONST_MKSA_FOOT;
    for (i = 0; i < site->n_parts; i++)
        n += site->parts[i].kind == FCI_PRICES;
    costs->lists = fci_arena_array(arena, n + 1, sizeof *costs->lists);
    if (!costs->lists)
        return FC_ENOMEM;
    for (i = 0; i < site->n_parts && status == FC_OK; i++)
        if (site->parts[i].kind == FCI_PRICES)
            status = take_list(costs, site, &site->parts[i], messages);
    return status;
}

bool
fci_is_priced(const struct fci_costs *costs, const struct fci_pipe *pipe)
{
    return costs->n_lists == 0 || find_list(costs, pipe->material);
}

static double
by_list(const struct fci_costs *costs, const fc_prices *prices,
        const struct fci_pipe *pipe, const struct fci_size *size)
{
    size_t i;

    for (i = 0; i < prices->n_prices; i++)
        if (fabs(prices->prices[i].size.nominal - size->nominal) < SAME_SIZE)
            return prices->prices[i].per_length * pipe->length.nominal
                       / costs->per
                   + (prices->each.given ? prices->each.nominal : 0);
    return INFINITY;
}

double
fci_cost_at(const struct fci_costs *costs, const struct fci_pipe *pipe,
            const struct fci_size *size)
{
    const struct fci_price_list *list = find_list(costs, pipe->material);

    if (list)
        return by_list(costs, list->prices, pipe, size);
    if (costs->n_lists > 0 || !(size->stocked || costs->all))
        return INFINITY;
    return size->nominal / GSL_CONST_MKSA_INCH * pipe->length.nominal
           / GSL_CONST_MKSA_FOOT;
}
