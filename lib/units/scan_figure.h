/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/units/scan_figure.h -- one figure as it is written. */
#ifndef FCI_UNITS_SCAN_FIGURE_H
#define FCI_UNITS_SCAN_FIGURE_H

#include "units/figure_refusal.h"
#include "units/unit_table.h"

struct fci_figure {
    const char *start, *end;
    const struct fci_unit *unit; /* NULL: a bare number */
    double number, inches;       /* inches: the "6 in" of "12 ft 6 in" */
    double si;                   /* set by fci_judge_figure() */
};

/* The figure at `start`, whether it is what is wanted or not. */
bool fci_scan_figure(const struct fci_wanted *wanted, const char *start,
                     struct fci_figure *figure);
/* Whether the figure is what is wanted; it becomes SI here. */
bool fci_judge_figure(const struct fci_wanted *wanted,
                      struct fci_figure *figure);

/* Whether the ".." of a range stands at p. */
bool fci_at_range(const char *p);
/* Behind the word at p. */
const char *fci_word_end(const char *p);
/* Behind what a message repeats of a figure that stops making sense at p:
 * the rest of the figure, as far as can be told. */
const char *fci_figure_end(const struct fci_wanted *wanted, const char *p);

#endif
