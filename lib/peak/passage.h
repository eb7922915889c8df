/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/passage.h -- what one element takes at a flow, and how fast it
 * grows. */
#ifndef FCI_PEAK_PASSAGE_H
#define FCI_PEAK_PASSAGE_H

#include "site/site.h"

#include <math.h>

/* What one element takes at a flow, at one end of the inputs: its outlet has
 *     min(inlet - loss, max(cap - fall q, inlet - past)),
 * cap infinite unless it is a reducer or a pump that holds.  `slope` is the
 * loss's derivative.  `past` is what water loses that passes a pump by which
 * gets more than it holds, and infinite of anything else.  The lift counts as
 * loss. */
struct fci_passage {
    double loss, slope, cap, fall, past;
};

static inline double
fci_passage_out(const struct fci_passage *p, double in, double flow)
{
    return fmin(in - p->loss, fmax(p->cap - p->fall * flow, in - p->past));
}

struct fci_passage fci_passage_at(const fc_site *site,
                                  const struct fci_element *element,
                                  double flow, enum fci_end end);

/* Add what a loss takes. */
void fci_passage_add(struct fci_passage *passage, const fc_loss *loss,
                     const struct fci_curve *curve, double flow,
                     enum fci_end end);

#endif
