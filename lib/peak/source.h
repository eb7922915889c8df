/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/source.h -- what a source gives, at a flow. */
#ifndef FCI_PEAK_SOURCE_H
#define FCI_PEAK_SOURCE_H

#include "site/site.h"

/* Pressure at the source's outlet [Pa] at a flow [m3/s].  `shape`: of its
 * element, how a main goes on beyond its flow test, from 0 (as little as may
 * be) to 1 (by its law); not given: by the end. */
double fci_source_pressure(const fc_source *source, fc_range shape,
                           double weight, double flow, enum fci_end end);
/* The same for a solver, with how fast it falls with the flow [Pa s/m3]. */
void fci_source_tangent(const fc_source *source, fc_range shape, double weight,
                        double flow, enum fci_end end, double *pressure,
                        double *slope);
/* Whether the flow is beyond what the main was tested at (an extrapolation);
 * true too of a main without a flow test. */
bool fci_source_untested(const fc_source *source, double flow);
/* A street main of the site without a flow test: how far it drops is not
 * known.  NULL: there is none. */
const char *fci_untested_main(const fc_site *site);
/* Whether a pressure at its outlet [Pa] is no more than that of a tank's own
 * surface, which has none: foul water is not drawn in by it, as it may be
 * where a pipe has no pressure. */
bool fci_source_is_surface(const fc_source *source, double pressure);
/* Whether its pressure falls by a fixed multiple of one power of the flow. */
bool fci_source_sums(const fc_source *source);

#endif
