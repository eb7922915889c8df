/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/buildings_use.c -- invented buildings: by calls, and made
 * exact. */
#include "generators/buildings.h"
#include "site/site.h"

#include <stdlib.h>

size_t *
building_order(size_t n, gsl_rng *rng)
{
    size_t *order = malloc((n + 1) * sizeof *order);
    size_t i, k, swap;

    if (!order)
        abort();
    for (i = 0; i < n; i++)
        order[i] = i;
    for (i = n; i > 1; i--) {
        k = (size_t)gsl_rng_uniform_int(rng, (unsigned long)i);
        swap = order[i - 1];
        order[i - 1] = order[k];
        order[k] = swap;
    }
    return order;
}

/* ---- By calls --------------------------------------------------------- */

static fc_status
add(fc_site *site, const struct building_part *part)
{
    switch (part->kind) {
    case FCI_SOURCE:
        return fc_site_add_source(site, &part->as.source, NULL);
    case FCI_PIPE:
        return fc_site_add_pipe(site, &part->as.pipe, NULL);
    case FCI_METER:
    case FCI_BACKFLOW:
    case FCI_DEVICE:
        return fc_site_add_device(site, &part->as.device, NULL);
    case FCI_REDUCER:
        return fc_site_add_reducer(site, &part->as.reducer, NULL);
    case FCI_PUMP:
        return fc_site_add_pump(site, &part->as.pump, NULL);
    case FCI_FIXTURE:
        return fc_site_add_fixture(site, &part->as.fixture, NULL);
    case FCI_VALVE:
        return fc_site_add_valve(site, &part->as.valve, NULL);
    case FCI_DEMAND:
        return fc_site_add_demand(site, &part->as.demand, NULL);
    case FCI_HEATER:
        return fc_site_add_heater(site, &part->as.heater, NULL);
    default:
        return FC_EINPUT;
    }
}

fc_site *
building_site(const struct building *b, const size_t *order)
{
    fc_site *site = fc_site_new();
    size_t i;

    if (!site || fc_site_set(site, &b->settings, NULL) != FC_OK)
        abort();
    site->tables = fci_tables_share(building_tables());
    for (i = 0; i < b->n_parts; i++)
        if (add(site, &b->parts[order ? order[i] : i]) != FC_OK) {
            fc_site_free(site);
            return NULL;
        }
    if (fc_site_finish(site, NULL) == FC_OK)
        return site;
    fc_site_free(site);
    return NULL;
}

/* ---- Made exact ------------------------------------------------------- */

/* A value in the range, often an end of it. */
static double
value_in(fc_range range, gsl_rng *rng)
{
    const double x = gsl_rng_uniform(rng);

    if (x < 0.25)
        return range.low;
    if (x < 0.5)
        return range.high;
    return range.low + (range.high - range.low) * gsl_rng_uniform(rng);
}

static void
sample(fc_range *range, gsl_rng *rng)
{
    if (range->given && range->low < range->high)
        *range = fc_exactly(value_in(*range, rng));
}

/* One of the sizes that the material has in the range. */
static void
sample_size(fc_range *size, const struct fci_material *material, gsl_rng *rng)
{
    size_t i, low, high;

    if (!size->given || !(size->low < size->high))
        return;
    for (low = 0; material->sizes[low].nominal < size->low - 1e-6; low++)
        ;
    for (high = low; high + 1 < material->n_sizes
                     && material->sizes[high + 1].nominal < size->high + 1e-6;
         high++)
        ;
    i = low
        + (size_t)gsl_rng_uniform_int(rng, (unsigned long)(high - low + 1));
    *size = fc_exactly(material->sizes[i].nominal);
}

/* A pipe of unknown condition has a C anywhere between aged and new. */
static void
sample_pipe(const struct building *b, fc_pipe *pipe, gsl_rng *rng)
{
    const struct fci_material *material = building_material(b, pipe);

    sample(&pipe->length, rng);
    sample(&pipe->inside_diameter, rng);
    sample(&pipe->c, rng);
    if (!pipe->c.given && pipe->condition == FC_CONDITION_UNKNOWN
        && b->settings.condition == FC_CONDITION_UNKNOWN && material) {
        pipe->c = fc_between(material->c_aged, material->c_new);
        sample(&pipe->c, rng);
    }
    if (material)
        sample_size(&pipe->size, material, rng);
}

/* A main cannot rise under flow: where the two ranges overlap, the residual
 * is at most the static pressure. */
static void
sample_source(fc_source *source, gsl_rng *rng)
{
    sample(&source->static_pressure, rng);
    sample(&source->residual, rng);
    sample(&source->residual_flow, rng);
    sample(&source->water_level, rng);
    sample(&source->pressure, rng);
    sample(&source->elevation, rng);
    if (source->residual.given
        && source->residual.nominal > source->static_pressure.nominal)
        source->residual = source->static_pressure;
}

static void
sample_part(const struct building *b, struct building_part *part, gsl_rng *rng)
{
    if (building_rise(part))
        sample(building_rise(part), rng);
    switch (part->kind) {
    case FCI_SOURCE:
        sample_source(&part->as.source, rng);
        break;
    case FCI_PIPE:
        sample_pipe(b, &part->as.pipe, rng);
        break;
    case FCI_METER:
    case FCI_BACKFLOW:
    case FCI_DEVICE:
        sample(&part->as.device.loss.pressure, rng);
        break;
    case FCI_REDUCER:
        sample(&part->as.reducer.set, rng);
        sample(&part->as.reducer.loss.pressure, rng);
        break;
    case FCI_PUMP:
        sample(&part->as.pump.hold, rng);
        break;
    case FCI_FIXTURE:
        sample(&part->as.fixture.stop.pressure, rng);
        break;
    case FCI_VALVE:
        sample(&part->as.valve.minimum_flowing, rng);
        sample(&part->as.valve.flow, rng);
        break;
    case FCI_DEMAND:
        sample(&part->as.demand.flow, rng);
        break;
    default:
        break;
    }
}

void
building_sample(struct building *b, const struct building *of, gsl_rng *rng)
{
    size_t i;

    building_copy(b, of);
    for (i = 0; i < b->n_parts; i++)
        sample_part(b, &b->parts[i], rng);
}

/* ---- Another supply --------------------------------------------------- */

void
building_shift(fc_range *range, double by)
{
    if (range->given)
        *range = (fc_range){ true, range->nominal + by, range->low + by,
                             range->high + by };
}

void
building_shift_source(struct building *b, double pressure, double weight)
{
    fc_source *source = &b->parts[0].as.source;

    building_shift(&source->static_pressure, pressure);
    building_shift(&source->residual, pressure);
    building_shift(&source->pressure, pressure);
    building_shift(&source->water_level, pressure / weight);
}
