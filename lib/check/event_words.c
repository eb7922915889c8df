/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/event_words.c -- what the flush events found, in words. */
#include "check/events.h"
#include "check/flush_event.h"
#include "peak/source.h"
#include "units/units.h"

#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define SOME_NAMES 5

/* ---- One fixture ------------------------------------------------------ */

static void
find_alone(struct fci_check_words *w, const struct fci_fixture *fixture,
           fc_state state, const struct fci_event_view *view,
           const fc_fixture_state *s)
{
    const struct fci_requirement need =
        fci_requirement_of(w->judge->site, fixture, state);
    const fc_range least = need.least;
    const char *whose =
        need.governor == FC_CODE_GOVERNS ? "code minimum" : "valve minimum";

    if (view->enough == FC_WILL_NOT_WORK && s->pressure != FC_WILL_NOT_WORK)
        fci_find(&w->found, FC_FAIL, fixture->given->name, FC_IN(state),
                 FC_FOUND_ALONE,
                 "{pressure} flushing alone{when}, {needed} required "
                 "({whose}): short even with no other valve open",
                 FCI_WITH(FCI_RANGE("pressure", FC_PRESSURE, view->alone),
                          FCI_RANGE("needed", FC_PRESSURE, least),
                          FCI_WORD("whose", whose)));
    else if (view->enough == FC_CANNOT_TELL)
        fci_find(&w->found, FC_WARN, fixture->given->name, FC_IN(state),
                 FC_FOUND_ALONE,
                 "{pressure} flushing alone{when}, {needed} required "
                 "({whose}): cannot tell; read a gauge there while it flushes",
                 FCI_WITH(FCI_RANGE("pressure", FC_PRESSURE, view->alone),
                          FCI_RANGE("needed", FC_PRESSURE, least),
                          FCI_WORD("whose", whose)));
}

/* Where its pressure at peak is not too high, or less surely so. */
static void
find_too_strong(struct fci_check_words *w, const struct fci_fixture *fixture,
                fc_state state, const struct fci_event_view *view,
                const fc_fixture_state *s)
{
    const double maximum =
        fci_requirement_of(w->judge->site, fixture, state).maximum_flowing;

    if (view->strong == FC_WORKS
        || fci_under_limit(s->flowing, maximum) == view->strong)
        return;
    fci_find(&w->found, view->strong == FC_WILL_NOT_WORK ? FC_FAIL : FC_WARN,
             fixture->given->name, FC_IN(state), FC_FOUND_MAXIMUM_FLOWING,
             "{pressure} flushing alone{when}, {has} the {maximum} valve "
             "maximum: throttle its stop; expect splashing or noise",
             FCI_WITH(FCI_WORD("has", view->strong == FC_WILL_NOT_WORK
                                          ? "above"
                                          : "possibly above"),
                      FCI_RANGE("pressure", FC_PRESSURE, view->alone),
                      FCI_ONE("maximum", FC_PRESSURE, maximum)));
}

/* The peak that the verdict rests on. */
static const char *
peak_name(const struct fci_check_words *w)
{
    return w->judge->site->settings.peak == FC_PROBABILITY
               ? "the peak by probability"
               : "the code peak";
}

/* What either view is good for.  The peak by probability bounds flows that no
 * valve throttles, the busy period knows what each has left. */
static const char *
whom_to_trust(const struct fci_check_words *w)
{
    return w->judge->site->settings.peak == FC_PROBABILITY
               ? "expect this in use; a permit may require the code peak, "
                 "which this verdict does not use"
               : "use the code peak for a permit and this for what users will "
                 "see";
}

/* " (3.1 to 3.4%)", how well a chance is known; "" where that is all of it. */
static const char *
known_within(struct fci_check_words *w, fc_chance chance)
{
    const struct fci_shown low = fci_one_decimal(100 * chance.low);
    const struct fci_shown high = fci_one_decimal(100 * chance.high);

    return strcmp(low.text, high.text) == 0
               ? ""
               : fci_arena_printf(w->found.arena, " (%s to %s%%)", low.text,
                                  high.text);
}

