/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/idle.h -- how often a valve that nobody uses flushes by itself.
 */
#ifndef FCI_EFFECTS_IDLE_H
#define FCI_EFFECTS_IDLE_H

#include "flushcalc.h"

#define FCI_DAY 86400.0     /* s */
#define FCI_YEAR_DAYS 365.0 /* a common year */

/* Hygiene flushes on `days` days of use of a valve that is used `rate` times a
 * day at random, and flushes `after` days without use.
 *
 * Every use or flush starts its clock anew.  Between two uses lie exponential
 * times, so that a time of x holds floor(x / after) flushes: in the mean
 * e / (1 - e) with e = exp(-rate after), for each of rate uses a day.  A valve
 * that nobody uses flushes once in each `after`. */
double fci_idle_flushes(double rate, double days, double after);

/* Those of the spells in which nobody is there, `days` being the days of use.
 * A spell begins with the last use before it and ends with the first one after
 * it, so that the valve stands up to a day longer than the spell: not at all
 * at `end` < 0, half a day at 0, a day above.  Where no spell is told the days
 * without use are weekends in the middle, too short to count at the low end,
 * and at the high one spells of the length that gives most. */
double fci_closed_flushes(const fc_usage *usage, double days, double after,
                          int end);

#endif
