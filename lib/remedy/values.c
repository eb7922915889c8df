/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/values.c -- values as a site file has them. */
#include "remedy/remedies.h"
#include "units/units.h"

#include <math.h>

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

/* Seven digits: finer than anything is known, and lines stay short. */
static const char *
one_value(const struct fci_cures *c, fc_dimension dimension, double si)
{
    return fci_arena_printf(c->arena, "%.7g %s",
                            fc_from_si(units(c), dimension, si),
                            fc_unit_name(units(c), dimension));
}

const char *
fci_value_text(const struct fci_cures *c, fc_dimension dimension,
               fc_range value)
{
    if (value.low < value.high)
        return fci_arena_printf(c->arena, "%.7g..%.7g %s",
                                fc_from_si(units(c), dimension, value.low),
                                fc_from_si(units(c), dimension, value.high),
                                fc_unit_name(units(c), dimension));
    return one_value(c, dimension, value.nominal);
}

fc_range
fci_moved(fc_range value, double by)
{
    value.nominal += by;
    value.low += by;
    value.high += by;
    return value;
}

const char *
fci_moved_text(const struct fci_cures *c, fc_dimension dimension,
               fc_range value, double by)
{
    return fci_value_text(c, dimension, fci_moved(value, by));
}

double
fci_down_to_step(const struct fci_cures *c, double pressure)
{
    const double step = fci_pressure_step(c);

    return step * floor((pressure + FCI_SAME_PRESSURE) / step);
}

static double
loss_of(const struct fci_cures *c, double pressure, bool whole)
{
    const double steps = whole ? fci_down_to_step(c, pressure) : 0;

    return steps > 0 ? steps : pressure;
}

static const char *
curve_text(const struct fci_cures *c, const fc_loss *loss, double factor,
           bool whole)
{
    const char *text = "";
    size_t i;

    for (i = 0; text && i < loss->n_points; i++) {
        const char *flow = one_value(c, FC_FLOW, loss->points[i].x);
        const char *pressure = one_value(
            c, FC_PRESSURE, loss_of(c, factor * loss->points[i].y, whole));

        text = flow && pressure ? fci_arena_printf(
                   c->arena, "%s%s%s %s", text, i ? ", " : "", flow, pressure)
                                : NULL;
    }
    return text;
}

const char *
fci_loss_text(const struct fci_cures *c, const fc_loss *loss, double factor,
              bool whole)
{
    fc_range pressure = loss->pressure;
    const char *text, *flow;

    if (loss->kind == FC_CURVE_LOSS)
        return curve_text(c, loss, factor, whole);
    pressure.nominal = loss_of(c, factor * pressure.nominal, whole);
    pressure.low = loss_of(c, factor * pressure.low, whole);
    pressure.high = loss_of(c, factor * pressure.high, whole);
    text = fci_value_text(c, FC_PRESSURE, pressure);
    if (!text || loss->kind == FC_CONSTANT_LOSS)
        return text;
    flow = fci_value_text(c, FC_FLOW, loss->flow);
    return flow ? fci_arena_printf(c->arena, "%s at %s", text, flow) : NULL;
}

const void *
fci_given(const fc_site *site, const struct fci_part *part)
{
    return site->given[part - site->parts];
}
