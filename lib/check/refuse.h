/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/refuse.h -- what is refused, since it would have to be guessed. */
#ifndef FCI_CHECK_REFUSE_H
#define FCI_CHECK_REFUSE_H

#include "site/site.h"

/* Peak demands add up along a tree: FC_EUNSUPPORTED, said, for loops and
 * several sources; FC_ESTATE for a site that is not finished. */
fc_status fci_refuse_no_tree(const fc_site *site, fc_diagnostics *messages);
/* The same, and where a size is yet to be chosen. */
fc_status fci_refuse_unsized(const fc_site *site, fc_diagnostics *messages);
/* Where a pressure tank feeds the site, whose pressure is never one figure:
 * FC_EUNSUPPORTED, said, with the command that asks for one. */
fc_status fci_refuse_tank(const fc_site *site, const char *command,
                          fc_diagnostics *messages);
/* By probability the rate and the volume of every flush valve count: FC_EINPUT
 * where one lacks them, named with the fixture that it is on. */
fc_status fci_refuse_unknown_flush(const fc_site *site, fc_state state,
                                   fc_diagnostics *messages);

#endif
