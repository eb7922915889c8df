/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/flush_time.c -- how long a flush valve is on, and how often.
 *
 *   [BMS65]  R. B. Hunter, Methods of Estimating Loads in Plumbing Systems,
 *            NBS BMS 65 (1940): of the time T between two uses a valve is on
 *            for t, so it is found on with the chance t / T.  His T = 300 s
 *            for a closet (from memory) is the default here.
 */
#include "peak/flush_time.h"

#include <math.h>

/* Between two uses of one fixture in the busiest period: 5 min, common
 * practice, and Hunter's for a closet [BMS65]. */
#define DEFAULT_INTERVAL 300.0 /* s */

/* Of the flushes of a valve with a reduced one, where its share is not given:
 * half and half, the longer flushes of what is usual (tables/usual.ini). */
#define DEFAULT_REDUCED_SHARE 0.5

/* A use is one flush unless the valve says otherwise. */
#define DEFAULT_FLUSHES_PER_USE 1.0

static double
or_else(fc_range figure, double otherwise)
{
    return figure.given ? figure.nominal : otherwise;
}

fc_range
fci_reduced_share(const fc_site *site, const fc_valve *valve,
                  fc_range otherwise)
{
    const fc_range stays = site->usage.long_stay_share;
    const fc_range short_stays = { true, 1 - stays.nominal, 1 - stays.high,
                                   1 - stays.low };

    return valve->reduced_share.given ? valve->reduced_share
           : stays.given              ? short_stays
                                      : otherwise;
}

double
fci_mean_flush(const fc_valve *valve, double share, enum fci_end end)
{
    const double full = valve->full_flush.given
                            ? fci_more_is_worse(valve->full_flush, end)
                            : (double)NAN;

    return valve->reduced_flush.given
               ? full
                     + share
                           * (fci_more_is_worse(valve->reduced_flush, end)
                              - full)
               : full;
}

static void
find_interval(const fc_site *site, const struct fci_fixture *fixture,
              struct fci_busy *busy)
{
    const fc_range own = fixture->given->interval;

    busy->from = own.given                    ? FCI_OF_FIXTURE
                 : site->usage.interval.given ? FCI_OF_USAGE
                                              : FCI_OF_DEFAULT;
    busy->interval =
        or_else(own, or_else(site->usage.interval, DEFAULT_INTERVAL));
}

struct fci_busy
fci_valve_busy(const fc_site *site, const struct fci_fixture *fixture,
               fc_state state, enum fci_end end)
{
    const fc_valve *valve = fixture->valve[state];
    struct fci_busy busy = { .volume = NAN, .time = NAN, .on = NAN };

    find_interval(site, fixture, &busy);
    if (fci_flush_lacks(fixture, state))
        return busy;
    busy.volume = fci_mean_flush(
        valve,
        fci_reduced_share(site, valve, fc_exactly(DEFAULT_REDUCED_SHARE))
            .nominal,
        FCI_NOMINAL);
    busy.time = busy.volume / fci_less_is_worse(valve->flow, end);
    busy.on = busy.time / busy.interval
              * or_else(valve->flushes_per_use, DEFAULT_FLUSHES_PER_USE);
    busy.capped = busy.on > 1;
    if (busy.capped)
        busy.on = 1;
    return busy;
}

fc_range
fci_busiest_minutes(const fc_site *site)
{
    return site->usage.busy_period.given
               ? site->usage.busy_period
               : fci_tables_usual(site->tables, FCI_USUAL_BUSY)->range;
}

double
fci_full_flush_time(const struct fci_fixture *fixture, fc_state state,
                    enum fci_end end)
{
    const fc_valve *valve = fixture->valve[state];

    return fci_flush_lacks(fixture, state)
               ? NAN
               : valve->full_flush.nominal
                     / fci_less_is_worse(valve->flow, end);
}

const char *
fci_flush_lacks(const struct fci_fixture *fixture, fc_state state)
{
    const fc_valve *valve = fixture->valve[state];

    return !valve                                        ? "kind"
           : !(valve->flow.given && valve->flow.low > 0) ? "flow"
           : !valve->full_flush.given                    ? "full flush"
                                                         : NULL;
}
