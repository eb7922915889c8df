/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/tank_words.h -- how long the water of a tank lasts, in words. */
#ifndef FCI_EFFECTS_TANK_WORDS_H
#define FCI_EFFECTS_TANK_WORDS_H

#include "effects/tank_lasts.h"
#include "effects/tank_times.h"
#include "words/findings.h"

/* The tank that feeds the site. */
const char *fci_tank_name(const fc_site *site);

/* "3", "3 to 11", "any number of": whole flushes in a row. */
const char *fci_tank_count(struct fci_arena *arena,
                           const struct fci_tank_lasts *lasts);
/* "6 min", "15 to 20 min". */
const char *fci_tank_minutes(struct fci_arena *arena, fc_range time);

/* Why it is not calculated; in the arena. */
const char *fci_tank_lacks(struct fci_arena *arena,
                           const struct fci_tank_lasts *lasts);

/* What to enter so that more of it is sure, after a sentence: "; measure its
 * precharge, which is not given", or ""; in the arena.  `lasts` NULL: there is
 * no tank. */
const char *fci_tank_asks(struct fci_arena *arena, const fc_site *site,
                          const struct fci_tank_lasts *lasts);

/* What is found of it in a state, and what is assumed. */
void fci_tell_tank(struct fci_findings *found, const fc_site *site,
                   const struct fci_tank_lasts *lasts, fc_state state);
/* Where the volume of a tank is not given, what that leaves open. */
void fci_tell_unknown_tank(struct fci_findings *found, const fc_site *site,
                           fc_state state);
void fci_assume_tank(struct fci_findings *found, const fc_site *site);

#endif
