/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/check.h -- can the building serve its flush valves? */
#ifndef FLUSHCALC_CHECK_H
#define FLUSHCALC_CHECK_H

#include "flushcalc/site.h"

#ifdef __cplusplus
extern "C" {
#endif

/** A judgement.  Zero is the careful one. */
typedef enum fc_verdict {
    FC_CANNOT_TELL,  /* it works at one end of the inputs' ranges, not at the
                        other, or something needed is not known */
    FC_WORKS,        /* it does even at the worst end */
    FC_WILL_NOT_WORK /* it does not even at the best end */
} fc_verdict;

typedef enum fc_change {
    FC_NOT_CONVERTED, /* the building has no retrofit */
    FC_KEEPS_WORKING,
    FC_STOPS_WORKING,
    FC_STARTS_WORKING,
    FC_STILL_SHORT,
    FC_CHANGE_UNKNOWN /* one of the two cannot be told */
} fc_change;

typedef enum fc_governor {
    FC_NOTHING_GOVERNS, /* neither says: nothing to judge against */
    FC_CODE_GOVERNS,
    FC_VALVE_GOVERNS
} fc_governor;

/* What a finding is of, and the short, fixed word or two for it.  One place
 * for both. */
#define FC_FINDING_LIST(X)                                                    \
    X(FC_FOUND_ALL_AT_ONCE, "all at once")                                    \
    X(FC_FOUND_ALONE, "alone")                                                \
    X(FC_FOUND_ARRESTER, "arrester")                                          \
    X(FC_FOUND_AT_ONCE, "at once")                                            \
    X(FC_FOUND_BACKFLOW, "backflow")                                          \
    X(FC_FOUND_BUSY_PERIOD, "busy period")                                    \
    X(FC_FOUND_CODE, "code")                                                  \
    X(FC_FOUND_COLD_PRESSURE, "cold pressure")                                \
    X(FC_FOUND_CONTRADICTION, "contradiction")                                \
    X(FC_FOUND_CURVE, "curve")                                                \
    X(FC_FOUND_DEMAND, "demand")                                              \
    X(FC_FOUND_EMERGENCY, "emergency fixture")                                \
    X(FC_FOUND_FIXTURE_UNITS, "fixture units")                                \
    X(FC_FOUND_FLOW_ALONE, "flow alone")                                      \
    X(FC_FOUND_FLOW_TEST, "flow test")                                        \
    X(FC_FOUND_FLOWING_PRESSURE, "flowing pressure")                          \
    X(FC_FOUND_FLUSH_EVENTS, "flush events")                                  \
    X(FC_FOUND_FLUSH_VOLUME, "flush volume")                                  \
    X(FC_FOUND_FRICTION_FORMULA, "friction formula")                          \
    X(FC_FOUND_HELD, "held")                                                  \
    X(FC_FOUND_HOW_SURE, "how sure")                                          \
    X(FC_FOUND_HYGIENE, "hygiene flush")                                      \
    X(FC_FOUND_INTERVAL, "interval")                                          \
    X(FC_FOUND_MAXIMUM_FLOWING, "maximum flowing")                            \
    X(FC_FOUND_MAXIMUM_STATIC, "maximum static")                              \
    X(FC_FOUND_METER, "meter")                                                \
    X(FC_FOUND_MINIMUM, "minimum")                                            \
    X(FC_FOUND_NO_PRESSURE, "no pressure")                                    \
    X(FC_FOUND_NOT_FLOWING, "not flowing")                                    \
    X(FC_FOUND_NOT_WORKED_OUT, "not calculated")                              \
    X(FC_FOUND_NOTHING_VARIES, "nothing varies")                              \
    X(FC_FOUND_PEAK_DEMAND, "peak demand")                                    \
    X(FC_FOUND_PLACE_OF_GAUGE, "place of the gauge")                          \
    X(FC_FOUND_PUMP, "pump")                                                  \
    X(FC_FOUND_READING, "reading")                                            \
    X(FC_FOUND_READING_CARRIED, "reading carried")                            \
    X(FC_FOUND_READINGS, "readings")                                          \
    X(FC_FOUND_REDUCER, "PRV")                                                \
    X(FC_FOUND_RENEWAL, "renewal")                                            \
    X(FC_FOUND_RESIDUAL, "residual")                                          \
    X(FC_FOUND_RESTART, "restart")                                            \
    X(FC_FOUND_SEEN, "seen")                                                  \
    X(FC_FOUND_SOURCE, "source")                                              \
    X(FC_FOUND_SPARE_PRESSURE, "spare pressure")                              \
    X(FC_FOUND_STATIC_PRESSURE, "static pressure")                            \
    X(FC_FOUND_STREET_MAIN, "street main")                                    \
    X(FC_FOUND_SUPPLY, "supply")                                              \
    X(FC_FOUND_SUPPLY_SIZE, "supply size")                                    \
    X(FC_FOUND_SURGE, "surge")                                                \
    X(FC_FOUND_TANK, "tank")                                                  \
    X(FC_FOUND_TOO_LITTLE, "too little")                                      \
    X(FC_FOUND_UNIT, "unit")                                                  \
    X(FC_FOUND_VALVE_MINIMUM, "valve minimum")                                \
    X(FC_FOUND_VALVES_AT_ONCE, "valves at once")                              \
    X(FC_FOUND_VELOCITY, "velocity")                                          \
    X(FC_FOUND_WATER_USE, "water use")

typedef enum fc_finding_code {
#define FC_FINDING_CODE(code, about) code,
    FC_FINDING_LIST(FC_FINDING_CODE)
#undef FC_FINDING_CODE
} fc_finding_code;

/** The word of a code: "flowing pressure"; "" for any other number. */
const char *fc_finding_about(fc_finding_code code);

/** A figure that a finding rests on. */
typedef struct fc_figure {
    const char *what; /* a short key: "pressure", "needed"; or the fixture of
                         which so many valves flush */
    fc_dimension dimension;
    fc_range value; /* as computed, more finely than the text tells it */
    FC_ROOM(4);
} fc_figure;

/** The flag of a state in the states of a finding. */
#define FC_IN(state) (1u << (state))

/** Something a reader should know. */
typedef struct fc_finding {
    fc_severity severity;
    fc_finding_code code;
    const char *subject; /* a fixture, pipe or source; "" the building */
    const char *against; /* of two readings that contradict each other, the
                            other one; else NULL */
    unsigned states;     /* those it concerns, FC_IN() of each; 0: no state, or
                            a building that is not converted */
    bool says_state;     /* the text says in which */
    const fc_figure *figures; /* in the order of their telling */
    size_t n_figures;
    const char *about; /* the word of its code, to sort and count by */
    const char *text;  /* a sentence with figures, in the report's units */
    FC_ROOM(8);
} fc_finding;

/** Something that the file sets otherwise than the code, or the tables of this
 * program, have it. */
typedef struct fc_override {
    const char *what; /* "maximum static" */
    const char *set;  /* "300 psi" */
    const char *code; /* what it would be by the code, or by the tables */
    const char *text; /* a sentence: "Set by the file: maximum static 300 psi;
                         by the code it would be 80.0 psi." */
    unsigned states;  /* those it applies to, FC_IN() of each; 0: the building,
                         in whatever state */
    FC_ROOM(7);
} fc_override;

/** A gauge reading of the site that cannot be true beside another one, or that
 * the site as it is given cannot give.  Where there is one no verdict is more
 * than FC_CANNOT_TELL. */
typedef struct fc_contradiction {
    const char *reading, *at;
    const char *flushing;   /* what flushed: "3 of wc-2, wc-3", "nothing" */
    fc_state state;         /* with the valves of which state */
    fc_dimension dimension; /* of the figures: FC_PRESSURE; between two
                               readings FC_FLOW too */
    double read, within;
    double low, high; /* what the site gives there at its worst and best ends;
                         NAN: no bound, as of a main without a flow test that
                         may sag by any amount, or against another reading */
    double ceiling;   /* the static ceiling there: no more is possible with the
                         supply as given; NAN: against another reading */
    const char *against, *against_at; /* the other reading; NULL: the site */
    double against_read;              /* NAN: the site */
    double apart; /* how far they are from each other, heights counted, or the
                     reading from the nearer end */
    const char *text;   /* a sentence, in the report's units */
    const char *beside; /* another reading by the same gauge; NULL: none.
                           `read`, `within`, `low` and `high` are then of what
                           the two differ by, this one less that */
    FC_ROOM(8);
} fc_contradiction;

/** A chance, and where it lies: in a small building, of which every state is
 * solved, as sure as pressures are; else with 95 % confidence by states drawn
 * at random (Wilson's interval), cut to what is proved without a draw. */
typedef struct fc_chance {
    bool given;
    double estimate, low, high;
} fc_chance;

/** How many flush valves may be open at once, the one in question among them
 * and whichever the others are, until it falls below its own minimum flowing
 * pressure.  `most`, `low` and `high` are proved: never more than is true.
 * Where it took too much work to prove the number, `could`, `could_low` and
 * `could_high` are larger: it could be so many, and some set of one more
 * starves the fixture. */
typedef struct fc_ladder {
    bool given;    /* it is a flush valve with a rate and a minimum */
    int most;      /* at once at the nominal inputs */
    int low, high; /* with the inputs at their worst and best */
    bool all;      /* `most` is every valve of the building */
    const double *pressures; /* its pressure with 1, 2, ... n_pressures valves
                                open, nominal [Pa] */
    size_t n_pressures;
    const fc_flushing *first; /* the set that starves it: could + 1 valves; */
    size_t n_first;           /* none where `all` */
    int could;                /* at the nominal inputs; `most`: proved */
    int could_low, could_high;
    bool worst_sets; /* each of `pressures` is the least that any so many
                        valves leave it, to 1 Pa; else what some of them do,
                        so that others may leave less */
    FC_ROOM(4);
} fc_ladder;

/** Up to this part of its flushes may be weak in the busiest period and a
 * fixture still works: a choice of this method. */
#define FC_MOST_WEAK 0.01

/** What a gauge would read in the busiest period, whenever it flushes. */
typedef struct fc_busy {
    fc_chance weak; /* that a flush has less than the valve's own minimum */
    fc_chance weak_worst, weak_best; /* the same with every input at its bad
                                        or good end at once, one building that
                                        might be; not given: no input is a
                                        range */
    double mean;  /* flowing pressure [Pa]; NAN: nothing drawn */
    double fifth; /* its 5th percentile */
    FC_ROOM(8);
} fc_busy;

typedef enum fc_maximum_of {
    FC_MAXIMUM_OF_SITE,
    FC_MAXIMUM_OF_VALVE,
    FC_MAXIMUM_OF_FIXTURE
} fc_maximum_of;

/** Too much pressure at a fixture, or maybe: what it has against its maximum,
 * with no flow or flowing. */
typedef struct fc_excess {
    fc_verdict too_high; /* FC_CANNOT_TELL: it may be */
    bool flowing;        /* while its valve flushes; else static */
    fc_maximum_of maximum_of;
    fc_range pressure; /* at the fixture [Pa] */
    double maximum;
    const char *reducer;  /* pressure-reducing valve upstream; NULL: none */
    const char *surge_at; /* the element whose rating, `maximum`, static and
                             surge exceed as its valve closes; NULL: it is too
                             high without */
    bool static_alone;    /* there static alone does */
    FC_ROOM(6);
} fc_excess;

/** A fixture in one state.  Pressures in Pa; a range's low end is what is left
 * with every input at its worst. */
typedef struct fc_fixture_state {
    const char *valve;  /* NULL: not fed by a flush valve */
    bool valve_assumed; /* no valve was named: a generic class */
    fc_range required;  /* with the reserve; not given: nothing requires */
    fc_governor governed_by;
    double code_minimum;    /* the code's least; NAN: it gives none */
    fc_range valve_minimum; /* the valve's own, where it states one */
    fc_range flowing;       /* at peak */
    fc_range margin;        /* flowing less required */
    fc_verdict pressure;    /* of `margin` alone */
    fc_verdict works;       /* of all checks together, but for too_high */
    const char *decided_by; /* cannot tell: the input that weighs most */
    fc_range spare; /* how far the supply may fall until it is short; negative:
                       how far it must rise; not given where no supply pressure
                       would help, or nothing requires */
    /* From the flush events: valves draw what their own pressure lets
     * through. */
    fc_range alone;  /* flowing pressure while it flushes alone; not given: no
                        flush valve, or the rate of a valve is not known */
    fc_range shared; /* of a fixture without a flush valve: what is left to it
                        while the set flushes that starves a valve first */
    fc_ladder ladder;
    fc_busy busy;
    const double *against_minima; /* of a flush valve, from fc_check(): the
                                     worst flowing pressure less each of the
                                     result's minima; otherwise NULL */
    /* A verdict of its own: FC_WORKS is not too high, FC_WILL_NOT_WORK is too
     * high, with no flow or flowing. */
    fc_verdict too_high;
    const fc_excess *excess; /* what is, or may be, too high; else NULL */
    double reserve;          /* in `required`, on top of what the code or the
                                valve requires; 0: none */
    const char *code_source; /* of code_minimum: code, edition and table; NULL:
                                it gives none */
    FC_ROOM(4);
} fc_fixture_state;

/** What would settle a verdict that cannot be told: one input, and the figure
 * at which, all others at their worst, it turns to FC_WORKS. */
typedef struct fc_proviso {
    bool given;        /* false: no single input settles it */
    const char *input; /* "drop", "C", "fall-off" */
    const char *of;    /* "main", "copper L", "each of riser-2 to riser-5" */
    bool at_most;      /* it works with the input below `limit`; else above */
    fc_dimension dimension;
    double limit;
    double flow;         /* that the limit is of [m3/s]; NAN: of none, or of
                            any */
    const char *text;    /* "works if the main drops less than 8.2 psi at 90
                            gpm" */
    const char *measure; /* what would settle it */
    FC_ROOM(8);
} fc_proviso;

typedef struct fc_checked_fixture {
    const char *name, *on, *kind;
    int count;                /* the most that there may be */
    int count_least;          /* the least */
    double elevation;         /* m */
    fc_range static_pressure; /* no flow, no losses: the ceiling */
    fc_change change;
    fc_fixture_state states[FC_STATES];
    FC_ROOM(7);
} fc_checked_fixture;

typedef struct fc_pipe_state {
    double fixture_units;
    double falling_units;   /* with UPC Table 610.10; NAN under another code */
    fc_range peak_flow;     /* the one that counts, by [site] peak */
    fc_range peak_by_units; /* the code's */
    fc_range peak_by_probability; /* not given: a valve's rate or volume is not
                                     known */
    fc_range velocity;
    fc_range friction_loss;         /* with fittings */
    fc_range peak_by_other_reading; /* as by_units, the demand table read the
                                       other way */
    FC_ROOM(4);
} fc_pipe_state;

typedef struct fc_checked_pipe {
    const char *name, *from;
    const char *material, *size; /* as the tables write them; "" not used */
    double inside_diameter, length, equivalent_length, c;
    double velocity_limit; /* NAN: none known */
    fc_pipe_state states[FC_STATES];
    FC_ROOM(8);
} fc_checked_pipe;

/** What lies downstream of a pressure-reducing valve, up to the next, or of
 * none. */
typedef struct fc_zone {
    const char *reducer; /* NULL: no pressure-reducing valve upstream */
    size_t n_fixtures;   /* each of a group counted */
    size_t governing;    /* as of the building; SIZE_MAX: nothing there
                            requires */
    FC_ROOM(8);
} fc_zone;

/** What lets no more valves flush at once for sure, beside their minimums. */
typedef enum fc_at_once_limit {
    FC_NO_LIMIT,               /* nothing does */
    FC_LIMIT_MAIN,             /* a street main falls too low, or may */
    FC_LIMIT_SUCTION,          /* or a pump's inlet */
    FC_LIMIT_BACKFLOW,         /* the outlet of a part falls to zero, or may */
    FC_LIMIT_BACKFLOW_FIXTURE, /* or the inlet of a fixture */
    FC_LIMIT_TANK,             /* the water of the tank may end meanwhile */
    FC_LIMIT_ALONE,            /* a fixture has less than its code's least even
                                  alone */
    FC_LIMIT_MAYBE_ALONE,      /* or may */
    FC_LIMIT_UNTESTED_MAIN,    /* a street main has no flow test */
    FC_LIMIT_READINGS          /* readings contradict the site */
} fc_at_once_limit;

/** How many flush valves may be open at once, whichever they are, before the
 * first one of all has less than its own minimum.  As many as `low`, or fewer,
 * are enough by fc_flush() too, as far as the minimums of their valves are
 * known and no one flushes alone of which its code asks more. */
typedef struct fc_at_once {
    bool given;    /* some flush valve has a rate and a minimum */
    int valves;    /* flush valves that there are, of whatever minimum */
    int most;      /* at the nominal inputs; no more than `limit` leaves sure
                    */
    int low;       /* with the inputs at their worst, likewise */
    int high;      /* at their best, by the minimums alone */
    int could_low; /* as of a ladder */
    fc_at_once_limit limit; /* why no more are sure, though none would be below
                               its own minimum */
    const char *limit_at;   /* the part, or the fixture; NULL: none */
    size_t at; /* fixture whose minimum `low` is of, that which is starved
                  first if it may be; SIZE_MAX: of none */
    FC_ROOM(8);
} fc_at_once;

typedef struct fc_checked_state {
    fc_verdict works;
    size_t working, failing, unclear; /* fixtures, each of a group counted */
    size_t governing;                 /* fixture with the least margin;
                                         SIZE_MAX: nothing requires */
    fc_range peak_flow;               /* at the source: the one that counts */
    fc_range peak_by_units, peak_by_probability; /* as of a pipe */
    fc_range source_pressure; /* flowing at the source at peak */
    fc_range spare_pressure;  /* how far the supply may fall before the first
                                 fixture is short; not given where none would
                                 help */
    size_t starved; /* fixture that the fewest valves at once starve, by its
                       ladder; SIZE_MAX: none is starved by all of them */
    fc_proviso proviso;  /* FC_CANNOT_TELL: what would settle it */
    size_t states_drawn; /* states of the busy period, solved; 0: none */
    bool narrow; /* every weak-flush chance is known to 0.02 percentage points
                    or a tenth of itself, whichever is wider */
    fc_range peak_by_other_reading; /* as of a pipe */
    fc_verdict too_high;            /* of all fixtures, as of one */
    size_t too_high_at;   /* fixture that is most above its maximum; SIZE_MAX:
                             none is, or may be */
    const fc_zone *zones; /* where there is a pressure-reducing valve: what
                             none of them feeds, then what each does */
    size_t n_zones;
    const fc_at_once *at_once; /* NULL: not calculated */
    FC_ROOM(3);
} fc_checked_state;

/** A minimum flowing pressure that codes and handbooks quote. */
typedef struct fc_quoted_minimum {
    double pressure;
    const char *source;
} fc_quoted_minimum;

typedef struct fc_check_result {
    const char *title, *address, *prepared_by, *date; /* NULL: not given */
    const char *code;                                 /* "IPC" or "UPC" */
    fc_peak peak; /* which peak demand the verdict rests on */
    fc_unit_system units;
    bool converted;   /* some fixture has a retrofit valve; else only the
                         existing state is judged */
    fc_verdict works; /* of the state to be: retrofit where converted */
    const char *source;
    fc_range source_static;
    fc_checked_state states[FC_STATES];
    const fc_checked_fixture *fixtures;
    size_t n_fixtures;
    const fc_checked_pipe *pipes;
    size_t n_pipes;
    const fc_finding *findings; /* the most severe first */
    size_t n_findings;
    const char *const *assumptions;
    size_t n_assumptions;
    const fc_quoted_minimum *minima; /* ascending */
    size_t n_minima;
    const fc_override *overrides; /* in the order of their telling */
    size_t n_overrides;
    fc_demand_reading demand;               /* how the demand table was read */
    const fc_contradiction *contradictions; /* of the site's readings */
    size_t n_contradictions;
    fc_verdict too_high; /* of the same state, a verdict beside `works`:
                            FC_WORKS is not too high */
} fc_check_result;

/**
 * Judge every fixture of a finished site, before and after the retrofit.
 *
 * Static pressure without flow, then flowing pressure with every element
 * carrying its own peak demand by the code's fixture units (International
 * Plumbing Code, Appendix E; Uniform Plumbing Code, Appendix A), or by
 * probability where [site] peak says so, friction by Hazen-Williams in its
 * original form.  Inputs given as ranges are taken at
 * the ends that are worst and best for each fixture, which bounds the result
 * exactly.
 *
 * Readings of the site stand above that: they are held against each other and
 * against what the site gives at both ends while the same flushes.  Where one
 * contradicts, no fixture is judged and `works` is FC_CANNOT_TELL.
 *
 * @param site      a finished site; it is not changed
 * @param result    set to a result to be freed; kept on failure.  It borrows
 *                  from the site, which must outlive it
 * @param messages  gets the reason on failure; may be NULL
 *
 * @return FC_OK
 *         FC_ESTATE        the site is not finished
 *         FC_EUNSUPPORTED  loops, more than one source, sizes to be chosen:
 *                          said in `messages`
 *         FC_EINPUT        [site] peak is by probability and the rate or the
 *                          volume of a flush valve is not known
 *         FC_ENOMEM
 */
fc_status fc_check(const fc_site *site, fc_check_result **result,
                   fc_diagnostics *messages);
void fc_check_result_free(fc_check_result *result);

/** How to draw the busy period.  All zero: the defaults. */
typedef struct fc_check_options {
    bool peak_only; /* leave the flush events out: judge by the peak alone */
    bool no_busy_period; /* leave out of them how often a flush is weak, so
                            that a flush valve is judged without */
    bool no_proviso;     /* leave out what would settle a verdict */
    bool steady_main;    /* judge as if a street main without a flow test kept
                            its static pressure, which nobody knows */
    bool in_short;       /* leave out the figures that no verdict and no
                            warning rests on: chances, pressures at once */
    bool one_ladder;     /* of how many valves at once only that of the flush
                            valve that the fewest starve; of another one that
                            its ladder is no shorter */
    bool rough;          /* chances known no better than verdicts need (where
                            inputs are ranges those at the ends, which decide),
                            and not what pressure flushes have */
    unsigned long seed;  /* chances are estimated by states drawn with this
                            seed (default: with that which verdicts rest on,
                            whatever is set here); the number of threads does
                            not matter */
    unsigned threads;    /* default: as many as the machine runs at once */
    size_t most_states;  /* stop after so many states of a fixture (default
                            1,000,000, for a verdict 40,000; fewer where
                            thousands of valves are open; at most
                            1,000,000,000) */
    /* Called now and then from the thread that called, with what is done, 0 to
     * 1.  It may be NULL. */
    void (*progress)(void *context, double done);
    void *context;
    FC_ROOM(7);
} fc_check_options;

/** As fc_check(), with options; NULL is the defaults. */
fc_status fc_check_with(const fc_site *site, const fc_check_options *options,
                        fc_check_result **result, fc_diagnostics *messages);

/** The customary cautions of the trade, each a sentence or two; ends with
 * NULL.  Every report closes with them. */
const char *const *fc_cautions(void);

#ifdef __cplusplus
}
#endif

#endif
