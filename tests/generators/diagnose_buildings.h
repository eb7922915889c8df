/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/diagnose_buildings.h -- invented buildings with a fault or
 * two, and what gauges in them show by tests/generators/reference_solver.h.
 */
#ifndef TESTS_GENERATORS_DIAGNOSE_BUILDINGS_H
#define TESTS_GENERATORS_DIAGNOSE_BUILDINGS_H

#include "generators/buildings.h"

#include <stdio.h>
#include <stdlib.h>

#define SICK_MOST 64  /* parts */
#define SICK_FIRST 6  /* pressures that a plumber reads first */
#define SICK_FAULTS 2 /* at once */

/* What the generator itself must get right; the tests of buildings run in
 * processes of their own, outside of any test case. */
#define sick_must(holds, text)                                                \
    do {                                                                      \
        if (!(holds)) {                                                       \
            fprintf(stderr, "%s:%d: %s\n", __FILE__, __LINE__, text);         \
            abort();                                                          \
        }                                                                     \
    } while (0)

/* How much the file leaves open: see `spreads` in diagnose_buildings.c. */
enum sick_ranges { SICK_EXACT, SICK_NARROW, SICK_MEDIUM, SICK_WIDE };

struct sick_plan {
    fc_cause_kind kind;
    bool too_far; /* a height that the pipe is not long enough for */
};

struct sick_fault {
    fc_cause_kind kind;
    size_t at;    /* part; of FC_WRONG_READING the number of the reading */
    bool all;     /* rough are the pipes of all the building */
    double value; /* psi; gpm of what runs on; part of C, of a rate or of a
                     volume; ft of height */
};

struct sick_building {
    struct building b;     /* as its file describes it */
    struct building drawn; /* as it was built, within the ranges of that */
    struct sick_fault faults[SICK_FAULTS];
    size_t n_faults;
    bool steady; /* the needle does not swing: it is read to half a mark */
};

void sick_make(struct sick_building *b, unsigned long seed,
               enum sick_ranges ranges);
void sick_free(struct sick_building *b);

/* One fault more at one of its places; false: this building has none. */
bool sick_infect(struct sick_building *b, const struct sick_plan *plan,
                 gsl_rng *rng);

/* The closets on top, or on the first floor. */
const fc_fixture *sick_fixture(const struct sick_building *b, bool top);

/* What a gauge there shows with these faults, in psi [psi]; NAN where it was
 * not found. */
double sick_shows(const struct sick_building *b,
                  const struct sick_fault *faults, size_t n_faults,
                  const char *at, const fc_flushing *flush, size_t n);

/* How long the one valve flushes that flushes alone [s]. */
double sick_seconds(const struct sick_building *b,
                    const struct sick_fault *faults, size_t n_faults,
                    const fc_flushing *flush);

/* Whether an element of this name feeds another, or is it. */
bool sick_is_above(const struct sick_building *b, const char *at,
                   const char *name);

#endif
