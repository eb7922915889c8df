/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/restart.h -- every valve opens when water comes back. */
#ifndef FCI_EFFECTS_RESTART_H
#define FCI_EFFECTS_RESTART_H

#include "flow/solver.h"
#include "flushcalc/restart.h"
#include "ground/memory.h"
#include "ground/telling.h"

/* Whether every flush valve has a rate, and there is one. */
bool fci_valves_known(const fc_site *site, fc_state state);

/* Valves times links, whose ends are searched with all of them open: each is a
 * solution of the whole building. */
#define FCI_RESTART_WORK 2e6

/* One state of a building, with no more work than `most` but for one valve;
 * what is told lives in the arena.  FC_OK, FC_ENOMEM, FC_ENOCONV.  `told` is
 * not given where no valve flushes, or the rate of one is not known. */
fc_status fci_restart_find(const struct fci_network *network,
                           struct fci_solver *solver, double most,
                           const struct fci_telling *telling,
                           struct fci_arena *arena, fc_restart_state *told);

/* In which order to open them (effects/restart_order.c), from `list`.  False:
 * out of memory. */
bool fci_restart_order(fc_restart_state *told, struct fci_arena *arena,
                       fc_range refill);

#endif
