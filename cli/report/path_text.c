/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/path_text.c -- the report of `path` for a person. */
#include "page/figure.h"
#include "report/shared.h"
#include "report/path_report.h"
#include "page/words.h"

static void
say_verdict(struct page *page, const fc_path *path,
            const fc_fixture_state *end)
{
    const char *when = state_phrase(path->state);
    enum tint tint = verdict_tint(end->works);

    switch (end->works) {
    case FC_WORKS:
        page_say_tinted(page, tint, "WORKS", "%s: %s.", when, path->fixture);
        return;
    case FC_WILL_NOT_WORK:
        page_say_tinted(page, tint, "WILL NOT WORK", "%s: %s%s.", when,
                        path->fixture,
                        end->pressure == FC_WILL_NOT_WORK
                            ? " is short of pressure"
                            : ", though not for want of pressure");
        return;
    case FC_CANNOT_TELL:
        break;
    }
    page_say_tinted(page, tint, "CANNOT TELL", "whether %s works %s: %s.",
                    path->fixture, when,
                    path->n_contradictions > 0
                        ? "gauge readings contradict the file as entered"
                        : "it depends on what is not known");
    part_proviso(page, &path->proviso);
}

/* The fixture, and what it is judged by. */
static void
say_fixture(struct page *page, const fc_checked_fixture *f,
            const fc_fixture_state *end)
{
    char count[32] = "";

    if (f->count > 1)
        snprintf(count, sizeof count, " (%d of them)", f->count);
    page_say(page, 2, 4, "%s%s, on %s, %s above the datum.", f->kind, count,
             f->on, figure_said(page->units, FC_LENGTH, f->elevation).text);
    if (end->valve)
        page_say(page, 2, 4, "Judged with the valve %s%s.", end->valve,
                 end->valve_assumed ? ", which is assumed: none is named"
                                    : "");
    part_why(page, f->static_pressure, end);
    part_spare(page, end->spare, false);
}

void
path_text(struct page *page, const fc_check_result *result,
          const fc_checked_fixture *fixture, const fc_path *path, bool darcy)
{
    const fc_fixture_state *end = &fixture->states[path->state];
    const struct found found = { result->findings, result->n_findings,
                                 judged_state(result) };

    part_heading(page, result);
    say_verdict(page, path, end);
    part_contradictions(page, path->contradictions, path->n_contradictions);
    part_overrides(page, result->overrides, result->n_overrides);
    if (end->excess)
        part_too_high(page, end->excess, path->fixture, 0);
    page_heading(page, "Why");
    say_fixture(page, fixture, end);
    part_beyond(page, &found, path);
    part_budget(page, path, darcy);
    part_findings(page, &found, path->fixture);
    part_assumptions(page, result->assumptions, result->n_assumptions);
    part_cautions(page);
}
