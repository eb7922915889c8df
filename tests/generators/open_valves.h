/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/open_valves.h -- flush valves that are open at once, at
 * random. */
#ifndef TESTS_GENERATORS_OPEN_VALVES_H
#define TESTS_GENERATORS_OPEN_VALVES_H

#include "flow/solver.h"

#include <gsl/gsl_rng.h>

/* Some of the flush valves of a site, each of them with the chance `share`;
 * of groups some; malloc'ed. */
struct fci_open *some_open(const fc_site *site, fc_state state, double share,
                           gsl_rng *rng, size_t *n);

#endif
