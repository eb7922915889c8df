/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/model.h -- what a handful of figures make of a building. */
#ifndef FCI_QUICK_MODEL_H
#define FCI_QUICK_MODEL_H

#include "quick/figures.h"
#include "tables/tables.h"

/* The valves in the site that is made. */
#define FCI_QUICK_FIXTURE "valves"
/* And all that leads to them. */
#define FCI_QUICK_WAY "street-to-valve"

/* One of the readings at the valve. */
struct fci_quick_reading {
    int flushing;
    double read, within; /* [Pa]; the same gauge in all */
};

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
    fc_range usual_rate;          /* of such valves [m3/s] */
    bool rate_timed;              /* of a flush that was timed */
    fc_range minimum;

    /* While they flush: what is lost with `rate` through one valve, where the
     * water of all of them passes and at the valve alone [Pa]. */
    struct fci_quick_reading readings[FCI_Q_READ];
    int n_readings;
    double open_flow; /* of the open line [m3/s]; 0: not caught */
    fc_range shared, own;
    fc_range last;  /* in all, with the most that were read [Pa] */
    bool regulated; /* the valve passes `rate` at any pressure from
                       `rate_pressure` on */
    bool measured;  /* by a reading or an open line; else anything */
    bool piped;     /* nothing was measured, and the pipe is known */
    bool has_pipe;  /* its length and size are */
    fc_quick_place lost_at;
    bool lost_more; /* more than any one restriction loses */

    int count;    /* valves of the site */
    int flushing; /* that the verdict is of */
};

/* FC_OK, FC_EINPUT, FC_ENOMEM. */
fc_status fci_quick_model_make(struct fci_quick_model *model,
                               const struct fci_tables *tables,
                               fc_diagnostics *messages);
/* What the readings tell of the losses: `shared`, `own`, `lost_at`. */
void fci_quick_losses(struct fci_quick_model *model);

/* Of an open line that was measured: the most that the valve can have while it
 * flushes [Pa], whatever the static pressure is. */
double fci_quick_open_most(const struct fci_quick_model *model);

/* The same building with what bounds a pressure that nobody read: with
 * readings, valves whose flow does not fall with their pressure, and all that
 * was lost shared by all of them; with a pipe alone, valves of the least usual
 * rate. */
struct fci_quick_model fci_quick_bounds(const struct fci_quick_model *model);

/* The site file of it; NULL: out of memory. */
char *fci_quick_site_text(const struct fci_quick_model *model,
                          struct fci_arena *arena);
/* That of its pipe alone, with so much flowing. */
char *fci_quick_pipe_text(const struct fci_quick_model *model, double flow,
                          struct fci_arena *arena);

/* ---- quick/words.c: what is said ---- */

/* How two static gauges agree; NULL: there are not two, or out of memory. */
const char *fci_quick_gauges(const struct fci_quick_model *model,
                             struct fci_arena *arena);
/* The contradictions of the result, told by what was given. */
void fci_quick_contradict(const struct fci_quick_model *model,
                          fc_quick_result *result, struct fci_arena *arena);
const char *fci_quick_found(const struct fci_quick_model *model,
                            const fc_quick_result *result,
                            struct fci_arena *arena);
const char *fci_quick_next(const struct fci_quick_model *model,
                           const fc_quick_result *result);
void fci_quick_assume(const struct fci_quick_model *model,
                      fc_quick_result *result, struct fci_arena *arena);

#endif
