/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/size_shape.h -- what sizes, and options for a fix, tell
 * programs. */
#ifndef FCI_REPORT_SIZE_SHAPE_H
#define FCI_REPORT_SIZE_SHAPE_H

#include "page/shape.h"

extern const struct fci_shape fci_size_shape, /* of fci_size_view */
    fci_remedies_shape,                       /* of fci_remedies_view */
    fci_sized_pipe_shape;                     /* of fc_sized_pipe */
extern const struct fci_words fci_cost_words; /* by `by_prices` */

#endif
