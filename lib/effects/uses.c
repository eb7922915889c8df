/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/uses.c -- how often each fixture is used in a year. */
#include "effects/uses.h"

struct fci_use *
fci_uses(const fc_site *site, fc_state state, struct fci_arena *arena)
{
    (void)state;
    return fci_arena_array(arena, site->n_fixtures + 1,
                           sizeof(struct fci_use));
}
