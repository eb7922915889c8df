/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/nearest.h -- the known words that a mistyped or shortened one may
 * have been. */
#ifndef CLI_SHELL_NEAREST_H
#define CLI_SHELL_NEAREST_H

#include <stddef.h>

/* The best of the words so far, which is borrowed.  Start from
 * { word, NULL, 0 }. */
struct nearest {
    const char *word, *best;
    size_t distance;
};

/* Without regard to (ASCII) case.  A word of which more than a third, and
 * more than two letters, differ is none. */
void nearest_try(struct nearest *nearest, const char *candidate);

/* Keep those of n words that begin so, in their order; how many there are. */
size_t words_begun(const char *begin, const char **words, size_t n);

/* "--seed, --set or --sheet": n words with a mark before each, the last joined
 * by another word. */
void words_join(char *list, size_t size, const char *const *words, size_t n,
                const char *mark, const char *last);

#endif
