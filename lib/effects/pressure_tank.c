/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/pressure_tank.c -- how long the water of a tank lasts, existing
 * and after the retrofit. */
#include "effects/effects.h"
#include "effects/tank_words.h"
#include "laws/boyle.h"
#include "peak/march.h"
#include "units/range_sums.h"

/* ---- Figures ------------------------------------------------------------ */

static const char *
name_of(const fc_site *site, size_t fixture)
{
    return fixture == FCI_NONE ? NULL : site->fixtures[fixture].given->name;
}

static double
finite(double x)
{
    return isinf(x) ? (double)NAN : x;
}

static fc_range
mean_of(const struct fci_tank_lasts *l)
{
    const double mean[] = { l->mean[FCI_NOMINAL].flow, l->mean[FCI_WORST].flow,
                            l->mean[FCI_BEST].flow };

    return fci_as_range(mean);
}

#define DAY 86400.0 /* s */

static void
add_times(fc_range *sum, fc_range each, const struct fci_fixture *fixture)
{
    sum->nominal += fci_fixture_count(fixture, FCI_NOMINAL) * each.nominal;
    sum->low += fci_fixture_count(fixture, FCI_BEST) * each.low;
    sum->high += fci_fixture_count(fixture, FCI_WORST) * each.high;
}

/* On a day of use; not given where of some valve it is not known. */
static fc_range
use_of_day(const struct fci_effects *e, fc_state state, const char **missing)
{
    fc_range sum = fc_exactly(0);
    size_t i;

    *missing = NULL;
    for (i = 0; i < e->site->n_draws; i++)
        fci_range_add(&sum, fci_range_times(e->site->draws[i].flow, DAY));
    for (i = 0; i < e->site->n_fixtures; i++) {
        const struct fci_fixture *fixture = &e->site->fixtures[i];
        const struct fci_use *use = &e->uses[state][i];

        if (!fixture->valve[state]) {
            if (fixture->given->draw_per_day.given)
                add_times(&sum, fixture->given->draw_per_day, fixture);
            else if (!*missing)
                *missing = fixture->given->name;
            continue;
        }
        if (!use->given || !use->volume.given || !use->days.given
            || !(use->days.low > 0))
            return (fc_range){ 0 };
        sum.nominal += fci_fixture_count(fixture, FCI_NOMINAL)
                       * use->volume.nominal / use->days.nominal;
        sum.low += fci_fixture_count(fixture, FCI_BEST) * use->volume.low
                   / use->days.high;
        sum.high += fci_fixture_count(fixture, FCI_WORST) * use->volume.high
                    / use->days.low;
    }
    return sum;
}

static fc_range
days_of(const fc_range *volume, const fc_range *a_day)
{
    fc_range days = { false, 0, 0, 0 };

    if (a_day->given && a_day->low > 0) {
        days = fc_exactly(DAY * volume->nominal / a_day->nominal);
        days.low = DAY * volume->low / a_day->high;
        days.high = DAY * volume->high / a_day->low;
    }
    return days;
}

static void
take_state(const struct fci_effects *e, const struct fci_tank_lasts *l,
           fc_state state, const fc_tank_water *tank, fc_tank_state *out)
{
    out->row = l->row;
    out->busy = l->busy;
    out->lacks = l->lacks ? fci_tank_lacks(e->arena, l) : NULL;
    out->in_row_worst = out->in_row_best = NAN;
    out->lasts_worst = out->lasts_best = NAN;
    out->refill_worst = out->refill_best = NAN;
    out->volume_for_row = out->volume_for_busy = NAN;
    if (l->lacks)
        return;
    out->first = name_of(e->site, l->first);
    out->thirsty = name_of(e->site, l->thirsty);
    if (l->first != FCI_NONE)
        out->least = fci_as_range(l->least);
    out->water = fci_as_range(l->water);
    if (l->thirsty != FCI_NONE) {
        out->flush = fci_as_range(l->flush);
        out->borrowed = fci_as_range(l->borrowed);
        out->in_row_worst = finite(floor(l->in_row[FCI_WORST]));
        out->in_row_best = finite(floor(l->in_row[FCI_BEST]));
        out->volume_for_row = finite(l->for_row[FCI_WORST]);
    }
    out->rate = fci_as_range(l->rate);
    out->rate_out = fci_as_range(l->rate_out);
    out->mean = mean_of(l);
    out->lasts_worst = finite(l->lasts[FCI_WORST]);
    out->lasts_best = finite(l->lasts[FCI_BEST]);
    out->by_chance = l->by_chance;
    out->refill_worst = finite(l->refill[FCI_WORST]);
    out->refill_best = finite(l->refill[FCI_BEST]);
    out->volume_for_busy = finite(l->for_busy[FCI_WORST]);
    out->a_day = use_of_day(e, state, &out->not_counted);
    if (l->roof)
        out->days = days_of(&tank->volume, &out->a_day);
}

