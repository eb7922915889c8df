/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/units/show.c -- figures for print, with as many digits as they are
 * worth. */
#include "units/number.h"
#include "units/unit_table.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define FREE (-1) /* four figures, or all those before the point */
#define LARGEST_PLAIN 1e9
#define FINEST 15         /* decimals: a double has no more digits */
#define ON_THE_DIGIT 1e-6 /* far below what is shown */

/* Digits after the point. */
struct precision {
    int us, si;
    bool trim; /* without zeros at the end */
};

static const struct precision precisions[] = {
    [FC_NUMBER] = { FREE, FREE, false }, [FC_PRESSURE] = { 1, 0, false },
    [FC_FLOW] = { 1, 2, false },         [FC_LENGTH] = { 1, 2, false },
    [FC_SIZE] = { 3, 1, false },         [FC_VELOCITY] = { 1, 2, false },
    [FC_VOLUME] = { 3, 2, true },        [FC_TIME] = { 1, 1, false },
    [FC_TEMPERATURE] = { 0, 1, false },  [FC_WATER] = { 0, 1, false },
};

static struct precision
precision_of(fc_dimension dimension)
{
    return precisions[fci_dimension(dimension) ? dimension : FC_NUMBER];
}

int
fci_decimals(fc_unit_system system, fc_dimension dimension)
{
    const struct precision precision = precision_of(dimension);

    return system == FC_SI ? precision.si : precision.us;
}

struct digits {
    char text[40];
};

static void
trim_zeros(char *text)
{
    size_t n = strlen(text);

    if (!strchr(text, '.') || strchr(text, 'e'))
        return;
    while (text[n - 1] == '0')
        n--;
    text[text[n - 1] == '.' ? n - 1 : n] = '\0';
}

static double
rounded(double x, int decimals, fc_rounding rounding)
{
    const double scale = pow(10.0, decimals);

    if (rounding == FC_DOWN)
        return floor((x + ON_THE_DIGIT) * scale) / scale;
    if (rounding == FC_UP)
        return ceil((x - ON_THE_DIGIT) * scale) / scale;
    return round(x * scale) / scale;
}

static struct digits
number_text(double x, int decimals, fc_rounding rounding, bool trim)
{
    struct digits d;

    if (isnan(x))
        snprintf(d.text, sizeof d.text, "nan");
    else if (!(fabs(x) < LARGEST_PLAIN)
             || (decimals == FREE && fabs(x) < 1000.0))
        snprintf(d.text, sizeof d.text, "%.4g", x);
    else
        snprintf(d.text, sizeof d.text, "%.*f",
                 decimals == FREE ? 0 : decimals,
                 rounding == FC_NEAREST
                     ? x
                     : rounded(x, decimals == FREE ? 0 : decimals, rounding));
    fci_plain_number(d.text);
    if (trim)
        trim_zeros(d.text);
    return d;
}

/* "1-1/4" when the size is a number of sixteenths; "" otherwise. */
static struct digits
inches_text(double si)
{
    struct digits d = { "" };
    const double sixteenths = si / 0.0254 * 16.0;
    int whole, n, below = 16;

    if (!(sixteenths > 0.5 && sixteenths < 16e4)
        || fabs(sixteenths - round(sixteenths)) > 1e-6)
        return d;
    n = (int)lround(sixteenths);
    whole = n / 16;
    n %= 16;
    for (; n > 0 && n % 2 == 0; n /= 2)
        below /= 2;
    if (n == 0)
        snprintf(d.text, sizeof d.text, "%d", whole);
    else if (whole == 0)
        snprintf(d.text, sizeof d.text, "%d/%d", n, below);
    else
        snprintf(d.text, sizeof d.text, "%d-%d/%d", whole, n, below);
    return d;
}

struct printed {
    struct digits digits;
    const char *unit;
};

static struct printed
size_text(double si)
{
    struct printed p = { inches_text(si), "in" };

    if (!p.digits.text[0]) {
        p.digits = number_text(1000.0 * si, 2, FC_NEAREST, true);
        p.unit = "mm";
    }
    return p;
}

/* `x` is in the unit of a report. */
static int
decimals_of(fc_unit_system system, fc_dimension dimension, double x)
{
    if (dimension == FC_PRESSURE && system == FC_SI && fabs(x) < 9.95)
        return 1; /* 1 kPa is too coarse for a small loss */
    if (dimension == FC_VOLUME && fabs(x) >= 100)
        return 0; /* no flush, but what adds up */
    return fci_decimals(system, dimension);
}

