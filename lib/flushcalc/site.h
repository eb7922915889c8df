/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/site.h -- a building: its parts, and the calls that build, change
 * and read it. */
#ifndef FLUSHCALC_SITE_H
#define FLUSHCALC_SITE_H

#include "flushcalc/base.h"

#ifdef __cplusplus
extern "C" {
#endif

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
/** How the code's demand table is read between two of its rows. */
/* Which sizes may be chosen or put in */
typedef enum fc_stock {
    FC_STOCK_SIZES, /* that a supply house stocks, or that have a price */
    FC_ALL_SIZES    /* all of the material's table */
} fc_stock;

typedef enum fc_demand_reading {
    FC_NEXT_ROW,   /* the next row up, as the worked example of IPC Appendix E
                      reads it */
    FC_INTERPOLATE /* on the straight line between the two rows */
} fc_demand_reading;
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
    fc_demand_reading demand;   /* default the next row */
    const char *project_number, *checked_by, *revision;
    fc_stock sizes; /* default stock sizes */
    FC_ROOM(3);
} fc_settings;

typedef enum fc_source_kind {
    FC_STREET_MAIN = 1,
    FC_TANK,
    FC_FIXED,
    FC_WELL /* of a rate, that feeds a pressure tank */
} fc_source_kind;

typedef struct fc_point {
    double x, y;
} fc_point;

typedef struct fc_source {
    const char *name;
    fc_source_kind kind;
    fc_range static_pressure;         /* street main; range */
    fc_range residual, residual_flow; /* street main; range */
    fc_range water_level;             /* tank: elevation; range */
    fc_range pressure;                /* fixed; range */
    fc_range elevation;               /* default 0; range */
    fc_range test_static;      /* street main, on the day of its flow test;
                                  default: `static_pressure`; range */
    fc_range within;           /* of each gauge reading of the flow test;
                                  default 2 psi; 0: they are no readings */
    const fc_point *flow_test; /* in place of `residual`: flow against residual
                                  pressure, ascending in x, falling in y */
    size_t n_flow_test;
    const char *gauge; /* one that all of the flow test was read by, so that
                          what it is off by drops out of the drop; in place of
                          `within` */
    fc_range rate; /* well: what it gives, its own pump included, whatever the
                      pressure in the tank; tank: what fills it; range */
    fc_range volume; /* tank: water in it up to the level; range */
    FC_ROOM(6);
} fc_source;

/** Sizes of water hammer arresters, by PDI-WH201. */
typedef enum fc_arrester {
    FC_NO_ARRESTER,
    FC_ARRESTER_AA,
    FC_ARRESTER_A,
    FC_ARRESTER_B,
    FC_ARRESTER_C,
    FC_ARRESTER_D,
    FC_ARRESTER_E,
    FC_ARRESTER_F
} fc_arrester;

typedef struct fc_fitting {
    int count;
    const char *name; /* "elbow 90", "tee branch", ... */
} fc_fitting;

typedef struct fc_pipe {
    const char *name, *from;
    const char *to;             /* closes a loop; NULL: none */
    const char *material;       /* NULL: the site's */
    fc_range size;              /* nominal; range */
    bool choose_size;           /* `size = choose` */
    fc_range length;            /* range */
    fc_range rise;              /* end above start; range */
    fc_range elevation;         /* of its end, in place of `rise`; range */
    const char *floor;          /* that `elevation` is over; NULL: over 0 */
    const fc_fitting *fittings; /* none listed: a usual share of the length */
    size_t n_fittings;
    bool no_fittings; /* there are none */
    fc_condition condition;
    fc_range c;               /* Hazen-Williams C; range */
    fc_range inside_diameter; /* range */
    fc_range velocity_limit;
    fc_answer gauge_fits;     /* a pressure gauge, at its outlet */
    fc_arrester arrester;     /* that stands on it */
    fc_range pressure_rating; /* default: what is usual */
    FC_ROOM(3);
} fc_pipe;

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
    const fc_point *points; /* ascending in x; of a PRV not descending in
                               y */
    size_t n_points;
    FC_ROOM(8);
} fc_loss;

typedef enum fc_device_kind {
    FC_METER,
    FC_BACKFLOW,
    FC_DEVICE
} fc_device_kind;

