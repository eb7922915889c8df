/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/synonyms.h -- what else the trade calls a thing: the lists of
 * tables/synonyms.ini.
 *
 * A word stands in a list for the one that the program knows, or for several:
 * then it is the reader who has to say which.  Letters match without regard to
 * case; blanks, commas, hyphens and underscores, one or several of them, and a
 * point at the end of a word all part two words: "Hose-bibb" is "hose bibb".
 */
#ifndef FCI_GROUND_SYNONYMS_H
#define FCI_GROUND_SYNONYMS_H

#include <stdbool.h>
#include <stddef.h>

struct fci_synonym {
    const char *list;  /* "fittings" */
    const char *word;  /* "90 elbow", in plain words: see fci_plain_words() */
    const char *means; /* "elbow 90" */
};

/* All lists, in ascending order of list, word and meaning: made of the table
 * by tables/embed. */
extern const struct fci_synonym fci_synonyms[];
extern const size_t fci_n_synonyms;

#define FCI_PLAIN_WORDS 64
/* The words of a text in lower case with a space between any two.  false: they
 * do not fit, and are no word that is known. */
bool fci_plain_words(const char *text, char words[FCI_PLAIN_WORDS]);
/* Whether two texts are the same words. */
bool fci_same_words(const char *a, const char *b);

/* What a word means: n synonyms from `at` on, alike but for `means`. */
struct fci_meanings {
    const struct fci_synonym *at;
    size_t n;
};
struct fci_meanings fci_meanings(const char *list, const char *word);
/* Whether `word` is `meant`, or stands for it in the list. */
bool fci_means(const char *list, const char *word, const char *meant);

/* The longest word of a list, of at most so many bytes, that the text at p
 * begins with, as the table has it but for case, and its length; NULL: none.
 * What may follow is for the caller to tell. */
const struct fci_synonym *fci_synonym_at(const char *list, const char *p,
                                         size_t most, size_t *length);

/* All synonyms of a list, n of them. */
const struct fci_synonym *fci_synonyms_of(const char *list, size_t *n);

#endif
