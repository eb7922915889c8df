/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/first_visit.c -- what to look at and to read before anything
 * was. */
#include "diagnose/diagnose.h"

fc_status
fci_first_visit(const fc_site *site, fc_state state, struct fci_arena *arena,
                fc_diagnosis *out)
{
    (void)site;
    (void)state;
    (void)arena;
    (void)out;
    return FC_OK;
}
