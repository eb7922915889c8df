/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/reducer_window.h -- what a pressure reducer may be set to. */
#ifndef FCI_REMEDY_REDUCER_WINDOW_H
#define FCI_REMEDY_REDUCER_WINDOW_H

#include "check/judge.h"

/* Windows of all reducers of a site, in the order in which they came; or,
 * where it has none and some fixture's pressure without flow is over its
 * maximum, of one that would stand on the building's main: behind the last
 * element of the run from the source on which nothing else hangs and nothing
 * branches; where there is none, at the source.
 *
 * Windows are of the nominal setting: a range or a tolerance of the setting
 * goes with it.  Every other setting is taken as it stands, so that a limit
 * above which the reducer is never fed is none.  Of a reducer with no fixture
 * behind it `lowest` and `highest` are NAN.
 *
 * The site is a finished tree with one source, with sizes, and marched in that
 * state.  What is found lives in the arena and borrows names from the site;
 * `*windows` and `*n` are kept on failure.  FC_OK or FC_ENOMEM. */
fc_status fci_reducer_windows(const struct fci_judge *judge, fc_state state,
                              struct fci_arena *arena,
                              const fc_reducer_window **windows, size_t *n);

/* The window of one that would stand behind an element, and fall off as much
 * as PRVs usually do at most; its zones are not found.  As above. */
fc_status fci_reducer_window_at(const struct fci_judge *judge, fc_state state,
                                size_t element, fc_reducer_window *window);

/* The same of one that feeds nothing but some fixtures that are on the element
 * itself: those of which `fed`, by fixture, is true. */
fc_status fci_reducer_window_of(const struct fci_judge *judge, fc_state state,
                                size_t element, const bool *fed,
                                fc_reducer_window *window);

#endif
