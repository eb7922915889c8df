/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_units.c -- figures read and shown.
 *
 *   [SP811]  NIST Special Publication 811 (2008), Appendix B.8: factors as
 *            printed there, to seven digits (from memory).  Those that are
 *            exact by definition follow from in = 0.0254 m, US gal = 231 in3,
 *            lbf = 0.45359237 kg x 9.80665 m/s2; recipe, Python 3:
 *                from fractions import Fraction as F
 *                inch = F(254, 10000); gal = 231 * inch**3
 *                psi = F('0.45359237') * F('9.80665') / inch**2
 *                [float(x) for x in (psi, gal, gal/60, gal/128)]
 */
#include "unit/foreign_locales.h"
#include "unit/suite.h"
#include "units/units.h"

#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <unistd.h>

#define COUNT(array) ((int)(sizeof(array) / sizeof(array)[0]))

/* ---- Factors ----------------------------------------------------------- */

static const struct {
    const char *text;
    fc_dimension dimension;
    double si, tolerance; /* relative */
} factors[] = {
    /* By definition; the tolerance is two roundings of a double. */
    { "1 psi", FC_PRESSURE, 6894.757293168361, 4.5e-16 },
    { "1 kPa", FC_PRESSURE, 1000.0, 0.0 },
    { "1 bar", FC_PRESSURE, 100000.0, 0.0 },
    { "1 ftH2O", FC_PRESSURE, 2989.06692, 4.5e-16 },
    { "1 mH2O", FC_PRESSURE, 9806.65, 4.5e-16 },
    { "1 ft", FC_LENGTH, 0.3048, 0.0 },
    { "1 in", FC_LENGTH, 0.0254, 0.0 },
    { "1 m", FC_LENGTH, 1.0, 0.0 },
    { "1 mm", FC_LENGTH, 0.001, 0.0 },
    { "1 gpm", FC_FLOW, 6.30901964e-05, 4.5e-16 },
    { "1 L/s", FC_FLOW, 0.001, 0.0 },
    { "60000 L/min", FC_FLOW, 1.0, 0.0 },
    { "3600 m3/h", FC_FLOW, 1.0, 0.0 },
    { "1 gal", FC_VOLUME, 0.003785411784, 4.5e-16 },
    { "1 L", FC_VOLUME, 0.001, 0.0 },
    { "1 m3", FC_VOLUME, 1.0, 0.0 },
    { "1 oz", FC_VOLUME, 2.95735295625e-05, 4.5e-16 },
    { "1 s", FC_TIME, 1.0, 0.0 },
    { "1 min", FC_TIME, 60.0, 0.0 },
    { "1 h", FC_TIME, 3600.0, 0.0 },
    { "1 d", FC_TIME, 86400.0, 0.0 },
    { "1 week", FC_TIME, 604800.0, 0.0 },
    { "1 year", FC_TIME, 31536000.0, 0.0 },
    { "1 ft/s", FC_VELOCITY, 0.3048, 0.0 },
    { "1 m/s", FC_VELOCITY, 1.0, 0.0 },
    { "32 degF", FC_TEMPERATURE, 0.0, 0.0 },
    { "212 degF", FC_TEMPERATURE, 100.0, 0.0 },
    { "-40 degF", FC_TEMPERATURE, -40.0, 0.0 },
    { "-40 degC", FC_TEMPERATURE, -40.0, 0.0 },
    { "1 %", FC_NUMBER, 0.01, 0.0 },
    /* As [SP811] prints them; half of the last digit. */
    { "1 psi", FC_PRESSURE, 6.894757e3, 0.5e-6 / 6.89 },
    { "1 ftH2O", FC_PRESSURE, 2.989067e3, 0.5e-6 / 2.98 },
    { "1 gpm", FC_FLOW, 6.309020e-5, 0.5e-6 / 6.30 },
    { "1 gal", FC_VOLUME, 3.785412e-3, 0.5e-6 / 3.78 },
    { "1 oz", FC_VOLUME, 2.957353e-5, 0.5e-6 / 2.95 },
    { "1 m3/h", FC_FLOW, 2.777778e-4, 0.5e-6 / 2.77 },
    { "1 L/min", FC_FLOW, 1.666667e-5, 0.5e-6 / 1.66 },
};

START_TEST(factor)
{
    const double si = factors[_i].si;
    fc_range value = { 0 };
    struct fci_reason why = { "" };

    ck_assert_msg(fci_read_figure(factors[_i].text, factors[_i].dimension,
                                  false, &value, &why),
                  "%s", why.text);
    ck_assert(value.given);
    ck_assert_msg(fabs(value.nominal - si) <= factors[_i].tolerance * fabs(si),
                  "%s is %.17g, want %.17g", factors[_i].text, value.nominal,
                  si);
    ck_assert(value.low == value.nominal && value.high == value.nominal);
}
END_TEST

/* ---- Forms ------------------------------------------------------------- */

#define NBSP "\xC2\xA0"
#define PRIME "\xE2\x80\xB2"
#define PRIMES "\xE2\x80\xB3"
#define QUOTE "\xE2\x80\x99"
#define QUOTES "\xE2\x80\x9D"
#define IN *0.0254
#define FT *0.3048
#define PSI *6894.757293168361
#define GPM *6.30901964e-5

