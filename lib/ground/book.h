/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/book.h -- names of one kind as a user may write them: found by
 * themselves or by a synonym, and refused with what would do. */
#ifndef FCI_GROUND_BOOK_H
#define FCI_GROUND_BOOK_H

#include "ground/names.h"

struct fci_book {
    const char *synonyms; /* their list of ground/synonyms.h, or NULL */
    const void *of;       /* what they are the names of */
    size_t n;
    const char *(*name)(const void *of, size_t i);
    const struct fci_names *more; /* names that would do as well, or NULL */
};

/* The name that is meant: one that is written like it but for blanks, commas
 * and the like, or the only one that the word is a synonym of.  FCI_NO_NAME:
 * there is none, or several. */
size_t fci_book_find(const struct fci_book *book, const char *word);

/* The name that a slip of the pen was meant for, or NULL. */
const char *fci_book_nearest(const struct fci_book *book, const char *word);

/* Why a word is no such name, and what would do, as the rest of a message that
 * begins with the word: "could be "tee run" or "tee branch"; say which"; or
 * `unknown` ("is not in the pipe tables") and the nearest name, or else what
 * is `expected` ("a material is expected: ") and all names, or those of them
 * that have a word in common with it. */
struct fci_refusal {
    char text[900];
};
struct fci_refusal fci_book_refusal(const struct fci_book *book,
                                    const char *word, const char *unknown,
                                    const char *expected);
/* What is expected and all names. */
struct fci_refusal fci_book_names(const struct fci_book *book,
                                  const char *expected);
/* What of that follows where a word is several names, or "". */
struct fci_refusal fci_book_ambiguity(const struct fci_book *book,
                                      const char *word);

#endif
