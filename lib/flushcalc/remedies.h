/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/remedies.h -- what cures a building that is short. */
#ifndef FLUSHCALC_REMEDIES_H
#define FLUSHCALC_REMEDIES_H

#include "flushcalc/size.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum fc_lever {
    FC_REPLACE_PIPES,
    FC_CHANGE_MATERIAL, /* the same, rough pipes by another material too */
    FC_RAISE_SOURCE,    /* value: its pressure; of a tank the water level */
    FC_RAISE_REDUCER,   /* its setting */
    FC_LOWER_REDUCER,   /* the same, against too much without flow */
    FC_ADD_REDUCER,     /* its setting, of one that is put in */
    FC_RAISE_PUMP,    /* of a pump in place: its head in m, or what it holds */
    FC_ADD_BOOSTER,   /* its head at peak flow in m */
    FC_LOWER_LOSS,    /* of a device: at peak flow, at most */
    FC_LOWER_MINIMUM, /* of a valve: its own minimum, at most */
    FC_KEEP_VALVES,   /* fixtures that keep the valves they have */
    FC_COMBINE,       /* one lever, not as far, and pipes */
    FC_MOVE_FLOORS,   /* fed from another riser or PRV zone */
    FC_ADD_RISER,     /* a new pipe beside those in place, for some of what
                         they feed */
    FC_THROTTLE_STOPS /* of fixtures that have pressure to spare */
} fc_lever;

/**
 * @brief The word for a lever in reports for programs: "new reducer".
 *
 * A reducer turned up and one turned down have the same.
 *
 * @return NULL for what is no fc_lever
 */
const char *fc_lever_word(fc_lever lever);

/* Whether an option can be had. */
typedef enum fc_reach {
    FC_IN_REACH,
    FC_BY_UTILITY,       /* a city main: what its utility would have to give */
    FC_NOT_MADE,         /* no meter, or no preventer, loses that little */
    FC_ONLY_DOUBLE_CHECK /* no RP loses that little, and the site does not say
                            whether a double check may stand there */
} fc_reach;

/** What an option has to have bought. */
typedef struct fc_purchase {
    const char *what; /* the key of its price in [price]; "pipes": [prices] */
    double count;
    double price; /* of all of them; NAN: no price is given */
    FC_ROOM(4);
} fc_purchase;

/** One lever: how far it has to go, or why it is of no use. */
typedef struct fc_remedy {
    fc_lever lever;
    bool works;          /* the building so changed was checked: all works, and
                            nothing is above its maximum that was not; never
                            where `reach` is FC_NOT_MADE */
    const char *subject; /* element, valve or fixtures that it is about; NULL:
                            the pipes */
    const char *text;    /* what to do, or why it is of no use: sentences */
    fc_dimension dimension; /* of the values */
    double value, now;      /* what it has to be, what it is; NAN: neither */
    const char *fixture;    /* that governs it; NULL: none */
    double cost;            /* of the pipes replaced; 0: none */
    const fc_sized_pipe *pipes; /* those replaced */
    size_t n_pipes;
    fc_verdict too_high; /* where it works: what too much pressure is left at
                            peak and with no flow; FC_WORKS: none */
    double new_pipe;     /* length of a pipe put in where there is none [m]: as
                            long as those that it runs beside, or the most
                            that it may be; NAN: there is none */
    double gain;         /* with it, at peak, of the fixture below [Pa]; where
                            it may be as long as `new_pipe`, with the
                            shortest; NAN: none */
    const char *gains;   /* that fixture; NULL: none */
    fc_reach reach;
    const fc_purchase *purchases; /* none where it does not work */
    size_t n_purchases;
    double price; /* of all of them; NAN: something has no price */
    FC_ROOM(4);
} fc_remedy;

/** The highest minimum of a flush valve that would do at one height. */
typedef struct fc_floor_minimum {
    double elevation;    /* of the fixtures' inlets [m] */
    const char *fixture; /* that has least there */
    double most;         /* at peak, at the worst end, less the reserve [Pa] */
    double needed;       /* the most that a valve there asks now; NAN: none */
    double code;         /* the code's least there; NAN: none counts */
    FC_ROOM(8);
} fc_floor_minimum;

/** Fixtures one above the other that one reducer could serve. */
typedef struct fc_reducer_zone {
    double lowest, highest;  /* elevation of their inlets [m] */
    double low, high;        /* settings [Pa]; high INFINITY: no limit */
    const char *short_first; /* fixture that needs `low`; NULL: none does */
    const char *high_first;  /* fixture that bears no more than `high`; NULL:
                                none */
    bool possible;           /* low <= high */
    FC_ROOM(8);
} fc_reducer_zone;

/** The settings of a reducer that keep every fixture behind it above its
 * requirement at peak, with the fall-off, and below its maximum at no flow. */