/* What a form says is plain to the eye; the factors are those above. */
static const struct {
    const char *text;
    fc_dimension dimension;
    double low, nominal, high;
} forms[] = {
#define ONE(text, dimension, x)                                               \
    {                                                                         \
        text, dimension, x, x, x                                              \
    }
    ONE("62 psi", FC_PRESSURE, 62 PSI),
    ONE("25psi", FC_PRESSURE, 25 PSI),
    ONE("  25 \t PSI  ", FC_PRESSURE, 25 PSI),
    ONE("25" NBSP "psi" NBSP, FC_PRESSURE, 25 PSI),
    ONE("4.3 bar", FC_PRESSURE, 430000.0),
    ONE("1e2 KPA", FC_PRESSURE, 100000.0),
    ONE("1.5E-1 kpa", FC_PRESSURE, 150.0),
    ONE("+3 psi", FC_PRESSURE, 3 PSI),
    ONE("-3 psi", FC_PRESSURE, -3 PSI),
    ONE("10 FTH2O", FC_PRESSURE, 29890.6692),
    ONE("10mh2o", FC_PRESSURE, 98066.5),
    ONE("12 ft", FC_LENGTH, 12 FT),
    ONE("12 ft 6 in", FC_LENGTH, 150 IN),
    ONE("12ft6in", FC_LENGTH, 150 IN),
    ONE("12 ft-6 in", FC_LENGTH, 150 IN),
    ONE("12'-6\"", FC_LENGTH, 150 IN),
    ONE("12' - 6\"", FC_LENGTH, 150 IN),
    ONE("12' 6\"", FC_LENGTH, 150 IN),
    ONE("12'6\"", FC_LENGTH, 150 IN),
    ONE("12'-6 1/2\"", FC_LENGTH, 150.5 IN),
    ONE("12" PRIME "6" PRIMES, FC_LENGTH, 150 IN),
    ONE("12" QUOTE " 6" QUOTES, FC_LENGTH, 150 IN),
    ONE("12'", FC_LENGTH, 12 FT),
    ONE("6\"", FC_LENGTH, 6 IN),
    ONE("6 1/2\"", FC_LENGTH, 6.5 IN),
    ONE("6-1/2 in", FC_LENGTH, 6.5 IN),
    ONE("1/2 m", FC_LENGTH, 0.5),
    ONE("-3 ft", FC_LENGTH, -3 FT),
    ONE("-3 ft 6 in", FC_LENGTH, -42 IN),
    ONE("-3'-6\"", FC_LENGTH, -42 IN),
    ONE("-0 ft 6 in", FC_LENGTH, -6 IN),
    ONE("0.5 m", FC_LENGTH, 0.5),
    ONE(".5 m", FC_LENGTH, 0.5),
    ONE("1-1/4 in", FC_SIZE, 0.03175),
    ONE("1 1/4 in", FC_SIZE, 0.03175),
    ONE("1.25in", FC_SIZE, 0.03175),
    ONE("31.75 mm", FC_SIZE, 0.03175),
    ONE("1-1/4\"", FC_SIZE, 0.03175),
    ONE("3/4\"", FC_SIZE, 0.01905),
    ONE("DN32", FC_SIZE, 0.03175),
    ONE("dn 32", FC_SIZE, 0.03175),
    ONE("35 mm", FC_SIZE, 0.035),
    ONE("1-1/4 in (DN32)", FC_SIZE, 0.03175),
    ONE("25 gpm", FC_FLOW, 25 GPM),
    ONE("1.6 L/s", FC_FLOW, 0.0016),
    ONE("90 l/MIN", FC_FLOW, 0.0015),
    ONE("7.2m3/h", FC_FLOW, 0.002),
    ONE("1.6 gal", FC_VOLUME, 1.6 * 0.003785411784),
    ONE("6 l", FC_VOLUME, 0.006),
    ONE("128 oz", FC_VOLUME, 0.003785411784),
    ONE("5 min", FC_TIME, 300.0),
    ONE("1/2 h", FC_TIME, 1800.0),
    ONE("8 ft/s", FC_VELOCITY, 8 FT),
    ONE("60 degF", FC_TEMPERATURE, 28.0 / 1.8),
    ONE("-4 degf", FC_TEMPERATURE, -20.0),
    ONE("-5 DEGC", FC_TEMPERATURE, -5.0),
    ONE("140", FC_NUMBER, 140.0),
    ONE("10 %", FC_NUMBER, 0.1),
    ONE("50%", FC_NUMBER, 0.5),
    ONE("1-1/2", FC_NUMBER, 1.5),
    ONE("25 psi (172 kPa)", FC_PRESSURE, 25 PSI),
    ONE("25 psi(172 kPa)", FC_PRESSURE, 25 PSI),
    ONE("25 psi ( 1.72 bar )", FC_PRESSURE, 25 PSI),
    ONE("0 psi (0 kPa)", FC_PRESSURE, 0.0),
    ONE("100 kPa (101 kPa)", FC_PRESSURE, 100000.0),
    ONE("100 kPa (99 kPa)", FC_PRESSURE, 100000.0),
    ONE("60 degF (15 degC)", FC_TEMPERATURE, 28.0 / 1.8),
    ONE("60 degF (16 degC)", FC_TEMPERATURE, 28.0 / 1.8),
    { "40..60 ft", FC_LENGTH, 40 FT, 50 FT, 60 FT },
    { "40 ft .. 60 ft", FC_LENGTH, 40 FT, 50 FT, 60 FT },
    { "12 m..60 ft", FC_LENGTH, 12.0, 6.0 + 30 FT, 60 FT },
    { "40..60'", FC_LENGTH, 40 FT, 50 FT, 60 FT },
    { "-10..-4 ft", FC_LENGTH, -10 FT, -7 FT, -4 FT },
    { "40..40 ft", FC_LENGTH, 40 FT, 40 FT, 40 FT },
    { "6 in..12 ft 6 in", FC_LENGTH, 6 IN, 78 IN, 150 IN },
    { "12..12 ft 6 in", FC_LENGTH, 144 IN, 147 IN, 150 IN },
    { "40..60 ft (12.2..18.3 m)", FC_LENGTH, 40 FT, 50 FT, 60 FT },
    { "40 ft (12.2 m) .. 60 ft (18.3 m)", FC_LENGTH, 40 FT, 50 FT, 60 FT },
    { "55..62 psi", FC_PRESSURE, 55 PSI, 58.5 PSI, 62 PSI },
    { "3/4 in .. 1 in", FC_SIZE, 0.01905, 0.01905, 0.0254 },
    { "3/4..1 in", FC_SIZE, 0.01905, 0.01905, 0.0254 },
    { "1..1-1/4 in", FC_SIZE, 0.0254, 0.0254, 0.03175 },
    { "DN20..DN25", FC_SIZE, 0.01905, 0.01905, 0.0254 },
    { "60..100", FC_NUMBER, 60.0, 80.0, 100.0 },
    { "10..20 %", FC_NUMBER, 0.1, 0.15, 0.2 },
    { "50..68 degF", FC_TEMPERATURE, 10.0, 15.0, 20.0 },
};

static bool
near(double a, double b)
{
    return fabs(a - b) <= 1e-15 * fmax(fabs(a), fabs(b));
}

START_TEST(form)
{
    fc_range value = { 0 };
    struct fci_reason why = { "" };

    ck_assert_msg(fci_read_figure(forms[_i].text, forms[_i].dimension, true,
                                  &value, &why),
                  "%s", why.text);
    ck_assert_msg(value.given && near(value.low, forms[_i].low)
                      && near(value.nominal, forms[_i].nominal)
                      && near(value.high, forms[_i].high),
                  "\"%s\": %.17g %.17g %.17g", forms[_i].text, value.low,
                  value.nominal, value.high);
}
END_TEST

