/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/quick.h -- a first answer from a handful of figures. */
#ifndef FLUSHCALC_QUICK_H
#define FLUSHCALC_QUICK_H

#include "flushcalc/flush.h"

#ifdef __cplusplus
extern "C" {
#endif

/** A figure that may be given, as "main=52". */
typedef struct fc_quick_key {
    const char *key;    /* "main" */
    const char *asks;   /* what it is: "static pressure at the main" */
    const char *may_be; /* "psi, such as 52" */
    FC_ROOM(4);
} fc_quick_key;

/** All of them, in the order in which they are asked for; how many.  The list
 * is the library's and lasts. */
size_t fc_quick_keys(const fc_quick_key **keys);

/**
 * Whether a figure by itself can be taken.
 *
 * @param key       one of fc_quick_keys()
 * @param value     as it would stand behind "="
 * @param messages  gets what is wrong; may be NULL
 *
 * @return FC_OK, FC_EINPUT, FC_EUNKNOWN (no such key) or FC_ENOMEM
 */
fc_status fc_quick_try(const char *key, const char *value,
                       fc_diagnostics *messages);

/** Where pressure is lost while valves flush, as far as the gauge readings at
 * the valve tell. */
typedef enum fc_quick_place {
    FC_LOST_UNKNOWN, /* no reading, or none with another number of valves */
    FC_LOST_SHARED,  /* where the water of all of them passes: main, meter,
                        pipe; the readings fit the square of the flow */
    FC_LOST_OWN,     /* at the valve read itself (its stop, strainer, branch),
                        or the same at any flow (a PRV, a preventer) */
    FC_LOST_BOTH,    /* a part so, the rest shared */
    FC_LOST_EITHER   /* the readings fit both */
} fc_quick_place;

/** What the valve has with so many flushing at once. */
typedef struct fc_quick_step {
    int flushing;
    fc_range pressure; /* what is known of it [Pa], by the gauge and by what
                          was lost with other numbers; of a pipe alone
                          `modeled` */
    fc_range modeled;  /* fc_flush() of the site */
    double read;       /* by the gauge; NAN: not read */
    double within;     /* what that reading may be off by; NAN likewise */
    bool far;          /* more than twice the flow that was measured: nothing
                          works for certain */
    bool at_most;      /* what the city main drops is in no figure: it is at
                          most pressure.high, and at least nothing */
    fc_verdict enough; /* of `pressure` against `required` */
    FC_ROOM(4);
} fc_quick_step;

/** A figure as it was given. */
typedef struct fc_quick_given {
    const char *key, *asks; /* as of fc_quick_key */
    const char *value;      /* as it was written, with its unit */
    FC_ROOM(4);
} fc_quick_given;

typedef struct fc_quick_result {
    const char *title; /* of the site */
    fc_unit_system units;
    fc_verdict works;        /* with up to `flushing` at once */
    int flushing;            /* as many as were said, or read, or else 1 */
    fc_verdict too_high;     /* static, if only by a flowing pressure over its
                                limit; FC_WORKS is not */
    const fc_excess *excess; /* what is, or may be; else NULL */
    fc_range ceiling; /* static at the valve [Pa]; not given: none was read */
    bool ceiling_known;  /* by a gauge there, or one below and the height; else
                            it is only between its two ends */
    fc_range required;   /* flowing there */
    bool required_given; /* else what codes and handbooks ask of such valves */
    fc_range spare;      /* the ceiling less what is required: for all else */
    const fc_quick_step *steps;
    size_t n_steps;
    fc_quick_place lost_at;
    fc_range lost;      /* static less flowing, at the least number read; not
                           given: none was */
    fc_range pipe_loss; /* what the pipe as given loses of it, or, without a
                           reading, while the valve has what is required; not
                           given: the pipe is not known */
    fc_proviso proviso; /* what may be lost beside that pipe */
    const char *gauges; /* how two static gauges agree; NULL: there are not
                           two */
    bool gauges_agree;
    const fc_contradiction *contradictions; /* readings that cannot be true
                                               together: nothing is decided */
    size_t n_contradictions;
    const char *found; /* where pressure is lost, in words; NULL: not known */
    const char *next;  /* what to measure or do next */
    const char *const *assumptions;
    size_t n_assumptions;
    const char *fixture; /* the name of the valves in the site */
    const fc_site *site; /* of the text: finished, and borrowed */
    const char *text;    /* its site file, with `valves` of them: as many as
                            were said, or read while they flushed, or 1 */
    int valves;
    const fc_quick_given *given;
    size_t n_given;
} fc_quick_result;

/**
 * A first answer from a handful of figures: what static pressure leaves, what
 * the valve has with one valve flushing and more, where the pressure goes, and
 * what to measure next.
 *
 * A site file is written of them, in which what is not known is a range, and
 * fc_flush() of it with 1, 2, ... valves gives the pressures.  Gauge readings
 * stand above it: a pressure that was read is within the reading's accuracy,
 * 2 psi unless a range is given.  A loss at another flow than it was seen at
 * is anything from the same (a PRV, a preventer) to the square of the flow,
 * wherever it is lost; the verdict holds at both ends.  So an open line never
 * tells that a valve works: all that it loses may be lost at the valve's own
 * flow too.  With figures that cannot be true together nothing is decided.
 *
 * The readings stand in the file as comments, as its figures are drawn from
 * them, unless they contradict each other.
 *
 * The site file is never surer than this answer.  It may be less sure: of more
 * than one number of valves it has the losses at their ends alone.  Bare
 * figures are psi, ft, gallons (US) and seconds, of a size inches, in either
 * system of units.
 *
 * @param figures   "main=52", "59oz", or parts of one ("main", "=", "52")
 * @param n         how many
 * @param result    set to a result to be freed; kept on failure
 * @param messages  gets what is wrong; may be NULL
 *
 * @return FC_OK
 *         FC_EINPUT   a figure is not understood, or does not go with another
 *         FC_ENOCONV  the flows did not settle, and where
 *         FC_ENOMEM
 */
fc_status fc_quick(const char *const *figures, size_t n, fc_unit_system units,
                   fc_quick_result **result, fc_diagnostics *messages);
void fc_quick_free(fc_quick_result *result);

#ifdef __cplusplus
}
#endif

#endif
