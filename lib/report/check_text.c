/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_text.c -- the report of `check` on one site: verdict and
 * why. */
#include "report/check_text.h"
#include "page/screen.h"
#include "report/shared.h"
#include "report/words.h"

#include <math.h>
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

/* "WORKS after retrofit", or "WORKS" of a building that has one state. */
static void
say_word(struct fci_doc *doc, const fc_check_result *result, const char *word,
         const char *text)
{
    char label[40];

    snprintf(label, sizeof label, "%s%s", word, result->converted ? "" : ":");
    fci_doc_verdict(doc, fci_verdict_tint(result->works), label, "%s%s",
                    result->converted ? "after retrofit: " : "", text);
}

static void
say_works(struct fci_doc *doc, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    const size_t n = fixtures_in(s);
    const fc_checked_fixture *f;
    char text[240], how_many[60];

    if (s->governing >= result->n_fixtures) {
        say_word(doc, result, "WORKS",
                 "no fixture requires a flowing pressure.");
        return;
    }
    f = &result->fixtures[s->governing];
    if (n > 2)
        snprintf(how_many, sizeof how_many, "all %zu fixtures; least", n);
    else
        snprintf(how_many, sizeof how_many, "%s;",
                 n == 2 ? "both fixtures" : "the only fixture");
    snprintf(text, sizeof text, "%s margin %.40s, at %.100s.", how_many,
             fci_figure_margin_said(doc->units, FC_PRESSURE,
                                    f->states[state].margin.low)
                 .text,
             f->name);
    say_word(doc, result, "WORKS", text);
}

/* The fixture that is most short. */
static const fc_fixture_state *
shortest(const fc_check_result *result, fc_state state)
{
    const fc_fixture_state *most = NULL;

    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_fixture_state *end = &result->fixtures[i].states[state];

        if (end->works == FC_WILL_NOT_WORK && end->pressure == FC_WILL_NOT_WORK
            && (!most || end->margin.low < most->margin.low))
            most = end;
    }
    return most;
}

/* ", by up to 3.0 psi"; "" of none. */
static struct fci_figure
said_short(const struct fci_doc *doc, const fc_check_result *result,
           fc_state state)
{
    const fc_fixture_state *end = shortest(result, state);
    const bool several = result->states[state].failing > 1;
    struct fci_figure f = { "" };

    if (!end)
        return f;
    snprintf(
        f.text, sizeof f.text, ", by %s%.20s%s", several ? "up to " : "",
        fci_figure_margin_said(doc->units, FC_PRESSURE, end->margin.low).text,
        fci_figure_differs(doc->units, FC_PRESSURE, end->margin)
            ? " (worst case)"
            : "");
    return f;
}

static void
say_will_not(struct fci_doc *doc, const fc_check_result *result,
             fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    const bool one = s->failing == 1;
    char unclear[80] = "", text[240];

    if (s->unclear > 0)
        snprintf(unclear, sizeof unclear, "; not certain for %zu more",
                 s->unclear);
    if (s->failing == 0)
        snprintf(text, sizeof text, "see what fails, below.");
    else if (all_short(result, state))
        snprintf(text, sizeof text, "%zu of %zu fixtures %s short%s%s.",
                 s->failing, fixtures_in(s), one ? "is" : "are",
                 said_short(doc, result, state).text, unclear);
    else
        snprintf(text, sizeof text, "%zu of %zu fixtures %s%s.", s->failing,
                 fixtures_in(s), one ? "fails" : "fail", unclear);
    say_word(doc, result, "DOES NOT WORK", text);
}

static void
say_verdict(struct fci_doc *doc, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    char text[240];

    switch (s->works) {
    case FC_WORKS:
        say_works(doc, result, state);
        return;
    case FC_WILL_NOT_WORK:
        say_will_not(doc, result, state);
        return;
    case FC_CANNOT_TELL:
        break;
    }
    if (result->n_contradictions > 0)
        snprintf(text, sizeof text,
                 "gauge readings contradict the file as entered.");
    else if (s->unclear == 0)
        snprintf(text, sizeof text, "see the warnings.");
    else
        snprintf(text, sizeof text, "not certain for %zu of %zu fixtures%s.",
                 s->unclear, fixtures_in(s),
                 all_unknown(result, state)
                     ? "; it depends on what is not known"
                     : "");
    say_word(doc, result, "CANNOT TELL", text);
}

