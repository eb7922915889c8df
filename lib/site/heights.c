/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/heights.c -- how high every element ends. */
#include "site/site.h"

void
fci_heights(const fc_site *site, double *height)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i];
        const struct fci_element *element = &site->elements[at];

        height[at] =
            element->parent == FCI_NONE
                ? ((const fc_source *)element->part->data)->elevation.nominal
                : height[element->parent] + element->rise.nominal;
    }
}
