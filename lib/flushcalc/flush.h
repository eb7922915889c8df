/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/flush.h -- what a set of valves that flush together leaves to
 * each. */
#ifndef FLUSHCALC_FLUSH_H
#define FLUSHCALC_FLUSH_H

#include "flushcalc/check.h"

#ifdef __cplusplus
extern "C" {
#endif

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
    fc_verdict enough; /* of `pressure` against `required`; FC_WORKS where it
                          does not flush, FC_CANNOT_TELL where nothing that
                          is known requires */
    fc_range required; /* `minimum`; of the one valve that flushes alone the
                          code's least, where that is more: a gauge shows it */
    fc_governor governed_by;
    fc_verdict too_high;     /* static, and flowing where it flushes: FC_WORKS
                                is not too high */
    const fc_excess *excess; /* what is, or may be; else NULL */
    FC_ROOM(2);
} fc_flush_fixture;

typedef struct fc_flush_element {
    const char *name, *kind;
    double elevation;      /* of its outlet [m] */
    double flow;           /* nominal; negative: against its direction */
    double pressure;       /* at its outlet, nominal [Pa] */
    double still;          /* with nothing flushing */
    double velocity;       /* of a pipe, nominal [m/s]; else NAN */
    double velocity_limit; /* of its material; NAN: no pipe */
    FC_ROOM(6);
} fc_flush_element;

typedef struct fc_flush_result {
    const char *title;
    fc_unit_system units;
    fc_state state;
    bool bounded; /* the ranges of the inputs are in those of the results; not
                     where loops or several sources let flows turn */
    int flushing; /* valves at once */
    double flow;  /* from all sources, nominal [m3/s] */
    fc_verdict enough; /* for every valve that flushes, no pressure is at or
                          below zero anywhere, and neither a street main nor a
                          pump's inlet is drawn too low */
    const fc_flush_fixture *fixtures;
    size_t n_fixtures;
    const fc_flush_element *elements; /* each after the one that feeds it */
    size_t n_elements;
    const fc_finding *findings;
    size_t n_findings;
    const char *const *assumptions;
    size_t n_assumptions;
    const fc_override *overrides; /* as of a check */
    size_t n_overrides;
    const fc_contradiction *contradictions; /* as of fc_check_result */
    size_t n_contradictions;
    fc_verdict too_high; /* a verdict beside `enough`: FC_WORKS is not */
    size_t too_high_at;  /* fixture most above its maximum; SIZE_MAX: none */
    fc_proviso proviso;  /* `enough` cannot be told: what would settle it */
    bool tank_ends; /* it cannot, as the water in the tank may not last until
                       the flushes end */
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
 *                  of them (0: all); a name with "*" is all fixtures that it
 *                  matches, without a number; NULL with n = SIZE_MAX: every
 *                  flush valve of the building
 * @param n         how many entries
 * @param result    set to a result to be freed; kept on failure; it borrows
 *                  from the site
 * @param messages  gets the reason on failure; may be NULL
 *
 * @return FC_OK
 *         FC_ESTATE        the site is not finished, or not converted
 *         FC_EUNKNOWN      no such fixture (the nearest name is said)
 *         FC_EINPUT        a fixture twice, more than there are, or not a
 *                          flush valve, or none has one; a valve whose rate
 *                          is not known
 *         FC_EUNSUPPORTED  a size is yet to be chosen
 *         FC_ENOCONV       the flows did not settle, and where
 *         FC_ENOMEM
 */
fc_status fc_flush(const fc_site *site, fc_state state,
                   const fc_flushing *flushing, size_t n,
                   fc_flush_result **result, fc_diagnostics *messages);

/** How to work it out.  All zero: the defaults. */
typedef struct fc_flush_options {
    void (*progress)(void *context, double done); /* as of fc_check_options */
    void *context;
    FC_ROOM(8);
} fc_flush_options;

/** As fc_flush(), with options; NULL is the defaults. */
fc_status fc_flush_with(const fc_site *site, fc_state state,
                        const fc_flushing *flushing, size_t n,
                        const fc_flush_options *options,
                        fc_flush_result **result, fc_diagnostics *messages);
void fc_flush_result_free(fc_flush_result *result);

#ifdef __cplusplus
}
#endif

#endif
