/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_text.c -- the report of `check` on one site: verdict and
 * why. */
#include "report/check_text.h"
#include "report/report.h"
#include "page/figure.h"
#include "report/shared.h"
#include "report/words.h"

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
say_works(struct fci_doc *doc, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    const fc_checked_fixture *f;
    struct fci_figure margin;

    if (s->governing >= result->n_fixtures) {
        fci_doc_verdict(doc, FCI_GOOD, "WORKS",
                        "%s: no fixture requires a flowing pressure.",
                        fci_state_phrase(state));
        return;
    }
    f = &result->fixtures[s->governing];
    margin = fci_figure_margin_said(doc->units, FC_PRESSURE,
                                    f->states[state].margin.low);
    if (fixtures_in(s) == 2)
        fci_doc_verdict(doc, FCI_GOOD, "WORKS",
                        "%s: both fixtures; the least margin is %s (at %s).",
                        fci_state_phrase(state), margin.text, f->name);
    else if (fixtures_in(s) == 1)
        fci_doc_verdict(doc, FCI_GOOD, "WORKS",
                        "%s: its one fixture; the margin is %s (at %s).",
                        fci_state_phrase(state), margin.text, f->name);
    else
        fci_doc_verdict(doc, FCI_GOOD, "WORKS",
                        "%s: all %zu fixtures; the least margin is %s (at "
                        "%s).",
                        fci_state_phrase(state), fixtures_in(s), margin.text,
                        f->name);
}

static void
say_will_not(struct fci_doc *doc, const fc_check_result *result,
             fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    bool one = s->failing == 1;
    char unclear[80] = "";

    if (s->unclear > 0)
        snprintf(unclear, sizeof unclear, "; for %zu more it cannot be told",
                 s->unclear);
    if (s->failing == 0)
        fci_doc_verdict(doc, FCI_BAD, "WILL NOT WORK",
                        "%s: see what is found below.",
                        fci_state_phrase(state));
    else if (all_short(result, state))
        fci_doc_verdict(doc, FCI_BAD, "WILL NOT WORK",
                        "%s: %zu of %zu fixtures %s short of pressure%s.",
                        fci_state_phrase(state), s->failing, fixtures_in(s),
                        one ? "is" : "are", unclear);
    else
        fci_doc_verdict(doc, FCI_BAD, "WILL NOT WORK",
                        "%s: %zu of %zu fixtures %s%s.",
                        fci_state_phrase(state), s->failing, fixtures_in(s),
                        one ? "fails" : "fail", unclear);
}

static void
say_verdict(struct fci_doc *doc, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];

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
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL",
                        "whether it works %s: gauge readings contradict the "
                        "file as entered.",
                        fci_state_phrase(state));
    else if (s->unclear == 0)
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL",
                        "whether it works %s: see what is found below.",
                        fci_state_phrase(state));
    else
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL",
                        "whether it works %s: %zu of %zu fixtures %s.",
                        fci_state_phrase(state), s->unclear, fixtures_in(s),
                        !all_unknown(result, state)
                            ? "are in doubt; see the warnings"
                        : s->unclear == 1 ? "depends on what is not known"
                                          : "depend on what is not known");
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
            fci_doc_say(doc, "As it stands: works, all %zu.", n);
        else
            fci_doc_say(doc, "As it stands: works%s.", n == 2 ? ", both" : "");
        return;
    case FC_WILL_NOT_WORK:
        fci_doc_say(doc, "As it stands: will not work, %zu of %zu fail%s.",
                    s->failing, n, s->failing == 1 ? "s" : "");
        return;
    case FC_CANNOT_TELL:
        break;
    }
    if (result->n_contradictions > 0)
        return; /* as above */
    fci_doc_say(doc, "As it stands: cannot tell, %zu of %zu %s.", s->unclear,
                n,
                !all_unknown(result, FC_EXISTING) ? "are in doubt"
                : s->unclear == 1 ? "depends on what is not known"
                                  : "depend on what is not known");
}

/* Where enough at peak is not all that counts. */
static void
say_too_weak(struct fci_doc *doc, const fc_fixture_state *end)
{
    const fc_busy *busy = &end->busy;

    if (end->works != FC_CANNOT_TELL || end->pressure != FC_WORKS
        || !busy->weak.given
        || fmax(busy->weak.estimate, busy->weak_worst.estimate)
               <= FC_MOST_WEAK)
        return;
    if (busy->weak_worst.given)
        fci_doc_say(
            doc,
            "That is enough at peak, but in the busiest period %s %% "
            "of its flushes are weak, or from %s to %s %% with the "
            "inputs' ranges.",
            fci_figure_number(100.0 * busy->weak.estimate, 1).text,
            fci_figure_number(100.0 * busy->weak_best.estimate, 1).text,
            fci_figure_number(100.0 * busy->weak_worst.estimate, 1).text);
    else
        fci_doc_say(doc,
                    "That is enough at peak, but in the busiest period %s %% "
                    "of its flushes are weak.",
                    fci_figure_number(100.0 * busy->weak.estimate, 1).text);
}

