/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/size_text.c -- the report of `size` for a person. */
#include "report/check_text.h"
#include "report/shared.h"
#include "report/size_report.h"
#include "page/words.h"

#include <math.h>

/* "wc-1", "wc-1 and 2 more" */
static struct figure
said_where(const fc_size_result *result)
{
    struct figure f;

    if (result->n_in_hand_at == 1)
        snprintf(f.text, sizeof f.text, "%.44s", result->in_hand_at[0]);
    else
        snprintf(f.text, sizeof f.text, "%.16s and %zu more",
                 result->in_hand_at[0], result->n_in_hand_at - 1);
    return f;
}

static void
say_found(struct page *page, const fc_size_result *result)
{
    page_say_tinted(
        page, TINT_GOOD, "SIZES FOUND", "for %zu pipe%s: %s%s.",
        result->n_pipes, result->n_pipes == 1 ? "" : "s",
        size_cost_said(result, result->cost).text,
        result->exact && result->in_hand <= 0.0 ? "; none cost less" : "");
    if (result->in_hand > 0.0)
        page_say(
            page, 0, 0,
            "Peak demand alone would do with %s, but then the flush "
            "events fall short; %s more kept in hand at %s cures that%s; "
            "check lets none of the pipes be a size smaller; whether others "
            "would do for less is not known.",
            size_cost_said(result, result->cost_at_peak).text,
            figure_said(page->units, FC_PRESSURE, result->in_hand).text,
            said_where(result).text,
            result->in_hand_bounded
                ? " (at some only as much as any sizes leave them)"
                : "");
    if (!result->exact)
        page_say(page, 0, 0,
                 "There were too many combinations to keep all that matter: "
                 "no sizes can cost less than %s, so these cost at most "
                 "%.2g %% too much.",
                 size_cost_said(result, result->least_cost).text,
                 100.0 * (result->cost / result->least_cost - 1.0));
}

static void
say_source(struct page *page, const fc_size_result *result)
{
    for (int s = 0; s < FC_STATES; s++) {
        const fc_source_need *need = &result->source[s];
        const char *when = !result->converted ? ""
                           : s == FC_EXISTING ? "As it stands: "
                                              : "After the retrofit: ";

        if (!need->given)
            continue;
        if (isinf(need->least))
            page_say(page, 2, 4, "%sNo pressure would do, with any sizes.",
                     when);
        else
            page_say(
                page, 2, 4,
                "%s%s at a peak of %s; with the sizes that take least %s "
                "would do.",
                when,
                figure_said(page->units, FC_PRESSURE, need->pressure).text,
                figure_said(page->units, FC_FLOW, need->flow).text,
                figure_said(page->units, FC_PRESSURE, need->least).text);
    }
}

static void
say_method(struct page *page)
{
    page_heading(page, "How it was worked out");
    page_say(page, 2, 2,
             "flushcalc %s; every input at its worst end, peak demand and "
             "friction as in check. No pipe is larger than the one that feeds "
             "it, over its velocity limit, or under the least supply of a "
             "fixture on it. Any size of the material's table may be taken; "
             "[prices] of those in stock bar the others.",
             fc_version());
}

static void
say_check(struct page *page, const fc_size_result *result)
{
    const fc_check_result *check = result->check;
    const struct found found = { check->findings, check->n_findings,
                                 judged_state(check) };

    page_heading(page, result->feasible || result->n_contradictions > 0
                           ? "Checked with these sizes"
                           : "Checked with the sizes that come nearest");
    check_text_verdict(page, check);
    check_text_at_once(page, check);
    part_findings(page, &found, NULL);
    part_assumptions(page, check->assumptions, check->n_assumptions);
}

void
size_text(struct page *page, const fc_size_result *result)
{
    part_title(page, result->title);
    if (result->n_contradictions > 0)
        page_say_tinted(page, TINT_UNSURE, "CANNOT TELL",
                        "whether any sizes do: gauge readings contradict the "
                        "file as entered.");
    else if (result->feasible && result->works != FC_WORKS)
        page_say_tinted(page, TINT_UNSURE, "CANNOT TELL",
                        "whether the sizes below do: the main has no flow "
                        "test, and they are those for one that does not "
                        "drop.");
    else if (result->feasible)
        say_found(page, result);
    else if (result->works == FC_CANNOT_TELL)
        page_say_tinted(page, TINT_UNSURE, "CANNOT TELL",
                        "whether any sizes do. %s", result->reason);
    else if (result->found)
        page_say_tinted(
            page, TINT_BAD, "NOT BY SIZES ALONE", "(those below cost %s). %s",
            size_cost_said(result, result->cost).text, result->reason);
    else
        page_say_tinted(page, TINT_BAD, "NO SIZES", "do. %s", result->reason);
    part_contradictions(page, result->contradictions,
                        result->n_contradictions);
    part_overrides(page, result->overrides, result->n_overrides);
    size_tables(page, result);
    page_heading(page, "At the source");
    say_source(page, result);
    if (result->check)
        say_check(page, result);
    say_method(page);
    part_cautions(page);
}
