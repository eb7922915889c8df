/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/tank_lasts.h -- how long the water of a tank lasts. */
#ifndef FCI_EFFECTS_TANK_LASTS_H
#define FCI_EFFECTS_TANK_LASTS_H

#include "effects/tank_draw.h"

/* In one state; by ends, of which the worst is that of the water: it lasts
 * shortest.  A pressure tank begins at the worst at its cut-in, with the pump
 * about to start, at the best at its cut-out, with the pump about to stop, and
 * at nominal halfway; a roof tank at its level. */
struct fci_tank_lasts {
    const char *lacks; /* the key that a valve lacks, without which nothing is
                          known, */
    const char *of;    /* and which; NULL: in place of the key stands why it is
                          not calculated, or NULL */
    bool roof;         /* a tank at a height, whose pressure does not fall */
    size_t first;      /* the fixture whose valve, flushing alone, falls below
                          its minimum first as the tank's pressure falls;
                          FCI_NONE: of none is that known */
    size_t thirsty;    /* that of which a flush takes most from the tank */
    double least[FCI_ENDS];    /* pressure of the tank at which `first` falls
                                  below [Pa] */
    double water[FCI_ENDS];    /* until then [m3] */
    double borrowed[FCI_ENDS]; /* by a flush of `thirsty`, at the cut-in [m3]
                                */
    double flush[FCI_ENDS];    /* its volume [m3] */
    double in_row[FCI_ENDS];   /* flushes of it one after another, and the part
                                  of one more; INFINITY: the pump keeps up */
    double rate[FCI_ENDS], rate_out[FCI_ENDS]; /* into the tank at its cut-in
                                                  and at its cut-out [m3/s] */
    struct fci_mean_draw mean[FCI_ENDS];
    double lasts[FCI_ENDS];   /* in the busiest minutes [s]; INFINITY: the pump
                                 keeps up */
    bool by_chance;           /* in 95 of 100 of them, however many flush */
    double between;           /* water from the cut-out to the cut-in at the
                                 least [m3]; of a roof tank 0 */
    fc_range period;          /* how long they last [s] */
    double refill[FCI_ENDS];  /* from the cut-in to the cut-out, or of all of a
                                 roof tank [s]; INFINITY: never */
    double valves;            /* flush valves, at the most */
    double for_row[FCI_ENDS]; /* volume of a tank that gives each of them a
                                 flush in a row [m3]; INFINITY: none does */
    double for_busy[FCI_ENDS]; /* that lasts as long as the busiest minutes; at
                                  the worst by chance too */
    fc_verdict row, busy;      /* one flush; the busiest minutes */
};

/* Whether the site is fed from a tank whose water may not last. */
bool fci_tank_ends(const fc_site *site);

/* A tank that feeds the site at a height whose volume is not given; NULL:
 * there is none. */
const char *fci_tank_unknown(const fc_site *site);

/* Its own verdict: the worse of both; FC_CANNOT_TELL where it is not known. */
fc_verdict fci_tank_verdict(const struct fci_tank_lasts *lasts);

/* false: out of memory. */
bool fci_tank_lasts_find(const struct fci_network *network,
                         struct fci_tank_lasts *lasts);

/* Flushes that begin together. */
struct fci_tank_flushes {
    double volume;            /* of all of them [m3]; NAN: not known */
    double quickest, longest; /* of them at least, and at most [s] */
    double spare;             /* the tank may fall by so much meanwhile [Pa] */
};

/* Whether the water that is surely there at the cut-in lets such flushes end;
 * of a roof tank, whether it has so much. */
bool fci_tank_carries(const fc_site *site,
                      const struct fci_tank_flushes *flushes);

#endif
