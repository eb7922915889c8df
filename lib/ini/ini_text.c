/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/ini_text.c -- the text of one line. */
#include "ini/ini_text.h"
#include "ground/characters.h"

#include <string.h>

bool
fci_plain_line(const char *from, size_t n, char *to,
               struct fci_not_text *wrong)
{
    size_t i = 0, size;
    long c;

    while (i < n) {
        if (from[i] >= ' ' && from[i] < 0x7f) { /* nearly all of them */
            *to++ = from[i++];
            continue;
        }
        c = fci_code_point(from + i, n - i, &size);
        if (c == '\t' || c == 0xa0) {
            *to++ = ' ';
        } else if (fci_is_control(c)) {
            *wrong = (struct fci_not_text){ i + 1, c, (unsigned char)from[i] };
            return false;
        } else {
            memcpy(to, from + i, size);
            to += size;
        }
        i += size;
    }
    *to = '\0';
    return true;
}

char *
fci_trimmed(char *text)
{
    size_t n;

    text += strspn(text, " ");
    n = strlen(text);
    while (n > 0 && text[n - 1] == ' ')
        n--;
    text[n] = '\0';
    return text;
}

char *
fci_squeezed(char *text)
{
    char *to, *from;

    text = fci_trimmed(text);
    for (to = from = text; *from; from++)
        if (*from != ' ' || from[1] != ' ')
            *to++ = *from;
    *to = '\0';
    return text;
}

bool
fci_is_comment(char c)
{
    return c == ';' || c == '#';
}

char *
fci_comment_in(char *text, const char *end)
{
    for (; text < end; text++)
        if (*text == ' ' && fci_is_comment(text[1]))
            return text + 1;
    return NULL;
}

struct fci_excerpt
fci_excerpt(const char *text)
{
    struct fci_excerpt e;
    size_t n = strlen(text);

    if (n < sizeof e.text) {
        memcpy(e.text, text, n + 1);
        return e;
    }
    n = sizeof e.text - sizeof "...";
    while (n > 0 && ((unsigned char)text[n] & 0xc0) == 0x80)
        n--; /* not in the middle of a character */
    memcpy(e.text, text, n);
    memcpy(e.text + n, "...", sizeof "...");
    return e;
}
