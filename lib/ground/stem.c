/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/stem.c -- names that are alike but for a number. */
#include "ground/stem.h"

#include <string.h>

static bool
is_digit(char c)
{
    return c >= '0' && c <= '9';
}

struct fci_stem
fci_stem_of(const char *name)
{
    const size_t length = strlen(name);
    size_t end = length, start;

    while (end > 0 && !is_digit(name[end - 1]))
        end--;
    if (end == 0)
        return (struct fci_stem){ length, 0, name + length };
    for (start = end; start > 0 && is_digit(name[start - 1]);)
        start--;
    return (struct fci_stem){ start, end - start, name + end };
}

bool
fci_names_alike(const char *a, const char *b)
{
    for (;;) {
        if (is_digit(*a) && is_digit(*b)) {
            a += strspn(a, "0123456789");
            b += strspn(b, "0123456789");
        } else if (*a != *b) {
            return false;
        } else if (!*a) {
            return true;
        } else {
            a++;
            b++;
        }
    }
}
