/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/figure.h -- figures for a person: no more digits than they are
 * worth. */
#ifndef FCI_PAGE_FIGURE_H
#define FCI_PAGE_FIGURE_H

#include "flushcalc.h"

/* A short text by value, for cells and sentences. */
struct fci_figure {
    char text[48];
};

/* A figure in SI in the report's unit; "-" for NAN. */
struct fci_figure fci_figure_of(fc_unit_system units, fc_dimension dimension,
                                double si);
/* The same followed by its unit. */
struct fci_figure fci_figure_said(fc_unit_system units, fc_dimension dimension,
                                  double si);
/* A difference: what is not zero has the digits to show it ("-0.04"). */
struct fci_figure fci_figure_margin(fc_unit_system units,
                                    fc_dimension dimension, double si);
/* With a sign where it is not zero ("+2.0"). */
struct fci_figure fci_figure_signed(fc_unit_system units,
                                    fc_dimension dimension, double si);
/* As said, of the difference without its sign. */
struct fci_figure fci_figure_margin_said(fc_unit_system units,
                                         fc_dimension dimension, double si);
/* "low..high", or one figure where they look the same; "-" not given. */
struct fci_figure fci_figure_range(fc_unit_system units,
                                   fc_dimension dimension, fc_range range);
/* The same with at least so many decimals. */
struct fci_figure fci_figure_range_with(fc_unit_system units,
                                        fc_dimension dimension, int decimals,
                                        fc_range range);
struct fci_figure fci_figure_range_said(fc_unit_system units,
                                        fc_dimension dimension,
                                        fc_range range);
struct fci_figure fci_figure_margin_range(fc_unit_system units,
                                          fc_dimension dimension,
                                          fc_range range);
/* With at least so many decimals, rounded as is asked: see fc_show(). */
struct fci_figure fci_figure_with(fc_unit_system units, fc_dimension dimension,
                                  fc_rounding rounding, int decimals,
                                  double si);
/* A figure without unit. */
struct fci_figure fci_figure_number(double value, int decimals);

/* Whether it looks like more or less than nothing. */
bool fci_figure_shows(fc_unit_system units, fc_dimension dimension, double si);
/* The decimals, at least, with which neither end of a range looks like the
 * limit that it is held against; 0 where an end is the same. */
int fci_figure_apart(fc_unit_system units, fc_dimension dimension,
                     double limit, fc_range range);
/* Whether two ends look different. */
bool fci_figure_differs(fc_unit_system units, fc_dimension dimension,
                        fc_range range);

#endif
