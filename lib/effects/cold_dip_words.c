/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/cold_dip_words.c -- cold pressure of others, as it is told. */
#include "effects/cold_dip.h"
#include "effects/effects.h"
#include "peak/source.h"

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

/* "12%", "12 to 45%", and not so that an end looks like the limit. */
static const char *
share_said(struct fci_effects *e, const fc_cold_dip_fixture *f, fc_range share)
{
    const bool near = fabs(share.low - f->limit) < 0.01
                      || fabs(share.high - f->limit) < 0.01;
    const int decimals = near ? 1 : 0;
    const char *low =
        fci_arena_printf(e->arena, "%.*f", decimals, 100 * share.low);
    const char *high =
        fci_arena_printf(e->arena, "%.*f", decimals, 100 * share.high);

    if (!low || !high)
        return NULL;
    return strcmp(low, high) == 0
               ? fci_arena_printf(e->arena, "%s%%", high)
               : fci_arena_printf(e->arena, "%s to %s%%", low, high);
}

/* "33.3%", "50%" */
static const char *
limit_said(struct fci_effects *e, const fc_cold_dip_fixture *f)
{
    return fci_arena_printf(e->arena, "%.3g%%", 100 * f->limit);
}

static void
sum_up(struct fci_effects *e, const fc_cold_dip *dip)
{
    const fc_state last = e->result->state;
    const fc_dip *d = last_dip(dip, dip->deepest[last], last);
    fc_effect fall = { .area = FC_COLD_DIP_EFFECT,
                       .what = "fall of cold pressure",
                       .dimension = FC_NUMBER };
    fc_effect wash = { .area = FC_COLD_DIP_EFFECT,
                       .what = "pressure at an eyewash",
                       .dimension = FC_PRESSURE };
    int s;

    for (s = 0; s < fci_effect_states(e); s++) {
        const fc_dip *there = last_dip(dip, dip->deepest[s], (fc_state)s);

        if (there) {
            fall.values[s] =
                fci_fall_told(&dip->fixtures[dip->deepest[s]], there);
            fall.said[s] =
                share_said(e, &dip->fixtures[dip->deepest[s]], fall.values[s]);
        }
        there = last_dip(dip, dip->lowest[s], (fc_state)s);
        if (there)
            wash.values[s] = there->pressure;
    }
    if (d) {
        const fc_cold_dip_fixture *f = &dip->fixtures[dip->deepest[last]];

        fall.at = f->name;
        fall.rests_on =
            fci_arena_printf(e->arena, "%zu valves open; limit %s",
                             f->states[last].n_dips, limit_said(e, f));
    }
    d = last_dip(dip, dip->lowest[last], last);
    if (d) {
        const fc_cold_dip_fixture *f = &dip->fixtures[dip->lowest[last]];

        wash.at = f->name;
        wash.rests_on = fci_arena_printf(
            e->arena, "%zu valves open; minimum %s", f->states[last].n_dips,
            fci_effect_said(e, FC_PRESSURE, fc_exactly(f->minimum)));
    }
    fci_effect_row(e, &fall);
    fci_effect_row(e, &wash);
}

/* ---- Findings --------------------------------------------------------- */

static fc_severity
severity_of(fc_verdict works)
{
    return works == FC_WILL_NOT_WORK ? FC_WARN : FC_NOTE;
}

static const char *
what_settles(const fc_cold_dip_fixture *f)
{
    switch (f->balanced) {
    case FC_YES:
        return ", past the half that its balancing valve is tested for";
    case FC_NO:
        return f->heater ? ": its mixing valve, without pressure balancing, "
                           "may run hot and scald"
                         : ": its mixing valve, without pressure balancing, "
                           "may run hot and scald, unless hot falls as well; "
                           "give its [heater]";
    default:
        return ": a mixing valve without pressure balancing may run hot and "
               "scald; look whether it balances, and give \"balanced\"";
    }
}