static void
find_often_weak(struct fci_check_words *w, const char *name, fc_state state,
                const fc_busy *busy, fc_verdict at_peak)
{
    const fc_chance weak = busy->weak;

    if (at_peak == FC_WORKS)
        fci_find(&w->found, FC_WARN, name, FC_IN(state), FC_FOUND_BUSY_PERIOD,
                 "enough at {peak}{when}, but {weak}% of its flushes in the "
                 "busiest period are weak{within}: {trust}",
                 FCI_WITH(FCI_WORD("peak", peak_name(w)),
                          FCI_AS("weak", FC_NUMBER, weak.estimate,
                                 fci_one_decimal(100 * weak.estimate).text),
                          FCI_WORD("within", known_within(w, weak)),
                          FCI_WORD("trust", whom_to_trust(w))));
    else
        fci_find(&w->found, FC_WARN, name, FC_IN(state), FC_FOUND_BUSY_PERIOD,
                 "{weak}% of its flushes in the busiest period are "
                 "weak{when}{within}",
                 FCI_WITH(FCI_AS("weak", FC_NUMBER, weak.estimate,
                                 fci_one_decimal(100 * weak.estimate).text),
                          FCI_WORD("within", known_within(w, weak))));
}

/* The same where chances are left out. */
static void
find_in_short(struct fci_check_words *w, const char *name, fc_state state,
              const struct fci_event_view *view, fc_verdict at_peak)
{
    if (view->unclear)
        fci_find(&w->found, FC_WARN, name, FC_IN(state), FC_FOUND_BUSY_PERIOD,
                 "weak flushes in the busiest period are too close to the 1% "
                 "allowed{when} for sampling to decide: cannot tell",
                 NULL);
    else if (view->seldom == FC_CANNOT_TELL)
        fci_find(&w->found, FC_WARN, name, FC_IN(state), FC_FOUND_BUSY_PERIOD,
                 "weak flushes in the busiest period are more than the 1% "
                 "allowed in the worst case{when}: cannot tell",
                 NULL);
    else if (view->seldom != FC_WORKS)
        fci_find(&w->found, FC_WARN, name, FC_IN(state), FC_FOUND_BUSY_PERIOD,
                 "weak flushes in the busiest period are more than the 1% "
                 "allowed{when}",
                 NULL);
    else if (at_peak == FC_WILL_NOT_WORK)
        fci_find(&w->found, FC_NOTE, name, FC_IN(state), FC_FOUND_BUSY_PERIOD,
                 "short at {peak}{when}, but seldom weak in the busiest "
                 "period: {trust}",
                 FCI_WITH(FCI_WORD("peak", peak_name(w)),
                          FCI_WORD("trust", whom_to_trust(w))));
}

/* The peak and the busy period ask different things. */
static void
find_views_differ(struct fci_check_words *w, const struct fci_fixture *fixture,
                  fc_state state, const struct fci_event_view *view,
                  const fc_fixture_state *s)
{
    const fc_busy *busy = &view->busy;
    const char *name = fixture->given->name;

    if (!view->counted || view->enough == FC_WILL_NOT_WORK)
        return;
    if (!busy->weak.given)
        find_in_short(w, name, state, view, s->pressure);
    else if (view->unclear)
        fci_find(
            &w->found, FC_WARN, name, FC_IN(state), FC_FOUND_BUSY_PERIOD,
            "{weak}% of its flushes in the busiest period are weak{when}, too "
            "close to the 1% allowed for sampling to decide: cannot tell",
            FCI_WITH(FCI_AS("weak", FC_NUMBER, busy->weak.estimate,
                            fci_one_decimal(100 * busy->weak.estimate).text)));
    else if (busy->weak_worst.given && view->seldom == FC_CANNOT_TELL)
        fci_find(
            &w->found, FC_WARN, name, FC_IN(state), FC_FOUND_BUSY_PERIOD,
            "weak flushes in the busiest period{when}: {weak at best}% in the "
            "best case, {weak}% at midpoint values, {weak at worst}% in the "
            "worst case: cannot tell",
            FCI_WITH(
                FCI_AS("weak at best", FC_NUMBER, busy->weak_best.estimate,
                       fci_one_decimal(100 * busy->weak_best.estimate).text),
                FCI_AS("weak", FC_NUMBER, busy->weak.estimate,
                       fci_one_decimal(100 * busy->weak.estimate).text),
                FCI_AS(
                    "weak at worst", FC_NUMBER, busy->weak_worst.estimate,
                    fci_one_decimal(100 * busy->weak_worst.estimate).text)));
    else if (view->seldom != FC_WORKS)
        find_often_weak(w, name, state, busy, s->pressure);
    else if (busy->weak.high <= FC_MOST_WEAK
             && s->pressure == FC_WILL_NOT_WORK)
        fci_find(
            &w->found, FC_NOTE, name, FC_IN(state), FC_FOUND_BUSY_PERIOD,
            "short at {peak}{when}, but seldom weak in the busiest period "
            "({weak}% of its flushes, at most {weak high}%): {trust}",
            FCI_WITH(FCI_WORD("peak", peak_name(w)),
                     FCI_AS("weak", FC_NUMBER, busy->weak.estimate,
                            fci_one_decimal(100 * busy->weak.estimate).text),
                     FCI_AS("weak high", FC_NUMBER, busy->weak.high,
                            fci_one_decimal(100 * busy->weak.high).text),
                     FCI_WORD("trust", whom_to_trust(w))));
}

