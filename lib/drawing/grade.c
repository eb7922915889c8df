/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/grade.c -- the hydraulic grade along a path; see grade.h. */
#include "drawing/grade.h"

static double
height_of_source(const fc_site *site, const char *name)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].part->kind == FCI_SOURCE
            && fci_same_name(site->elements[i].name, name))
            return ((const fc_source *)site->elements[i].part->data)
                ->elevation.nominal;
    return 0;
}

void
fci_grade(const fc_site *site, const fc_path *path,
          struct fci_grade_point *points, double *still)
{
    double along = 0, elevation;
    size_t i;

    elevation =
        site->water_weight * height_of_source(site, path->steps[0].element);
    for (i = 0; i < path->n_steps; i++) {
        const fc_path_step *step = &path->steps[i];

        along += step->length;
        elevation += step->elevation_loss;
        points[i] = (struct fci_grade_point){
            .along = along,
            .elevation = elevation,
            .grade = step->pressure + elevation,
            .given_up = step->sag + step->friction_loss + step->fitting_loss
                        + step->device_loss + step->throttled,
            .is_step = !(step->length > 0),
        };
    }
    *still = points[0].grade + path->steps[0].sag;
}
