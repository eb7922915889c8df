/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/drawn.h -- what feeds a fixture: the size of its supply, and
 * how far the street main and the pumps' inlets are drawn down.
 *
 * A street main drawn below what a public main is to keep fails, and so does a
 * pump whose inlet gets less than it needs: a main that is drawn so low is
 * shared with others, and a cut-out stops the pump.  All that they serve fails
 * with them.
 */
#ifndef FCI_CHECK_DRAWN_H
#define FCI_CHECK_DRAWN_H

#include "check/judge.h"

/* By element, malloc'ed; NULL when out of memory. */
struct fci_supply *fci_supplies(const fc_site *site);
struct fci_supply fci_supply_of(const struct fci_judge *judge,
                                const struct fci_fixture *fixture);

/* What must be left at an element: in a street main, or at the inlet of a pump
 * that runs, where nothing is given what is usual.  Not given: nothing. */
fc_range fci_must_keep(const fc_site *site, const struct fci_element *element);
/* What is there, of the pressures at its own outlet and at that of its
 * feeder. */
fc_range fci_keeps(const fc_site *site, const struct fci_element *element,
                   const double out[FCI_ENDS], const double feeder[FCI_ENDS]);
/* The same at one end, of the pressures there at that end. */
double fci_kept_at(const fc_site *site, const struct fci_element *element,
                   double own, double feeder, enum fci_end end);
fc_verdict fci_is_kept(fc_range pressure, fc_range least);

/* The pressures at peak, at an outlet. */
void fci_peak_ends(const struct fci_judge *judge, size_t at, fc_state state,
                   double ends[FCI_ENDS]);

/* By element, malloc'ed, NULL when out of memory: the worst of the main and of
 * every pump on the way to its outlet. */
fc_verdict *fci_drawn_at_peak(const struct fci_judge *judge, fc_state state);

#endif
