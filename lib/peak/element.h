/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/element.h -- what each kind of element does to the pressure. */
#ifndef FCI_PEAK_ELEMENT_H
#define FCI_PEAK_ELEMENT_H

#include "site/site.h"

#include <math.h>

/* Two figures that differ by less than this are the same [Pa]: units convert
 * with a rounding far below it, gauges read far above it. */
#define FCI_SAME_PRESSURE 1e-3

/* Loss [Pa] of an element that has one, and of a stop (`curve` and `shape`
 * belong to a curve loss), at a flow of 0 or more. */
double fci_element_loss_at(const struct fci_element *element, double flow,
                           enum fci_end end);
double fci_loss_at(const fc_loss *loss, const struct fci_curve *curve,
                   const struct fci_curve *lower, fc_range shape, double flow,
                   enum fci_end end);

/* What an element takes at a flow that goes its way, at one end of the inputs:
 * its outlet has
 *     min(inlet - lift - loss, max(most, inlet - lift - past)),
 * `most` infinite unless it is a reducer or a pump that holds.  A running pump
 * adds: its `loss` is below 0.  `past` is what water loses that passes a pump
 * by which gets more than it holds, and infinite of anything else. */
struct fci_taking {
    double lift, loss, most, past;
};

struct fci_taking fci_element_takes(const fc_site *site,
                                    const struct fci_element *element,
                                    double flow, enum fci_end end);

/* The same of one alone of two reducers side by side: of both as one where
 * the element has another beside it (peak/pair.h). */
struct fci_taking fci_one_takes(const fc_site *site,
                                const struct fci_element *element, double flow,
                                enum fci_end end);

/* The other one of two reducers side by side; NULL: there is none. */
static inline const struct fci_element *
fci_beside(const fc_site *site, const struct fci_element *element)
{
    return element->beside > 0 ? &site->elements[element->beside - 1] : NULL;
}

/* How much of the flow one of two reducers side by side passes is told by the
 * flow that its fall-off is given at.  Where that is not known of the one that
 * is set higher, the other one may have to pass all but next to nothing: so it
 * is taken to be, but at the best. */
bool fci_may_pass_nothing(const fc_site *site,
                          const struct fci_element *element, enum fci_end end);

/* Whether it is a pump that holds the pressure behind it. */
static inline bool
fci_may_hold(const struct fci_taking *taking)
{
    return !isinf(taking->most) && !isinf(taking->past);
}

/* The same for a solver: with the loss's derivative, and odd in the flow where
 * water may turn.  The lift counts as loss, and the outlet has
 *     min(inlet - loss, max(cap - fall q, inlet - past)). */
struct fci_tangent {
    double loss, slope, cap, fall, past;
};

static inline double
fci_tangent_out(const struct fci_tangent *p, double in, double flow)
{
    return fmin(in - p->loss, fmax(p->cap - p->fall * flow, in - p->past));
}

/* The least inlet that leaves that much; INFINITY: none does. */
static inline double
fci_tangent_in(const struct fci_tangent *p, double out, double flow)
{
    return out
           + (out > p->cap - p->fall * flow ? fmax(p->loss, p->past)
                                            : p->loss);
}

/* Of a source too, whose inlet has 0. */
struct fci_tangent fci_tangent_at(const fc_site *site,
                                  const struct fci_element *element,
                                  double flow, enum fci_end end);

/* Add what a loss takes. */
void fci_tangent_add(struct fci_tangent *tangent, const fc_loss *loss,
                     const struct fci_curve *curve,
                     const struct fci_curve *lower, fc_range shape,
                     double flow, enum fci_end end);

/* What it loses beside friction; NULL: its kind has no such loss. */
const fc_loss *fci_element_loss(const struct fci_element *element);
/* Whether it has a check valve. */
bool fci_is_one_way(const struct fci_element *element);
/* Whether its outlet may have more than its inlet (a pump): its inlet then
 * needs some pressure of its own. */
bool fci_adds_pressure(const struct fci_element *element);
/* Whether what it takes is a sum of powers of the flow (see struct fci_law).
 */
bool fci_element_sums(const struct fci_element *element);
/* Whether its loss does not fall to nothing with the flow. */
bool fci_element_steps(const struct fci_element *element);
/* Whether pressure may differ behind it without flow, but for the height. */
bool fci_parts_zones(const struct fci_element *element);

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
