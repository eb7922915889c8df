/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/meshed_buildings.h -- invented buildings with loops and
 * with several sources, and valves that flush in them at random.
 */
#ifndef TESTS_GENERATORS_MESHED_BUILDINGS_H
#define TESTS_GENERATORS_MESHED_BUILDINGS_H

#include "generators/buildings.h"
#include "flow/solver.h"

/* What is added to a building of generators/buildings.h. */
struct mesh_plan {
    struct building_plan tree;
    size_t loops;   /* pipes that close one, each from anywhere to anywhere */
    size_t sources; /* more of them, each behind a meter or not */
};

void meshed_make(struct building *b, unsigned long seed,
                 const struct mesh_plan *plan);

/* Nominal, above the datum, at the outlet of an element. */
double meshed_height(const struct building *b, const char *element);

/* Some of the flush valves of a site, each of them with the chance `share`;
 * of groups some; malloc'ed. */
struct fci_open *meshed_event(const fc_site *site, fc_state state,
                              double share, gsl_rng *rng, size_t *n);

#endif
