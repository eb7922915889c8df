/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/event_words.c -- what the flush events found, in words. */
#include "check/events.h"
#include "check/flush_event.h"
#include "units/units.h"

#include <limits.h>
#include <stdio.h>
#include <string.h>

#define SOME_NAMES 5

static struct fci_shown
show_pressure(const struct fci_findings *f, fc_range value)
{
    return fci_show_range(f->judge->site->settings.units, FC_PRESSURE, value);
}

/* ---- One fixture ------------------------------------------------------ */

static void
find_alone(struct fci_findings *f, const struct fci_fixture *fixture,
           fc_state state, const struct fci_event_view *view,
           const fc_fixture_state *s)
{
    const fc_range least = fixture->valve[state]->minimum_flowing;

    if (view->enough == FC_WILL_NOT_WORK && s->pressure != FC_WILL_NOT_WORK)
        fci_find(f, FC_FAIL, fixture->given->name, (int)state, "alone",
                 "has %s when it flushes alone%s and its valve needs %s: no "
                 "other valve need be open for it to be short",
                 show_pressure(f, view->alone).text, fci_when(f->judge, state),
                 show_pressure(f, least).text);
    else if (view->enough == FC_CANNOT_TELL)
        fci_find(f, FC_WARN, fixture->given->name, (int)state, "alone",
                 "may have %s when it flushes alone%s and its valve needs "
                 "%s: cannot tell; read a gauge there while it flushes",
                 show_pressure(f, view->alone).text, fci_when(f->judge, state),
                 show_pressure(f, least).text);
}

/* The peak that the verdict rests on. */
static const char *
peak_name(const struct fci_findings *f)
{
    return f->judge->site->settings.peak == FC_PROBABILITY
               ? "the peak by probability"
               : "the code's peak";
}

/* What either view is good for.  The peak by probability bounds flows that no
 * valve throttles, the busy period knows what each has left. */
static const char *
whom_to_trust(const struct fci_findings *f)
{
    return f->judge->site->settings.peak == FC_PROBABILITY
               ? "trust this for what users will see; a permit may ask for "
                 "the code's peak, on which this verdict does not rest"
               : "trust the code's peak for a permit and this for what users "
                 "will see";
}

static void
find_often_weak(struct fci_findings *f, const char *name, fc_state state,
                const fc_busy *busy, fc_verdict at_peak)
{
    const fc_chance weak = busy->weak;
    const char *when = fci_when(f->judge, state);

    if (at_peak == FC_WORKS)
        fci_find(f, FC_WARN, name, (int)state, "busy period",
                 "has enough at %s%s, yet %.1f %% of its flushes in the "
                 "busiest period are weak (%.1f..%.1f %%): %s",
                 peak_name(f), when, 100 * weak.estimate, 100 * weak.low,
                 100 * weak.high, whom_to_trust(f));
    else
        fci_find(f, FC_WARN, name, (int)state, "busy period",
                 "is weak in %.1f %% of its flushes in the busiest period%s "
                 "(%.1f..%.1f %%)",
                 100 * weak.estimate, when, 100 * weak.low, 100 * weak.high);
}

/* The peak and the busy period ask different things. */
static void
find_views_differ(struct fci_findings *f, const struct fci_fixture *fixture,
                  fc_state state, const struct fci_event_view *view,
                  const fc_fixture_state *s)
{
    const fc_busy *busy = &view->busy;
    const char *name = fixture->given->name;

    if (!busy->weak.given || view->enough == FC_WILL_NOT_WORK)
        return;
    if (busy->weak_worst.given && view->seldom == FC_CANNOT_TELL)
        fci_find(f, FC_WARN, name, (int)state, "busy period",
                 "is weak in %.1f %% of its flushes in the busiest period%s "
                 "with every input at its good end, in %.1f %% at the middle "
                 "and in %.1f %% at the bad end: cannot tell",
                 100 * busy->weak_best.estimate, fci_when(f->judge, state),
                 100 * busy->weak.estimate, 100 * busy->weak_worst.estimate);
    else if (view->seldom != FC_WORKS)
        find_often_weak(f, name, state, busy, s->pressure);
    else if (busy->weak.high <= FC_MOST_WEAK
             && s->pressure == FC_WILL_NOT_WORK)
        fci_find(f, FC_NOTE, name, (int)state, "busy period",
                 "is short at %s%s, yet hardly ever weak in the busiest "
                 "period (%.1f %% of its flushes, at most %.1f %%): %s",
                 peak_name(f), fci_when(f->judge, state),
                 100 * busy->weak.estimate, 100 * busy->weak.high,
                 whom_to_trust(f));
}

/* A lavatory weakens while valves flush, and a shower turns hot. */
static void
find_sag(struct fci_findings *f, const struct fci_fixture *fixture,
         fc_state state, const struct fci_event_view *view,
         const fc_checked_fixture *checked, bool starves)
{
    if (!view->shared.given
        || view->shared.low
               > (1 - FCI_SCALDING_FALL) * checked->static_pressure.low)
        return;
    fci_find(f, FC_WARN, fixture->given->name, (int)state, "cold pressure",
             "falls from %s to %s while %s%s, by a third or more%s",
             show_pressure(f, checked->static_pressure).text,
             show_pressure(f, view->shared).text,
             starves ? "the valves flush that starve one first"
                     : "all valves flush",
             fci_when(f->judge, state),
             fci_has_hot_water(fixture->kind)
                 ? ": a mixer without balancing runs hot, which may scald"
                 : "");
}

