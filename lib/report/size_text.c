/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/size_text.c -- the report of `size` for a person. */
#include "report/report.h"
#include "page/screen.h"
#include "report/check_text.h"
#include "report/shared.h"
#include "report/size_report.h"
#include "report/words.h"

#include <math.h>

/* "wc-1", "wc-1 and 2 more" */
static struct fci_figure
said_where(const fc_size_result *result)
{
    struct fci_figure f;

    if (result->n_in_hand_at == 1)
        snprintf(f.text, sizeof f.text, "%.44s", result->in_hand_at[0]);
    else
        snprintf(f.text, sizeof f.text, "%.16s and %zu more",
                 result->in_hand_at[0], result->n_in_hand_at - 1);
    return f;
}

static void
say_found(struct fci_doc *doc, const fc_size_result *result)
{
    fci_doc_verdict(
        doc, FCI_GOOD, "WORKS", "with the sizes found for %zu pipe%s: %s%s.",
        result->n_pipes, result->n_pipes == 1 ? "" : "s",
        fci_size_cost_said(result, result->cost).text,
        result->exact && result->in_hand <= 0.0 ? ", the lowest cost" : "");
    if (result->in_hand > 0.0)
        fci_doc_say(
            doc,
            "For peak demand alone %s is enough, but then flushes fall short; "
            "%s more at %s fixes that%s. No pipe may be a size smaller; "
            "whether other sizes cost less is not known.",
            fci_size_cost_said(result, result->cost_at_peak).text,
            fci_figure_said(doc->units, FC_PRESSURE, result->in_hand).text,
            said_where(result).text,
            result->in_hand_bounded
                ? " (at some only as much as any sizes allow)"
                : "");
    if (!result->exact)
        fci_doc_say(
            doc,
            "Too many combinations to try all: no sizes cost less than %s, so "
            "these cost at most %.2g%% too much.",
            fci_size_cost_said(result, result->least_cost).text,
            100.0 * (result->cost / result->least_cost - 1.0));
}

static void
say_verdict(struct fci_doc *doc, const fc_size_result *result)
{
    if (result->n_contradictions > 0)
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL",
                        "whether any sizes work: gauge readings contradict "
                        "the file as entered.");
    else if (result->feasible && result->works != FC_WORKS)
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL",
                        "whether the sizes below work (%s): the main has no "
                        "flow test; they are for a main that does not drop.",
                        fci_size_cost_said(result, result->cost).text);
    else if (result->feasible)
        say_found(doc, result);
    else if (result->works == FC_CANNOT_TELL)
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL",
                        "whether any sizes work. %s", result->reason);
    else if (result->found)
        fci_doc_verdict(doc, FCI_BAD, "DOES NOT WORK",
                        "by sizes alone; those below cost %s. %s",
                        fci_size_cost_said(result, result->cost).text,
                        result->reason);
    else
        fci_doc_verdict(doc, FCI_BAD, "DOES NOT WORK", "with any sizes. %s",
                        result->reason);
}

static void
say_source(struct fci_doc *doc, const fc_size_result *result)
{
    fci_doc_heading(doc, "At the source");
    for (int s = 0; s < FC_STATES; s++) {
        const fc_source_need *need = &result->source[s];
        const char *when = !result->converted ? ""
                           : s == FC_EXISTING ? "Existing: "
                                              : "After retrofit: ";

        if (!need->given)
            continue;
        if (isinf(need->least))
            fci_doc_say(doc, "%sNo pressure works, with any sizes.", when);
        else
            fci_doc_say(
                doc,
                "%s%s at a peak of %s; with the sizes that lose least %s "
                "is enough.",
                when,
                fci_figure_said(doc->units, FC_PRESSURE, need->pressure).text,
                fci_figure_said(doc->units, FC_FLOW, need->flow).text,
                fci_figure_said(doc->units, FC_PRESSURE, need->least).text);
    }
}

static void
say_method(struct fci_doc *doc)
{
    fci_doc_heading(doc, "How it was calculated");
    fci_doc_say(
        doc,
        "flushcalc %s; worst case of every input, peak demand and friction "
        "as in check. No pipe is larger than the one that feeds it, over its "
        "velocity limit, or under the minimum supply size of a fixture on "
        "it. Only sizes that a supply house stocks are taken, with [prices] "
        "only sizes that have one; \"sizes = all\" in [site] takes any.",
        fc_version());
}

static void
say_check(struct fci_doc *doc, const fc_size_result *result)
{
    if (!result->check)
        return;
    fci_doc_heading(doc, result->feasible || result->n_contradictions > 0
                             ? "Checked with these sizes"
                             : "Checked with the sizes that come closest");
    fci_check_text_verdict(doc, result->check);
}

/* What stands below the table of one screen: the note on rows told together,
 * the hand method and the end. */
#define BELOW 8
#define HEADS 5      /* of the table, and its total */
#define LEAST_ROWS 4 /* whatever stands above */

static void
say_brief(struct fci_doc *doc, const fc_size_result *result)
{
    const size_t room = fci_screen_room(doc, HEADS + BELOW);

    if (isnan(result->cost))
        return;
    fci_doc_heading(doc, "Sizes");
    fci_size_folded(doc, result, room > LEAST_ROWS ? room : LEAST_ROWS);
    fci_size_by_hand(doc, result);
}

static void
say_depth(struct fci_doc *doc, const struct fci_size_view *view)
{
    const fc_size_result *result = view->result;
    const struct fci_found found = { view->told.findings,
                                     view->told.n_findings,
                                     fci_judged_state(&view->told) };

    fci_size_tables(doc, result);
    say_source(doc, result);
    if (result->check)
        fci_check_text_at_once(doc, result->check);
    fci_part_findings(doc, &found, NULL);
    fci_part_assumptions(doc, view->told.assumptions,
                         view->told.n_assumptions);
    say_method(doc);
    fci_part_cautions(doc);
}

void
fci_size_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_size_view *view = what;
    const fc_size_result *result = view->result;

    doc->converted = result->converted;
    fci_part_title(doc, result->title);
    say_verdict(doc, result);
    if (!result->check) /* it tells them */
        fci_part_contradictions(doc, result->contradictions,
                                result->n_contradictions);
    fci_part_overrides(doc, result->overrides, result->n_overrides);
    say_check(doc, result);
    fci_doc_for(doc, FCI_IN_BRIEF);
    say_brief(doc, result);
    fci_doc_for(doc, FCI_IN_DEPTH);
    say_depth(doc, view);
    fci_part_close(doc, view->told.n_assumptions);
}
