/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/sweep_values.h -- the values that a sweep goes through, as a site
 * file has them. */
#ifndef FCI_CHECK_SWEEP_VALUES_H
#define FCI_CHECK_SWEEP_VALUES_H

#include "site/site.h"
#include "tables/tables.h"

/* Each has a place, a whole number; neighbors are one apart. */
struct fci_sweep_values {
    const char *input; /* "street.static" */
    const char *was;   /* in the file; NULL */
    const char *unit;
    long from, to; /* places */
    size_t steps;  /* from the first to the last */
    int decimals;
    const struct fci_material *material; /* of a size; else NULL */
};

/* From "street.static=60..80 psi/10".  FC_EINPUT is said. */
fc_status fci_sweep_values_read(struct fci_sweep_values *values,
                                const fc_site *site, const char *what,
                                struct fci_arena *arena,
                                fc_diagnostics *messages);

/* The place of a step, from 0 to `steps`. */
long fci_sweep_place(const struct fci_sweep_values *values, size_t step);
/* "71.4 psi", "2-1/2 in"; NULL: out of memory. */
const char *fci_sweep_value(const struct fci_sweep_values *values, long place,
                            struct fci_arena *arena);
/* Its number; of a size its place in the table. */
double fci_sweep_figure(const struct fci_sweep_values *values, long place);

#endif
