/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/units/number.c -- numbers and fractions, whatever the locale. */
#include "units/number.h"
#include "ground/characters.h"
#include "ground/synonyms.h"
#include "units/units.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LONGEST_NUMBER 100

/* What the locale has for a decimal point.  localeconv() would say, but is
 * not safe among threads. */
struct radix {
    char text[16];
    size_t length;
};

static struct radix
locale_radix(void)
{
    struct radix radix = { ".", 1 };
    char half[32];
    int n = snprintf(half, sizeof half, "%.1f", 0.5);

    if (n >= 3 && (size_t)n - 2 < sizeof radix.text) {
        radix.length = (size_t)n - 2; /* between 0 and 5 */
        memcpy(radix.text, half + 1, radix.length);
        radix.text[radix.length] = '\0';
    }
    return radix;
}

/* A number with the locale's own point in place of its point. */
static double
to_double_by_radix(const char *number)
{
    const struct radix radix = locale_radix();
    char token[LONGEST_NUMBER + 1 + sizeof radix.text];
    const size_t before = strcspn(number, ".");

    memcpy(token, number, before);
    memcpy(token + before, radix.text, radix.length);
    strcpy(token + before + radix.length, number + before + 1);
    return strtod(token, NULL);
}

/* strtod() on what is known to be a number; where it stops, it is at a point
 * that is not the locale's. */
static double
to_double(const char *start, size_t length)
{
    char token[LONGEST_NUMBER + 1], *end;
    double value;

    memcpy(token, start, length);
    token[length] = '\0';
    value = strtod(token, &end);
    return *end == '.' ? to_double_by_radix(token) : value;
}

/* Behind "12", "12.5", ".5", "1.2e3"; p itself when there is no number.  A
 * point is followed by a digit, so that "40..60" is two numbers. */
static const char *
decimal_end(const char *p)
{
    const char *start = p, *exponent;

    p = fci_skip_digits(p);
    if (*p == '.' && fci_is_digit(p[1]))
        p = fci_skip_digits(p + 1);
    if (p == start || fci_lower(*p) != 'e')
        return p;
    exponent = p + 1;
    if (*exponent == '-' || *exponent == '+')
        exponent++;
    return fci_is_digit(*exponent) ? fci_skip_digits(exponent) : p;
}

static bool
at_fraction(const char *p)
{
    const char *slash = fci_skip_digits(p);

    return slash > p && *slash == '/' && fci_is_digit(slash[1]);
}

/* The "3/4" at *text added to *value; what is wrong, or NULL. */
static const char *
add_fraction(const char **text, bool mixed, double *value)
{
    const char *above = *text, *slash = fci_skip_digits(above);
    const char *below = slash + 1, *end = fci_skip_digits(below);
    double n, d;

    if (end - above > LONGEST_NUMBER)
        return "has too long a number";
    n = to_double(above, (size_t)(slash - above));
    d = to_double(below, (size_t)(end - below));
    if (!(d > 0.0))
        return "divides by zero";
    if (mixed && !(n < d))
        return "has a fraction of 1 or more beside a whole number";
    *value += n / d;
    *text = end;
    return NULL;
}

/* "\xC2\xBD": a fraction of one character, and its length; 0: none. */
static size_t
vulgar_at(const char *p, double *value)
{
    const struct fci_synonym *fraction;
    const char *text;
    size_t n;

    if ((unsigned char)*p < 0x80)
        return 0;
    fraction = fci_synonym_at("fractions", p, SIZE_MAX, &n);
    if (!fraction)
        return 0;
    text = fraction->means;
    *value = 0;
    return add_fraction(&text, false, value) ? 0 : n;
}

/* The "12.5", or the "1-1/4" or "1 1/4" that begins with a whole number, at
 * *text; what is wrong, or NULL. */
static const char *
scan_decimal(const char **text, double *value)
{
    const char *p = *text, *end = decimal_end(p), *part;
    double fraction;
    size_t n;

    if (end == p && (n = vulgar_at(p, value)) > 0) {
        *text += n;
        return NULL;
    }
    if (end == p)
        return *p == '_'
                   ? "is still blank: fill it in, or take the section out"
                   : "does not start with a number";
    if (end - p > LONGEST_NUMBER)
        return "has too long a number";
    *value = to_double(p, (size_t)(end - p));
    *text = end;
    part = *end == '-' ? end + 1 : fci_skip_blanks(end);
    if (end == fci_skip_digits(p) && (n = vulgar_at(part, &fraction)) > 0) {
        *value += fraction;
        *text = part + n;
        return NULL;
    }
    if (part == end || end != fci_skip_digits(p) || !at_fraction(part))
        return NULL;
    *text = part;
    return add_fraction(text, true, value);
}

const char *
fci_scan_magnitude(const char **text, double *value)
{
    const char *p = *text, *wrong;

    *value = 0.0;
    wrong = at_fraction(p) ? add_fraction(&p, false, value)
                           : scan_decimal(&p, value);
    if (!wrong && !isfinite(*value))
        wrong = "is too large";
    if (!wrong)
        *text = p;
    return wrong;
}

bool
fci_scan_sign(const char **text)
{
    const bool negative = **text == '-';

    if (negative || **text == '+')
        ++*text;
    return negative;
}

bool
fci_read_number(const char **text, double *value)
{
    const char *p = *text;
    const bool negative = fci_scan_sign(&p);
    double magnitude;

    if (fci_scan_magnitude(&p, &magnitude))
        return false;
    *value = negative && magnitude > 0.0 ? -magnitude : magnitude;
    *text = p;
    return true;
}

void
fci_plain_number(char *text)
{
    char *point = text + strspn(text, "-0123456789");

    if (*point && *point != '.') { /* the locale's point, or an exponent */
        const struct radix radix = locale_radix();

        point = strstr(text, radix.text);
        if (point) {
            *point = '.';
            memmove(point + 1, point + radix.length,
                    strlen(point + radix.length) + 1);
        }
    }
    if (text[0] == '-' && text[strspn(text, "-0.")] == '\0')
        memmove(text, text + 1, strlen(text));
}
