/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/hygiene.h -- hygiene flushes that come due together. */
#ifndef FCI_EFFECTS_HYGIENE_H
#define FCI_EFFECTS_HYGIENE_H

#include "effects/effects.h"

/* What was found, in words (effects/hygiene_words.c). */
void fci_hygiene_words(struct fci_effects *e, const fc_hygiene *hygiene);
void fci_hygiene_not_said(struct fci_effects *e);

#endif