/* One line about the state that is not judged. */
static void
say_other(struct fci_doc *doc, const fc_check_result *result)
{
    const fc_checked_state *s = &result->states[FC_EXISTING];
    size_t n = fixtures_in(s);

    switch (s->works) {
    case FC_WORKS:
        if (n > 2)
            fci_doc_say(doc, "Existing: works, all %zu.", n);
        else
            fci_doc_say(doc, "Existing: works%s.", n == 2 ? ", both" : "");
        return;
    case FC_WILL_NOT_WORK:
        if (all_short(result, FC_EXISTING))
            fci_doc_say(doc, "Existing: does not work, %zu of %zu short%s.",
                        s->failing, n,
                        said_short(doc, result, FC_EXISTING).text);
        else
            fci_doc_say(doc, "Existing: does not work, %zu of %zu fail%s.",
                        s->failing, n, s->failing == 1 ? "s" : "");
        return;
    case FC_CANNOT_TELL:
        break;
    }
    if (result->n_contradictions == 0) /* else as above */
        fci_doc_say(doc, "Existing: cannot tell, not certain for %zu of %zu.",
                    s->unclear, n);
}

/* Where enough at peak is not all that counts. */
static void
say_too_weak(struct fci_doc *doc, const char *name,
             const fc_fixture_state *end)
{
    const fc_busy *busy = &end->busy;

    if (end->works != FC_CANNOT_TELL || end->pressure != FC_WORKS
        || !busy->weak.given || fci_most_weak(busy) <= FC_MOST_WEAK)
        return;
    if (busy->weak_worst.given)
        fci_doc_say(doc,
                    "Enough at peak, but in the busiest period %s%% (best "
                    "case) to %s%% (worst case) of the flushes of %s are "
                    "weak; limit %s%%.",
                    fci_check_chance(busy->weak_best.estimate).text,
                    fci_check_chance(busy->weak_worst.estimate).text, name,
                    fci_figure_number(100.0 * FC_MOST_WEAK, 0).text);
    else
        fci_doc_say(doc,
                    "Enough at peak, but in the busiest period %s%% of the "
                    "flushes of %s are weak; limit %s%%.",
                    fci_check_chance(busy->weak.estimate).text, name,
                    fci_figure_number(100.0 * FC_MOST_WEAK, 0).text);
}

static void
say_governing(struct fci_doc *doc, const fc_check_result *result,
              fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    const fc_checked_fixture *f;
    const fc_fixture_state *end;

    fci_doc_heading(doc, "Why");
    if (s->governing >= result->n_fixtures) {
        fci_doc_say(doc, "No fixture requires a flowing pressure.");
        return;
    }
    f = &result->fixtures[s->governing];
    end = &f->states[state];
    fci_doc_say(doc, "Governing fixture: %s, with the least margin of %s.",
                f->name,
                s->works == FC_WORKS           ? "all"
                : s->works == FC_WILL_NOT_WORK ? "those that fail"
                                               : "those not certain");
    fci_part_why(doc, f->static_pressure, end);
    fci_part_spare(doc, s->spare_pressure, true);
}

/* ---- One screen ------------------------------------------------------- */

/* What one screen has room for, the last of these first left out. */
enum { LEDGER = 1, ZONES, FAILURES, BEYOND };

#define MOST_FAILURES 2

/* What the counts of what is short, and the verdict on too much, do not tell.
 */
static bool
is_other_failure(const fc_check_result *result, const fc_finding *f,
                 fc_state state)
{
    if (f->severity != FC_FAIL || (f->states && !(f->states & FC_IN(state)))
        || f->code == FC_FOUND_MAXIMUM_STATIC
        || f->code == FC_FOUND_MAXIMUM_FLOWING)
        return false;
    if (f->code == FC_FOUND_SUPPLY_SIZE || f->code == FC_FOUND_FLUSH_VOLUME)
        return true; /* more pressure does not mend them */
    for (size_t i = 0; i < result->n_fixtures; i++)
        if (strcmp(f->subject, result->fixtures[i].name) == 0)
            return result->fixtures[i].states[state].pressure
                   != FC_WILL_NOT_WORK;
    return true;
}

