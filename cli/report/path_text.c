/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/path_text.c -- the report of `path` for a person. */
#include "page/figure.h"
#include "report/shared.h"
#include "report/path_report.h"
#include "page/words.h"

#include <string.h>

static const fc_checked_fixture *
fixture_of(const fc_check_result *result, const char *name)
{
    for (size_t i = 0; i < result->n_fixtures; i++)
        if (strcmp(result->fixtures[i].name, name) == 0)
            return &result->fixtures[i];
    return NULL;
}

static void
say_verdict(struct page *page, const fc_path *path)
{
    const char *when = state_phrase(path->state);
    enum tint tint = verdict_tint(path->end.works);

    switch (path->end.works) {
    case FC_WORKS:
        page_say_tinted(page, tint, "WORKS", "%s: %s.", when, path->fixture);
        return;
    case FC_WILL_NOT_WORK:
        page_say_tinted(page, tint, "WILL NOT WORK", "%s: %s%s.", when,
                        path->fixture,
                        path->end.pressure == FC_WILL_NOT_WORK
                            ? " is short of pressure"
                            : ", though not for want of pressure");
        return;
    case FC_CANNOT_TELL:
        break;
    }
    page_say_tinted(page, tint, "CANNOT TELL",
                    "whether %s works %s: it depends on what is not known.",
                    path->fixture, when);
}

/* The fixture, and what it is judged by. */
static void
say_fixture(struct page *page, const fc_checked_fixture *f,
            const fc_path *path)
{
    char count[32] = "";

    if (f->count > 1)
        snprintf(count, sizeof count, " (%d of them)", f->count);
    page_say(page, 2, 4, "%s%s, on %s, %s above the datum.", f->kind, count,
             f->on, figure_said(page->units, FC_LENGTH, f->elevation).text);
    if (path->end.valve)
        page_say(page, 2, 4, "Judged with the valve %s%s.", path->end.valve,
                 path->end.valve_assumed ? ", which is assumed: none is named"
                                         : "");
    part_why(page, f->static_pressure, &path->end);
    part_spare(page, path->end.spare, false);
}

void
path_text(struct page *page, const fc_check_result *result,
          const fc_path *path, bool darcy)
{
    const fc_checked_fixture *f = fixture_of(result, path->fixture);
    const struct found found = { result->findings, result->n_findings,
                                 judged_state(result) };

    part_heading(page, result);
    say_verdict(page, path);
    page_heading(page, "Why");
    if (f)
        say_fixture(page, f, path);
    part_budget(page, path, darcy);
    part_findings(page, &found, path->fixture);
    part_cautions(page);
}