typedef enum fc_preventer {
    FC_ANY_PREVENTER,
    FC_RP, /* reduced pressure zone */
    FC_DOUBLE_CHECK
} fc_preventer;

typedef struct fc_device {
    const char *name, *from;
    fc_device_kind kind;
    fc_range rise;      /* range */
    fc_range elevation; /* of its outlet, in place of `rise`; range */
    const char *floor;  /* that `elevation` is over; NULL: over 0 */
    fc_loss loss;
    const char
        *meter_kind; /* meters: an entry of the meter table, with size */
    fc_range size;
    fc_answer gauge_fits;     /* at its outlet */
    fc_preventer preventer;   /* backflow preventers: what kind; not given: not
                                 known */
    fc_range pressure_rating; /* default: what is usual */
    FC_ROOM(2);
} fc_device;

typedef struct fc_reducer {
    const char *name, *from;
    fc_range rise;      /* range */
    fc_range elevation; /* of its outlet, in place of `rise`; range */
    const char *floor;  /* that `elevation` is over; NULL: over 0 */
    fc_range set;       /* range */
    fc_range fall_off, fall_off_flow; /* linear in the flow */
    fc_loss loss;                     /* wide open */
    fc_answer gauge_fits;             /* at its outlet */
    const char *beside; /* in place of `from`: the first of two side by side,
                           whose inlet and outlet this one shares */
    fc_range pressure_rating; /* default: what is usual */
    FC_ROOM(2);
} fc_reducer;

typedef struct fc_pump {
    const char *name, *from;
    fc_range rise;         /* range */
    fc_range elevation;    /* of its outlet, in place of `rise`; range */
    const char *floor;     /* that `elevation` is over; NULL: over 0 */
    const fc_point *curve; /* flow against head in m of water, descending */
    size_t n_curve;
    fc_range hold; /* discharge pressure; range.  One that gets more stands
                      still, and water passes it by without loss */
    fc_answer running;
    fc_range minimum_suction; /* what its inlet must have; range; default:
                                 what is usual */
    fc_answer gauge_fits;     /* at its outlet */
    fc_range pressure_rating; /* default: what is usual */
    FC_ROOM(3);
} fc_pump;

/** A tank with a cushion of air, filled by a pump or a well between two
 * pressures.  All that draws water is downstream of it, and one way without
 * branches leads to it. */
typedef struct fc_pressure_tank {
    const char *name, *from;
    fc_range rise;            /* range */
    fc_range elevation;       /* of its outlet, in place of `rise`; range */
    const char *floor;        /* that `elevation` is over; NULL: over 0 */
    fc_range volume;          /* of the tank, air and water; range */
    fc_range cut_in, cut_out; /* where the pump starts and stops; ranges */
    fc_range precharge;       /* of the air while the tank is empty; range;
                                 default: what is usual, below the cut-in */
    FC_ROOM(8);
} fc_pressure_tank;

typedef enum fc_use { FC_PUBLIC, FC_PRIVATE, FC_ASSEMBLY } fc_use;

typedef enum fc_sex { FC_ANYONE, FC_MEN, FC_WOMEN } fc_sex;

typedef struct fc_fixture {
    const char *name, *on, *kind;
    fc_use use;
    int count;            /* 0 means 1 */
    fc_range counts;      /* in place of `count`: it is one of these whole
                             numbers, in the middle rounded up */
    fc_range rise;        /* range */
    fc_range elevation;   /* of its inlet, in place of `rise`; range */
    const char *floor;    /* that `elevation` is over; NULL: over 0 */
    fc_range supply_size; /* nominal */
    fc_loss stop;
    fc_range bowl; /* the flush volume the bowl is made for */
    fc_range existing_bowl, retrofit_bowl; /* of each state, in place of it */
    fc_range maximum_static;               /* in place of the site's */
    const char *existing, *retrofit;       /* valves; NULL: not named */
    fc_range fixture_units;
    fc_range interval;
    fc_answer gauge_fits;         /* at its inlet */
    fc_range rate, rate_pressure; /* of an outlet that is no flush valve: rate:
                                     range */
    fc_answer balanced; /* its mixing valve balances hot and cold pressure; not
                           said: not known */
    fc_range draw_per_day; /* of one outlet that is no flush valve, on a day of
                              use, from the pipe it is on; range */
    fc_range uses_per_day; /* of one of them, in place of its part of
                              all; range */
    fc_sex used_by;        /* default: anyone; urinals: men */
    FC_ROOM(7);
} fc_fixture;

