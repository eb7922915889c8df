/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/check_sites.c -- the report of `check` on several sites, a line
 * each. */
#include "report/check_text.h"
#include "page/figure.h"
#include "report/shared.h"
#include "page/table.h"
#include "page/words.h"

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
add_reason(struct table *table, const char *reason)
{
    char text[64];

    snprintf(text, sizeof text, "%.*s", (int)strcspn(reason, "(:"), reason);
    table_add(table, text);
}

static void
add_site(struct table *table, const struct loaded *site)
{
    const fc_check_result *result = site->result;
    fc_state state = judged_state(result);
    const fc_checked_state *s = &result->states[state];
    fc_unit_system u = result->units;
    struct figure margin = { "" };
    char count[48];

    table_add(table, site->path);
    if (result->works == FC_WORKS && result->too_high == FC_WILL_NOT_WORK)
        table_add_tinted(table, "too high", TINT_BAD);
    else
        table_add_tinted(table, site_verdict_word(result->works),
                         verdict_tint(result->works));
    snprintf(count, sizeof count, "%zu of %zu", s->working,
             s->working + s->failing + s->unclear);
    table_add(table, count);
    if (s->governing < result->n_fixtures) {
        const fc_checked_fixture *f = &result->fixtures[s->governing];

        snprintf(
            margin.text, sizeof margin.text, "%.20s %.10s",
            figure_margin(u, FC_PRESSURE, f->states[state].margin.low).text,
            fc_unit_name(u, FC_PRESSURE));
        table_add(table, f->name);
    } else {
        table_add(table, "");
    }
    table_add(table, margin.text);
    add_reason(table, reason_of(result, state));
}

/* No verdict stands without them. */
static void
say_overrides(struct page *page, const struct loaded *sites, size_t n)
{
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < sites[i].result->n_overrides; k++)
            page_say(page, 0, 2, "%s: %s", sites[i].path,
                     sites[i].result->overrides[k].text);
}

static void
say_total(struct page *page, const struct loaded *sites, size_t n)
{
    size_t works = 0, fails = 0, high = 0;

    for (size_t i = 0; i < n; i++) {
        works += sites[i].result->works == FC_WORKS;
        fails += sites[i].result->works == FC_WILL_NOT_WORK;
        high += sites[i].result->too_high == FC_WILL_NOT_WORK;
    }
    page_blank(page);
    page_say(page, 0, 0,
             "%zu sites: %zu %s, %zu will not, for %zu it cannot be "
             "told.",
             n, works, works == 1 ? "works" : "work", fails,
             n - works - fails);
    if (high > 0)
        page_say(page, 0, 0, "%zu of them ha%s too much pressure somewhere.",
                 high, high == 1 ? "s" : "ve");
    page_say(page, 0, 0,
             "Each is judged after its retrofit, where it has one. "
             "One site alone gives the full report.");
}

void
check_text_sites(struct page *page, const struct loaded *sites, size_t n)
{
    static const struct column columns[] = {
        { "site", "", ALIGN_LEFT, 16 },
        { "verdict", "", ALIGN_LEFT, 0 },
        { "fixtures\nwork", "", ALIGN_RIGHT, 0 },
        { "governs", "", ALIGN_LEFT, 8 },
        { "least\nmargin", "", ALIGN_RIGHT, 0 },
        { "reason", "", ALIGN_LEFT, 10 },
    };
    struct table table = table_new(columns, sizeof columns / sizeof *columns);

    for (size_t i = 0; i < n; i++)
        add_site(&table, &sites[i]);
    table_print(&table, page);
    say_overrides(page, sites, n);
    say_total(page, sites, n);
    part_cautions(page);
}
