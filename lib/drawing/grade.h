/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/grade.h -- the hydraulic grade along a path: how high water
 * would stand in a tube at each point, as a pressure over the datum. */
#ifndef FCI_DRAWING_GRADE_H
#define FCI_DRAWING_GRADE_H

#include "site/site.h"

/* The outlet of a step. */
struct fci_grade_point {
    double along;     /* developed length from the source [m] */
    double elevation; /* over the datum, as the weight of water [Pa] */
    double grade;     /* pressure and elevation [Pa] */
    double given_up;  /* by the step [Pa]; negative: given by a pump */
    bool is_step;     /* at a point: of a device, a source, a fixture */
};

/* path->n_steps of them: before[0].grade is that without flow, so that the
 * last is `*still` less all that was given up. */
void fci_grade(const fc_site *site, const fc_path *path,
               struct fci_grade_point *points, double *still);

#endif