static void
say_failures(struct fci_doc *doc, const fc_check_result *result,
             fc_state state)
{
    size_t n = 0;

    for (size_t i = 0; i < result->n_findings; i++) {
        const fc_finding *f = &result->findings[i];

        if (is_other_failure(result, f, state) && n++ < MOST_FAILURES)
            fci_doc_say(doc, "%s%s%s.", f->subject, *f->subject ? ": " : "",
                        f->text);
    }
    if (n > MOST_FAILURES)
        fci_doc_say(doc, "and %zu more that fail, see --full.",
                    n - MOST_FAILURES);
}

#define ONE(code, about) +1
enum { CODES = FC_FINDING_LIST(ONE) };
#undef ONE

/* "4 warnings, see --full: velocity (3), supply size (1)."; NULL: there is
 * none.
 */
static const char *
list_warnings(struct fci_doc *doc, const fc_check_result *result,
              fc_state state)
{
    size_t counts[CODES] = { 0 }, used = 0, n = 0;
    char text[40 * CODES] = "";

    for (size_t i = 0; i < result->n_findings; i++) {
        const fc_finding *f = &result->findings[i];

        if (f->severity == FC_WARN
            && (!f->states || (f->states & FC_IN(state)))) {
            counts[f->code]++;
            n++;
        }
    }
    for (int code = 0; code < CODES; code++)
        if (counts[code] > 0)
            used += (size_t)snprintf(text + used, sizeof text - used,
                                     "%s%s (%zu)", used > 0 ? ", " : "",
                                     fc_finding_about((fc_finding_code)code),
                                     counts[code]);
    return n > 0 ? fci_arena_printf(&doc->arena,
                                    "%zu warning%s, see --full: %s.", n,
                                    n == 1 ? "" : "s", text)
                 : NULL;
}

/* What would settle a verdict or fix the building; NULL: nothing is to be
 * said. */
static const char *
what_next(struct fci_doc *doc, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    const char *by =
        s->governing < result->n_fixtures
            ? result->fixtures[s->governing].states[state].decided_by
            : NULL;

    if (result->n_contradictions > 0)
        return "What would settle it: flushcalc diagnose.";
    if (s->works == FC_WILL_NOT_WORK)
        return "To look for a fix: flushcalc size --remedy.";
    if (s->works == FC_CANNOT_TELL && !s->proviso.given && by && *by)
        return fci_arena_printf(&doc->arena, "What would settle it: %s.", by);
    return NULL;
}

static void
say_next(struct fci_doc *doc, const fc_check_result *result, fc_state state)
{
    const char *next = what_next(doc, result, state);
    const char *warnings = list_warnings(doc, result, state);

    if (next || warnings || doc->left)
        fci_doc_gap(doc);
    if (next)
        fci_doc_say(doc, "%s", next);
    if (warnings)
        fci_doc_say(doc, "%s", warnings);
    fci_screen_say_left(doc);
}

/* ---- The whole -------------------------------------------------------- */

