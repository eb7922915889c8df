/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/water_use.h -- how often fixtures are used, and the water of a
 * year. */
#ifndef FLUSHCALC_WATER_USE_H
#define FLUSHCALC_WATER_USE_H

#include "flushcalc/check.h"

#ifdef __cplusplus
extern "C" {
#endif

/** One flush valve of a fixture in one state, over a year. */
typedef struct fc_fixture_use {
    const char *valve; /* NULL: no flush valve in this state */
    fc_range uses;     /* of one valve; not given: not known */
    fc_range flushes;  /* of one valve, hygiene flushes among them */
    fc_range hygiene;  /* of those */
    fc_range volume;   /* of water through one valve [m3] */
    FC_ROOM(6);
} fc_fixture_use;

typedef struct fc_used_fixture {
    const char *name;
    int count;
    fc_fixture_use states[FC_STATES];
    FC_ROOM(4);
} fc_used_fixture;

typedef struct fc_water_use {
    const fc_used_fixture *fixtures; /* those with a flush valve */
    size_t n_fixtures;
    fc_range volume[FC_STATES]; /* of all of them in a year [m3] */
    fc_range saved;             /* existing less retrofit [m3]: as what is not
                                   known is the same in both */
    const char *weighs;   /* "how many people there are": of what is known only
                             as a range that which moves `saved` most; NULL:
                             nothing is */
    fc_range saved_by_it; /* over its range alone [m3] */
    fc_range cost[FC_STATES]; /* of the year, in the user's own money; not
                                 given: no price of water */
    fc_range cost_saved;
    fc_range hygiene[FC_STATES]; /* hygiene flushes a year of all valves */
    FC_ROOM(8);
} fc_water_use;

#ifdef __cplusplus
}
#endif

#endif
