/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/remedies.h -- levers that may cure a building, each tried and
 * checked. */
#ifndef FCI_REMEDY_REMEDIES_H
#define FCI_REMEDY_REMEDIES_H

#include "check/judge.h"
#include "size/attempt.h"

/* A remedy and what it changes in the site. */
struct fci_cure {
    fc_remedy told;
    struct fci_change_list changes;
    bool unknown; /* whether it works */
};

struct fci_cures;

/* What a lever does so many steps off, as changes; false when out of memory */
typedef bool fci_turn(const struct fci_cures *cures, const void *lever,
                      int steps, struct fci_change_list *changes);

enum fci_outcome {
    FCI_CURES,
    FCI_SERVES, /* all have their pressure at peak, but check finds more */
    FCI_USELESS /* not even that, as far as it can be turned */
};

/* How far a lever has to be turned. */
struct fci_turned {
    enum fci_outcome outcome;
    int steps; /* the fewest that do, or that serve */
    bool idle; /* all have their pressure at peak with no step at all */
    const char *fixture; /* short with a step less; NULL: none at peak */
    const char *but;     /* FCI_SERVES: what check finds, as a clause */
};

/* What turns a pressure: a source, a reducer, a pump in place. */
struct fci_pressure_lever {
    const struct fci_pressure_kind *kind; /* remedy/pressure.c */
    fc_lever lever;
    size_t element;
    fci_turn *turn;
    int most;
    bool of_utility;          /* a street main, which the owner cannot turn */
    struct fci_turned turned; /* once it was tried alone */
};

/* A lever that does not do alone, and may with another. */
struct fci_partner {
    fc_remedy told; /* with its figures where it `serves` */
    enum fci_kind kind;
    fci_turn *turn;
    const void *lever;   /* lives as long as the remedies are sought */
    const void *written; /* the same as it is written: rounded to less loss;
                            NULL: it turns to such figures alone */
    int serves; /* steps that leave nothing short at peak, where something is
                   above its maximum then; 0: there are none */
    int far;    /* the most that a building bears, or that is made; 0: nobody
                   knows, and it is not turned first */
    int most;
    bool tried; /* first, with each other one second */
    /* "Raise the set pressure of r by ...", so many steps, and its figure;
     * NULL when out of memory */
    const char *(*tell)(const struct fci_cures *cures, const void *lever,
                        int steps, fc_remedy *told);
};

struct fci_cures {
    const fc_site *site;
    fc_state state; /* to be: after the retrofit, where there is one */
    const fc_size_options *options;
    fc_diagnostics *messages;
    struct fci_arena *arena;      /* of all texts */
    struct fci_judge judge;       /* of the building as it is given */
    const fc_check_result *check; /* likewise */
    bool *feeds;  /* by element, malloc'ed: a fixture without its pressure at
                     peak is behind it; all, where there is none */
    double *over; /* by fixture, malloc'ed: how far it is above its maximum,
                     at most */
    double pipes_cost; /* of a cure by pipes alone; INFINITY: none */
    bool any_short;    /* a fixture is without its pressure at peak */
    const fc_reducer_window *windows;
    size_t n_windows;
    struct fci_pressure_lever *levers; /* malloc'ed */
    size_t n_levers;
    struct fci_partner *partners; /* malloc'ed */
    size_t n_partners, partners_room;
    bool with_prvs[FC_THROTTLE_STOPS + 1]; /* by lever: tried together */
    bool with_pipes[FC_THROTTLE_STOPS + 1];
    bool with_another[FC_THROTTLE_STOPS + 1];
    fc_site **kept; /* malloc'ed: what remedies borrow from */
    size_t n_kept, kept_room;
    struct fci_cure *list;
    size_t n, room;
};

/* The fewest steps, from 1 to `most`, that cure (remedy/search.c).  Pressure
 * at peak must rise with the steps.  FC_OK, or what a check returns. */
fc_status fci_cure_search(const struct fci_cures *cures, fci_turn *turn,
                          const void *lever, int most,
                          struct fci_turned *turned);
/* Fills in `feeds`; false when out of memory. */
bool fci_cure_mark(struct fci_cures *cures);
/* Whether all works, and nothing is above its maximum that was not, or further
 * than it was: too much pressure is not to be had from a lever. */
