/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/cold_dip_words.c -- cold pressure of others, as it is told. */
#include "effects/cold_dip.h"
#include "effects/effects.h"
#include "peak/source.h"
#include "units/range_sums.h"

#include <math.h>
#include <string.h>

/* A pressure so low lets foul water in where an outlet is high or a hose hangs
 * in it [Pa]: 1 psi, what a gauge no longer tells from nothing (common
 * practice). */
#define NEXT_TO_NOTHING 6894.76

fc_answer
fci_balances(const struct fci_fixture *fixture)
{
    return fixture->given->balanced == FC_NOT_SAID && fixture->kind->balanced
               ? FC_YES
               : fixture->given->balanced;
}

const char *
fci_scald_said(const fc_site *site, const struct fci_fixture *fixture,
               double fall)
{
    const fc_range held =
        fci_tables_usual(site->tables, FCI_USUAL_BALANCED)->range;

    if (!fixture->kind->mixes)
        return "";
    switch (fci_balances(fixture)) {
    case FC_YES:
        return fall < held.low ? "; its balancing valve is tested for half"
                               : ": past the half that its balancing valve is "
                                 "tested for";
    case FC_NO:
        return ": its mixing valve, without pressure balancing, runs hot and "
               "may scald";
    default:
        return ": a mixing valve without pressure balancing runs hot and may "
               "scald";
    }
}

/* ---- Summary ---------------------------------------------------------- */

static const fc_dip *
last_dip(const fc_cold_dip *dip, size_t at, fc_state state)
{
    const fc_cold_dip_state *told;

    if (at == SIZE_MAX)
        return NULL;
    told = &dip->fixtures[at].states[state];
    return told->n_dips > 0 ? &told->dips[told->n_dips - 1] : NULL;
}

#define MOST_DECIMALS 3

/* The fewest at which neither end of a share looks like the limit. */
static int
decimals_of(const fc_cold_dip_fixture *f, fc_range share)
{
    double unit = 100;
    int n = 0;

    while (share.given && n < MOST_DECIMALS
           && (fabs(round(share.low * unit) - round(f->limit * unit)) < 0.5
               || fabs(round(share.high * unit) - round(f->limit * unit))
                      < 0.5)) {
        unit *= 10;
        n++;
    }
    return n;
}

/* "12", "12 to 45": in percent. */
static const char *
percent_said(struct fci_effects *e, fc_range share, int decimals)
{
    const char *low =
        fci_arena_printf(e->arena, "%.*f", decimals, 100 * share.low);
    const char *high =
        fci_arena_printf(e->arena, "%.*f", decimals, 100 * share.high);

    if (!share.given || !low || !high)
        return NULL;
    return strcmp(low, high) == 0
               ? high
               : fci_arena_printf(e->arena, "%s to %s", low, high);
}

/* "2 valves" */
static const char *
valves_said(struct fci_effects *e, size_t n)
{
    const char *said =
        fci_arena_printf(e->arena, "%zu valve%s", n, n == 1 ? "" : "s");

    return said ? said : "";
}

/* Cold falls below hot where it is known what hot does, else below what it
 * had itself. */
static void
sum_up_falls(struct fci_effects *e, const fc_cold_dip *dip)
{
    const fc_state last = e->result->state;
    const fc_cold_dip_fixture *f = dip->deepest[last] != SIZE_MAX
                                       ? &dip->fixtures[dip->deepest[last]]
                                       : NULL;
    const bool below_hot = f && f->heater;
    fc_effect row = { .area = FC_COLD_DIP_EFFECT,
                      .what = below_hot ? "cold falls below hot"
                                        : "cold pressure falls",
                      .unit = "%" };
    int decimals = 0, s;

    for (s = 0; s < fci_effect_states(e); s++) {
        const fc_dip *there = last_dip(dip, dip->deepest[s], (fc_state)s);
        int n;

        if (!there)
            continue;
        row.values[s] = below_hot ? there->apart : there->fall;
        n = decimals_of(&dip->fixtures[dip->deepest[s]], row.values[s]);
        decimals = n > decimals ? n : decimals;
    }
    for (s = 0; s < fci_effect_states(e); s++) {
        row.said[s] = percent_said(e, row.values[s], decimals);
        row.values[s] = fci_range_times(row.values[s], 100);
    }
    if (f) {
        row.at = f->name;
        row.rests_on = fci_arena_printf(
            e->arena, "%s open; limit %.*f%%",
            valves_said(e, last_dip(dip, dip->deepest[last], last)->open),
            decimals, 100 * f->limit);
    }
    fci_effect_row(e, &row);
}

