/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/change_outcomes.h -- all that a site is worked out to, to
 * compare. */
#ifndef TESTS_UNIT_CHANGE_OUTCOMES_H
#define TESTS_UNIT_CHANGE_OUTCOMES_H

#include "site/site.h"

#include <stdio.h>

/* Figures one after the other; all words in one text. */
struct outcome {
    double *figures;
    size_t n, room;
    char *words;
    FILE *out;
};

/* One thread and few states: enough to tell two buildings apart. */
static const fc_check_options drawn = { .threads = 1, .most_states = 500 };
static const fc_check_options at_peak = { .peak_only = true };

struct outcome outcome_of(const fc_site *site,
                          const fc_check_options *options);
void outcome_end(struct outcome *o);

/* Both are worked out to the same, or the test fails: words to the letter,
 * figures to a share of the larger one; 0: the same bits. */
void same_sites(const fc_site *one, const fc_site *two,
                const fc_check_options *options, double share);
/* The same of what a site was worked out to before, with these options. */
void same_as_known(const struct outcome *known, const fc_site *site,
                   const fc_check_options *options, double share);

#endif
