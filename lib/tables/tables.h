/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/tables/tables.h -- the trade's numbers, each with its source.
 *
 * They come from the INI files in tables/, embedded at build time, and from
 * the file that `[site] tables` names.  Each entry keeps its section as
 * written beside its typed form, so that it can be listed with its source.
 */
#ifndef FCI_TABLES_TABLES_H
#define FCI_TABLES_TABLES_H

#include "flushcalc.h"
#include "ground/book.h"
#include "ini/ini.h"

/* Every entry starts with these. */
struct fci_entry_head {
    const char *name;
    const char *source;
    bool amended; /* by the site's own tables file */
    const struct fci_section *section;
};

/* Equivalent lengths by nominal size (rows, ascending) and fitting. */
struct fci_fittings {
    struct fci_entry_head head;
    const char **columns; /* the names of the fittings */
    size_t n_columns, n_rows;
    struct fci_names names; /* of a fitting to its column */
    double *sizes;          /* nominal, m */
    double *lengths; /* [row * n_columns + column], m; NAN: none printed */
};

struct fci_size {
    const char *label; /* as the table writes it: "1-1/4 in", "35 mm" */
    double nominal;    /* m */
    double bore;       /* m */
    double wall;       /* m; NAN: the table prints the bore alone */
    bool stocked;      /* a supply house has it on the shelf */
};

struct fci_material {
    struct fci_entry_head head;
    const char *title;
    struct fci_size *sizes; /* ascending, nominal and bore */
    size_t n_sizes;
    double c_new, c_aged;
    double c_old;     /* of badly scaled pipe; c_aged where none is known */
    double bore_loss; /* share of the bore that such pipe may have lost */
    /* C of a pipe put in anew, as a site file has it, aged and of no condition
     * that is known; NULL: what the table says of any */
    const char *c_put_in, *c_put_in_unknown;
    const char *c_source;
    double velocity_limit; /* m/s, cold water */
    const char *velocity_source;
    double roughness; /* of new pipe, m; NAN: none held */
    fc_range modulus; /* of elasticity [Pa]; not given: none held */
    double poisson;   /* Poisson's ratio; 0: none held */
    const char *modulus_source;
    const struct fci_fittings *fittings;
    bool dn; /* sizes answer to DN labels */
};

enum fci_column { FCI_NO_COLUMN, FCI_TANK_COLUMN, FCI_VALVE_COLUMN };
enum fci_used { FCI_USED_OTHERWISE, FCI_USED_AS_CLOSET, FCI_USED_AS_URINAL };
enum fci_falling { FCI_NOT_FALLING, FCI_FALLING_CLOSET, FCI_FALLING_URINAL };

struct fci_units_of_use {
    bool given;
    double cold, hot, total; /* fixture units */
};

/* Units of one use; above `over` (a flush volume, m3) other ones.  Where the
 * code has no such rule, `over` is 0 and `above` is not given. */
struct fci_fixture_kind {
    struct fci_entry_head head;
    fc_code code;
    struct fci_units_of_use units[3];       /* by fc_use */
    struct fci_units_of_use units_above[3]; /* full flush > over */
    double over;
    const char *units_source;
    bool flushes;          /* fed by a flush valve: it is judged with one */
    double pressure, flow; /* least flowing; NAN: the code gives none; the
                              larger flow where it differs by use */
    const char *pressure_source;
    double quoted_pressure; /* another part of the code says; or NAN */
    const char *quoted_source;
    double supply_size; /* least, nominal, m; NAN: none given */
    const char *supply_source;
    /* What its outlet passes at a flowing pressure; not given: it is a flush
     * valve, or no table has it. */
    fc_range outlet_rate, outlet_pressure;
    const char *valve; /* generic class assumed; NULL: no flush valve */
    fc_range usual_flush, usual_rate; /* of a valve for it [m3], [m3/s] */
    enum fci_falling falling;         /* UPC Table 610.10 */
    enum fci_used used;               /* by people, in the day */
    bool mixes;     /* hot and cold water are mixed there for people, */
    bool balanced;  /* by a valve that balances their pressures */
    bool emergency; /* an eyewash or the like, which the code's units do not
                       count */
};

