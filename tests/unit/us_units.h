/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/us_units.h -- the units of the trade in SI.
 *
 * NIST SP 811 (2008), App. B: exact, but for the psi, which is a quotient of
 * exact figures, here to all digits of a double; a gallon is 231 in3.
 */
#ifndef TESTS_UNIT_US_UNITS_H
#define TESTS_UNIT_US_UNITS_H

#define PSI 6894.757293168361
#define FOOT 0.3048
#define INCH 0.0254
#define GALLON (231 * INCH * INCH * INCH)
#define GPM (GALLON / 60)

#endif
