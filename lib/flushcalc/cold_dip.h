/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/cold_dip.h -- what flush valves take from those who wash: cold
 * pressure at showers, sinks and eyewashes while they flush. */
#ifndef FLUSHCALC_COLD_DIP_H
#define FLUSHCALC_COLD_DIP_H

#include "flushcalc/base.h"
#include "flushcalc/check.h"

#ifdef __cplusplus
extern "C" {
#endif

/** With 1, 2, ... so many flush valves open, */
#define FC_MOST_DIPPING 3
/** and with as many as may be open at once. */
#define FC_DIPS (FC_MOST_DIPPING + 1)

/** A fixture while some number of flush valves is open: those that leave it
 * the least. */
typedef struct fc_dip {
    fc_range pressure; /* cold, at its inlet [Pa]; of an emergency fixture
                          while it runs itself */
    fc_range fall;  /* of its pressure at rest, as a share of that; not given:
                       it has none at rest */
    fc_range apart; /* how far cold falls below hot, likewise: what a mixing
                       valve without balancing follows.  Without a heater that
                       serves it nobody knows whether hot falls too: the low
                       end is 0 and the nominal one is `fall` */
    const fc_flushing *set; /* which valves, at the nominal inputs */
    size_t n_set;
    bool worst; /* no other so many leave it less, before it is opened: it is
                   proved */
    fc_verdict works; /* cold keeps within the fixture's `limit`, or an
                         emergency fixture its minimum */
    size_t open;      /* flush valves */
    bool surely; /* there are so many, and they may well be open together; else
                    it never surely does harm */
    FC_ROOM(5);
} fc_dip;

typedef struct fc_cold_dip_state {
    bool given;       /* false: it has a flush valve in this state, or nothing
                         could be worked out */
    fc_range at_rest; /* with no flush valve open; steady draws run [Pa] */
    fc_dip dips[FC_DIPS]; /* with 1, 2, 3 valves open; then with `most` of the
                             building, where that is more */
    size_t n_dips;        /* fewer where there are fewer valves */
    fc_verdict works;     /* the worst of `dips` */
    int first; /* the fewest open valves that bring that about; 0: it works */
    FC_ROOM(8);
} fc_cold_dip_state;

typedef struct fc_cold_dip_fixture {
    const char *name, *on, *kind;
    int count;
    bool emergency;     /* an eyewash or the like; else one that mixes */
    double minimum;     /* flowing, of an emergency fixture [Pa]; else NAN */
    fc_answer balanced; /* its mixing valve */
    const char *heater; /* element that its heater is on; NULL: not given */
    double limit; /* share that cold may fall below hot: that of the trade, or
                     what a balancing valve is tested for; NAN: emergency */
    fc_cold_dip_state states[FC_STATES];
    FC_ROOM(8);
} fc_cold_dip_fixture;

/** How many flush valves may be open at once. */
typedef struct fc_open_at_once {
    size_t busiest; /* in the busiest minutes; 0: not known, as how long a
                       flush lasts is not, or there is none */
    size_t hygiene; /* hygiene flushes; 0: none */
    size_t most;    /* that are looked at: the more of both, or all where the
                       first is not known */
    FC_ROOM(3);
} fc_open_at_once;

/**
 * Cold pressure at every fixture without a flush valve at which people mix hot
 * and cold water, and at eyewashes and emergency showers, with 1, 2 and 3
 * flush valves open, and with as many as may be open at once; those that leave
 * it least.
 *
 * As many are open at once in the busiest minutes as are not exceeded at any
 * moment of 95 of 100 of them, each valve used at its interval, whatever the
 * others do; or of the hygiene flushes that come due together, if those are
 * more.
 *
 * A mixing valve without pressure balancing gives hotter water as cold falls
 * against hot; from a third on that is counted as harm (common practice).  A
 * balancing valve keeps the water as warm while one side falls by half (ASSE
 * 1016, from memory); beyond that nobody tested it.  Whether a valve balances
 * is the key `balanced`; not given and past a third nothing is told for sure.
 */
typedef struct fc_cold_dip {
    const fc_cold_dip_fixture *fixtures; /* in the order of the file */
    size_t n_fixtures;
    size_t deepest[FC_STATES]; /* that mixes, and whose cold falls most;
                                  SIZE_MAX: none */
    size_t lowest[FC_STATES];  /* emergency fixture with the least above its
                                  minimum; SIZE_MAX: none */
    double third, balanced;    /* shares: the two limits */
    fc_open_at_once open[FC_STATES];
    FC_ROOM(4);
} fc_cold_dip;

#ifdef __cplusplus
}
#endif

#endif
