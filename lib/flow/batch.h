/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/batch.h -- what some valves draw together, bounded by the pressure
 * before them. */
#ifndef FCI_FLOW_BATCH_H
#define FCI_FLOW_BATCH_H

#include "flow/network.h"

#include <math.h>

/* So many valves that are on are told apart. */
#define FCI_COUNTED 16

/* Valves at about one height.  Any k of them together draw at most
 * conducts[k] sqrt(p - lift) of the pressure p at the place. */
struct fci_batch {
    size_t n;
    double lift;
    double most; /* none of them ever draws more [m3/s] */
    double conducts[FCI_COUNTED + 1];
    double chance[FCI_COUNTED + 1]; /* that so many are on; the rest of 1: more
                                       are */
    size_t n_chances;
};

/* The least that they draw.  With k on, one has at least
 *     p - lift - friction[k] q^(1/0.54) - square[k] q^2,
 * q being the most that one draws, of which `need` becomes its flow. */
struct fci_yield {
    struct fci_batch high; /* all as one: the most of any */
    double lift, need, most;
    double friction[FCI_COUNTED + 1], square[FCI_COUNTED + 1];
    bool unknown; /* it may be nothing */
};

/* Valves of one fixture by their law, none of which ever draws more than
 * `most`, and each of which is on with a chance; behind no link. */
struct fci_batch fci_batch_of(const struct fci_outlet_law *law, double most,
                              int count, double on);
struct fci_yield fci_yield_of(const struct fci_outlet_law *law, double most,
                              int count, double on);

/* Both together, at the lower of both heights. */
void fci_batch_join(struct fci_batch *to, const struct fci_batch *more);

void fci_yield_join(struct fci_yield *to, const struct fci_yield *more);

/* Behind a link too.  `power`: 0, 1, ... FCI_COUNTED to the exponent of
 * friction. */
void fci_batch_pass(struct fci_batch *batch, const struct fci_law *law,
                    const double *power);
void fci_yield_pass(struct fci_yield *yield, const struct fci_law *law,
                    const double *power);

/* What k of some valves draw at most at a pressure, k <= FCI_COUNTED, */
static inline double
fci_batch_flow(const struct fci_batch *batch, double pressure, size_t k)
{
    return pressure > batch->lift
               ? fmin(batch->conducts[k] * sqrt(pressure - batch->lift),
                      (double)k * batch->most)
               : 0;
}

/* The most that one draws of those whose least is asked for, and that to the
 * exponent of friction. */
struct fci_highest {
    double flow, power;
};
struct fci_highest fci_yield_highest(const struct fci_yield *yield,
                                     double pressure);
/* and what each draws at least with k of them on, k > 0. */
double fci_yield_flow(const struct fci_yield *yield, double pressure,
                      const struct fci_highest *highest, size_t k);

#endif
