/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/tank_words.c -- how long the water of a tank lasts, in words.
 */
#include "effects/tank_words.h"
#include "peak/march.h"

const char *
fci_tank_name(const fc_site *site)
{
    return site->elements[site->order[0]].name;
}

const char *
fci_tank_count(struct fci_arena *arena, const struct fci_tank_lasts *l)
{
    const double least = floor(l->in_row[FCI_WORST]);
    const double most = floor(l->in_row[FCI_BEST]);

    if (isinf(least))
        return "any number of";
    if (isinf(most))
        return fci_arena_printf(arena, "%.0f or any number of", least);
    return least < most ? fci_arena_printf(arena, "%.0f to %.0f", least, most)
                        : fci_arena_printf(arena, "%.0f", least);
}

#define LONG_MINUTES 120.0 /* else hours or days say it better */

const char *
fci_tank_minutes(struct fci_arena *arena, fc_range time)
{
    const double least = time.low / 60, most = time.high / 60;

    if (most >= LONG_MINUTES) {
        const double times[] = { time.low, time.high };
        const struct fci_tank_unit unit = fci_tank_unit_of(times, 2);

        return fci_tank_times(arena, &unit, time.low, time.high);
    }
    return least < most
               ? fci_arena_printf(arena, "%.3g to %.3g min", least, most)
               : fci_arena_printf(arena, "%.3g min", least);
}

const char *
fci_tank_lacks(struct fci_arena *arena, const struct fci_tank_lasts *l)
{
    return l->of ? fci_arena_printf(arena, "\"%s\" of valve %s is not given",
                                    l->lacks, l->of)
                 : l->lacks;
}

static const fc_pressure_tank *
tank_given(const fc_site *site)
{
    for (size_t i = 0; site->tank && i < site->n_parts; i++)
        if (site->parts[i].kind == FCI_PRESSURE_TANK)
            return site->given[i];
    return NULL;
}

const char *
fci_tank_asks(struct fci_arena *arena, const fc_site *site,
              const struct fci_tank_lasts *l)
{
    const fc_pressure_tank *given = tank_given(site);

    if (l && l->lacks)
        return fci_arena_printf(arena, ": %s", fci_tank_lacks(arena, l));
    return given && !given->precharge.given
               ? "; its precharge is not given: measure it with the tank "
                 "drained"
               : "";
}

static void
tell_lacking(struct fci_findings *found, const fc_site *site,
             const struct fci_tank_lasts *l, unsigned states)
{
    fci_find(found, FC_WARN, fci_tank_name(site), states, FC_FOUND_TANK,
             "how long its water lasts is not calculated{when}: {lacks}",
             FCI_WITH(FCI_WORD("lacks", fci_tank_lacks(found->arena, l))));
}

static void
tell_in_row(struct fci_findings *found, const fc_site *site,
            const struct fci_tank_lasts *l, unsigned states)
{
    const struct fci_figure until = FCI_WORD(
        "until",
        l->first == FCI_NONE
            ? "it is empty"
            : fci_arena_printf(found->arena, "%s falls below its minimum",
                               site->fixtures[l->first].given->name));
    const struct fci_figure borrowed =
        FCI_RANGE("borrowed", FC_VOLUME, fci_as_range(l->borrowed));
    const struct fci_figure fixture =
        FCI_WORD("fixture", site->fixtures[l->thirsty].given->name);

    if (isinf(l->in_row[FCI_WORST]))
        fci_find(found, FC_NOTE, fci_tank_name(site), states, FC_FOUND_TANK,
                 "any number of flushes of {fixture} in a row{when}: the pump "
                 "keeps up",
                 FCI_WITH(fixture));
    else
        fci_find(
            found, l->row == FC_WORKS ? FC_NOTE : FC_WARN, fci_tank_name(site),
            states, FC_FOUND_TANK,
            "{count} flushes of {fixture} in a row{when}, each taking "
            "{borrowed} from the tank, until {until}; from a start at "
            "cut-in to one at cut-out",
            FCI_WITH(FCI_AS("count", FC_NUMBER, floor(l->in_row[FCI_WORST]),
                            fci_tank_count(found->arena, l)),
                     fixture, borrowed, until));
}

