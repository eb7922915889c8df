/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/water.c -- the water that flush valves use in a year. */
#include "effects/effects.h"
#include "effects/idle.h"
#include "units/range_sums.h"
#include "words/phrase.h"

#include <math.h>

/* The prices are of so much water. */
#define THOUSAND_GALLONS 3.785411784 /* m3 */
#define HOUR 3600.0
#define OR_NONE "; or none, where not given"

/* ---- What it rests on -------------------------------------------------- */

static void
say_count(struct fci_words *words, fc_range count, const char *what)
{
    if (!count.given || !(count.high > 0))
        return;
    if (fci_is_exact(count))
        fci_say(words, " and ", "%.6g %s", count.nominal, what);
    else
        fci_say(words, " and ", "%.6g to %.6g %s", count.low, count.high,
                what);
}

static void
say_kind(struct fci_words *words, const char *name, fc_range people,
         fc_range men, fc_range women)
{
    struct fci_words kind = { words->arena, "", 0 };

    say_count(&kind, people, "people");
    say_count(&kind, men, "men");
    say_count(&kind, women, "women");
    if (kind.n > 0 && kind.text)
        fci_say(words, "; ", name ? "%s: %s" : "%s%s", name ? name : "",
                kind.text);
}

/* "150 men and 150 women", "customers: 40 people" */
static const char *
say_people(const fc_site *site, struct fci_arena *arena)
{
    const fc_usage *u = &site->usage;
    struct fci_words words = { arena, "", 0 };

    say_kind(&words, NULL, u->people, u->men, u->women);
    for (size_t i = 0; i < site->n_parts; i++) {
        const fc_people *p = site->parts[i].data;

        if (site->parts[i].kind == FCI_PEOPLE)
            say_kind(&words, p->name, p->people, p->men, p->women);
    }
    if (words.n == 0)
        fci_say(&words, "", "uses a day of the fixtures");
    return words.text;
}

/* "after 72 h without use": of sensor valves, in any state. */
static const char *
say_interval(const struct fci_effects *e)
{
    const fc_range usual =
        fci_tables_usual(e->site->tables, FCI_USUAL_HYGIENE)->range;
    double least = INFINITY, most = 0;
    bool lacks = false;

    for (size_t i = 0; i < e->site->n_fixtures; i++)
        for (int s = 0; s < fci_effect_states(e); s++) {
            const struct fci_fixture *f = &e->site->fixtures[i];
            fc_range after;

            if (!fci_is_sensor(f, (fc_state)s) || !e->uses[s][i].given)
                continue;
            after = f->valve[s]->hygiene_flush;
            lacks = lacks || !after.given;
            after = after.given ? after : usual;
            least = fmin(least, after.nominal / HOUR);
            most = fmax(most, after.nominal / HOUR);
        }
    return least < most
               ? fci_arena_printf(e->arena,
                                  "after %.3g to %.3g h without use%s", least,
                                  most, lacks ? OR_NONE : "")
               : fci_arena_printf(e->arena, "after %.3g h without use%s", most,
                                  lacks ? OR_NONE : "");
}

/* Of all of a fixture, however many there are. */
/* ---- Figures ----------------------------------------------------------- */

static bool
take_fixtures(struct fci_effects *e, fc_water_use *water)
{
    const fc_site *site = e->site;
    fc_used_fixture *list =
        fci_arena_array(e->arena, site->n_fixtures + 1, sizeof *list);

    water->fixtures = list;
    for (size_t i = 0; list && i < site->n_fixtures; i++) {
        const struct fci_fixture *f = &site->fixtures[i];
        fc_used_fixture *to = &list[water->n_fixtures];

        if (!f->kind->flushes)
            continue;
        to->name = f->given->name;
        to->count = f->count;
        for (int s = 0; s < fci_effect_states(e); s++) {
            const struct fci_use *use = &e->uses[s][i];
            const fc_valve *valve = f->valve[s];

            if (!valve)
                continue;
            to->states[s].valve = valve->name;
            to->states[s].uses = use->uses;
            to->states[s].flushes = use->flushes;
            to->states[s].hygiene = use->hygiene;
            to->states[s].volume = use->volume;
        }
        water->n_fixtures++;
    }
    return list != NULL;
}

/* Of all valves of the building. */
static fc_range
hygiene_of(const struct fci_effects *e, fc_state state)
{
    fc_range hull = { 0 };

    for (size_t side = 0; side < e->year.n_sides; side++) {
        fc_range sum = { 0 };

        for (size_t i = 0; i < e->site->n_fixtures; i++)
            fci_range_add(&sum, e->year.all[side][state][i].hygiene);
        fci_range_hull(&hull, sum);
    }
    return hull;
}

static fc_range
price_of_water(const fc_site *site)
{
    const struct fci_part *part = fci_price_part(site);
    const fc_range none = { 0 };

    return !part ? none
                 : fci_range_times(
                     ((const fc_fix_prices *)part->data)->water,
                     fci_file_units(site) == FC_SI ? 1 : 1 / THOUSAND_GALLONS);
}

