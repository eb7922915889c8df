/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/link_law.h -- what one link takes, and what one valve draws. */
#ifndef FCI_FLOW_LINK_LAW_H
#define FCI_FLOW_LINK_LAW_H

#include "flow/network.h"

/* Of a link at a flow, at an end. */
struct fci_tangent fci_link_tangent(const struct fci_network *network,
                                    size_t link, enum fci_end end,
                                    double flow);

/* Whether a link has more at its end than a reducer or a pump holds. */
bool fci_is_over(const struct fci_tangent *at, double pressure, double flow);

/* The pressure that a link asks for at its inlet at an end, to leave one at
 * its end; INFINITY: nothing is enough. */
double fci_link_asks(const struct fci_network *network, size_t link,
                     enum fci_end end, double pressure, double flow);

/* What it takes grows ever faster with the flow. */
bool fci_link_is_convex(const struct fci_network *network, size_t link);

/* What one valve draws of the pressure before it. */
double fci_one_draws(const struct fci_outlet_law *law, double pressure);

#endif