static void
find_mixing(struct fci_effects *e, const fc_cold_dip_fixture *f,
            fc_state state)
{
    const fc_cold_dip_state *told = &f->states[state];
    const fc_dip *dip = &told->dips[told->first - 1];
    const fc_range fall = fci_fall_told(f, dip);

    if (!fall.given)
        return;
    fci_find(&e->found,
             told->works == FC_WILL_NOT_WORK
                     || (f->balanced == FC_NO && dip->fall.low >= f->limit)
                 ? FC_WARN
                 : FC_NOTE,
             f->name, FC_IN(state), FC_FOUND_COLD_PRESSURE,
             "cold falls {fall}{below} with {open} open{when}{settle}",
             FCI_WITH({ "fall", FC_NUMBER, fall, share_said(e, f, fall) },
                      FCI_WORD("below", f->heater ? " below hot" : ""),
                      FCI_AS("open", FC_NUMBER, told->first,
                             fci_arena_printf(e->arena, "%d flush valve%s",
                                              told->first,
                                              told->first == 1 ? "" : "s")),
                      FCI_WORD("settle", what_settles(f))));
}

static void
find_emergency(struct fci_effects *e, const fc_cold_dip_fixture *f,
               fc_state state)
{
    const fc_cold_dip_state *told = &f->states[state];
    const fc_dip *dip = &told->dips[told->first - 1];

    fci_find(&e->found, severity_of(told->works), f->name, FC_IN(state),
             FC_FOUND_EMERGENCY,
             "{pressure} while it runs with {open} open{when}; required "
             "{minimum}",
             FCI_WITH(FCI_RANGE("pressure", FC_PRESSURE, dip->pressure),
                      FCI_AS("open", FC_NUMBER, told->first,
                             fci_arena_printf(e->arena, "%d flush valve%s",
                                              told->first,
                                              told->first == 1 ? "" : "s")),
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
                      FCI_AS("open", FC_NUMBER, (double)told->n_dips,
                             fci_arena_printf(e->arena, "%zu flush valve%s",
                                              told->n_dips,
                                              told->n_dips == 1 ? "" : "s"))));
}

static const char *
why(struct fci_effects *e, const fc_cold_dip_fixture *f, fc_state state)
{
    const fc_cold_dip_state *told = &f->states[state];
    const fc_dip *dip;
    const char *pressure;
    fc_range fall;

    if (told->first == 0)
        return NULL;
    dip = &told->dips[told->first - 1];
    fall = fci_fall_told(f, dip);
    if (!f->emergency && fall.given)
        return fci_arena_printf(e->arena, "cold falls %s at %s, limit %s",
                                share_said(e, f, fall), f->name,
                                limit_said(e, f));
    pressure = fci_effect_said(e, FC_PRESSURE, dip->pressure);
    return pressure ? fci_arena_printf(e->arena,
                                       "%s at %s with %d flush "
                                       "valves open",
                                       pressure, f->name, told->first)
                    : NULL;
}

static void
tell_state(struct fci_effects *e, const fc_cold_dip *dip, fc_state state)
{
    size_t i;

    for (i = 0; i < dip->n_fixtures; i++) {
        const fc_cold_dip_fixture *f = &dip->fixtures[i];
        const fc_cold_dip_state *told = &f->states[state];

        if (!told->given || told->n_dips == 0)
            continue;
        fci_effect_judge(e, FC_COLD_DIP_EFFECT, state, told->works,
                         why(e, f, state));
        if (told->first > 0 && f->emergency)
            find_emergency(e, f, state);
        else if (told->first > 0)
            find_mixing(e, f, state);
        find_no_pressure(e, f, state);
    }
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

/* ---- The whole -------------------------------------------------------- */

fc_status
fci_effects_cold_dip(struct fci_effects *e, fc_diagnostics *messages)
{
    fc_cold_dip *dip;
    fc_status status =
        fci_cold_dip_all(e->site, e->converted, e->arena, &dip, messages);
    int s;

    if (status != FC_OK || dip->n_fixtures == 0)
        return status;
    e->result->cold_dip = dip;
    sum_up(e, dip);
    for (s = 0; s < fci_effect_states(e); s++)
        tell_state(e, dip, (fc_state)s);
    assume(e, dip);
    return e->arena->failed ? FC_ENOMEM : FC_OK;
}