/* All forms of a size are the very same double: it is a label to be found. */
START_TEST(same_size)
{
    static const char *const quarter[] = { "1-1/4 in", "1 1/4 in", "1.25in",
                                           "DN32",     "31.75 mm", "5/4\"" };
    fc_range value = { 0 };
    int i;

    for (i = 0; i < COUNT(quarter); i++) {
        ck_assert(fci_read_figure(quarter[i], FC_SIZE, false, &value, NULL));
        ck_assert(value.nominal == 0.03175);
    }
}
END_TEST

/* DN against NPS: ASME B36.10M (from memory). */
static const struct {
    int dn;
    const char *nps;
} dn_sizes[] = {
    { 8, "1/4 in" },    { 10, "3/8 in" },   { 15, "1/2 in" },
    { 20, "3/4 in" },   { 25, "1 in" },     { 32, "1-1/4 in" },
    { 40, "1-1/2 in" }, { 50, "2 in" },     { 65, "2-1/2 in" },
    { 80, "3 in" },     { 90, "3-1/2 in" }, { 100, "4 in" },
    { 125, "5 in" },    { 150, "6 in" },    { 200, "8 in" },
};

START_TEST(dn_is_nps)
{
    char text[16];
    fc_range dn = { 0 }, nps = { 0 };

    snprintf(text, sizeof text, "DN%d", dn_sizes[_i].dn);
    ck_assert(fci_read_figure(text, FC_SIZE, false, &dn, NULL));
    ck_assert(fci_read_figure(dn_sizes[_i].nps, FC_SIZE, false, &nps, NULL));
    ck_assert(dn.nominal == nps.nominal);
    ck_assert_str_eq(fci_show(FC_SI, FC_SIZE, dn.nominal).text,
                     dn_sizes[_i].nps);
}
END_TEST

/* ---- Refusals ---------------------------------------------------------- */

#define A_LENGTH "a length is needed, such as 12 ft or 3.5 m"
#define A_PRESSURE "a pressure is needed, such as 62 psi or 4.3 bar"
#define A_FLOW "a flow is needed, such as 25 gpm or 1.6 L/s"
#define A_SIZE "a nominal size is needed, such as 1-1/4 in or DN32"
#define A_NUMBER "a number is needed, such as 100 or 50%"
#define LENGTHS "a length is needed, in one of: ft, m, in, mm"
#define ONE_PERCENT "the figure in brackets must agree within 1%"
#define ALL_DN                                                                \
    "is not a known DN; one of these is needed: 8, 10, 15, 20, 25, "          \
    "32, 40, 50, 65, 80, 90, 100, 125, 150, 200"

