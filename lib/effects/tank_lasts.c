/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/tank_lasts.c -- how long the water of a tank lasts.
 *
 * Of a flush that draws q while the pump gives r the tank gives the part
 * (q - r) / q, which changes as its pressure falls: so the flushes that its
 * water is good for are the integral of q / (q - r) over that water, and the
 * time of a steady draw d that of 1 / (d - r).
 *
 * At the worst the air cools as it expands (a draw too quick for heat to
 * come); else it keeps the temperature of the water.
 */
#include "effects/tank_lasts.h"
#include "effects/tank_chance.h"
#include "laws/boyle.h"
#include "peak/flush_time.h"

/* ---- The tank ----------------------------------------------------------- */

static const fc_source *
roof_tank(const fc_site *site)
{
    const fc_source *source = site->elements[site->order[0]].part->data;

    return site->n_sources == 1 && source->kind == FC_TANK
                   && source->volume.given
               ? source
               : NULL;
}

bool
fci_tank_ends(const fc_site *site)
{
    return site->tank || roof_tank(site);
}

const char *
fci_tank_unknown(const fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_part *part = site->elements[i].part;
        const fc_source *source = part->data;

        if (part->kind == FCI_SOURCE && source->kind == FC_TANK
            && !source->volume.given)
            return site->elements[i].name;
    }
    return NULL;
}

/* Where it begins. */
static double
start_of(const fc_pressure_tank *tank, enum fci_end end)
{
    return end == FCI_WORST ? tank->cut_in.low
           : end == FCI_BEST
               ? tank->cut_out.high
               : (tank->cut_in.nominal + tank->cut_out.nominal) / 2;
}

/* The air, and where it falls from and to. */
struct air {
    double volume, precharge, from, exponent;
    double drawn; /* part of the volume until it is there */
};

static struct air
air_with(const fc_pressure_tank *tank, double precharge, double least,
         enum fci_end end)
{
    struct air air = { fci_less_is_worse(tank->volume, end), precharge,
                       start_of(tank, end),
                       end == FCI_WORST ? FCI_ADIABATIC : FCI_ISOTHERMAL, 0 };

    air.drawn =
        fci_boyle_drawn(precharge, air.from, fmax(least, 0), air.exponent);
    return air;
}

/* The more precharge, the more the tank gives, up to one that is empty before
 * it is there: so the least is at an end of its range, and the most where it
 * is just empty then, or at an end. */
static struct air
air_of(const fc_pressure_tank *tank, double least, enum fci_end end)
{
    const fc_range pre = tank->precharge;
    const struct air low = air_with(tank, pre.low, least, end);
    const struct air high = air_with(tank, pre.high, least, end);
    struct air middle;

    if (end == FCI_WORST)
        return low.drawn < high.drawn ? low : high;
    if (end == FCI_NOMINAL)
        return air_with(tank, pre.nominal, least, end);
    middle = air_with(tank, fmax(pre.low, fmin(least, pre.high)), least, end);
    if (middle.drawn >= fmax(low.drawn, high.drawn))
        return middle;
    return low.drawn > high.drawn ? low : high;
}

/* ---- Drawn down --------------------------------------------------------- */

struct drawing {
    const struct fci_tank_draw *draw;
    size_t fixture; /* that flushes; FCI_NONE: a steady flow is drawn */
    double flow;    /* beside it, or steadily */
    enum fci_end end;
};

/* What comes out and what it counts at a pressure: net flow out of the tank,
 * and the flow of the flush, or 1 of a time. */
static double
net_at(const struct drawing *d, double pressure, double *counts)
{
    const double rate =
        fci_tank_rate(d->draw->network->site, pressure, d->end);

    *counts = 1;
    if (d->fixture != FCI_NONE)
        *counts = fci_tank_flush(d->draw, d->fixture, pressure, d->end);
    return (d->fixture != FCI_NONE ? *counts : 0) + d->flow - rate;
}

#define STEPS 100 /* far finer than any of the figures is known */

/* The integral of the above; INFINITY: it does not come so far, as the pump
 * brings as much at the end. */
