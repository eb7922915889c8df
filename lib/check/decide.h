/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/decide.h -- which input decides where a verdict cannot be told. */
#ifndef FCI_CHECK_DECIDE_H
#define FCI_CHECK_DECIDE_H

#include "check/judge.h"
#include "site/inputs.h"

struct fci_swings; /* how far each kind of input swings each pressure */

/* For all elements at once, in linear time; freed with fci_object_free(); NULL
 * when out of memory. */
struct fci_swings *fci_swings_new(const struct fci_judge *judge,
                                  fc_state state);

/* A sentence part that names the input with the widest swing of the
 * fixture's margin, where most of it lies, and what to measure; in `arena`,
 * NULL when out of memory. */
const char *fci_decided_by(const struct fci_swings *swings,
                           const struct fci_fixture *fixture,
                           const struct fci_judgement *judgement,
                           struct fci_arena *arena);

/* What would settle it: "read a gauge there with no flow". */
const char *fci_what_settles(const fc_site *site, enum fci_measured measured);

#endif
