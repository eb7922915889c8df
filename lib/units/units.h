/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/units/units.h -- text becomes SI here, and SI becomes text again here.
 */
#ifndef FCI_UNITS_UNITS_H
#define FCI_UNITS_UNITS_H

#include "flushcalc.h"

/* Why a figure was not understood: "what is wrong; what is expected", to be
 * printed after the key it belongs to. */
struct fci_reason {
    char text[256];
};

/* A number without regard to locale, at the very start of *text: a sign,
 * digits, one `.`, an exponent, or a fraction "3/4", "1-1/4", "1 1/4".  *text
 * is moved behind it; on failure it stays. */
bool fci_read_number(const char **text, double *value);

/* The length of what parts the ends of a range at p: "..", an ellipsis or a
 * dash of one character, "to", or a hyphen that a number follows; 0: none. */
size_t fci_range_mark(const char *p);

/* The whole text as one figure of a dimension; see fc_parse().  Where
 * `range` is false, `a..b` is refused.  `why` may be NULL here and below. */
bool fci_read_figure(const char *text, fc_dimension dimension, bool range,
                     fc_range *value, struct fci_reason *why);

/* The whole text as a price: a number that may begin with a dollar sign and
 * part its thousands by commas. */
bool fci_read_price(const char *text, fc_range *price, struct fci_reason *why);

/* The figure at the start of a text; *text is moved behind it and the blanks
 * that follow: "40 gpm 11.5 psi" is read by two calls.
 * On failure *text stays. */
bool fci_read_leading_figure(const char **text, fc_dimension dimension,
                             double *value, struct fci_reason *why);

/* "10 %" as a fraction, or a figure of the dimension; neither below zero. */
bool fci_read_deviation(const char *text, fc_dimension dimension,
                        fc_deviation *value, struct fci_reason *why);

/* "a pressure", "a flow", ...: what a dimension is called in a message. */
const char *fci_dimension_name(fc_dimension dimension);

/* A figure for print, with its unit and as many digits as it is worth: psi to
 * 0.1, kPa to 1, gpm to 0.1, ft/s to 0.1, ...  A nominal size is a label: in
 * both systems it is written as the trade does ("1-1/4 in"; "35 mm" when it is
 * no sixteenth of an inch), or better as its pipe table has it. */
struct fci_shown {
    char text[48];
};
/* Down to the digits shown: what is at most so much is no more than that. */
struct fci_shown fci_show_at_most(fc_unit_system system,
                                  fc_dimension dimension, double si);
/* With as many digits as tell it from a limit that it is past. */
struct fci_shown fci_show_beyond(fc_unit_system system, fc_dimension dimension,
                                 double si, double limit);
struct fci_shown fci_show(fc_unit_system system, fc_dimension dimension,
                          double si);
/* The figure that those digits are, but two digits of it at least: what a site
 * file gets of a figure that was worked out.  Not of a plain number or a size,
 * which have no such digits. */
double fci_rounded(fc_unit_system system, fc_dimension dimension,
                   fc_rounding rounding, double si);
/* The digits behind the point that a figure is worth at least. */
int fci_decimals(fc_unit_system system, fc_dimension dimension);
/* A measured diameter: "1.265 in", "32.1 mm". */
struct fci_shown fci_show_diameter(fc_unit_system system, double si);
/* "55.0 psi", or "55.0..62.0 psi" where low and high differ in print;
 * "not given" for a figure that is not. */
struct fci_shown fci_show_range(fc_unit_system system, fc_dimension dimension,
                                fc_range range);

#endif
