/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/resolve_curve.c -- losses and heads given as points become curves.
 */
#include "site/resolve.h"

/* Nothing to do where a check refused the points: the site has failed. */
static bool
make_curve(struct fci_resolve *r, const fc_point *points, size_t n,
           struct fci_curve **curve)
{
    if (n < 2 || r->worst != FC_OK || r->site->broken)
        return true;
    *curve = fci_curve_new(points, n);
    return *curve || fci_resolve_note(r, FC_ENOMEM);
}

static bool
make_loss_curve(struct fci_resolve *r, const fc_loss *loss,
                struct fci_curve **curve)
{
    return loss->kind != FC_CURVE_LOSS
           || make_curve(r, loss->points, loss->n_points, curve);
}

/* Of a loss, or of a pump. */
static bool
make_element_curve(struct fci_resolve *r, struct fci_element *element)
{
    const fc_loss *loss = fci_part_member(element->part, "loss");
    const fc_pump *pump = element->part->data;

    if (loss)
        return make_loss_curve(r, loss, &element->curve);
    return !fci_part_member(element->part, "curve")
           || make_curve(r, pump->curve, pump->n_curve, &element->curve);
}

void
fci_resolve_curves(struct fci_resolve *r)
{
    fc_site *site = r->site;
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (!make_element_curve(r, &site->elements[i]))
            return;
    for (i = 0; i < site->n_fixtures; i++)
        if (!make_loss_curve(r, &site->fixtures[i].given->stop,
                             &site->fixtures[i].stop_curve))
            return;
}
