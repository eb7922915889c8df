/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/uses.h -- how often each fixture is used in a year. */
#ifndef FCI_EFFECTS_USES_H
#define FCI_EFFECTS_USES_H

#include "site/site.h"

/* One outlet of a fixture in one state, over a year. */
struct fci_use {
    bool given;         /* how often it is used is known */
    fc_range uses;      /* a year */
    fc_range flushes;   /* a year, false and hygiene flushes among them */
    fc_range hygiene;   /* of those */
    fc_range volume;    /* of water a year [m3] */
    fc_range days;      /* a year on which it is used */
    fc_range per_flush; /* volume of a flush in the mean [m3] */
};

/* One per fixture of the site, in the arena; NULL: out of memory. */
struct fci_use *fci_uses(const fc_site *site, fc_state state,
                         struct fci_arena *arena);

#endif
