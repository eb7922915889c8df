/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/words.h -- the words of a diagnosis. */
#ifndef FCI_DIAGNOSE_WORDS_H
#define FCI_DIAGNOSE_WORDS_H

#include "diagnose/diagnose.h"
#include "words/phrase.h"

/* "pipe", "meter". */
const char *fci_kind_word(const fc_site *site, size_t element);
/* " (or the inlet of reducer prv behind it)", which is choked ahead of what it
 * holds; "" where none is behind; NULL out of memory. */
const char *fci_inlet_words(struct fci_arena *arena, const fc_site *site,
                            size_t element);
/* "PRV low-zone", and "meter" of a meter of that name; NULL out of memory. */
const char *fci_part_words(struct fci_arena *arena,
                           const struct fci_part *part);
/* " (within its range)", which what the file leaves open is: no fault. */
const char *fci_range_word(fc_range range, double value);
/* Of a cause the k-th fault; brief: without its figure, as "the stop at wc-3
 * throttled".  NULL out of memory. */
const char *fci_fault_words(struct fci_arena *arena,
                            const struct fci_readings *readings,
                            const struct fci_cause *cause, size_t k,
                            bool brief);
/* "wc-1, bibb"; NULL out of memory. */
const char *fci_outlets_words(struct fci_arena *arena, const fc_site *site,
                              const struct fci_fault *fault);

#endif
