/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/restart.h -- water or power comes back, and every flush valve
 * opens. */
#ifndef FLUSHCALC_RESTART_H
#define FLUSHCALC_RESTART_H

#include "flushcalc/base.h"
#include "flushcalc/check.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Why a valve that closes by its pressures may not close all the same. */
typedef enum fc_restart_doubt {
    FC_RESTART_NO_DOUBT,
    FC_TANK_MAY_BE_EMPTY,   /* that feeds it: what it then has is not known */
    FC_PUMP_MAY_STAND_STILL /* upstream of it, likewise */
} fc_restart_doubt;

/** One fixture with a flush valve in one state.  Pressures in Pa at its inlet
 * while it runs. */
typedef struct fc_restart_valve {
    const char *name, *on;
    const char *floor; /* NULL: not given */
    int count;
    fc_range closes_at; /* least pressure at which it closes of itself; not
                           given: nothing is known of it */
    bool assumed; /* `closes at` is not given: its own minimum flowing pressure
                     is taken, the only figure that is known */
    fc_range all_open; /* with every flush valve of the building open; no less
                          than a full vacuum, as `alone` */
    fc_range alone;    /* with every other one shut */
    fc_verdict closes_all, closes_alone; /* whether it closes then; where
                          `assumed`, below it is FC_CANNOT_TELL */
    int at_once; /* so many valves, whichever they are and itself among them,
                    may run, and it closes: proved with every input at its
                    worst; 0: not even alone, or not known */
    fc_range volume; /* that runs through it until it closes, alone [m3] */
    fc_restart_doubt doubt; /* which makes FC_WORKS of `closes_all` and
                               `closes_alone` FC_CANNOT_TELL */
    bool loose; /* there are too many fixtures to search every one, and others
                   need it more: `all_open` was not searched, and is from a
                   full vacuum to what it has alone */
    FC_ROOM(7);
} fc_restart_valve;

/** Places, opened one after the other, at which as many stops may be open at a
 * time. */
typedef struct fc_restart_step {
    const char *const *places; /* floors, or the elements that feed them */
    size_t n_places;
    int valves;      /* flush valves there */
    int at_once;     /* so many stops there may be open until their valves have
                        closed, those of earlier places being shut off by then;
                        0: none of them surely closes, even alone */
    fc_range margin; /* alone, above what closes it: of the valve there with
                        the least; not given: not known */
    fc_range time;   /* until all of them have closed [s] */
    FC_ROOM(8);
} fc_restart_step;

typedef struct fc_restart_state {
    bool given;
    int valves;      /* flush valves of the building */
    double flow;     /* with all of them open, nominal [m3/s] */
    fc_range least;  /* with all of them open, of the valve that is furthest
                        below what closes it */
    size_t least_at; /* which of `list` */
    int running_on; /* valves that do not surely close with all of them open */
    fc_verdict closes_all;   /* of all of them, with all open */
    fc_verdict closes_alone; /* of all of them, each opened alone */
    int at_once; /* so many stops may be open at a time, whichever they are;
                    0: some valve does not surely close even alone */
    fc_range volume; /* through all of them until they have closed, each opened
                        alone [m3] */
    fc_range time;   /* for all `steps` [s] */
    const fc_restart_valve *list; /* in the order of the file */
    size_t n_list;
    const fc_restart_step *steps; /* in the order to open them: the least
                                     margin first */
    size_t n_steps;
    FC_ROOM(8);
} fc_restart_state;

/**
 * What every flush valve has when water comes back after a shutdown, or power
 * to valves that open with it: all of them run until the pressure on both
 * sides closes them.
 *
 * Valves that are open take the pressure of each other, and a valve that has
 * closed draws nothing.  So the least favorable valve is opened first, while
 * all others are shut: what runs on later can no longer hold it open.  Where
 * no figure tells when a valve closes its minimum flowing pressure stands for
 * it, and nothing surely runs on.  Pressures are those with tanks at their
 * levels and pumps running; a tank that may be empty and a pump that may stand
 * still when water returns leave it open whether valves close.  How long one
 * runs is `refill` of tables/usual.ini.
 */
typedef struct fc_restart {
    fc_restart_state states[FC_STATES];
    fc_range refill; /* how long one valve runs [s] */
    FC_ROOM(8);
} fc_restart;

#ifdef __cplusplus
}
#endif

#endif
