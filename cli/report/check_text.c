/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/check_text.c -- the report of `check` on one site: verdict and
 * why. */
#include "report/check_text.h"
#include "page/figure.h"
#include "report/shared.h"
#include "page/words.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

static size_t
fixtures_in(const fc_checked_state *state)
{
    return state->working + state->failing + state->unclear;
}

/* Whether all that fails does so for want of pressure. */
static bool
all_short(const fc_check_result *result, fc_state state)
{
    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_fixture_state *end = &result->fixtures[i].states[state];

        if (end->works == FC_WILL_NOT_WORK
            && end->pressure != FC_WILL_NOT_WORK)
            return false;
    }
    return true;
}

/* Whether all that cannot be told turns on inputs that are not known; else
 * the peak and the flush events disagree. */
static bool
all_unknown(const fc_check_result *result, fc_state state)
{
    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_fixture_state *end = &result->fixtures[i].states[state];

        if (end->works == FC_CANNOT_TELL && end->pressure == FC_WORKS)
            return false;
    }
    return true;
}

/* "the least margin is 3.2 psi (at wc-6)"; "" where nothing governs. */
static void
say_works(struct page *page, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    const fc_checked_fixture *f;
    struct figure margin;

    if (s->governing >= result->n_fixtures) {
        page_say_tinted(page, TINT_GOOD, "WORKS",
                        "%s: no fixture requires a flowing pressure.",
                        state_phrase(state));
        return;
    }
    f = &result->fixtures[s->governing];
    margin = figure_margin_said(page->units, FC_PRESSURE,
                                f->states[state].margin.low);
    if (fixtures_in(s) == 2)
        page_say_tinted(page, TINT_GOOD, "WORKS",
                        "%s: both fixtures; the least margin is %s (at %s).",
                        state_phrase(state), margin.text, f->name);
    else if (fixtures_in(s) == 1)
        page_say_tinted(page, TINT_GOOD, "WORKS",
                        "%s: its one fixture; the margin is %s (at %s).",
                        state_phrase(state), margin.text, f->name);
    else
        page_say_tinted(page, TINT_GOOD, "WORKS",
                        "%s: all %zu fixtures; the least margin is %s (at "
                        "%s).",
                        state_phrase(state), fixtures_in(s), margin.text,
                        f->name);
}

static void
say_will_not(struct page *page, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    bool one = s->failing == 1;
    char unclear[80] = "";

    if (s->unclear > 0)
        snprintf(unclear, sizeof unclear, "; for %zu more it cannot be told",
                 s->unclear);
    if (s->failing == 0)
        page_say_tinted(page, TINT_BAD, "WILL NOT WORK",
                        "%s: see what is found below.", state_phrase(state));
    else if (all_short(result, state))
        page_say_tinted(page, TINT_BAD, "WILL NOT WORK",
                        "%s: %zu of %zu fixtures %s short of pressure%s.",
                        state_phrase(state), s->failing, fixtures_in(s),
                        one ? "is" : "are", unclear);
    else
        page_say_tinted(page, TINT_BAD, "WILL NOT WORK",
                        "%s: %zu of %zu fixtures %s%s.", state_phrase(state),
                        s->failing, fixtures_in(s), one ? "fails" : "fail",
                        unclear);
}

static void
say_verdict(struct page *page, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];

    switch (s->works) {
    case FC_WORKS:
        say_works(page, result, state);
        return;
    case FC_WILL_NOT_WORK:
        say_will_not(page, result, state);
        return;
    case FC_CANNOT_TELL:
        break;
    }
    if (result->n_contradictions > 0)
        page_say_tinted(page, TINT_UNSURE, "CANNOT TELL",
                        "whether it works %s: gauge readings contradict the "
                        "file as entered.",
                        state_phrase(state));
    else if (s->unclear == 0)
        page_say_tinted(page, TINT_UNSURE, "CANNOT TELL",
                        "whether it works %s: see what is found below.",
                        state_phrase(state));
    else
        page_say_tinted(page, TINT_UNSURE, "CANNOT TELL",
                        "whether it works %s: %zu of %zu fixtures %s.",
                        state_phrase(state), s->unclear, fixtures_in(s),
                        !all_unknown(result, state)
                            ? "are in doubt; see the warnings"
                        : s->unclear == 1 ? "depends on what is not known"
                                          : "depend on what is not known");
}

