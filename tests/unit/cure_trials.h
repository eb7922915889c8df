/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/cure_trials.h -- remedies of a building, and each tried anew.
 *
 * What a remedy says is put into the building by the test's own hand: no lever
 * of the library is asked.
 */
#ifndef TESTS_UNIT_CURE_TRIALS_H
#define TESTS_UNIT_CURE_TRIALS_H

#include "generators/sites.h"

#include "variants/change.h"
#include "check/judge.h"

struct cured {
    fc_site *site;
    fc_remedies *all;
    fc_size_options options;
    const char *name; /* for messages */
};

/* Takes over the site. */
void cured_begin(struct cured *c, fc_site *site, bool peak_only,
                 const char *name);
void cured_end(struct cured *c);

/* The remedy of this lever, about this subject (NULL: any); NULL: none. */
const fc_remedy *cured_by(const struct cured *c, fc_lever lever,
                          const char *subject);
size_t cured_number(const struct cured *c, const fc_remedy *remedy);

/* The site file of a remedy read anew; it must work. */
fc_site *cured_read(const struct cured *c, const fc_remedy *remedy);

/* A building that differs in some keys, or the test fails. */
fc_site *changed_site(const fc_site *site, const struct fci_change *changes,
                      size_t n);

/* By how much a lever is turned: the step of its values, 0.1 psi or 1 kPa; 0.1
 * ft or 0.1 m. */
double step_of(const struct cured *c, const fc_remedy *remedy);
/* Whether a remedy is about one figure that can be turned. */
bool is_turned(const fc_remedy *remedy);
/* The building with the remedy's figure set to `value`, in Pa or m. */
fc_site *turned_to(const struct cured *c, const fc_remedy *remedy,
                   double value);

/* Of a building in the state that is to be cured. */
fc_verdict verdict_of(const struct cured *c, const fc_site *site);
/* Whether every fixture has its pressure at peak; *short_one is whether the
 * one of this name lacks it (NULL: not asked). */
bool is_served(const struct cured *c, const fc_site *site, const char *name,
               bool *short_one);

/* All that holds of any remedies: each that works does when tried, and not
 * with a step less; each other is of no use when tried. */
void assert_remedies(const struct cured *c);
/* Of one of them. */
void assert_remedy(const struct cured *c, const fc_remedy *remedy);

/* Of new pipe and of stops (unit/cure_new_pipe.c): a longer pipe, a shorter
 * stretch, less throttling does not do. */
void assert_moved(const struct cured *c, const fc_remedy *remedy);
void assert_second(const struct cured *c, const fc_remedy *remedy);
void assert_throttled(const struct cured *c, const fc_remedy *remedy);
/* What new pipe gains for its length, each put in by hand. */
void assert_gains(const struct cured *c);

#define LEVERS (FC_THROTTLE_STOPS + 1)

/* How often something was found, so that no assertion is an empty one. */
struct tally {
    int working[LEVERS], serving[LEVERS], useless[LEVERS];
    int less_fails, restored, floors, stretches, larger, looped, not_made,
        pairs, with_device;
};
extern struct tally tally;

#endif