/* An eyewash has less than it must have while it runs. */
static void
find_weak_eyewash(struct fci_check_words *w, const struct fci_fixture *fixture,
                  fc_state state, fc_range shared, const char *what)
{
    if (!fixture->kind->emergency || isnan(fixture->kind->pressure)
        || !shared.given || shared.low >= fixture->kind->pressure)
        return;
    fci_find(
        &w->found, FC_WARN, fixture->given->name, FC_IN(state),
        FC_FOUND_EMERGENCY,
        "{pressure} while {what flushes}{when}; required {minimum}",
        FCI_WITH(FCI_RANGE("pressure", FC_PRESSURE, shared),
                 FCI_WORD("what flushes", what),
                 FCI_ONE("minimum", FC_PRESSURE, fixture->kind->pressure)));
}

/* A lavatory weakens while valves flush, and a shower turns hot. */
static void
find_sag(struct fci_check_words *w, const struct fci_fixture *fixture,
         fc_state state, const struct fci_event_view *view,
         const fc_checked_fixture *checked, bool starves)
{
    const char *what = starves ? "just enough valves flush to starve one"
                               : "all valves flush";

    find_weak_eyewash(w, fixture, state, view->shared, what);
    if (!view->shared.given
        || view->shared.low
               > (1 - FCI_SCALDING_FALL) * checked->static_pressure.low)
        return;
    fci_find(
        &w->found, FC_WARN, fixture->given->name, FC_IN(state),
        FC_FOUND_COLD_PRESSURE,
        "{pressure} while {what flushes}{when}, down a third or more from "
        "{static}{scald}",
        FCI_WITH(
            FCI_RANGE("static", FC_PRESSURE, checked->static_pressure),
            FCI_RANGE("pressure", FC_PRESSURE, view->shared),
            FCI_WORD("what flushes", what),
            FCI_WORD(
                "scald",
                fci_scald_said(
                    w->judge->site, fixture,
                    1 - view->shared.low / checked->static_pressure.low))));
}

void
fci_find_event(struct fci_check_words *w, const struct fci_fixture *fixture,
               fc_state state, const struct fci_event_view *view,
               const fc_checked_fixture *checked, bool starves)
{
    if (!fixture->valve[state]) {
        find_sag(w, fixture, state, view, checked, starves);
        return;
    }
    find_alone(w, fixture, state, view, &checked->states[state]);
    find_too_strong(w, fixture, state, view, &checked->states[state]);
    find_views_differ(w, fixture, state, view, &checked->states[state]);
    if (view->always_on)
        fci_find(
            &w->found, FC_WARN, fixture->given->name, FC_IN(state),
            FC_FOUND_INTERVAL,
            "a flush outlasts the time between two uses{when}: valves taken "
            "as always on; check \"interval\" and \"flushes per use\"",
            NULL);
}

/* ---- The building ----------------------------------------------------- */

/* "2 of wc-1, 1 of wc-2", and each of them as a figure. */
static const char *
name_set(struct fci_check_words *w, const fc_ladder *ladder,
         struct fci_figure *figures)
{
    char text[SOME_NAMES * 80] = "";
    size_t i, used = 0;

    for (i = 0; i < ladder->n_first && i < SOME_NAMES; i++) {
        const struct fci_figure figure =
            FCI_COUNT(ladder->first[i].fixture, ladder->first[i].count);

        figures[i] = figure;
        used += (size_t)snprintf(
            text + used, sizeof text - used, "%s%d of %.60s", i ? ", " : "",
            ladder->first[i].count, ladder->first[i].fixture);
    }
    return ladder->n_first <= SOME_NAMES
               ? fci_arena_string(w->found.arena, text)
               : fci_arena_printf(w->found.arena, "%s and others", text);
}

/* The fewest valves at once that starve one with every input at its bad end;
 * 0: none more than at the middle does. */