double
fci_rounded(fc_unit_system system, fc_dimension dimension,
            fc_rounding rounding, double si)
{
    const struct fci_dimension *d = fci_dimension(dimension);
    const double x = fc_from_si(system, dimension, si);
    int decimals = decimals_of(system, dimension, x);

    if (x != 0) /* two digits */
        decimals = (int)fmax(decimals, 1 - floor(log10(fabs(x))));
    return fci_to_si(&fci_units[system == FC_SI ? d->si : d->us],
                     rounded(x, decimals, rounding));
}

static struct digits
digits_of(fc_unit_system system, fc_dimension dimension, fc_rounding rounding,
          int least, double si)
{
    const double x = fc_from_si(system, dimension, si);
    int decimals = decimals_of(system, dimension, x);

    if (least > 0 && least > decimals)
        decimals = least;
    return number_text(x, decimals, rounding,
                       precision_of(dimension).trim && least <= 0);
}

/* As many as were asked for, and no more than 40 characters hold. */
static int
few(int decimals)
{
    return decimals < FREE ? FREE : decimals < FINEST ? decimals : FINEST;
}

void
fc_show(fc_unit_system system, fc_dimension dimension, fc_rounding rounding,
        int decimals, double si, char *text, size_t size)
{
    if (!text)
        return;
    snprintf(text, size, "%s",
             digits_of(system, dimension, rounding, few(decimals), si).text);
}

void
fc_show_number(fc_rounding rounding, int decimals, double number, char *text,
               size_t size)
{
    if (text)
        snprintf(text, size, "%s",
                 number_text(number, few(decimals), rounding, false).text);
}

static struct printed
printed(fc_unit_system system, fc_dimension dimension, double si)
{
    struct printed p;

    if (dimension == FC_SIZE)
        return size_text(si);
    p.digits = digits_of(system, dimension, FC_NEAREST, 0, si);
    p.unit = fc_unit_name(system, dimension);
    return p;
}

static struct fci_shown
shown(const char *digits, const char *unit)
{
    struct fci_shown s;

    snprintf(s.text, sizeof s.text, *unit ? "%s %s" : "%s%s", digits, unit);
    return s;
}

struct fci_shown
fci_show(fc_unit_system system, fc_dimension dimension, double si)
{
    const struct printed p = printed(system, dimension, si);

    return shown(p.digits.text, p.unit);
}

struct fci_shown
fci_show_at_most(fc_unit_system system, fc_dimension dimension, double si)
{
    return shown(digits_of(system, dimension, FC_DOWN, 0, si).text,
                 fc_unit_name(system, dimension));
}

#define MOST_DECIMALS 6

struct fci_shown
fci_show_beyond(fc_unit_system system, fc_dimension dimension, double si,
                double limit)
{
    struct digits past, at;
    int least = 0;

    do {
        past = digits_of(system, dimension, FC_NEAREST, least, si);
        at = digits_of(system, dimension, FC_NEAREST, least, limit);
    } while (strcmp(past.text, at.text) == 0 && least++ < MOST_DECIMALS);
    if (least > MOST_DECIMALS) /* they are the same */
        past = digits_of(system, dimension, FC_NEAREST, 0, si);
    return shown(past.text, fc_unit_name(system, dimension));
}

struct fci_shown
fci_show_diameter(fc_unit_system system, double si)
{
    return shown(digits_of(system, FC_SIZE, FC_NEAREST, 0, si).text,
                 fc_unit_name(system, FC_SIZE));
}

struct fci_shown
fci_show_range(fc_unit_system system, fc_dimension dimension, fc_range range)
{
    const struct printed low = printed(system, dimension, range.low);
    const struct printed high = printed(system, dimension, range.high);
    const bool same_unit = strcmp(low.unit, high.unit) == 0;
    char both[2 * sizeof(struct digits) + 8];

    if (!range.given)
        return shown("not given", "");
    if (same_unit && strcmp(low.digits.text, high.digits.text) == 0)
        return shown(low.digits.text, low.unit);
    snprintf(both, sizeof both, "%s%s%s to %s", low.digits.text,
             same_unit ? "" : " ", same_unit ? "" : low.unit,
             high.digits.text);
    return shown(both, high.unit);
}
