/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/resolve_usual.c -- usual ranges for what is not given.
 *
 * What nobody measured is not nothing: a figure that bears on the pressure and
 * is not given lies anywhere in the range that the tables call usual.
 */
#include "site/resolve.h"

#include <math.h>

const fc_gauge *
fci_gauge_of(struct fci_resolve *r, const struct fci_part *part,
             const char *name)
{
    const fc_gauge *gauge = fci_gauge_named(r->site, name);

    if (name && !gauge)
        fci_resolve_note(r, fci_site_unknown(r->site, part, "gauge", name,
                                             FCI_GAUGE, "a [gauge]",
                                             r->messages));
    return gauge;
}

static void
fill_source(struct fci_resolve *r, const struct fci_part *part,
            fc_source *source)
{
    const fc_source *given =
        r->site->given[part - r->site->parts]; /* not widened */
    fc_deviation off = { true, false, 0 };

    if (source->n_flow_test > 0) {
        const fc_point last = source->flow_test[source->n_flow_test - 1];

        source->residual = fc_exactly(last.y);
        source->residual_flow = fc_exactly(last.x);
        fci_widen(&source->residual, &r->site->tolerance.pressure,
                  -(double)INFINITY);
        fci_widen(&source->residual_flow, &r->site->tolerance.flow_test, 0);
    }
    if (!source->residual.given)
        return;
    if (!source->test_static.given)
        source->test_static = given->static_pressure;
    (void)fci_gauge_of(r, part, source->gauge);
    off.amount = fci_drop_within(r->site, source);
    fci_widen(&source->residual, &off, -(double)INFINITY);
}

static void
fill_reducer(const struct fci_resolve *r, fc_reducer *reducer)
{
    const struct fci_tables *tables = r->site->tables;

    if (!reducer->fall_off.given)
        reducer->fall_off =
            fci_tables_usual(tables, FCI_USUAL_FALL_OFF)->range;
    if (reducer->loss.kind == FC_NO_LOSS) {
        reducer->loss.kind = FC_CONSTANT_LOSS;
        reducer->loss.flow = fc_exactly(FCI_HARDLY_FLOWING);
        reducer->loss.pressure =
            fci_tables_usual(tables, FCI_USUAL_WIDE_OPEN)->range;
    }
}

/* So far below the cut-in, and no less than none. */
static void
fill_tank(const struct fci_resolve *r, fc_pressure_tank *tank)
{
    const fc_range below =
        fci_tables_usual(r->site->tables, FCI_USUAL_PRECHARGE)->range;

    if (tank->precharge.given)
        return;
    tank->precharge =
        (fc_range){ true, fmax(tank->cut_in.nominal - below.nominal, 0),
                    fmax(tank->cut_in.low - below.high, 0),
                    fmax(tank->cut_in.high - below.low, 0) };
}

void
fci_resolve_usual(struct fci_resolve *r)
{
    size_t i;

    for (i = 0; i < r->site->n_parts; i++) {
        const struct fci_part *part = &r->site->parts[i];

        if (part->kind == FCI_SOURCE)
            fill_source(r, part, part->data);
        else if (part->kind == FCI_REDUCER)
            fill_reducer(r, part->data);
        else if (part->kind == FCI_PRESSURE_TANK)
            fill_tank(r, part->data);
    }
}
