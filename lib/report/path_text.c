/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/path_text.c -- the report of `path` for a person. */
#include "page/figure.h"
#include "report/budget.h"
#include "report/report.h"

static void
say_short(struct fci_doc *doc, const fc_path *path,
          const fc_fixture_state *end)
{
    const fc_range m = end->margin;

    fci_part_verdict(
        doc, FC_WILL_NOT_WORK, path->state, "%s is short by %s at peak%s.",
        path->fixture,
        fci_figure_margin_said(doc->units, FC_PRESSURE, m.low).text,
        fci_figure_differs(doc->units, FC_PRESSURE, m) ? " (worst case)" : "");
}

static void
say_unclear(struct fci_doc *doc, const fc_path *path,
            const fc_fixture_state *end)
{
    const fc_range m = end->margin;

    if (path->n_contradictions > 0)
        fci_part_verdict(doc, FC_CANNOT_TELL, path->state,
                         "gauge readings contradict the file as entered.");
    else if (m.given && m.low < 0.0 && m.high >= 0.0)
        fci_part_verdict(
            doc, FC_CANNOT_TELL, path->state,
            "%s is between %s short and %s to spare at peak.", path->fixture,
            fci_figure_margin_said(doc->units, FC_PRESSURE, m.low).text,
            fci_figure_margin_said(doc->units, FC_PRESSURE, m.high).text);
    else
        fci_part_verdict(doc, FC_CANNOT_TELL, path->state,
                         "whether %s works depends on what is not known.",
                         path->fixture);
    fci_part_proviso(doc, &path->proviso);
}

static void
say_works(struct fci_doc *doc, const fc_path *path,
          const fc_fixture_state *end)
{
    const fc_range m = end->margin;

    if (!m.given)
        fci_part_verdict(doc, FC_WORKS, path->state,
                         "%s; nothing requires a flowing pressure there.",
                         path->fixture);
    else
        fci_part_verdict(
            doc, FC_WORKS, path->state, "%s, %s to spare at peak%s.",
            path->fixture,
            fci_figure_margin_said(doc->units, FC_PRESSURE, m.low).text,
            fci_figure_differs(doc->units, FC_PRESSURE, m) ? " (worst case)"
                                                           : "");
}

/* The finding that the verdict quotes; NULL: none. */
static const fc_finding *
say_verdict(struct fci_doc *doc, const fc_path *path,
            const fc_fixture_state *end, const struct fci_found *found)
{
    if (end->works == FC_WORKS)
        say_works(doc, path, end);
    else if (end->works == FC_CANNOT_TELL)
        say_unclear(doc, path, end);
    else if (end->pressure == FC_WILL_NOT_WORK)
        say_short(doc, path, end);
    else
        return fci_part_fails(doc, found);
    return NULL;
}

/* The fixture, and what it is judged by. */
static void
say_fixture(struct fci_doc *doc, const fc_checked_fixture *f,
            const fc_fixture_state *end)
{
    const char *count = "";

    if (f->count > 1)
        count = fci_arena_printf(&doc->arena, ", %s of them",
                                 fci_count_text(doc, f));
    fci_doc_say(doc, "%s%s, on %s, elevation %s%s%s%s.", f->kind, count, f->on,
                fci_figure_said(doc->units, FC_LENGTH, f->elevation).text,
                end->valve ? "; valve " : "", end->valve ? end->valve : "",
                end->valve_assumed ? " (assumed: none is named)" : "");
}

/* The verdict tells of it. */
static bool
is_told(const fc_finding *f)
{
    return f->severity == FC_FAIL && f->code == FC_FOUND_FLOWING_PRESSURE;
}

#define CLOSE_LINES 3
#define DARCY_LINES 2
#define BUDGET_LINES 15 /* what the budget is to have at least */

void
fci_path_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_path_view *view = what;
    const fc_check_result *result = view->result;
    const fc_path *path = view->path;
    const struct fci_found found = { view->findings, view->n_findings,
                                     path->state };
    const size_t kept = CLOSE_LINES + (view->darcy ? DARCY_LINES : 0);
    const fc_finding *quoted;

    doc->converted = result->converted;
    fci_part_heading(doc, result);
    quoted = say_verdict(doc, path, view->end, &found);
    say_fixture(doc, view->fixture, view->end);
    fci_part_contradictions(doc, path->contradictions, path->n_contradictions);
    fci_part_overrides(doc, result->overrides, result->n_overrides);
    if (view->end->excess)
        fci_part_too_high(doc, view->end->excess, path->fixture, 0);
    fci_part_warnings(doc, &found, is_told, quoted, kept + BUDGET_LINES);
    fci_doc_for(doc, FCI_IN_BRIEF);
    if (!fci_part_steps(doc, path, view->end, kept))
        fci_part_ledger(doc, view->site, path, view->end);
    if (view->darcy)
        fci_part_darcy(doc, path);
    fci_doc_for(doc, FCI_IN_DEPTH);
    fci_doc_heading(doc, "Why");
    fci_part_why(doc, view->fixture->static_pressure, view->end);
    fci_part_spare(doc, view->end->spare, false);
    fci_part_budget(doc, path, view->darcy);
    fci_part_findings(doc, &found, NULL);
    fci_part_assumptions(doc, result->assumptions, result->n_assumptions);
    fci_part_cautions(doc);
    fci_part_close(doc, result->n_assumptions);
}
