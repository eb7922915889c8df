/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/tank_times.c -- words of tanks that tables share. */
#include "effects/tank_times.h"
#include "units/number.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

const char *
fci_tank_none(const fc_tank_water *tank, const fc_tank_state *s)
{
    return tank->at_height ? "no tank will do"
           : s->least.high > tank->cut_in.low
               ? "no tank will do at this cut-in"
               : "no tank will do at this precharge";
}

/* Minutes below 2 hours, days from 3 on; a figure below 10 of them all asks
 * for a decimal, unless all are whole. */
struct fci_tank_unit
fci_tank_unit_of(const double *times, size_t n)
{
    static const struct fci_tank_unit units[] = { { 60, "min", 0 },
                                                  { 3600, "h", 0 },
                                                  { 86400, "days", 0 } };
    double most = 0, least = INFINITY;
    struct fci_tank_unit unit;
    bool whole = true;

    for (size_t i = 0; i < n; i++)
        if (isfinite(times[i]))
            most = fmax(most, times[i]);
    unit = units[most < 7200 ? 0 : most < 3 * 86400 ? 1 : 2];
    for (size_t i = 0; i < n; i++) {
        const double time = times[i] / unit.seconds;

        if (!isfinite(time) || !(time > 0))
            continue;
        least = fmin(least, time);
        whole = whole && fabs(time - round(time)) < 0.005;
    }
    unit.decimals = whole ? 0 : least < 0.1 ? 2 : least < 10 ? 1 : 0;
    return unit;
}

const char *
fci_tank_times(struct fci_arena *arena, const struct fci_tank_unit *unit,
               double a, double b)
{
    char low[40], high[40];

    snprintf(low, sizeof low, "%.*f", unit->decimals,
             fmin(a, b) / unit->seconds);
    snprintf(high, sizeof high, "%.*f", unit->decimals,
             fmax(a, b) / unit->seconds);
    fci_plain_number(low);
    fci_plain_number(high);
    return strcmp(low, high) == 0
               ? fci_arena_printf(arena, "%s %s", low, unit->name)
               : fci_arena_printf(arena, "%s to %s %s", low, high, unit->name);
}
