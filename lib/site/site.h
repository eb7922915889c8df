/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/site.h -- the building, inside the library.
 *
 * A site gathers parts in any order; finishing it (site/resolve.c) turns them
 * into elements in order from the source, pipes with bores and resistances,
 * and fixtures with their kinds and valves.  What stands on top reads only
 * that.
 */
#ifndef FCI_SITE_SITE_H
#define FCI_SITE_SITE_H

#include "laws/curve.h"
#include "ground/memory.h"
#include "ground/names.h"
#include "site/parts.h"
#include "tables/tables.h"

#define FCI_NONE SIZE_MAX

/* The three ways in which a range is taken.  Every pressure is monotone in
 * every input, so the worst and the best ends bound it exactly. */
enum fci_end { FCI_NOMINAL, FCI_WORST, FCI_BEST, FCI_ENDS };

/* The end that is as good as this one is bad. */
static inline enum fci_end
fci_other_end(enum fci_end end)
{
    return end == FCI_WORST ? FCI_BEST : end == FCI_BEST ? FCI_WORST : end;
}

/* A figure at the three ends, when less of it is worse (a pressure, a bore)
 * or when more of it is (a length, a loss). */
double fci_less_is_worse(fc_range range, enum fci_end end);
double fci_more_is_worse(fc_range range, enum fci_end end);
/* Whether both ends are one figure, or it is not given. */
bool fci_is_exact(fc_range range);
/* Whether any fixture has a retrofit valve. */
bool fci_has_conversions(const fc_site *site);

/* Below this flow what a pressure-reducing valve usually falls off or loses at
 * any flow closes in on the nothing that it does at none [m3/s]: 1 gpm. */
#define FCI_HARDLY_FLOWING (3.785411784e-3 / 60)

/* What the friction of a pipe depends on besides the flow. */
struct fci_pipe {
    const fc_pipe *given;
    const struct fci_material *material; /* NULL: c and bore were given */
    const struct fci_size *size;         /* nominal end; NULL likewise */
    bool measured_bore;                  /* `inside diameter` was given */
    fc_range bore, c, length;
    double equivalent;     /* fittings, at the nominal size [m] */
    fc_range allowance;    /* for fittings that are not listed: a share of the
                              length; not given: none */
    fc_range scale;        /* share of the bore that old pipe may have lost;
                              not given: none */
    double velocity_limit; /* m/s */
    /* Pa at a flow of 1 m3/s to the power of 1 / 0.54, at the ends */
    double resistance[FCI_ENDS];
};

/* Where it stands, as it is given in place of a rise: so high, or so far over
 * a floor. */
struct fci_height {
    fc_range own;     /* not given: on the floor itself */
    fc_range floor;   /* the elevation of the floor; not given: none */
    const char *name; /* of that floor */
    bool ranged;      /* the floor's is a range in the file */
};
bool fci_has_height(const struct fci_height *height);

struct fci_element {
    const struct fci_part *part;
    const char *name;
    size_t parent; /* element that feeds it; FCI_NONE: a source */
    size_t to;     /* element at its end, of a pipe that closes a loop or of a
                      second reducer; or FCI_NONE */
    size_t beside; /* of two reducers side by side the other one, plus 1; 0:
                      there is none */
    fc_range rise; /* at the best end its low one, at the worst its high one;
                      between elevations that may be the lower figure */
    struct fci_height height;
    double reach[FCI_ENDS];  /* where a site has elevations: that of its outlet
                                at the ends */
    struct fci_pipe *pipe;   /* of a pipe */
    struct fci_curve *curve; /* of a pump, or of a loss given as points */
    struct fci_curve *lower; /* of a loss whose points dip: what it takes at
                                least, as `curve` is the most; else NULL */
    fc_range shape;     /* where between the least and the most that its points
                           leave open its loss lies, 0 to 1; not given: they leave
                           nothing open */
    double change_over; /* what a meter that was given by its kind and size may
                           lose more at some flow; its `shape` is how much of
                           it [Pa] */
};

/* Whether it is the second of two reducers side by side, whose place in the
 * tree is that of the first. */
static inline bool
fci_is_second(const struct fci_element *element)
{
    return element->beside > 0 && element->to != FCI_NONE;
}