static const struct {
    const char *text;
    fc_dimension dimension;
    const char *why;
} refusals[] = {
    { "12 gpm", FC_LENGTH, "\"12 gpm\" is a flow; " A_LENGTH },
    { "12", FC_LENGTH, "\"12\" has no unit; " A_LENGTH },
    { "12 ft", FC_FLOW, "\"12 ft\" is a length; " A_FLOW },
    { "1 psi", FC_FLOW, "\"1 psi\" is a pressure; " A_FLOW },
    { "1 gal", FC_FLOW, "\"1 gal\" is a volume; " A_FLOW },
    { "1 m/s", FC_FLOW, "\"1 m/s\" is a velocity; " A_FLOW },
    { "1 min", FC_FLOW, "\"1 min\" is a time; " A_FLOW },
    { "1 degC", FC_FLOW, "\"1 degC\" is a temperature; " A_FLOW },
    { "5 %", FC_FLOW, "\"5 %\" is a percentage; " A_FLOW },
    { "12 ft", FC_NUMBER, "\"12 ft\" is a length; " A_NUMBER },
    { "DN32", FC_LENGTH, "\"DN32\" is a nominal size; " A_LENGTH },
    { "1 ft 2 in", FC_SIZE, "\"1 ft 2 in\" is a length; " A_SIZE },
    { "2 m", FC_SIZE, "\"2 m\" is a length; " A_SIZE },
    { "-1 in", FC_SIZE, "\"-1 in\" is not above zero; " A_SIZE },
    { "0 mm", FC_SIZE, "\"0 mm\" is not above zero; " A_SIZE },
    { "DN33", FC_SIZE, "\"DN33\" " ALL_DN },
    { "DN032x", FC_SIZE, "\"DN032x\" " ALL_DN },
    { "DN4294967328", FC_SIZE, "\"DN4294967328\" " ALL_DN },
    { "DN", FC_SIZE, "\"DN\" does not start with a number; " A_SIZE },
    { "12 yd", FC_LENGTH, "\"12 yd\" has an unknown unit; " LENGTHS },
    { "12 inchs", FC_LENGTH, "\"12 inchs\" has an unknown unit; " LENGTHS },
    { "12 ft2", FC_LENGTH, "\"12 ft\" is followed by \"2\"; " A_LENGTH },
    { "0x1A ft", FC_LENGTH, "\"0x1A\" has an unknown unit; " LENGTHS },
    { "12.5.5 ft", FC_LENGTH, "\"12.5.5\" has an unknown unit; " LENGTHS },
    { "2 turns", FC_PRESSURE,
      "\"2 turns\" has an unknown unit; a pressure is needed, in one of: psi, "
      "kPa, bar, ftH2O, mH2O" },
    { "2 turns", FC_FLOW,
      "\"2 turns\" has an unknown unit; a flow is needed, in one of: gpm, "
      "L/s, L/min, m3/h" },
    { "2 turns", FC_SIZE,
      "\"2 turns\" has an unknown unit; a nominal size is needed, in one of: "
      "in, mm, DN" },
    { "2 turns", FC_NUMBER,
      "\"2 turns\" has an unknown unit; a number is needed, in one of: no "
      "unit, %" },
    { "", FC_LENGTH, "a figure is missing; " A_LENGTH },
    { " \t" NBSP, FC_PRESSURE, "a figure is missing; " A_PRESSURE },
    { "ft", FC_LENGTH, "\"ft\" does not start with a number; " A_LENGTH },
    { "nan", FC_NUMBER, "\"nan\" does not start with a number; " A_NUMBER },
    { "inf", FC_NUMBER, "\"inf\" does not start with a number; " A_NUMBER },
    { "-infinity ft", FC_LENGTH,
      "\"-infinity ft\" does not start with a number; " A_LENGTH },
    { "1e999 m", FC_LENGTH, "\"1e999 m\" is too large; " A_LENGTH },
    { "1e308 bar", FC_PRESSURE, "\"1e308 bar\" is too large; " A_PRESSURE },
    { "3/0 in", FC_LENGTH, "\"3/0 in\" divides by zero; " A_LENGTH },
    { "1 5/4 in", FC_LENGTH,
      "\"1 5/4 in\" has a fraction of 1 or more beside a whole "
      "number; " A_LENGTH },
    { "1,5 m", FC_LENGTH,
      "\"1,5 m\" has a comma in its number; a point is needed, as in 12.5" },
    { "1,000 ft", FC_LENGTH,
      "\"1,000 ft\" has a comma in its number; thousands need none, as in "
      "150000, and parts a point, as in 12.5" },
    { "12 ft 14 in", FC_LENGTH,
      "\"12 ft 14 in\" is not a length in feet and inches; whole feet and "
      "less than 12 in are needed, such as 12 ft 6 in" },
    { "12.5 ft 6 in", FC_LENGTH,
      "\"12.5 ft 6 in\" is not a length in feet and inches; whole feet and "
      "less than 12 in are needed, such as 12 ft 6 in" },
    { "12 ft 6", FC_LENGTH, "\"12 ft\" is followed by \"6\"; " A_LENGTH },
    { "12 ft or so", FC_LENGTH,
      "\"12 ft\" is followed by \"or so\"; " A_LENGTH },
    { "12 ft\nx", FC_LENGTH, "\"12 ft\" is followed by \"?x\"; " A_LENGTH },
    { "12 ft \xFF", FC_LENGTH, "\"12 ft\" is followed by \"?\"; " A_LENGTH },
    { "60..40 ft", FC_LENGTH,
      "\"60..40 ft\" runs downward; a range starts with its lower figure" },
    { "40 ft..60 gpm", FC_LENGTH, "\"60 gpm\" is a flow; " A_LENGTH },
    { "40 ft..60", FC_LENGTH, "\"60\" has no unit; " A_LENGTH },
    { "40..60", FC_LENGTH, "\"40\" has no unit; " A_LENGTH },
    { "20..DN25", FC_SIZE, "\"20\" has no unit; " A_SIZE },
    { "10 %..20", FC_NUMBER, "\"20\" has no %; " A_NUMBER },
    { "40..", FC_LENGTH, "a figure is missing; " A_LENGTH },
    { "..40 ft", FC_LENGTH, "a figure is missing; " A_LENGTH },
    { "40...60 ft", FC_LENGTH,
      "\"40...60 ft\" has three points; a range has two, as in 40..60" },
    { "60-x", FC_NUMBER,
      "\"60-x\" has a - after its number; a range is written with two "
      "points, as in 40..60" },
    { "25 psi (180 kPa)", FC_PRESSURE,
      "\"25 psi (180 kPa)\" says two different things; " ONE_PERCENT },
    { "100 kPa (98.9 kPa)", FC_PRESSURE,
      "\"100 kPa (98.9 kPa)\" says two different things; " ONE_PERCENT },
    { "100 kPa (101.1 kPa)", FC_PRESSURE,
      "\"100 kPa (101.1 kPa)\" says two different things; " ONE_PERCENT },
    { "0 psi (1 kPa)", FC_PRESSURE,
      "\"0 psi (1 kPa)\" says two different things; " ONE_PERCENT },
    { "40..60 ft (12.2..19 m)", FC_LENGTH,
      "\"60 ft (12.2..19 m)\" says two different things; " ONE_PERCENT },
    { "60 degF (14.9 degC)", FC_TEMPERATURE,
      "\"60 degF (14.9 degC)\" says two different things; the figure in "
      "brackets must agree within 1 degF" },
    { "25 psi (12 gpm)", FC_PRESSURE, "\"12 gpm\" is a flow; " A_PRESSURE },
    { "25 psi (172)", FC_PRESSURE, "\"172\" has no unit; " A_PRESSURE },
    { "25 psi (172 kPa", FC_PRESSURE,
      "\"25 psi (172 kPa\" has a bracket left open; " A_PRESSURE },
    { "25 psi (", FC_PRESSURE, "a figure is missing; " A_PRESSURE },
    { "25 psi (172 kPa (1.72 bar))", FC_PRESSURE,
      "\"172 kPa (\" has a bracket within a bracket; " A_PRESSURE },
    { "25 psi (172 kPa) (172 kPa)", FC_PRESSURE,
      "\"25 psi (172 kPa)\" is followed by \"(172 kPa)\"; " A_PRESSURE },
    { "12 ft abcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrstuvwxyz", FC_LENGTH,
      "\"12 ft\" is followed by \"abcdefghijklmnopqrstuvwxyzabcdefghijklmnopq"
      "...\"; " A_LENGTH },
};

START_TEST(refusal)
{
    fc_range value = { true, 1.0, 2.0, 3.0 };
    struct fci_reason why = { "" };

    ck_assert(!fci_read_figure(refusals[_i].text, refusals[_i].dimension, true,
                               &value, &why));
    ck_assert_str_eq(why.text, refusals[_i].why);
    ck_assert(value.nominal == 1.0 && value.low == 2.0 && value.high == 3.0);
    ck_assert(!fci_read_figure(refusals[_i].text, refusals[_i].dimension, true,
                               &value, NULL));
}
END_TEST

START_TEST(no_range_wanted)
{
    fc_range value = { 0 };
    struct fci_reason why;

    ck_assert(!fci_read_figure("40..60 ft", FC_LENGTH, false, &value, &why));
    ck_assert_str_eq(why.text,
                     "\"40..60 ft\" is a range; one figure is needed here");
    ck_assert(!fci_read_figure("25 psi (1..2 bar)", FC_PRESSURE, false, &value,
                               &why));
    ck_assert(!value.given);
}
END_TEST

START_TEST(no_dimension)
{
    fc_range value = { 0 };
    struct fci_reason why;

    ck_assert(!fci_read_figure("1", (fc_dimension)99, true, &value, &why));
    ck_assert_str_eq(why.text,
                     "99 is no dimension; one of fc_dimension is needed");
    ck_assert_str_eq(fc_unit_name(FC_SI, (fc_dimension)99), "");
}
END_TEST

