/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/surge_rating.c -- ratings of elements, and what they hold
 * against without flow. */
#include "effects/surge_work.h"

#include <math.h>

fc_range
fci_surge_rating(const struct fci_element *element)
{
    const fc_range *rating = fci_part_member(element->part, "pressure rating");

    return rating ? *rating : (fc_range){ 0 };
}

fc_range
fci_surge_still_at(const struct fci_surge_work *w, size_t at)
{
    const struct fci_at_rest *rest = &w->rest[at];
    const fc_range trapped = fci_as_range(rest->trapped);
    const double low = fci_as_range(rest->ceiling).low;

    return (fc_range){ true, fmin(fmax(trapped.nominal, low), trapped.high),
                       low, trapped.high };
}
