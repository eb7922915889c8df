/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/resolve_curve.c -- losses and heads given as points become curves.
 */
#include "site/resolve.h"

#include <math.h>

static const fc_range anything = { true, 0.5, 0, 1 };
/* A main is taken to follow its law. */
static const fc_range as_its_law = { true, 1, 0, 1 };

/* Nothing to do where a check refused the points: the site has failed. */
static bool
make_curve(struct fci_resolve *r, const fc_point *points, size_t n,
           struct fci_curve *make(const fc_point *points, size_t n),
           struct fci_curve **curve)
{
    if (n < 2 || r->worst != FC_OK || r->site->broken)
        return true;
    *curve = make(points, n);
    return *curve || fci_resolve_note(r, FC_ENOMEM);
}

/* Points that dip leave open what is lost on the way to the dip and out of it
 * (it differs between a rising and a falling flow): at most as much as at any
 * smaller flow, at least as little as at any larger one. */
static bool
make_dipping(struct fci_resolve *r, const fc_loss *loss,
             struct fci_curve **curve, struct fci_curve **lower,
             fc_range *shape)
{
    *shape = anything;
    return make_curve(r, loss->points, loss->n_points, fci_curve_over, curve)
           && make_curve(r, loss->points, loss->n_points, fci_curve_under,
                         lower);
}

static bool
dips(const fc_loss *loss)
{
    size_t i;

    for (i = 1; i < loss->n_points; i++)
        if (loss->points[i].y < loss->points[i - 1].y)
            return true;
    return false;
}

static bool
make_loss_curve(struct fci_resolve *r, const fc_loss *loss,
                struct fci_curve **curve, struct fci_curve **lower,
                fc_range *shape)
{
    if (loss->kind != FC_CURVE_LOSS)
        return true;
    return dips(loss) ? make_dipping(r, loss, curve, lower, shape)
                      : make_curve(r, loss->points, loss->n_points,
                                   fci_curve_new, curve);
}

/* Of a loss, or of a pump. */
static bool
make_element_curve(struct fci_resolve *r, struct fci_element *element)
{
    const fc_loss *loss = fci_part_member(element->part, "loss");
    const fc_pump *pump = element->part->data;

    if (loss && loss->kind == FC_SQUARE_LOSS
        && element->part->kind == FCI_BACKFLOW)
        element->shape = anything;
    if (loss)
        return make_loss_curve(r, loss, &element->curve, &element->lower,
                               &element->shape);
    return !fci_part_member(element->part, "curve")
           || make_curve(r, pump->curve, pump->n_curve, fci_curve_new,
                         &element->curve);
}

/* ---- Beyond the last point --------------------------------------------- */

/* A valve may draw twice what it is rated for: 100 psi at a rating of 25 (by
 * the square root of the pressure). */
#define MOST_OF_RATE 2

static double
most_of_one(const struct fci_fixture *fixture)
{
    double most = isnan(fixture->kind->flow) ? 0 : fixture->kind->flow;
    int state;

    for (state = 0; state < FC_STATES; state++)
        if (fixture->valve[state] && fixture->valve[state]->flow.given)
            most = fmax(most, MOST_OF_RATE * fixture->valve[state]->flow.high);
    return most;
}

/* The flow up to which the points of an element say what it does; INFINITY:
 * at any. */
static double
points_end(const struct fci_element *element)
{
    const fc_source *source = element->part->data;
    const fc_reducer *reducer = element->part->data;
    const double end =
        element->curve ? fci_curve_end(element->curve) : INFINITY;

    if (element->part->kind == FCI_REDUCER && reducer->fall_off_flow.given)
        return fmin(end, reducer->fall_off_flow.nominal);
    if (element->curve)
        return end;
    return element->part->kind == FCI_SOURCE && source->residual.given
               ? source->residual_flow.low
               : INFINITY;
}

/* Where all that may flow together goes beyond the points of a curve, or of a
 * flow test, they leave open how it goes on. */
void
fci_resolve_beyond(struct fci_resolve *r)
{
    const fc_site *site = r->site;
    double *most;
    size_t i;

    if (r->worst != FC_OK || site->broken)
        return;
    most =
        fci_arena_array(&r->site->arena, site->n_elements + 1, sizeof *most);
    if (!most) {
        fci_resolve_note(r, FC_ENOMEM);
        return;
    }
    for (i = 0; i < site->n_fixtures; i++) {
        struct fci_fixture *fixture = &r->site->fixtures[i];
        const double one = most_of_one(fixture);

        most[fixture->element] += one * fixture->count;
        if (fixture->stop_curve && one > fci_curve_end(fixture->stop_curve))
            fixture->stop_shape = anything;
    }
    for (i = 0; i < site->n_draws; i++)
        most[site->draws[i].element] += site->draws[i].flow.high;
    for (i = site->n_elements; i-- > 0;) {
        const size_t at = site->order[i];
        struct fci_element *element = &site->elements[at];

        if (element->parent != FCI_NONE)
            most[element->parent] += most[at];
        if (!isinf(points_end(element))
            && (site->n_loops > 0 || site->n_sources > 1
                || most[at] > points_end(element)))
            element->shape =
                element->part->kind == FCI_SOURCE ? as_its_law : anything;
    }
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
                             &site->fixtures[i].stop_curve,
                             &site->fixtures[i].stop_lower,
                             &site->fixtures[i].stop_shape))
            return;
}
