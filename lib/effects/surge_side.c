/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/surge_side.c -- ratings of elements, and what is nearest to its
 * own in each part of the building that branches off. */
#include "effects/surge_work.h"

#include <math.h>

fc_range
fci_surge_rating(const struct fci_element *element)
{
    const fc_range *rating = fci_part_member(element->part, "pressure rating");

    return rating ? *rating : (fc_range){ 0 };
}

double
fci_surge_rated(const struct fci_surge_work *w, size_t at)
{
    const fc_range given = fci_surge_rating(&w->of.site->elements[at]);

    return given.given ? given.nominal : w->usual_rating.low;
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

/* At one end of an element. */
static struct fci_surge_side
side_of(const struct fci_surge_work *w, size_t at, bool inlet)
{
    const struct fci_element *element = &w->of.site->elements[at];
    const fc_range still = fci_surge_still_at(w, inlet ? element->parent : at);
    const double rating = fci_surge_rated(w, at);

    return (struct fci_surge_side){
        .child = at,
        .element = at,
        .inlet = inlet,
        .over = fci_surge_rating(element).given && still.low > rating,
        .excess = still.high - rating,
    };
}

static bool
is_nearer(const struct fci_surge_side *a, const struct fci_surge_side *b)
{
    return b->child == FCI_NONE
           || (a->over == b->over ? a->excess > b->excess : a->over);
}

bool
fci_surge_sides(struct fci_surge_work *w)
{
    const fc_site *site = w->of.site;

    w->sides = fci_arena_array(&w->e->scratch, 2 * site->n_elements,
                               sizeof *w->sides);
    if (!w->sides)
        return false;
    for (size_t i = 0; i < 2 * site->n_elements; i++)
        w->sides[i].child = FCI_NONE;
    for (size_t i = site->n_elements; i-- > 0;) {
        const size_t at = site->order[i], parent = site->elements[at].parent;
        const struct fci_surge_side *below = &w->sides[2 * at];
        struct fci_surge_side *to, side, in;

        if (parent == FCI_NONE)
            continue;
        to = &w->sides[2 * parent];
        side = side_of(w, at, false);
        in = side_of(w, at, true);
        if (is_nearer(&in, &side))
            side = in;
        if (below->child != FCI_NONE && is_nearer(below, &side))
            side = *below;
        side.child = at;
        if (is_nearer(&side, &to[0])) {
            to[1] = to[0];
            to[0] = side;
        } else if (is_nearer(&side, &to[1])) {
            to[1] = side;
        }
    }
    return true;
}
