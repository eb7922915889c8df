/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/nearest.c -- the known words that a mistyped or shortened one may
 * have been. */
#include "shell/nearest.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#define LONGEST 64

static int
lower(char c)
{
    return tolower((unsigned char)c);
}

static size_t
least_of(size_t a, size_t b, size_t c)
{
    size_t least = a < b ? a : b;

    return least < c ? least : c;
}

/* Insertions, deletions and substitutions, row by row. */
static size_t
distance(const char *a, const char *b)
{
    size_t row[LONGEST + 1];
    size_t n = strlen(b);

    for (size_t j = 0; j <= n; j++)
        row[j] = j;
    for (size_t i = 0; a[i]; i++) {
        size_t diagonal = row[0];

        row[0] = i + 1;
        for (size_t j = 0; j < n; j++) {
            size_t substituted = diagonal + (lower(a[i]) != lower(b[j]));

            diagonal = row[j + 1];
            row[j + 1] = least_of(substituted, row[j] + 1, diagonal + 1);
        }
    }
    return row[n];
}

void
nearest_try(struct nearest *nearest, const char *candidate)
{
    size_t length = strlen(nearest->word);
    size_t most = length / 3 > 2 ? length / 3 : 2;
    size_t d;

    if (length > LONGEST || strlen(candidate) > LONGEST)
        return;
    d = distance(nearest->word, candidate);
    if (d > most || d >= length)
        return;
    if (!nearest->best || d < nearest->distance) {
        nearest->best = candidate;
        nearest->distance = d;
    }
}

size_t
words_begun(const char *begin, const char **words, size_t n)
{
    size_t kept = 0;

    for (size_t i = 0; i < n; i++)
        if (strncmp(words[i], begin, strlen(begin)) == 0)
            words[kept++] = words[i];
    return kept;
}

void
words_join(char *list, size_t size, const char *const *words, size_t n,
           const char *mark, const char *last)
{
    size_t used = 0;

    list[0] = '\0';
    for (size_t i = 0; i < n && used < size; i++) {
        const char *join = i == 0 ? "" : i + 1 < n ? ", " : last;

        used += (size_t)snprintf(list + used, size - used, "%s%s%s", join,
                                 mark, words[i]);
    }
}
