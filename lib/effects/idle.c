/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/idle.c -- how often a valve that nobody uses flushes by itself.
 */
#include "effects/idle.h"

#include <math.h>

#define WEEKEND 2.0 /* days */

double
fci_idle_flushes(double rate, double days, double after)
{
    if (!(rate > 0))
        return days / after;
    return days * rate / expm1(rate * after);
}

/* What turns on a rounding is no flush more: 72 h of 72. */
static double
whole_times(double time, double after)
{
    return floor(time / after + 1e-9);
}

double
fci_closed_flushes(const fc_usage *usage, double days, double after, int end)
{
    const double longer = 0.5 + 0.5 * end; /* days */
    const double closed = fmax(FCI_YEAR_DAYS - days, 0);
    double sum = 0;

    for (size_t i = 0; i < usage->n_closed; i++)
        sum += usage->closed[i].count
               * whole_times(usage->closed[i].time / FCI_DAY + longer, after);
    if (usage->n_closed > 0)
        return sum;
    if (end < 0)
        return 0;
    if (end == 0)
        return closed / WEEKEND * whole_times(WEEKEND + longer, after);
    /* spells of whatever length, all alike */
    for (double length = 1; length <= closed; length++)
        sum = fmax(sum, closed / length * whole_times(length + longer, after));
    return sum;
}