static double
draw_down(const struct drawing *d, const struct air *air, double least)
{
    double sum = 0, last = air->from, counts;
    int i;

    if (air->from < least)
        return 0;
    if (air->drawn > 0) /* a little before it is empty */
        last = fci_boyle_pressure(air->precharge, air->from,
                                  air->drawn * (1 - 1e-9), air->exponent);
    if (net_at(d, last, &counts) <= 0)
        return INFINITY;
    for (i = 0; i < STEPS && air->drawn > 0; i++) {
        const double net = net_at(
            d,
            fci_boyle_pressure(air->precharge, air->from,
                               air->drawn * (i + 0.5) / STEPS, air->exponent),
            &counts);

        sum += counts / net;
    }
    return sum / STEPS * air->drawn * air->volume;
}

/* ---- Filled ------------------------------------------------------------- */

/* The air has the temperature of the water meanwhile. */
static double
refill_with(const fc_site *site, double precharge, enum fci_end end)
{
    const fc_pressure_tank *tank = site->tank;
    const enum fci_end other = fci_other_end(end);
    const double low = fci_less_is_worse(tank->cut_in, end);
    const double high = fci_less_is_worse(tank->cut_out, other);
    double sum = 0;
    int i;

    for (i = 0; i < STEPS; i++) {
        const double from = low + (high - low) * i / STEPS;
        const double to = low + (high - low) * (i + 1) / STEPS;
        const double rate = fci_tank_rate(site, (from + to) / 2, end);

        if (!(rate > 0))
            return INFINITY;
        sum +=
            (fci_boyle_water(precharge, to) - fci_boyle_water(precharge, from))
            / rate;
    }
    return sum * fci_less_is_worse(tank->volume, other);
}

static double
refill(const fc_site *site, enum fci_end end)
{
    const fc_range pre = site->tank->precharge;
    const double low = refill_with(site, pre.low, end);
    const double high = refill_with(site, pre.high, end);
    /* the most is between them where the tank is just empty at the start */
    const double empty = refill_with(
        site, fmin(fmax(site->tank->cut_in.low, pre.low), pre.high), end);

    return end == FCI_WORST  ? fmax(fmax(low, high), empty)
           : end == FCI_BEST ? fmin(low, high)
                             : refill_with(site, pre.nominal, end);
}

/* ---- Which valves ------------------------------------------------------- */

static void
find_first(const struct fci_tank_draw *draw, struct fci_tank_lasts *l)
{
    size_t i;
    int end;

    l->first = FCI_NONE;
    for (end = 0; end < FCI_ENDS; end++)
        l->least[end] = -INFINITY;
    for (i = 0; i < draw->network->site->n_fixtures; i++)
        for (end = 0; end < FCI_ENDS; end++) {
            const double least = fci_tank_least(draw, i, (enum fci_end)end);

            if (!(least > l->least[end]))
                continue;
            l->least[end] = least;
            if (end == FCI_WORST)
                l->first = i;
        }
}

static double
borrowed(const struct fci_tank_draw *draw, size_t fixture, enum fci_end end)
{
    const fc_site *site = draw->network->site;
    /* the higher, the more it draws and the less the pump gives */
    const double pressure = fci_more_is_worse(site->tank->cut_in, end);
    const double flow = fci_tank_flush(draw, fixture, pressure, end);
    const double volume = fci_tank_full_flush(
        site->fixtures[fixture].valve[draw->network->state], end);

    return flow > 0
               ? volume
                     * fmax(1 - fci_tank_rate(site, pressure, end) / flow, 0)
               : 0;
}

static void
find_thirsty(const struct fci_tank_draw *draw, struct fci_tank_lasts *l)
{
    const fc_site *site = draw->network->site;
    double most = -1;
    size_t i;
    int end;

    l->thirsty = FCI_NONE;
    for (i = 0; i < site->n_fixtures; i++) {
        const double one = draw->network->outlets[i].flushes
                               ? borrowed(draw, i, FCI_WORST)
                               : -1;

        if (one > most) {
            most = one;
            l->thirsty = i;
        }
    }
    for (end = 0; end < FCI_ENDS && l->thirsty != FCI_NONE; end++) {
        l->borrowed[end] = borrowed(draw, l->thirsty, (enum fci_end)end);
        l->flush[end] = fci_tank_full_flush(
            site->fixtures[l->thirsty].valve[draw->network->state],
            (enum fci_end)end);
    }
}

