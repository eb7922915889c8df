/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/resolve_tolerance.c -- single values widened by `[tolerance]`. */
#include "site/inputs.h"
#include "site/resolve.h"
#include "units/units.h"

/* The field of a tolerance by its place in the struct. */
static size_t
field_of(size_t tolerance)
{
    const struct fci_part_kind *kind = &fci_part_kinds[FCI_TOLERANCE];
    size_t i = 0;

    while (kind->fields[i].offset != tolerance)
        i++;
    return i;
}

static const struct fci_part *
tolerance_part(const fc_site *site)
{
    const struct fci_part *part = site->parts;

    while (part->kind != FCI_TOLERANCE)
        part++;
    return part;
}

/* No figure may be off by all of itself; but heights, which have no zero of
 * their own.  Each tolerance is refused once. */
static void
refuse_wide(struct fci_resolve *r, const struct fci_part *part,
            const struct fci_input_row *row, const fc_range *value)
{
    const fc_tolerance *tolerance = &r->site->tolerance;
    const fc_deviation *off =
        (const void *)((const char *)tolerance + row->tolerance);
    const fc_unit_system units = r->site->settings.units;
    const size_t field = field_of(row->tolerance);

    if (r->too_wide & (1u << field) || !off->given || off->is_fraction
        || &tolerance->elevation == off || !value->given
        || value->low < value->high || !(value->nominal > 0)
        || off->amount < value->nominal)
        return;
    fci_resolve_note(
        r,
        fci_part_fail(tolerance_part(r->site), r->messages,
                      fci_part_kinds[FCI_TOLERANCE].fields[field].key,
                      "is %s, and the %s of \"%.60s\" only %s; less "
                      "than that, or a range there, is expected",
                      fci_show(units, row->dimension, off->amount).text,
                      row->what, part->name,
                      fci_show(units, row->dimension, value->nominal).text));
    r->too_wide |= 1u << field;
}

static void
widen_part(struct fci_resolve *r, const struct fci_part *part)
{
    const fc_tolerance *tolerance = &r->site->tolerance;
    const struct fci_input_row *row;
    size_t i;

    for (i = 0; i < fci_n_input_rows; i++) {
        fc_range *value;

        row = &fci_input_rows[i];
        if (row->kind != part->kind || row->offset == FCI_NOT_OWN
            || row->tolerance == FCI_NO_TOLERANCE)
            continue;
        value = fci_input_in(row, part->data);
        refuse_wide(r, part, row, value);
        fci_widen(
            value, (const void *)((const char *)tolerance + row->tolerance),
            row->divisor > 0 ? value->nominal / row->divisor : row->least);
    }
}

/* Whether finishing may fill in something in the part's struct: here, the loss
 * of a meter, what is usual, what a container was filled from, or the fixtures
 * that a pattern stands for. */
static bool
is_filled_in(const struct fci_part *part, const fc_tolerance *t)
{
    if (part->kind == FCI_READING || part->kind == FCI_CLAIM
        || part->kind == FCI_HEATER)
        return true;
    if (part->kind == FCI_METER && ((fc_device *)part->data)->meter_kind)
        return true;
    if (part->kind == FCI_SOURCE || part->kind == FCI_REDUCER
        || part->kind == FCI_PRESSURE_TANK)
        return true;
    if (part->kind == FCI_FIXTURE
        && (((fc_fixture *)part->data)->elevation.given
            || ((fc_fixture *)part->data)->floor))
        return true;
    return (fci_is_element(part->kind) || part->kind == FCI_FIXTURE)
           && (t->pressure.given || t->length.given || t->elevation.given
               || t->c.given || t->flow_test.given);
}

/* The structs as they were given are kept beside the ones filled in. */
static bool
keep_given(struct fci_resolve *r)
{
    fc_site *site = r->site;
    size_t i;

    site->given =
        fci_arena_array(&site->arena, site->n_parts + 1, sizeof *site->given);
    for (i = 0; site->given && i < site->n_parts; i++) {
        struct fci_part *part = &site->parts[i];

        site->given[i] = part->data;
        if (!is_filled_in(part, &site->tolerance))
            continue;
        part->data = fci_arena_copy(&site->arena, part->data,
                                    fci_part_kinds[part->kind].size);
        if (!part->data)
            return fci_resolve_note(r, FC_ENOMEM);
    }
    return site->given || fci_resolve_note(r, FC_ENOMEM);
}

void
fci_resolve_tolerance(struct fci_resolve *r)
{
    size_t i;

    if (!keep_given(r))
        return;
    for (i = 0; i < r->site->n_parts; i++)
        widen_part(r, &r->site->parts[i]);
}
