/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/element.h -- what sources give and devices take, at a flow. */
#ifndef FCI_PEAK_ELEMENT_H
#define FCI_PEAK_ELEMENT_H

#include "site/site.h"

/* Two figures that differ by less than this are the same [Pa]: units convert
 * with a rounding far below it, gauges read far above it. */
#define FCI_SAME_PRESSURE 1e-3

/* Pressure at the source's outlet [Pa] at a flow [m3/s]. */
double fci_source_pressure(const fc_source *source, double weight, double flow,
                           enum fci_end end);
/* How fast that pressure falls with the flow [Pa s/m3]. */
double fci_source_slope(const fc_source *source, double flow,
                        enum fci_end end);
/* Whether the flow is beyond what the main was tested at (an extrapolation);
 * true too of a main without a flow test. */
bool fci_source_untested(const fc_source *source, double flow);

/* Loss [Pa] of a device at a flow; `curve` belongs to a curve loss. */
double fci_loss_at(const fc_loss *loss, const struct fci_curve *curve,
                   double flow, enum fci_end end);

/* What a pump adds to the pressure at a flow [Pa]; 0 of one that does not
 * run. */
double fci_pump_gain(const fc_site *site, const struct fci_element *element,
                     double flow);
/* The pressure that a pump holds at its outlet; INFINITY: it runs at full
 * speed, or not at all. */
double fci_pump_holds(const struct fci_element *element, enum fci_end end);

/* The pressure behind an element as a function of the source's: it is
 * min(direct - x, capped) when the source gives x less.  `capped` is infinite
 * until a reducer or a holding pump bounds it.  That is as long as no pump
 * that holds begins to run or stands still for it. */
struct fci_pressure {
    double direct, capped;
};

static inline double
fci_pressure_of(struct fci_pressure p)
{
    return p.direct < p.capped ? p.direct : p.capped;
}

/* What the element's outlet has when its inlet has `in` and `flow` passes, its
 * rise counted. */
struct fci_pressure fci_element_passes(const fc_site *site,
                                       const struct fci_element *element,
                                       struct fci_pressure in, double flow,
                                       enum fci_end end);

/* Whether a pump with `in` at its inlet gets more than it holds: then it
 * stands still.  False of any other element. */
bool fci_stands_still(const fc_site *site, const struct fci_element *element,
                      struct fci_pressure in, enum fci_end end);

/* The least pressure at its inlet that leaves `out` at its outlet while `flow`
 * passes; INFINITY: none does. */
double fci_element_asks(const fc_site *site, const struct fci_element *element,
                        double out, double flow, enum fci_end end);

/* The same as fci_element_passes() without flow.  `trapped`: what a check
 * valve may keep in from a moment of higher pressure is counted (against a
 * maximum); otherwise what a backflow preventer holds back is taken off
 * (against a need). */
double fci_element_still(const fc_site *site,
                         const struct fci_element *element, double in,
                         bool trapped, enum fci_end end);

#endif
