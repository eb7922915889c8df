/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/reference_laws.h -- what sources give and what pipes,
 * devices and valves take, written afresh from the equations for the tests of
 * the solver: nothing of lib/peak/element.c, lib/laws/friction.c or
 * lib/laws/curve.c is used.
 *
 * All are taken at the nominal inputs.
 */
#ifndef TESTS_GENERATORS_REFERENCE_LAWS_H
#define TESTS_GENERATORS_REFERENCE_LAWS_H

#include "site/site.h"

#include <gsl/gsl_interp.h>

/* Zeroed memory, or the test is at an end. */
void *reference_room(size_t n, size_t size);

/* The loss of a device or a reducer; NULL: another part. */
const fc_loss *reference_loss_of(const struct fci_part *part);

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
    bool falls; /* the head of a pump */
};

/* The curves of a site's elements and of its fixtures' stops. */
struct reference_curves {
    struct reference_points *elements, *stops;
    size_t n_elements, n_stops;
};

struct reference_curves reference_curves_of(const fc_site *site);
void reference_curves_free(struct reference_curves *curves);
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
/* What a reducer gives less than its set pressure at a flow. */
struct reference_value reference_fall(const fc_reducer *reducer, double q);
/* What of it stands however little flows. */
double reference_step(const fc_loss *loss);

/* What a source has at its outlet. */
struct reference_value reference_source(const fc_source *source, double weight,
                                        double q, double least);

#endif
