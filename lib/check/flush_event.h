/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/flush_event.h -- one flush event, before and after the words. */
#ifndef FCI_CHECK_FLUSH_EVENT_H
#define FCI_CHECK_FLUSH_EVENT_H

#include "check/events.h"
#include "check/words.h"
#include "effects/cold_dip.h"
#include "flow/solver.h"
#include "ground/telling.h"
#include "readings/readings.h"

struct fci_flush_event {
    struct fci_arena scratch;
    const fc_site *site;
    fc_state state;
    bool converted;
    bool all; /* every flush valve of the building */
    struct fci_network *network;
    struct fci_solver *solver;
    struct fci_open *open;
    size_t n_open;
    struct fci_at_flow *still, *flowing; /* of the elements, nominal */
    struct fci_evidence evidence;
    fc_range *outlets; /* by element: the pressure at its outlet */
    fc_range *kept;    /* by element: what is in a street main or at a pump's
                          inlet, where something must be */
    fc_range *inlets;  /* by fixture */
    double *way;       /* by element: room for the way to one */
    bool tried;        /* whether all works is all that is asked */
    size_t first;      /* fixture: its ends are solved for first */
    double solved;     /* solutions for ends, times open valves */
    struct fci_telling telling; /* its first half: the ends; then what is
                                   tried */
    fc_flush_result *result;
    fc_flush_fixture *judged; /* those of the result */
};

/* In words (check/flush_words.c). */
void fci_find_flush(struct fci_check_words *w,
                    const struct fci_flush_event *event);
void fci_assume_flush(struct fci_check_words *w,
                      const struct fci_flush_event *event);

/* Whether the rates of all flush valves are known; FC_EINPUT says of which
 * not. */
fc_status fci_rate_known(const fc_site *site, fc_state state, size_t fixture,
                         fc_diagnostics *messages);

#endif