/* One line about the state that is not judged. */
static void
say_other(struct page *page, const fc_check_result *result)
{
    const fc_checked_state *s = &result->states[FC_EXISTING];
    size_t n = fixtures_in(s);

    switch (s->works) {
    case FC_WORKS:
        if (n > 2)
            page_say(page, 0, 0, "As it stands: works, all %zu.", n);
        else
            page_say(page, 0, 0, "As it stands: works%s.",
                     n == 2 ? ", both" : "");
        return;
    case FC_WILL_NOT_WORK:
        page_say(page, 0, 0, "As it stands: will not work, %zu of %zu fail%s.",
                 s->failing, n, s->failing == 1 ? "s" : "");
        return;
    case FC_CANNOT_TELL:
        break;
    }
    if (result->n_contradictions > 0)
        return; /* as above */
    page_say(page, 0, 0, "As it stands: cannot tell, %zu of %zu %s.",
             s->unclear, n,
             !all_unknown(result, FC_EXISTING) ? "are in doubt"
             : s->unclear == 1                 ? "depends on what is not known"
                               : "depend on what is not known");
}

/* Where enough at peak is not all that counts. */
static void
say_too_weak(struct page *page, const fc_fixture_state *end)
{
    const fc_busy *busy = &end->busy;

    if (end->works != FC_CANNOT_TELL || end->pressure != FC_WORKS
        || !busy->weak.given
        || fmax(busy->weak.estimate, busy->weak_worst.estimate)
               <= FC_MOST_WEAK)
        return;
    if (busy->weak_worst.given)
        page_say(page, 2, 4,
                 "That is enough at peak, but in the busiest period %s %% "
                 "of its flushes are weak, or from %s to %s %% with the "
                 "inputs' ranges.",
                 figure_number(100.0 * busy->weak.estimate, 1).text,
                 figure_number(100.0 * busy->weak_best.estimate, 1).text,
                 figure_number(100.0 * busy->weak_worst.estimate, 1).text);
    else
        page_say(page, 2, 4,
                 "That is enough at peak, but in the busiest period %s %% "
                 "of its flushes are weak.",
                 figure_number(100.0 * busy->weak.estimate, 1).text);
}

static void
say_governing(struct page *page, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    const fc_checked_fixture *f;
    fc_fixture_state end;

    page_heading(page, "Why");
    if (s->governing >= result->n_fixtures) {
        page_say(page, 2, 4,
                 "No fixture requires a flowing pressure, so none "
                 "governs.");
        return;
    }
    f = &result->fixtures[s->governing];
    end = f->states[state];
    page_say(page, 2, 4, "%s governs: of %s it has the least margin.", f->name,
             s->works == FC_WILL_NOT_WORK && end.pressure == FC_WORKS
                 ? "what will not work"
                 : "all fixtures");
    if (result->n_contradictions > 0)
        page_say(page, 2, 4,
                 "The figures below are of the file as entered, which gauge "
                 "readings contradict.");
    part_why(page, f->static_pressure, &end);
    say_too_weak(page, &end);
    part_spare(page, s->spare_pressure, true);
    if (s->works == FC_WILL_NOT_WORK && end.pressure == FC_WORKS)
        page_say(page, 2, 4,
                 "Pressure is not what fails: see what will not "
                 "work, below.");
}