static void
sum_up_emergency(struct fci_effects *e, const fc_cold_dip *dip)
{
    const fc_state last = e->result->state;
    fc_effect row = { .area = FC_COLD_DIP_EFFECT,
                      .what = "pressure at an eyewash",
                      .dimension = FC_PRESSURE };
    int s;

    for (s = 0; s < fci_effect_states(e); s++) {
        const fc_dip *there = last_dip(dip, dip->lowest[s], (fc_state)s);

        if (there)
            row.values[s] = there->pressure;
    }
    if (last_dip(dip, dip->lowest[last], last)) {
        const fc_cold_dip_fixture *f = &dip->fixtures[dip->lowest[last]];

        row.at = f->name;
        row.rests_on = fci_arena_printf(
            e->arena, "%s open; minimum %s",
            valves_said(e, last_dip(dip, dip->lowest[last], last)->open),
            fci_effect_said(e, FC_PRESSURE, fc_exactly(f->minimum)));
    }
    fci_effect_row(e, &row);
}

/* ---- Findings --------------------------------------------------------- */

/* What may come of it, and the cure. */
static const char *
what_cures(const fc_cold_dip_fixture *f)
{
    switch (f->balanced) {
    case FC_YES:
        return "that may be more than its balancing valve is tested for. Look "
               "in the data "
               "sheet of that for what it bears, or give valves and fixture "
               "larger pipe";
    case FC_NO:
        return f->heater ? "its mixing valve, without pressure balancing, may "
                           "scald. Fit a balancing valve"
                         : "it may scald unless hot falls as well. Give "
                           "[heater], or fit a balancing valve";
    default:
        return f->heater
                   ? "it may scald unless its mixing valve balances. Look, "
                     "and "
                     "give \"balanced\", or fit a balancing valve"
                   : "it may scald unless its mixing valve balances or hot "
                     "falls as well. Give \"balanced\" and [heater], or fit a "
                     "balancing valve";
    }
}

/* Where it is within its limit no end of the inputs bounds it. */
static const char *
what_comes(const fc_cold_dip_fixture *f, fc_range fall)
{
    return fall.high < f->limit
               ? "at midpoint values alone, as nothing bounds the worst case "
                 "here"
               : what_cures(f);
}

static void
find_mixing(struct fci_effects *e, const fc_cold_dip_fixture *f,
            fc_state state)
{
    const fc_cold_dip_state *told = &f->states[state];
    const fc_dip *dip = fci_first_dip(told);
    const fc_range fall = fci_fall_told(f, dip);
    const int decimals = decimals_of(f, fall);

    if (!fall.given)
        return;
    fci_find(
        &e->found, FC_WARN, f->name, FC_IN(state), FC_FOUND_COLD_PRESSURE,
        "cold falls {fall}%{below} with {open} open{when}, limit {limit}%: "
        "{what comes}",
        FCI_WITH({ "fall", FC_NUMBER, fall, percent_said(e, fall, decimals) },
                 FCI_WORD("below", f->heater ? " below hot" : ""),
                 FCI_AS("open", FC_NUMBER, (double)dip->open,
                        valves_said(e, dip->open)),
                 FCI_AS("limit", FC_NUMBER, f->limit,
                        fci_arena_printf(e->arena, "%.*f", decimals,
                                         100 * f->limit)),
                 FCI_WORD("what comes", what_comes(f, fall))));
}

