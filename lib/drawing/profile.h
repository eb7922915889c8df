/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/profile.h -- what the files of the pressure profile share. */
#ifndef FCI_DRAWING_PROFILE_H
#define FCI_DRAWING_PROFILE_H

#include "drawing/axis.h"
#include "drawing/grade.h"
#include "drawing/svg.h"

#include <math.h>

#define FCI_PROFILE_WIDTH 760.0
#define FCI_PROFILE_LEFT 64.0
#define FCI_PROFILE_RIGHT 520.0
#define FCI_PROFILE_DEEP 300.0 /* the height of the plot */
#define FCI_PROFILE_MARGIN (FCI_PROFILE_WIDTH - FCI_PROFILE_RIGHT - 18)
#define FCI_PROFILE_ROW (FCI_LINE + 2)

struct fci_profile {
    const fc_site *site;
    fc_unit_system units;
    const fc_path *const *paths;
    const fc_path *judged;                     /* of the state to be */
    size_t n;                                  /* steps */
    struct fci_grade_point *points[FC_STATES]; /* NULL: no such state */
    double still[FC_STATES];
    double *x;          /* of the outlets; x of the first step's inlet is
                           FCI_PROFILE_LEFT */
    double scale, wide; /* px for a meter; px for a step */
    double *name_x;
    size_t *row; /* of the name of each step; SIZE_MAX: it has none */
    size_t n_rows;
    struct fci_axis y;
    double top, bottom;
};

struct fci_profile_look {
    const char *class, *color, *dash, *width, *word;
};
extern const struct fci_profile_look fci_profile_looks[FC_STATES];

static inline double
fci_profile_figure(const struct fci_profile *p, double pressure)
{
    return fc_from_si(p->units, FC_PRESSURE, pressure);
}

static inline double
fci_profile_up(const struct fci_profile *p, double pressure)
{
    return fci_axis_at(&p->y, fci_profile_figure(p, pressure));
}

static inline double
fci_profile_required(const fc_path *path)
{
    return path->end.required.given ? path->end.required.nominal : NAN;
}

/* What a fixture has in a state, and its verdict. */
struct fci_said fci_profile_tell(const struct fci_profile *p, fc_state state);
/* What is told beside the end of the path. */
void fci_profile_end(struct fci_svg *svg, const struct fci_profile *p);
void fci_profile_key(struct fci_svg *svg, const struct fci_profile *p);

#endif
