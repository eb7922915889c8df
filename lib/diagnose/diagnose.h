/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/diagnose.h -- gauge readings and their causes, before the
 * words. */
#ifndef FCI_DIAGNOSE_DIAGNOSE_H
#define FCI_DIAGNOSE_DIAGNOSE_H

#include "flow/solver.h"
#include "readings/readings.h"
#include "variants/vary.h"
#include "words/findings.h"

#define FCI_MOST_FAULTS 2
/* ---- diagnose/fault_trial.c: the part of the building that counts ---- */

/* The elements that are kept of a site, each with a spare obstruction behind
 * it, and two spare draws: a site on which faults are tried. */
struct fci_fault_trial {
    const fc_site *from;
    fc_site site;
    size_t *here, *fixture_here; /* of the given; FCI_NONE: left out */
    size_t *slot;                /* behind each that is kept; or FCI_NONE */
    size_t first_draw;           /* the first spare one */
    fc_valve valves[FCI_MOST_FAULTS]; /* spare ones, of one fixture each */
    struct fci_curve *curves[FCI_MOST_FAULTS]; /* and of pumps */
    fc_reducer prv; /* in the place of a slot's device */
    struct fci_part prv_part;
    struct fci_variant variant;
    struct fci_network *network;
    struct fci_solver *solver;
    struct fci_at_flow *flows; /* after a run, once asked for: */
    bool spread;
    struct fci_open *open;
    size_t *drawn; /* of a fixture; FCI_NONE: shut */
    size_t n_open;
    struct fci_arena arena;
};

/* Marks an element and all that feed it. */
void fci_keep_way(const fc_site *site, bool *keep, size_t element);
/* `keep` by element, closed under what feeds; of a mesh all is kept.
 * `fixtures` by fixture; what carries them is kept.  `slots`: which get a
 * spare obstruction.  Freed with fci_fault_trial_free() on any outcome. */
fc_status fci_fault_trial_make(struct fci_fault_trial *trial,
                               const struct fci_readings *readings,
                               const bool *keep, const bool *fixtures,
                               const bool *slots);
void fci_fault_trial_free(struct fci_fault_trial *trial);

/* With what is set in the variant; a network is made of it. */
fc_status fci_fault_trial_begin(struct fci_fault_trial *trial, fc_state state,
                                fc_diagnostics *messages);
void fci_fault_trial_end(struct fci_fault_trial *trial);
fc_status fci_fault_trial_run(struct fci_fault_trial *trial,
                              const struct fci_flushing_set *set);
/* The slot behind an element of the site loses so much more at a flow, by its
 * square. */
void fci_fault_trial_lose(struct fci_fault_trial *trial, size_t element,
                          double pressure, double flow);
/* What a gauge there shows after a run. */
double fci_fault_trial_shows(struct fci_fault_trial *trial,
                             struct fci_gauge_place place);
/* What one valve draws there, or else what flows through the element. */
double fci_fault_trial_flows(struct fci_fault_trial *trial,
                             struct fci_gauge_place place);
/* Every element after a run; NULL: the laws do not hold there. */
const struct fci_at_flow *
fci_fault_trial_spread(struct fci_fault_trial *trial);

/* ---- diagnose/causes.c: what might be ---- */

struct fci_looks; /* diagnose/looks.h */

struct fci_fault_kind; /* diagnose/fault_kinds.h */

struct fci_fault {
    const struct fci_fault_kind *kind;
    const struct fci_usual_fault *usual; /* of its kind, from the tables */
    size_t element, fixture; /* of the site; of a run of pipes the first */
    size_t last;             /* of a run of pipes; else the element */
    size_t gauge;            /* a wrong reading; the first that was taken while
                          something else was so */
    size_t last_gauge;       /* the last; FCI_NONE: there is none later */
    size_t of_gauge;         /* a gauge that is off: its first reading */
    const struct fci_material *material; /* of pipes; NULL: none is named */
    bool all;                            /* all pipes of it */
    const struct fci_size *size;         /* of a pipe of another size */
    bool alone;      /* next to another cause it is not tried */
    double scale;    /* the value is x scale */
    double flow;     /* at which a loss is taken, of the site as described */
    double fall_off; /* of a PRV, at that flow */
    double least, most; /* of x; `least` where either sign */
    double prior;
    double told_rise; /* of a height that was taped: what the file says [m] */
    double seen;      /* how many times as likely by what was looked at */
    bool shared;      /* all valves of the fixture's name */
    const size_t *outlets; /* fixtures that may run on */
    size_t n_outlets;
};