static void
say_zone(struct page *page, const char *side, const char *name,
         const fc_checked_fixture *f, fc_state state)
{
    const fc_range margin = f->states[state].margin;
    fc_unit_system u = page->units;
    struct figure low = figure_margin_said(u, FC_PRESSURE, margin.low);
    struct figure high = figure_margin_said(u, FC_PRESSURE, margin.high);

    if (margin.low >= 0.0)
        page_say(page, 2, 4, "%s%s: governing fixture %s, %s to spare.", side,
                 name, f->name, low.text);
    else if (margin.high < 0.0)
        page_say(page, 2, 4, "%s%s: governing fixture %s, short by %s.", side,
                 name, f->name, high.text);
    else
        page_say(page, 2, 4,
                 "%s%s: governing fixture %s, from short by %s to %s to "
                 "spare.",
                 side, name, f->name, low.text, high.text);
}

/* The governing fixture of each zone, where there is more than one pressure.
 */
static void
say_zones(struct page *page, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];

    if (s->n_zones == 0)
        return;
    page_heading(page, "PRV zones");
    for (size_t i = 0; i < s->n_zones; i++) {
        const fc_zone *zone = &s->zones[i];
        const char *side =
            zone->reducer ? "Downstream of PRV " : "Upstream of any PRV";
        const char *name = zone->reducer ? zone->reducer : "";

        if (zone->n_fixtures == 0)
            page_say(page, 2, 4, "%s%s: no fixture.", side, name);
        else if (zone->governing >= result->n_fixtures)
            page_say(page, 2, 4,
                     "%s%s: no fixture requires a flowing pressure.", side,
                     name);
        else
            say_zone(page, side, name, &result->fixtures[zone->governing],
                     state);
    }
}

static void
say_method(struct page *page, const fc_check_result *result)
{
    page_heading(page, "How it was worked out");
    page_say(page, 2, 2,
             "flushcalc %s; peak demand by %s%s%s, friction by "
             "Hazen-Williams. "
             "Every pipe carries its own peak, so flows do not add up.",
             fc_version(),
             result->peak == FC_PROBABILITY ? "the probability of flushes"
                                            : "the fixture units of the ",
             result->peak == FC_PROBABILITY ? "" : result->code,
             result->peak == FC_PROBABILITY ? ""
             : result->demand == FC_INTERPOLATE
                 ? ", its demand table interpolated"
                 : ", its demand table read at the next row up");
}

/* A verdict beside that on the flush valves. */
static void
say_too_high(struct page *page, const fc_check_result *result, fc_state state)
{
    const size_t at = result->states[state].too_high_at;
    size_t n = 0;

    if (at >= result->n_fixtures)
        return;
    for (size_t i = 0; i < result->n_fixtures; i++)
        n += result->fixtures[i].states[state].too_high
             == result->states[state].too_high;
    part_too_high(page, result->fixtures[at].states[state].excess,
                  result->fixtures[at].name, n - 1);
}

void
check_text_verdict(struct page *page, const fc_check_result *result)
{
    say_verdict(page, result, judged_state(result));
    part_contradictions(page, result->contradictions,
                        result->n_contradictions);
    part_proviso(page, &result->states[judged_state(result)].proviso);
    say_too_high(page, result, judged_state(result));
    if (result->converted)
        say_other(page, result);
}

void
check_text(struct page *page, const fc_check_result *result,
           const fc_path *path)
{
    fc_state state = judged_state(result);
    const struct found found = { result->findings, result->n_findings, state };

    part_heading(page, result);
    check_text_verdict(page, result);
    part_overrides(page, result->overrides, result->n_overrides);
    check_text_at_once(page, result);
    say_governing(page, result, state);
    if (path)
        part_beyond(page, &found, path);
    say_zones(page, result, state);
    if (path)
        part_budget(page, path, false);
    check_text_fixtures(page, result);
    check_text_flush(page, result);
    check_text_minima(page, result);
    check_text_pipes(page, result);
    part_findings(page, &found, NULL);
    part_assumptions(page, result->assumptions, result->n_assumptions);
    say_method(page, result);
    part_cautions(page);
}