/* ---- How long ----------------------------------------------------------- */

static double
steady_of(const fc_site *site, enum fci_end end)
{
    double flow = 0;
    size_t i;

    for (i = 0; i < site->n_draws; i++)
        flow += fci_more_is_worse(site->draws[i].flow, end);
    return flow;
}

/* What the tank gives from its cut-out to its cut-in, as a part of its volume,
 * at the least. */
static double
between(const fc_pressure_tank *tank)
{
    const double from = tank->cut_out.low, to = tank->cut_in.high;

    return to < from ? fmin(
               fci_boyle_drawn(tank->precharge.low, from, to, FCI_ADIABATIC),
               fci_boyle_drawn(tank->precharge.high, from, to, FCI_ADIABATIC))
                     : 0;
}

/* Volume of a tank that does so many times as much. */
static double
volume_for(double volume, double wanted, double does)
{
    return isinf(does) ? 0 : does > 0 ? volume * wanted / does : INFINITY;
}

static void
draw_pressure_tank(const struct fci_tank_draw *draw, struct fci_tank_lasts *l,
                   enum fci_end end)
{
    const fc_site *site = draw->network->site;
    const fc_pressure_tank *tank = site->tank;
    const struct air air = air_of(tank, l->least[end], end);
    const struct drawing row = { draw, l->thirsty, steady_of(site, end), end };
    const struct drawing busy = { draw, FCI_NONE, l->mean[end].flow, end };

    l->water[end] = air.from < l->least[end] ? 0 : air.drawn * air.volume;
    /* a pump gives the least at the highest pressure */
    l->rate[end] =
        fci_tank_rate(site, fci_more_is_worse(tank->cut_in, end), end);
    l->rate_out[end] =
        fci_tank_rate(site, fci_more_is_worse(tank->cut_out, end), end);
    if (end == FCI_WORST)
        l->between = between(tank) * air.volume;
    l->in_row[end] = draw_down(&row, &air, l->least[end]) / l->flush[end];
    l->lasts[end] = draw_down(&busy, &air, l->least[end]);
    l->refill[end] = refill(site, end);
    l->for_row[end] = volume_for(air.volume, l->valves, l->in_row[end]);
    l->for_busy[end] = volume_for(
        air.volume, fci_more_is_worse(l->period, end), l->lasts[end]);
}

static void
draw_roof_tank(const fc_site *site, struct fci_tank_lasts *l, enum fci_end end)
{
    const fc_source *tank = roof_tank(site);
    const double volume = fci_less_is_worse(tank->volume, end);
    const double rate =
        tank->rate.given ? fci_less_is_worse(tank->rate, end) : 0;
    const double net = l->mean[end].flow - rate;

    l->water[end] = volume;
    l->rate[end] = l->rate_out[end] = rate;
    l->in_row[end] = INFINITY;
    l->lasts[end] = net > 0 ? volume / net : INFINITY;
    l->refill[end] =
        rate > 0 ? fci_less_is_worse(tank->volume, fci_other_end(end)) / rate
                 : INFINITY;
    l->for_busy[end] =
        volume_for(volume, fci_more_is_worse(l->period, end), l->lasts[end]);
}

/* All flushes count as the largest, which strays the most from the mean. */
static struct fci_tank_run
run_of(const struct fci_tank_lasts *l)
{
    const struct fci_mean_draw *mean = &l->mean[FCI_WORST];
    const double flushed = mean->flushes * mean->volume;

    return (
        struct fci_tank_run){ mean->flushes,
                              mean->volume,
                              l->rate_out[FCI_WORST] - mean->flow + flushed,
                              mean->flow,
                              l->period.high,
                              l->water[FCI_WORST],
                              l->between };
}

#define SELDOM 0.05 /* 95 of 100 times it lasts */

static void
judge(struct fci_tank_lasts *l, double volume)
{
    const struct fci_tank_run run = run_of(l);

    l->by_chance = run.water > 0 && fci_tank_runs_out(&run) <= SELDOM;
    if (!l->by_chance)
        l->for_busy[FCI_WORST] =
            fmax(l->for_busy[FCI_WORST],
                 volume * fci_tank_times_more(&run, SELDOM));
    l->row = l->in_row[FCI_WORST] >= 1 ? FC_WORKS
             : l->in_row[FCI_BEST] < 1 ? FC_WILL_NOT_WORK
                                       : FC_CANNOT_TELL;
    l->busy = l->lasts[FCI_WORST] >= l->period.high && l->by_chance ? FC_WORKS
              : l->lasts[FCI_BEST] < l->period.low ? FC_WILL_NOT_WORK
                                                   : FC_CANNOT_TELL;
}