static void
find_emergency(struct fci_effects *e, const fc_cold_dip_fixture *f,
               fc_state state)
{
    const fc_cold_dip_state *told = &f->states[state];
    const fc_dip *dip = fci_first_dip(told);

    fci_find(&e->found, FC_WARN, f->name, FC_IN(state), FC_FOUND_EMERGENCY,
             "{pressure} while it runs with {open} open{when}; required "
             "{minimum}",
             FCI_WITH(FCI_RANGE("pressure", FC_PRESSURE, dip->pressure),
                      FCI_AS("open", FC_NUMBER, (double)dip->open,
                             valves_said(e, dip->open)),
                      FCI_ONE("minimum", FC_PRESSURE, f->minimum)));
}

/* Foul water may be drawn in. */
static void
find_no_pressure(struct fci_effects *e, const fc_cold_dip_fixture *f,
                 fc_state state)
{
    const fc_cold_dip_state *told = &f->states[state];
    const fc_dip *dip = &told->dips[told->n_dips - 1];

    if (dip->pressure.low >= NEXT_TO_NOTHING)
        return;
    fci_find(&e->found, FC_WARN, f->name, FC_IN(state), FC_FOUND_NO_PRESSURE,
             "{has} {pressure} with {open} open{when}: next to nothing, and "
             "foul water may be drawn into the drinking water",
             FCI_WITH(FCI_WORD("has", dip->pressure.high < NEXT_TO_NOTHING
                                          ? "down to"
                                          : "possibly down to"),
                      FCI_ONE("pressure", FC_PRESSURE, dip->pressure.low),
                      FCI_AS("open", FC_NUMBER, (double)dip->open,
                             valves_said(e, dip->open))));
}

/* With so many that how many may be open is what it rests on. */
static const char *
open_said(struct fci_effects *e, const fc_dip *dip, fc_state state)
{
    const char *said = valves_said(e, dip->open);

    if (dip->open > FC_MOST_DIPPING
        && e->result->cold_dip->open[state].busiest == 0)
        said = fci_arena_printf(e->arena,
                                "%s (how many are at once is not known: give "
                                "\"full flush\")",
                                said);
    return said;
}

/* Of what is not within its limit, or below its minimum. */
static const char *
why(struct fci_effects *e, const fc_cold_dip_fixture *f, fc_state state)
{
    const fc_cold_dip_state *told = &f->states[state];
    const fc_dip *dip = fci_first_dip(told);
    const char *open, *said, *minimum;
    fc_range fall;
    int decimals;

    if (!dip)
        return fci_arena_printf(
            e->arena, "with up to %s open",
            valves_said(e, told->dips[told->n_dips - 1].open));
    fall = fci_fall_told(f, dip);
    decimals = decimals_of(f, fall);
    open = open_said(e, dip, state);
    said = !f->emergency && fall.given
               ? percent_said(e, fall, decimals)
               : fci_effect_said(e, FC_PRESSURE, dip->pressure);
    if (!open || !said)
        return NULL;
    if (!f->emergency && fall.given)
        return fci_arena_printf(
            e->arena, "cold falls %s%%%s at %s with %s open, limit %.*f%%: %s",
            said, f->heater ? " below hot" : "", f->name, open, decimals,
            100 * f->limit, what_comes(f, fall));
    if (!f->emergency)
        return fci_arena_printf(
            e->arena, "%s at %s with %s open; its static pressure may be none",
            said, f->name, open);
    minimum = fci_effect_said(e, FC_PRESSURE, fc_exactly(f->minimum));
    return minimum ? fci_arena_printf(
               e->arena,
               "%s at %s while it runs with %s open, required %s. Feed it "
               "upstream of the valves, or by larger pipe",
               said, f->name, open, minimum)
                   : NULL;
}

static void
tell_fixture(struct fci_effects *e, const fc_cold_dip_fixture *f,
             fc_state state)
{
    const fc_cold_dip_state *told = &f->states[state];

    if (!told->given || told->n_dips == 0)
        return;
    fci_effect_judge(e, FC_COLD_DIP_EFFECT, state, told->works,
                     why(e, f, state));
    if (told->first > 0 && f->emergency)
        find_emergency(e, f, state);
    else if (told->first > 0)
        find_mixing(e, f, state);
    find_no_pressure(e, f, state);
}