void
fci_find_event(struct fci_findings *f, const struct fci_fixture *fixture,
               fc_state state, const struct fci_event_view *view,
               const fc_checked_fixture *checked, bool starves)
{
    if (!fixture->valve[state]) {
        find_sag(f, fixture, state, view, checked, starves);
        return;
    }
    find_alone(f, fixture, state, view, &checked->states[state]);
    find_views_differ(f, fixture, state, view, &checked->states[state]);
    if (view->always_on)
        fci_find(f, FC_WARN, fixture->given->name, (int)state, "interval",
                 "flushes for longer than the time between two uses%s: its "
                 "valves are taken to be always on; look at \"interval\" and "
                 "\"flushes per use\"",
                 fci_when(f->judge, state));
}

/* ---- The building ----------------------------------------------------- */

static const char *
name_set(struct fci_findings *f, const fc_ladder *ladder)
{
    char text[SOME_NAMES * 80] = "";
    size_t i, used = 0;
    const char *kept;

    for (i = 0; i < ladder->n_first && i < SOME_NAMES; i++)
        used += (size_t)snprintf(
            text + used, sizeof text - used, "%s%d of %.60s", i ? ", " : "",
            ladder->first[i].count, ladder->first[i].fixture);
    kept = ladder->n_first <= SOME_NAMES
               ? fci_arena_string(f->arena, text)
               : fci_arena_printf(f->arena, "%s and others", text);
    f->out_of_memory |= !kept;
    return kept;
}

/* The fewest valves at once that starve one with every input at its bad end;
 * 0: none more than at the middle does. */
static int
fewer_at_worst(const struct fci_findings *f, const struct fci_events *events)
{
    int least = INT_MAX, most = INT_MAX;
    size_t i;

    for (i = 0; i < f->judge->site->n_fixtures; i++) {
        const fc_ladder *ladder = &events->views[i].ladder;

        if (!ladder->given)
            continue;
        least = ladder->low < least ? ladder->low : least;
        most = ladder->most < most ? ladder->most : most;
    }
    return least < most ? least + 1 : 0;
}

static void
find_starved_at_worst(struct fci_findings *f, const struct fci_events *events,
                      fc_state state)
{
    const int worst = fewer_at_worst(f, events);

    if (worst > 0)
        fci_find(f, FC_WARN, "", (int)state, "at once",
                 "with what is given as a range at its bad end %d valve%s at "
                 "once can starve one%s, fewer than at the middle",
                 worst, worst == 1 ? "" : "s", fci_when(f->judge, state));
}

static void
find_starved(struct fci_findings *f, const struct fci_events *events,
             fc_state state)
{
    const struct fci_fixture *fixture;
    const fc_ladder *ladder;
    const char *set;

    if (events->starved == FCI_NONE) {
        if (f->judge->site->n_fixtures > 0)
            fci_find(f, FC_NOTE, "", (int)state, "at once",
                     "no number of valves at once%s takes one of them below "
                     "its own minimum%s",
                     fci_when(f->judge, state),
                     fewer_at_worst(f, events) > 0
                         ? ", at the middle of what is given as a range"
                         : "");
        return;
    }
    fixture = &f->judge->site->fixtures[events->starved];
    ladder = &events->views[events->starved].ladder;
    set = name_set(f, ladder);
    if (!set)
        return;
    fci_find(f, FC_NOTE, fixture->given->name, (int)state, "at once",
             "is starved first%s, by %d valve%s at once: %s",
             fci_when(f->judge, state), ladder->most + 1,
             ladder->most ? "s" : "", set);
}

void
fci_find_events(struct fci_findings *f, const struct fci_events *events,
                fc_state state)
{
    if (events->unknown) {
        fci_find(f, FC_WARN, "", (int)state, "flush events",
                 "what happens while valves flush is not worked out%s: the "
                 "rate of \"%.60s\" is not known (\"flow\", such as 25 gpm at "
                 "35 psi)",
                 fci_when(f->judge, state), events->unknown->name);
        return;
    }
    if (events->too_large) {
        fci_find(f, FC_WARN, "", (int)state, "flush events",
                 "what happens while valves flush is left out%s, as the "
                 "building is too large for it: \"flush\" works out one set "
                 "at a time",
                 fci_when(f->judge, state));
        return;
    }
    find_starved(f, events, state);
    find_starved_at_worst(f, events, state);
    if (events->volume_unknown)
        fci_find(f, FC_WARN, "", (int)state, "busy period",
                 "how often a flush is weak is not worked out%s: a valve's "
                 "\"full flush\" is not known",
                 fci_when(f->judge, state));
    else if (events->states > 0 && !events->narrow)
        fci_find(f, FC_NOTE, "", (int)state, "busy period",
                 "%zu states were drawn%s, as many as allowed, and some "
                 "chances are known less well than wished",
                 events->states, fci_when(f->judge, state));
}

void
fci_assume_events(struct fci_findings *f, const struct fci_events *events)
{
    size_t states = 0;
    bool worked_out = false;
    int state;

    for (state = 0; state < FC_STATES; state++) {
        worked_out |= events[state].views && !events[state].unknown
                      && !events[state].too_large;
        if (events[state].states > states)
            states = events[state].states;
    }
    if (!worked_out)
        return;
    fci_assume(f, "while valves flush, each draws what its own pressure lets "
                  "through (the flow of its data sheet, with the square root "
                  "of the pressure); other fixtures draw nothing, steady "
                  "draws run");
    if (states > 0)
        fci_assume(f,
                   "the busiest period is up to %zu states drawn at "
                   "random, each valve on by itself with its own chance; "
                   "inputs that are ranges are taken at their middle, and "
                   "all at their good or bad ends at once; a flush counts "
                   "as weak below the valve's own minimum, and a fixture "
                   "as working with up to %.0f %% of them weak",
                   states, 100 * FC_MOST_WEAK);
}