static void
say_governing(struct fci_doc *doc, const fc_check_result *result,
              fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    const fc_checked_fixture *f;
    fc_fixture_state end;

    fci_doc_heading(doc, "Why");
    if (s->governing >= result->n_fixtures) {
        fci_doc_say(doc, "No fixture requires a flowing pressure, so none "
                         "governs.");
        return;
    }
    f = &result->fixtures[s->governing];
    end = f->states[state];
    fci_doc_say(doc, "%s governs: of %s it has the least margin.", f->name,
                s->works == FC_WILL_NOT_WORK && end.pressure == FC_WORKS
                    ? "what will not work"
                    : "all fixtures");
    if (result->n_contradictions > 0)
        fci_doc_say(
            doc, "The figures below are of the file as entered, which gauge "
                 "readings contradict.");
    fci_part_why(doc, f->static_pressure, &end);
    say_too_weak(doc, &end);
    fci_part_spare(doc, s->spare_pressure, true);
    if (s->works == FC_WILL_NOT_WORK && end.pressure == FC_WORKS)
        fci_doc_say(doc, "Pressure is not what fails: see what will not "
                         "work, below.");
}

static void
say_zone(struct fci_doc *doc, const char *side, const char *name,
         const fc_checked_fixture *f, fc_state state)
{
    const fc_range margin = f->states[state].margin;
    fc_unit_system u = doc->units;
    struct fci_figure low = fci_figure_margin_said(u, FC_PRESSURE, margin.low);
    struct fci_figure high =
        fci_figure_margin_said(u, FC_PRESSURE, margin.high);

    if (margin.low >= 0.0)
        fci_doc_say(doc, "%s%s: governing fixture %s, %s to spare.", side,
                    name, f->name, low.text);
    else if (margin.high < 0.0)
        fci_doc_say(doc, "%s%s: governing fixture %s, short by %s.", side,
                    name, f->name, high.text);
    else
        fci_doc_say(doc,
                    "%s%s: governing fixture %s, from short by %s to %s to "
                    "spare.",
                    side, name, f->name, low.text, high.text);
}

/* The governing fixture of each zone, where there is more than one pressure.
 */
static void
say_zones(struct fci_doc *doc, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];

    if (s->n_zones == 0)
        return;
    fci_doc_heading(doc, "PRV zones");
    for (size_t i = 0; i < s->n_zones; i++) {
        const fc_zone *zone = &s->zones[i];
        const char *side =
            zone->reducer ? "Downstream of PRV " : "Upstream of any PRV";
        const char *name = zone->reducer ? zone->reducer : "";

        if (zone->n_fixtures == 0)
            fci_doc_say(doc, "%s%s: no fixture.", side, name);
        else if (zone->governing >= result->n_fixtures)
            fci_doc_say(doc, "%s%s: no fixture requires a flowing pressure.",
                        side, name);
        else
            say_zone(doc, side, name, &result->fixtures[zone->governing],
                     state);
    }
}

static void
say_method(struct fci_doc *doc, const fc_check_result *result)
{
    fci_doc_heading(doc, "How it was worked out");
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
    say_verdict(doc, result, fci_judged_state(result));
    fci_part_contradictions(doc, result->contradictions,
                            result->n_contradictions);
    fci_part_proviso(doc, &result->states[fci_judged_state(result)].proviso);
    say_too_high(doc, result, fci_judged_state(result));
    if (result->converted)
        say_other(doc, result);
}

void
fci_check_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_check_view *view = what;
    const fc_check_result *result = view->result;
    const fc_path *path = view->paths[fci_judged_state(result)];
    fc_state state = fci_judged_state(result);
    const struct fci_found found = { result->findings, result->n_findings,
                                     state };

    fci_part_heading(doc, result);
    fci_check_text_verdict(doc, result);
    fci_part_overrides(doc, result->overrides, result->n_overrides);
    fci_check_text_at_once(doc, result);
    say_governing(doc, result, state);
    if (path)
        fci_part_beyond(doc, &found, path);
    say_zones(doc, result, state);
    if (path)
        fci_part_budget(doc, path, false);
    fci_check_text_fixtures(doc, result);
    fci_check_text_flush(doc, result);
    fci_check_text_minima(doc, result);
    fci_check_text_pipes(doc, result);
    fci_part_findings(doc, &found, NULL);
    fci_part_assumptions(doc, result->assumptions, result->n_assumptions);
    say_method(doc, result);
    fci_part_cautions(doc);
}
