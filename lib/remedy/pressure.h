/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/pressure.h -- what turns a pressure, and how far. */
#ifndef FCI_REMEDY_PRESSURE_H
#define FCI_REMEDY_PRESSURE_H

#include "remedy/remedies.h"

#include <gsl/gsl_const_mksa.h>

/* As far as anything is turned: more than any building bears. */
#define FCI_MOST_PRESSURE (400 * GSL_CONST_MKSA_PSI)

struct fci_pressure_kind {
    fc_lever lever;
    enum fci_kind element;
    fci_turn *turn;
    /* What is turned, at its figure in the file; *dimension is what it is. */
    fc_range (*value)(const void *given, fc_dimension *dimension);
    const char *(*what)(const void *given); /* "the setting" */
    const char *limit; /* why it gives no more; NULL: it gives any pressure */
};

extern const struct fci_pressure_kind fci_raise_source, fci_raise_reducer,
    fci_raise_pump;

int fci_steps_in(double most, double step);
/* What a lever turns, as it is now; *dimension is what it is. */
fc_range fci_value_turned(const struct fci_cures *cures,
                          const struct fci_pressure_lever *lever,
                          fc_dimension *dimension);
/* By how much so many steps go: to a figure that is written. */
double fci_turned_by(const struct fci_cures *cures,
                     const struct fci_pressure_lever *lever, int steps);
fci_turn fci_turn_reducer;

#endif
