/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/diagnose_visits.h -- a plumber in an invented building:
 * the site file with what was read and seen there.
 */
#ifndef TESTS_GENERATORS_DIAGNOSE_VISITS_H
#define TESTS_GENERATORS_DIAGNOSE_VISITS_H

#include "generators/diagnose_buildings.h"

struct visit {
    const struct sick_building *b;
    gsl_rng *noise;
    char *text; /* the site file; malloc'ed */
    size_t used;
    size_t n_readings, n_looks;
    bool other_gauge; /* it is in the file */
};

/* Whether a fault, alone, moves a reading of the first visit by more than
 * twice the accuracy of the gauge, or the time of a flush by more than a
 * fifth: any less is lost in what gauges and stopwatches are off by. */
bool visit_shows(const struct sick_building *b, const struct sick_fault *fault,
                 bool timed);

/* The first visit: six pressures and, where `timed`, one flush by a stopwatch.
 * False where one of them cannot be read. */
bool visit_begin(struct visit *visit, const struct sick_building *b,
                 bool timed);

/* Does what the diagnosis asks for; false where it cannot be done. */
bool visit_go_on(struct visit *visit, const fc_next_reading *next);

void visit_end(struct visit *visit);

#endif