static void
take_costs(struct fci_effects *e, fc_water_use *water)
{
    const fc_range price = price_of_water(e->site);

    if (!price.given)
        return;
    for (int s = 0; s < fci_effect_states(e); s++)
        water->cost[s] = fci_range_times(water->volume[s], price.nominal);
    if (e->converted)
        water->cost_saved = fci_range_times(water->saved, price.nominal);
}

/* ---- Rows -------------------------------------------------------------- */

/* "about 27%; mostly how many stays are long" */
static const char *
say_saved(struct fci_effects *e, const fc_water_use *water)
{
    const double before = water->volume[FC_EXISTING].nominal;
    struct fci_words words = { e->arena, "", 0 };

    if (before > 0)
        fci_say(&words, "", "about %.0f%%", /* and no "-0%" */
                round(100 * water->saved.nominal / before) + 0.0);
    if (water->weighs)
        fci_say(&words, "; ", "controls: %s", water->weighs);
    return words.text;
}

static void
put_rows(struct fci_effects *e, const fc_water_use *water)
{
    const char *people = say_people(e->site, e->arena);
    fc_effect row = { .area = FC_WATER_EFFECT,
                      .what = "flush water a year",
                      .dimension = FC_WATER,
                      .rests_on = people };
    fc_effect saved = { .area = FC_WATER_EFFECT,
                        .what = "water saved a year",
                        .dimension = FC_WATER };
    fc_effect cost = { .area = FC_WATER_EFFECT, .what = "water cost a year" };
    fc_effect cost_saved = { .area = FC_WATER_EFFECT,
                             .what = "water cost saved" };
    fc_effect hygiene = { .area = FC_HYGIENE_EFFECT,
                          .what = "hygiene flushes a year" };

    for (int s = 0; s < fci_effect_states(e); s++) {
        row.values[s] = water->volume[s];
        cost.values[s] = water->cost[s];
        if (water->hygiene[s].high > 0)
            hygiene.values[s] = water->hygiene[s];
    }
    hygiene.rests_on = say_interval(e);
    cost.rests_on = fci_file_units(e->site) == FC_SI
                        ? "price of 1 m3 given"
                        : "price of 1,000 gal given";
    if (e->converted) {
        cost_saved.values[FC_RETROFIT] = water->cost_saved;
        saved.values[FC_RETROFIT] = water->saved;
        saved.rests_on = say_saved(e, water);
    }
    fci_effect_row(e, &row);
    /* a screen has the first rows of each area */
    fci_effect_row(e, &cost_saved);
    fci_effect_row(e, &saved);
    fci_effect_row(e, &cost);
    fci_effect_row(e, &hygiene);
}

/* ---- What is assumed --------------------------------------------------- */

static void
assume_usual(struct fci_effects *e, enum fci_usual_name name, const char *what,
             const char *key)
{
    const struct fci_usual *usual = fci_tables_usual(e->site->tables, name);

    fci_assume(&e->found, "%s not given (%s): %s, as is usual", what, key,
               fci_effect_said(e, usual->dimension, usual->range));
}

static bool
any_valve(const struct fci_effects *e,
          bool (*is)(const struct fci_fixture *f, fc_state state))
{
    for (size_t i = 0; i < e->site->n_fixtures; i++)
        for (int s = 0; s < fci_effect_states(e); s++)
            if (e->site->fixtures[i].valve[s] && e->uses[s][i].given
                && is(&e->site->fixtures[i], (fc_state)s))
                return true;
    return false;
}

static bool
sensor_by_rule(const struct fci_fixture *f, fc_state state)
{
    return fci_is_sensor(f, state) && f->valve[state]->sensor == FC_NOT_SAID;
}

static bool
lacks_flushes(const struct fci_fixture *f, fc_state state)
{
    return fci_is_sensor(f, state) && !f->valve[state]->flushes_per_use.given;
}

static bool
lacks_hygiene(const struct fci_fixture *f, fc_state state)
{
    return fci_is_sensor(f, state) && !f->valve[state]->hygiene_flush.given;
}

static bool
lacks_stays(const struct fci_fixture *f, fc_state state)
{
    return f->valve[state]->reduced_flush.given
           && !f->valve[state]->reduced_share.given;
}

/* Whether those of some people are not given. */
static bool
lacks_days(const fc_site *site)
{
    const fc_usage *usage = &site->usage;
    bool lacking =
             usage->people.given || usage->men.given || usage->women.given,
         others = false;

    for (size_t i = 0; i < site->n_parts; i++) {
        const fc_people *people = site->parts[i].data;

        if (site->parts[i].kind != FCI_PEOPLE)
            continue;
        others = true;
        lacking = lacking || !people->days_per_year.given;
    }
    return !usage->days_per_year.given && usage->n_closed == 0
           && (lacking || !others);
}

/* Whether the spells of the file leave days without use over. */
static bool
lacks_spells(const fc_usage *usage)
{
    return usage->n_closed == 0
           || (usage->days_per_year.given
               && !fci_spells_are_told(usage, usage->days_per_year));
}