static void
tell_busy(struct fci_findings *found, const fc_site *site,
          const struct fci_tank_lasts *l, unsigned states)
{
    const char *subject = fci_tank_name(site);
    const double mean[] = { l->mean[FCI_NOMINAL].flow, l->mean[FCI_WORST].flow,
                            l->mean[FCI_BEST].flow };
    const struct fci_figure draw =
        FCI_RANGE("draw", FC_FLOW, fci_as_range(mean));
    const struct fci_figure rate =
        FCI_RANGE("rate", FC_FLOW, fci_as_range(l->rate));

    if (l->busy == FC_WORKS)
        fci_find(found, FC_NOTE, subject, states, FC_FOUND_TANK,
                 "lasts through the busiest minutes{when}: {draw} drawn in "
                 "the mean, {rate} coming in",
                 FCI_WITH(draw, rate));
    else if (l->lasts[FCI_WORST] >= l->period.high)
        fci_find(found, FC_WARN, subject, states, FC_FOUND_TANK,
                 "may not last when more flush than the mean of the busiest "
                 "minutes{when}: {draw} drawn in the mean, {rate} coming in",
                 FCI_WITH(draw, rate));
    else
        fci_find(
            found, FC_WARN, subject, states, FC_FOUND_TANK,
            "{may} last through the busiest minutes{when}: {draw} drawn in "
            "the mean, {rate} coming in; too low after {time} in the worst "
            "case, where they may last {period}",
            FCI_WITH(FCI_WORD("may", l->busy == FC_WILL_NOT_WORK ? "does not"
                                                                 : "may not"),
                     draw, rate,
                     FCI_AS("time", FC_TIME, l->lasts[FCI_WORST],
                            fci_tank_minutes(found->arena,
                                             fc_exactly(l->lasts[FCI_WORST]))),
                     { "period", FC_TIME, l->period,
                       fci_tank_minutes(found->arena, l->period) }));
}

void
fci_tell_tank(struct fci_findings *found, const fc_site *site,
              const struct fci_tank_lasts *l, fc_state state)
{
    if (l->lacks) {
        tell_lacking(found, site, l, FC_IN(state));
        return;
    }
    if (!l->roof)
        tell_in_row(found, site, l, FC_IN(state));
    tell_busy(found, site, l, FC_IN(state));
}

void
fci_tell_unknown_tank(struct fci_findings *found, const fc_site *site,
                      fc_state state)
{
    const char *name = fci_tank_unknown(site);

    if (name)
        fci_find(found, FC_WARN, name, FC_IN(state), FC_FOUND_TANK,
                 "its volume is not given (\"volume\"): how many flushes its "
                 "water is good for{when}, and how long it lasts, is left "
                 "open; all that is told holds while it has water",
                 NULL);
}

void
fci_assume_tank(struct fci_findings *found, const fc_site *site)
{
    const fc_pressure_tank *tank = site->tank;
    const fc_pressure_tank *given = tank_given(site);

    if (!fci_tank_ends(site))
        return;
    if (tank)
        fci_assume(found,
                   "%s has any pressure from its cut-in to its cut-out, as "
                   "long as it has water; what leads to it counts for its "
                   "rate alone",
                   tank->name);
    if (given && !given->precharge.given)
        fci_assume(
            found,
            "precharge of %s not given: %s to %s, up to so far below the "
            "cut-in as is usual (\"flushcalc tables usual\")",
            tank->name,
            fci_show(found->units, FC_PRESSURE, tank->precharge.low).text,
            fci_show(found->units, FC_PRESSURE, tank->precharge.high).text);
    if (tank)
        fci_assume(found,
                   "the air in %s follows Boyle's law at sea level; in the "
                   "worst case it cools as it expands, and the tank starts at "
                   "its cut-in",
                   tank->name);
    fci_assume(found,
               "busiest minutes: each fixture used at its interval, other "
               "outlets running a usual share of the time; water lasts "
               "if it does in 95 of 100 of them, flushes at random%s",
               site->usage.busy_period.given
                   ? ""
                   : "; how long they last is usual (\"busy period\")");
    if (!tank)
        fci_assume(found,
                   "the water of %s is at the level that is given; as "
                   "it falls the pressure falls with it",
                   fci_tank_name(site));
}
