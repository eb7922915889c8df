/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/diagnose.h -- what explains gauge readings. */
#ifndef FLUSHCALC_DIAGNOSE_H
#define FLUSHCALC_DIAGNOSE_H

#include "flushcalc/check.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum fc_cause_kind {
    FC_SUPPLY_PRESSURE, /* value: static pressure off by so much [Pa] */
    FC_SUPPLY_SAG,      /* a choked main: loses value [Pa] at `flow` */
    FC_REDUCER_SETTING, /* value: set off by so much [Pa] */
    FC_PIPE_ROUGHNESS,  /* of the pipes of one material, of a run of them or of
                           one; value: C, of the first of them */
    FC_BLOCKED,         /* an element loses value [Pa] more at `flow` */
    FC_SMALLER_SIZE,    /* a pipe of the next smaller size, or of the smaller
                           one that was measured; value: nominal size [m] */
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
    FC_GAUGE_OFF,       /* one gauge read all its pressures off by value [Pa]
                         */
    FC_CHANGED,       /* those read while the same flushed are, since the main
                         or what ran had changed */
    FC_WRONG_READING, /* one reading is off by value [Pa or m3/s], and the
                         site as described */
    FC_VALVE_VOLUME,  /* a flush of the valves of a fixture passes another
                         volume than their kit's; value [m3] */
    FC_PRV_NOT_LISTED /* a pressure-reducing valve behind an element that the
                         file does not have; value: its set pressure [Pa] */
} fc_cause_kind;

/**
 * @brief The word for a kind of fault in reports for programs: "pump off".
 *
 * @return NULL for what is no fc_cause_kind
 */
const char *fc_fault_word(fc_cause_kind kind);

/** One thing that is not as entered. */
typedef struct fc_fault {
    fc_cause_kind kind;
    const char *element;    /* or fixture, material, reading; NULL: pipes
                               without a material */
    const char *last;       /* the lower end of a run of pipes; else NULL */
    fc_dimension dimension; /* of the value */
    double value;           /* NAN: none */
    double low, high;       /* 95 % interval, linearised; NAN: none */
    double flow;            /* at which a loss is told [m3/s]; NAN: none */
    bool at_limit;          /* a loss that a valve may make, as large as is
                               tried: nearly closed */
    FC_ROOM(8);
} fc_fault;

/** What may explain all readings: nothing wrong, one fault, or two at once. */
typedef struct fc_cause {
    size_t group; /* in `groups` */
    fc_fault faults[2];
    size_t n_faults;
    double misfit; /* chi square of the readings alone: sum of
                      ((model - read) / deviation)^2 */
    double weight; /* posterior probability among the causes tried, which
                      counts too how far what is uncertain is from the middle
                      of its ranges */
    bool explains; /* it leaves no reading off by more than twice its accuracy,
                      and its misfit passes a chi-square test at 1 % */
    bool found;    /* it is one of those that the readings decide for */
    const char *text; /* "meter-1 partly plugged: 11.0 psi more lost at ..." */
    FC_ROOM(8);
} fc_cause;

/** Causes that these readings cannot tell apart: what each makes every gauge
 * show lies within its accuracy of what the heaviest of them does. */
typedef struct fc_cause_group {
    double weight;
    bool single;      /* one cause, or blockages of one stretch alone */
    const char *text; /* "partly plugged between meter-1 and riser-3" */
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
    fc_sight shows;   /* of a look; else FC_SEEN_NOTHING */
    FC_ROOM(7);
} fc_answer_meant;

/** What to do next: to read something, or to look at something, which takes
 * no gauge. */