/* Faults that come with a value each, or none; no fault: nothing is amiss. */
struct fci_cause {
    const struct fci_fault *fault[FCI_MOST_FAULTS];
    size_t n_faults;
    double x[FCI_MOST_FAULTS];  /* by fault; 1 without a value */
    double sd[FCI_MOST_FAULTS]; /* of ln x, or of x where either sign */
    double
        apart; /* of two: the root of 1 - the square of how they go together */
    double flow[FCI_MOST_FAULTS]; /* the most through it in the readings */
    double c[FCI_MOST_FAULTS];    /* of a pipe: its C */
    double *u; /* what is uncertain beside them; see fci_uncertain */
    double chi2, weight;
    double aim;      /* what its fit makes least */
    double strained; /* chi square that counts too how far what is uncertain is
                        from the middle of its ranges; see weigh.c */
    double *shows;   /* by gauge */
    bool at_limit[FCI_MOST_FAULTS]; /* a loss as large as is tried */
    bool explains, found;
    bool unseen;  /* what was seen of it does not bear on the readings */
    bool decided; /* of what was found in the end */
    size_t group;
};

struct fci_faults {
    struct fci_fault *list;
    size_t n, room;
    size_t *outlets; /* fixtures, by what is kept of the ways to them */
};

/* `flows`: by element of the site, the most in any reading. */
fc_status fci_faults_list(struct fci_faults *faults,
                          const struct fci_readings *readings,
                          const struct fci_fault_trial *trial,
                          const struct fci_looks *looks, const double *flows);
void fci_faults_free(struct fci_faults *faults);

/* ---- diagnose/apply.c: what if ---- */

struct fci_uncertain; /* diagnose/uncertain.h */

/* The trial as the cause would have it; false: out of memory. */
bool fci_cause_apply(struct fci_fault_trial *trial,
                     const struct fci_uncertain *uncertain,
                     const struct fci_cause *cause, fc_state state);
/* Whether it is of the readings, and not of the building. */
bool fci_doubts(const struct fci_fault *fault);
/* What gauges show that are off themselves, and watches that time another
 * volume. */
void fci_cause_misread(const struct fci_cause *cause,
                       const struct fci_readings *readings, double *shows);

/* ---- diagnose/fit.c: how well it explains ---- */

struct fci_mover; /* one unknown of a step */

/* Everything a fit needs. */
struct fci_least_squares {
    const struct fci_readings *readings;
    struct fci_fault_trial *trial;
    struct fci_arena *arena;
    const struct fci_looks *looks;
    bool contradicted; /* a check says that the file as it is cannot give what
                          was read, so that something is amiss */
    struct fci_uncertain *uncertain;
    const double *sound;         /* by gauge, where nothing is amiss */
    double *work;                /* 2 n */
    double *shows;               /* n */
    double *fault_slopes;        /* by fault and reading, in deviations */
    double *slopes, *own_slopes; /* by what is uncertain and reading */
    double *unexplained; /* where nothing is amiss, divided by the spread */
    double *spread;      /* n n; see fci_spread_make() */
    double *kept;        /* by what is uncertain */
    struct fci_mover *movers;
};

/* Its memory, and what is uncertain; `flows`: by element of the site, the most
 * in any reading. */
fc_status fci_least_squares_make(struct fci_least_squares *fitting,
                                 const double *flows);
/* The flows at which its losses are told, and the C of pipes; `flows`: by
 * element of the trial (work). */
fc_status fci_cause_flows(struct fci_least_squares *fitting,
                          struct fci_cause *cause, double *flows);
/* What every gauge shows, and the most that flows through each element (by
 * trial; may be NULL), with the variant as it is. */
fc_status fci_readings_show(struct fci_fault_trial *trial,
                            const struct fci_readings *readings, double *shows,
                            double *flows, fc_diagnostics *messages);
