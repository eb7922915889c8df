/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/properties.h -- what must hold for every building, by
 * topic. */
#ifndef TESTS_PROPERTIES_PROPERTIES_H
#define TESTS_PROPERTIES_PROPERTIES_H

#include "generators/buildings.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

TCase *properties_of_supply(void);   /* more of it never hurts */
TCase *properties_of_changes(void);  /* what never helps */
TCase *properties_of_sameness(void); /* what changes nothing */
TCase *properties_of_floors(void);   /* typical floors */
TCase *properties_of_ranges(void);   /* ends bound what is between */
TCase *properties_of_reports(void);  /* budgets, flows, words */
TCase *properties_of_method(void);   /* against a naive computation */

/* Random numbers of a test, for a seed. */
gsl_rng *property_random(unsigned long seed);

/* The check of a building by calls; the site is freed with it. */
struct property_check {
    fc_site *site;
    const fc_check_result *result;
    fc_check_result *owned;
};

struct property_check property_check(const struct building *b);
struct property_check property_check_site(const struct building *b,
                                          fc_site *site);
void property_check_end(struct property_check *check);

/* The fixture or pipe of a result by name; it must be there. */
const fc_checked_fixture *property_fixture(const fc_check_result *result,
                                           const char *name);
const fc_checked_pipe *property_pipe(const fc_check_result *result,
                                     const char *name);
/* How many states a result judges. */
int property_states(const fc_check_result *result);

/* Whether two figures agree: to a share of the larger, or `absolute`. */
bool property_near(double a, double b, double share, double absolute);

/* All figures and verdicts of two results of one building, matched by name.
 * With both tolerances 0 they must be the same bits. */
void property_same(const struct building *b, const fc_check_result *one,
                   const fc_check_result *two, double share, double pressure);

/* Fails the test, naming the building. */
_Noreturn void property_fails(const struct building *b, const char *format,
                              ...) __attribute__((format(printf, 2, 3)));

/* One of thousands of conditions: Check hears only of those that fail, as it
 * keeps a record of each assertion that it is told of. */
#define HOLDS(b, condition, ...)                                              \
    do {                                                                      \
        if (!(condition))                                                     \
            property_fails((b), __VA_ARGS__);                                 \
    } while (0)

#endif
