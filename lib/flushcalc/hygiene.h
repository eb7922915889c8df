/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/hygiene.h -- automatic flushes of valves that nobody used. */
#ifndef FLUSHCALC_HYGIENE_H
#define FLUSHCALC_HYGIENE_H

#include "flushcalc/check.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The valves of a fixture while hygiene flushes come due together. */
typedef struct fc_hygiene_fixture {
    const char *name;
    int count;         /* valves of it that flush then */
    fc_range interval; /* without use until it flushes [s] */
    fc_range time;     /* of one flush, a full one [s] */
    fc_busy busy;      /* how often such a flush is weak, and what it has */
    FC_ROOM(4);
} fc_hygiene_fixture;

/** The hygiene flushes of a state that come due together. */
typedef struct fc_hygiene_state {
    size_t valves;     /* with a hygiene flush; 0: none */
    size_t together;   /* most of them that come due at one time, */
    fc_range interval; /* so long after they were last used [s] */
    double at_once; /* how many of those are open at once at the most, in the
                       mean over many such times */
    size_t up_to;   /* no more than so many in 95 of 100 */
    const double *others; /* chance that a hygiene flush finds 0, 1, ... others
                             open */
    size_t n_others;
    const fc_hygiene_fixture *fixtures; /* those that come due */
    size_t n_fixtures;
    size_t weakest; /* of `fixtures`, the one whose hygiene flushes are weak
                       most often; SIZE_MAX: no minimum is known */
    fc_verdict seldom_weak; /* FC_WORKS: no fixture's are weak in more than
                               FC_MOST_WEAK of them */
    bool alone_weak;        /* some are though no other one is open */
    double spread; /* where some are: over so long they would have to come due
                      for none to be, with all inputs at the middle [s]; NAN:
                      no time up to their interval does */
    double spread_worst; /* the same with all inputs at their worst */
    size_t states_drawn; /* solved */
    bool narrow;         /* as of fc_checked_state */
    FC_ROOM(8);
} fc_hygiene_state;

typedef struct fc_hygiene {
    fc_range last_use_within; /* [s] */
    bool usual;               /* it is not given */
    fc_hygiene_state states[FC_STATES];
    FC_ROOM(8);
} fc_hygiene;

#ifdef __cplusplus
}
#endif

#endif