/* Any number of digits is refused or read, never cut short. */
START_TEST(long_number)
{
    char text[300];
    fc_range value = { 0 };
    struct fci_reason why;

    memset(text, '7', sizeof text);
    memcpy(text + 200, " ft", 4);
    ck_assert(!fci_read_figure(text, FC_LENGTH, true, &value, &why));
    ck_assert_str_eq(why.text,
                     "\"7777777777777777777777777777777777777777777...\" has "
                     "too long a number; " A_LENGTH);
    memcpy(text + 100, " ft", 4);
    ck_assert(fci_read_figure(text, FC_LENGTH, true, &value, &why));
    ck_assert(value.nominal > 2.3e99 && value.nominal < 2.4e99);
}
END_TEST

/* ---- Numbers and figures at the start of a text ------------------------ */

static const struct {
    const char *text;
    double value; /* NAN: none */
    const char *rest;
} numbers[] = {
    { "0.1", 0.1, "" },
    { "3 elbow", 3.0, " elbow" },
    { "5..8", 5.0, "..8" },
    { "5.", 5.0, "." },
    { "1,3", 1.0, ",3" },
    { "3/4 x", 0.75, " x" },
    { "1-1/4in", 1.25, "in" },
    { "1 1/4 in", 1.25, " in" },
    { "-2.5e3x", -2500.0, "x" },
    { "1e", 1.0, "e" },
    { "1e+x", 1.0, "e+x" },
    { "-0", 0.0, "" },
    { "179769313486231570000e288", 1.7976931348623157e308, "" },
    { " 1", NAN, " 1" },
    { "", NAN, "" },
    { "x", NAN, "x" },
    { "-", NAN, "-" },
    { "- 1", NAN, "- 1" },
    { ".", NAN, "." },
    { "0x", 0.0, "x" },
    { "1e999", NAN, "1e999" },
    { "1/0", NAN, "1/0" },
};

START_TEST(number)
{
    const char *p = numbers[_i].text;
    double value = NAN;

    ck_assert(fci_read_number(&p, &value) == !isnan(numbers[_i].value));
    ck_assert_str_eq(p, numbers[_i].rest);
    if (isnan(numbers[_i].value)) {
        ck_assert(isnan(value));
    } else {
        ck_assert(value == numbers[_i].value);
        ck_assert(!signbit(value) || value < 0.0);
    }
}
END_TEST

static const struct {
    const char *text;
    fc_dimension dimension;
    double value;
    const char *rest;
} leading[] = {
    { "40 gpm 11.5 psi", FC_FLOW, 40 GPM, "11.5 psi" },
    { "11.5 psi", FC_PRESSURE, 11.5 PSI, "" },
    { "0 gpm 95 ft", FC_FLOW, 0.0, "95 ft" },
    { "95 ft, 60 gpm 84 ft", FC_LENGTH, 95 FT, ", 60 gpm 84 ft" },
    { "12 ft 6 in, 3", FC_LENGTH, 150 IN, ", 3" },
    { "12 ft 60 gpm", FC_LENGTH, 12 FT, "60 gpm" },
    { " 12'-6\" x", FC_LENGTH, 150 IN, "x" },
    { "6 psi at 40 gpm", FC_PRESSURE, 6 PSI, "at 40 gpm" },
    { "25 gpm (1.58 L/s) at", FC_FLOW, 25 GPM, "at" },
    { "2 elbow 90", FC_NUMBER, 2.0, "elbow 90" },
};

START_TEST(leading_figure)
{
    const char *p = leading[_i].text;
    double value = NAN;
    struct fci_reason why = { "" };

    ck_assert_msg(
        fci_read_leading_figure(&p, leading[_i].dimension, &value, &why), "%s",
        why.text);
    ck_assert_str_eq(p, leading[_i].rest);
    ck_assert(near(value, leading[_i].value));
}
END_TEST

START_TEST(leading_refusal)
{
    const char *const text = "40 gpm 11.5 psi", *p = text;
    double value = 7.0;
    struct fci_reason why;

    ck_assert(!fci_read_leading_figure(&p, FC_PRESSURE, &value, &why));
    ck_assert_str_eq(why.text, "\"40 gpm\" is a flow; " A_PRESSURE);
    ck_assert(p == text && value == 7.0);
    p = "12 yd 3 ft";
    ck_assert(!fci_read_leading_figure(&p, FC_LENGTH, &value, &why));
    ck_assert_str_eq(why.text, "\"12 yd\" has an unknown unit; " LENGTHS);
    p = "40..60 gpm";
    ck_assert(!fci_read_leading_figure(&p, FC_FLOW, &value, &why));
    ck_assert_str_eq(why.text, "\"40\" has no unit; " A_FLOW);
}
END_TEST

/* ---- Deviations -------------------------------------------------------- */

static const struct {
    const char *text;
    fc_dimension dimension;
    bool is_fraction;
    double amount;
    const char *why; /* NULL: read */
} deviations[] = {
    { "2 psi", FC_PRESSURE, false, 2 PSI, NULL },
    { "5 %", FC_PRESSURE, true, 0.05, NULL },
    { "5%", FC_NUMBER, true, 0.05, NULL },
    { "10", FC_NUMBER, false, 10.0, NULL },
    { "6 in", FC_LENGTH, false, 6 IN, NULL },
    { "0 ft", FC_LENGTH, false, 0.0, NULL },
    { "9 degF", FC_TEMPERATURE, false, 5.0, NULL },
    { "2 gpm", FC_PRESSURE, false, 0.0,
      "\"2 gpm\" is a flow; " A_PRESSURE ", or 5%" },
    { "-2 psi", FC_PRESSURE, false, 0.0,
      "\"-2 psi\" is below zero; " A_PRESSURE ", or 5%" },
    { "-5 %", FC_NUMBER, false, 0.0, "\"-5 %\" is below zero; " A_NUMBER },
    { "5 % x", FC_PRESSURE, false, 0.0,
      "\"5 %\" is followed by \"x\"; " A_PRESSURE ", or 5%" },
    { "1..2 psi", FC_PRESSURE, false, 0.0,
      "\"1..2 psi\" is a range; one figure is needed here" },
    { "", FC_PRESSURE, false, 0.0,
      "a figure is missing; " A_PRESSURE ", or 5%" },
};