struct fci_fixture {
    const struct fci_part *part;
    const fc_fixture *given;
    const struct fci_fixture_kind *kind;
    size_t element;                   /* that feeds it */
    struct fci_height height;         /* of its inlet */
    size_t heater;                    /* element of its heater, or FCI_NONE */
    int count;                        /* the most that there may be */
    fc_range many;                    /* how many; not given: `count` */
    bool converted;                   /* has a retrofit valve */
    fc_range bowl[FC_STATES];         /* what its bowl is made for */
    const fc_valve *valve[FC_STATES]; /* NULL: not fed by a flush valve */
    bool assumed[FC_STATES];      /* no valve was named: the generic class */
    bool generic[FC_STATES];      /* a generic class, named or assumed */
    struct fci_curve *stop_curve; /* of a stop given as points, */
    struct fci_curve *stop_lower; /* as `lower` of an element, */
    fc_range stop_shape;          /* beyond them, as of an element */
    /* What one outlet passes at a flowing pressure, where no flush valve is
     * in place; not given: neither the file nor the table knows. */
    fc_range outlet_rate, outlet_pressure;
    bool outlet_rate_given; /* by the file; a table's is a design figure */
};

/* How many there are, when more of them is worse. */
int fci_fixture_count(const struct fci_fixture *fixture, enum fci_end end);

/* A steady draw on an element. */
struct fci_draw {
    const char *name;
    size_t element;
    fc_range flow;
    const struct fci_part *part; /* NULL: made up by a diagnosis */
};

/* What was set over the file (variants/setting.h). */
struct fci_setting {
    const char *part;  /* "valve closet" */
    const char *key;   /* NULL: the part was taken out */
    const char *value; /* NULL likewise */
    const char *was;   /* in the file; NULL: not given */
    bool differs;      /* the file had several values */
    bool implied;      /* it goes with another one; nobody wrote it */
    const char *text;  /* of the command line that it stood in; NULL: it is of
                          a case, */
    int line;          /* at this line */
};

struct fc_site {
    struct fci_arena arena;
    struct fci_ini *ini;    /* what it was read from; NULL: built by calls */
    const char *digest;     /* of a copy: that of what was copied; NULL */
    const char *folder;     /* where `tables` is looked for; NULL: here */
    struct fci_part *parts; /* malloc'ed, in the order they came */
    size_t n_parts, parts_room;
    struct fci_names names[FCI_KINDS]; /* to parts; see namespace_of */
    bool broken;                       /* a part was refused */
    bool unclear; /* what was to be set over the file was refused */
    bool unread;  /* a heading, key, value, word or name was not understood, as
                     apart from what is understood and cannot be */
    /* Sections that were refused as a whole: their names may be in use. */
    const struct fci_section **doubtful;
    size_t n_doubtful;
    struct fci_floors_told *told; /* of all typical floors */
    size_t n_of_floors;           /* sections that those make */
    bool finished;
    bool units_set;                /* by fc_site_set_units, over the file's */
    const struct fci_setting *set; /* over the file; in the arena */
    size_t n_set;

    /* From here on: filled by fc_site_finish. */
    struct fci_tables *tables; /* may be shared; set before where another
                                  site has read them */
    const char *tables_path;   /* of the file that amends them; NULL: none */
    const void **given; /* by part: its struct as it was given, before it was
                           widened by a tolerance or got its loss from a
                           table */
    const struct fci_part *settings_part; /* NULL: none */
    fc_settings settings;                 /* with its defaults filled in */
    double water_weight;                  /* N/m3 */
    fc_tolerance tolerance;
    struct fci_element *elements; /* as they came */
    size_t n_elements;
    size_t *order; /* elements, each after the one feeding it */
    size_t n_sources, n_loops;
    size_t n_pairs;    /* of those loops: two reducers side by side */
    bool by_elevation; /* something has one in place of a rise */
    /* Where a pressure tank feeds all of them: that, which stands among the
     * elements as a source of a pressure from its cut-in to its cut-out; and
     * what leads to it, from its source on, which no flow in the building
     * depends on.  NULL: there is none. */
    const fc_pressure_tank *tank;
    fc_range tank_rise; /* over what feeds it */
    struct fci_element *feed;
    size_t n_feed;
    struct fci_fixture *fixtures;
    size_t n_fixtures;
    struct fci_draw *draws;
    size_t n_draws;
    fc_usage usage;
};

