/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/characters.c -- characters without regard to locale.
 *
 *   [RFC3629]  F. Yergeau, UTF-8, a transformation format of ISO 10646,
 *              RFC 3629, 2003
 */
#include "ground/characters.h"

#include <string.h>

const char *
fci_skip_digits(const char *p)
{
    while (fci_is_digit(*p))
        p++;
    return p;
}

size_t
fci_blank(const char *p)
{
    if (*p == ' ' || *p == '\t')
        return 1;
    return strncmp(p, "\xC2\xA0", 2) == 0 ? 2 : 0;
}

const char *
fci_skip_blanks(const char *p)
{
    size_t n;

    while ((n = fci_blank(p)) > 0)
        p += n;
    return p;
}

size_t
fci_match(const char *p, const char *word)
{
    size_t n = 0;

    for (; word[n]; n++)
        if (fci_lower(p[n]) != fci_lower(word[n]))
            return 0;
    return n;
}

/* Neither longer than need be, nor a surrogate, nor above U+10FFFF:
 * [RFC3629], section 3. */
long
fci_code_point(const char *text, size_t n, size_t *size)
{
    static const long least[] = { 0, 0, 0x80, 0x800, 0x10000 };
    long c = (unsigned char)text[0];
    size_t i;

    *size = c < 0x80 ? 1 : c < 0xc0 ? 0 : c < 0xe0 ? 2 : c < 0xf0 ? 3 : 4;
    if (*size == 1)
        return c;
    if (*size == 0 || c > 0xf4 || *size > n)
        return -1;
    c &= 0x7f >> *size;
    for (i = 1; i < *size; i++) {
        if ((text[i] & 0xc0) != 0x80)
            return -1;
        c = c << 6 | (text[i] & 0x3f);
    }
    if (c < least[*size] || c > 0x10ffff || (c >= 0xd800 && c <= 0xdfff))
        return -1;
    return c;
}

bool
fci_is_control(long code_point)
{
    return code_point < 0x20 || (code_point >= 0x7f && code_point < 0xa0);
}