START_TEST(deviation)
{
    fc_deviation value = { false, true, 7.0 };
    struct fci_reason why = { "" };
    const bool read = fci_read_deviation(
        deviations[_i].text, deviations[_i].dimension, &value, &why);

    if (deviations[_i].why) {
        ck_assert(!read);
        ck_assert_str_eq(why.text, deviations[_i].why);
        ck_assert(!value.given && value.is_fraction && value.amount == 7.0);
        return;
    }
    ck_assert_msg(read, "%s", why.text);
    ck_assert(value.given);
    ck_assert(value.is_fraction == deviations[_i].is_fraction);
    ck_assert(near(value.amount, deviations[_i].amount));
}
END_TEST

/* ---- Print ------------------------------------------------------------- */

static const struct {
    fc_unit_system system;
    fc_dimension dimension;
    double si;
    const char *text;
} shows[] = {
    { FC_US, FC_PRESSURE, 62 PSI, "62.0 psi" },
    { FC_US, FC_PRESSURE, -0.01 PSI, "0.0 psi" },
    { FC_US, FC_PRESSURE, -0.06 PSI, "-0.1 psi" },
    { FC_SI, FC_PRESSURE, 427475.0, "427 kPa" },
    { FC_SI, FC_PRESSURE, 9940.0, "9.9 kPa" },
    { FC_SI, FC_PRESSURE, 9960.0, "10 kPa" },
    { FC_SI, FC_PRESSURE, -40.0, "0.0 kPa" },
    { FC_US, FC_FLOW, 25 GPM, "25.0 gpm" },
    { FC_SI, FC_FLOW, 0.0016, "1.60 L/s" },
    { FC_US, FC_LENGTH, 150 IN, "12.5 ft" },
    { FC_US, FC_LENGTH, -150 IN, "-12.5 ft" },
    { FC_SI, FC_LENGTH, 3.5, "3.50 m" },
    { FC_US, FC_SIZE, 0.03175, "1-1/4 in" },
    { FC_SI, FC_SIZE, 0.03175, "1-1/4 in" },
    { FC_US, FC_SIZE, 0.01905, "3/4 in" },
    { FC_US, FC_SIZE, 0.0762, "3 in" },
    { FC_US, FC_SIZE, 0.0015875, "1/16 in" },
    { FC_US, FC_SIZE, 0.035, "35 mm" },
    { FC_SI, FC_SIZE, 0.0667, "66.7 mm" },
    { FC_SI, FC_SIZE, 0.108, "108 mm" },
    { FC_US, FC_VELOCITY, 8 FT, "8.0 ft/s" },
    { FC_SI, FC_VELOCITY, 2.4, "2.40 m/s" },
    { FC_US, FC_VOLUME, 1.6 * 0.003785411784, "1.6 gal" },
    { FC_US, FC_VOLUME, 1.28 * 0.003785411784, "1.28 gal" },
    { FC_US, FC_VOLUME, 0.125 * 0.003785411784, "0.125 gal" },
    { FC_US, FC_VOLUME, 10.0 * 0.003785411784, "10 gal" },
    { FC_US, FC_VOLUME, 0.0, "0 gal" },
    { FC_SI, FC_VOLUME, 0.006, "6 L" },
    { FC_SI, FC_VOLUME, 0.00473, "4.73 L" },
    { FC_US, FC_WATER, 1e6 * 0.003785411784, "1000000 gal" },
    { FC_SI, FC_WATER, 36.43, "36.4 m3" },
    { FC_US, FC_TIME, 3.84, "3.8 s" },
    { FC_SI, FC_TIME, 300.0, "300.0 s" },
    { FC_US, FC_TEMPERATURE, 28.0 / 1.8, "60 degF" },
    { FC_US, FC_TEMPERATURE, -18.0, "0 degF" }, /* -0.4 */
    { FC_SI, FC_TEMPERATURE, 28.0 / 1.8, "15.6 degC" },
    { FC_US, FC_NUMBER, 140.0, "140" },
    { FC_US, FC_NUMBER, 0.5, "0.5" },
    { FC_SI, FC_NUMBER, 1.0 / 3.0, "0.3333" },
    { FC_SI, FC_NUMBER, 12345.0, "12345" },
    { FC_SI, FC_NUMBER, -0.0, "0" },
    { FC_US, FC_PRESSURE, 1e290 PSI, "1e+290 psi" },
    { FC_US, FC_NUMBER, NAN, "nan" },
    { FC_US, FC_NUMBER, INFINITY, "inf" },
};

START_TEST(show)
{
    ck_assert_str_eq(
        fci_show(shows[_i].system, shows[_i].dimension, shows[_i].si).text,
        shows[_i].text);
}
END_TEST

/* The digits alone; the figures are rounded by hand. */
static const struct {
    fc_unit_system system;
    fc_dimension dimension;
    fc_rounding rounding;
    int decimals;
    double si;
    const char *text;
} digits[] = {
    { FC_US, FC_PRESSURE, FC_NEAREST, 0, 24.96 PSI, "25.0" },
    { FC_US, FC_PRESSURE, FC_NEAREST, 2, 24.96 PSI, "24.96" },
    { FC_US, FC_PRESSURE, FC_DOWN, 0, 24.96 PSI, "24.9" },
    { FC_US, FC_PRESSURE, FC_UP, 0, 24.91 PSI, "25.0" },
    { FC_US, FC_PRESSURE, FC_DOWN, 0, 24.3 PSI, "24.3" },
    { FC_US, FC_PRESSURE, FC_UP, 0, 24.3 PSI, "24.3" },
    { FC_SI, FC_PRESSURE, FC_DOWN, 0, 427900.0, "427" },
    { FC_SI, FC_PRESSURE, FC_UP, 0, 427100.0, "428" },
    { FC_SI, FC_PRESSURE, FC_DOWN, 0, 9290.0, "9.2" },
    { FC_SI, FC_PRESSURE, FC_NEAREST, 2, 234.0, "0.23" },
    { FC_SI, FC_SIZE, FC_NEAREST, 0, 1.265 IN, "32.1" },
    { FC_US, FC_VOLUME, FC_NEAREST, 2, 1.6 * 0.003785411784, "1.600" },
    { FC_US, FC_NUMBER, FC_NEAREST, 0, 1.0 / 3.0, "0.3333" },
};

START_TEST(show_digits)
{
    char text[40];

    fc_show(digits[_i].system, digits[_i].dimension, digits[_i].rounding,
            digits[_i].decimals, digits[_i].si, text, sizeof text);
    ck_assert_str_eq(text, digits[_i].text);
}
END_TEST

