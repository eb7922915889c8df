/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc.h -- can a building's cold-water supply serve its flush valves?
 *
 * Copyright (C) 2026 the flushcalc authors
 *
 * A program builds a site (fc_site) from a site file or by calls, finishes it,
 * and asks for a check.  Everything is in SI inside: m, m3, m3/s, m/s, Pa
 * (gauge), s, degC; a nominal size is a label held in metres (1-1/4 in is
 * 0.03175).  fc_from_si() turns a figure into the trade's units for print.
 *
 * Ownership: what fc_x_new or fc_x_read returns is freed with fc_x_free, which
 * takes NULL.  Strings given to the library are copied; strings it returns are
 * borrowed and live as long as the object they were read from.
 *
 * Growth: a program built with this header runs with any later library of the
 * same soname.  A caller sets a struct that it makes to all zero first, since
 * a new member is "not given" when zero, and takes the place of some FC_ROOM
 * at the end, which stays zero until then.  Results as a whole
 * (fc_check_result, fc_flush_result, fc_path, fc_size_result, fc_remedies,
 * fc_verify_result, fc_diagnosis) come from the library alone and grow at
 * their end, so that no caller copies one or asks for its size.  Any other
 * struct has FC_ROOM, or is whole as it is and never grows.  Enumerations grow
 * at their end: a switch has a default.
 *
 * The library prints nothing, never exits and keeps no state between calls:
 * two threads may work on two sites.  While it builds a curve or finds a root
 * it sets GSL's process-wide error handler aside and then puts it back.
 */
#ifndef FLUSHCALC_H
#define FLUSHCALC_H

#include <stdbool.h>
#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/* ---- Status and diagnostics ------------------------------------------- */

/* One place for code and text. */
#define FC_STATUS_LIST(X)                                                     \
    X(FC_OK, "success")                                                       \
    X(FC_ENOMEM, "out of memory")                                             \
    X(FC_EIO, "a file cannot be read or written")                             \
    X(FC_EINPUT, "the input is not understood")                               \
    X(FC_EUNSUPPORTED, "the input asks for what is not worked out yet")       \
    X(FC_EUNKNOWN, "no such name")                                            \
    X(FC_ESTATE, "the call does not fit the state of the site")               \
    X(FC_ENOCONV, "the flows did not settle")

typedef enum fc_status {
#define FC_STATUS_CODE(code, text) code,
    FC_STATUS_LIST(FC_STATUS_CODE)
#undef FC_STATUS_CODE
} fc_status;

/** The text of a status; "unknown status" for any other number. */
const char *fc_status_text(fc_status status);

/* The version of this header; FC_VERSION is "major.minor.patch". */
#define FC_VERSION_MAJOR 0
#define FC_VERSION_MINOR 1
#define FC_VERSION_PATCH 0
#define FC_VERSION "0.1.0"

/** The version of the library that the program runs with, likewise. */
const char *fc_version(void);

/* Room for n members to come, of 8 bytes each; all zero. */
#define FC_ROOM(n) unsigned long long reserved[n]

typedef enum fc_severity { FC_NOTE, FC_WARN, FC_FAIL } fc_severity;

/** One message.  Borrowed from the list it was read from. */
typedef struct fc_diagnostic {
    fc_severity severity; /* FC_FAIL: the call failed because of it */
    const char *file;     /* NULL: no file is concerned */
    int line;             /* 1-based; 0: no particular line */
    const char *text;     /* what is wrong; what is expected */
    FC_ROOM(8);
} fc_diagnostic;

/**
 * A list of messages, owned by the caller, appended to by calls that fail.
 * Every function that takes one accepts NULL.  A list holds at most 50
 * failures; the one after them says that there were more.
 */
typedef struct fc_diagnostics fc_diagnostics;

/** An empty list, or NULL when out of memory. */
fc_diagnostics *fc_diagnostics_new(void);
void fc_diagnostics_free(fc_diagnostics *list);
size_t fc_diagnostics_count(const fc_diagnostics *list);
/** Message i, 0 <= i < count. */
fc_diagnostic fc_diagnostics_at(const fc_diagnostics *list, size_t i);

/* ---- Quantities ------------------------------------------------------- */

typedef enum fc_dimension {
    FC_NUMBER, /* no unit; a percentage counts as a fraction */
    FC_PRESSURE,
    FC_FLOW,
    FC_LENGTH,
    FC_SIZE, /* a nominal size: a label, not a measured diameter */
    FC_VELOCITY,
    FC_VOLUME,
    FC_TIME,
    FC_TEMPERATURE
} fc_dimension;

typedef enum fc_unit_system { FC_US, FC_SI } fc_unit_system;

/**
 * A figure as it is known.  All zero means "not given".  An exact figure has
 * low = nominal = high.
 */
typedef struct fc_range {
    bool given;
    double nominal, low, high; /* low <= nominal <= high */
} fc_range;

/** The figure x, exactly. */
fc_range fc_exactly(double x);
/** Something between low and high (low <= high); nominal is the middle. */
fc_range fc_between(double low, double high);

/**
 * Read a figure as a site file writes it: "62 psi", "1-1/4 in", "DN32",
 * "12 ft 6 in", "40..60 ft", "25 psi (172 kPa)".
 *
 * @param text       the figure with its unit
 * @param dimension  what it must be
 * @param value      set to the figure in SI; kept on failure
 * @param messages   gets the reason on failure; may be NULL
 *
 * @return FC_OK, FC_EINPUT or FC_ENOMEM
 */
fc_status fc_parse(const char *text, fc_dimension dimension, fc_range *value,
                   fc_diagnostics *messages);

/** The unit a report uses: "psi" or "kPa", "gpm" or "L/s", ... */
const char *fc_unit_name(fc_unit_system system, fc_dimension dimension);
/** A figure in SI turned into the unit that fc_unit_name() names. */
double fc_from_si(fc_unit_system system, fc_dimension dimension, double si);

/** Which way the last digit goes: down or up where what is printed must still
 * hold. */
typedef enum fc_rounding { FC_NEAREST, FC_DOWN, FC_UP } fc_rounding;

/**
 * The digits of a figure as every report prints it, in the unit that
 * fc_unit_name() names: psi, gpm, ft and ft/s to 0.1, kPa to 1 (below 10 to
 * 0.1), L/s, m and m/s to 0.01, an FC_SIZE as a measured diameter.
 *
 * @param decimals  at least so many behind the point; 0: as many as it is
 *                  worth, more where two figures must not look the same
 * @param si        the figure in SI
 * @param text      gets the digits; 40 characters hold any
 */
void fc_show(fc_unit_system system, fc_dimension dimension,
             fc_rounding rounding, int decimals, double si, char *text,
             size_t size);
/** Likewise a number without a unit, such as a cost or so many per cent, with
 * just so many decimals. */
void fc_show_number(fc_rounding rounding, int decimals, double number,
                    char *text, size_t size);

/* ---- The parts of a site ---------------------------------------------- */

