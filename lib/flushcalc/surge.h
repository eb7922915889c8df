/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/surge.h -- what closing flush valves do to the pressure. */
#ifndef FLUSHCALC_SURGE_H
#define FLUSHCALC_SURGE_H

#include "flushcalc/check.h"

#ifdef __cplusplus
extern "C" {
#endif

/** One flush valve that closes while no other flows, in one state.  Where
 * `valve` is NULL nothing more is given; where its rate is not known, or where
 * water may come by several ways, no surge is. */
typedef struct fc_surge {
    const char *valve;    /* NULL: no flush valve in this state */
    fc_range flow;        /* of the valve alone [m3/s] */
    fc_range velocity;    /* in the pipe that feeds it: what is stopped */
    fc_range closing;     /* closing time [s] */
    bool closing_usual;   /* it is not given */
    fc_range length;      /* of the pipes on the way, from where the first one
                             ends or branches off to the source [m] */
    fc_range wave_speed;  /* in the pipe that feeds it [m/s] */
    fc_range return_time; /* of a wave, over that length [s] */
    fc_answer rapid;      /* it closes within that; FC_NOT_SAID: cannot tell */
    fc_range surge; /* over the static pressure [Pa]: at the valve, or at `at`
                       where a rating is exceeded first */
    fc_range highest; /* over the static pressure, where it is highest: at
                         the valve, or where a branch off the way ends [Pa] */
    bool bound;       /* its high end is an upper bound; else waves that meet
                         closed ends may do more */
    const char *at;   /* the element where static and surge are nearest to, or
                         most above, its rating */
    fc_range static_pressure; /* there */
    fc_range peak;            /* static and surge there */
    double rating;            /* of that element [Pa]; the low end of what is
                                 usual where it is not given */
    bool rating_usual;        /* it is not given */
    bool arrester;            /* arresters of its branch limit the peak
                                 everywhere */
    fc_verdict within;        /* all that the source feeds stays within its
                                 ratings */
    fc_range least_closing;   /* the shortest closing time that keeps them
                                 within; not given: none does */
    FC_ROOM(7);
} fc_surge;

typedef struct fc_surge_fixture {
    const char *name;
    int count;
    fc_surge states[FC_STATES];
    FC_ROOM(4);
} fc_surge_fixture;

/** What arresters a branch is to have by PDI-WH201, in one state. */
typedef struct fc_arrester_need {
    double units;      /* cold fixture units of the branch; 0: no flush valve
                          there in this state */
    bool next_size;    /* its pressure asks for the next larger size */
    int number;        /* so many; 0: none is sized for its static
                          pressure, or no flush valve is there */
    fc_arrester size;  /* each of this size */
    fc_verdict enough; /* those that stand there, where there are any */
    bool needed;       /* without one a rating may be exceeded */
    FC_ROOM(4);
} fc_arrester_need;

/** A branch with flush valves: from a riser, a device or where branches part
 * to its last outlet. */
typedef struct fc_surge_branch {
    const char *name;  /* of its first pipe */
    const char *last;  /* the fixture at its end */
    fc_range length;   /* from its start to that [m] */
    fc_range pressure; /* static, the highest of it [Pa] */
    int arresters;     /* that stand on it, */
    double serves;     /* and the fixture units that they serve there */
    fc_arrester_need states[FC_STATES];
    FC_ROOM(4);
} fc_surge_branch;

typedef struct fc_surges {
    const fc_surge_fixture *fixtures; /* those with a flush valve */
    size_t n_fixtures;
    size_t worst[FC_STATES]; /* the fixture whose peak is most above, or least
                                below, a rating; SIZE_MAX: none */
    const fc_surge_branch *branches;
    size_t n_branches;
    FC_ROOM(8);
} fc_surges;

/** "AA", "A" to "F"; "" for FC_NO_ARRESTER. */
const char *fc_arrester_word(fc_arrester size);

#ifdef __cplusplus
}
#endif

#endif