/* The figure that a report shows, two digits of it at least. */
static const struct {
    fc_unit_system system;
    fc_dimension dimension;
    fc_rounding rounding;
    double si, rounded;
} rounds[] = {
    { FC_US, FC_PRESSURE, FC_NEAREST, 63.26 PSI, 63.3 PSI },
    { FC_US, FC_PRESSURE, FC_DOWN, 6.572016 PSI, 6.5 PSI },
    { FC_US, FC_PRESSURE, FC_DOWN, 6.5 PSI, 6.5 PSI },
    { FC_US, FC_PRESSURE, FC_UP, 63.21 PSI, 63.3 PSI },
    { FC_US, FC_PRESSURE, FC_DOWN, 0.848261 PSI, 0.84 PSI },
    { FC_US, FC_PRESSURE, FC_DOWN, 0, 0 },
    { FC_SI, FC_PRESSURE, FC_NEAREST, 435475, 435e3 },
    { FC_SI, FC_PRESSURE, FC_NEAREST, 8460, 8500 },
    { FC_SI, FC_LENGTH, FC_NEAREST, -3.146, -3.15 },
    { FC_US, FC_FLOW, FC_UP, 42.71 GPM, 42.8 GPM },
};

START_TEST(rounded)
{
    const double got = fci_rounded(rounds[_i].system, rounds[_i].dimension,
                                   rounds[_i].rounding, rounds[_i].si);

    ck_assert_msg(fabs(got - rounds[_i].rounded)
                      <= 1e-12 * fabs(rounds[_i].rounded),
                  "%.17g, not %.17g", got, rounds[_i].rounded);
}
END_TEST

START_TEST(show_number)
{
    char text[40];

    fc_show_number(FC_NEAREST, 0, 99.6, text, sizeof text);
    ck_assert_str_eq(text, "100");
    fc_show_number(FC_DOWN, 1, 4.99, text, sizeof text);
    ck_assert_str_eq(text, "4.9");
    fc_show_number(FC_UP, 1, 5.01, text, sizeof text);
    ck_assert_str_eq(text, "5.1");
    fc_show_number(FC_NEAREST, 1, -0.01, text, sizeof text);
    ck_assert_str_eq(text, "0.0");
}
END_TEST

START_TEST(show_diameter)
{
    ck_assert_str_eq(fci_show_diameter(FC_US, 1.265 IN).text, "1.265 in");
    ck_assert_str_eq(fci_show_diameter(FC_US, 1.5 IN).text, "1.500 in");
    ck_assert_str_eq(fci_show_diameter(FC_SI, 1.265 IN).text, "32.1 mm");
}
END_TEST

START_TEST(show_range)
{
    const fc_range none = { 0 };

#define SHOWN(system, dimension, range)                                       \
    fci_show_range(system, dimension, range).text
    ck_assert_str_eq(SHOWN(FC_US, FC_PRESSURE, fc_between(55 PSI, 62 PSI)),
                     "55.0 to 62.0 psi");
    ck_assert_str_eq(SHOWN(FC_US, FC_PRESSURE, fc_exactly(55 PSI)),
                     "55.0 psi");
    ck_assert_str_eq(SHOWN(FC_US, FC_PRESSURE, fc_between(55 PSI, 55.01 PSI)),
                     "55.0 psi");
    ck_assert_str_eq(SHOWN(FC_SI, FC_LENGTH, fc_between(-2.0, 3.0)),
                     "-2.00 to 3.00 m");
    ck_assert_str_eq(SHOWN(FC_US, FC_SIZE, fc_between(0.01905, 0.0254)),
                     "3/4 to 1 in");
    ck_assert_str_eq(SHOWN(FC_US, FC_SIZE, fc_between(0.01905, 0.022)),
                     "3/4 in to 22 mm");
    ck_assert_str_eq(SHOWN(FC_US, FC_NUMBER, fc_between(60.0, 100.0)),
                     "60 to 100");
    ck_assert_str_eq(SHOWN(FC_US, FC_LENGTH, none), "not given");
}
END_TEST

static const struct {
    fc_dimension dimension;
    const char *us, *si, *name;
} names[] = {
    { FC_NUMBER, "", "", "a number" },
    { FC_PRESSURE, "psi", "kPa", "a pressure" },
    { FC_FLOW, "gpm", "L/s", "a flow" },
    { FC_LENGTH, "ft", "m", "a length" },
    { FC_SIZE, "in", "mm", "a nominal size" },
    { FC_VELOCITY, "ft/s", "m/s", "a velocity" },
    { FC_VOLUME, "gal", "L", "a volume" },
    { FC_TIME, "s", "s", "a time" },
    { FC_TEMPERATURE, "degF", "degC", "a temperature" },
    { FC_WATER, "gal", "m3", "a volume of water" },
};

/* Prices; NAN: it is none. */
static const struct {
    const char *text;
    double price;
} prices[] = {
    { "250", 250 },
    { "$250", 250 },
    { " $ 99.50", 99.5 },
    { "$1,250.00", 1250 },
    { "1,234,567.25", 1234567.25 },
    { "12,000", 12000 },
    { "0", 0 },
    { "1e3", 1000 },
    { "1/2", 0.5 },
    { "$", (double)NAN },
    { "", (double)NAN },
    { "250$", (double)NAN },
    { "$$250", (double)NAN },
    { "1,25", (double)NAN },
    { "1,2500", (double)NAN },
    { ",250", (double)NAN },
    { "1.5,000", (double)NAN },
    { "5%", (double)NAN },
    { "250 psi", (double)NAN },
    { "100..200", (double)NAN },
    { "11111111111111111111111111111111111111111111", (double)NAN },
};

START_TEST(price)
{
    fc_range value = { false, 0, 0, 0 };
    struct fci_reason why = { "" };
    const bool read = fci_read_price(prices[_i].text, &value, &why);

    ck_assert_msg(read == !isnan(prices[_i].price), "%s", prices[_i].text);
    if (read)
        ck_assert_double_eq_tol(value.nominal, prices[_i].price, 1e-9);
    else
        ck_assert_msg(strstr(why.text, "is no price; a number is expected"),
                      "%s", why.text);
}
END_TEST

START_TEST(unit_name)
{
    const fc_dimension dimension = names[_i].dimension;

    ck_assert_str_eq(fc_unit_name(FC_US, dimension), names[_i].us);
    ck_assert_str_eq(fc_unit_name(FC_SI, dimension), names[_i].si);
    ck_assert_str_eq(fci_dimension_name(dimension), names[_i].name);
}
END_TEST