/* Each struct is one section of a site file (see flushcalc-site(5)), with the
 * same names.  All zero, a field is "not given" and takes its default.
 * Only the fields of type fc_range marked "range" may be inexact. */

typedef enum fc_code { FC_IPC, FC_UPC } fc_code;
typedef enum fc_peak { FC_FIXTURE_UNITS, FC_PROBABILITY } fc_peak;
typedef enum fc_condition {
    FC_CONDITION_UNKNOWN, /* C anywhere between the table's aged and new */
    FC_NEW,
    FC_AGED
} fc_condition;
typedef enum fc_answer { FC_NOT_SAID, FC_YES, FC_NO } fc_answer;

typedef struct fc_settings {
    const char *title, *address, *prepared_by, *date;
    fc_unit_system units;
    fc_code code;
    fc_answer code_minimum; /* default yes */
    fc_peak peak;
    const char *material;       /* default for pipes */
    fc_condition condition;     /* default for pipes */
    fc_range water_temperature; /* default 60 degF */
    fc_range maximum_static;    /* default 80 psi */
    fc_range velocity_limit;    /* default: the material's */
    fc_range reserve;           /* default 0 */
    const char *tables;         /* path of a file that amends the tables */
    FC_ROOM(8);
} fc_settings;

typedef enum fc_source_kind {
    FC_STREET_MAIN = 1,
    FC_TANK,
    FC_FIXED
} fc_source_kind;

typedef struct fc_source {
    const char *name;
    fc_source_kind kind;
    fc_range static_pressure;         /* street main; range */
    fc_range residual, residual_flow; /* street main; range */
    fc_range water_level;             /* tank: elevation; range */
    fc_range pressure;                /* fixed; range */
    fc_range elevation;               /* default 0; range */
    FC_ROOM(8);
} fc_source;

typedef struct fc_fitting {
    int count;
    const char *name; /* "elbow 90", "tee branch", ... */
} fc_fitting;

typedef struct fc_pipe {
    const char *name, *from;
    const char *to;       /* closes a loop; NULL: none */
    const char *material; /* NULL: the site's */
    fc_range size;        /* nominal; range */
    bool choose_size;     /* `size = choose` */
    fc_range length;      /* range */
    fc_range rise;        /* end above start; range */
    const fc_fitting *fittings;
    size_t n_fittings;
    fc_condition condition;
    fc_range c;               /* Hazen-Williams C; range */
    fc_range inside_diameter; /* range */
    fc_range velocity_limit;
    FC_ROOM(8);
} fc_pipe;

typedef struct fc_point {
    double x, y;
} fc_point;

typedef enum fc_loss_kind {
    FC_NO_LOSS,
    FC_CONSTANT_LOSS, /* `pressure`, at any flow */
    FC_SQUARE_LOSS,   /* `pressure` at `flow`, growing with its square */
    FC_CURVE_LOSS     /* through `points`, flow against pressure */
} fc_loss_kind;

typedef struct fc_loss {
    fc_loss_kind kind;
    fc_range pressure; /* range */
    fc_range flow;
    const fc_point *points; /* ascending in x, not descending in y */
    size_t n_points;
    FC_ROOM(8);
} fc_loss;

typedef enum fc_device_kind {
    FC_METER,
    FC_BACKFLOW,
    FC_DEVICE
} fc_device_kind;

typedef struct fc_device {
    const char *name, *from;
    fc_device_kind kind;
    fc_range rise; /* range */
    fc_loss loss;
    const char
        *meter_kind; /* meters: an entry of the meter table, with size */
    fc_range size;
    FC_ROOM(8);
} fc_device;

typedef struct fc_reducer {
    const char *name, *from;
    fc_range rise;                    /* range */
    fc_range set;                     /* range */
    fc_range fall_off, fall_off_flow; /* linear in the flow */
    fc_loss loss;                     /* wide open */
    FC_ROOM(8);
} fc_reducer;

typedef struct fc_pump {
    const char *name, *from;
    fc_range rise;         /* range */
    const fc_point *curve; /* flow against head in m of water, descending */
    size_t n_curve;
    fc_range hold; /* discharge pressure; range.  One that gets more stands
                      still, and water passes it by without loss */
    fc_answer running;
    FC_ROOM(8);
} fc_pump;

typedef enum fc_use { FC_PUBLIC, FC_PRIVATE, FC_ASSEMBLY } fc_use;

typedef struct fc_fixture {
    const char *name, *on, *kind;
    fc_use use;
    int count;            /* 0 means 1 */
    fc_range rise;        /* range */
    fc_range supply_size; /* nominal */
    fc_loss stop;
    fc_range bowl; /* the flush volume the bowl is made for */
    const char *existing, *retrofit; /* valves; NULL: not named */
    fc_range fixture_units;
    fc_range interval;
    FC_ROOM(8);
} fc_fixture;

typedef struct fc_valve {
    const char *name;
    fc_range minimum_flowing; /* range */
    fc_range maximum_flowing;
    fc_range maximum_static;
    fc_range flow, flow_pressure; /* flow: range */
    fc_range full_flush, reduced_flush;
    fc_range reduced_share;
    fc_range closing_time;
    fc_range supply_size; /* nominal */
    fc_range hygiene_flush;
    fc_answer regulated;
    fc_range flushes_per_use;
    FC_ROOM(8);
} fc_valve;

typedef struct fc_demand {
    const char *name, *on;
    fc_range flow; /* range */
    FC_ROOM(8);
} fc_demand;

typedef struct fc_price {
    fc_range size;
    double per_length; /* per ft or m, by the site's units */
} fc_price;

typedef struct fc_prices {
    const char *name, *material;
    const fc_price *prices;
    size_t n_prices;
    fc_range each;
    FC_ROOM(8);
} fc_prices;

typedef struct fc_heater {
    const char *name, *on;
    const char *const *serves; /* fixtures */
    size_t n_serves;
    FC_ROOM(8);
} fc_heater;

typedef struct fc_usage {
    fc_range interval, people, uses_per_day, days_per_year, long_stay_share;
    FC_ROOM(8);
} fc_usage;

/** In a list of them each fixture stands once. */
typedef struct fc_flushing {
    int count; /* 0: the whole group */
    const char *fixture;
} fc_flushing;

typedef enum fc_state { FC_EXISTING, FC_RETROFIT } fc_state;
#define FC_STATES 2

typedef struct fc_reading {
    const char *name, *at;
    fc_range pressure; /* no less than a full vacuum */
    fc_range within;   /* 0.05 psi (0.345 kPa) or more */
    fc_range flow;
    const fc_flushing *flushing;
    size_t n_flushing;
    fc_state state; /* which valves were in place */
    /* A flow in another form than `flow`, one of the three. */
    fc_range filled_volume, filled_time; /* a container filled there */
    fc_range flush_time; /* of one whole flush of the fixture at `at` */
    FC_ROOM(8);
} fc_reading;

