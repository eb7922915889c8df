/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_water.c -- density and weight of water. */
#include "unit/suite.h"
#include "unit/us_units.h"
#include "laws/water.h"

#include <math.h>

/* G. S. Kell, J. Chem. Eng. Data 20 (1975) 97-105, and the newer standard
 * density of water, which differ in the last digits printed: both ends of
 * each span from memory.  The tolerance is half of the last digit. */
static const struct {
    double t, low, high;
} anchors[] = {
    { 4.0, 999.972, 999.975 },
    { 20.0, 998.204, 998.207 },
    { 25.0, 997.045, 997.048 },
};

START_TEST(density_anchor)
{
    const double rho = fci_water_density(anchors[_i].t);

    ck_assert_double_ge(rho, anchors[_i].low - 0.0005);
    ck_assert_double_le(rho, anchors[_i].high + 0.0005);
}
END_TEST

/* Computed independently of this program from Kell (1975), g = 9.80665 m/s2
 * and the units above: degC, psi/ft.  28/1.8 degC is 60 degF.  The tolerance
 * is half of the last digit. */
static const struct {
    double t, psi_per_ft;
} rows[] = {
    { 0.0, 0.43346 },        { 4.0, 0.43352 },  { 10.0, 0.43340 },
    { 28.0 / 1.8, 0.43310 }, { 20.0, 0.43275 }, { 25.0, 0.43225 },
    { 30.0, 0.43164 },       { 40.0, 0.43015 }, { 50.0, 0.42834 },
    { 60.0, 0.42624 },
};

START_TEST(weight_row)
{
    ck_assert_double_eq_tol(fci_water_weight(rows[_i].t) * FOOT / PSI,
                            rows[_i].psi_per_ft, 0.000005);
}
END_TEST

/* International Plumbing Code, Appendix E, E103.2: a fixture 20 ft above or
 * below the source, 8.66 psi. */
START_TEST(twenty_feet)
{
    ck_assert_double_eq_tol(fci_water_weight((60.0 - 32.0) / 1.8) * 20.0 * FOOT
                                / PSI,
                            8.66, 0.005);
}
END_TEST

/* Water is densest at 4 degC (3.98 to 3.99) and lightens from there on. */
START_TEST(densest)
{
    double t;

    for (t = 0.0; t < 3.9; t += 0.1)
        ck_assert(fci_water_density(t) < fci_water_density(t + 0.05));
    for (t = 4.1; t < 99.8; t += 0.1)
        ck_assert(fci_water_density(t) > fci_water_density(t + 0.05));
}
END_TEST

START_TEST(outside)
{
    ck_assert(isfinite(fci_water_density(FCI_WATER_COLDEST)));
    ck_assert(isfinite(fci_water_density(FCI_WATER_HOTTEST)));
    ck_assert(isnan(fci_water_density(-0.01)));
    ck_assert(isnan(fci_water_density(100.01)));
    ck_assert(isnan(fci_water_density(INFINITY)));
    ck_assert(isnan(fci_water_weight(NAN)));
}
END_TEST

#define COUNT(array) ((int)(sizeof(array) / sizeof(array)[0]))

int
main(void)
{
    Suite *suite = suite_create("water");
    TCase *tc = tcase_create("density");

    tcase_add_loop_test(tc, density_anchor, 0, COUNT(anchors));
    tcase_add_loop_test(tc, weight_row, 0, COUNT(rows));
    tcase_add_test(tc, twenty_feet);
    tcase_add_test(tc, densest);
    tcase_add_test(tc, outside);
    suite_add_tcase(suite, tc);
    return run_suite(suite);
}
