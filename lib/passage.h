/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/passage.h -- what one element takes at a flow, and how fast it grows. */
#ifndef FCI_PASSAGE_H
#define FCI_PASSAGE_H

#include "site.h"

/* What one element takes at a flow, at one end of the inputs: its outlet has
 *     min(inlet - loss, cap - fall q),
 * cap infinite unless it is a reducer or a pump that holds.  `slope` is the
 * loss's derivative.  The lift counts as loss. */
struct fci_passage {
    double loss, slope, cap, fall;
};

struct fci_passage fci_passage_at(const fc_site *site,
                                  const struct fci_element *element,
                                  double flow, enum fci_end end);

/* Add what a loss takes. */
void fci_passage_add(struct fci_passage *passage, const fc_loss *loss,
                     const struct fci_curve *curve, double flow,
                     enum fci_end end);

#endif