/* ---- Properties -------------------------------------------------------- */

/* What is written out in a unit comes back as the same figure. */
START_TEST(round_trip)
{
    const fc_dimension dimension = names[_i].dimension;
    const double figures[] = { 0.1, 1.0 / 3.0, 1.0, 12.5, 62.0, 98765.4321 };
    int i, system;

    for (i = 0; i < COUNT(figures); i++)
        for (system = FC_US; system <= FC_SI; system++) {
            const fc_unit_system s = (fc_unit_system)system;
            const int thousandths = (int)round(figures[i] * 1000.0);
            char text[64];
            fc_range value = { 0 };

            snprintf(text, sizeof text, "%d.%03d %s", thousandths / 1000,
                     thousandths % 1000, fc_unit_name(s, dimension));
            ck_assert(fci_read_figure(text, dimension, false, &value, NULL));
            ck_assert_double_eq_tol(fc_from_si(s, dimension, value.nominal),
                                    thousandths / 1000.0, 1e-10);
        }
}
END_TEST

/* The US and the SI figure of one quantity are one; by the definitions at the
 * top. */
static const struct {
    const char *us, *si;
    fc_dimension dimension;
} pairs[] = {
    { "1000 psi", "6894.757293168361 kPa", FC_PRESSURE },
    { "1 ftH2O", "0.3048 mH2O", FC_PRESSURE },
    { "1000 gpm", "63.0901964 L/s", FC_FLOW },
    { "1 gpm", "3.785411784 L/min", FC_FLOW },
    { "1 gpm", "0.22712470704 m3/h", FC_FLOW },
    { "1 gal", "3.785411784 L", FC_VOLUME },
    { "10 ft 6 in", "3.2004 m", FC_LENGTH },
    { "5/8 in", "15.875 mm", FC_LENGTH },
    { "10 ft/s", "3.048 m/s", FC_VELOCITY },
    { "77 degF", "25 degC", FC_TEMPERATURE },
};

START_TEST(us_is_si)
{
    fc_range us = { 0 }, si = { 0 };

    ck_assert(
        fci_read_figure(pairs[_i].us, pairs[_i].dimension, false, &us, NULL));
    ck_assert(
        fci_read_figure(pairs[_i].si, pairs[_i].dimension, false, &si, NULL));
    ck_assert(near(us.nominal, si.nominal));
}
END_TEST

/* The middle is exact, between its ends, and cannot overflow. */
START_TEST(middle)
{
    const fc_range wide = fc_between(-1.7e308, 1.7e308);
    const fc_range high = fc_between(1.7e308, 1.7e308);

    ck_assert(fc_between(1.0, 2.0).nominal == 1.5);
    ck_assert(wide.nominal == 0.0);
    ck_assert(high.nominal == 1.7e308);
    ck_assert(fc_exactly(3.0).given && fc_exactly(3.0).low == 3.0
              && fc_exactly(3.0).high == 3.0);
}
END_TEST

START_TEST(parse)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_range value = { 0 };
    fc_diagnostic message;

    ck_assert_ptr_nonnull(messages);
    ck_assert_int_eq(fc_parse("40..60 ft", FC_LENGTH, &value, messages),
                     FC_OK);
    ck_assert(near(value.nominal, 50 FT));
    ck_assert_uint_eq(fc_diagnostics_count(messages), 0);
    ck_assert_int_eq(fc_parse("12 %s %n", FC_LENGTH, &value, messages),
                     FC_EINPUT);
    ck_assert(near(value.nominal, 50 FT));
    ck_assert_uint_eq(fc_diagnostics_count(messages), 1);
    message = fc_diagnostics_at(messages, 0);
    ck_assert_str_eq(message.text, "\"12 %s\" has an unknown unit; " LENGTHS);
    ck_assert(message.severity == FC_FAIL && !message.file
              && message.line == 0);
    ck_assert_int_eq(fc_parse("12", FC_LENGTH, &value, NULL), FC_EINPUT);
    ck_assert_int_eq(fc_parse(NULL, FC_LENGTH, &value, NULL), FC_EINPUT);
    fc_diagnostics_free(messages);
}
END_TEST

/* ---- Locales ----------------------------------------------------------- */

static void (*const enter_locale[])(void) = { enter_first, enter_second };

static void
add_tests(TCase *tc)
{
    tcase_add_loop_test(tc, factor, 0, COUNT(factors));
    tcase_add_loop_test(tc, form, 0, COUNT(forms));
    tcase_add_test(tc, same_size);
    tcase_add_loop_test(tc, dn_is_nps, 0, COUNT(dn_sizes));
    tcase_add_loop_test(tc, refusal, 0, COUNT(refusals));
    tcase_add_test(tc, no_range_wanted);
    tcase_add_test(tc, no_dimension);
    tcase_add_test(tc, long_number);
    tcase_add_loop_test(tc, number, 0, COUNT(numbers));
    tcase_add_loop_test(tc, leading_figure, 0, COUNT(leading));
    tcase_add_test(tc, leading_refusal);
    tcase_add_loop_test(tc, deviation, 0, COUNT(deviations));
    tcase_add_loop_test(tc, show, 0, COUNT(shows));
    tcase_add_loop_test(tc, show_digits, 0, COUNT(digits));
    tcase_add_loop_test(tc, rounded, 0, COUNT(rounds));
    tcase_add_test(tc, show_number);
    tcase_add_test(tc, show_diameter);
    tcase_add_test(tc, show_range);
    tcase_add_loop_test(tc, price, 0, COUNT(prices));
    tcase_add_loop_test(tc, unit_name, 0, COUNT(names));
    tcase_add_loop_test(tc, round_trip, 0, COUNT(names));
    tcase_add_loop_test(tc, us_is_si, 0, COUNT(pairs));
    tcase_add_test(tc, middle);
    tcase_add_test(tc, parse);
}

int
main(void)
{
    Suite *suite = suite_create("units");
    TCase *tc = tcase_create("C");
    int status, i;

    add_tests(tc);
    suite_add_tcase(suite, tc);
    if (!mkdtemp(locales_folder))
        return EXIT_FAILURE;
    for (i = 0; i < COUNT(foreign); i++) {
        if (!has_locale(i))
            continue;
        tc = tcase_create(foreign[i].name);
        tcase_add_checked_fixture(tc, enter_locale[i], leave);
        add_tests(tc);
        suite_add_tcase(suite, tc);
    }
    status = run_suite(suite);
    remove_locales();
    return status;
}
