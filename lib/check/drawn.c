/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/drawn.c -- how far the street main and the pumps' inlets are drawn
 * down.
 */
#include "check/drawn.h"

#include <math.h>
#include <stdlib.h>

static const fc_range nothing = { false, 0, 0, 0 };

static fc_range
main_keeps(const fc_site *site, const fc_source *source)
{
    const struct fci_limit *limit =
        source->kind == FC_STREET_MAIN
            ? fci_tables_limit(site->tables, "street main residual")
            : NULL;

    return limit ? fc_exactly(limit->pressure) : nothing;
}

static fc_range
suction_needed(const fc_site *site, const fc_pump *pump)
{
    if (pump->running == FC_NO)
        return nothing;
    return pump->minimum_suction.given
               ? pump->minimum_suction
               : fci_tables_usual(site->tables, FCI_USUAL_SUCTION)->range;
}

fc_range
fci_must_keep(const fc_site *site, const struct fci_element *element)
{
    switch (element->part->kind) {
    case FCI_SOURCE:
        return main_keeps(site, element->part->data);
    case FCI_PUMP:
        return suction_needed(site, element->part->data);
    default:
        return nothing;
    }
}

double
fci_kept_at(const fc_site *site, const struct fci_element *element, double own,
            double feeder, enum fci_end end)
{
    return element->part->kind == FCI_SOURCE
               ? own
               : feeder
                     - site->water_weight
                           * fci_more_is_worse(element->rise, end);
}

fc_range
fci_keeps(const fc_site *site, const struct fci_element *element,
          const double out[FCI_ENDS], const double feeder[FCI_ENDS])
{
    double kept[FCI_ENDS];
    int end;

    for (end = 0; end < FCI_ENDS; end++)
        kept[end] = fci_kept_at(site, element, out[end], feeder[end],
                                (enum fci_end)end);
    return fci_as_range(kept);
}

/* As `enough` is elsewhere: at its worst a pump needs the most. */
fc_verdict
fci_is_kept(fc_range pressure, fc_range least)
{
    if (!least.given || pressure.low >= least.high - FCI_SAME_PRESSURE)
        return FC_WORKS;
    return pressure.high < least.low - FCI_SAME_PRESSURE ? FC_WILL_NOT_WORK
                                                         : FC_CANNOT_TELL;
}

void
fci_peak_ends(const struct fci_judge *judge, size_t at, fc_state state,
              double ends[FCI_ENDS])
{
    int end;

    for (end = 0; end < FCI_ENDS; end++)
        ends[end] = fci_pressure_of(judge->peak[state][at].at[end]);
}

static fc_verdict
drawn_at(const struct fci_judge *judge, size_t at, fc_state state)
{
    const fc_site *site = judge->site;
    const struct fci_element *element = &site->elements[at];
    const fc_range least = fci_must_keep(site, element);
    double out[FCI_ENDS], feeder[FCI_ENDS];

    if (!least.given)
        return FC_WORKS;
    fci_peak_ends(judge, at, state, out);
    fci_peak_ends(judge, element->parent == FCI_NONE ? at : element->parent,
                  state, feeder);
    return fci_is_kept(fci_keeps(site, element, out, feeder), least);
}

fc_verdict *
fci_drawn_at_peak(const struct fci_judge *judge, fc_state state)
{
    const fc_site *site = judge->site;
    fc_verdict *drawn = calloc(site->n_elements, sizeof *drawn);
    size_t i;

    for (i = 0; drawn && i < site->n_elements; i++) {
        const size_t at = site->order[i], parent = site->elements[at].parent;

        drawn[at] = drawn_at(judge, at, state);
        if (parent != FCI_NONE)
            drawn[at] = fci_worse_of(drawn[at], drawn[parent]);
    }
    return drawn;
}
