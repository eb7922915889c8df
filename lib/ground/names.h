/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/names.h -- names without regard to case, and the nearest known
 * one. */
#ifndef FCI_GROUND_NAMES_H
#define FCI_GROUND_NAMES_H

#include "flushcalc.h"

#include <stdint.h>

#define FCI_NO_NAME SIZE_MAX

/* A hash table from name to a number.  Names are borrowed.  Start from
 * { 0 }. */
struct fci_names {
    struct fci_name_slot *slots;
    size_t n_slots, n_names; /* n_slots is a power of two, or 0 */
};

/* Whether two names are the same but for (ASCII) case. */
bool fci_same_name(const char *a, const char *b);

/* Whether a name in a list stands for several: each `*` of it for any letters,
 * or for none. */
bool fci_is_pattern(const char *text);
/* Whether it stands for this one. */
bool fci_name_matches(const char *pattern, const char *name);

/* Enter a name.  *value is what it stands for; where the name is known
 * already, *value becomes the number entered first and *known true.  On
 * FC_ENOMEM the table is as it was. */
fc_status fci_names_enter(struct fci_names *names, const char *name,
                          size_t *value, bool *known);
/* The number of a name; FCI_NO_NAME when it is not known. */
size_t fci_names_find(const struct fci_names *names, const char *name);
void fci_names_free(struct fci_names *names);

/* The one candidate so far that a slip of the pen may have been meant for;
 * they are borrowed.  Start from fci_nearest_to(word).  A suggestion never
 * changes what was said: a word of the name that some candidate has is no slip
 * for another ("flush tank" none for "flush valve"), nor is a number or one or
 * two letters; of two candidates as near, neither is suggested. */
struct fci_nearest {
    const char *word, *best;
    size_t distance;  /* insertions, deletions, substitutions, swaps */
    unsigned known;   /* words of the name, a bit each, that a candidate has */
    unsigned changed; /* those in which it differs from the best */
    bool tie;
    bool term; /* a word of a list, not a name that a user made up: a short one
                  is seldom a slip for another */
};
struct fci_nearest fci_nearest_to(const char *word);
void fci_nearest_try(struct fci_nearest *nearest, const char *candidate);
/* The same of a synonym, where what it means is to be suggested. */
void fci_nearest_try_for(struct fci_nearest *nearest, const char *candidate,
                         const char *means);
/* All names of a table. */
void fci_nearest_try_names(struct fci_nearest *nearest,
                           const struct fci_names *names);
/* That candidate, or NULL when none is near enough to be what was meant: more
 * than a third of the word's letters, and more than two, differ, or more than
 * one of up to five that begin otherwise; or no letter of a word is left the
 * same; or the words are
 * longer than 64 bytes. */
const char *fci_nearest_word(const struct fci_nearest *nearest);

#endif
