/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_sites.c -- the report of `check` on several sites, a line
 * each. */
#include "report/check_text.h"
#include "report/report.h"
#include "page/figure.h"
#include "report/shared.h"
#include "report/words.h"

#include <string.h>

/* What the first finding of a severity is about. */
static const char *
first_about(const fc_check_result *result, fc_state state,
            fc_severity severity)
{
    for (size_t i = 0; i < result->n_findings; i++) {
        const fc_finding *f = &result->findings[i];

        if (f->severity == severity
            && (!f->states || f->states & FC_IN(state)))
            return f->about;
    }
    return "";
}

/* What the verdict rests on, in a word or two. */
static const char *
reason_of(const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    const char *reason = NULL;

    if (result->works == FC_WILL_NOT_WORK)
        return first_about(result, state, FC_FAIL);
    if (result->works == FC_CANNOT_TELL && s->governing < result->n_fixtures)
        reason = result->fixtures[s->governing].states[state].decided_by;
    if (result->works == FC_CANNOT_TELL && !reason)
        reason = first_about(result, state, FC_WARN);
    if (result->works == FC_WORKS && result->too_high == FC_WILL_NOT_WORK)
        reason = first_about(result, state, FC_FAIL);
    else if (result->works == FC_WORKS && result->too_high == FC_CANNOT_TELL)
        reason = "may be too high";
    return reason ? reason : "";
}

/* A reason as far as it fits in a line: without what is explained in it. */
static void
add_reason(struct fci_grid *table, const char *reason)
{
    char text[64];

    snprintf(text, sizeof text, "%.*s", (int)strcspn(reason, "(:"), reason);
    fci_cell(table, text);
}

static void
add_site(struct fci_grid *table, const char *name,
         const fc_check_result *result)
{
    fc_state state = fci_judged_state(result);
    const fc_checked_state *s = &result->states[state];
    fc_unit_system u = result->units;
    struct fci_figure margin = { "" };
    char count[48];

    fci_cell(table, name);
    if (result->works == FC_WORKS && result->too_high == FC_WILL_NOT_WORK)
        fci_cell_tinted(table, "too high", FCI_BAD);
    else
        fci_cell_tinted(table, fci_site_verdict_word(result->works),
                        fci_verdict_tint(result->works));
    snprintf(count, sizeof count, "%zu of %zu", s->working,
             s->working + s->failing + s->unclear);
    fci_cell(table, count);
    if (s->governing < result->n_fixtures) {
        const fc_checked_fixture *f = &result->fixtures[s->governing];

        snprintf(margin.text, sizeof margin.text, "%.20s %.10s",
                 fci_figure_margin(u, FC_PRESSURE, f->states[state].margin.low)
                     .text,
                 fc_unit_name(u, FC_PRESSURE));
        fci_cell(table, f->name);
    } else {
        fci_cell(table, "");
    }
    fci_cell(table, margin.text);
    add_reason(table, reason_of(result, state));
}

/* No verdict stands without them. */
static void
say_overrides(struct fci_doc *doc, const struct fci_sites_view *view)
{
    for (size_t i = 0; i < view->n; i++)
        for (size_t k = 0; k < view->results[i]->n_overrides; k++)
            fci_doc_say(doc, "%s: %s", view->names[i],
                        view->results[i]->overrides[k].text);
}

static void
say_total(struct fci_doc *doc, const struct fci_sites_view *view)
{
    size_t works = 0, fails = 0, high = 0;

    for (size_t i = 0; i < view->n; i++) {
        works += view->results[i]->works == FC_WORKS;
        fails += view->results[i]->works == FC_WILL_NOT_WORK;
        high += view->results[i]->too_high == FC_WILL_NOT_WORK;
    }
    fci_doc_gap(doc);
    fci_doc_say(doc,
                "%zu sites: %zu %s, %zu will not, for %zu it cannot be "
                "told.",
                view->n, works, works == 1 ? "works" : "work", fails,
                view->n - works - fails);
    if (high > 0)
        fci_doc_say(doc, "%zu of them ha%s too much pressure somewhere.", high,
                    high == 1 ? "s" : "ve");
    fci_doc_say(doc, "Each is judged after its retrofit, where it has one. "
                     "One site alone gives the full report.");
}

void
fci_sites_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_sites_view *view = what;
    static const struct fci_doc_column columns[] = {
        { "site", "", FCI_LEFT, 16 },           { "verdict", "", FCI_LEFT, 0 },
        { "fixtures\nwork", "", FCI_RIGHT, 0 }, { "governs", "", FCI_LEFT, 8 },
        { "least\nmargin", "", FCI_RIGHT, 0 },  { "reason", "", FCI_LEFT, 10 },
    };
    struct fci_grid *table =
        fci_grid_new(doc, columns, sizeof columns / sizeof *columns);

    for (size_t i = 0; i < view->n; i++)
        add_site(table, view->names[i], view->results[i]);
    fci_doc_put(doc, table);
    say_overrides(doc, view);
    say_total(doc, view);
    fci_part_cautions(doc);
}