typedef enum fc_power { FC_POWER_NOT_SAID, FC_BATTERIES, FC_WIRED } fc_power;

typedef enum fc_hold {
    FC_HOLD_NOT_SAID,
    FC_ONE_FLUSH, /* however long it is held */
    FC_WHILE_HELD /* water runs for as long as it is held */
} fc_hold;

typedef struct fc_valve {
    const char *name;
    fc_range minimum_flowing; /* range */
    fc_range maximum_flowing;
    fc_range maximum_static;
    fc_range flow, flow_pressure; /* flow: range */
    fc_range full_flush, reduced_flush;
    fc_range reduced_share;
    fc_range closing_time; /* range; default: what is usual */
    fc_range supply_size;  /* nominal */
    fc_range hygiene_flush;
    fc_answer regulated;
    fc_range flushes_per_use;
    fc_answer sensor; /* sensor-operated; default: a retrofit valve is */
    fc_power power;   /* of a sensor valve; default: batteries */
    fc_hold held;     /* what its handle or override button gives while it is
                         held */
    fc_range sensor_delay;            /* from leaving to the flush */
    fc_range short_stay, long_stay;   /* a shorter stay flushes nothing; from
                                         this on it takes the full flush */
    fc_range flushes_per_battery_set; /* of batteries; default: usual; range */
    fc_range battery_life; /* the longest, however few flushes; range
                            */
    fc_range closes_at;    /* least pressure at its inlet at which it closes of
                              itself; range; default: `minimum_flowing` */
    FC_ROOM(4);
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

/* What a fix costs that is no pipe, each in the user's own money; not given:
 * not known. */
typedef struct fc_fix_prices {
    fc_range source;      /* a constant supply or a tank raised */
    fc_range prv_setting; /* a PRV in place set anew, each */
    fc_range prv;         /* a PRV put in, each */
    fc_range pump;        /* a pump in place changed or run, each */
    fc_range booster;     /* put in */
    fc_range meter, backflow, device; /* replaced, each */
    fc_range valve;                   /* a flush valve replaced, each */
    fc_range keep_valve; /* a fixture that keeps its valve, each */
    fc_range floor; /* fed from another riser, its new pipe included, each */
    fc_range riser; /* a second one put in, all included */
    fc_range stop;  /* partly closed, each */
    fc_range water; /* of 1,000 gal or of a m3, by the site's units, with what
                       it costs to get rid of it */
    fc_range battery_set;
    FC_ROOM(4);
} fc_fix_prices;

/** So many times in a year the building stands idle so long. */
typedef struct fc_spell {
    int count;
    double time; /* s */
} fc_spell;

typedef struct fc_usage {
    fc_range interval;
    fc_range people;          /* men and women together; range */
    fc_range uses_per_day;    /* of closets and urinals, by each of them; range
                               */
    fc_range days_per_year;   /* of use; default: usual; range */
    fc_range long_stay_share; /* of the uses of closets; default: usual; range
                               */
    fc_range men, women;      /* in place of `people`; range */
    fc_range closet_uses, urinal_uses; /* a day, by each, in place of
                                          `uses_per_day`; range */
    fc_range false_flushes; /* a day, of each sensor valve, that nobody is at;
                               default 0; range */
    const fc_spell *closed; /* when nobody uses the building */
    size_t n_closed;
    fc_range busy_period; /* how long the busiest minutes last; range; default:
                             what is usual */
    fc_range last_use_within; /* in which all fixtures were last used before
                                 the building empties; range; default: what is
                                 usual */
    fc_range hours_per_day;   /* from the first use to the last on a day of use
                                 [s]; range; default: what is usual */
    FC_ROOM(4);
} fc_usage;

/** People of another kind, such as customers, beside those of `usage`. */
typedef struct fc_people {
    const char *name;
    /* as of fc_usage */
    fc_range people, uses_per_day, days_per_year, men, women, closet_uses,
        urinal_uses;
    FC_ROOM(8);
} fc_people;

/** In a list of them each fixture stands once. */
typedef struct fc_flushing {
    int count; /* 0: the whole group */
    const char *fixture;
} fc_flushing;

/** What a single value may be off by: an absolute amount or a fraction. */
typedef struct fc_deviation {
    bool given, is_fraction;
    double amount;
} fc_deviation;

/** A pressure gauge, which readings name. */
typedef struct fc_gauge {
    const char *name;
    fc_deviation within; /* 0.05 psi (0.345 kPa) or more, or a share of the
                            full scale */
    fc_range full_scale;
    const char *number, *calibrated; /* as they are written on it */
    fc_range marks; /* from one mark of its scale to the next; default 2 psi */
    FC_ROOM(8);
} fc_gauge;

typedef enum fc_state { FC_EXISTING, FC_RETROFIT } fc_state;
#define FC_STATES 2

/** What is seen without a gauge. */
typedef enum fc_sight {
    FC_SEEN_NOTHING,
    FC_SEEN_OPEN,  /* a stop or a valve, fully */
    FC_SEEN_SHUT,  /* or partly */
    FC_SEEN_CLEAN, /* a strainer or a screen */
    FC_SEEN_CLOGGED,
    FC_SEEN_TURNING, /* a meter's dial with every outlet shut, or a pump */
    FC_SEEN_STILL
} fc_sight;

typedef struct fc_reading {
    const char *name, *at;
    fc_range pressure; /* no less than a full vacuum */
    fc_range within;   /* 0.05 psi (0.345 kPa) or more */
    fc_range flow;
    const fc_flushing *flushing; /* what was open: valves and other outlets */
    size_t n_flushing;
    fc_state state; /* which valves were in place */
    /* A flow in another form than `flow`, one of the three. */
    fc_range filled_volume, filled_time; /* a container filled there */
    fc_range flush_time; /* of one whole flush of the fixture at `at` */
    const char *gauge;   /* NULL: the one of all readings that name none */
    fc_sight dial;       /* of the meter at `at`, with every outlet shut:
                            FC_SEEN_TURNING or FC_SEEN_STILL */
    FC_ROOM(6);
} fc_reading;

/** What was looked at, or measured with a tape. */
typedef struct fc_look {
    const char *name, *at; /* element or fixture */
    fc_sight shows;
    fc_range rise, length; /* of a pipe; of a fixture its rise alone */
    fc_range size;         /* of a pipe: nominal */
    FC_ROOM(8);
} fc_look;

typedef enum fc_condition_of_claim {
    FC_WHILE_NOT_SAID, /* the harshest of alone and peak */
    FC_WHILE_PEAK,
    FC_WHILE_FLUSHING,
    FC_WHILE_ALONE
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
    bool state_said; /* `state` is what the claim says; else, where it is the
                        first, the harsher of the two */
    FC_ROOM(7);
} fc_claim;

/** A floor, whose elevation stands for itself in others. */
typedef struct fc_floor {
    const char *name;   /* "3", "roof" */
    fc_range elevation; /* range */
} fc_floor;

typedef struct fc_floors {
    const fc_floor *floors; /* each name once */
    size_t n_floors;
    FC_ROOM(8);
} fc_floors;

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

/**
 * Read a site file with other values than it has, as if it had them: what is
 * missing in the file may be given here.  What is wrong with one is said as of
 * the file, under the name "--set" and its text.
 *
 * @param settings  n texts: "street.static = 69 psi", "valve closet.minimum
 *                  flowing = 25 psi", "site.reserve = 3 psi"; "without = rp"
 *                  takes parts out, and joins what an element led to to what
 *                  led to it; a name with {floor} is that of all floors of a
 *                  typical one.  Several in a text are parted by ";".
 *
 * @return as fc_site_read()
 */
fc_status fc_site_read_with(const char *path, const char *const *settings,
                            size_t n, fc_site **site,
                            fc_diagnostics *messages);
/** The same from memory. */
fc_status fc_site_read_text_with(const char *text, size_t length,
                                 const char *name, const char *const *settings,
                                 size_t n, fc_site **site,
                                 fc_diagnostics *messages);
/**
 * The same of a site that was read from a file; what was set over it stays.
 *
 * @param changed  set to a finished site, to be freed, which borrows nothing;
 *                 kept on failure
 *
 * @return as fc_site_read(); FC_ESTATE where it was not read from a file
 */
fc_status fc_site_with(const fc_site *site, const char *const *settings,
                       size_t n, fc_site **changed, fc_diagnostics *messages);

/** One value that was set over a file. */
typedef struct fc_set_value {
    const char *part;  /* "street", "valve closet" */
    const char *key;   /* NULL: the part was taken out */
    const char *value; /* NULL likewise */
    const char *was;   /* in the file; NULL: not given there */
    bool differs;      /* the file had several, by floor; `was` is one */
    bool of_case;      /* by a case of the file */
    FC_ROOM(3);
} fc_set_value;

/** How many values were set over the file of a site, and value i; past them
 * one that is empty. */
size_t fc_site_set_values(const fc_site *site);
fc_set_value fc_site_set_value_at(const fc_site *site, size_t i);

/** How many [case] sections the file of a site has, and the name and the title
 * of case i, 0 <= i < count; the title may be NULL, past the count both are.
 */
size_t fc_site_cases(const fc_site *site);
const char *fc_site_case_name(const fc_site *site, size_t i);
const char *fc_site_case_title(const fc_site *site, size_t i);
/** The site of case i, as fc_site_with() makes it; FC_EUNKNOWN past them. */
fc_status fc_site_case(const fc_site *site, size_t i, fc_site **changed,
                       fc_diagnostics *messages);

/** The SHA-256 of the text that a site was read from, in hexadecimal; NULL of
 * one that was built by calls.  Of a copy it is that of what was copied. */
const char *fc_site_digest(const fc_site *site);
/** The same of the file that amends its tables; NULL: there is none, or the
 * site is not finished. */
const char *fc_site_tables_digest(const fc_site *site);

/* Add one part.  Order does not matter and names may be used before they are
 * added.  A field out of its domain or a name taken already is FC_EINPUT: the
 * part is not added, and the site cannot be finished, so that a forgotten
 * check does no harm.  A list has at most 1,000,000 items. */
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
fc_status fc_site_add_pressure_tank(fc_site *site,
                                    const fc_pressure_tank *tank,
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
fc_status fc_site_add_gauge(fc_site *site, const fc_gauge *gauge,
                            fc_diagnostics *messages);
fc_status fc_site_add_look(fc_site *site, const fc_look *look,
                           fc_diagnostics *messages);
fc_status fc_site_add_claim(fc_site *site, const fc_claim *claim,
                            fc_diagnostics *messages);
fc_status fc_site_set_fix_prices(fc_site *site, const fc_fix_prices *prices,
                                 fc_diagnostics *messages);
fc_status fc_site_set_usage(fc_site *site, const fc_usage *usage,
                            fc_diagnostics *messages);
fc_status fc_site_add_people(fc_site *site, const fc_people *people,
                             fc_diagnostics *messages);
fc_status fc_site_set_floors(fc_site *site, const fc_floors *floors,
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
 * @return FC_OK, FC_ENOMEM
 */
fc_status fc_site_copy(const fc_site *site, fc_site **copy,
                       fc_diagnostics *messages);

/**
 * Change one key of a part of a site that is not finished, as if its file had
 * it so.  What the part must be by itself is seen to by fc_site_finish().
 * After a refusal the site cannot be finished.
 *
 * @param name      of an element or a fixture; "site", "usage", "floors" or
 *                  "tolerance";
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

/** How many parts a site has, and part i, 0 <= i < count, as they came; past
 * the count one without a name and a kind. */
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
 * the site cannot be changed, but may be checked any number of times.  After a
 * failure it is as it was: it may be mended and finished again, unless a part
 * or a change was refused.
 *
 * @return FC_OK, FC_EINPUT, FC_EIO (the tables file), FC_ENOMEM;
 *         FC_ESTATE when it is finished
 */
fc_status fc_site_finish(fc_site *site, fc_diagnostics *messages);

/** Report in these units from now on, whatever the site file says; what is no
 * fc_unit_system changes nothing. */
void fc_site_set_units(fc_site *site, fc_unit_system units);
fc_unit_system fc_site_units(const fc_site *site);
/** The title, or NULL when the site has none. */
const char *fc_site_title(const fc_site *site);

#ifdef __cplusplus
}
#endif

#endif