static int
fewer_at_worst(const struct fci_check_words *w,
               const struct fci_events *events)
{
    int least = INT_MAX, most = INT_MAX;
    size_t i;

    for (i = 0; i < w->judge->site->n_fixtures; i++) {
        const fc_ladder *ladder = &events->views[i].ladder;

        if (!ladder->given)
            continue;
        least = ladder->could_low < least ? ladder->could_low : least;
        most = ladder->could < most ? ladder->could : most;
    }
    return least < most ? least + 1 : 0;
}

static void
find_starved_at_worst(struct fci_check_words *w,
                      const struct fci_events *events, fc_state state)
{
    const int worst = fewer_at_worst(w, events);

    if (worst > 0)
        fci_find(&w->found, FC_WARN, "", FC_IN(state), FC_FOUND_AT_ONCE,
                 "in the worst case {valves} valve{s} at once can starve "
                 "one{when}, fewer than at midpoint values",
                 FCI_WITH(FCI_COUNT("valves", worst),
                          FCI_WORD("s", worst == 1 ? "" : "s")));
}

#define ZERO_AT_ONCE                                                          \
    "{part} may fall to zero with {more} at once{when}: foul water may be "   \
    "drawn into the drinking water"

/* What lets no more flush at once, beside their own minimums. */
static void
find_limited(struct fci_check_words *w, const struct fci_events *events,
             fc_state state)
{
    static const char *const said[] = {
        [FC_LIMIT_MAIN] = "{part} may be drawn below what a public main must "
                          "keep by {more} at once{when}",
        [FC_LIMIT_SUCTION] = "{part} may have less at its inlet than it "
                             "requires with {more} at once{when}",
        [FC_LIMIT_BACKFLOW] = ZERO_AT_ONCE,
        [FC_LIMIT_BACKFLOW_FIXTURE] = ZERO_AT_ONCE,
        [FC_LIMIT_TANK] = "the water of {part} is not certain to last while "
                          "{more} flush at once{when}{start}{lacks}",
    };
    const fc_at_once *n = &events->at_once;
    const char *more =
        n->low > 0 ? fci_arena_printf(w->found.arena, "more than %d valve%s",
                                      n->low, n->low == 1 ? "" : "s")
                   : "even 1 valve";

    if (n->limit != FC_NO_LIMIT && n->limit != FC_LIMIT_ALONE
        && n->limit != FC_LIMIT_MAYBE_ALONE)
        fci_find(
            &w->found, n->low > 0 ? FC_NOTE : FC_WARN, "", FC_IN(state),
            FC_FOUND_AT_ONCE, said[n->limit],
            FCI_WITH(
                FCI_WORD("part", n->limit_at),
                FCI_AS("more", FC_NUMBER, n->low, more),
                FCI_WORD("start",
                         w->judge->site->tank ? ", begun at its cut-in" : ""),
                FCI_WORD("lacks", fci_tank_asks(w->found.arena, w->judge->site,
                                                events->tank))));
}

static void
find_no_starved(struct fci_check_words *w, const struct fci_events *events,
                fc_state state)
{
    const bool at_middle = fewer_at_worst(w, events) > 0;

    /* where more than their minimums is asked that is told instead */
    if (w->judge->site->n_fixtures > 0 && events->at_once.limit == FC_NO_LIMIT
        && !fci_untested_main(w->judge->site))
        fci_find(&w->found, FC_NOTE, "", FC_IN(state), FC_FOUND_AT_ONCE,
                 "every valve keeps its minimum{when}, however many flush at "
                 "once{middle}",
                 FCI_WITH(FCI_AS("middle", FC_NUMBER, at_middle,
                                 at_middle ? ", at midpoint values" : "")));
}

static void
find_starved(struct fci_check_words *w, const struct fci_events *events,
             fc_state state)
{
    const struct fci_fixture *fixture =
        &w->judge->site->fixtures[events->starved];
    const fc_ladder *ladder = &events->views[events->starved].ladder;
    struct fci_figure figures[SOME_NAMES + 4] = {
        FCI_COUNT("valves", ladder->could + 1),
        FCI_WORD("s", ladder->could ? "s" : ""),
        FCI_WORD("set", NULL),
    };

    figures[2].as = name_set(w, ladder, figures + 3);
    if (figures[2].as)
        fci_find(&w->found, FC_NOTE, fixture->given->name, FC_IN(state),
                 FC_FOUND_AT_ONCE,
                 "first below its valve minimum{when}, with {valves} valve{s} "
                 "at once: {set}",
                 figures);
}

/* What a valve alone draws down further than the peak does; that is found
 * beside the elements. */
