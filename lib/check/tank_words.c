/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/tank_words.c -- how long the water of a tank lasts, in words.
 */
#include "check/events.h"
#include "peak/march.h"

#include <math.h>

/* Less is no flow [m3/s]. */
#define NO_FLOW 1e-9

static const char *
tank_of(const fc_site *site)
{
    return site->elements[site->order[0]].name;
}

/* "3", "3 to 11", "any number of": whole ones. */
static const char *
count_text(struct fci_arena *arena, const double ends[FCI_ENDS])
{
    const double least = floor(ends[FCI_WORST]), most = floor(ends[FCI_BEST]);

    if (isinf(least))
        return "any number of";
    if (isinf(most))
        return fci_arena_printf(arena, "%.0f or any number of", least);
    return least < most ? fci_arena_printf(arena, "%.0f to %.0f", least, most)
                        : fci_arena_printf(arena, "%.0f", least);
}

/* "6 min", "15 to 20 min" */
static const char *
minutes(struct fci_arena *arena, fc_range time)
{
    const double least = time.low / 60, most = time.high / 60;

    return least < most
               ? fci_arena_printf(arena, "%.3g to %.3g min", least, most)
               : fci_arena_printf(arena, "%.3g min", least);
}

static void
find_lacking(struct fci_check_words *w, const struct fci_tank_lasts *l,
             unsigned states)
{
    const char *of =
        l->of ? fci_arena_printf(w->found.arena, " (valve %s)", l->of) : "";

    fci_find(&w->found, FC_WARN, tank_of(w->judge->site), states,
             FC_FOUND_TANK,
             "how long its water lasts is not calculated{when}: it takes "
             "{lacks}{of}",
             FCI_WITH(FCI_WORD("lacks", l->lacks), FCI_WORD("of", of)));
}

static void
find_in_row(struct fci_check_words *w, const struct fci_tank_lasts *l,
            unsigned states)
{
    const fc_site *site = w->judge->site;

    fci_find(
        &w->found, l->row == FC_WORKS ? FC_NOTE : FC_WARN, tank_of(site),
        states, FC_FOUND_TANK,
        "{count} flushes of {fixture} in a row{when}, each taking {borrowed} "
        "from the tank, until {first} falls below its minimum ({least} in the "
        "tank); start at cut-in to start at cut-out",
        FCI_WITH(FCI_AS("count", FC_NUMBER, floor(l->in_row[FCI_WORST]),
                        count_text(w->found.arena, l->in_row)),
                 FCI_WORD("fixture", site->fixtures[l->thirsty].given->name),
                 FCI_RANGE("borrowed", FC_VOLUME, fci_as_range(l->borrowed)),
                 FCI_WORD("first", l->first == FCI_NONE
                                       ? "a valve"
                                       : site->fixtures[l->first].given->name),
                 FCI_RANGE("least", FC_PRESSURE, fci_as_range(l->least))));
}

static void
find_busy(struct fci_check_words *w, const struct fci_tank_lasts *l,
          unsigned states)
{
    const char *subject = tank_of(w->judge->site);
    const double mean[] = { l->mean[0].flow, l->mean[1].flow,
                            l->mean[2].flow };
    const struct fci_figure draw =
        FCI_RANGE("draw", FC_FLOW, fci_as_range(mean));
    const struct fci_figure rate =
        FCI_RANGE("rate", FC_FLOW, fci_as_range(l->rate));

    if (l->busy == FC_WORKS)
        fci_find(&w->found, FC_NOTE, subject, states, FC_FOUND_TANK,
                 "lasts through the busiest minutes{when}: {draw} drawn in "
                 "the mean, {rate} coming in",
                 FCI_WITH(draw, rate));
    else if (isinf(l->lasts[FCI_WORST]))
        fci_find(&w->found, FC_WARN, subject, states, FC_FOUND_TANK,
                 "may not last when more flush than the mean of the busiest "
                 "minutes{when}: {draw} drawn in the mean, {rate} coming in",
                 FCI_WITH(draw, rate));
    else
        fci_find(
            &w->found, FC_WARN, subject, states, FC_FOUND_TANK,
            "does not last through the busiest minutes in the worst "
            "case{when}: {draw} drawn in the mean, {rate} coming in; down "
            "after {time}, where they may last {period}",
            FCI_WITH(draw, rate,
                     FCI_AS("time", FC_TIME, l->lasts[FCI_WORST],
                            minutes(w->found.arena,
                                    fc_exactly(l->lasts[FCI_WORST]))),
                     { "period", FC_TIME, l->period,
                       minutes(w->found.arena, l->period) }));
}

/* What the tank serves beside the pump, as long as it has water. */
static void
find_peak(struct fci_check_words *w, const struct fci_tank_lasts *l,
          fc_state state)
{
    const fc_site *site = w->judge->site;
    const struct fci_demand *demand = &w->judge->demand[state][site->order[0]];
    const fc_range peak = fci_as_range(demand->flow);

    if (peak.high > l->rate[FCI_WORST] + NO_FLOW)
        fci_find(&w->found, FC_NOTE, tank_of(site), FC_IN(state),
                 FC_FOUND_TANK,
                 "peak demand{when} is {peak}, and {rate} come into the tank: "
                 "the verdict holds as long as it has water",
                 FCI_WITH(FCI_RANGE("peak", FC_FLOW, peak),
                          FCI_RANGE("rate", FC_FLOW, fci_as_range(l->rate))));
}

void
fci_find_tank(struct fci_check_words *w, const struct fci_events *events,
              fc_state state)
{
    const struct fci_tank_lasts *l = events->tank;

    if (!l)
        return;
    if (l->lacks) {
        find_lacking(w, l, FC_IN(state));
        return;
    }
    find_peak(w, l, state);
    if (!l->roof)
        find_in_row(w, l, FC_IN(state));
    find_busy(w, l, FC_IN(state));
}

void
fci_assume_tank(struct fci_findings *found, const fc_site *site)
{
    const fc_pressure_tank *tank = site->tank;
    const size_t n = site->n_parts;

    if (!fci_tank_ends(site))
        return;
    if (tank)
        fci_assume(found,
                   "%s has any pressure from its cut-in to its cut-out, as "
                   "long as it has water; what leads to it counts for its "
                   "rate alone",
                   tank->name);
    for (size_t i = 0; tank && i < n; i++)
        if (site->parts[i].kind == FCI_PRESSURE_TANK
            && !((const fc_pressure_tank *)site->given[i])->precharge.given)
            fci_assume(
                found,
                "precharge of %s not given: %s to %s, up to so far "
                "below the cut-in as is usual (\"flushcalc tables "
                "usual\")",
                tank->name,
                fci_show(found->units, FC_PRESSURE, tank->precharge.low).text,
                fci_show(found->units, FC_PRESSURE, tank->precharge.high)
                    .text);
    if (tank)
        fci_assume(found,
                   "the air in %s follows Boyle's law at sea level; in the "
                   "worst case it cools as it expands, and the tank starts at "
                   "its cut-in",
                   tank->name);
    fci_assume(found,
               "busiest minutes: each fixture used at its interval, other "
               "outlets running a usual share of the time; in the worst case "
               "two standard deviations more flushes than the mean%s",
               site->usage.busy_period.given
                   ? ""
                   : "; how long they last is usual (\"busy period\")");
}
