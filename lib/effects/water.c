/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/water.c -- the water that flush valves use in a year. */
#include "effects/effects.h"

fc_status
fci_effects_water(struct fci_effects *e, fc_diagnostics *messages)
{
    (void)messages;
    return e->arena->failed ? FC_ENOMEM : FC_OK;
}