typedef enum fc_task {
    FC_TASK_NONE,
    FC_TASK_PRESSURE,
    FC_TASK_FLUSH_TIME, /* of the one valve at a fixture */
    FC_TASK_STOP,       /* whether a stop or a valve is fully open: `shows` is
                           FC_SEEN_OPEN or FC_SEEN_SHUT */
    FC_TASK_STRAINER,   /* FC_SEEN_CLEAN or FC_SEEN_CLOGGED */
    FC_TASK_DIAL,       /* of a meter, with every outlet shut:
                           FC_SEEN_TURNING or FC_SEEN_STILL */
    FC_TASK_PUMP,       /* FC_SEEN_TURNING or FC_SEEN_STILL */
    FC_TASK_TAPE        /* the rise of a pipe, or of a fixture's inlet [m] */
} fc_task;

typedef struct fc_next_reading {
    const char *at;       /* element or fixture; NULL: no reading that can be
                             taken here would tell more */
    const char *flushing; /* as of a reading */
    const fc_flushing *flush; /* the same as a list; none: nothing flushes */
    size_t n_flush;
    fc_dimension dimension; /* FC_PRESSURE; or FC_FLOW, of the one valve there
                               by the time of its flush */
    double volume; /* of that flush [m3]; NAN: not told, or a pressure */
    const fc_answer_meant *answers; /* from the highest down, five at most;
                                       none where nothing explains the
                                       readings */
    size_t n_answers;
    fc_task kind;
    bool other_gauge;  /* with another gauge than the one that read so far */
    double apart;      /* chance that it tells two of the causes apart */
    const char *again; /* the reading that it repeats, which may be wrong;
                          NULL: a new one */
    const char *task;  /* "Put the gauge at riser-4 with 2 of wc-6 open" */
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

/** What the readings say of a building, in one word. */
typedef enum fc_diagnosed {
    FC_NOTHING_READ, /* no reading yet: what to take first */
    FC_CHECKS_OUT,   /* piping and supply are as entered, within their ranges
                      */
    FC_CHECKS_OUT_SHORT, /* and a valve that flushed has less than its
                            minimum */
    FC_STATIC_ONLY,      /* as far as static readings tell */
    FC_ONE_FAULT,        /* found */
    FC_TWO_FAULTS,       /* found */
    FC_NARROWED_DOWN,    /* several causes are left */
    FC_NOT_EXPLAINED,    /* not by one cause, nor by two together */
    FC_READINGS_DISAGREE /* with each other */
} fc_diagnosed;

/** What the readings say of an input that the file gives as a range, or that
 * is usual where the file does not give it. */
typedef struct fc_learned {
    const char *name, *what; /* "street", "static pressure" */
    fc_dimension dimension;
    fc_range given;
    double value;     /* mean of what the readings leave of the range */
    double low, high; /* 95 % of it */
    FC_ROOM(4);
} fc_learned;

/** A fault as work to be done. */
typedef struct fc_work {
    const char *where;        /* "between meter and riser-1" */
    const char *from, *to;    /* those two places; NULL: of the fixture, supply
                                 or gauge that `where` names */
    const char *const *steps; /* what lies there, and what to open, clean,
                                 replace or measure */
    size_t n_steps;
    const char *isolate; /* what shuts it off from the supply */
    const char *after;   /* what a reading afterwards must show */
    const char *loss;    /* "11.0 psi lost at 33 gpm"; "" */
    FC_ROOM(8);
} fc_work;

typedef struct fc_diagnosis {
    const char *title;
    fc_unit_system units;
    fc_state state;
    const fc_explained_reading *readings; /* in the order of the site */
    size_t n_readings;
    bool as_described;  /* gauge error and the ranges entered explain them, */
    bool any_flowing;   /* which only readings with something flowing tell of
                           meters, pipes and valves */
    bool too_little;    /* as described, a valve that flushed in a reading has
                           less than its own minimum; a finding says which */
    bool contradictory; /* readings contradict each other or physics */
    bool decided;       /* one fault is found, or two */
    bool explained;     /* a cause was found that explains all of them */
    const char *found;  /* what explains them, where that is decided; what was
                           seen to be amiss, where nothing was read */
    const char *text;   /* the answer, in a sentence or two */
    const fc_finding *findings; /* contradictions first, then notes */
    size_t n_findings;
    const char *const *assumptions; /* sentences */
    size_t n_assumptions;
    const fc_cause *causes; /* the heaviest first; none where it checks out */
    size_t n_causes;
    const fc_cause_group *groups; /* the heaviest first */
    size_t n_groups;
    fc_next_reading next;
    const char *const *by_hand; /* causes that no pressure shows, the easiest
                                   to check first; none without a symptom */
    size_t n_by_hand;
    const fc_override *overrides; /* as of a check */
    size_t n_overrides;
    fc_diagnosed verdict;
    const fc_learned *learned; /* where it checks out */
    size_t n_learned;
    const fc_work *work; /* by fault that is found; of the likeliest, which is
                            not, only where it is and what to look at */
    size_t n_work;
    const char *const *looks_first; /* what takes no gauge, before the next
                                       reading is taken */
    size_t n_looks_first;
    const fc_look *looks; /* in the order of the site */
    size_t n_looks;
    const char *const *first_visit; /* what to look at and to read before any
                                       reading is taken */
    size_t n_first_visit;
    const char *likeliest; /* narrowed down: the place that is told first, and
                              that the work is of */
    const char *const *others; /* where else it may be, four at most, */
    size_t n_others;
    size_t less_likely; /* and so many more */
} fc_diagnosis;

/**
 * What explains the gauge readings of a site, and what to read or to look at
 * next.
 *
 * Static readings are set against each other by their heights first.  Every
 * input that is a range, what a main without a flow test drops, and what each
 * gauge is off by are unknowns, never outside of their ranges: flat within
 * them where nothing is wrong, drawn to their middle beside a fault.  Beside
 * that a reading has the standard deviation of its accuracy over the root of 3
 * (JCGM 100:2008, 4.3.7); the same reading taken n times with the same gauge
 * counts once altogether, as each has a deviation root n times as large.  That
 * nothing is wrong, each fault and all pairs of faults are fitted by least
 * squares (GSL) and weighed by Bayes' rule: prior exp(-s / 2) times how small
 * a part of what its unknown may be the readings leave (the Occam factor,
 * MacKay 2003, 28.1).  s is chi square of the misfit and of how far what is
 * uncertain is from the middle of its ranges, over what both may be.  The
 * priors, in the tables, are common practice and favor devices and stops over
 * pipes.  It checks out where that nothing is wrong explains the readings and
 * is at least as likely as all faults together.  The next reading is the place
 * and the open valves that tell two causes apart with the greatest chance; a
 * look that tells as much comes first. A flow that was read (as `flow`,
 * `filled` or `flush time`) counts as a pressure does, within 10 % of it and
 * no less than 0.1 gpm (common practice), against what one valve draws at a
 * fixture that is open, else against the flow of the element.  A site without
 * readings gets a verdict of FC_NOTHING_READ and a `first_visit`.
 *
 * @param site       a finished site; it is not changed
 * @param options    NULL is the defaults
 * @param diagnosis  set to a result to be freed; kept on failure; it borrows
 *                   from the site
 * @param messages   gets the reason on failure; may be NULL
 *
 * @return FC_OK
 *         FC_ESTATE        the site is not finished, or not converted
 *         FC_EINPUT        none of its readings can be weighed in that state;
 *                          the rate of what was open is not known
 *         FC_EUNSUPPORTED  a size is yet to be chosen, or more than 1,000
 *                          pressures and flows were read
 *         FC_ENOCONV       the flows did not settle, and where
 *         FC_ENOMEM
 */
fc_status fc_diagnose(const fc_site *site, const fc_diagnose_options *options,
                      fc_diagnosis **diagnosis, fc_diagnostics *messages);
void fc_diagnosis_free(fc_diagnosis *diagnosis);

#ifdef __cplusplus
}
#endif

#endif