/* ---- The whole ---------------------------------------------------------- */

static bool
is_lacking(const fc_site *site, fc_state state, struct fci_tank_lasts *l)
{
    size_t i;

    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_fixture *fixture = &site->fixtures[i];
        const fc_valve *valve = fixture->valve[state];
        const char *lacks = valve ? fci_flush_lacks(fixture, state) : NULL;

        if (valve)
            l->valves += fixture->count;
        if (lacks || (valve && !fci_has_rate(valve))) {
            l->lacks = lacks ? lacks : "flow";
            l->of = valve->name;
            return true;
        }
    }
    return false;
}

bool
fci_tank_lasts_find(const struct fci_network *network,
                    struct fci_tank_lasts *l)
{
    const fc_site *site = network->site;
    struct fci_arena arena = { 0 };
    struct fci_tank_draw draw;
    bool room;
    int end;

    *l = (struct fci_tank_lasts){ .roof = !site->tank,
                                  .first = FCI_NONE,
                                  .thirsty = FCI_NONE,
                                  .row = FC_WORKS,
                                  .busy = FC_CANNOT_TELL };
    l->period = fci_busiest_minutes(site);
    if (is_lacking(site, network->state, l))
        return true;
    if (!l->roof && !network->bounded) {
        l->lacks = "loops are not followed";
        return true;
    }
    room = fci_tank_draw_make(&draw, network, &arena);
    if (room && !l->roof) {
        find_first(&draw, l);
        find_thirsty(&draw, l);
    }
    for (end = 0; end < FCI_ENDS && room; end++) {
        l->mean[end] = fci_tank_mean(site, network->state, (enum fci_end)end);
        if (l->roof)
            draw_roof_tank(site, l, (enum fci_end)end);
        else if (l->thirsty != FCI_NONE)
            draw_pressure_tank(&draw, l, (enum fci_end)end);
    }
    if (room && (l->roof || l->thirsty != FCI_NONE))
        judge(l,
              l->roof ? roof_tank(site)->volume.low : site->tank->volume.low);
    else if (room)
        l->lacks = "there is no flush valve";
    fci_arena_free(&arena);
    return room;
}

/* A tank whose air has another precharge gives more where that is between. */
static bool
carries_with(const fc_site *site, double precharge, double volume,
             double spare)
{
    const fc_pressure_tank *tank = site->tank;
    const double after = fci_boyle_pressure(
        precharge, tank->cut_in.low, volume / tank->volume.low, FCI_ADIABATIC);

    return tank->cut_in.low - after <= spare; /* and not where it is NAN */
}

/* While more comes in than is drawn steadily the quickest flush leaves the
 * pump the least time, else the longest draws the longest. */
bool
fci_tank_carries(const fc_site *site, const struct fci_tank_flushes *flushes)
{
    const fc_pressure_tank *tank = site->tank;
    double beside, taken;

    if (!tank)
        return flushes->volume <= roof_tank(site)->volume.low;
    if (flushes->volume <= 0)
        return true;
    beside = steady_of(site, FCI_WORST)
             - fci_tank_rate(site, tank->cut_in.low, FCI_WORST);
    taken = flushes->volume
            + beside * (beside > 0 ? flushes->longest : flushes->quickest);
    taken = taken < 0 ? 0 : taken; /* and not where it is NAN */
    return carries_with(site, tank->precharge.low, taken, flushes->spare)
           && carries_with(site, tank->precharge.high, taken, flushes->spare);
}

fc_verdict
fci_tank_verdict(const struct fci_tank_lasts *l)
{
    if (l->lacks)
        return FC_CANNOT_TELL;
    if (l->row == FC_WILL_NOT_WORK || l->busy == FC_WILL_NOT_WORK)
        return FC_WILL_NOT_WORK;
    return l->row == FC_WORKS ? l->busy : l->row;
}
