/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/march.c -- pressures along a tree, at rest and at peak.
 *
 * Each element carries its own peak demand, so that flows do not add up: that
 * is the code's method.  One pass from the source; the time is linear in the
 * number of elements.
 */
#include "peak/march.h"
#include "peak/source.h"

#include <math.h>
#include <stdlib.h>

static double
elevation_of(const fc_source *source)
{
    return source->elevation.given ? source->elevation.nominal : 0;
}

static void
rest_at_source(const fc_site *site, const struct fci_element *element,
               struct fci_at_rest *rest)
{
    const fc_source *source = element->part->data;
    int end;

    rest->elevation = elevation_of(source);
    for (end = 0; end < FCI_ENDS; end++) {
        rest->ceiling[end] = fci_source_pressure(
            source, element->shape, site->water_weight, 0, (enum fci_end)end);
        rest->trapped[end] = rest->ceiling[end];
    }
}

struct fci_at_rest *
fci_march_rest(const fc_site *site)
{
    struct fci_at_rest *rest = calloc(site->n_elements, sizeof *rest);
    size_t i;
    int end;

    for (i = 0; rest && i < site->n_elements; i++) {
        const size_t at = site->order[i];
        const struct fci_element *element = &site->elements[at];
        const struct fci_at_rest *in;

        if (element->parent == FCI_NONE) {
            rest_at_source(site, element, &rest[at]);
            continue;
        }
        in = &rest[element->parent];
        rest[at].elevation = in->elevation + element->rise.nominal;
        for (end = 0; end < FCI_ENDS; end++) {
            rest[at].ceiling[end] = fci_element_still(
                site, element, in->ceiling[end], false, (enum fci_end)end);
            rest[at].trapped[end] = fci_element_still(
                site, element, in->trapped[end], true, (enum fci_end)end);
        }
    }
    for (i = 0; rest && i < site->n_elements; i++)
        if (fci_is_second(&site->elements[i]))
            rest[i] = rest[site->elements[i].to];
    return rest;
}

static void
peak_at_source(const fc_site *site, const struct fci_element *element,
               const struct fci_demand *demand, struct fci_at_peak *peak)
{
    const fc_source *source = element->part->data;
    int end;

    for (end = 0; end < FCI_ENDS; end++) {
        peak->at[end].direct =
            fci_source_pressure(source, element->shape, site->water_weight,
                                demand->flow[end], (enum fci_end)end);
        peak->at[end].capped = INFINITY;
        peak->lowest[end] = peak->at[end].direct;
        if (fci_source_is_surface(source, peak->at[end].direct))
            peak->lowest[end] = INFINITY;
    }
}

/* The lowest pressure within an element: at its outlet, or of a
 * pump at its inlet; the rise counts first. */
static double
lowest_in(const fc_site *site, const struct fci_element *element,
          const struct fci_at_peak *in, const struct fci_at_peak *out,
          enum fci_end end)
{
    return fmin(fci_pressure_of(out->at[end]),
                fci_pressure_of(in->at[end])
                    - site->water_weight
                          * fci_more_is_worse(element->rise, end));
}

static void
pass_peak(const fc_site *site, const struct fci_element *element,
          const struct fci_demand *demand, const struct fci_at_peak *in,
          struct fci_at_peak *out)
{
    const struct fci_taking taking =
        fci_element_takes(site, element, 0, FCI_NOMINAL);
    int i;

    for (i = 0; i < FCI_ENDS; i++) {
        const enum fci_end end = (enum fci_end)i;

        out->at[i] =
            fci_element_passes(site, element, in->at[i], demand->flow[i], end);
        out->lowest[i] =
            fmin(in->lowest[i], lowest_in(site, element, in, out, end));
    }
    out->held = in->held || fci_may_hold(&taking) || element->beside > 0;
}

struct fci_at_peak *
fci_march_peak(const fc_site *site, const struct fci_demand *demand)
{
    struct fci_at_peak *peak = calloc(site->n_elements, sizeof *peak);
    size_t i;

    for (i = 0; peak && i < site->n_elements; i++) {
        const size_t at = site->order[i];
        const struct fci_element *element = &site->elements[at];

        if (element->parent == FCI_NONE) {
            peak_at_source(site, element, &demand[at], &peak[at]);
            continue;
        }
        pass_peak(site, element, &demand[at], &peak[element->parent],
                  &peak[at]);
    }
    for (i = 0; peak && i < site->n_elements; i++)
        if (fci_is_second(&site->elements[i]))
            peak[i] = peak[site->elements[i].to];
    return peak;
}

fc_range
fci_as_range(const double ends[FCI_ENDS])
{
    const double nominal = ends[FCI_NOMINAL];
    fc_range range = { true, nominal,
                       fmin(nominal, fmin(ends[FCI_WORST], ends[FCI_BEST])),
                       fmax(nominal, fmax(ends[FCI_WORST], ends[FCI_BEST])) };

    return range;
}

double
fci_fixture_drop(const fc_site *site, const struct fci_fixture *fixture,
                 double flow, enum fci_end end)
{
    return site->water_weight * fci_more_is_worse(fixture->given->rise, end)
           + fci_loss_at(&fixture->given->stop, fixture->stop_curve,
                         fixture->stop_lower, fixture->stop_shape, flow, end);
}
