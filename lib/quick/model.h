/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/model.h -- what a handful of figures make of a building. */
#ifndef FCI_QUICK_MODEL_H
#define FCI_QUICK_MODEL_H

#include "quick/figures.h"
#include "tables/tables.h"
#include "units/units.h"

/* The valves in the site that is made. */
#define FCI_QUICK_FIXTURE "valves"
/* And all that leads to them. */
#define FCI_QUICK_WAY "street-to-valve"

/* One of the readings at the valve. */
struct fci_quick_reading {
    int flushing;
    double read, within; /* [Pa]; the same gauge in all */
    fc_range pressure;   /* that it stands for; never less than nothing */
    fc_range lost;       /* static less that [Pa] */
};

/* At an open end of a full bore the pressure is no more: 25 gpm leave 3/4 in
 * pipe at 16 ft/s, whose velocity head is 1.8 psi. */
#define FCI_QUICK_OPEN_END 13800.0 /* Pa, 2 psi */

/* No static pressure is taken as higher. */
#define FCI_QUICK_MOST 1930532.0 /* Pa, 280 psi */

struct fci_quick_model {
    const struct fci_quick_figures *figures;
    fc_unit_system units;
    double weight;          /* of water [N/m3] */
    double within, misread; /* of a gauge; of that, what is of one reading */

    /* With nothing flowing. */
    double rise;        /* of the valve over the first gauge [m] */
    bool has_rise;      /* it is known, and that gauge was read */
    double rise_within; /* [m] */
    double main_within; /* of the first gauge and the height [Pa] */
    fc_range still;     /* at the valve [Pa] */
    bool still_read;    /* by the valve's own gauge */
    bool still_known;   /* else it is only between two ends */
    bool gauges_differ; /* by more than both are good for */

    /* The valve. */
    const struct fc_valve *valve; /* the generic class */
    double rate, rate_pressure;   /* [m3/s] at [Pa] */
    fc_range usual_rate;          /* of such valves there [m3/s] */
    bool rate_timed;              /* of a flush that was timed */
    fc_range minimum;

    /* While they flush. */
    struct fci_quick_reading readings[FCI_Q_READ];
    int n_readings;
    double open_flow;   /* of the open line [m3/s]; 0: not caught */
    bool measured;      /* by a reading or an open line; else anything */
    bool piped;         /* nothing was measured, and the pipe is known */
    bool has_pipe;      /* its length and size are */
    fc_range pipe_loss; /* with as many as were read first; not given: not
                           known */
    fc_quick_place lost_at;
    const char *doubt; /* figures that cannot be true together; NULL: none
                          but those that the site shows */

    int count;    /* valves of the site */
    int flushing; /* that the verdict is of */
};

/* FC_OK, FC_EINPUT, FC_ENOMEM. */
fc_status fci_quick_model_make(struct fci_quick_model *model,
                               const struct fci_tables *tables,
                               fc_diagnostics *messages);
/* What the readings tell of the losses: `lost` of each, `lost_at`. */
void fci_quick_losses(struct fci_quick_model *model);

/* What the valve may pass at a pressure [Pa]: usual of such valves, with a
 * rate that goes with the root of the pressure or with none. */
fc_range fci_quick_rate_at(const struct fci_quick_model *model,
                           double pressure);

/* What the open line gives, with the error of a bucket and a watch. */
fc_range fci_quick_open_flow(const struct fci_quick_model *model);

/* What the valve may have with so many flushing, by static pressure and what
 * was measured [Pa]; of a pipe alone no more is known than static. */
fc_range fci_quick_bounds(const struct fci_quick_model *model, int flushing);
/* More than twice the flow that was measured: no law is stretched to there. */
bool fci_quick_far(const struct fci_quick_model *model, int flushing);

/* The losses of the site file [Pa] while as many flush as the verdict is of:
 * at least `shared` where the water of all of them passes, and `own` at each
 * valve.  The file must not be surer than `fci_quick_bounds`. */
struct fci_quick_kept {
    double shared;
    fc_range own;
};
struct fci_quick_kept fci_quick_kept_losses(const struct fci_quick_model *m);

/* The first pair of figures that cannot be true together, in words, in
 * `doubt`.  Out of memory it is not told, and the arena tells that. */
void fci_quick_doubt(struct fci_quick_model *model, struct fci_arena *arena);

/* The site file of it, the readings in it or beside it as comments; NULL: out
 * of memory. */
char *fci_quick_site_text(const struct fci_quick_model *model,
                          bool as_comments, struct fci_arena *arena);
/* That of its pipe alone, with so much flowing through each of so many. */
char *fci_quick_pipe_text(const struct fci_quick_model *model, fc_range flow,
                          int valves, struct fci_arena *arena);

/* ---- quick/steps.c ---- */

/* With as many flushing as in that event of the site. */
fc_quick_step fci_quick_step(const struct fci_quick_model *model,
                             const fc_quick_result *result,
                             const fc_flush_result *event);
/* Of all steps that the verdict is of. */
fc_verdict fci_quick_verdict(const fc_quick_result *result);

/* ---- quick/words.c: what is said ---- */

bool fci_quick_is_given(const struct fci_quick_model *model,
                        enum fci_quick_key key);
/* A pressure, or a range of one, into *shown; its text. */
const char *fci_quick_pressure(const struct fci_quick_model *model, double si,
                               struct fci_shown *shown);
const char *fci_quick_range(const struct fci_quick_model *model,
                            fc_range range, struct fci_shown *shown);

/* How two static gauges agree; NULL: there are not two, or out of memory. */
const char *fci_quick_gauges(const struct fci_quick_model *model,
                             struct fci_arena *arena);
/* The contradictions of the site told by what was given, `doubt` first. */
void fci_quick_contradict(const struct fci_quick_model *model,
                          const fc_flush_result *event,
                          fc_quick_result *result, struct fci_arena *arena);
fc_proviso fci_quick_proviso(const struct fci_quick_model *model,
                             const fc_quick_result *result,
                             struct fci_arena *arena);
const char *fci_quick_found(const struct fci_quick_model *model,
                            const fc_quick_result *result,
                            struct fci_arena *arena);
const char *fci_quick_next(const struct fci_quick_model *model,
                           const fc_quick_result *result);
void fci_quick_assume(const struct fci_quick_model *model,
                      fc_quick_result *result, struct fci_arena *arena);

#endif
