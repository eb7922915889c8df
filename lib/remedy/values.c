/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/values.c -- figures as a site file gets them. */
#include "remedy/remedies.h"
#include "units/units.h"

#include <gsl/gsl_const_mksa.h>

#define KILOPASCAL 1e3

static fc_unit_system
units(const struct fci_cures *c)
{
    return c->site->settings.units;
}

double
fci_pressure_step(const struct fci_cures *c)
{
    return units(c) == FC_US ? 0.1 * GSL_CONST_MKSA_PSI : KILOPASCAL;
}

double
fci_head_step(const struct fci_cures *c)
{
    return units(c) == FC_US ? 0.1 * GSL_CONST_MKSA_FOOT : 0.1;
}

double
fci_figure(const struct fci_cures *c, fc_dimension dimension,
           fc_rounding rounding, double si)
{
    return fci_rounded(units(c), dimension, rounding, si);
}

fc_range
fci_moved(const struct fci_cures *c, fc_dimension dimension, fc_range value,
          double by)
{
    return fc_between(fci_figure(c, dimension, FC_NEAREST, value.low + by),
                      fci_figure(c, dimension, FC_NEAREST, value.high + by));
}

const void *
fci_given(const fc_site *site, const struct fci_part *part)
{
    return site->given[part - site->parts];
}