static void
find_drawn(struct fci_check_words *w, const struct fci_events *events,
           fc_state state)
{
    const fc_site *site = w->judge->site;
    size_t i;

    for (i = 0; i < events->n_drawn; i++) {
        const struct fci_drawn_down *drawn = &events->drawn[i];
        const bool source =
            site->elements[drawn->element].part->kind == FCI_SOURCE;

        if (drawn->kept == FC_WORKS
            || w->judge->drawn[state][drawn->element] == drawn->kept)
            continue;
        fci_find(&w->found,
                 drawn->kept == FC_WILL_NOT_WORK ? FC_FAIL : FC_WARN,
                 site->elements[drawn->element].name, FC_IN(state),
                 source ? FC_FOUND_STREET_MAIN : FC_FOUND_PUMP,
                 "{pressure}{where} while {fixture} flushes alone{when}; "
                 "{what} {limit}{doubt}",
                 FCI_WITH(FCI_WORD("doubt", drawn->kept == FC_WILL_NOT_WORK
                                                ? ""
                                                : ": cannot tell"),
                          FCI_RANGE("pressure", FC_PRESSURE, drawn->pressure),
                          FCI_WORD("where", source ? "" : " at its inlet"),
                          FCI_WORD("fixture",
                                   site->fixtures[drawn->fixture].given->name),
                          FCI_WORD("what", source ? "a public main must keep"
                                                  : "it requires"),
                          FCI_RANGE("limit", FC_PRESSURE, drawn->least)));
    }
}

void
fci_find_events_on_way(struct fci_check_words *w,
                       const struct fci_events *events, fc_state state,
                       size_t fixture)
{
    fci_find_tank(w, events, state);
    find_drawn(w, events, state);
    if (events->starved == fixture)
        find_starved(w, events, state);
}

void
fci_find_events(struct fci_check_words *w, const struct fci_events *events,
                fc_state state)
{
    fci_find_tank(w, events, state);
    if (events->unknown) {
        fci_find(
            &w->found, FC_WARN, "", FC_IN(state), FC_FOUND_FLUSH_EVENTS,
            "flushing together is not calculated{when}: the rate of "
            "\"{fixture}\" is not known (\"flow\", such as 25 gpm at 35 psi)",
            FCI_WITH(FCI_WORD("fixture", events->unknown->name)));
        return;
    }
    if (events->too_large) {
        fci_find(&w->found, FC_WARN, "", FC_IN(state), FC_FOUND_FLUSH_EVENTS,
                 "flushing together is not calculated{when}: the building is "
                 "too large for it; \"flush\" calculates one set at a time",
                 NULL);
        return;
    }
    find_drawn(w, events, state);
    find_limited(w, events, state);
    if (events->starved == FCI_NONE)
        find_no_starved(w, events, state);
    else
        find_starved(w, events, state);
    find_starved_at_worst(w, events, state);
    if (events->volume_unknown)
        fci_find(&w->found, FC_WARN, "", FC_IN(state), FC_FOUND_BUSY_PERIOD,
                 "weak flushes are not counted{when}: a valve's \"full "
                 "flush\" is not known",
                 NULL);
    else if (events->states > 0 && !events->narrow)
        fci_find(&w->found, FC_NOTE, "", FC_IN(state), FC_FOUND_BUSY_PERIOD,
                 "sampling stopped at its limit of {states} states{when}: "
                 "some percentages are less precise than intended",
                 FCI_WITH(FCI_COUNT("states", events->states)));
}

void
fci_assume_events(struct fci_check_words *w, const struct fci_events *events)
{
    bool worked_out = false, any = false, every = true;
    int state;

    fci_assume_tank(&w->found, w->judge->site);
    for (state = 0; state < FC_STATES; state++) {
        worked_out |= events[state].views && !events[state].unknown
                      && !events[state].too_large;
        any |= events[state].busy;
        every &= !events[state].busy || events[state].every;
    }
    if (!worked_out)
        return;
    fci_assume(
        &w->found,
        "a flushing valve draws its data-sheet flow, scaled by the square "
        "root of its pressure; other fixtures draw nothing; steady draws run");
    if (any)
        fci_assume(
            &w->found,
            "the busiest period is %s, each valve on independently (or "
            "always, where it would seldom be); ranges are taken at midpoint "
            "values, then all at best case and all at worst case; a flush is "
            "weak below the valve minimum; a fixture works with up to %.0f%% "
            "of its flushes weak",
            every ? "every set of valves that may be on, with its chance"
                  : "sets of valves sampled at random by how many are on",
            100 * FC_MOST_WEAK);
}