typedef enum fc_condition_of_claim {
    FC_WHILE_ALONE,
    FC_WHILE_PEAK,
    FC_WHILE_FLUSHING
} fc_condition_of_claim;

typedef struct fc_claim {
    const char *name, *fixture;
    fc_range flowing;
    fc_condition_of_claim condition;
    const fc_flushing *flushing;
    size_t n_flushing;
    fc_state state;
    const char *stated_in;
    fc_range supply; /* static pressure of the source on the claim's day */
    FC_ROOM(8);
} fc_claim;

/** What a single value may be off by: an absolute amount or a fraction. */
typedef struct fc_deviation {
    bool given, is_fraction;
    double amount;
} fc_deviation;

typedef struct fc_tolerance {
    fc_deviation pressure, length, elevation, c, flow_test;
    FC_ROOM(8);
} fc_tolerance;

/* ---- Building a site -------------------------------------------------- */

typedef struct fc_site fc_site;

/** An empty site, or NULL when out of memory. */
fc_site *fc_site_new(void);
void fc_site_free(fc_site *site);

/**
 * Read a site file.  All that is wrong with it is reported, up to 50 messages.
 *
 * @param path      the file; its folder is where `tables` is looked for
 * @param site      set to a finished site, to be freed; kept on failure
 * @param messages  gets a message for each thing wrong; may be NULL
 *
 * @return FC_OK      the site is finished and may be checked
 *         FC_EIO     the file, or the one it names, cannot be read
 *         FC_EINPUT  something in it is not understood
 *         FC_ENOMEM
 */
fc_status fc_site_read(const char *path, fc_site **site,
                       fc_diagnostics *messages);

/** The same from memory; `name` stands for the path in messages. */
fc_status fc_site_read_text(const char *text, size_t length, const char *name,
                            fc_site **site, fc_diagnostics *messages);

/* Add one part.  Order does not matter and names may be used before they are
 * added.  A field out of its domain or a name taken already is FC_EINPUT; the
 * site then cannot be finished, so that a forgotten check does no harm. */
fc_status fc_site_set(fc_site *site, const fc_settings *settings,
                      fc_diagnostics *messages);
fc_status fc_site_add_source(fc_site *site, const fc_source *source,
                             fc_diagnostics *messages);
fc_status fc_site_add_pipe(fc_site *site, const fc_pipe *pipe,
                           fc_diagnostics *messages);
fc_status fc_site_add_device(fc_site *site, const fc_device *device,
                             fc_diagnostics *messages);
fc_status fc_site_add_reducer(fc_site *site, const fc_reducer *reducer,
                              fc_diagnostics *messages);
fc_status fc_site_add_pump(fc_site *site, const fc_pump *pump,
                           fc_diagnostics *messages);
fc_status fc_site_add_fixture(fc_site *site, const fc_fixture *fixture,
                              fc_diagnostics *messages);
fc_status fc_site_add_valve(fc_site *site, const fc_valve *valve,
                            fc_diagnostics *messages);
fc_status fc_site_add_demand(fc_site *site, const fc_demand *demand,
                             fc_diagnostics *messages);
fc_status fc_site_add_prices(fc_site *site, const fc_prices *prices,
                             fc_diagnostics *messages);
fc_status fc_site_add_heater(fc_site *site, const fc_heater *heater,
                             fc_diagnostics *messages);
fc_status fc_site_add_reading(fc_site *site, const fc_reading *reading,
                              fc_diagnostics *messages);
fc_status fc_site_add_claim(fc_site *site, const fc_claim *claim,
                            fc_diagnostics *messages);
fc_status fc_site_set_usage(fc_site *site, const fc_usage *usage,
                            fc_diagnostics *messages);
fc_status fc_site_set_tolerance(fc_site *site, const fc_tolerance *tolerance,
                                fc_diagnostics *messages);

/**
 * A copy of a site, finished or not, that may be changed until it is finished.
 * It borrows nothing.
 *
 * @param copy  set to a site that is not finished, to be freed; kept on
 *              failure
 *
 * @return FC_OK, FC_ESTATE (fc_site_finish() refused the site), FC_ENOMEM
 */
fc_status fc_site_copy(const fc_site *site, fc_site **copy,
                       fc_diagnostics *messages);

/**
 * Change one key of a part of a site that is not finished, as if its file had
 * it so.  What the part must be by itself is seen to by fc_site_finish().
 * After a refusal the site cannot be finished.
 *
 * @param name      of an element or a fixture; "site", "usage" or "tolerance";
 *                  of any other part its kind and name: "valve closet"
 * @param key       "static"
 * @param value     as a site file has it, without quotes: "76 psi"; NULL takes
 *                  the key away
 * @param messages  gets the reason on failure, as for a file; may be NULL
 *
 * @return FC_OK
 *         FC_EUNKNOWN  no part has that name
 *         FC_EINPUT    there is no such key, or the value is not understood
 *         FC_ESTATE    the site is finished; a copy of it may be changed
 *         FC_ENOMEM
 */
fc_status fc_site_change(fc_site *site, const char *name, const char *key,
                         const char *value, fc_diagnostics *messages);

/** A part of a site.  Its strings live as long as the site. */
typedef struct fc_site_part {
    const char *kind; /* "pipe" */
    const char *name; /* "" where the kind has none */
    const char *from; /* what feeds it, by "from" or "on"; NULL: nothing */
    bool typical;     /* one floor of a typical floor */
    FC_ROOM(4);
} fc_site_part;

/** How many parts a site has, and part i, 0 <= i < count, as they came. */
size_t fc_site_count(const fc_site *site);
fc_site_part fc_site_part_at(const fc_site *site, size_t i);

/**
 * The value of a key, as a site file would have it.
 *
 * @param name   as of fc_site_change()
 * @param value  malloc'ed; NULL where the key is not given, or stands as it
 *               would by default; kept on failure
 *
 * @return FC_OK, FC_EUNKNOWN, FC_EINPUT (a site made by calls that a file has
 *         no way to put), FC_ENOMEM
 */
fc_status fc_site_value(const fc_site *site, const char *name, const char *key,
                        char **value, fc_diagnostics *messages);

/**
 * Tie the parts together: names are resolved, tables looked up, ranges and
 * tolerances applied, the elements put in order from the source.  Afterwards
 * the site cannot be changed, but may be checked any number of times.
 *
 * @return FC_OK, FC_EINPUT, FC_EIO (the tables file), FC_ENOMEM;
 *         FC_ESTATE when finished before
 */
fc_status fc_site_finish(fc_site *site, fc_diagnostics *messages);

/** Report in these units from now on, whatever the site file says. */
void fc_site_set_units(fc_site *site, fc_unit_system units);
fc_unit_system fc_site_units(const fc_site *site);
/** The title, or NULL when the site has none. */
const char *fc_site_title(const fc_site *site);