static double
drawn(const fc_pressure_tank *t, double precharge, enum fci_end end)
{
    const double from = fci_less_is_worse(t->cut_out, end);
    const double to = fci_more_is_worse(t->cut_in, end);

    return to < from
               ? fci_less_is_worse(t->volume, end)
                     * fci_boyle_drawn(precharge, from, to, FCI_ISOTHERMAL)
               : 0;
}

/* The most is where the tank is just empty at the cut-in, or at an end of its
 * precharge, the least at an end. */
static fc_range
draw_down(const fc_pressure_tank *t)
{
    const fc_range pre = t->precharge;
    const double empty = fmin(fmax(t->cut_in.low, pre.low), pre.high);
    double ends[FCI_ENDS];

    ends[FCI_NOMINAL] = drawn(t, pre.nominal, FCI_NOMINAL);
    ends[FCI_WORST] =
        fmin(drawn(t, pre.low, FCI_WORST), drawn(t, pre.high, FCI_WORST));
    ends[FCI_BEST] =
        fmax(fmax(drawn(t, pre.low, FCI_BEST), drawn(t, pre.high, FCI_BEST)),
             drawn(t, empty, FCI_BEST));
    return fci_as_range(ends);
}

static fc_tank_water *
take_tank(struct fci_effects *e)
{
    const fc_site *site = e->site;
    const fc_pressure_tank *t = site->tank;
    fc_tank_water *tank = fci_arena_array(e->arena, 1, sizeof *tank);
    if (!tank)
        return NULL;
    tank->name = fci_tank_name(site);
    tank->at_height = !t;
    if (!t) {
        tank->volume =
            ((const fc_source *)site->elements[site->order[0]].part->data)
                ->volume;
        return tank;
    }
    tank->cut_in = t->cut_in;
    tank->cut_out = t->cut_out;
    tank->precharge = t->precharge;
    tank->volume = t->volume;
    tank->draw_down = draw_down(t);
    return tank;
}

/* ---- In the summary ----------------------------------------------------- */

static const char *
tank_said(struct fci_effects *e, const fc_tank_water *tank,
          const fc_tank_state *s)
{
    const char *volume = fci_effect_said(e, FC_VOLUME, tank->volume);
    const char *rate = fci_effect_said(e, FC_FLOW, s->rate);

    if (tank->at_height)
        return fci_arena_printf(e->arena, "%s, %s coming in", volume, rate);
    return fci_arena_printf(
        e->arena, "%s %.0f/%.0f %s, %s coming in", volume,
        fc_from_si(e->result->units, FC_PRESSURE, tank->cut_in.nominal),
        fc_from_si(e->result->units, FC_PRESSURE, tank->cut_out.nominal),
        fc_unit_name(e->result->units, FC_PRESSURE), rate);
}

/* "6 min or more", "keeps up" */
static const char *
lasts_said(struct fci_effects *e, const struct fci_tank_unit *unit,
           const fc_tank_state *s)
{
    if (isnan(s->lasts_worst))
        return "keeps up";
    if (isnan(s->lasts_best))
        return fci_arena_printf(
            e->arena, "%s or any time",
            fci_tank_times(e->arena, unit, s->lasts_worst, s->lasts_worst));
    return fci_tank_times(e->arena, unit, s->lasts_worst, s->lasts_best);
}

/* What both ask: the larger tank. */
static const char *
volume_said(struct fci_effects *e, const fc_tank_water *tank,
            const fc_tank_state *s, fc_range *value)
{
    const double row = tank->at_height ? 0 : s->volume_for_row;
    const double wanted = fmax(row, s->volume_for_busy);

    *value = (fc_range){ 0 };
    if (isnan(row) || isnan(s->volume_for_busy))
        return fci_tank_none(tank, s);
    *value = fc_exactly(wanted);
    return wanted > 0 ? fci_effect_said(e, FC_VOLUME, *value) : "any";
}

/* Flushes that end. */
static fc_range
whole(const double *flushes)
{
    return (fc_range){ true, floor(flushes[FCI_NOMINAL]),
                       floor(flushes[FCI_WORST]), floor(flushes[FCI_BEST]) };
}

