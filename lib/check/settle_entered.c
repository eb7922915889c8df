/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/settle_entered.c -- the figure at which a verdict turns, as it may
 * be entered: what a tolerance or a gauge then makes of it works too.
 */
#include "check/settle_words.h"
#include "ini/fields.h"
#include "site/inputs.h"
#include "site/resolve.h"
#include "units/units.h"

#include <math.h>

/* Where somebody gives how far a figure may be off. */
struct deviation {
    fc_deviation off; /* not given: a figure is exact */
    const char *key, *of;
    double times; /* what is given there counts so often */
    bool is_gauge, is_marks;
};

static bool
is_residual(const struct fci_input_row *row)
{
    return row->kind == FCI_SOURCE && row->home == FCI_IN_PART
           && row->kept == offsetof(fc_source, residual);
}

/* The field of [tolerance] that widens a row. */
static const struct fci_field *
tolerance_field(const struct fci_input_row *row)
{
    const struct fci_field *field = fci_part_kinds[FCI_TOLERANCE].fields;

    while (field->offset != row->tolerance)
        field++;
    return field;
}

static struct deviation
deviation_of(const fc_site *site, const struct fci_input *input)
{
    const struct fci_input_row *row = input->row;
    struct deviation d = { .times = 1 };
    const fc_source *source;

    if (row->tolerance == FCI_NO_TOLERANCE)
        return d;
    d.off =
        *(const fc_deviation *)(const void *)((const char *)&site->tolerance
                                              + row->tolerance);
    d.key = tolerance_field(row)->key;
    d.of = "[tolerance]";
    if (d.off.given || !is_residual(row))
        return d;
    source = input->part->data;
    d.is_gauge = true;
    d.is_marks = source->gauge != NULL;
    d.off = (fc_deviation){ true, false, fci_drop_within(site, source) };
    d.key = d.is_marks ? "marks" : "within";
    d.of = d.is_marks ? source->gauge : input->name;
    d.times = d.is_marks ? 1 : 2;
    return d;
}

/* Whether its range is that of one figure that may be off. */
static bool
is_one_figure(const struct fci_input *input, const struct deviation *d)
{
    fc_range value = fc_exactly(input->given.nominal);

    fci_widen(&value, &d->off, input->given.low);
    return value.low < value.high && fabs(value.low - input->given.low) <= 0
           && fabs(value.high - input->given.high) <= 0;
}

/* The figure itself is good enough: how far it may be off.  False: no more
 * than what prints as nothing. */
static bool
tell_deviation(const fc_site *site, const struct fci_input *input,
               const struct deviation *d, fc_proviso *proviso)
{
    const fc_unit_system units = site->settings.units;
    const double most = fabs(proviso->limit - input->given.nominal) / d->times;

    proviso->input = d->key;
    proviso->of = d->of;
    proviso->at_most = true;
    proviso->flow = NAN;
    proviso->dimension = d->off.is_fraction ? FC_NUMBER : input->dimension;
    proviso->limit =
        d->off.is_fraction ? most / fabs(input->given.nominal) : most;
    if (d->is_gauge)
        proviso->measure = "test the main at a larger flow, or with one gauge "
                           "for all readings";
    if (proviso->dimension == FC_NUMBER)
        return proviso->limit >= (d->off.is_fraction ? 0.001 : 1);
    return fc_from_si(units, proviso->dimension, proviso->limit)
           >= pow(10, -fci_decimals(units, proviso->dimension));
}

/* What has to be entered, so that with all that it may be off it is good;
 * false: it may not be. */
static bool
tell_figure(const struct fci_input *input, const struct deviation *d,
            fc_proviso *proviso)
{
    const double side = proviso->at_most ? -1 : 1;
    const double limit = proviso->limit;
    const fc_source *source = input->part->data;

    proviso->limit = d->off.is_fraction
                         ? limit / (1 - side * copysign(d->off.amount, limit))
                         : limit + side * d->off.amount;
    if (input->differs)
        return false;
    if (is_residual(input->row))
        return source->n_flow_test == 0
               && proviso->limit <= source->test_static.low;
    /* what is the static pressure of the flow test too drops further */
    if (input->row->measured == FCI_IN_STATIC && source->residual.given
        && proviso->limit > source->test_static.high)
        return false;
    return input->row->measured == FCI_IN_RISE || proviso->limit > 0;
}

bool
fci_is_enterable(const fc_site *site, const struct fci_input *input,
                 fc_proviso *proviso, bool *share)
{
    const struct deviation d = deviation_of(site, input);
    const double nominal = input->given.nominal;

    *share = input->row->measured == FCI_IN_FITTINGS
             || input->row->measured == FCI_IN_SCALE;
    if (!d.off.given || !(d.off.amount > 0))
        return !input->differs;
    if (!is_one_figure(input, &d)
        || (proviso->at_most ? nominal > proviso->limit
                             : nominal < proviso->limit))
        return tell_figure(input, &d, proviso);
    *share = d.off.is_fraction;
    return tell_deviation(site, input, &d, proviso);
}
