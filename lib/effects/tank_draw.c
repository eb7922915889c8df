/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/tank_draw.c -- what is drawn from a tank and what comes into it.
 */
#include "effects/tank_draw.h"
#include "effects/uses.h"
#include "peak/flush_time.h"
#include "peak/source.h"

/* ---- From a valve back to the tank -------------------------------------- */

bool
fci_tank_draw_make(struct fci_tank_draw *draw,
                   const struct fci_network *network, struct fci_arena *arena)
{
    const fc_site *site = network->site;
    size_t i, at;
    int end;

    draw->network = network;
    for (end = 0; end < FCI_ENDS; end++) {
        draw->steady[end] = fci_arena_array(arena, site->n_elements + 1,
                                            sizeof *draw->steady[end]);
        if (!draw->steady[end])
            return false;
        for (i = 0; i < site->n_draws; i++)
            for (at = site->draws[i].element; at != FCI_NONE;
                 at = site->elements[at].parent)
                draw->steady[end][at] +=
                    fci_more_is_worse(site->draws[i].flow, (enum fci_end)end);
    }
    return true;
}

/* What the tank must have for one valve to draw `flow`: by a law of the valve,
 * with all before it at an end. */
static double
asks(const struct fci_tank_draw *draw, size_t fixture,
     const struct fci_outlet_law *law, double flow, enum fci_end end)
{
    const struct fci_network *network = draw->network;
    const fc_site *site = network->site;
    const struct fci_outlet *outlet = &network->outlets[fixture];
    const struct fci_law *stop = &law->stop;
    size_t at = site->fixtures[fixture].element;
    double pressure = (law->need + stop->square) * flow * flow + stop->lift
                      + stop->constant
                      + fci_curved_stop(network, outlet, flow, law->end).loss;

    for (; site->elements[at].parent != FCI_NONE && !isinf(pressure);
         at = site->elements[at].parent)
        pressure = fci_element_asks(site, &site->elements[at], pressure,
                                    flow + draw->steady[end][at], end);
    return pressure;
}

double
fci_tank_least(const struct fci_tank_draw *draw, size_t fixture,
               enum fci_end end)
{
    const struct fci_outlet *outlet = &draw->network->outlets[fixture];
    const struct fci_outlet_law *law = &outlet->law[end];
    const double least = fci_least_kept(draw->network, fixture, end);
    const double flow = fmin(sqrt(fmax(least, 0) / law->need), law->most);
    struct fci_outlet_law at_least = *law;

    if (!outlet->flushes || isinf(least))
        return -INFINITY;
    /* one that is regulated passes no more at a higher pressure */
    at_least.need = flow > 0 ? least / (flow * flow) : law->need;
    return asks(draw, fixture, &at_least, flow, end);
}

#define HALVINGS 60

double
fci_tank_flush(const struct fci_tank_draw *draw, size_t fixture,
               double pressure, enum fci_end end)
{
    const struct fci_outlet *outlet = &draw->network->outlets[fixture];
    const struct fci_outlet_law *law = &outlet->beside[end];
    const enum fci_end way = fci_other_end(end);
    double low = 0, high, middle;
    int i;

    if (!outlet->flushes || asks(draw, fixture, law, 0, way) >= pressure)
        return 0;
    high =
        isinf(law->most) ? sqrt(2 * fmax(pressure, 1) / law->need) : law->most;
    while (isinf(law->most) && asks(draw, fixture, law, high, way) <= pressure
           && high < 1)
        high *= 2; /* a pump on the way, or a valve below the tank */
    if (asks(draw, fixture, law, high, way) <= pressure)
        return high;
    for (i = 0; i < HALVINGS; i++) {
        middle = (low + high) / 2;
        if (asks(draw, fixture, law, middle, way) <= pressure)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* ---- Into the tank ------------------------------------------------------ */

static double
brought(const fc_site *site, double flow, enum fci_end end)
{
    const struct fci_element *source = &site->feed[0];
    struct fci_pressure p = { fci_source_pressure(
                                  source->part->data, source->shape,
                                  site->water_weight, flow, end),
                              INFINITY };
    size_t i;

    for (i = 1; i < site->n_feed; i++)
        p = fci_element_passes(site, &site->feed[i], p, flow, end);
    return fci_pressure_of(p)
           - site->water_weight * fci_more_is_worse(site->tank_rise, end);
}

#define MOST_BROUGHT 1.0 /* m3/s: no building draws as much */

double
fci_tank_rate(const fc_site *site, double pressure, enum fci_end end)
{
    const fc_source *source = site->feed[0].part->data;
    double low = 0, high = 1e-4, middle;
    int i;

    if (source->kind == FC_WELL)
        return fci_less_is_worse(source->rate, end);
    if (brought(site, 0, end) < pressure)
        return 0;
    while (brought(site, high, end) >= pressure && high < MOST_BROUGHT)
        high *= 2;
    for (i = 0; i < HALVINGS; i++) {
        middle = (low + high) / 2;
        if (brought(site, middle, end) >= pressure)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* ---- In the mean -------------------------------------------------------- */

double
fci_tank_full_flush(const fc_valve *valve, enum fci_end end)
{
    return valve && valve->full_flush.given
               ? fci_more_is_worse(valve->full_flush, end)
               : (double)NAN;
}

/* Where the share of reduced flushes is not known, all are full at the worst
 * and reduced at the best. */
static double
mean_volume(const fc_site *site, const fc_valve *valve, enum fci_end end)
{
    const fc_range any = { true, 0.5, 0, 1 };

    return fci_mean_flush(
        valve, fci_less_is_worse(fci_reduced_share(site, valve, any), end),
        end);
}

static double
flushes_of(const fc_site *site, const struct fci_fixture *fixture,
           fc_state state, enum fci_end end)
{
    const fc_range each = fixture->valve[state]->flushes_per_use;
    const struct fci_busy busy = fci_valve_busy(site, fixture, state, end);

    if (!each.given && fci_is_sensor(fixture, state))
        return fci_more_is_worse(
                   fci_tables_usual(site->tables, FCI_USUAL_SENSOR_FLUSHES)
                       ->range,
                   end)
               / busy.interval;
    return (each.given ? fci_more_is_worse(each, end) : 1) / busy.interval;
}

/* What is no flush valve runs some share of the time at its rate. */
static double
other_flow(const fc_site *site, const struct fci_fixture *fixture,
           enum fci_end end)
{
    const fc_range share =
        fci_tables_usual(site->tables, FCI_USUAL_RUNNING)->range;

    return fixture->outlet_rate.given
               ? fci_more_is_worse(share, end)
                     * fci_more_is_worse(fixture->outlet_rate, end)
               : 0;
}

struct fci_mean_draw
fci_tank_mean(const fc_site *site, fc_state state, enum fci_end end)
{
    struct fci_mean_draw mean = { 0 };
    size_t i;

    for (i = 0; i < site->n_draws; i++)
        mean.flow += fci_more_is_worse(site->draws[i].flow, end);
    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_fixture *fixture = &site->fixtures[i];
        const fc_valve *valve = fixture->valve[state];
        const double count = fci_fixture_count(fixture, end);
        double flushes;

        if (!valve) {
            mean.flow += count * other_flow(site, fixture, end);
            continue;
        }
        flushes = count * flushes_of(site, fixture, state, end);
        mean.flow += flushes * mean_volume(site, valve, end);
        mean.flushes += flushes;
        mean.volume = fmax(mean.volume, fci_tank_full_flush(valve, end));
    }
    return mean;
}
