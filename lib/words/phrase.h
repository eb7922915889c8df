/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/words/phrase.h -- a text that grows, phrase by phrase. */
#ifndef FCI_WORDS_PHRASE_H
#define FCI_WORDS_PHRASE_H

#include "ground/memory.h"

struct fci_words {
    struct fci_arena *arena;
    const char *text; /* NULL: out of memory */
    size_t n;         /* phrases in it */
};

/* `between` it and what was said before. */
void fci_say(struct fci_words *words, const char *between, const char *format,
             ...) __attribute__((format(printf, 3, 4)));
/* The same of a phrase that is made; NULL: it was out of memory. */
void fci_join(struct fci_words *words, const char *between,
              const char *phrase);

#endif