/* ---- Checking a site -------------------------------------------------- */

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
    X(FC_FOUND_AT_ONCE, "at once")                                            \
    X(FC_FOUND_BACKFLOW, "backflow")                                          \
    X(FC_FOUND_BUSY_PERIOD, "busy period")                                    \
    X(FC_FOUND_CODE, "code")                                                  \
    X(FC_FOUND_COLD_PRESSURE, "cold pressure")                                \
    X(FC_FOUND_CONTRADICTION, "contradiction")                                \
    X(FC_FOUND_CURVE, "curve")                                                \
    X(FC_FOUND_DEMAND, "demand")                                              \
    X(FC_FOUND_FIXTURE_UNITS, "fixture units")                                \
    X(FC_FOUND_FLOW_ALONE, "flow alone")                                      \
    X(FC_FOUND_FLOW_TEST, "flow test")                                        \
    X(FC_FOUND_FLOWING_PRESSURE, "flowing pressure")                          \
    X(FC_FOUND_FLUSH_EVENTS, "flush events")                                  \
    X(FC_FOUND_FLUSH_VOLUME, "flush volume")                                  \
    X(FC_FOUND_FRICTION_FORMULA, "friction formula")                          \
    X(FC_FOUND_INTERVAL, "interval")                                          \
    X(FC_FOUND_MAXIMUM_FLOWING, "maximum flowing")                            \
    X(FC_FOUND_MAXIMUM_STATIC, "maximum static")                              \
    X(FC_FOUND_METER, "meter")                                                \
    X(FC_FOUND_MINIMUM, "minimum")                                            \
    X(FC_FOUND_NO_PRESSURE, "no pressure")                                    \
    X(FC_FOUND_NOT_FLOWING, "not flowing")                                    \
    X(FC_FOUND_NOT_WORKED_OUT, "not worked out")                              \
    X(FC_FOUND_NOTHING_VARIES, "nothing varies")                              \
    X(FC_FOUND_PEAK_DEMAND, "peak demand")                                    \
    X(FC_FOUND_PLACE_OF_GAUGE, "place of the gauge")                          \
    X(FC_FOUND_PUMP, "pump")                                                  \
    X(FC_FOUND_READING, "reading")                                            \
    X(FC_FOUND_READING_CARRIED, "reading carried")                            \
    X(FC_FOUND_READINGS, "readings")                                          \
    X(FC_FOUND_REDUCER, "reducer")                                            \
    X(FC_FOUND_RESIDUAL, "residual")                                          \
    X(FC_FOUND_SOURCE, "source")                                              \
    X(FC_FOUND_SPARE_PRESSURE, "spare pressure")                              \
    X(FC_FOUND_STATIC_PRESSURE, "static pressure")                            \
    X(FC_FOUND_STREET_MAIN, "street main")                                    \
    X(FC_FOUND_SUPPLY, "supply")                                              \
    X(FC_FOUND_SUPPLY_SIZE, "supply size")                                    \
    X(FC_FOUND_TOO_LITTLE, "too little")                                      \
    X(FC_FOUND_UNIT, "unit")                                                  \
    X(FC_FOUND_VALVE_MINIMUM, "valve minimum")                                \
    X(FC_FOUND_VALVES_AT_ONCE, "valves at once")                              \
    X(FC_FOUND_VELOCITY, "velocity")

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

/** A chance, as drawn: the part of the outcomes, and where it lies with 95 %
 * confidence (Wilson's interval). */
typedef struct fc_chance {
    bool given;
    double estimate, low, high;
} fc_chance;

/** How many flush valves may be open at once, the one in question among them
 * and the others those that hurt it most, until it falls below its own minimum
 * flowing pressure. */
typedef struct fc_ladder {
    bool given;    /* it is a flush valve with a rate and a minimum */
    int most;      /* at once at the nominal inputs */
    int low, high; /* with the inputs at their worst and best */
    bool all;      /* `most` is every valve of the building */
    const double *pressures; /* its pressure with 1, 2, ... n_pressures valves
                                open, nominal [Pa] */
    size_t n_pressures;
    const fc_flushing *first; /* the set that starves it: most + 1 valves; */
    size_t n_first;           /* none where `all` */
    FC_ROOM(8);
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
    fc_verdict works;       /* of all checks together */
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
    FC_ROOM(8);
} fc_fixture_state;

typedef struct fc_checked_fixture {
    const char *name, *on, *kind;
    int count;
    double elevation;         /* m */
    fc_range static_pressure; /* no flow, no losses: the ceiling */
    fc_change change;
    fc_fixture_state states[FC_STATES];
    FC_ROOM(8);
} fc_checked_fixture;

typedef struct fc_pipe_state {
    double fixture_units;
    double falling_units;   /* with UPC Table 610.10; NAN under another code */
    fc_range peak_flow;     /* the one that counts, by [site] peak */
    fc_range peak_by_units; /* the code's */
    fc_range peak_by_probability; /* not given: a valve's rate or volume is not
                                     known */
    fc_range velocity;
    fc_range friction_loss; /* with fittings */
    FC_ROOM(8);
} fc_pipe_state;

typedef struct fc_checked_pipe {
    const char *name, *from;
    const char *material, *size; /* as the tables write them; "" not used */
    double inside_diameter, length, equivalent_length, c;
    double velocity_limit; /* NAN: none known */
    fc_pipe_state states[FC_STATES];
    FC_ROOM(8);
} fc_checked_pipe;

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
    size_t states_drawn; /* states of the busy period; 0: none */
    bool narrow; /* every weak-flush chance is known to 0.2 percentage points
                    or a tenth of itself, whichever is wider */
    FC_ROOM(8);
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
    unsigned long seed;  /* the same seed gives the same result (default 1),
                            whatever the number of threads */
    unsigned threads;    /* default: as many as the machine runs at once */
    size_t most_states;  /* stop after so many states (default 1,000,000;
                            fewer where thousands of valves are open) */
    /* Called now and then from the thread that called, with what is done, 0 to
     * 1.  It may be NULL. */
    void (*progress)(void *context, double done);
    void *context;
    FC_ROOM(8);
} fc_check_options;

/** As fc_check(), with options; NULL is the defaults. */
fc_status fc_check_with(const fc_site *site, const fc_check_options *options,
                        fc_check_result **result, fc_diagnostics *messages);

/** The customary cautions of the trade, each a sentence or two; ends with
 * NULL.  Every report closes with them. */
const char *const *fc_cautions(void);

/* ---- Flush events ----------------------------------------------------- */

typedef struct fc_flush_fixture {
    const char *name, *on, *kind;
    const char *valve; /* NULL: not fed by a flush valve */
    int count;
    int flushing;      /* how many of them, in this event */
    double elevation;  /* m */
    fc_range pressure; /* at the inlet: flowing where it flushes, otherwise
                          what is left there; a gauge would read it */
    fc_range still;    /* the same with nothing flushing; steady draws run */
    fc_range flow;     /* of one valve [m3/s]; 0 where none flushes */
    fc_range minimum;  /* the valve's own; not given: none is known */
    fc_verdict enough; /* of `pressure` against `minimum`; FC_WORKS where it
                          does not flush or has no minimum */
    FC_ROOM(8);
} fc_flush_fixture;

