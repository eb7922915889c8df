/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/heights.c -- how high every element ends. */
#include "site/site.h"

#include <stdlib.h>

double *
fci_heights_new(const fc_site *site)
{
    double *height = malloc(site->n_elements * sizeof *height);
    size_t i;

    for (i = 0; height && i < site->n_elements; i++) {
        const size_t at = site->order[i];
        const struct fci_element *element = &site->elements[at];

        height[at] =
            element->parent == FCI_NONE
                ? ((const fc_source *)element->part->data)->elevation.nominal
                : height[element->parent] + element->rise.nominal;
    }
    return height;
}
