/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/words.h -- the words of a diagnosis. */
#ifndef FCI_DIAGNOSE_WORDS_H
#define FCI_DIAGNOSE_WORDS_H

#include "diagnose/diagnose.h"
#include "units/units.h"
#include "words/phrase.h"

/* " (or the inlet of PRV prv downstream of it)", which is plugged ahead of
 * what it holds; "" where none follows; NULL out of memory. */
const char *fci_inlet_words(struct fci_arena *arena, const fc_site *site,
                            size_t element);
/* A figure as a gauge is read: whole psi and gpm; from 10 on in any unit. */
struct fci_shown fci_about(fc_unit_system units, fc_dimension dimension,
                           double si);
/* "about 20 psi more lost with 2 of wc-4 open (32 gpm)": at an element, at the
 * most that flowed there in the readings; NULL out of memory. */
const char *fci_lost_words(struct fci_arena *arena,
                           const struct fci_readings *readings, size_t element,
                           const char *more, double pressure, double flow);
/* Whether a look at an element or a fixture of that name shows that. */
bool fci_was_seen_at(const fc_site *site, const char *name, fc_sight sight);
/* Whether a look at an element shows that. */
bool fci_was_seen(const fc_site *site, size_t element, fc_sight sight);
/* "58.0 to 62.0 psi"; one figure where both print alike; NULL out of memory.
 */
const char *fci_span_words(struct fci_arena *arena, const fc_site *site,
                           fc_dimension dimension, double low, double high);
/* "PRV low-zone", and "meter" of a meter of that name; NULL out of memory. */
const char *fci_part_words(struct fci_arena *arena,
                           const struct fci_part *part);
/* Of a cause the k-th fault; brief: without its figure, as "the control stop
 * of wc-3 partly closed".  NULL out of memory. */
const char *fci_fault_words(struct fci_arena *arena,
                            const struct fci_readings *readings,
                            const struct fci_cause *cause, size_t k,
                            bool brief);
/* "wc-1 won't shut off"; NULL out of memory. */
const char *fci_outlets_words(struct fci_arena *arena, const fc_site *site,
                              const struct fci_fault *fault);

#endif