typedef struct fc_flush_element {
    const char *name, *kind;
    double elevation; /* of its outlet [m] */
    double flow;      /* nominal; negative: against its direction */
    double pressure;  /* at its outlet, nominal [Pa] */
    double still;     /* with nothing flushing */
    FC_ROOM(8);
} fc_flush_element;

typedef struct fc_flush_result {
    const char *title;
    fc_unit_system units;
    fc_state state;
    bool bounded; /* the ranges of the inputs are in those of the results; not
                     where loops or several sources let flows turn */
    int flushing; /* valves at once */
    double flow;  /* from all sources, nominal [m3/s] */
    fc_verdict enough; /* for every valve that flushes, and no pressure is at
                          or below zero anywhere */
    const fc_flush_fixture *fixtures;
    size_t n_fixtures;
    const fc_flush_element *elements; /* each after the one that feeds it */
    size_t n_elements;
    const fc_finding *findings;
    size_t n_findings;
    const char *const *assumptions;
    size_t n_assumptions;
} fc_flush_result;

/**
 * What every gauge would read while some valves flush.
 *
 * A valve draws q = rate sqrt(p / pressure of the rate) at its flowing
 * pressure p, constant above that pressure when it is regulated and none at
 * p <= 0; flows add up at every junction and every element takes its loss at
 * its own flow.  Solved to 0.1 Pa.  Loops and several sources are solved too.
 * With inputs given as ranges the ends that are worst and best for each
 * fixture bound its pressure exactly on a tree.
 *
 * @param site      a finished site; it is not changed
 * @param state     with which valves; FC_RETROFIT of a site without a retrofit
 *                  is FC_ESTATE
 * @param flushing  the fixtures that flush, each at most once, with how many
 *                  of them (0: all); NULL with n = SIZE_MAX: every flush valve
 *                  of the building
 * @param n         how many entries
 * @param result    set to a result to be freed; kept on failure; it borrows
 *                  from the site
 * @param messages  gets the reason on failure; may be NULL
 *
 * @return FC_OK
 *         FC_ESTATE        the site is not finished, or not converted
 *         FC_EUNKNOWN      no such fixture (the nearest name is said)
 *         FC_EINPUT        a fixture twice, more than there are, or not a
 *                          flush valve; a valve whose rate is not known
 *         FC_EUNSUPPORTED  a size is yet to be chosen
 *         FC_ENOCONV       the flows did not settle, and where
 *         FC_ENOMEM
 */
fc_status fc_flush(const fc_site *site, fc_state state,
                   const fc_flushing *flushing, size_t n,
                   fc_flush_result **result, fc_diagnostics *messages);
void fc_flush_result_free(fc_flush_result *result);

/* ---- The pressure budget of one fixture ------------------------------- */

typedef struct fc_path_step {
    const char *element;
    const char *kind; /* "source", "pipe", ..., "fixture" */
    double flow;      /* peak [m3/s] */
    /* pressure taken [Pa]; negative: given (a fall, a pump) */
    double elevation_loss, friction_loss, fitting_loss, device_loss;
    double pressure;   /* left behind it */
    double darcy_loss; /* friction and fittings by Darcy-Weisbach, for
                          comparison; NAN where no roughness is known */
    FC_ROOM(8);
} fc_path_step;

typedef struct fc_path {
    const char *fixture;
    fc_state state;
    fc_fixture_state end; /* what the fixture is judged by, nominal and ends;
                             without ladder and busy period */
    const fc_path_step *steps; /* from the source */
    size_t n_steps;
} fc_path;

/**
 * Where the pressure goes on the way from the source to one fixture, at the
 * nominal inputs and at peak.  The fixture is judged at peak and while it
 * flushes alone; a busy period may still leave it too little, which fc_check()
 * tells.  Returns as fc_check(), or FC_EUNKNOWN when the site has no such
 * fixture (the nearest name is said).
 */
fc_status fc_path_find(const fc_site *site, const char *fixture,
                       fc_state state, fc_path **path,
                       fc_diagnostics *messages);
void fc_path_free(fc_path *path);

/* ---- Sizes at least cost ---------------------------------------------- */

/** A pipe whose size was to be chosen, or was replaced.  Figures are those of
 * the state in which most flows, every input at its worst end. */
typedef struct fc_sized_pipe {
    const char *name, *from, *material;
    const char *size;              /* as the tables write it */
    const char *previous_size;     /* in place; NULL: it was to be chosen */
    const char *previous_material; /* of the same; NULL: likewise */
    const char *uniform_size;      /* by uniform friction loss; NULL: none */
    double length;                 /* nominal [m] */
    double cost, uniform_cost;     /* NAN: none */
    fc_state state;                /* that in which most flows */
    double peak_flow, velocity, friction_loss;
    double velocity_limit; /* NAN: none known */
    FC_ROOM(8);
} fc_sized_pipe;

/** The customary hand method beside it: pressure to spare over the developed
 * length of the governing run is the friction that every pipe may have. */
typedef struct fc_uniform_sizes {
    bool given;        /* it finds sizes */
    const char *lacks; /* not given: why, as a clause */
    fc_state state;
    const char *fixture;     /* of the governing run; NULL: there is none */
    double spare;            /* [Pa] */
    double developed_length; /* with fittings [m] */
    double rate;             /* [Pa/m] */
    double cost;
    fc_verdict works; /* at peak, with its sizes */
    FC_ROOM(8);
} fc_uniform_sizes;

/** What the source has and must have at peak, in one state. */
typedef struct fc_source_need {
    bool given;      /* the state counts */
    double flow;     /* at peak, worst end [m3/s] */
    double pressure; /* flowing at its outlet then, worst end [Pa] */
    double least;    /* what would do with the sizes that take least, whatever
                        they cost; INFINITY: none */
    FC_ROOM(8);
} fc_source_need;

typedef struct fc_size_result {
    const char *title;
    fc_unit_system units;
    bool converted;
    bool found;         /* sizes that serve every fixture at peak */
    bool feasible;      /* and `check` of them works */
    fc_verdict works;   /* FC_CANNOT_TELL: sizes are found that serve at peak,
                           but of the building with them it cannot be told */
    const char *reason; /* not feasible: why, in sentences with figures */
    bool by_prices;     /* costs are by [prices]; otherwise in inch-feet */
    double cost;        /* of the sizes in `pipes`; NAN: there are none */
    double least_cost;  /* nothing that serves at peak can cost less, with the
                           pressure in hand; = cost when it is exact */
    bool exact;
    double in_hand; /* pressure kept in hand for the flush events' sake
                       [Pa], */
    const char *const *in_hand_at; /* at these fixtures, */
    size_t n_in_hand_at;
    bool in_hand_bounded;    /* at some only as much as any sizes leave them */
    double cost_at_peak;     /* what peak demand alone would cost */
    size_t longest_frontier; /* pairs of cost and pressure that a place in the
                                tree had at most */
    fc_source_need source[FC_STATES];
    const fc_sized_pipe *pipes;
    size_t n_pipes;
    fc_uniform_sizes uniform;
    const fc_check_result *check; /* of the building with these sizes; NULL:
                                     there are none */
} fc_size_result;

