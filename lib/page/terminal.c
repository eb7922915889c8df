/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/terminal.c -- characters as a terminal shows them.
 *
 * The program never calls setlocale, so that numbers keep their point; the
 * C library's notions of characters and their widths are of no use then.
 */
#include "page/terminal.h"

#include <stdint.h>
#include <string.h>

struct span {
    uint32_t first, last;
};

/* Controls, and what turns the direction of text or hides in it. */
static const struct span unprintable[] = {
    { 0x0000, 0x001f }, { 0x007f, 0x009f },   { 0x00ad, 0x00ad },
    { 0x061c, 0x061c }, { 0x200b, 0x200f },   { 0x2028, 0x202e },
    { 0x2060, 0x206f }, { 0xfeff, 0xfeff },   { 0xfff9, 0xfffb },
    { 0xd800, 0xdfff }, { 0xe0000, 0xe0fff },
};

/* Marks that stand over the letter before them. */
static const struct span combining[] = {
    { 0x0300, 0x036f }, { 0x1ab0, 0x1aff }, { 0x1dc0, 0x1dff },
    { 0x20d0, 0x20f0 }, { 0xfe00, 0xfe0f }, { 0xfe20, 0xfe2f },
};

/* East Asian characters and pictures of two columns. */
static const struct span wide[] = {
    { 0x1100, 0x115f },   { 0x2e80, 0xa4cf },   { 0xac00, 0xd7a3 },
    { 0xf900, 0xfaff },   { 0xfe30, 0xfe6f },   { 0xff00, 0xff60 },
    { 0xffe0, 0xffe6 },   { 0x1f300, 0x1f64f }, { 0x1f680, 0x1f6ff },
    { 0x1f900, 0x1f9ff }, { 0x20000, 0x3fffd },
};

#define IN(spans, c) in_spans(spans, sizeof(spans) / sizeof(spans)[0], c)

static bool
in_spans(const struct span *spans, size_t n, uint32_t c)
{
    for (size_t i = 0; i < n; i++)
        if (c >= spans[i].first && c <= spans[i].last)
            return true;
    return false;
}

/* Bytes of the sequence that this byte leads; 0 when it leads none. */
static size_t
sequence_length(unsigned char lead)
{
    if (lead < 0x80)
        return 1;
    if (lead >= 0xc2 && lead <= 0xdf)
        return 2;
    if (lead >= 0xe0 && lead <= 0xef)
        return 3;
    if (lead >= 0xf0 && lead <= 0xf4)
        return 4;
    return 0;
}

/* The character at s and its bytes; false where there is no whole one. */
static bool
decode(const char *s, uint32_t *c, size_t *bytes)
{
    static const uint32_t least[] = { 0, 0, 0x80, 0x800, 0x10000 };
    static const uint32_t lead_bits[] = { 0, 0x7f, 0x1f, 0x0f, 0x07 };
    size_t n = sequence_length((unsigned char)s[0]);

    if (n == 0)
        return false;
    *c = (unsigned char)s[0] & lead_bits[n];
    for (size_t i = 1; i < n; i++) {
        if (((unsigned char)s[i] & 0xc0) != 0x80)
            return false;
        *c = *c << 6 | ((unsigned char)s[i] & 0x3f);
    }
    *bytes = n;
    return *c >= least[n] && *c <= 0x10ffff;
}

struct fci_char
fci_text_next(const char *s)
{
    struct fci_char next = { 1, 1, false };
    uint32_t c;
    size_t bytes;

    if (!decode(s, &c, &bytes))
        return next;
    next.bytes = bytes;
    next.printable = !IN(unprintable, c);
    if (next.printable)
        next.columns = IN(combining, c) ? 0 : IN(wide, c) ? 2 : 1;
    return next;
}

size_t
fci_text_width(const char *s)
{
    size_t columns = 0;

    while (*s) {
        struct fci_char c = fci_text_next(s);

        columns += c.columns;
        s += c.bytes;
    }
    return columns;
}

size_t
fci_text_fit(const char *s, size_t columns)
{
    size_t bytes = 0, used = 0;

    while (s[bytes]) {
        struct fci_char c = fci_text_next(s + bytes);

        if (used + c.columns > columns && bytes > 0)
            break;
        used += c.columns;
        bytes += c.bytes;
    }
    return bytes;
}

const char *
fci_text_end(const char *s, size_t columns)
{
    while (fci_text_width(s) > columns)
        s += fci_text_next(s).bytes;
    return s;
}

/* The columns up to a space. */
static size_t
word_width(const char *s)
{
    size_t columns = 0;

    while (*s && *s != ' ') {
        const struct fci_char c = fci_text_next(s);

        columns += c.columns;
        s += c.bytes;
    }
    return columns;
}

size_t
fci_text_fit_word(const char *s, size_t columns, bool in_names)
{
    const size_t bytes = fci_text_fit(s, columns);
    size_t word = bytes;

    if (!s[bytes] || s[bytes] == ' ')
        return bytes;
    while (word > 0 && s[word - 1] != ' ')
        word--;
    if (in_names && word_width(s + word) > columns)
        for (size_t i = bytes; i > word + 1; i--)
            if (strchr("-_/", s[i - 1]))
                return i;
    return word > 1 ? word : bytes;
}

void
fci_text_write(FILE *out, const char *s, size_t bytes)
{
    size_t i = 0;

    while (i < bytes) {
        struct fci_char c = fci_text_next(s + i);

        if (c.printable)
            fwrite(s + i, 1, c.bytes, out);
        else
            fputc('?', out);
        i += c.bytes;
    }
}