bool fci_cure_holds(const struct fci_cures *cures,
                    const struct fci_verdicts *verdicts);
/* Whether the building so changed works, as far as fci_cure_holds() tells;
 * `*but` is what it fails by, a clause
 * in the arena, or NULL; `but` NULL: nobody asks. */
fc_status fci_cure_check(const struct fci_cures *cures,
                         const struct fci_change_list *changes, bool *works,
                         const char **but);
/* The same, and nothing at all is above its maximum: of what is there to take
 * pressure away. */
fc_status fci_cure_bears(const struct fci_cures *cures,
                         const struct fci_change_list *changes, bool *works,
                         const char **but);

/* What has to be bought, in the order in which it was asked for (remedy/
 * price.c): so many of what `lever` takes, of an element of this kind; false
 * when out of memory. */
bool fci_buy(const struct fci_cures *cures, fc_remedy *told, fc_lever lever,
             enum fci_kind kind, double count);
/* What another remedy buys. */
bool fci_buy_again(const struct fci_cures *cures, fc_remedy *told,
                   const fc_remedy *other);
/* How many fixtures stand at one place. */
double fci_count_of(const struct fci_fixture *fixture);
/* The pipes of a remedy, and one of its lever where nothing else was asked
 * for. */
bool fci_buy_all(const struct fci_cures *cures, fc_remedy *told);
/* Whether the site has prices of pipes: no others are then put in. */
bool fci_has_pipe_prices(const fc_site *site);
/* Whether the site has prices of levers. */
bool fci_has_prices(const struct fci_cures *cures);
/* Whether it may be the one that costs least: it works, can be had for sure
 * and leaves nothing too high. */
bool fci_may_be_lowest(const fc_remedy *remedy);
/* Which one costs least, and what nobody knows the price of; false when out of
 * memory. */
bool fci_name_lowest(const struct fci_cures *cures, fc_remedies *all);

/* One more in the list, which takes over the changes; false when out of
 * memory, and they are freed. */
bool fci_cure_add(struct fci_cures *cures, const fc_remedy *told,
                  struct fci_change_list *changes);
/* A remedy with nothing said yet. */
fc_remedy fci_remedy_of(fc_lever lever, const char *subject,
                        fc_dimension dimension);
/* Where a lever is of no use, as no fixture is short at peak: `what` begins
 * the sentence, "Raising r".  For FCI_SERVES and `idle`. */
const char *fci_cure_idle(const struct fci_cures *cures,
                          const struct fci_turned *turned, const char *what);
/* The usual end of a sentence about what was turned: what else check finds, or
 * what would be short with any less (`no_less`), or with any more. */
const char *fci_cure_end(const struct fci_cures *cures,
                         const struct fci_turned *turned, bool no_less);

/* The levers, in the order in which they are tried, a row each: its word for
 * programs; the function that tries it, adds what it finds to the list and
 * returns FC_OK, or what a check returns; whether it is of use only where
 * pressure or flow lacks, and only in a building that is converted; and what
 * cannot be told where a site file has no way to put it, NULL: that is an
 * error.  FC_COMBINE turns one of those above it, with pipes. */
#define FCI_LEVER_LIST(ROW)                                                   \
    ROW(FC_REPLACE_PIPES, "pipes", fci_cure_pipes, true, false, NULL)         \
    ROW(FC_CHANGE_MATERIAL, "material", fci_cure_material, true, false,       \
        "pipes of another material")                                          \
    ROW(FC_RAISE_SOURCE, "source", fci_cure_source, true, false,              \
        "a higher pressure of the source")                                    \
    ROW(FC_RAISE_REDUCER, "reducer", fci_cure_reducers, true, false,          \
        "a higher set pressure of a PRV")                                     \
    ROW(FC_LOWER_REDUCER, "reducer", fci_cure_lower_reducers, false, false,   \
        "a PRV")                                                              \
    ROW(FC_ADD_REDUCER, "new reducer", fci_cure_add_reducer, false, false,    \
        "a PRV")                                                              \
    ROW(FC_RAISE_PUMP, "pump", fci_cure_pumps, true, false,                   \
        "more head of a pump")                                                \
    ROW(FC_ADD_BOOSTER, "booster", fci_cure_booster, true, false,             \
        "a booster")                                                          \
    ROW(FC_LOWER_LOSS, "device", fci_cure_devices, true, false,               \
        "a lower loss of a device")                                           \
    ROW(FC_LOWER_MINIMUM, "valve", fci_cure_minima, true, false,              \
        "a valve with a lower minimum")                                       \
    ROW(FC_KEEP_VALVES, "keep", fci_cure_keep, false, true,                   \
        "keeping existing valves")                                            \
    ROW(FC_COMBINE, "combined", fci_cure_combined, true, false,               \
        "a pressure and pipes together")                                      \
    ROW(FC_MOVE_FLOORS, "move", fci_cure_move, true, false,                   \
        "feeding floors from another riser")                                  \
    ROW(FC_ADD_RISER, "new pipe", fci_cure_riser, true, false,                \
        "a second riser")                                                     \
    ROW(FC_THROTTLE_STOPS, "throttle", fci_cure_throttle, true, false,        \
        "throttling stops")

