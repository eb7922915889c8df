/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/characters.h -- characters without regard to locale, on which
 * <ctype.h> depends and a site file does not. */
#ifndef FCI_GROUND_CHARACTERS_H
#define FCI_GROUND_CHARACTERS_H

#include <stdbool.h>
#include <stddef.h>

static inline char
fci_lower(char c)
{
    return (char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
}

static inline bool
fci_is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static inline bool
fci_is_letter(char c)
{
    return fci_lower(c) >= 'a' && fci_lower(c) <= 'z';
}

/* Behind the digits at p. */
const char *fci_skip_digits(const char *p);
/* Length of the blank at p, 0 for none: a space, a tab or a no-break space,
 * which comes with copying. */
size_t fci_blank(const char *p);
/* Behind the blanks at p. */
const char *fci_skip_blanks(const char *p);
/* The length of a match of `word` at p without regard to case, or 0. */
size_t fci_match(const char *p, const char *word);

/* The code point at the start of n > 0 bytes of UTF-8, its length in *size;
 * -1 when there is none. */
long fci_code_point(const char *text, size_t n, size_t *size);
/* Whether a code point is a control character (one that a terminal might
 * obey), or none at all. */
bool fci_is_control(long code_point);

#endif
