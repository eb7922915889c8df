/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/stem.h -- names that are alike but for a number. */
#ifndef FCI_GROUND_STEM_H
#define FCI_GROUND_STEM_H

#include <stdbool.h>
#include <stddef.h>

/* A name around its last number: "wc-3-a" is "wc-", "3" and "-a". */
struct fci_stem {
    size_t before, digits; /* bytes; no digits: the name has no number */
    const char *behind;    /* "" of a name without one */
};

struct fci_stem fci_stem_of(const char *name);
/* Whether names differ in their numbers alone, whichever: "wc-3-12" and
 * "wc-40-1". */
bool fci_names_alike(const char *a, const char *b);

#endif
