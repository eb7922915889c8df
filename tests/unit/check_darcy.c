/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_darcy.c -- Darcy-Weisbach against published and exact
 * answers.
 *
 *   [W99]  F. M. White, Fluid Mechanics, 4th ed. (1999)
 *   [CC]   Y. A. Cengel and J. M. Cimbala, Fluid Mechanics, example 8-3
 *          (inputs read in a public repository, answers from memory)
 */
#include "laws/darcy.h"
#include "unit/suite.h"
#include "laws/water.h"

#include <math.h>
#include <stdlib.h>

/* mpmath 1.3, 40 digits: x = findroot(x + 2*log10(rel/3.7 + 2.51*x/re), 7),
   f = 1/x^2.  It shares no code or constant with lib/laws/darcy.c. */
#define MPMATH "Colebrook-White to 17 digits by mpmath (recipe above)"

static const struct {
    const char *source;
    double re, rel, want, tol; /* tol is relative */
} factors[] = {
    { "[W99] ex. 6.7, read from a chart", 128e3, 0.0013, 0.0225, 0.02 },
    { "[CC] ex. 8-3: roughness 7e-6 ft in 2 in, printed to three digits",
      126400, 7e-6 / (2.0 / 12), 0.0174, 0.5e-4 / 0.0174 },
    { MPMATH, 1e5, 1e-4, 0.018513866077471643, 1e-11 },
    { MPMATH, 4e3, 0.05, 0.076986834889224867, 1e-11 },
    { "laminar, 64/re, exact", 1000, 0.001, 0.064, 1e-15 },
};

START_TEST(factor)
{
    double f = NAN;

    ck_assert_int_eq(fci_darcy_factor(factors[_i].re, factors[_i].rel, &f),
                     FC_OK);
    ck_assert_msg(
        fabs(f - factors[_i].want) <= factors[_i].tol * factors[_i].want,
        "f = %.17g, want %.17g: %s", f, factors[_i].want, factors[_i].source);
}
END_TEST

/* IAPWS viscosity at 0.1 MPa: 1001.6 uPa s at 20 degC, 890.0 at 25 degC (from
 * memory), each to half its last digit. */
START_TEST(viscosity)
{
    ck_assert_double_eq_tol(fci_water_viscosity(20), 1001.6e-6, 0.05e-6);
    ck_assert_double_eq_tol(fci_water_viscosity(25), 890.0e-6, 0.05e-6);
}
END_TEST

/* [CC] ex. 8-3: water of 60 degF, 0.2 ft3/s through 200 ft of 2 in bore with a
 * roughness of 7e-6 ft: 11.8 psi printed, 11.80 recomputed with the book's
 * density and viscosity.  Our water differs from the book's by under 0.5 %. */
START_TEST(loss_of_a_pipe)
{
    const double ft = 0.3048, psi = 6894.757293168361;
    double loss = NAN;

    ck_assert_int_eq(fci_darcy_loss((60.0 - 32) / 1.8, 0.2 * ft * ft * ft,
                                    2 * 0.0254, 200 * ft, 7e-6 * ft, &loss),
                     FC_OK);
    ck_assert_double_eq_tol(loss / psi, 11.8, 0.005 * 11.8);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("darcy");
    TCase *tcase = tcase_create("darcy");

    suite_add_tcase(suite, tcase);
    tcase_add_loop_test(tcase, factor, 0,
                        (int)(sizeof factors / sizeof *factors));
    tcase_add_test(tcase, viscosity);
    tcase_add_test(tcase, loss_of_a_pipe);
    return run_suite(suite);
}
