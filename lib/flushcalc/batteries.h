/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/batteries.h -- how long the batteries of sensor valves last. */
#ifndef FLUSHCALC_BATTERIES_H
#define FLUSHCALC_BATTERIES_H

#include "flushcalc/check.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The batteries of the sensor valves of one fixture. */
typedef struct fc_battery {
    const char *fixture;
    int count;        /* valves, each with a set */
    fc_range flushes; /* a year, of one valve; not given: not known */
    fc_range set;     /* flushes that a set gives */
    bool set_usual;   /* as is usual, not as the file says */
    fc_range years;   /* that a set lasts; not given: the flushes of a year
                         are not known */
    fc_range sets;    /* a year, of all valves of the fixture */
    fc_range
        counted; /* of these, where the file gives a range; else `count` */
    FC_ROOM(2);
} fc_battery;

/** Sets that have fallen due when so many years are over, after all were new.
 */
typedef struct fc_battery_year {
    int year; /* from 1 */
    fc_range sets;
    FC_ROOM(2);
} fc_battery_year;

typedef struct fc_batteries {
    fc_state state;             /* with the valves of which state */
    const fc_battery *fixtures; /* the soonest due first */
    size_t n_fixtures;
    fc_range sets; /* a year in the mean, of the building */
    fc_range cost; /* of them; not given: a set has no price */
    const fc_battery_year *calendar;
    size_t n_calendar;
    FC_ROOM(8);
} fc_batteries;

#ifdef __cplusplus
}
#endif

#endif
