/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/tank_times.h -- words of tanks that tables share. */
#ifndef FCI_EFFECTS_TANK_TIMES_H
#define FCI_EFFECTS_TANK_TIMES_H

#include "flushcalc.h"
#include "ground/memory.h"

/* In what the times of one row are said, all alike. */
struct fci_tank_unit {
    double seconds;
    const char *name;
    int decimals;
};
/* Of n times [s], some of them NAN. */
struct fci_tank_unit fci_tank_unit_of(const double *times, size_t n);
/* "6.0 to 12.0 min" from the less to the more, "6.0 min" where they look the
 * same. */
const char *fci_tank_times(struct fci_arena *arena,
                           const struct fci_tank_unit *unit, double a,
                           double b);

/* Where no tank does what is asked. */
const char *fci_tank_none(const fc_tank_water *tank, const fc_tank_state *s);

#endif
