/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/laws/darcy.c -- Darcy-Weisbach, to set beside Hazen-Williams.
 *
 *   [C39]  C. F. Colebrook, J. Inst. Civ. Eng. 11 (1939) 133-156
 *          1/sqrt(f) = -2 log10(roughness/3.7 + 2.51/(re sqrt(f)))
 */
#include "laws/darcy.h"
#include "laws/friction.h"
#include "ground/gsl_guard.h"
#include "laws/water.h"

#include <math.h>

#include <gsl/gsl_roots.h>

#define LAMINAR_BELOW 2300.0
/* x = 1/sqrt(f) lies well within these for re >= 2,300, roughness <= 0.05. */
#define LEAST_X 1.0
#define MOST_X 30.0
#define MOST_STEPS 100

struct flow {
    double re, roughness;
};

/* [C39] rearranged for x = 1/sqrt(f); strictly increasing in x. */
static double
residual(double x, void *data)
{
    const struct flow *flow = data;

    return x + 2 * log10(flow->roughness / 3.7 + 2.51 * x / flow->re);
}

static fc_status
solve(struct flow *flow, double *x)
{
    gsl_function function = { residual, flow };
    gsl_error_handler_t *host = fci_gsl_quiet();
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    int step, status = GSL_ENOMEM;

    if (solver) {
        status = gsl_root_fsolver_set(solver, &function, LEAST_X, MOST_X);
        for (step = 0; status == GSL_SUCCESS && step < MOST_STEPS; step++) {
            status = gsl_root_fsolver_iterate(solver);
            if (gsl_root_test_interval(gsl_root_fsolver_x_lower(solver),
                                       gsl_root_fsolver_x_upper(solver), 0,
                                       1e-12)
                == GSL_SUCCESS)
                break;
        }
        *x = gsl_root_fsolver_root(solver);
        gsl_root_fsolver_free(solver);
    }
    fci_gsl_restore(host);
    return status == GSL_SUCCESS ? FC_OK : FC_ENOMEM;
}

fc_status
fci_darcy_factor(double re, double roughness, double *factor)
{
    struct flow flow = { re, roughness };
    fc_status status;
    double x;

    if (re < LAMINAR_BELOW) {
        *factor = 64 / re;
        return FC_OK;
    }
    status = solve(&flow, &x);
    if (status == FC_OK)
        *factor = 1 / (x * x);
    return status;
}

fc_status
fci_darcy_loss(double t, double flow, double bore, double length,
               double roughness, double *loss)
{
    const double density = fci_water_density(t);
    const double v = fci_velocity(flow, bore);
    const double re = density * v * bore / fci_water_viscosity(t);
    double factor;
    fc_status status = fci_darcy_factor(re, roughness / bore, &factor);

    if (status == FC_OK)
        *loss = factor * length / bore * density * v * v / 2;
    return status;
}
