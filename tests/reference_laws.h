/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/reference_laws.h -- what sources give and what pipes, devices and
 * valves take, written afresh from the equations for the tests of the solver:
 * nothing of lib/supply.c, lib/friction.c or lib/curve.c is used.
 *
 * All are taken at the nominal inputs.
 */
#ifndef REFERENCE_LAWS_H
#define REFERENCE_LAWS_H

#include "site.h"

#include <gsl/gsl_interp.h>

/* A pressure [Pa] and its derivative in the flow [Pa s/m3]. */
struct reference_value {
    double at, slope;
};

/* A curve through points; all zero: none. */
struct reference_points {
    const fc_point *points;
    size_t n;
    double *x, *y;
    gsl_interp *steffen;
};

struct reference_points reference_points_of(const fc_point *points, size_t n);
void reference_points_free(struct reference_points *p);
struct reference_value reference_points_at(const struct reference_points *p,
                                           double x);

/* k |q|^(1/0.54) with the sign of q.  Under `least` the power goes over into
 * a straight line, since a root finder needs a slope where nothing flows; at
 * ten thousand times `least` that is less than what a double holds. */
struct reference_value reference_power(double k, double q, double least);

/* The friction of a pipe and its fittings at 1 m3/s [Pa]. */
double reference_pipe(const struct fci_pipe *pipe, double weight);

/* A loss while water goes forward; for q < 0 it is continued so that it keeps
 * growing, to tell the root finder the way back. */
struct reference_value reference_loss(const fc_loss *loss,
                                      const struct reference_points *points,
                                      double q);
/* What of it stands however little flows. */
double reference_step(const fc_loss *loss);

/* What a source has at its outlet. */
struct reference_value reference_source(const fc_source *source, double weight,
                                        double q, double least);

#endif