/* Keep a part whose struct already lives in the site's arena. */
fc_status fci_site_keep(fc_site *site, const struct fci_part *part,
                        fc_diagnostics *messages);

/* Tie the parts together in place; one that could not be is of no more use
 * than to be freed. */
fc_status fci_site_finish(fc_site *site, fc_diagnostics *messages);

/* The same without checking it by itself. */
fc_status fci_site_enter(fc_site *site, const struct fci_part *part,
                         fc_diagnostics *messages);
/* A part made by a call: its struct is copied and checked. */
fc_status fci_site_add(fc_site *site, enum fci_kind kind, const void *data,
                       fc_diagnostics *messages);
/* The parts that were changed, checked by themselves. */
fc_status fci_site_check_changed(const fc_site *site,
                                 fc_diagnostics *messages);

/* The part of this kind's namespace with this name, or NULL.  Elements and
 * fixtures share one, so that a gauge can be put at either by name. */
const struct fci_part *fci_site_find(const fc_site *site, enum fci_kind kind,
                                     const char *name);
size_t fci_site_find_index(const fc_site *site, enum fci_kind kind,
                           const char *name);

/* What is open in a reading: what it lists, or of a timed flush without a list
 * the one valve that was timed, which is put into `timed`.  In a finished site
 * one of a container filled at an outlet lists that outlet. */
const fc_flushing *fci_reading_flushing(const fc_reading *reading,
                                        fc_flushing *timed, size_t *n);

/* The key that lists what is open in a reading: "open", where its file has
 * that, or "flushing". */
const char *fci_reading_open_key(const struct fci_part *part);
/* Whether it is a reading with a figure; one of a dial alone has none. */
bool fci_is_reading(const struct fci_part *part);

/* ---- Gauges (site/gauge.c) -------------------------------------------- */

/* The part of its full scale that a gauge in service may be off by ([NFPA],
 * see gauge.c). */
#define FCI_GAUGE_IN_SERVICE 0.03
/* What a gauge may be off by of which nobody says it, by the tables [Pa]. */
double fci_usual_within(const fc_site *site);
size_t fci_count_readings(const fc_site *site);
/* The gauge of a name; NULL: none. */
const fc_gauge *fci_gauge_named(const fc_site *site, const char *name);
/* What the gauge of a flow test may be off by, and the drop between two of its
 * readings [Pa]. */
double fci_source_within(const fc_site *site, const fc_source *source);
double fci_drop_within(const fc_site *site, const fc_source *source);
/* Whether both were read with one gauge, which may be off by the same. */
bool fci_reading_same_gauge(const fc_reading *a, const fc_reading *b);
/* Its accuracy as the reading gives it, or else as the gauge does: [Pa]; not
 * given, where neither does. */
fc_range fci_reading_accuracy(const fc_site *site, const fc_reading *reading);
/* The same, or what is usual. */
double fci_reading_within(const fc_site *site, const fc_reading *reading);
/* The part of it that it does not share with others of its gauge [Pa]. */
double fci_reading_misread(const fc_site *site, const fc_reading *reading);

/* The units that its file is in, by which its prices go, whatever units a
 * report is asked for in. */
fc_unit_system fci_file_units(const fc_site *site);
/* Its [price]; NULL: none. */
const struct fci_part *fci_price_part(const fc_site *site);

/* The fixture of this name; FC_EUNKNOWN with the nearest one said. */
fc_status fci_find_fixture_named(const fc_site *site, const char *name,
                                 size_t *fixture, fc_diagnostics *messages);

bool fci_is_element(enum fci_kind kind);

/* The rises of elements, and of a fixture, from the elevations that are given
 * in their place. */
void fci_fit_rises(fc_site *site);
void fci_fit_inlet(const fc_site *site, const struct fci_fixture *fixture,
                   fc_fixture *given);

/* Nominal height of every element's outlet over the datum [m].  The elements
 * are in order. */
void fci_heights(const fc_site *site, double *height);

/* Whether a section that was refused as a whole has that name. */
bool fci_site_may_have(const fc_site *site, const char *name);
/* Refuse a name that refers to nothing, with the nearest known one; without a
 * word where a refused section has it. */
fc_status fci_site_unknown(fc_site *site, const struct fci_part *part,
                           const char *key, const char *name,
                           enum fci_kind kind, const char *what,
                           fc_diagnostics *messages);

#endif