/* Whether the code counts hot water for it, wherever it is used. */
bool fci_takes_hot_water(const struct fci_fixture_kind *kind);

/* Units to flow, rows ascending in units. */
struct fci_curve_rows {
    struct fci_entry_head head;
    size_t n;
    double *units, *tank, *valve; /* m3/s; NAN: the table prints none */
};

/* UPC Table 610.10: cumulative units by number of valves, and per further
 * valve beyond the last row. */
struct fci_falling_units {
    struct fci_entry_head head;
    size_t n;
    double *cumulative; /* [i]: of i + 1 valves */
    double further;
};

struct fci_meter_kind {
    struct fci_entry_head head;
    struct fci_meter_size {
        const char *label;
        double nominal, flow, loss; /* loss at that flow; square law */
        double most;                /* that an older one may lose there */
    } * sizes;
    size_t n_sizes;
    double change_over; /* what it may lose more at some flow [Pa] */
};

struct fci_valve_class {
    struct fci_entry_head head;
    fc_valve valve;     /* valve.name is head.name */
    const char *serves; /* "siphonic closet", "urinal"; NULL: not said */
};

/* A minimum flowing pressure that codes and handbooks quote. */
struct fci_quoted_minimum {
    struct fci_entry_head head;
    double pressure;
};

/* What a figure that is seldom known usually is. */
enum fci_usual_name {
    FCI_USUAL_FITTINGS,  /* share of a pipe's length */
    FCI_USUAL_FALL_OFF,  /* of a pressure-reducing valve, at any flow [Pa] */
    FCI_USUAL_WIDE_OPEN, /* its loss wide open, at any flow [Pa] */
    FCI_USUAL_GAUGE,     /* what a reading may be off by [Pa] */
    FCI_USUAL_MAIN_DROP, /* of an untested main, while a few valves flush [Pa]
                          */
    FCI_USUAL_SUCTION,   /* least pressure at the inlet of a pump [Pa] */
    FCI_USUAL_PRECHARGE, /* of a pressure tank, below its cut-in [Pa] */
    FCI_USUAL_BUSY,      /* how long the busiest minutes last [s] */
    FCI_USUAL_RUNNING,   /* part of them that an outlet runs which is no flush
                            valve */
    FCI_USUAL_RATING,    /* pressure rating of an element [Pa] */
    FCI_USUAL_CLOSING,   /* closing time of a flush valve [s] */
    FCI_USUAL_RP,        /* loss of a preventer at any flow [Pa] */
    FCI_USUAL_DOUBLE_CHECK, /* likewise */
    FCI_USUAL_WOMAN_CLOSET, /* uses a day */
    FCI_USUAL_MAN_CLOSET,   /* likewise, where there are urinals */
    FCI_USUAL_MAN_URINAL,
    FCI_USUAL_DAYS,           /* of use a year */
    FCI_USUAL_HOURS,          /* of use on such a day [s] */
    FCI_USUAL_LONG_STAYS,     /* share of the uses of a closet */
    FCI_USUAL_SENSOR_FLUSHES, /* for each use */
    FCI_USUAL_HYGIENE,        /* without use [s] */
    FCI_USUAL_BATTERY,        /* flushes of a set */
    FCI_USUAL_BATTERY_LIFE,   /* how long it lasts at the most [s] */
    /* what a starter site file has too: */
    FCI_USUAL_STATIC,       /* of a street main [Pa] */
    FCI_USUAL_FIRST_FLOOR,  /* over the gauge at the main [m] */
    FCI_USUAL_STORY,        /* floor to floor [m] */
    FCI_USUAL_VALVE_HEIGHT, /* over the floor [m] */
    FCI_USUAL_SERVICE,      /* lengths [m] */
    FCI_USUAL_HEADER,
    FCI_USUAL_BRANCH,
    FCI_USUAL_METER, /* losses, at any flow [Pa] */
    FCI_USUAL_BACKFLOW,
    FCI_USUAL_METER_KIND, /* at its safe maximum flow */
    FCI_USUAL_CLOSETS,    /* of a toilet room */
    FCI_USUAL_C,          /* of pipe of a material that is not known */
    FCI_USUAL_BALANCED,   /* fall of the pressure that a balancing valve holds
                             against, a share */
    FCI_USUAL_REFILL,     /* how long a valve runs when water returns [s] */
    FCI_USUAL_LAST_USE,   /* in which fixtures were last used before a building
                             empties [s] */
    FCI_USUALS
};
extern const char *const fci_usual_names[FCI_USUALS + 1];

