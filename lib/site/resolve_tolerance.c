/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/resolve_tolerance.c -- single values widened by `[tolerance]`. */
#include "site/resolve.h"

#define NO_LEAST (-1e300)

static void
widen_source(fc_source *s, const fc_tolerance *t)
{
    fci_widen(&s->static_pressure, &t->pressure, NO_LEAST);
    fci_widen(&s->residual, &t->pressure, NO_LEAST);
    fci_widen(&s->pressure, &t->pressure, NO_LEAST);
    fci_widen(&s->residual_flow, &t->flow_test,
              s->residual_flow.nominal / 100);
    fci_widen(&s->water_level, &t->elevation, NO_LEAST);
}

static void
widen_part(const struct fci_part *part, const fc_tolerance *t)
{
    switch (part->kind) {
    case FCI_SOURCE:
        widen_source(part->data, t);
        break;
    case FCI_PIPE: {
        fc_pipe *pipe = part->data;

        fci_widen(&pipe->length, &t->length, 0);
        fci_widen(&pipe->rise, &t->elevation, NO_LEAST);
        fci_widen(&pipe->c, &t->c, 1);
        break;
    }
    case FCI_METER:
    case FCI_BACKFLOW:
    case FCI_DEVICE:
        fci_widen(&((fc_device *)part->data)->rise, &t->elevation, NO_LEAST);
        break;
    case FCI_REDUCER: {
        fc_reducer *reducer = part->data;

        fci_widen(&reducer->rise, &t->elevation, NO_LEAST);
        fci_widen(&reducer->set, &t->pressure, 0);
        break;
    }
    case FCI_PUMP: {
        fc_pump *pump = part->data;

        fci_widen(&pump->rise, &t->elevation, NO_LEAST);
        fci_widen(&pump->hold, &t->pressure, 0);
        break;
    }
    case FCI_FIXTURE:
        fci_widen(&((fc_fixture *)part->data)->rise, &t->elevation, NO_LEAST);
        break;
    default:
        break;
    }
}

/* Whether finishing may fill in something in the part's struct: here, or the
 * loss of a meter. */
static bool
is_filled_in(const struct fci_part *part, const fc_tolerance *t)
{
    if (part->kind == FCI_METER && ((fc_device *)part->data)->meter_kind)
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
        widen_part(&r->site->parts[i], &r->site->tolerance);
}
