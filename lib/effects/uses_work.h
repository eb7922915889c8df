/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/uses_work.h -- a year's uses, flushes and water under
 * calculation, with each unknown at one end or in the middle.
 *
 *   uses.c     how often each fixture is used
 *   flushes.c  the flushes that this makes, and their water
 *   year.c     over all ends of what is not known
 */
#ifndef FCI_EFFECTS_USES_WORK_H
#define FCI_EFFECTS_USES_WORK_H

#include "effects/idle.h"
#include "effects/uses.h"

/* Where each unknown is: -1 low, 0 in the middle, 1 high. */
struct fci_corner {
    signed char at[FCI_UNKNOWNS];
};

/* Uses a year in one corner: all together, and of one fixture. */
struct fci_day_uses {
    double men_closet, women_closet, urinal;
};

/* How many fixtures share the uses, and whether there are any that men, that
 * women may use. */
struct fci_sharing {
    double men, women, anyone, urinals;
    bool for_men, for_women;
};

/* Of a valve over all corners. */
struct fci_use_bounds {
    fc_range rate; /* uses a day that start its clock anew */
    fc_range days;
    fc_range flushes; /* hygiene flushes a year, once they are known, */
    double after;     /* each so long after a use [days] */
};

struct fci_making {
    const fc_site *site;
    struct fci_all_uses *all[FCI_SIDES][FC_STATES];
    enum fci_unknown parting[2]; /* what parts the sides */
    size_t n_parting;
    struct fci_sharing sharing; /* in the corner at hand */
    bool urinals;               /* there are any */
    bool varies[FCI_UNKNOWNS];
    struct fci_use_bounds *bounds[FC_STATES]; /* by fixture */
    bool bounded;                             /* they are known */
    fc_range days;  /* a year on which anybody is there */
    fc_range hours; /* of such a day [days] */
};

/* One outlet in one corner. */
struct fci_outcome {
    double uses, flushes, hygiene, volume, volume_a_day, days, per_flush;
};

static inline double
fci_at_end(fc_range range, int end)
{
    return end < 0 ? range.low : end > 0 ? range.high : range.nominal;
}

static inline fc_range
fci_usual_range(const fc_site *site, enum fci_usual_name name)
{
    return fci_tables_usual(site->tables, name)->range;
}

static inline fc_range
fci_or_usual(const fc_site *site, fc_range given, enum fci_usual_name name)
{
    return given.given ? given : fci_usual_range(site, name);
}

/* ---- uses.c ------------------------------------------------------------ */

bool fci_counts_people(const fc_people *people);
/* Those of [usage] as one kind more. */
fc_people fci_people_of_usage(const fc_usage *usage);
/* Of people whose own are not given, those of the building. */
fc_range fci_days_of(const struct fci_making *m, fc_range own);
/* On which anybody is there: as many as those have who come most. */
fc_range fci_days_of_building(const struct fci_making *m);
double fci_how_many(const struct fci_fixture *f, const struct fci_corner *c);
/* Those with uses of their own take no part. */
void fci_count_sharing(struct fci_making *m, const struct fci_corner *c);
/* What fixtures with uses of their own take of all; the rest is shared. */
struct fci_day_uses fci_left_to_share(const struct fci_making *m,
                                      const struct fci_corner *c);
/* Of one of a fixture in a year. */
double fci_uses_of(const struct fci_making *m, const struct fci_fixture *f,
                   const struct fci_day_uses *left,
                   const struct fci_corner *c);

/* ---- flushes.c --------------------------------------------------------- */

/* Makes a range reach to a value, unless it is NAN; what is in the `middle` is
 * its nominal. */
void fci_stretch(fc_range *range, double value, bool middle);
/* The hygiene flushes of a valve, once the ends of its uses are known. */
void fci_bound_hygiene(struct fci_making *m, size_t fixture, fc_state state);
struct fci_outcome fci_work_out_year(struct fci_making *m, size_t fixture,
                                     fc_state state,
                                     const struct fci_day_uses *left,
                                     const struct fci_corner *c);

#endif