#define FCI_DECLARE(lever, word, cure, ...)                                   \
    fc_status cure(struct fci_cures *cures);
FCI_LEVER_LIST(FCI_DECLARE)
#undef FCI_DECLARE

/* The pipes of an attempt and their cost, into a remedy; what it changes,
 * behind what the list has; false when out of memory. */
bool fci_tell_pipes(const struct fci_cures *cures,
                    const struct fci_attempt *attempt, fc_remedy *told);
bool fci_take_changes(const struct fci_cures *cures,
                      const struct fci_attempt *attempt,
                      struct fci_change_list *changes);
/* "women-branch-6 (1-1/2 in to 2 in)", of one or two pipes; else how many.
 * NULL when out of memory. */
const char *fci_which_pipes(const struct fci_cures *cures,
                            const fc_remedy *told);

/* All that turn a pressure and feed a fixture that is short, into `levers`;
 * false when out of memory. */
bool fci_pressure_levers(struct fci_cures *cures);
/* "Raise the set pressure of r by ..., from ... to ..."; NULL when out of
 * memory */
const char *fci_say_turned(const struct fci_cures *cures,
                           const struct fci_pressure_lever *lever, int steps);

/* ---- Two levers together (remedy/pairs.c) --------------------------------
 */

/* One more; false when out of memory. */
bool fci_add_partner(struct fci_cures *cures,
                     const struct fci_partner *partner);
/* Each partner with each other lever, where neither does alone.  FC_OK, or
 * what a check returns. */
fc_status fci_cure_pairs(struct fci_cures *cures);
/* As far as every fixture stays under its maximum, or as far above it as it
 * was, from 0 to `most`. */
fc_status fci_find_borne(const struct fci_cures *cures, fci_turn *turn,
                         const void *lever, int most, int *steps);
/* All changes behind those of the list; false when out of memory. */
bool fci_append_changes(struct fci_change_list *list,
                        const struct fci_change_list *more);

/* ---- With PRVs for low zones (remedy/zones.c, remedy/relieve.c) ----------
 */

/* Each partner that serves, and each in the list that leaves too much
 * pressure, with PRVs; and PRVs alone, where none in the list works.  FC_OK,
 * or what a check returns. */
fc_status fci_cure_zones(struct fci_cures *cures);
fc_status fci_cure_several_reducers(struct fci_cures *cures);

/* PRVs that take away what is too much. */
struct fci_relieved {
    struct fci_change_list changes;
    size_t put, turned; /* put in; in place, turned down */
    const char *said;   /* "install a PRV downstream of b at 61.3 psi" */
};

/* For a building, which may go.  One PRV stands as near to the source as it
 * serves all downstream of it; `apart`: as near to the fixtures, so that what
 * has not too much keeps all.  FC_OK, or what fci_judge_begin() returns; the
 * changes are then none. */
fc_status fci_relieve(const struct fci_cures *cures, const fc_site *site,
                      bool apart, struct fci_relieved *relieved);

/* What there is to replace a meter or a preventer with.  It is judged by the
 * loss as it is told: rounded down to the digits that are printed. */
struct fci_made {
    fc_reach reach;
    const char *none;  /* "no meter of up to 2 in loses that little": a clause;
                          "": there is one, or nobody knows */
    const char *which; /* ", such as a 2 in turbine class II": of what does in
                          the building; or "" */
};

/* For an element that may lose so much at peak (remedy/made.c); FC_OK, or what
 * a check returns. */
