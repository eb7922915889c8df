/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/uses.h -- how often each fixture is used in a year, and the
 * water that flush valves take for it. */
#ifndef FCI_EFFECTS_USES_H
#define FCI_EFFECTS_USES_H

#include "site/site.h"

/* What may be known of a year only as a range: one variable for one cause,
 * whatever fixtures and states it bears on. */
enum fci_unknown {
    FCI_PEOPLE_COUNTED,
    FCI_MEN_AMONG_THEM,
    FCI_USES_OF_EACH,
    FCI_DAYS_OF_USE,
    FCI_FLUSHES_PER_USE,
    FCI_LONG_STAYS,
    FCI_FALSE_FLUSHES,
    FCI_FIXTURES_COUNTED, /* that share the uses of all */
    FCI_OWN_USES,         /* of fixtures that have uses of their own, */
    FCI_OWN_COUNTED,      /* and how many of these there are */
    FCI_IDLE_SPELLS,
    FCI_SELF_FLUSHING, /* whether a valve flushes by itself at all whose file
                          does not say */
    FCI_UNKNOWNS
};

/* "how many people there are" */
const char *fci_unknown_said(enum fci_unknown unknown);

/* One outlet of a fixture in one state, over a year. */
struct fci_use {
    bool given;       /* how often it is used is known */
    fc_range uses;    /* a year */
    fc_range flushes; /* a year, false and hygiene flushes among them */
    fc_range hygiene; /* of those */
    fc_range volume;  /* of water a year [m3]; not given: that of a flush is
                         not known, or it has no flush valve */
    fc_range volume_a_day; /* of its use on a day of use, hygiene flushes left
                              out [m3]; likewise */
    fc_range days;         /* a year on which it is used */
    fc_range per_flush;    /* volume of a flush in the mean [m3] */
};

/* All outlets of a fixture together, in the same way. */
struct fci_all_uses {
    fc_range count, flushes, hygiene, volume, volume_a_day;
    fc_range saved; /* volume existing less retrofit, of `existing` alone */
};

/* How many men there are and how many fixtures raise what one fixture has and
 * lower what another has: a sum over fixtures is bounded with each of them at
 * either end, and is no sum of what bounds each fixture.  These are the sides
 * that are told apart. */
#define FCI_SIDES 4

struct fci_year {
    bool told;                             /* people, or uses of any fixture */
    const struct fci_use *uses[FC_STATES]; /* one per fixture */
    size_t n_sides; /* a range is the hull of what it is on each of them, all
                       of which have the same nominal */
    const struct fci_all_uses *all[FCI_SIDES][FC_STATES]; /* one per fixture */
    fc_range volume[FC_STATES]; /* of all flush valves whose use and volume are
                                   known [m3] */
    fc_range saved;             /* existing less retrofit [m3] */
    enum fci_unknown weighs;    /* of `saved`; FCI_UNKNOWNS: nothing is a range
                                 */
    fc_range saved_by_it; /* while that one goes over its range and all else is
                             in its middle */
    bool homeless;        /* some uses find no fixture that serves them */
    const char *left_out; /* a fixture whose use is known and whose volume is
                             not in every state: it is in no volume of the
                             building; NULL: there is none */
    bool counts;          /* any fixture is in these volumes */
};

/* Whether the valve of a fixture is sensor-operated: as it is said; or else
 * what has a figure of sensor valves alone, or is a retrofit valve. */
bool fci_is_sensor(const struct fci_fixture *fixture, fc_state state);

/* The uses of a year; in the arena.  FC_OK, FC_ENOMEM. */
fc_status fci_year_make(const fc_site *site, struct fci_arena *arena,
                        struct fci_year *year);

#endif
