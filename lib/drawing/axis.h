/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/axis.h -- a scale with its ticks. */
#ifndef FCI_DRAWING_AXIS_H
#define FCI_DRAWING_AXIS_H

#include <stddef.h>

#define FCI_TICKS 16

struct fci_axis {
    double low, high; /* as printed, in the report's unit */
    double from, to;  /* px of the two */
    double exponent;  /* place goes by the figure to this power */
    double ticks[FCI_TICKS];
    size_t n_ticks;
    int decimals; /* of the ticks' figures */
};

/* An axis from `low` to at least `high`, whose ticks, 1, 2 or 5 times a power
 * of ten apart, lie at least `apart` px from each other.  An exponent other
 * than 1 needs low = 0. */
struct fci_axis fci_axis_make(double low, double high, double from, double to,
                              double exponent, double apart);
/* The px of a figure. */
double fci_axis_at(const struct fci_axis *axis, double figure);

#endif
