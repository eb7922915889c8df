/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/size_suite.h -- what the tests of sizes at least cost share. */
#ifndef TESTS_UNIT_SIZE_SUITE_H
#define TESTS_UNIT_SIZE_SUITE_H

#include "generators/sites.h"

#include <math.h>

TCase *size_combinations(void); /* against all there are */
TCase *size_events(void);       /* in the flush events too */
TCase *size_properties(void);   /* what must hold for every building */
TCase *size_published(void);    /* against print */
TCase *size_refusals(void);     /* no sizes, and why; what is refused */
TCase *size_stock(void);        /* sizes that nobody stocks */

/* Relative: sums in another order. */
#define CLOSE 1e-9

static inline bool
is_close(double a, double b)
{
    return fabs(a - b) <= CLOSE * fmax(fabs(a), fabs(b));
}

/* By the peak alone. */
static const fc_size_options by_peak = { .check = { .peak_only = true } };

/* The sizes of a site, or the test fails with what was said. */
static inline fc_size_result *
sized(const fc_site *site, const fc_size_options *options)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_size_result *result = NULL;

    ck_assert_msg(fc_size(site, options, &result, messages) == FC_OK, "%s",
                  all_messages(messages));
    fc_diagnostics_free(messages);
    return result;
}

static inline fc_check_result *
checked_by(const fc_site *site, const fc_check_options *options)
{
    fc_check_result *result = NULL;

    ck_assert_int_eq(fc_check_with(site, options, &result, NULL), FC_OK);
    return result;
}

static inline int
judged_states(const fc_check_result *check)
{
    return check->converted ? FC_STATES : 1;
}

/* Whether every fixture has its pressure at peak, in every state judged. */
static inline bool
has_pressure(const fc_check_result *check)
{
    size_t i;
    int s;

    for (s = 0; s < judged_states(check); s++)
        for (i = 0; i < check->n_fixtures; i++)
            if (check->fixtures[i].states[s].pressure != FC_WORKS)
                return false;
    return true;
}

static inline const fc_sized_pipe *
sized_pipe(const fc_size_result *result, const char *name)
{
    size_t i;

    for (i = 0; i < result->n_pipes; i++)
        if (strcmp(result->pipes[i].name, name) == 0)
            return &result->pipes[i];
    ck_abort_msg("no pipe %s was sized", name);
}

#endif
