/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/batteries.c -- how long the batteries of sensor valves last. */
#include "effects/effects.h"
#include "effects/idle.h"
#include "units/range_sums.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define YEAR (FCI_YEAR_DAYS * FCI_DAY) /* s */
#define CALENDAR 10                    /* years */

static bool
has_batteries(const struct fci_fixture *f, fc_state state)
{
    return fci_is_sensor(f, state) && f->valve[state]->power != FC_WIRED;
}

/* Flushes of a set over those of a year, but no longer than its life. */
static fc_range
years_of(const fc_battery *b, fc_range life)
{
    return (fc_range){
        .given = true,
        .nominal =
            fmin(b->set.nominal / b->flushes.nominal, life.nominal / YEAR),
        .low = fmin(b->set.low / b->flushes.high, life.low / YEAR),
        .high = fmin(b->set.high / b->flushes.low, life.high / YEAR),
    };
}

/* Sets a year of all valves of a fixture on one side: as many as their flushes
 * take, and no fewer than their life does. */
static fc_range
sets_of(const struct fci_all_uses *all, fc_range set, fc_range life)
{
    return (fc_range){
        .given = all->flushes.given,
        .nominal = fmax(all->flushes.nominal / set.nominal,
                        all->count.nominal * YEAR / life.nominal),
        .low = fmax(all->flushes.low / set.high,
                    all->count.low * YEAR / life.high),
        .high = fmax(all->flushes.high / set.low,
                     all->count.high * YEAR / life.low),
    };
}

/* `sums` of the building on each side. */
static fc_battery
battery_of(const struct fci_effects *e, size_t at, fc_state state,
           fc_range sums[FCI_SIDES])
{
    const struct fci_fixture *f = &e->site->fixtures[at];
    const fc_valve *valve = f->valve[state];
    fc_battery b = { .fixture = f->given->name,
                     .count = f->count,
                     .counted = f->many.given ? f->many : fc_exactly(f->count),
                     .flushes = e->uses[state][at].flushes,
                     .set = valve->flushes_per_battery_set,
                     .set_usual = !valve->flushes_per_battery_set.given };
    fc_range life = valve->battery_life;

    if (b.set_usual)
        b.set = fci_tables_usual(e->site->tables, FCI_USUAL_BATTERY)->range;
    if (!life.given)
        life =
            fci_tables_usual(e->site->tables, FCI_USUAL_BATTERY_LIFE)->range;
    if (b.flushes.given)
        b.years = years_of(&b, life);
    for (size_t side = 0; side < e->year.n_sides; side++) {
        const fc_range sets =
            sets_of(&e->year.all[side][state][at], b.set, life);

        fci_range_hull(&b.sets, sets);
        fci_range_add(&sums[side], sets);
    }
    return b;
}

/* What falls due soonest in the middle first, then as in the file. */
static int
by_years(const void *a, const void *b)
{
    const fc_battery *x = a, *y = b;
    const double of_x = x->years.given ? x->years.nominal : INFINITY;
    const double of_y = y->years.given ? y->years.nominal : INFINITY;

    if (of_x < of_y || of_x > of_y)
        return of_x < of_y ? -1 : 1;
    return strcmp(x->fixture, y->fixture);
}

/* How often a time has passed after so many years. */
static double
times_due(double years, double interval)
{
    return floor(years / interval + 1e-9);
}

static bool
make_calendar(struct fci_effects *e, fc_batteries *batteries)
{
    fc_battery_year *years =
        fci_arena_array(e->arena, CALENDAR, sizeof *years);

    for (int y = 0; years && y < CALENDAR; y++) {
        years[y].year = y + 1;
        years[y].sets.given = true;
        for (size_t i = 0; i < batteries->n_fixtures; i++) {
            const fc_battery *b = &batteries->fixtures[i];
            const fc_range every = b->years;

            if (!every.given)
                continue;
            years[y].sets.low += b->counted.low * times_due(y + 1, every.high);
            years[y].sets.nominal +=
                b->counted.nominal * times_due(y + 1, every.nominal);
            years[y].sets.high +=
                b->counted.high * times_due(y + 1, every.low);
        }
    }
    batteries->calendar = years;
    batteries->n_calendar = CALENDAR;
    return years != NULL;
}

static void
take_sets(struct fci_effects *e, const fc_range sums[FCI_SIDES],
          fc_batteries *batteries)
{
    const struct fci_part *part = fci_price_part(e->site);
    const fc_fix_prices *prices = part ? part->data : NULL;

    for (size_t side = 0; side < e->year.n_sides; side++)
        fci_range_hull(&batteries->sets, sums[side]);
    if (prices && prices->battery_set.given)
        batteries->cost =
            fci_range_times(batteries->sets, prices->battery_set.nominal);
}

