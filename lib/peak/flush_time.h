/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/flush_time.h -- how long a flush valve is on, and how often. */
#ifndef FCI_PEAK_FLUSH_TIME_H
#define FCI_PEAK_FLUSH_TIME_H

#include "site/site.h"

/* Where the time between two uses comes from. */
enum fci_interval_from { FCI_OF_FIXTURE, FCI_OF_USAGE, FCI_OF_DEFAULT };

/* One valve of a fixture in the busiest period. */
struct fci_busy {
    double volume;   /* of a flush, in the mean [m3]; NAN: not known */
    double time;     /* of a flush, in the mean [s]; NAN: not known */
    double interval; /* between two uses [s] */
    enum fci_interval_from from;
    double on;   /* chance that it is on, 0 to 1; NAN: not known */
    bool capped; /* it would take longer than the interval, so that it is
                    always on */
};

/* At the worst end the rate is the lowest, so that a flush lasts longest. */
struct fci_busy fci_valve_busy(const fc_site *site,
                               const struct fci_fixture *fixture,
                               fc_state state, enum fci_end end);

/* How long the busiest minutes last [s], as given or usual. */
fc_range fci_busiest_minutes(const fc_site *site);

/* Which part of the flushes of a valve with a reduced one are that: as the
 * valve says, or those who use it (short stays); or else `otherwise`, which
 * differs by what is asked.  The busiest period takes the longer flushes of
 * what is usual, a year all that is usual, and a tank, that must not run dry,
 * full flushes alone at its worst. */
fc_range fci_reduced_share(const fc_site *site, const fc_valve *valve,
                           fc_range otherwise);
/* The mean volume of a flush with so many reduced ones, at its worst the most
 * [m3]; NAN: not known. */
double fci_mean_flush(const fc_valve *valve, double share, enum fci_end end);

/* How long one full flush takes [s]; NAN: not known. */
double fci_full_flush_time(const struct fci_fixture *fixture, fc_state state,
                           enum fci_end end);

/* The key that the fixture's valve lacks for this, "flow" or "full flush", or
 * "kind" where it has no valve at all; NULL: none. */
const char *fci_flush_lacks(const struct fci_fixture *fixture, fc_state state);

#endif
