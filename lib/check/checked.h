/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/checked.h -- what the reports of the library share. */
#ifndef FCI_CHECK_CHECKED_H
#define FCI_CHECK_CHECKED_H

#include "check/judge.h"

/* A judgement as the caller sees it, but for `decided_by`. */
fc_fixture_state fci_fixture_state(const struct fci_fixture *fixture,
                                   fc_state state,
                                   const struct fci_judgement *judgement);

#endif
