/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/renewal.h -- how often the water in the pipes is renewed. */
#ifndef FCI_EFFECTS_RENEWAL_H
#define FCI_EFFECTS_RENEWAL_H

#include "effects/effects.h"

/* What was found, in words (effects/renewal_words.c). */
void fci_renewal_words(struct fci_effects *e, const fc_renewal *renewal);

#endif
