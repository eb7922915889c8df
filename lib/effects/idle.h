/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/idle.h -- how often a valve that nobody uses flushes by itself.
 */
#ifndef FCI_EFFECTS_IDLE_H
#define FCI_EFFECTS_IDLE_H

#include "flushcalc.h"

#define FCI_DAY 86400.0     /* s */
#define FCI_YEAR_DAYS 365.0 /* a common year */

/* The days of a year, one after another; after the last comes the first. */
struct fci_calendar {
    bool used[(size_t)FCI_YEAR_DAYS];
    size_t n_used;
};

/* `days` of use in a year, the others in the spells of the file, which lie as
 * evenly between them as they can; days of no spell of the file are in
 * spells of `spell` days. */
void fci_mark_days(const fc_usage *usage, double days, size_t spell,
                   struct fci_calendar *calendar);

/* Whether the spells of the file are all the days without use. */
bool fci_spells_are_told(const fc_usage *usage, fc_range days);

/* Hygiene flushes in a year of a valve that flushes `after` days without use.
 * It is used `rate` times on each day of use, at random in the same `hours` of
 * it [days].
 *
 * Every use and every such flush starts its clock anew.  So the k-th flush
 * after a use comes if nobody uses the valve for k times `after`, which has
 * the chance exp(-m), m being how many uses are expected meanwhile; the sum
 * over all k and over all uses of the year is the mean.  A valve that nobody
 * uses flushes once in each `after`. */
double fci_idle_flushes(const struct fci_calendar *calendar, double rate,
                        double hours, double after);

/* The least and the most of these whatever the rate, the days and the hours
 * are in their ranges, and whatever spells make up the days without use that
 * are in no spell of the file.  More uses never make more of them, as a time
 * that is parted holds no more whole times than before. */
fc_range fci_idle_bounds(const fc_usage *usage, fc_range rate, fc_range days,
                         fc_range hours, double after);

#endif