/* s: no valve flushes by itself after less without use (common practice: a
 * quarter of a day and more). */
#define FCI_SHORTEST_IDLE 3600.0

struct fci_usual {
    struct fci_entry_head head;
    fc_dimension dimension;
    fc_range range;
};

/* What is usual of a kind of fault.  Those that are not given are of other
 * kinds of fault. */
struct fci_usual_fault {
    struct fci_entry_head head;
    fc_range prior;      /* its weight before any reading */
    fc_range run_prior;  /* of one run of several of a material */
    fc_range pipe_prior; /* of one pipe */
    fc_range scale;      /* of the unknown; not given: 1 */
    fc_range range;      /* how much is tried; exact: up to that */
    fc_range inlet;      /* and of the inlet of a fixture */
    fc_range shut;       /* a loss above this is told as a shut valve; not
                            given: only one as large as is tried */
};

#define FCI_FAULTS (FC_PRV_NOT_LISTED + 1)
/* Their names, by fc_cause_kind; NULL at the end. */
extern const char *const fci_fault_names[FCI_FAULTS + 1];

/* A limit by name: "maximum static" and "street main residual" of a pressure,
 * "longest interval" of a time. */
struct fci_limit {
    struct fci_entry_head head;
    double pressure, interval; /* the other one is 0 */
};

/* Water hammer arresters: the size by the most fixture units that it serves,
 * both ascending. */
struct fci_arresters {
    struct fci_entry_head head;
    double *units;
    fc_arrester *sizes;
    size_t n;
    double next_above; /* the next larger size above this pressure [Pa] */
    double two_above;  /* two on a branch longer than this [m] */
    double most;       /* none is sized for more static pressure [Pa] */
    double peak;       /* what one keeps the pressure to [Pa] */
};
/* "AA", "A", ... by fc_arrester less 1; NULL at the end. */
extern const char *const fci_arrester_words[];

/* What a synonym takes for granted, in words. */
struct fci_judgment {
    struct fci_entry_head head;
    const char *words; /* the synonyms, with commas between */
    const char *says;
};

struct fci_tables; /* opaque: use the functions below */

/* Read the embedded tables, then `path` (NULL: none) on top of them: a
 * section there replaces the keys it gives of the built-in section of the
 * same kind and name, or adds an entry; `source` is required either way.  As
 * rows of two demand tables must not be mixed, `use = NAME` in a [demand]
 * section takes all rows of another one. */
fc_status fci_tables_read(const char *path, struct fci_tables **tables,
                          fc_diagnostics *messages);
/* One more owner of the same, which do not change any more; any thread may
 * give them up. */
struct fci_tables *fci_tables_share(struct fci_tables *tables);
/* Whether that path, or NULL, is what was read on top. */
bool fci_tables_are_of(const struct fci_tables *tables, const char *path);
/* Gives them up; the last owner frees them. */
void fci_tables_free(struct fci_tables *tables);

/* Look-ups by name, without regard to case; NULL when there is no such
 * entry.  A material, a fixture, a meter and a fitting answer to their
 * synonyms too (ground/synonyms.h), unless another entry has that name or the
 * word could mean several. */
const struct fci_material *fci_tables_material(const struct fci_tables *tables,
                                               const char *name);
const struct fci_fittings *fci_tables_fittings(const struct fci_tables *tables,
                                               const char *name);
