/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/march.h -- pressures along a tree, at rest and at peak. */
#ifndef FCI_PEAK_MARCH_H
#define FCI_PEAK_MARCH_H

#include "peak/demand.h"
#include "peak/element.h"

/* One element at its outlet. */
struct fci_at_rest {
    double ceiling[FCI_ENDS]; /* no flow, less what is held back */
    double trapped[FCI_ENDS]; /* no flow, with what may be kept in; the high
                                 end is the worst: taken by fc_range */
    double elevation;         /* m, nominal */
};

struct fci_at_peak {
    struct fci_pressure at[FCI_ENDS];
    double lowest[FCI_ENDS]; /* pressure anywhere on the way here */
    bool held; /* on the way: by a pump, up to what it gets; or by two
                  reducers, which the source does not move one for one */
};

/* One per element, malloc'ed; NULL when out of memory.  The site is a tree
 * with one source. */
struct fci_at_rest *fci_march_rest(const fc_site *site);
struct fci_at_peak *fci_march_peak(const fc_site *site,
                                   const struct fci_demand *demand);

/* The three ends of a pressure as a range. */
fc_range fci_as_range(const double ends[FCI_ENDS]);

/* From an element's outlet to the inlet of a fixture on it: its rise and, at
 * a flow, the loss of its stop. */
double fci_fixture_drop(const fc_site *site, const struct fci_fixture *fixture,
                        double flow, enum fci_end end);

#endif