typedef struct fc_reducer_window {
    const char *reducer; /* NULL: the site has none; one that would stand */
    const char *behind;  /* the element that feeds it, or would */
    fc_range set;        /* as it stands, as far off as it may be; not given:
                            it is not there [Pa] */
    fc_reducer_zone all; /* of all fixtures behind it; heights NAN: there are
                            none.  Its settings may be off as far as `set` */
    double reaches;      /* what its inlet lets it pass at peak, at the worst
                            end, however it is set; other settings stand as
                            they are [Pa] */
    const fc_reducer_zone *zones; /* where one reducer cannot serve all: how
                                     few can, the lowest first */
    size_t n_zones;
    FC_ROOM(8);
} fc_reducer_window;

/** How new pipe is put in to compare. */
typedef enum fc_pipe_way {
    FC_LARGER_PIPE, /* the next size up in place of a pipe */
    FC_SECOND_PIPE, /* beside some, for a part of what they feed */
    FC_LOOP         /* from the end of a branch to that of another */
} fc_pipe_way;

/** The word for it in reports for programs: "larger". */
const char *fc_pipe_way_word(fc_pipe_way way);

/** What new pipe gains the fixture that governs. */
typedef struct fc_pipe_gain {
    fc_pipe_way way;
    const char *where; /* "riser-6"; "beside riser-5 and riser-6, for
                          branch-6"; "branch-6 to branch-7" */
    const char *size;  /* as the tables write it; NULL: it has none */
    double length;     /* of new pipe, nominal [m]; of a loop as if it ran
                          beside the pipes that join its ends now */
    double gain;       /* at peak, at the worst end [Pa]; NAN: peak demand is
                          not known where pipes close a loop */
    double together;   /* while the valves flush that starve it, nominal [Pa];
                          NAN: not known */
    FC_ROOM(8);
} fc_pipe_gain;

typedef struct fc_remedies {
    const char *title;
    fc_unit_system units;
    bool converted;
    fc_state state;   /* to be, which is to be cured */
    fc_verdict works; /* as it is given */
    bool untested;    /* the main has no flow test: the remedies are those of
                         one that does not drop */
    bool by_prices;   /* costs are by [prices]; otherwise in inch-feet */
    const fc_remedy *remedies; /* none where it works */
    size_t n_remedies;
    const fc_floor_minimum *floors; /* from the top down */
    size_t n_floors;
    const fc_reducer_window *windows;
    size_t n_windows;
    const fc_check_result *check; /* as it is given */
    fc_verdict too_high; /* likewise, a verdict beside: FC_WORKS, it is not */
    const char *governing;     /* the fixture that gains; NULL: none */
    const fc_pipe_gain *gains; /* most for its length first */
    size_t n_gains;
    int together;  /* valves that flush together there; 0: not known which */
    bool priced;   /* the site has prices of anything */
    size_t lowest; /* the remedy with the lowest price of those that work, are
                      in reach, leave nothing too high and have a price;
                      SIZE_MAX: there is none */
    const char *const *unpriced; /* purchases without a price that others need,
                                    which so may cost less; none: none may */
    size_t n_unpriced;
    const char *const *tried; /* what was tried two together, each "a booster
                                 and PRVs", whether it works or not */
    size_t n_tried;
} fc_remedies;

/**
 * What cures a building as it stands, or as it is to be converted: each lever
 * alone, and the cheapest pipes.
 *
 * The levers: pipes replaced at least cost (what is in place costs nothing to
 * keep, no pipe put in is larger than the one that feeds it), and rough ones
 * by another material too; the pressure of the source; the setting of a
 * reducer; a reducer put in; a pump in place; a booster on the building's
 * main; the loss of a meter, a backflow preventer or a device; the valves' own
 * minimum; fixtures that keep their valves; and one of the levers that raise a
 * pressure with pipes.  A higher pressure of a street main is told, but is not
 * in the owner's reach, nor is a device that loses less than any does.  Each
 * goes as far as it has to, in steps of 0.1 psi (1
 * kPa) or 0.1 ft (0.1 m) of head, with every input at its worst end. Each that
 * is said to work was put into the site and passed fc_check().
 *
 * @param site      a finished site; it is not changed
 * @param options   NULL is the defaults; progress tells of all levers together
 * @param remedies  set to a result to be freed; kept on failure.  It borrows
 *                  from the site
 * @param messages  gets the reason on failure; may be NULL
 *
 * @return as fc_check(); FC_EINPUT too where the need of a flush valve is not
 *         known, and for a material without prices beside others with them
 */
fc_status fc_remedies_find(const fc_site *site, const fc_size_options *options,
                           fc_remedies **remedies, fc_diagnostics *messages);
void fc_remedies_free(fc_remedies *remedies);

/** The site file with remedy i, 0 <= i < n_remedies, put in; as
 * fc_size_text().  FC_ESTATE where it does not work, or there is none. */
fc_status fc_remedies_text(const fc_remedies *remedies, size_t i,
                           const char *folder, char **text,
                           fc_diagnostics *messages);

#ifdef __cplusplus
}
#endif

#endif