/* The worst ones first. */
static void
tell_state(struct fci_effects *e, const fc_cold_dip *dip, fc_state state)
{
    const size_t deepest = dip->deepest[state], lowest = dip->lowest[state];
    size_t i;

    if (lowest != SIZE_MAX)
        tell_fixture(e, &dip->fixtures[lowest], state);
    if (deepest != SIZE_MAX)
        tell_fixture(e, &dip->fixtures[deepest], state);
    for (i = 0; i < dip->n_fixtures; i++)
        if (i != deepest && i != lowest)
            tell_fixture(e, &dip->fixtures[i], state);
}

/* ---- Assumptions ------------------------------------------------------ */

static bool
any_fixture(const fc_cold_dip *dip, bool (*has)(const fc_cold_dip_fixture *f))
{
    size_t i;

    for (i = 0; i < dip->n_fixtures; i++)
        if (has(&dip->fixtures[i]))
            return true;
    return false;
}

static bool
mixes(const fc_cold_dip_fixture *f)
{
    return !f->emergency;
}

static bool
is_emergency(const fc_cold_dip_fixture *f)
{
    return f->emergency;
}

static bool
has_no_heater(const fc_cold_dip_fixture *f)
{
    return !f->emergency && !f->heater;
}

static bool
is_balanced(const fc_cold_dip_fixture *f)
{
    return !f->emergency && f->balanced == FC_YES;
}

static void
assume(struct fci_effects *e, const fc_cold_dip *dip)
{
    if (any_fixture(dip, mixes))
        fci_assume(&e->found,
                   "A mixing valve without pressure balancing gives water too "
                   "hot once cold falls a third below hot (common practice).");
    if (any_fixture(dip, is_balanced))
        fci_assume(
            &e->found,
            "A balancing mixing valve keeps the water as warm while one "
            "side falls by half (ASSE 1016, from memory).");
    if (any_fixture(dip, has_no_heater))
        fci_assume(&e->found,
                   "Whether hot falls too is not known where no [heater] "
                   "serves a fixture: the fall of cold is then told in full.");
    if (any_fixture(dip, is_emergency))
        fci_assume(
            &e->found,
            "An emergency fixture runs at the rate that the tables have "
            "for it while flush valves are open.");
    if (fci_untested_main(e->site))
        fci_assume(
            &e->found,
            "The low ends of cold pressures count what an untested main "
            "usually drops while a few flush valves are open.");
}

static void
assume_open(struct fci_effects *e, const fc_cold_dip *dip, fc_state state)
{
    const fc_open_at_once *open = &dip->open[state];
    const char *in = !e->converted          ? ""
                     : state == FC_EXISTING ? ", existing"
                                            : ", after retrofit";

    if (open->most == 0)
        return;
    if (open->busiest == 0)
        fci_assume(&e->found,
                   "How long a flush lasts is not known, so that all %zu "
                   "valves may be open at once%s.",
                   open->most, in);
    else if (open->hygiene > open->busiest)
        fci_assume(&e->found,
                   "Up to %zu valves are open at once for hygiene flushes, "
                   "%zu in the busiest minutes%s, in 95 of 100 times.",
                   open->hygiene, open->busiest, in);
    else
        fci_assume(&e->found,
                   "Up to %zu valves are open at once in 95 of 100 times of "
                   "the busiest minutes%s, each used at its interval.",
                   open->busiest, in);
}

/* ---- The whole -------------------------------------------------------- */

fc_status
fci_effects_cold_dip(struct fci_effects *e, fc_diagnostics *messages)
{
    fc_cold_dip *dip;
    fc_status status =
        fci_cold_dip_all(e->site, e->converted, e->result->hygiene,
                         &e->telling, e->arena, &dip, messages);
    int s;

    if (status != FC_OK || dip->n_fixtures == 0)
        return status;
    e->result->cold_dip = dip;
    sum_up_falls(e, dip);
    sum_up_emergency(e, dip);
    for (s = 0; s < fci_effect_states(e); s++) {
        tell_state(e, dip, (fc_state)s);
        assume_open(e, dip, (fc_state)s);
    }
    assume(e, dip);
    return e->arena->failed ? FC_ENOMEM : FC_OK;
}