static fc_status
make_state(struct fci_effects *e, fc_state state)
{
    fc_batteries *batteries = fci_arena_array(e->arena, 1, sizeof *batteries);
    fc_battery *list =
        fci_arena_array(e->arena, e->site->n_fixtures + 1, sizeof *list);

    fc_range sums[FCI_SIDES] = { { 0 } };

    if (!batteries || !list)
        return FC_ENOMEM;
    for (size_t i = 0; i < e->site->n_fixtures; i++)
        if (has_batteries(&e->site->fixtures[i], state))
            list[batteries->n_fixtures++] = battery_of(e, i, state, sums);
    if (batteries->n_fixtures == 0)
        return FC_OK;
    qsort(list, batteries->n_fixtures, sizeof *list, by_years);
    batteries->state = state;
    batteries->fixtures = list;
    take_sets(e, sums, batteries);
    e->result->batteries[state] = batteries;
    return make_calendar(e, batteries) ? FC_OK : FC_ENOMEM;
}

/* Whether the file does not say how long some set of them lasts at most. */
static bool
lacks_life(const struct fci_effects *e, const fc_batteries *batteries)
{
    for (size_t i = 0; i < e->site->n_fixtures; i++)
        if (has_batteries(&e->site->fixtures[i], batteries->state)
            && !e->site->fixtures[i]
                    .valve[batteries->state]
                    ->battery_life.given)
            return true;
    return false;
}

static void
put_rows(struct fci_effects *e)
{
    const fc_batteries *told = e->result->batteries[e->result->state];
    const fc_range life = fci_range_times(
        fci_tables_usual(e->site->tables, FCI_USUAL_BATTERY_LIFE)->range,
        1 / YEAR);
    fc_effect sets = { .area = FC_BATTERY_EFFECT,
                       .what = "battery sets a year" };
    fc_effect years = { .area = FC_BATTERY_EFFECT,
                        .what = "battery set lasts",
                        .unit = "years" };
    fc_effect cost = { .area = FC_BATTERY_EFFECT,
                       .what = "battery cost a year",
                       .rests_on = "price of a set" };

    for (int s = 0; s < fci_effect_states(e); s++) {
        const fc_batteries *b = e->result->batteries[s];

        if (!b)
            continue;
        sets.values[s] = b->sets;
        years.values[s] = b->fixtures[0].years;
        cost.values[s] = b->cost;
    }
    if (told) {
        years.at = told->fixtures[0].fixture;
        years.rests_on = lacks_life(e, told) ? fci_arena_printf(
                             e->arena, "first due; %s years at most, usual",
                             fci_effect_said(e, FC_NUMBER, life))
                                             : "first due";
        sets.rests_on = told->fixtures[0].set_usual || lacks_life(e, told)
                            ? "flushes, life of a set; usual, where not given"
                            : "flushes, life of a set";
    }
    /* a screen has the first rows of each area */
    fci_effect_row(e, &years);
    fci_effect_row(e, &cost);
    fci_effect_row(e, &sets);
}

fc_status
fci_effects_batteries(struct fci_effects *e, fc_diagnostics *messages)
{
    fc_status status = FC_OK;
    bool usual = false, lacks = false;

    (void)messages;
    for (int s = 0; s < fci_effect_states(e) && status == FC_OK; s++)
        status = make_state(e, (fc_state)s);
    if (status != FC_OK)
        return status;
    put_rows(e);
    for (int s = 0; s < fci_effect_states(e); s++)
        lacks = lacks
                || (e->result->batteries[s]
                    && lacks_life(e, e->result->batteries[s]));
    for (int s = 0; s < fci_effect_states(e); s++)
        for (size_t i = 0; e->result->batteries[s]
                           && i < e->result->batteries[s]->n_fixtures;
             i++)
            usual = usual || e->result->batteries[s]->fixtures[i].set_usual;
    if (usual && e->year.told) {
        const fc_range set =
            fci_tables_usual(e->site->tables, FCI_USUAL_BATTERY)->range;

        fci_assume(&e->found,
                   "flushes of a set of batteries not given ([valve] flushes "
                   "per battery set): %s, as is usual; sensor valves have "
                   "batteries where the file does not say (power = wired)",
                   fci_effect_said(e, FC_NUMBER, set));
    }
    if (lacks && e->year.told)
        fci_assume(&e->found,
                   "how long a set of batteries lasts at most not given "
                   "([valve] battery life): %.3g years, as is usual",
                   fci_tables_usual(e->site->tables, FCI_USUAL_BATTERY_LIFE)
                           ->range.nominal
                       / YEAR);
    return e->arena->failed ? FC_ENOMEM : FC_OK;
}
