/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/renewal.h -- how often the water in the pipes is renewed. */
#ifndef FLUSHCALC_RENEWAL_H
#define FLUSHCALC_RENEWAL_H

#include "flushcalc/check.h"

#ifdef __cplusplus
extern "C" {
#endif

/** A pipe in one state.  What is not known to draw is not counted, so that
 * where something downstream is not known turnovers are at least, and times at
 * most, what is told. */
typedef struct fc_pipe_renewal {
    fc_range turnovers; /* of its contents on a day of use; not given: nothing
                           is known to flow */
    fc_range turnovers_of_year; /* a day, in the mean over the year */
    fc_range residence; /* mean time that water takes through it, day and
                           night of days of use [s] */
    bool at_least;      /* something downstream is not known to draw */
    FC_ROOM(6);
} fc_pipe_renewal;

typedef struct fc_renewed_pipe {
    const char *name;
    fc_range contents; /* [m3] */
    bool dead_end;     /* nothing draws downstream: neither a fixture nor a
                          steady draw nor a heater */
    fc_pipe_renewal states[FC_STATES];
    FC_ROOM(6);
} fc_renewed_pipe;

/** What a fixture draws. */
typedef struct fc_aged_outlet {
    const char *name;
    fc_range residence[FC_STATES]; /* mean time from the source, through pipes,
                                      of the water that it draws on days of
                                      use [s]; not given: it is not known to
                                      draw */
    bool at_most[FC_STATES]; /* others on its way are not known to draw */
    FC_ROOM(6);
} fc_aged_outlet;

/** Flushes that, beside its use, renew on a day what lags. */
typedef struct fc_extra_flushes {
    const char *fixture;
    size_t flushes; /* a day */
    double volume;  /* of one [m3] */
    FC_ROOM(4);
} fc_extra_flushes;

typedef struct fc_renewal_state {
    size_t seldom;  /* pipes that are surely renewed less than once on a day of
                       use */
    size_t maybe;   /* pipes of which that depends on ranges, or on draws that
                       are not known */
    size_t unknown; /* pipes through which nothing is known to flow */
    size_t least;   /* the pipe with the fewest turnovers; SIZE_MAX: none */
    size_t oldest;  /* the outlet with the longest residence; SIZE_MAX */
    const fc_extra_flushes *extra; /* so that every pipe is renewed once on a
                                      day of use, even at the worst ends of the
                                      ranges */
    size_t n_extra;
    double extra_water; /* what those take a day [m3] */
    double least_water; /* no way to do it takes less [m3] */
    bool fewest; /* as all valves flush one volume, no fewer flushes do */
    size_t not_flushed; /* pipes that lag and have no flush valve downstream */
    FC_ROOM(8);
} fc_renewal_state;

/** Of a building with one source and without loops. */
typedef struct fc_renewal {
    const fc_renewed_pipe *pipes; /* each after the one that feeds it */
    size_t n_pipes;
    const fc_aged_outlet *outlets; /* those that are known to draw */
    size_t n_outlets;
    fc_range contents; /* of all pipes [m3] */
    fc_range days;     /* of use a year; not given: not known */
    size_t dead_ends;
    double dead_contents; /* of those [m3] */
    fc_renewal_state states[FC_STATES];
    FC_ROOM(8);
} fc_renewal;

#ifdef __cplusplus
}
#endif

#endif
