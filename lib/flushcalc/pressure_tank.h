/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/pressure_tank.h -- how long the water of a tank lasts: of a
 * pressure tank that a pump or a well fills, or of a tank at a height. */
#ifndef FLUSHCALC_PRESSURE_TANK_H
#define FLUSHCALC_PRESSURE_TANK_H

#include "flushcalc/check.h"

#ifdef __cplusplus
extern "C" {
#endif

/** In one state.  Ranges go from the least to the most; the worst case starts
 * at the cut-in, with the pump about to start, the best case at the
 * cut-out. */
typedef struct fc_tank_state {
    const char *lacks; /* what is not given, without which nothing here is
                          known; NULL: it is calculated */
    const char *first; /* the fixture whose valve, flushing alone, falls below
                          its minimum first as the pressure of the tank falls;
                          NULL: of none, or a tank at a height */
    const char *thirsty; /* that of which a flush takes most from the tank;
                            NULL likewise */
    fc_range least;      /* pressure of the tank at which `first` falls below;
                            an end may be INFINITY: at any pressure */
    fc_range water;      /* until then, or in the tank */
    fc_range flush;      /* volume of one of `thirsty` */
    fc_range borrowed;   /* of it from the tank, at its cut-in */
    double in_row_worst; /* whole flushes of `thirsty` one after another; */
    double in_row_best;  /* NAN: any number, the pump keeps up */
    fc_range rate;       /* into the tank, at its cut-in */
    fc_range rate_out;   /* the same at its cut-out */
    fc_range mean;       /* flow drawn in the busiest minutes, in the mean */
    double lasts_worst;  /* of those minutes [s]; */
    double lasts_best;   /* NAN: any time, the pump keeps up */
    bool by_chance;      /* at the worst it lasts in 95 of 100 of those times,
                            at every moment, flushes begun at random */
    double refill_best;  /* from cut-in to cut-out, or of a whole tank at a */
    double refill_worst; /* height [s]; NAN: it is never filled */
    double volume_for_row;  /* of a tank that at the worst gives each flush
                               valve one flush in a row [m3]; 0: any; NAN:
                               none does */
    double volume_for_busy; /* of one that at the worst lasts through the
                               busiest minutes, likewise */
    fc_verdict row;         /* one flush */
    fc_verdict busy;        /* the busiest minutes */
    fc_range a_day; /* water drawn on a day of use: by flush valves, what has a
                       draw per day and steady demands [m3]; not given: not
                       known */
    const char *not_counted; /* a fixture whose draw is not known, so that it
                                is not in `a_day`; NULL: none */
    fc_range days; /* that a tank at a height lasts by that with nothing coming
                      in [s]; not given: not known, or a pressure tank */
    FC_ROOM(7);
} fc_tank_state;

typedef struct fc_tank_water {
    const char *name;
    bool at_height; /* a source of kind = tank; not given of it are: */
    fc_range cut_in, cut_out, precharge;
    fc_range draw_down; /* between cut-out and cut-in, slowly */
    fc_range volume;    /* of the tank; of one at a height, of its water */
    fc_range period;    /* how long the busiest minutes last [s] */
    double flush_valves;
    fc_tank_state states[FC_STATES]; /* of a building that is not converted the
                                        first alone */
    FC_ROOM(8);
} fc_tank_water;

#ifdef __cplusplus
}
#endif

#endif