typedef struct fc_size_options {
    fc_check_options check; /* of the flush events */
    size_t most_points; /* pairs of cost and pressure that a place in the tree
                           keeps at most; default: as memory allows */
    FC_ROOM(8);
} fc_size_options;

/**
 * Choose every pipe with `size = choose` from its material's sizes, at least
 * total cost.
 *
 * Every fixture has its required pressure at peak in each state, with every
 * input at its worst end; no velocity limit is broken; no pipe is under the
 * least supply of a fixture on it, nor larger than the pipe that feeds it.
 * The cost is nominal diameter times length, or by [prices].  Among all
 * combinations of sizes none costs less: at each place in the tree all pairs
 * of cost and pressure needed are kept that no other undercuts.  Only where
 * there are too many are they thinned, and `least_cost` then bounds the rest.
 *
 * Where the building with these sizes falls short in the flush events only,
 * more pressure is kept in hand at the fixtures that do, or else at all flush
 * valves, as little as does; at one that cannot have so much with any sizes,
 * what they leave it.
 *
 * @param site      a finished site; it is not changed
 * @param options   NULL is the defaults
 * @param result    set to a result to be freed; kept on failure.  It borrows
 *                  from the site
 * @param messages  gets the reason on failure; may be NULL
 *
 * @return FC_OK            sizes were found, or it is known that there are
 * none FC_ESTATE        the site is not finished FC_EUNSUPPORTED  loops, more
 * than one source FC_EINPUT        no size is to be chosen; the need of a
 * flush valve is not known; a material without prices beside others with them
 *         FC_ENOMEM
 */
fc_status fc_size(const fc_site *site, const fc_size_options *options,
                  fc_size_result **result, fc_diagnostics *messages);
void fc_size_result_free(fc_size_result *result);

/**
 * The site file of the building with the sizes that were chosen: its text as
 * it was read, with the sizes put in and a comment that tells so, and that
 * check finds more where it is not feasible.
 *
 * @param folder  the folder of the site file, or of one from standard input or
 *                from memory the working folder, as it is seen from where the
 *                text is to be put: a relative `tables` starts from there.
 *                NULL: it is put into the same folder
 * @param text    malloc'ed; kept on failure
 *
 * @return FC_OK, FC_ESTATE (none serve at peak), FC_EINPUT (a site made by
 *         calls that a file has no way to put), FC_ENOMEM
 */
fc_status fc_size_text(const fc_size_result *result, const char *folder,
                       char **text, fc_diagnostics *messages);

/* ---- What cures a building -------------------------------------------- */

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
    FC_COMBINE        /* one lever, not as far, and pipes */
} fc_lever;

/**
 * @brief The word for a lever in reports for programs: "new reducer".
 *
 * A reducer turned up and one turned down have the same.
 *
 * @return NULL for what is no fc_lever
 */
const char *fc_lever_word(fc_lever lever);

