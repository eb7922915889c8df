/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/link_law.c -- what one link takes, and what one valve draws. */
#include "flow/link_law.h"
#include "laws/friction.h"

struct fci_tangent
fci_link_tangent(const struct fci_network *network, size_t link,
                 enum fci_end end, double flow)
{
    const struct fci_law *law = &network->laws[end][link];
    struct fci_tangent at = { .cap = INFINITY, .past = INFINITY };
    double slope = 0;

    if (network->links[link].special)
        return fci_tangent_at(
            network->site,
            &network->site->elements[network->links[link].element], flow, end);
    if (law->friction > 0 && flow > 0)
        slope = law->friction * pow(flow, FCI_FRICTION_EXPONENT - 1);
    at.loss = law->lift + law->constant + (slope + law->square * flow) * flow;
    at.slope = FCI_FRICTION_EXPONENT * slope + 2 * law->square * flow;
    return at;
}

bool
fci_is_over(const struct fci_tangent *at, double pressure, double flow)
{
    return pressure > at->cap - at->fall * flow;
}

double
fci_link_asks(const struct fci_network *network, size_t link, enum fci_end end,
              double pressure, double flow)
{
    const struct fci_tangent at = fci_link_tangent(network, link, end, flow);

    return fci_tangent_in(&at, pressure, flow);
}

bool
fci_link_is_convex(const struct fci_network *network, size_t link)
{
    const struct fci_element *element =
        &network->site->elements[network->links[link].element];

    return !network->links[link].special
           || (element->part->kind == FCI_REDUCER
               && fci_element_loss(element)->kind != FC_CURVE_LOSS);
}

double
fci_one_draws(const struct fci_outlet_law *law, double pressure)
{
    const double left = pressure - law->stop.lift - law->stop.constant;

    return left > 0
               ? fmin(sqrt(left / (law->need + law->stop.square)), law->most)
               : 0;
}
