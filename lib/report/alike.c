/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/alike.c -- parts told together: those of names that differ in
 * their numbers alone. */
#include "report/alike.h"

static bool
is_digit(char c)
{
    return c >= '0' && c <= '9';
}

bool
fci_names_alike(const char *a, const char *b)
{
    for (;;) {
        if (is_digit(*a) && is_digit(*b)) {
            while (is_digit(*a))
                a++;
            while (is_digit(*b))
                b++;
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
