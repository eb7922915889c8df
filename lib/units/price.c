/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/units/price.c -- prices: a number, with or without the dollar sign. */
#include "ground/characters.h"
#include "units/figure_refusal.h"

#include <string.h>

#define LONGEST_PRICE 40

/* A comma that parts thousands: three digits follow it, and a digit stands
 * before it. */
static bool
parts_thousands(const char *start, const char *comma)
{
    return comma > start && fci_is_digit(comma[-1])
           && fci_skip_digits(comma + 1) == comma + 4
           && !memchr(start, '.', (size_t)(comma - start));
}

/* "1,250.00" as "1250.00". */
static bool
without_commas(const char *text, char *plain)
{
    const char *p;
    size_t n = 0;

    for (p = text; *p; p++) {
        if (*p == ',' && parts_thousands(text, p))
            continue;
        if (n == LONGEST_PRICE)
            return false;
        plain[n++] = *p;
    }
    plain[n] = '\0';
    return true;
}

bool
fci_read_price(const char *text, fc_range *price, struct fci_reason *why)
{
    const struct fci_wanted wanted = { .dimension = FC_NUMBER, .why = why };
    const char *start = fci_skip_blanks(text), *digits = start;
    char plain[LONGEST_PRICE + 1];

    if (*digits == '$')
        digits = fci_skip_blanks(digits + 1);
    if (without_commas(digits, plain) && !strchr(plain, '%')
        && fci_read_figure(plain, FC_NUMBER, false, price, NULL))
        return true;
    return fci_refuse_for(&wanted, start, start + strlen(start),
                          "is no price; a number is expected, such as 250 or "
                          "$1,250.00");
}
