/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/cold_dip.h -- cold pressure of others while valves flush. */
#ifndef FCI_EFFECTS_COLD_DIP_H
#define FCI_EFFECTS_COLD_DIP_H

#include "flushcalc/cold_dip.h"
#include "flushcalc/hygiene.h"
#include "ground/memory.h"
#include "ground/telling.h"
#include "site/site.h"

/* A cold pressure that falls by so much changes what a mixing valve without
 * balancing gives: common practice. */
#define FCI_SCALDING_FALL (1.0 / 3.0)

/* Whether it is told of: people mix there, or it is an emergency fixture. */
bool fci_dips(const struct fci_fixture *fixture);

/* The pressures and shares of one state of n fixtures, which[i] of the site
 * each, with up to `most` valves open; what is told lives in the arena.
 * `bounded`: the ends of the inputs bound them.  FC_OK, FC_ENOMEM, FC_ENOCONV,
 * said in `messages`. */
fc_status fci_cold_dip_find(const fc_site *site, fc_state state, size_t most,
                            const struct fci_telling *telling,
                            struct fci_arena *arena,
                            fc_cold_dip_fixture *fixtures, const size_t *which,
                            size_t n, bool *bounded, fc_diagnostics *messages);

/* How many valves may be open at once, into `dip`; that of hygiene flushes is
 * there already (effects/cold_dip_open.c).  False: out of memory. */
bool fci_cold_dip_open(const fc_site *site, fc_state state, fc_cold_dip *dip);

/* The whole (effects/cold_dip_all.c): both states of a building that is
 * converted, else the existing one.  `hygiene`: so many hygiene flushes are
 * open at once; NULL: none. */
fc_status fci_cold_dip_all(const fc_site *site, bool converted,
                           const fc_hygiene *hygiene,
                           const struct fci_telling *telling,
                           struct fci_arena *arena, fc_cold_dip **dip,
                           fc_diagnostics *messages);

/* The dip with which its verdict comes about; NULL: it works. */
const fc_dip *fci_first_dip(const fc_cold_dip_state *told);

/* How far cold falls: below hot, where it is known what hot does. */
static inline fc_range
fci_fall_told(const fc_cold_dip_fixture *fixture, const fc_dip *dip)
{
    return fixture->heater ? dip->apart : dip->fall;
}

/* Whether its mixing valve balances (effects/cold_dip_words.c). */
fc_answer fci_balances(const struct fci_fixture *fixture);

/* What a fall of its cold pressure by a third or more, by so much, does there:
 * for the end of a sentence.  "": nothing that is known. */
const char *fci_scald_said(const fc_site *site,
                           const struct fci_fixture *fixture, double fall);

#endif