const struct fci_fixture_kind *
fci_tables_fixture(const struct fci_tables *tables, fc_code code,
                   const char *name);
const struct fci_meter_kind *fci_tables_meter(const struct fci_tables *tables,
                                              const char *name);
/* All kinds of meter, in the order of the files. */
size_t fci_tables_meters(const struct fci_tables *tables,
                         const struct fci_meter_kind **meters);
const struct fci_valve_class *fci_tables_valve(const struct fci_tables *tables,
                                               const char *name);
const struct fci_curve_rows *fci_tables_demand(const struct fci_tables *tables,
                                               fc_code code);
const struct fci_falling_units *
fci_tables_falling(const struct fci_tables *tables, enum fci_falling falling);
const struct fci_limit *fci_tables_limit(const struct fci_tables *tables,
                                         const char *name);
/* There is always one, as of the next. */
const struct fci_usual *fci_tables_usual(const struct fci_tables *tables,
                                         enum fci_usual_name name);
const struct fci_usual_fault *fci_tables_fault(const struct fci_tables *tables,
                                               fc_cause_kind kind);
const struct fci_arresters *
fci_tables_arresters(const struct fci_tables *tables);
/* The quoted minima in ascending order. */
size_t fci_tables_minima(const struct fci_tables *tables,
                         const struct fci_quoted_minimum **minima);

/* What a word takes for granted when it stands for an entry; NULL: nothing
 * that need be told. */
const struct fci_judgment *fci_tables_judgment(const struct fci_tables *tables,
                                               const char *word);
size_t fci_tables_judgments(const struct fci_tables *tables);
const struct fci_judgment *
fci_tables_judgment_at(const struct fci_tables *tables, size_t i);

/* The names of a kind, with their synonyms: of [pipe], [meter], [valve] and of
 * the fixtures of a code. */
struct fci_book fci_tables_materials(const struct fci_tables *tables);
struct fci_book fci_tables_meter_names(const struct fci_tables *tables);
struct fci_book fci_tables_valves(const struct fci_tables *tables);
struct fci_book fci_tables_fixtures(const struct fci_tables *tables,
                                    fc_code code);
/* Those of a table of fittings, and the column of one, or FCI_NO_NAME. */
struct fci_book fci_fittings_book(const struct fci_fittings *fittings);
size_t fci_fittings_column(const struct fci_fittings *fittings,
                           const char *name);

/* The smallest and the largest bore that pipe of a nominal size has in any
 * material; false: none has that size. */
bool fci_tables_bores(const struct fci_tables *tables, double nominal,
                      double *smallest, double *largest);
/* The nominal sizes that pipe of a bore may have, of any material: from the
 * least that is as wide to the greatest that is no wider. */
fc_range fci_tables_nominals(const struct fci_tables *tables, double bore);
/* The size of a material, or NULL. */
const struct fci_size *fci_material_size(const struct fci_material *material,
                                         double nominal);
/* The equivalent length of a fitting; *column is false where the table has no
 * such fitting at all, and the result NAN where it prints none for the size.
 */
double fci_fittings_length(const struct fci_fittings *fittings,
                           const char *fitting, double nominal, bool *column);

/* A section of the embedded tables as it was before it was amended; NULL: the
 * site's own file adds it.  Its entries are the first of the amended one. */
const struct fci_section *fci_tables_built_in(const struct fci_tables *tables,
                                              const struct fci_section *of);

/* All sections in order, for listing; `amended`, which may be NULL, tells
 * which were touched. */
size_t fci_tables_count(const struct fci_tables *tables);
const struct fci_section *fci_tables_section(const struct fci_tables *tables,
                                             size_t i, bool *amended);

/* The embedded files, made from tables/ by the build. */
struct fci_embedded_table {
    const char *name; /* "tables/demand.ini" */
    const char *text;
    size_t length;
};
extern const struct fci_embedded_table fci_embedded_tables[];
extern const size_t fci_n_embedded_tables;

/* The SHA-256 of the file that amends them; NULL: there is none. */
const char *fci_tables_digest(const struct fci_tables *tables);

#endif
