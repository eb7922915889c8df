/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/tank_draw.h -- what is drawn from a tank and what comes into it,
 * at a pressure at its outlet.
 *
 * On a tree only: what a valve draws follows from the tank's pressure by the
 * way to it alone. */
#ifndef FCI_EFFECTS_TANK_DRAW_H
#define FCI_EFFECTS_TANK_DRAW_H

#include "flow/network.h"

/* A network and what is drawn steadily through each of its elements. */
struct fci_tank_draw {
    const struct fci_network *network;
    double *steady[FCI_ENDS]; /* [m3/s] */
};

/* In the arena; false: out of memory. */
bool fci_tank_draw_make(struct fci_tank_draw *draw,
                        const struct fci_network *network,
                        struct fci_arena *arena);

/* The pressure that the tank must have for a flush valve, flushing alone, to
 * have its minimum [Pa], at an end; -INFINITY: it has none that is known,
 * INFINITY: no pressure of the tank gives it that. */
double fci_tank_least(const struct fci_tank_draw *draw, size_t fixture,
                      enum fci_end end);

/* What that valve draws at a pressure in the tank [m3/s]; at its worst, which
 * is the worst for the water in the tank, the most. */
double fci_tank_flush(const struct fci_tank_draw *draw, size_t fixture,
                      double pressure, enum fci_end end);

/* What the pump or the well gives at a pressure in the tank [m3/s], at its
 * worst the least; 0: the pump does not reach it. */
double fci_tank_rate(const fc_site *site, double pressure, enum fci_end end);

/* What all draw in the busiest minutes in the mean [m3/s], each fixture used
 * at its interval, and the flushes in it [1/s]; at its worst the most.  NAN:
 * a flush volume is not known. */
struct fci_mean_draw {
    double flow;    /* of all, steady draws too */
    double flushes; /* 1/s */
    double volume;  /* of the largest flush of any valve [m3] */
};
struct fci_mean_draw fci_tank_mean(const fc_site *site, fc_state state,
                                   enum fci_end end);

/* The volume of a flush of a valve when all flushes are full; NAN: not known.
 */
double fci_tank_full_flush(const fc_valve *valve, enum fci_end end);

#endif
