/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_boyle.c -- water in a tank under a cushion of air.
 *
 * The closed form of Boyle's law on absolute pressures, with 14.7 psi for the
 * atmosphere: draw-down over volume = (p_pre + 14.7)/(p_in + 14.7)
 * - (p_pre + 14.7)/(p_out + 14.7).  Tables of the trade print 0.31 and 0.27
 * for 30/50 and 40/60 psi with the precharge at the cut-in (from memory).
 */
#include "laws/boyle.h"
#include "unit/suite.h"
#include "unit/us_units.h"

#include <math.h>

/* The closed form above; a thousandth is what 14.7 for 14.696 makes. */
START_TEST(gives_what_the_closed_form_says)
{
    static const struct {
        double precharge, cut_in, cut_out, share, printed;
    } rows[] = {
        { 30, 30, 50, 0.309, 0.31 }, /* 1 - 44.7 / 64.7 */
        { 40, 40, 60, 0.268, 0.27 }, /* 1 - 54.7 / 74.7 */
        { 28, 30, 50, 0.295, NAN },  /* 42.7 / 44.7 - 42.7 / 64.7 */
        { 38, 40, 60, 0.258, NAN },  /* 52.7 / 54.7 - 52.7 / 74.7 */
        { 20, 20, 40, 0.366, NAN },  /* 1 - 34.7 / 54.7 */
    };
    size_t i;

    for (i = 0; i < sizeof rows / sizeof *rows; i++) {
        const double share =
            fci_boyle_drawn(rows[i].precharge * PSI, rows[i].cut_out * PSI,
                            rows[i].cut_in * PSI, FCI_ISOTHERMAL);

        ck_assert_double_eq_tol(share, rows[i].share, 0.0006);
        if (!isnan(rows[i].printed))
            ck_assert_double_eq_tol(share, rows[i].printed, 0.005);
        ck_assert_double_eq_tol(
            share,
            fci_boyle_water(rows[i].precharge * PSI, rows[i].cut_out * PSI)
                - fci_boyle_water(rows[i].precharge * PSI,
                                  rows[i].cut_in * PSI),
            1e-12);
    }
}
END_TEST

/* By hand: at 50 psi under a precharge of 30 the air is 44.696/64.696 of the
 * tank; let grow by a tenth of the tank that is x 1.14475, so that the
 * pressure is 64.696 / 1.14475 - 14.696 = 41.82 psi, and as it cools 64.696
 * / 1.14475^1.4 - 14.696 = 38.84 psi. */
START_TEST(falls_by_what_is_drawn)
{
    ck_assert_double_eq_tol(
        fci_boyle_pressure(30 * PSI, 50 * PSI, 0.1, FCI_ISOTHERMAL) / PSI,
        41.82, 0.01);
    ck_assert_double_eq_tol(
        fci_boyle_pressure(30 * PSI, 50 * PSI, 0.1, FCI_ADIABATIC) / PSI,
        38.84, 0.01);
}
END_TEST

START_TEST(pressure_and_water_are_each_others_inverse)
{
    const double exponents[] = { FCI_ISOTHERMAL, FCI_ADIABATIC };
    const double precharge = 28 * PSI, from = 55 * PSI;
    double to;

    for (size_t i = 0; i < 2; i++)
        for (to = 54; to >= 32; to--) {
            const double drawn =
                fci_boyle_drawn(precharge, from, to * PSI, exponents[i]);

            ck_assert_double_eq_tol(
                fci_boyle_pressure(precharge, from, drawn, exponents[i]) / PSI,
                to, 1e-9);
        }
}
END_TEST

/* Air that cools gives less; at once or slowly, nothing below empty. */
START_TEST(gives_less_at_once_and_no_more_than_it_has)
{
    const double precharge = 28 * PSI, from = 50 * PSI;
    const double has = fci_boyle_water(precharge, from);
    double to, slow = 0, quick;

    for (to = 49; to > 0; to--) {
        const double before = slow;

        slow = fci_boyle_drawn(precharge, from, to * PSI, FCI_ISOTHERMAL);
        quick = fci_boyle_drawn(precharge, from, to * PSI, FCI_ADIABATIC);
        ck_assert_double_ge(slow, before);
        ck_assert_double_le(quick, slow);
        ck_assert_double_le(slow, has);
    }
    ck_assert_double_eq_tol(slow, has, 1e-12);
    ck_assert_double_eq_tol(
        fci_boyle_drawn(precharge, from, from, FCI_ISOTHERMAL), 0, 1e-15);
    ck_assert_double_eq_tol(
        fci_boyle_drawn(precharge, from, from + PSI, FCI_ISOTHERMAL), 0,
        1e-15);
}
END_TEST

START_TEST(is_empty_at_its_precharge)
{
    ck_assert_double_eq_tol(fci_boyle_water(28 * PSI, 28 * PSI), 0, 1e-15);
    ck_assert_double_eq_tol(fci_boyle_water(28 * PSI, 10 * PSI), 0, 1e-15);
    ck_assert_double_eq_tol(
        fci_boyle_drawn(28 * PSI, 20 * PSI, 10 * PSI, FCI_ISOTHERMAL), 0,
        1e-15);
    ck_assert(
        isnan(fci_boyle_pressure(28 * PSI, 50 * PSI, 0.99, FCI_ISOTHERMAL)));
    ck_assert(
        isnan(fci_boyle_pressure(28 * PSI, 20 * PSI, 1e-9, FCI_ISOTHERMAL)));
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("boyle");
    TCase *tcase = tcase_create("a tank");

    tcase_add_test(tcase, gives_what_the_closed_form_says);
    tcase_add_test(tcase, falls_by_what_is_drawn);
    tcase_add_test(tcase, pressure_and_water_are_each_others_inverse);
    tcase_add_test(tcase, gives_less_at_once_and_no_more_than_it_has);
    tcase_add_test(tcase, is_empty_at_its_precharge);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