/* That nothing is amiss; NULL: it is not among them. */
const struct fci_cause *fci_sound_of(const struct fci_cause *causes, size_t n);
/* Whether a height or a size that was measured goes against the readings,
 * which nothing amiss explains. */
fc_status fci_measured_against(struct fci_least_squares *fitting,
                               const struct fci_faults *faults,
                               const struct fci_cause *sound, bool *against);
/* The reading that a cause calls wrong; FCI_NONE: none. */
size_t fci_doubted(const struct fci_cause *cause);
/* Weights that add up to 1. */
void fci_causes_weigh(struct fci_cause *causes, size_t n);
/* That nothing is amiss, singles and pairs, in the arena; the heaviest first.
 * Where nothing need be explained, the first alone. */
fc_status fci_causes_find(struct fci_least_squares *fitting,
                          const struct fci_faults *faults,
                          struct fci_cause **causes, size_t *n);

/* Whether a pressure gauge fits at the outlet of an element, or at the inlet
 * of a fixture: as the file says, else at all but pipes. */
bool fci_gauge_fits(const struct fci_part *part);

/* ---- diagnose/warn.c ---- */

/* Of none, of too much, and of what may be in another unit; `expected` by
 * gauge. */
void fci_warn_of_pressures(struct fci_consistency *consistency,
                           const double *expected);

/* ---- diagnose/enough.c ---- */

/* Whether the trial as its variant is has enough for the valves that flushed;
 * a warning if not. */
fc_status fci_enough_find(struct fci_fault_trial *trial,
                          struct fci_consistency *consistency, bool *enough);

/* ---- diagnose/words.c ---- */

/* All of these are NULL out of memory. */
/* " (its outlet, as at bibb)": where the gauge goes, of what is no fixture;
 * NULL out of memory. */
const char *fci_place_end(struct fci_arena *arena, const fc_site *site,
                          const char *name);
extern const char fci_nothing_amiss[];
/* What a pair begins with, before "1 ...; 2 ...". */
extern const char fci_two_faults[];
const char *fci_cause_words(struct fci_arena *arena,
                            const struct fci_readings *readings,
                            const struct fci_cause *cause);
fc_fault fci_fault_told(const struct fci_readings *readings,
                        const struct fci_cause *cause, size_t k);

/* ---- diagnose/stretch.c ---- */

/* Whether it is an outlet that runs on, and nothing else. */
bool fci_runs_on(const struct fci_cause *cause);

/* Those causes of the list that `picked` marks, those in one run of elements
 * named as a stretch.  `single`: they are of one element, one stretch or one
 * fixture.  NULL out of memory. */
const char *fci_causes_words(struct fci_arena *arena,
                             const struct fci_readings *readings,
                             const struct fci_cause *causes,
                             const bool *picked, size_t n, bool *single);

/* Where causes are, as they are told. */
struct fci_place {
    const char *text;
    double weight;
    size_t number;
};

/* The same as a list, the heaviest first; `first`: by cause, of the first of
 * them.  NULL out of memory. */
struct fci_place *fci_causes_places(struct fci_arena *arena,
                                    const struct fci_readings *readings,
                                    const struct fci_cause *causes,
                                    const bool *picked, size_t n,
                                    size_t *n_places, bool *first);

/* ---- diagnose/assume.c ---- */

/* Into the assumptions of the diagnosis; `variant` has the inputs that
 * count. */
fc_status fci_diagnose_assume(const struct fci_readings *readings,
                              const struct fci_variant *variant,
                              struct fci_arena *arena, fc_diagnosis *out);

/* ---- diagnose/learn.c ---- */

/* Into the diagnosis: what the readings leave of the ranges. */
fc_status fci_learn(struct fci_least_squares *fitting,
                    const struct fci_cause *sound, fc_diagnosis *out);

/* ---- diagnose/first_visit.c ---- */

/* Into the diagnosis: what to look at and to read before anything was. */
fc_status fci_first_visit(const fc_site *site, fc_state state,
                          struct fci_arena *arena, fc_diagnosis *out);

/* ---- diagnose/symptom.c ---- */

const char *const *fci_by_hand(fc_symptom symptom, size_t *n);

#endif
