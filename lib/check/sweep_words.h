/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/sweep_words.h -- where the verdicts of a sweep flip, in words. */
#ifndef FCI_CHECK_SWEEP_WORDS_H
#define FCI_CHECK_SWEEP_WORDS_H

#include "flushcalc.h"
#include "ground/memory.h"

/* Whether two steps have the same verdicts: on too little pressure and on too
 * much, in the state judged and in the existing one. */
bool fci_sweep_alike(const fc_sweep_step *a, const fc_sweep_step *b);
/* "works from 71.4 psi up, does not work at 71.3 psi". */
const char *fci_sweep_flip_text(const fc_sweep_flip *flip,
                                struct fci_arena *arena);
/* A sentence for each state, from all values that were checked, in order;
 * NULL: out of memory.  The points are put in the order of their figures. */
const char *const *fci_sweep_tell(const fc_sweep_step **points, size_t n,
                                  fc_state judged, struct fci_arena *arena,
                                  size_t *n_told);

#endif
