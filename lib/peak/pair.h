/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/pair.h -- two reducers side by side as one element.
 *
 * Both have one inlet and one outlet.  At the outlet pressure p each passes as
 * much as leaves it p by its own law, and together they pass the flow.
 */
#ifndef FCI_PEAK_PAIR_H
#define FCI_PEAK_PAIR_H

#include "peak/element.h"

/* What fci_element_takes() says of one element: `most` is the outlet pressure
 * where the inlet has enough, and `loss` what the inlet needs over that.  With
 * less at its inlet the outlet has no less than inlet - lift - loss. */
struct fci_taking fci_pair_takes(const fc_site *site,
                                 const struct fci_element *element,
                                 double flow, enum fci_end end);

/* As fci_element_passes(); `taking`: theirs, at that flow.  Exact for `in`;
 * for a source that gives less, no more than what there is. */
struct fci_pressure fci_pair_passes(const fc_site *site,
                                    const struct fci_element *element,
                                    const struct fci_taking *taking,
                                    struct fci_pressure in, double flow,
                                    enum fci_end end);

/* As fci_element_asks(), for no more than `most`. */
double fci_pair_asks(const fc_site *site, const struct fci_element *element,
                     const struct fci_taking *taking, double out, double flow,
                     enum fci_end end);

#endif
