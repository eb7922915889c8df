/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/checking.h -- a check at work, of a building or of one fixture,
 * for its own files. */
#ifndef FCI_CHECK_CHECKING_H
#define FCI_CHECK_CHECKING_H

#include "check/checked.h"
#include "check/words.h"

struct fci_checking {
    const fc_site *site;
    const struct fci_judge *judge;
    struct fci_check_words words;
    struct fci_swings *swings[FC_STATES]; /* made when first needed */
    const fc_check_options *options;
    const struct fci_evidence *evidence; /* NULL: readings are left out */
    struct fci_events events[FC_STATES];
    /* By fixture, what its closing valve takes over a rating; NULL: nothing
     * is rated, or it is left out. */
    const fc_surge *surges[FC_STATES];
    fc_diagnostics *messages;
    fc_check_result *result;
    struct fci_arena *arena; /* of the result */
};

/* FC_IN() of each state that there is. */
static inline unsigned
fci_all_states(const struct fci_checking *c)
{
    return c->judge->converted ? FC_IN(FC_EXISTING) | FC_IN(FC_RETROFIT)
                               : FC_IN(FC_EXISTING);
}

/* With site, options, evidence and messages set before; ended on any outcome.
 */
void fci_checking_begin(struct fci_checking *c, const struct fci_judge *judge,
                        fc_check_result *result, struct fci_arena *arena);
void fci_checking_end(struct fci_checking *c);

/* ---- check/check_fixture.c ---- */

/* Readings refute the site. */
bool fci_is_refuted(const struct fci_checking *c);
/* What they say, after all else is found. */
void fci_tell_readings(struct fci_checking *c);
/* In the states of `judged`, FC_IN() of each, by all that is worked out; in
 * another one it cannot be told. */
void fci_check_fixture(struct fci_checking *c,
                       const struct fci_fixture *fixture, unsigned judged,
                       fc_checked_fixture *out);

/* ---- check/check.c ---- */

/* From the site, and from the fixtures of the result. */
void fci_take_heading(struct fci_checking *c);
bool fci_take_minima(struct fci_checking *c);
void fci_check_state(struct fci_checking *c, fc_state state);
/* What their valves leave, in so many of them; of one fixture alone, or of all
 * (NULL). */
fc_status fci_run_events(struct fci_checking *c, unsigned states,
                         const struct fci_only *only);
/* What was found, into the result. */
fc_status fci_take_told(struct fci_checking *c);

#endif
