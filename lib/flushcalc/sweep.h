/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/sweep.h -- one input of a site, step by step. */
#ifndef FLUSHCALC_SWEEP_H
#define FLUSHCALC_SWEEP_H

#include "flushcalc/sites.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The site with one value of the input. */
typedef struct fc_sweep_step {
    const char *value; /* as a site file has it: "71.4 psi" */
    double figure;     /* its number, to be plotted; of a size its place in
                          the table */
    fc_site_line line; /* what fc_check() says of it; `path` is the value */
    const char *error; /* why it is not calculated; NULL: it is */
    FC_ROOM(8);
} fc_sweep_step;

/** Where a verdict flips, on too little pressure or on too much, in the state
 * judged or the existing one: two neighboring values, one figure of the last
 * digit shown or one size apart. */
typedef struct fc_sweep_flip {
    fc_sweep_step before, after; /* in the order of the steps */
    const char *text; /* "works from 71.4 psi up, does not work at 71.3 psi",
                         of the state judged and then of the existing one */
    FC_ROOM(8);
} fc_sweep_flip;

typedef struct fc_sweep_result {
    const char *input; /* "street.static" */
    const char *was;   /* what the file has; NULL: nothing, or several */
    const char *unit;  /* "psi"; "": it has none, or is a size */
    fc_unit_system units;
    fc_site_line given; /* the site as it is given */
    const fc_sweep_step *steps;
    size_t n_steps;
    const fc_sweep_flip *flips;
    size_t n_flips;
    const char *const *told; /* a sentence for each state: "After retrofit:
                                works from 82.7 psi (cannot tell from 81.9 psi
                                to 82.6 psi); too much pressure from 81.9
                                psi." */
    size_t n_told;
} fc_sweep_result;

/**
 * Check a site with one input at several values.
 *
 * Wherever the verdicts of two neighboring steps differ the interval between
 * them is halved until they flip from one figure of the last digit shown to
 * the next, up to 64 of these; a step finer than the steps themselves that
 * flips twice between two of them is not seen.
 *
 * @param site     a finished site that was read from a file
 * @param what     "NAME.KEY=FROM..TO/STEPS", the name as of
 *                 fc_site_read_with(); without "/STEPS" ten steps.  The size
 * of a pipe goes through its material's table
 * @param options  as of fc_check_with(); `threads` take a value each,
 *                 `progress` tells of all
 * @param result   set to a result to be freed; kept on failure
 *
 * @return FC_OK
 *         FC_EINPUT  `what` is not such a text, or no step can be calculated:
 *                    said in `messages`
 *         FC_ENOMEM, and others as fc_check_with() on the site as it is
 */
fc_status fc_sweep(const fc_site *site, const char *what,
                   const fc_check_options *options, fc_sweep_result **result,
                   fc_diagnostics *messages);
void fc_sweep_result_free(fc_sweep_result *result);

#ifdef __cplusplus
}
#endif

#endif
