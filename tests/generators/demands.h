/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/demands.h -- what tests of peak demand share. */
#ifndef TESTS_GENERATORS_DEMANDS_H
#define TESTS_GENERATORS_DEMANDS_H

#include "peak/demand.h"

#include <check.h>
#include <string.h>

static inline const struct fci_demand *
demand_at(const fc_site *site, const struct fci_demand *demand,
          const char *name)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (strcmp(site->elements[i].name, name) == 0)
            return &demand[i];
    ck_abort_msg("no element %s", name);
    return NULL;
}

#endif