static void
put_rows(struct fci_effects *e, const fc_tank_water *tank,
         const struct fci_tank_lasts *lasts)
{
    fc_effect row = { .area = FC_TANK_EFFECT,
                      .what = "tank: flushes in a row" };
    fc_effect busy = { .area = FC_TANK_EFFECT,
                       .what = "tank: lasts at peak use",
                       .dimension = FC_TIME };
    fc_effect volume = { .area = FC_TANK_EFFECT,
                         .what = "tank: volume needed",
                         .dimension = FC_VOLUME };

    double times[2 * FC_STATES];
    struct fci_tank_unit unit;

    for (int i = 0; i < FC_STATES; i++) {
        const bool is = i < fci_effect_states(e);

        times[2 * i] = is ? tank->states[i].lasts_worst : (double)NAN;
        times[2 * i + 1] = is ? tank->states[i].lasts_best : (double)NAN;
    }
    unit = fci_tank_unit_of(times, 2 * FC_STATES);
    for (int i = 0; i < fci_effect_states(e); i++) {
        const fc_tank_state *s = &tank->states[i];

        if (s->lacks)
            continue;
        if (s->thirsty) {
            row.values[i] = whole(lasts[i].in_row);
            row.said[i] = isinf(lasts[i].in_row[FCI_WORST])
                              ? "any number"
                              : fci_tank_count(e->arena, &lasts[i]);
            row.at = s->thirsty;
        }
        busy.values[i] =
            (fc_range){ true, lasts[i].lasts[FCI_NOMINAL],
                        lasts[i].lasts[FCI_WORST], lasts[i].lasts[FCI_BEST] };
        busy.said[i] = lasts_said(e, &unit, s);
        busy.rests_on = fci_arena_printf(
            e->arena, "busy for %s", fci_tank_minutes(e->arena, tank->period));
        volume.said[i] = volume_said(e, tank, s, &volume.values[i]);
        volume.rests_on = fci_arena_printf(
            e->arena, "%s in place; worst case%s",
            fci_effect_said(e, FC_VOLUME, tank->volume),
            tank->at_height
                ? ""
                : ", each valve once in a row and the busiest minutes");
        row.rests_on = tank_said(e, tank, s);
        if (tank->at_height)
            busy.rests_on = row.rests_on;
    }
    fci_effect_row(e, &row);
    fci_effect_row(e, &busy);
    fci_effect_row(e, &volume);
}

/* ---- The verdict -------------------------------------------------------- */

static void
judge(struct fci_effects *e, const struct fci_tank_lasts *l, fc_state state)
{
    const fc_range below =
        fci_tables_usual(e->site->tables, FCI_USUAL_PRECHARGE)->range;
    const char *why = NULL;

    if (l->lacks)
        why = fci_tank_lacks(e->arena, l);
    else if (l->row == FC_CANNOT_TELL
             && e->site->tank->precharge.high >= e->site->tank->cut_in.low)
        why = fci_arena_printf(
            e->arena,
            "may be empty at its cut-in; measure and set the precharge with "
            "the tank drained (usual: %.3g %s below cut-in)",
            fc_from_si(e->result->units, FC_PRESSURE, below.nominal),
            fc_unit_name(e->result->units, FC_PRESSURE));
    else if (l->row != FC_WORKS)
        why = l->row == FC_WILL_NOT_WORK
                  ? "a flush begun at cut-in ends too low"
                  : "a flush begun at cut-in may end too low";
    else if (l->busy != FC_WORKS)
        why = l->busy == FC_WILL_NOT_WORK
                  ? "water does not last through the busiest minutes"
                  : "water may not last through the busiest minutes";
    fci_effect_judge(e, FC_TANK_EFFECT, state, fci_tank_verdict(l), why);
}

/* Nothing is calculated of a tank whose volume is not given. */
static void
judge_unknown(struct fci_effects *e)
{
    const char *name = fci_tank_unknown(e->site);

    for (int i = 0; name && i < fci_effect_states(e); i++) {
        fci_tell_unknown_tank(&e->found, e->site, (fc_state)i);
        fci_effect_judge(
            e, FC_TANK_EFFECT, (fc_state)i, FC_CANNOT_TELL,
            fci_arena_printf(e->arena, "the volume of %s is not given", name));
    }
}

fc_status
fci_effects_tank(struct fci_effects *e, fc_diagnostics *messages)
{
    struct fci_tank_lasts lasts[FC_STATES];
    fc_tank_water *tank;

    (void)messages;
    if (!fci_tank_ends(e->site)) {
        judge_unknown(e);
        return e->arena->failed ? FC_ENOMEM : FC_OK;
    }
    tank = take_tank(e);
    if (!tank)
        return FC_ENOMEM;
    for (int i = 0; i < fci_effect_states(e); i++) {
        const fc_state state = (fc_state)i;

        if (!fci_tank_lasts_find(e->network[state], &lasts[i]))
            return FC_ENOMEM;
        tank->period = lasts[i].period;
        tank->flush_valves = fmax(tank->flush_valves, lasts[i].valves);
        take_state(e, &lasts[i], state, tank, &tank->states[i]);
        fci_tell_tank(&e->found, e->site, &lasts[i], state);
        judge(e, &lasts[i], state);
    }
    fci_assume_tank(&e->found, e->site);
    put_rows(e, tank, lasts);
    e->result->tank = tank;
    return e->arena->failed ? FC_ENOMEM : FC_OK;
}
