/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/source.c -- what a source gives, at a flow.
 *
 *   [N291]  NFPA 291, Recommended Practice for Water Flow Testing and Marking
 *           of Hydrants: flow goes with the 0.54th power of the pressure drop
 *           (from memory)
 */
#include "peak/source.h"
#include "laws/friction.h"

#include <math.h>

/* A main's pressure is still - drop * sag, sag = (flow / tested)^(1/0.54). */
struct main_fall {
    double still, drop;
};

static struct main_fall
fall_from(double still, double residual)
{
    /* Where the ranges of static and residual overlap, a main cannot be said
     * to rise under flow. */
    return (struct main_fall){ still, fmax(still - residual, 0) };
}

static double
sag_of(const fc_source *s, double flow, enum fci_end end)
{
    const double tested = fci_less_is_worse(s->residual_flow, end);

    /* odd, for a main that another source feeds backwards */
    return copysign(pow(fabs(flow) / tested, FCI_FRICTION_EXPONENT), flow);
}

static double
fallen(struct main_fall fall, double sag)
{
    return fall.still - fall.drop * sag;
}

/* [N291] p = static - (static - residual) (flow / tested)^(1/0.54).
 *
 * Monotone in each input, but beyond the tested flow a higher static pressure
 * with the same residual means a weaker main, so its worse end changes
 * sides. */
static struct main_fall
fall_of(const fc_source *s, double sag, enum fci_end end)
{
    const double residual = fci_less_is_worse(s->residual, end);
    const fc_range still = s->static_pressure;
    struct main_fall low, high;

    if (end == FCI_NOMINAL || sag <= 1)
        return fall_from(fci_less_is_worse(still, end), residual);
    if (end == FCI_BEST) /* where the main does not sag at all, or least */
        return fall_from(fmin(fmax(residual, still.low), still.high),
                         residual);
    low = fall_from(still.low, residual);
    high = fall_from(still.high, residual);
    return fallen(low, sag) < fallen(high, sag) ? low : high;
}

static double
street_main(const fc_source *s, double flow, enum fci_end end)
{
    double sag;

    if (!s->residual.given)
        return fci_less_is_worse(s->static_pressure, end);
    sag = sag_of(s, flow, end);
    return fallen(fall_of(s, sag, end), sag);
}

double
fci_source_slope(const fc_source *source, double flow, enum fci_end end)
{
    double sag;

    if (source->kind != FC_STREET_MAIN || !source->residual.given
        || fabs(flow) <= 0)
        return 0;
    sag = sag_of(source, flow, end);
    return fall_of(source, sag, end).drop * FCI_FRICTION_EXPONENT * sag / flow;
}

double
fci_source_pressure(const fc_source *source, double weight, double flow,
                    enum fci_end end)
{
    switch (source->kind) {
    case FC_STREET_MAIN:
        return street_main(source, flow, end);
    case FC_TANK:
        return weight
               * (fci_less_is_worse(source->water_level, end)
                  - fci_more_is_worse(source->elevation, end));
    case FC_FIXED:
        break;
    }
    return fci_less_is_worse(source->pressure, end);
}

bool
fci_source_untested(const fc_source *source, double flow)
{
    return source->kind == FC_STREET_MAIN
           && (!source->residual.given
               || flow > source->residual_flow.low * (1 + 1e-9));
}

/* A main whose flow test has ranges is no sum of powers at their ends. */
bool
fci_source_sums(const fc_source *source)
{
    return source->kind != FC_STREET_MAIN || !source->residual.given
           || (fci_is_exact(source->static_pressure)
               && fci_is_exact(source->residual)
               && fci_is_exact(source->residual_flow));
}
