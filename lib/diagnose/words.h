/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/words.h -- texts that grow, for the words of a diagnosis. */
#ifndef FCI_DIAGNOSE_WORDS_H
#define FCI_DIAGNOSE_WORDS_H

#include "diagnose/diagnose.h"

struct fci_words {
    struct fci_arena *arena;
    const char *text; /* NULL: out of memory */
    size_t n;         /* phrases in it */
};

/* `between` it and what was said before. */
void fci_say(struct fci_words *words, const char *between, const char *format,
             ...) __attribute__((format(printf, 3, 4)));
/* "pipe", "meter". */
const char *fci_kind_word(const fc_site *site, size_t element);
/* " (or the inlet of reducer prv behind it)", which is choked ahead of what it
 * holds; "" where none is behind; NULL out of memory. */
const char *fci_inlet_words(struct fci_arena *arena, const fc_site *site,
                            size_t element);
/* A fault without its figure: "the stop at wc-3 throttled"; NULL out of
 * memory. */
const char *fci_fault_name(struct fci_arena *arena,
                           const struct fci_readings *readings,
                           const struct fci_cause *cause, size_t k);
/* "wc-1, bibb"; NULL out of memory. */
const char *fci_outlets_words(struct fci_arena *arena, const fc_site *site,
                              const struct fci_fault *fault);

#endif
