/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/diagnose_buildings.h -- invented buildings with one fault
 * each, and what gauges in them show by tests/generators/reference_solver.h.
 */
#ifndef TESTS_GENERATORS_DIAGNOSE_BUILDINGS_H
#define TESTS_GENERATORS_DIAGNOSE_BUILDINGS_H

#include "flushcalc.h"

#include <gsl/gsl_rng.h>

#define SICK_MOST 64    /* elements */
#define SICK_READINGS 6 /* that a plumber takes first */

struct sick_element {
    char name[64];
    const char *kind;
    size_t parent; /* SICK_MOST: the source */
    bool pipe;
    size_t size;         /* of a pipe: into sick_sizes */
    double length, rise; /* ft */
    int elbows;
    char law[160]; /* of what is no pipe */
};

struct sick_fixture {
    char name[64];
    size_t on;
    int count;
    bool closet;
};

struct sick_fault {
    fc_cause_kind kind;
    size_t at;    /* element, fixture or reading; n_fixtures: the hose bibb */
    bool all;     /* rough are the pipes of all the building */
    double value; /* psi; gpm of what runs on; part of C or of a rate; ft of
                     height */
};

struct sick_building {
    unsigned long seed;
    const char *material;
    double c, pressure, sag;                 /* psi, at 150 gpm */
    struct sick_element elements[SICK_MOST]; /* the source first */
    size_t n;
    struct sick_fixture fixtures[SICK_MOST];
    size_t n_fixtures;
    size_t bibb; /* element that a hose bibb is on */
    bool sick;
    struct sick_fault fault;
};

void sick_make(struct sick_building *b, unsigned long seed);
/* One fault that this building can have, at an element or fixture that
 * `allowed` lets pass. */
void sick_infect(struct sick_building *b, unsigned long seed);

/* The site file; with `fault`, of the building as it is, with a drop of water
 * drawn at `drip` (NULL: nowhere), so that the pressure there is one that the
 * flows decide.  malloc'ed. */
char *sick_text(const struct sick_building *b, bool fault, const char *drip);

/* What a gauge there shows, in psi [psi]; NAN where it was not found. */
double sick_shows(const struct sick_building *b, bool fault, const char *at,
                  const fc_flushing *flush, size_t n);

/* What the one valve draws that flushes alone [gpm]. */
double sick_flow(const struct sick_building *b, bool fault,
                 const fc_flushing *flush);

#endif