static void
say_method(struct fci_doc *doc, const fc_check_result *result)
{
    fci_doc_heading(doc, "Method");
    fci_doc_say(doc,
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
say_too_high(struct fci_doc *doc, const fc_check_result *result,
             fc_state state)
{
    const size_t at = result->states[state].too_high_at;
    size_t n = 0;

    if (at >= result->n_fixtures)
        return;
    for (size_t i = 0; i < result->n_fixtures; i++)
        n += result->fixtures[i].states[state].too_high
             == result->states[state].too_high;
    fci_part_too_high(doc, result->fixtures[at].states[state].excess,
                      result->fixtures[at].name, n - 1);
}

void
fci_check_text_verdict(struct fci_doc *doc, const fc_check_result *result)
{
    const fc_state state = fci_judged_state(result);

    say_verdict(doc, result, state);
    if (result->converted)
        say_other(doc, result);
    say_too_high(doc, result, state);
    fci_part_contradictions(doc, result->contradictions,
                            result->n_contradictions);
    fci_part_proviso(doc, &result->states[state].proviso);
}

static void
say_screen(struct fci_doc *doc, const struct fci_check_view *view,
           const struct fci_found *found, size_t most)
{
    const fc_check_result *result = view->result;
    const fc_state state = found->judged;
    const fc_path *path = view->paths[state];
    const size_t governing = result->states[state].governing;

    fci_check_text_verdict(doc, result);
    if (governing < result->n_fixtures)
        fci_part_ceiling(doc, result->fixtures[governing].name,
                         result->fixtures[governing].static_pressure,
                         &result->fixtures[governing].states[state]);
    fci_part_overrides(doc, result->overrides, result->n_overrides);
    if (result->n_contradictions > 0)
        fci_doc_say(doc, "The figures are of the file as entered.");
    fci_screen_if(doc, most >= FAILURES, "what else fails");
    say_failures(doc, result, state);
    fci_screen_on(doc);
    fci_doc_gap(doc);
    fci_check_text_screen(doc, view);
    if (governing < result->n_fixtures)
        say_too_weak(doc, result->fixtures[governing].name,
                     &result->fixtures[governing].states[state]);
    fci_screen_if(doc, most >= ZONES, "the PRV zones");
    fci_check_text_zones(doc, view);
    if (path) {
        fci_screen_if(doc, most >= LEDGER, "the pressure budget");
        fci_part_ledger(doc, view->site, path,
                        &result->fixtures[governing].states[state]);
        fci_screen_if(doc, most >= BEYOND, "notes on the way");
        fci_part_beyond(doc, found, path);
    }
    fci_screen_on(doc);
}

static void
say_cases(struct fci_doc *doc, const fc_site *site)
{
    const size_t n = fc_site_cases(site);
    const enum fci_place place = fci_doc_place(doc, FCI_AT_END);

    if (n > 0)
        fci_doc_say(doc,
                    "The file has %zu case%s, not in these figures: "
                    "flushcalc compare SITE.",
                    n, n == 1 ? "" : "s");
    fci_doc_place(doc, place);
}

static void
put_tables(struct fci_doc *doc, const fc_check_result *result)
{
    fci_check_text_fixtures(doc, result);
    fci_check_text_flush(doc, result);
    fci_check_text_minima(doc, result);
    fci_check_text_pipes(doc, result);
}

static void
compose(struct fci_doc *doc, const void *what, size_t most)
{
    const struct fci_check_view *view = what;
    const fc_check_result *result = view->result;
    const fc_state state = fci_judged_state(result);
    const fc_path *path = view->paths[state];
    const struct fci_found found = { result->findings, result->n_findings,
                                     state };

    doc->converted = result->converted;
    fci_doc_for(doc, FCI_IN_BRIEF);
    fci_part_title(doc, result->title);
    fci_doc_for(doc, FCI_IN_DEPTH);
    fci_part_heading(doc, result);
    fci_doc_for(doc, FCI_IN_ALL);
    say_screen(doc, view, &found, most);
    fci_doc_for(doc, FCI_IN_DEPTH);
    say_governing(doc, result, state);
    if (path)
        fci_part_budget(doc, path, false);
    if (fci_doc_is_seen(doc))
        put_tables(doc, result);
    fci_part_findings(doc, &found, NULL);
    fci_part_assumptions(doc, result->assumptions, result->n_assumptions);
    say_method(doc, result);
    fci_part_cautions(doc);
    fci_doc_for(doc, FCI_IN_ALL);
    say_cases(doc, view->site);
    fci_doc_for(doc, FCI_IN_BRIEF);
    say_next(doc, result, state);
    fci_part_close(doc, result->n_assumptions);
}

void
fci_check_compose(struct fci_doc *doc, const void *view)
{
    fci_screen_fit(doc, BEYOND, compose, view);
}
