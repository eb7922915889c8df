/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/readings/readings.h -- gauge readings, which stand above the model: what
 * was read, which of them cannot be true together, and which the file as
 * entered cannot give. */
#ifndef FCI_READINGS_READINGS_H
#define FCI_READINGS_READINGS_H

#include "flow/solver.h"
#include "words/findings.h"

/* A flow read from a dial, or by a stop watch, may be off by a tenth; of next
 * to none, by what a small dial still shows: common practice. */
#define FCI_FLOW_WITHIN 0.1
#define FCI_LEAST_FLOW_WITHIN 6.30901964e-06 /* 0.1 gpm [m3/s] */

/* ---- readings/readings.c: what was read, and when ---- */

/* Fixtures that flush at once, by their numbers, ascending. */
struct fci_flushing_set {
    struct fci_open *open;
    size_t n;
    size_t first;   /* gauge read meanwhile; then by `next` */
    bool unmetered; /* a valve or outlet of it has no known rate */
};

/* Where a gauge is: the outlet of an element, or the inlet of a fixture. */
struct fci_gauge_place {
    size_t element, fixture; /* fixture: FCI_NONE at an element */
};

/* One figure that was read: a pressure, or a flow. */
struct fci_gauge {
    const fc_reading *reading;
    const char *name;
    fc_dimension dimension; /* FC_PRESSURE or FC_FLOW */
    struct fci_gauge_place place;
    size_t event, next;
    double read, within;
    bool timed;     /* the flow of a flush whose time was taken */
    size_t times;   /* how often the same was read while the same was open */
    double misread; /* of `within`, what others of its gauge do not share */
};

struct fci_readings {
    const fc_site *site;
    fc_state state;
    bool diagnosed; /* there may be none, and each may be off by all of its
                       gauge's accuracy whatever the others are */
    /* By fixture, what an outlet passes that was open and is no flush valve,
     * as if it were one; NULL: another.  Not made where any valve may flush.
     */
    const fc_valve **outlets;
    bool any_valve; /* one of unknown rate may flush; else it is refused, as is
                       a site without a reading */
    struct fci_gauge *gauges;
    size_t n;
    struct fci_flushing_set *events;
    size_t n_events;
    size_t not_flushing;    /* readings of a flow at a fixture that is shut */
    size_t of_other_valves; /* that were in place meanwhile */
};

/* What such an outlet really passes is anywhere from its rate over this to its
 * rate times this, where nobody said it: common practice, since pressures,
 * washers and aerators differ; a measured flow narrows it. */
#define FCI_OUTLETS_DIFFER 3
/* And where a bucket says what it passes, but not at which pressure: the
 * square root of 1 to 100 times it. */
#define FCI_METERED_DIFFER 10

fc_status fci_readings_take(struct fci_readings *readings,
                            struct fci_arena *arena, fc_diagnostics *messages);
/* Whether the same flushes in both. */
bool fci_same_flushing(const struct fci_flushing_set *a,
                       const struct fci_flushing_set *b);
/* Whether all that flushes in `fewer` does in `more`. */
bool fci_flushes_no_more(const struct fci_flushing_set *fewer,
                         const struct fci_flushing_set *more);
/* Whether the same is read at the same place. */
bool fci_same_gauge(const struct fci_gauge *a, const struct fci_gauge *b);
/* What the difference of two may be off by: what one gauge is off by cancels.
 */
double fci_gauges_within(const struct fci_gauge *a, const struct fci_gauge *b);
/* How often the same was read while the same flushed. */
size_t fci_readings_times(const struct fci_readings *readings, size_t gauge);
/* How many that are not the same read again. */
size_t fci_readings_distinct(const struct fci_readings *readings);
/* What the least accurate gauge of a pressure may be off by. */
double fci_readings_widest(const struct fci_readings *readings);
/* Sets `flows` of every element that water passes in an event to `mark`; on a
 * tree, steady draws counted. */
void fci_mark_flows(const fc_site *site, const struct fci_flushing_set *event,
                    size_t *flows, size_t mark);

/* ---- readings/consistency.c: readings against each other ---- */

/* Two that cannot both be true. */
struct fci_disagreement {
    size_t gauge, other;
    double apart;     /* by so much, heights counted; or flows */
    const char *text; /* of the finding, in its arena */
};

struct fci_consistency {
    const struct fci_readings *readings;
    struct fci_findings found;
    struct fci_disagreement *pairs; /* in the arena of `found` */
    size_t n_pairs;
};

fc_status fci_consistency_make(struct fci_consistency *consistency);

/* ---- readings/bounds.c: what the file as entered gives there ---- */

enum fci_compared {
    FCI_COMPARED,
    FCI_RATE_UNKNOWN, /* of what was open */
    FCI_TURNING,   /* ranges, where loops or several sources let flows turn */
    FCI_UNSIZED,   /* water passes a pipe whose size is to be chosen */
    FCI_UNSETTLED, /* the flows did not settle */
    FCI_COMPARISONS
};

struct fci_reading_bounds {
    double low, high; /* [Pa], or [m3/s], the gauge's accuracy apart;
                         -INFINITY: a main that nobody tested may sag by any
                         amount */
    double ceiling;   /* what the supply can have there at most; NAN: a flow */
    enum fci_compared how; /* else `high` is the ceiling, and no more known */
};

/* By gauge.  `source`: the pressure of the one source is at this part of its
 * range, 0 to 1; NAN: anywhere in it.  FC_OK, FC_ENOMEM. */
fc_status fci_readings_bound(const struct fci_readings *readings,
                             double source, struct fci_reading_bounds *bounds);

/* ---- readings/contradictions.c: what readings speak against ---- */

/* Of one finished site, in both states. */
struct fci_evidence {
    const fc_contradiction *list;
    size_t n;
    size_t n_readings;                      /* of the site */
    const char *notes[FCI_COMPARISONS + 1]; /* what is not compared */
    size_t n_notes;
};

/* In the arena.  Nothing is done for a site without readings.  FC_OK,
 * FC_ENOMEM. */
fc_status fci_evidence_make(struct fci_evidence *evidence, const fc_site *site,
                            struct fci_arena *arena);
/* Each as a finding, and what was not compared as notes. */
void fci_evidence_tell(const struct fci_evidence *evidence,
                       struct fci_findings *found);
void fci_find_contradiction(struct fci_findings *found,
                            const fc_contradiction *contradiction);
/* Whether a reading has part in it. */
bool fci_contradiction_is_of(const fc_contradiction *contradiction,
                             const char *reading);
/* What the site as it is given has in the place of what one of its readings
 * shows, or of what that and another differ by: "the file as entered gives
 * 48.4 to 49.5 psi, off by 2.4 psi"; `of` follows the figures.  NULL out of
 * memory. */
const char *fci_contradiction_words(struct fci_arena *arena,
                                    fc_unit_system units,
                                    const fc_contradiction *contradiction,
                                    const char *reading, const char *of);
/* Whether it shows more than the supply as given can have there. */
bool fci_is_above_ceiling(const fc_contradiction *contradiction);
/* The first contradiction of a reading, by its name, that is none of what it
 * and another of its gauge differ by; NULL: none. */
const fc_contradiction *
fci_evidence_against(const struct fci_evidence *evidence, const char *reading);

/* ---- readings/words.c ---- */

/* "3 of wc-2, wc-3"; "nothing"; NULL out of memory. */
const char *fci_flushing_words(struct fci_arena *arena, const fc_site *site,
                               const struct fci_flushing_set *set);
const char *fci_place_name(const fc_site *site, struct fci_gauge_place place);

#endif
