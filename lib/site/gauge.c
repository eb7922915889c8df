/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/gauge.c -- the gauge of a reading, and what it may be off by.
 *
 *   [NFPA]  a gauge in service is right within 3 % of its full scale, or is
 *           replaced: NFPA 25 as a trade journal has it (from memory)
 */
#include "site/site.h"

#include <math.h>
#include <stddef.h>

size_t
fci_count_readings(const fc_site *site)
{
    size_t i, n = 0;

    for (i = 0; i < site->n_parts; i++)
        n += fci_is_reading(&site->parts[i]);
    return n;
}

const fc_gauge *
fci_gauge_named(const fc_site *site, const char *name)
{
    const struct fci_part *part =
        name ? fci_site_find(site, FCI_GAUGE, name) : NULL;

    return part ? part->data : NULL;
}

bool
fci_reading_same_gauge(const fc_reading *a, const fc_reading *b)
{
    if (!a->gauge || !b->gauge)
        return !a->gauge && !b->gauge;
    return fci_same_name(a->gauge, b->gauge);
}

static fc_range
accuracy_of(const fc_gauge *gauge)
{
    const fc_range none = { false, 0, 0, 0 };

    if (gauge->within.given && !gauge->within.is_fraction)
        return fc_exactly(gauge->within.amount);
    if (!gauge->full_scale.given)
        return none;
    return fc_exactly(
        (gauge->within.given ? gauge->within.amount : FCI_GAUGE_IN_SERVICE)
        * gauge->full_scale.nominal);
}

fc_range
fci_reading_accuracy(const fc_site *site, const fc_reading *reading)
{
    const fc_gauge *gauge = fci_gauge_named(site, reading->gauge);

    return reading->within.given || !gauge ? reading->within
                                           : accuracy_of(gauge);
}

double
fci_usual_within(const fc_site *site)
{
    return fci_tables_usual(site->tables, FCI_USUAL_GAUGE)->range.nominal;
}

double
fci_reading_within(const fc_site *site, const fc_reading *reading)
{
    const fc_range said = fci_reading_accuracy(site, reading);

    return said.given ? said.nominal : fci_usual_within(site);
}

/* What a gauge is off by is the same in all its readings; of one alone is half
 * a mark, unless the reading says itself how good it is. */
double
fci_reading_misread(const fc_site *site, const fc_reading *reading)
{
    const fc_gauge *gauge = fci_gauge_named(site, reading->gauge);
    const double within = fci_reading_within(site, reading);
    const double marks = gauge && gauge->marks.given ? gauge->marks.nominal
                                                     : fci_usual_within(site);

    return reading->within.given ? within : fmin(within, marks / 2);
}

double
fci_source_within(const fc_site *site, const fc_source *source)
{
    const fc_gauge *gauge = fci_gauge_named(site, source->gauge);
    const fc_range said = gauge ? accuracy_of(gauge) : source->within;

    return said.given ? said.nominal : fci_usual_within(site);
}

/* What one gauge is off by is the same in both readings; left are the halves
 * of a mark by which either may be misread (common practice). */
double
fci_drop_within(const fc_site *site, const fc_source *source)
{
    const fc_gauge *gauge = fci_gauge_named(site, source->gauge);

    if (!gauge)
        return 2 * fci_source_within(site, source);
    return gauge->marks.given ? gauge->marks.nominal : fci_usual_within(site);
}
