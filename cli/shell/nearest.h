/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/nearest.h -- the known word that a mistyped one may have been. */
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

#endif