static const char *
say_usual(struct fci_effects *e, enum fci_usual_name name)
{
    const struct fci_usual *usual = fci_tables_usual(e->site->tables, name);
    const char *said = fci_effect_said(e, usual->dimension, usual->range);

    return said ? said : "";
}

static void
assume_all(struct fci_effects *e)
{
    const fc_usage *usage = &e->site->usage;

    fci_assume(&e->found,
               "people share the closets and the urinals that they may use "
               "evenly, but for fixtures with \"uses per day\"; flush tanks "
               "take their part, and their water is not counted");
    if (any_valve(e, sensor_by_rule))
        fci_assume(&e->found,
                   "valves put in by the retrofit are sensor-operated, where "
                   "the file does not say (sensor = no)");
    if (lacks_days(e->site))
        assume_usual(e, FCI_USUAL_DAYS, "days of use a year",
                     "[usage] days per year");
    if (usage->people.given)
        fci_assume(&e->found,
                   "how many of the people are men is not given ([usage] men, "
                   "women): anything from none to all");
    if (!usage->uses_per_day.given && !usage->closet_uses.given)
        fci_assume(&e->found,
                   "a woman uses a closet %s times a day, a man a closet %s "
                   "and a urinal %s times; where there is no urinal a closet "
                   "in its place (\"flushcalc tables closet uses\")",
                   say_usual(e, FCI_USUAL_WOMAN_CLOSET),
                   say_usual(e, FCI_USUAL_MAN_CLOSET),
                   say_usual(e, FCI_USUAL_MAN_URINAL));
    if (any_valve(e, lacks_flushes))
        assume_usual(e, FCI_USUAL_SENSOR_FLUSHES,
                     "flushes of a sensor valve for each use",
                     "[valve] flushes per use");
    if (any_valve(e, lacks_stays) && !usage->long_stay_share.given)
        assume_usual(e, FCI_USUAL_LONG_STAYS,
                     "share of the closet uses that take the full flush",
                     "[usage] long stay share");
    if (any_valve(e, lacks_hygiene))
        fci_assume(&e->found,
                   "hygiene flush of a sensor valve not given ([valve] "
                   "hygiene flush): none, or after 72 h without use");
    if (any_valve(e, fci_is_sensor) && !usage->hours_per_day.given)
        fci_assume(
            &e->found,
            "hours of use a day not given ([usage] hours per day): %s, "
            "as is usual",
            fci_effect_said(
                e, FC_NUMBER,
                fci_range_times(
                    fci_tables_usual(e->site->tables, FCI_USUAL_HOURS)->range,
                    1 / HOUR)));
    if (any_valve(e, fci_is_sensor) && lacks_spells(usage))
        fci_assume(&e->found,
                   "when the building stands empty is not given ([usage] "
                   "closed)%s: single days, weekends or one long spell, "
                   "whichever makes fewest and most hygiene flushes",
                   usage->n_closed > 0 ? " for all days without use" : "");
    if (e->year.left_out)
        fci_assume(&e->found,
                   "the volume of a flush is not known in every state of some "
                   "fixtures, so that no water of theirs is counted: %s",
                   e->year.left_out);
}

/* ---- The whole -------------------------------------------------------- */

static void
say_lacking(struct fci_effects *e)
{
    fci_find(&e->found, FC_NOTE, "", 0, FC_FOUND_WATER_USE,
             "Water a year, hygiene flushes and batteries are not calculated: "
             "who uses the fixtures is not given. Give [usage] people, or men "
             "and women, and days per year; or \"uses per day\" of fixtures.",
             NULL);
}

fc_status
fci_effects_water(struct fci_effects *e, fc_diagnostics *messages)
{
    fc_water_use *water;

    (void)messages;
    if (!e->year.told) {
        say_lacking(e);
        return e->arena->failed ? FC_ENOMEM : FC_OK;
    }
    water = fci_arena_array(e->arena, 1, sizeof *water);
    if (!water || !take_fixtures(e, water))
        return FC_ENOMEM;
    for (int s = 0; s < fci_effect_states(e); s++)
        water->hygiene[s] = hygiene_of(e, (fc_state)s);
    for (int s = 0; s < fci_effect_states(e) && e->year.counts; s++)
        water->volume[s] = e->year.volume[s];
    if (e->converted && e->year.counts) {
        water->saved = e->year.saved;
        water->saved_by_it = e->year.saved_by_it;
        if (e->year.weighs != FCI_UNKNOWNS)
            water->weighs = fci_unknown_said(e->year.weighs);
    }
    take_costs(e, water);
    e->result->water = water;
    put_rows(e, water);
    assume_all(e);
    if (e->year.homeless)
        fci_find(&e->found, FC_WARN, "", 0, FC_FOUND_WATER_USE,
                 "Some of the people find no fixture of this file that they "
                 "may use: their uses are not counted. See \"used by\".",
                 NULL);
    return e->arena->failed ? FC_ENOMEM : FC_OK;
}
