/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/diagnose_buildings.h -- invented buildings with one fault
 * each, and what gauges in them show by tests/generators/reference_solver.h.
 */
#ifndef TESTS_GENERATORS_DIAGNOSE_BUILDINGS_H
#define TESTS_GENERATORS_DIAGNOSE_BUILDINGS_H

#include "generators/buildings.h"

#define SICK_MOST 64    /* parts */
#define SICK_READINGS 6 /* that a plumber takes first */

struct sick_fault {
    fc_cause_kind kind;
    size_t at;    /* part or reading */
    bool all;     /* rough are the pipes of all the building */
    double value; /* psi; gpm of what runs on; part of C or of a rate; ft of
                     height */
};

struct sick_building {
    struct building b; /* as it is described */
    bool sick;
    struct sick_fault fault;
};

void sick_make(struct sick_building *b, unsigned long seed);
/* One fault that this building can have. */
void sick_infect(struct sick_building *b, unsigned long seed);

/* The closets on top, or on the first floor. */
const fc_fixture *sick_fixture(const struct sick_building *b, bool top);

/* What a gauge there shows, in psi [psi]; NAN where it was not found.  With
 * `fault`, in the building as it is. */
double sick_shows(const struct sick_building *b, bool fault, const char *at,
                  const fc_flushing *flush, size_t n);

/* What the one valve draws that flushes alone [gpm]. */
double sick_flow(const struct sick_building *b, bool fault,
                 const fc_flushing *flush);

#endif
