/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/checked.h -- what the reports of the library share. */
#ifndef FCI_CHECK_CHECKED_H
#define FCI_CHECK_CHECKED_H

#include "check/judge.h"
#include "readings/readings.h"

/* A judgement as the caller sees it, but for `decided_by`. */
fc_fixture_state fci_fixture_state(const struct fci_fixture *fixture,
                                   fc_state state,
                                   const struct fci_judgement *judgement);
/* Readings speak against the site: it cannot be told. */
void fci_refute(fc_fixture_state *state);

/* As fc_check_with(), of a building that is not the one in which the readings
 * of the site were taken: weighed is what is given; NULL: no reading.  The
 * evidence must outlive the result. */
fc_status fci_check(const fc_site *site, const fc_check_options *options,
                    const struct fci_evidence *evidence,
                    fc_check_result **result, fc_diagnostics *messages);

#endif