/** One lever: how far it has to go, or why it is of no use. */
typedef struct fc_remedy {
    fc_lever lever;
    bool works;          /* the building so changed was checked: all works */
    const char *subject; /* element, valve or fixtures that it is about; NULL:
                            the pipes */
    const char *text;    /* what to do, or why it is of no use: sentences */
    fc_dimension dimension; /* of the values */
    double value, now;      /* what it has to be, what it is; NAN: neither */
    const char *fixture;    /* that governs it; NULL: none */
    double cost;            /* of the pipes replaced; 0: none */
    const fc_sized_pipe *pipes; /* those replaced */
    size_t n_pipes;
    FC_ROOM(8);
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

typedef struct fc_remedies {
    const char *title;
    fc_unit_system units;
    bool converted;
    fc_state state;   /* to be, which is to be cured */
    fc_verdict works; /* as it is given */
    bool by_prices;   /* costs are by [prices]; otherwise in inch-feet */
    const fc_remedy *remedies; /* none where it works */
    size_t n_remedies;
    const fc_floor_minimum *floors; /* from the top down */
    size_t n_floors;
    const fc_reducer_window *windows;
    size_t n_windows;
    const fc_check_result *check; /* as it is given */
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
 * pressure with pipes.  Each goes as far as it has to, in steps of 0.1 psi (1
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

/* ---- Verifying claims ------------------------------------------------- */

/** Whether a claim stands.  Zero is the careful one. */
typedef enum fc_support {
    FC_UNDECIDED,
    FC_SUPPORTED,
    FC_CONTRADICTED
} fc_support;

/** One [claim], judged.  Pressures are flowing pressures at the inlet of the
 * fixture [Pa]. */
/** What a gauge showed, and where: pressures of a claim are brought from there
 * to the fixture's inlet by the height, and by the loss between. */
typedef struct fc_gauge_shown {
    const char *at;  /* element or fixture; NULL: no reading */
    double pressure; /* NAN: no reading [Pa] */
} fc_gauge_shown;

typedef struct fc_checked_claim {
    const char *name, *fixture;
    const char *stated_in; /* NULL: not given */
    fc_state state;
    fc_condition_of_claim condition;
    const char *event; /* the condition in words: "3 of wc-3 flush" */
    double elevation;  /* of the fixture's inlet [m] */
    double supply;     /* static pressure of the source on its day; NAN: as the
                          site has it */
    double claimed;
    const char *not_flowing; /* why the condition is no flowing one, and what
                                to name in it; NULL: it is.  What stands at the
                                fixture without flow supports no claim */
    bool can_be_read; /* a gauge can be read under the condition: it is neither
                         peak demand nor the supply of another day */
    int decimals; /* behind the point, that tell its pressures from the claimed
                     one in the units of the result */
    const char *why_not; /* why the model cannot tell; NULL: it can, and only
                            then are these figures: */
    double computed;     /* at the nominal inputs */
    double still;        /* with nothing flushing */
    double low, high;    /* 95 % of the outcomes lie between */
    double probability;  /* share of the outcomes that reach the claim */
    fc_support by_model; /* supported: at least 95 % do, and the condition is a
                            flowing one; contradicted: at most 5 % */
    const char *decided_by; /* the input that weighs most; NULL: none varies */
    double share;           /* of the outcomes' variance, 0 to 1 */
    const char *reading;    /* of the claim's condition; NULL: there is none */
    double read, within;    /* brought to the inlet, with its accuracy */
    fc_gauge_shown shown;   /* as it was read */
    const char *against;    /* another at that place that cannot be true beside
                               it, so that neither decides; NULL: none */
    const char *carried_reading;  /* of another condition; NULL: none */
    const char *carried_event;    /* what flushed then, in words */
    bool carried_flows;           /* something did */
    fc_state carried_state;       /* which valves were in place then */
    double carried_read;          /* then, brought to the inlet */
    fc_gauge_shown carried_shown; /* as it was read */
    double carried; /* as the model carries it to the claim's condition */
    double carried_within;
    const char *refuted_by;    /* a reading that the site as it is given
                                  cannot give, so that the model does not
                                  decide; NULL: none */
    const char *still_reading; /* with nothing flushing; NULL: none */
    double still_read, still_within;
    fc_gauge_shown still_shown; /* as it was read */
    const char *unproved; /* a street main without a flow test, that is taken
                             not to sag, so that the model does not support;
                             NULL: none, or a flowing reading does */
    fc_support verdict; /* by the reading where there is one, else the model */
    FC_ROOM(8);
} fc_checked_claim;

typedef struct fc_verify_result {
    const char *title, *address, *prepared_by, *date; /* NULL: not given */
    fc_unit_system units;
    fc_support verdict;     /* of all claims together, the worst */
    const char *source;     /* the first one */
    fc_range source_static; /* not given: a tank */
    unsigned long seed;
    size_t draws;  /* of every input; 1: no input is a range */
    size_t varied; /* inputs that are ranges */
    const fc_checked_claim *claims; /* in the order of the site */
    size_t n_claims;
    const fc_finding *findings; /* subject: the name of a claim, or "" */
    size_t n_findings;
    const char *const *assumptions;
    size_t n_assumptions;
} fc_verify_result;

typedef struct fc_verify_options {
    unsigned long seed; /* default 1; the same seed gives the same result,
                           whatever the number of threads */
    unsigned threads;   /* default: as many as the machine runs at once */
    size_t draws;       /* default 20,000 */
    void (*progress)(void *context, double done); /* as of fc_check_options */
    void *context;
    FC_ROOM(8);
} fc_verify_options;

/**
 * Judge the claims of a site: are the flowing pressures that they state true?
 *
 * Each input that is a range, or has a tolerance, is drawn from a rectangular
 * distribution between its bounds (JCGM 101:2008, 6.4.2), sizes with equal
 * chance, all of them independent of each other but the C of pipes that take
 * it from one material's table.  Every draw is a building, in which the flush
 * event of the claim is solved, or the peak demand by the code marched.  A
 * claim is supported where at least 95 % of the outcomes reach the pressure
 * that it states, contradicted where at most 5 % do.
 *
 * A reading at the same place under the same condition decides instead, with
 * its accuracy as guard band on both sides (JCGM 106:2012, 8.3.2 and 8.3.3):
 * the claim is accepted when the reading less its accuracy reaches it, and
 * rejected when the reading with its accuracy added does not.
 *
 * A claim about a flush valve that does not flush under its condition, or with
 * nothing flushing, is of no flowing pressure: nothing supports it, though
 * what stands there may well be too little and contradict it.  Where a reading
 * shows what no building drawn has, the model decides no claim, unless what is
 * carried from the claim's place to its condition says the same.  What rests
 * on a street main that nobody tested is supported only where a flowing
 * reading, so carried, says the same.
 *
 * The input that weighs most is the one with the largest share of the
 * outcomes' variance: the squared coefficient of correlation, of a choice of
 * sizes the variance between the means of its sizes over that of all.
 *
 * @param site      a finished site; it is not changed
 * @param options   NULL is the defaults
 * @param result    set to a result to be freed; kept on failure.  It borrows
 *                  from the site
 * @param messages  gets the reason on failure; may be NULL
 *
 * @return FC_OK            a claim that the model cannot tell of says why
 *         FC_ESTATE        the site is not finished
 *         FC_EINPUT        it has no claim
 *         FC_EUNSUPPORTED  a size is yet to be chosen
 *         FC_ENOCONV       the flows of a draw did not settle
 *         FC_ENOMEM
 */
fc_status fc_verify(const fc_site *site, const fc_verify_options *options,
                    fc_verify_result **result, fc_diagnostics *messages);
void fc_verify_result_free(fc_verify_result *result);

/* ---- What explains gauge readings ------------------------------------- */

typedef enum fc_cause_kind {
    FC_SUPPLY_PRESSURE, /* value: static pressure off by so much [Pa] */
    FC_SUPPLY_SAG,      /* a choked main: loses value [Pa] at `flow` */
    FC_REDUCER_SETTING, /* value: set off by so much [Pa] */
    FC_PIPE_ROUGHNESS,  /* of the pipes of one material, of a run of them or of
                           one; value: C, of the first of them */
    FC_BLOCKED,         /* an element loses value [Pa] more at `flow` */
    FC_SMALLER_SIZE,    /* a pipe one size smaller; value: nominal size [m] */
    FC_LARGER_SIZE,     /* or larger */
    FC_HEIGHT,          /* a pipe's rise or a fixture's inlet, off by value
                           [m] */
    FC_STOP_THROTTLED,  /* each stop of a fixture loses value [Pa] more at
                           `flow` */
    FC_VALVE_RATE,      /* the valves of a fixture draw another flow; value: at
                           the pressure of their rate [m3/s] */
    FC_RUNNING_OUTLET,  /* a valve or another outlet runs on, or water leaks;
                           value: a steady flow [m3/s] */
    FC_PUMP_OFF,        /* no value */
    FC_PUMP_WEAK,       /* value: below its curve by so much [Pa] */
    FC_HOLDS_BACK,      /* a backflow preventer holds back value [Pa] more,
                           whatever flows */
    FC_LOSES_LESS,      /* a meter, backflow preventer or device takes value
                           times the loss described */
    FC_GAUGE_OFF,       /* all pressures were read off by value [Pa] */
    FC_CHANGED,      /* those read while the same flushed are, since the main
                        or what ran had changed */
    FC_WRONG_READING /* one reading is off by value [Pa or m3/s], and the
                        site as described */
} fc_cause_kind;

/**
 * @brief The word for a kind of fault in reports for programs: "pump off".
 *
 * @return NULL for what is no fc_cause_kind
 */
const char *fc_fault_word(fc_cause_kind kind);

/** One thing that differs from the site as described. */
typedef struct fc_fault {
    fc_cause_kind kind;
    const char *element;    /* or fixture, material, reading; NULL: pipes
                               without a material */
    const char *last;       /* the lower end of a run of pipes; else NULL */
    fc_dimension dimension; /* of the value */
    double value;           /* NAN: none */
    double low, high;       /* 95 % interval, linearised; NAN: none */
    double flow;            /* at which a loss is told [m3/s]; NAN: none */
    bool at_limit;          /* a loss as large as is tried: all but shut */
    FC_ROOM(8);
} fc_fault;

/** What may explain all readings: one fault, or two at once. */
typedef struct fc_cause {
    size_t group; /* in `groups` */
    fc_fault faults[2];
    size_t n_faults;
    double misfit; /* chi square: sum of ((model - read) / within)^2 */
    double weight; /* posterior probability among the causes tried */
    bool explains; /* it leaves no reading off by more than its accuracy, and
                      its misfit passes a chi-square test at 5 % */
    bool found;    /* it is one of those that the readings decide for */
    const char *text; /* "meter-1 loses 11.0 psi more at 30.0 gpm than ..." */
    FC_ROOM(8);
} fc_cause;

/** Causes that these readings cannot tell apart: what each makes every gauge
 * show lies within its accuracy of what the heaviest of them does. */
typedef struct fc_cause_group {
    double weight;
    bool single;      /* one cause, or blockages of one stretch alone */
    const char *text; /* "partly blocked between meter-1 and riser-3" */
    FC_ROOM(8);
} fc_cause_group;

typedef struct fc_explained_reading {
    const char *name, *at;
    fc_dimension dimension; /* FC_PRESSURE or FC_FLOW, of what follows; one
                               with both is told twice */
    double read, within;    /* [Pa] or [m3/s] */
    double expected;        /* by the site as described */
    double difference;      /* read - expected */
    bool is_static;         /* nothing flushes */
    bool as_described;      /* |difference| <= within */
    const char *flushing;   /* "3 of wc-2, wc-3"; "nothing" */
    FC_ROOM(8);
} fc_explained_reading;

/** What one next reading may show, and what that would mean. */
typedef struct fc_answer_meant {
    double value; /* weighted mean of what the causes predict [Pa or m3/s] */
    double low, high; /* the least and the most of them */
    double weight;    /* of these causes */
    const char *text; /* the causes, as of a group */
    FC_ROOM(8);
} fc_answer_meant;

typedef struct fc_next_reading {
    const char *at;       /* element or fixture; NULL: no reading that can be
                             taken here would tell more */
    const char *flushing; /* as of a reading */
    const fc_flushing *flush; /* the same as a list; none: nothing flushes */
    size_t n_flush;
    fc_dimension dimension; /* FC_PRESSURE; or FC_FLOW, of the one valve there
                               by the time of its flush */
    double volume; /* of that flush [m3]; NAN: not told, or a pressure */
    const fc_answer_meant *answers; /* from the highest down; none
                                       where nothing explains the readings */
    size_t n_answers;
    double apart;      /* chance that it tells two of the causes apart */
    const char *again; /* the reading that it repeats, which may be wrong;
                          NULL: a new one */
    const char *task;  /* "Put the gauge at riser-4 and flush 2 of wc-6" */
    const char *text;  /* the same with what the answers mean, in a sentence */
    FC_ROOM(8);
} fc_next_reading;

/** What the caller of a plumber sees or hears. */
typedef enum fc_symptom {
    FC_NO_SYMPTOM,
    FC_SHORT_FLUSH,
    FC_WEAK_FLUSH,
    FC_LONG_FLUSH,
    FC_RUNS_ON,
    FC_NOISE,
    FC_SPLASH
} fc_symptom;

typedef struct fc_diagnose_options {
    fc_state state;     /* with which valves; readings of the other state count
                           only where these make no difference */
    fc_symptom symptom; /* for `by_hand` */
    FC_ROOM(8);
} fc_diagnose_options;

typedef struct fc_diagnosis {
    const char *title;
    fc_unit_system units;
    fc_state state;
    const fc_explained_reading *readings; /* as they stand in the site */
    size_t n_readings;
    bool as_described;  /* all lie within their accuracy of the model: the
                           supply is as described, */
    bool any_flowing;   /* which only readings with something flowing tell of
                           meters, pipes and valves */
    bool too_little;    /* as described, a valve that flushed in a reading has
                           less than its own minimum; a finding says which */
    bool contradictory; /* readings contradict each other or physics */
    bool decided;       /* one element, run of pipes or fixture has 9/10 of
                           the weight or more, or one stretch that no gauge
                           splits */
    bool explained;     /* a cause was found that explains all of them */
    const char *found;  /* what explains them, where that is decided */
    const char *text;   /* the answer, in a sentence or two */
    const fc_finding *findings; /* contradictions first, then notes */
    size_t n_findings;
    const char *const *assumptions; /* sentences */
    size_t n_assumptions;
    const fc_cause *causes; /* the heaviest first; none where as described */
    size_t n_causes;
    const fc_cause_group *groups; /* the heaviest first */
    size_t n_groups;
    fc_next_reading next;
    const char *const *by_hand; /* causes that no pressure shows, the easiest
                                   to check first; none without a symptom */
    size_t n_by_hand;
} fc_diagnosis;

/**
 * What explains the gauge readings of a site, and which to take next.
 *
 * Static readings are set against each other by their heights first.  Then
 * each possible cause is one unknown, fitted to all readings by weighted least
 * squares (weights 1 / within^2, GSL), every other input at its nominal value;
 * where none passes a chi-square test at 5 %, pairs of causes.  A cause weighs
 * prior exp(-chi2 / 2) n^(-k/2) with n readings and k unknowns (the Bayesian
 * information criterion, G. Schwarz, Ann. Statist. 6 (1978) 461-464); the
 * priors, common practice, favour devices and stops over pipes.  The next
 * reading is the place and the flushing set that tell two causes apart with
 * the greatest chance.  A flow that was read (as `flow`, `filled` or
 * `flush time`) counts as a pressure does, within 10 % of it and no less than
 * 0.1 gpm (common practice), against what one valve draws at a fixture that
 * flushes, else against the flow of the element.
 *
 * @param site       a finished site; it is not changed
 * @param options    NULL is the defaults
 * @param diagnosis  set to a result to be freed; kept on failure; it borrows
 *                   from the site
 * @param messages   gets the reason on failure; may be NULL
 *
 * @return FC_OK
 *         FC_ESTATE        the site is not finished, or not converted
 *         FC_EINPUT        no reading of that state can be weighed; a fixture
 *                          that flushes is no flush valve, or its rate is not
 *                          known
 *         FC_EUNSUPPORTED  a size is yet to be chosen
 *         FC_ENOCONV       the flows did not settle, and where
 *         FC_ENOMEM
 */
fc_status fc_diagnose(const fc_site *site, const fc_diagnose_options *options,
                      fc_diagnosis **diagnosis, fc_diagnostics *messages);
void fc_diagnosis_free(fc_diagnosis *diagnosis);

/* ---- The trade's numbers ---------------------------------------------- */

/** A line of a table: a key and its value as the table writes them. */
typedef struct fc_table_line {
    const char *key, *value;
} fc_table_line;

/** An entry: "pipe" and "copper L", its lines, its source. */
typedef struct fc_table_entry {
    const char *kind, *name, *source;
    const fc_table_line *lines;
    size_t n_lines;
    FC_ROOM(8);
} fc_table_entry;

typedef struct fc_tables fc_tables;

/** The built-in tables; NULL when out of memory, or when they cannot be read,
 * which is said. */
fc_tables *fc_tables_new(fc_diagnostics *messages);
void fc_tables_free(fc_tables *tables);
size_t fc_tables_count(const fc_tables *tables);
fc_table_entry fc_tables_at(const fc_tables *tables, size_t i);

#ifdef __cplusplus
}
#endif

#endif
