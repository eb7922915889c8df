/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/units/number.h -- numbers as they are written, whatever the locale; see
 * also fci_read_number() in units/units.h. */
#ifndef FCI_UNITS_NUMBER_H
#define FCI_UNITS_NUMBER_H

#include <stdbool.h>

/* The sign at *text, which is moved behind it: whether it is a minus. */
bool fci_scan_sign(const char **text);
/* A number without sign, or a fraction.  NULL when read, *text being moved
 * behind it; or what is wrong: "is too large". */
const char *fci_scan_magnitude(const char **text, double *value);

/* Turn what printf() made of a number into the plain form: a point for the
 * locale's own, and no minus before a zero. */
void fci_plain_number(char *text);

#endif
