/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/path_text.c -- the report of `path` for a person. */
#include "page/figure.h"
#include "report/shared.h"
#include "report/report.h"
#include "report/words.h"

static void
say_verdict(struct fci_doc *doc, const fc_path *path,
            const fc_fixture_state *end)
{
    const char *when = fci_state_said(doc, path->state);
    const enum fci_tint tint = fci_verdict_tint(end->works);
    const fc_range m = end->margin;

    switch (end->works) {
    case FC_WORKS:
        fci_doc_verdict(
            doc, tint, "WORKS", "%s: %s, %s to spare at peak.",
            *when ? when + 2 : "", path->fixture,
            fci_figure_margin_said(doc->units, FC_PRESSURE, m.low).text);
        return;
    case FC_WILL_NOT_WORK:
        if (end->pressure == FC_WILL_NOT_WORK)
            fci_doc_verdict(
                doc, tint, "DOES NOT WORK", "%s: %s is short by %s at peak.",
                *when ? when + 2 : "", path->fixture,
                fci_figure_margin_said(doc->units, FC_PRESSURE, m.low).text);
        else
            fci_doc_verdict(doc, tint, "DOES NOT WORK",
                            "%s: %s, though not for want of pressure; see the "
                            "findings.",
                            *when ? when + 2 : "", path->fixture);
        return;
    case FC_CANNOT_TELL:
        break;
    }
    fci_doc_verdict(doc, tint, "CANNOT TELL", "whether %s works%s%s: %s.",
                    path->fixture, *when ? " " : "", *when ? when + 2 : "",
                    path->n_contradictions > 0
                        ? "gauge readings contradict the file"
                        : "it depends on what is not known");
    fci_part_proviso(doc, &path->proviso);
}

/* The fixture, and what it is judged by. */
static void
say_fixture(struct fci_doc *doc, const fc_checked_fixture *f,
            const fc_fixture_state *end)
{
    char count[32] = "";

    if (f->count > 1)
        snprintf(count, sizeof count, ", %d of them", f->count);
    fci_doc_say(doc, "%s%s, on %s, elevation %s%s%s%s.", f->kind, count, f->on,
                fci_figure_said(doc->units, FC_LENGTH, f->elevation).text,
                end->valve ? "; valve " : "", end->valve ? end->valve : "",
                end->valve_assumed ? " (assumed: none is named)" : "");
}

void
fci_path_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_path_view *view = what;
    const fc_check_result *result = view->result;
    const fc_path *path = view->path;
    const struct fci_found found = { result->findings, result->n_findings,
                                     fci_judged_state(result) };

    doc->converted = result->converted;
    fci_part_heading(doc, result);
    say_verdict(doc, path, view->end);
    say_fixture(doc, view->fixture, view->end);
    fci_part_contradictions(doc, path->contradictions, path->n_contradictions);
    fci_part_overrides(doc, result->overrides, result->n_overrides);
    if (view->end->excess)
        fci_part_too_high(doc, view->end->excess, path->fixture, 0);
    fci_part_ledger(doc, view->site, path, view->end);
    fci_part_beyond(doc, &found, path);
    fci_doc_for(doc, FCI_IN_DEPTH);
    fci_part_budget(doc, path, view->darcy);
    fci_part_spare(doc, view->end->spare, false);
    fci_part_findings(doc, &found, path->fixture);
    fci_part_assumptions(doc, result->assumptions, result->n_assumptions);
    fci_part_cautions(doc);
    fci_part_close(doc, result->n_assumptions);
}
