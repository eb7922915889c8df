/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/fuzz/say.c -- what holds for every text and figure. */
#include "fuzz/fuzz.h"

#include <math.h>

/* ---- Messages ---------------------------------------------------------- */

/* How long the UTF-8 character is that begins with this byte; 0: none does. */
static size_t
character(unsigned char first)
{
    if (first < 0x80)
        return 1;
    return first < 0xc2   ? 0
           : first < 0xe0 ? 2
           : first < 0xf0 ? 3
           : first < 0xf5 ? 4
                          : 0;
}

/* One line of UTF-8, nothing that a terminal obeys. */
const char *
try_line(const char *text)
{
    size_t n;

    HOLDS(text && *text);
    while (*text) {
        n = character((unsigned char)*text);
        HOLDS(n > 0);
        HOLDS((unsigned char)*text >= ' ' && *text != 0x7f);
        for (text++; n > 1; n--, text++)
            HOLDS(((unsigned char)*text & 0xc0) == 0x80);
    }
    return NULL;
}

const char *
try_messages(fc_status status, const fc_diagnostics *messages)
{
    const size_t n = fc_diagnostics_count(messages);
    size_t i;

    HOLDS((status == FC_OK) == (n == 0));
    HOLDS(n <= 51);
    for (i = 0; i < n; i++) {
        HOLDS(fc_diagnostics_at(messages, i).severity == FC_FAIL);
        HOLDS(fc_diagnostics_at(messages, i).line >= 0);
        ALL_HOLD(try_line(fc_diagnostics_at(messages, i).text));
    }
    return NULL;
}

/* ---- Figures ----------------------------------------------------------- */

const char *
try_range(fc_range range)
{
    if (!range.given)
        return NULL;
    HOLDS(isfinite(range.low) && isfinite(range.high));
    HOLDS(range.low <= range.nominal);
    HOLDS(range.nominal <= range.high);
    return NULL;
}