fc_status fci_made_find(const struct fci_cures *cures, size_t element,
                        double loss, struct fci_made *made);

/* What the one that loses least loses at peak [Pa]; NAN: nobody knows. */
double fci_made_lowest(const struct fci_cures *cures, size_t element);

/* What a preventer loses at least that may lose so much: what one of its kind
 * usually does, but no more than that; an RP where nobody knows which. */
double fci_made_least(const struct fci_cures *cures, const fc_device *device,
                      double loss);

/* ---- An element put in behind another (remedy/place.c) -------------------
 */

/* The word, or the word with a number, that nothing has as its name; NULL when
 * out of memory. */
const char *fci_new_name(const struct fci_cures *cures, const char *word);
/* What an element of a site feeds, which may go, is fed by the new one;
 * false when out of memory. */
bool fci_hang_behind(const struct fci_cures *cures, const fc_site *site,
                     size_t behind, const char *name,
                     struct fci_change_list *changes);

/* ---- A new pipe that feeds what another fed (remedy/feed.c) -----------
 */

/* The fixtures of one floor lie within this height of
 * each other [m]: about 6-1/2 ft (common practice). */
#define FCI_ONE_STORY 2.0

/* As a lever: nothing is turned. */
struct fci_feed {
    const char *name;              /* of the new pipe */
    size_t from;                   /* element that feeds it */
    size_t like;                   /* pipe whose size and material it has */
    fc_range length, rise;         /* as they are given */
    fc_range elevation;            /* of its end, in place of `rise`; */
    const char *floor;             /* over that floor; NULL: over 0 */
    const struct fci_part **moved; /* what is on it then: elements and
                                      fixtures */
    size_t n_moved;
};

/* Its changes; false when out of memory. */
bool fci_feed_anew(const struct fci_cures *cures, const struct fci_feed *feed,
                   struct fci_change_list *changes);
/* The name of a pipe to be put in, of several at once the i-th; NULL when out
 * of memory. */
const char *fci_feed_name(const struct fci_cures *cures, size_t i);
/* "2 in copper L" */
const char *fci_feed_size(const struct fci_cures *cures,
                          const struct fci_feed *feed);
/* The names of what is moved, joined; NULL when out of memory. */
const char *fci_feed_moved(const struct fci_cures *cures,
                           const struct fci_feed *feed);
/* What a fixture has flowing at peak in the building so changed, at the worst
 * end [Pa]. */
fc_status fci_cure_flowing(const struct fci_cures *cures,
                           const struct fci_change_list *changes,
                           size_t fixture, double *pressure);
/* Of those that check finds wanting the one with the least in hand; FCI_NONE:
 * there is none, or nothing is known of what they need. */
size_t fci_cure_governing(const struct fci_cures *cures);
/* "a, b and 3 more"; NULL when out of memory. */
const char *fci_join_names(const struct fci_cures *cures,
                           const char *const *names, size_t n);

/* ---- Psi for a foot of new pipe (remedy/gains.c) ---------------------- */

struct fci_gains {
    size_t fixture; /* FCI_NONE: none */
    fc_pipe_gain *list;
    size_t n;
    int together;
};

/* Each way to put in new pipe for the fixture that governs, in the arena. */
fc_status fci_pipe_gains(const struct fci_cures *cures,
                         struct fci_gains *gains);

/* ---- Figures as a site file gets them (remedy/values.c) ------------------
 */

/* As far as a head or a water level is raised [m]: more than any building
 * bears. */
#define FCI_MOST_HEAD 300.0

/* The steps in which pressures and heads go: 0.1 psi or 1 kPa; 0.1 ft or
 * 0.1 m. */
double fci_pressure_step(const struct fci_cures *cures);
double fci_head_step(const struct fci_cures *cures);
/* A figure in the digits that a report shows.  A lever turns to such figures
 * alone, so that what is checked is what is written. */
double fci_figure(const struct fci_cures *cures, fc_dimension dimension,
                  fc_rounding rounding, double si);
/* A value as it was given moved by so much, to such figures. */
fc_range fci_moved(const struct fci_cures *cures, fc_dimension dimension,
                   fc_range value, double by);

/* The part's struct as it was given. */
const void *fci_given(const fc_site *site, const struct fci_part *part);

#endif
