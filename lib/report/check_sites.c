/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_sites.c -- the report of `check` on several sites, a line
 * each. */
#include "report/check_text.h"
#include "report/shapes.h"
#include "report/shared.h"
#include "report/words.h"

#include <stdint.h>
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

/* Rows are sorted by it: what fails first. */
static int
rank_of(const fc_check_result *result)
{
    return result->works == FC_WILL_NOT_WORK      ? 0
           : result->too_high == FC_WILL_NOT_WORK ? 1
           : result->works == FC_CANNOT_TELL      ? 2
           : result->too_high == FC_CANNOT_TELL   ? 3
                                                  : 4;
}
#define RANKS 5

static void
add_verdict(struct fci_grid *grid, const fc_check_result *result)
{
    if (result->works == FC_WORKS && result->too_high == FC_WILL_NOT_WORK)
        fci_cell_tinted(grid, "too high", FCI_BAD);
    else if (result->works == FC_WORKS && result->too_high == FC_CANNOT_TELL)
        fci_cell_tinted(grid, "may be too high", FCI_UNSURE);
    else
        fci_cell_tinted(grid,
                        fci_word_of(&fci_verdict_words, (int)result->works),
                        fci_verdict_tint(result->works));
}

/* In a brief table a name has a line of so many columns at most. */
#define MOST_NAME 28

static void
add_site(struct fci_doc *doc, struct fci_grid *grid,
         const struct fci_check_view *site, bool brief)
{
    const size_t most = brief ? MOST_NAME : SIZE_MAX;
    const fc_check_result *result = site->result;
    const fc_state state = fci_judged_state(result);
    const fc_checked_state *s = &result->states[state];
    const fc_checked_fixture *f = s->governing < result->n_fixtures
                                      ? &result->fixtures[s->governing]
                                      : NULL;
    char count[48];

    fci_cell(grid, fci_short_name(doc, site->path, most));
    add_verdict(grid, result);
    snprintf(count, sizeof count, "%zu of %zu", s->working,
             s->working + s->failing + s->unclear);
    fci_cell(grid, count);
    fci_cell(grid, f && f->states[state].margin.given
                       ? fci_figure_margin(doc->units, FC_PRESSURE,
                                           f->states[state].margin.low)
                             .text
                       : "-");
    fci_cell(grid, f ? fci_short_name(doc, f->name, most) : "");
    if (!brief)
        add_reason(grid, reason_of(result, state));
}

/* One of all sites tells the reasons too. */
static struct fci_grid *
new_table(struct fci_doc *doc, bool brief)
{
    const struct fci_doc_column columns[] = {
        { "site", "", FCI_LEFT, 16 },
        { "verdict", "", FCI_LEFT, 0 },
        { "fixtures\nwork", "", FCI_RIGHT, 0 },
        { "least\nmargin", fc_unit_name(doc->units, FC_PRESSURE), FCI_RIGHT,
          0 },
        { "governing\nfixture", "", FCI_LEFT, 9 },
        { "reason", "", FCI_LEFT, 10 },
    };

    return fci_grid_new(doc, columns,
                        sizeof columns / sizeof *columns - (brief ? 1 : 0));
}

static size_t
count_ranks(const struct fci_sites_view *view, int least, int most)
{
    size_t n = 0;

    for (size_t i = 0; i < view->n; i++) {
        const int rank = rank_of(view->sites[i].result);

        n += rank >= least && rank <= most;
    }
    return n;
}

#define MOST_SITES 20

/* What fails first; the rest is counted. */
static void
put_some(struct fci_doc *doc, const struct fci_sites_view *view)
{
    struct fci_grid *grid = new_table(doc, true);
    size_t shown[RANKS] = { 0 }, n = 0;
    char text[200] = "";
    size_t used = 0;
    static const char *const words[RANKS] = {
        "do not work", "have too much pressure somewhere", "not certain",
        "may have too much pressure somewhere", "work"
    };

    for (int rank = 0; rank < RANKS; rank++)
        for (size_t i = 0; i < view->n; i++)
            if (rank_of(view->sites[i].result) == rank && n < MOST_SITES) {
                add_site(doc, grid, &view->sites[i], true);
                shown[rank]++;
                n++;
            }
    fci_doc_put(doc, grid);
    for (int rank = 0; rank < RANKS; rank++) {
        const size_t left = count_ranks(view, rank, rank) - shown[rank];

        if (left > 0)
            used +=
                (size_t)snprintf(text + used, sizeof text - used, "%s%zu %s",
                                 used > 0 ? ", " : "", left, words[rank]);
    }
    if (used > 0)
        fci_doc_say(doc, "And %zu more (see --full): %s.", view->n - n, text);
}

static void
put_all(struct fci_doc *doc, const struct fci_sites_view *view)
{
    struct fci_grid *grid = new_table(doc, false);

    for (size_t i = 0; i < view->n; i++)
        add_site(doc, grid, &view->sites[i], false);
    fci_doc_put(doc, grid);
}

#define MOST_OVERRIDES 2

/* No verdict stands without them. */
static void
say_overrides(struct fci_doc *doc, const struct fci_sites_view *view,
              size_t most)
{
    size_t n = 0;

    for (size_t i = 0; i < view->n; i++)
        for (size_t k = 0; k < view->sites[i].result->n_overrides; k++)
            if (n++ < most)
                fci_doc_say(doc, "%s: %s", view->sites[i].path,
                            view->sites[i].result->overrides[k].text);
    if (n > most)
        fci_doc_say(doc, "And %zu more set by the files, see --full.",
                    n - most);
}

/* One that may have too much pressure is not certain to work. */
static fc_verdict
verdict_of(const fc_check_result *result)
{
    return result->works == FC_WORKS && result->too_high == FC_CANNOT_TELL
               ? FC_CANNOT_TELL
               : result->works;
}

static void
say_total(struct fci_doc *doc, const struct fci_sites_view *view)
{
    const fc_verdict verdicts[] = { FC_WORKS, FC_WILL_NOT_WORK,
                                    FC_CANNOT_TELL };
    size_t n[sizeof verdicts / sizeof *verdicts] = { 0 }, high = 0;
    char too_high[80] = "";

    for (size_t i = 0; i < view->n; i++) {
        for (size_t v = 0; v < sizeof verdicts / sizeof *verdicts; v++)
            n[v] += verdict_of(view->sites[i].result) == verdicts[v];
        high += view->sites[i].result->too_high == FC_WILL_NOT_WORK;
    }
    if (high > 0)
        snprintf(too_high, sizeof too_high,
                 " %zu ha%s too much pressure somewhere.", high,
                 high == 1 ? "s" : "ve");
    fci_doc_say(doc,
                "%zu site%s: %zu work%s, %zu do%s not, %zu not "
                "certain.%s",
                view->n, view->n == 1 ? "" : "s", n[0], n[0] == 1 ? "s" : "",
                n[1], n[1] == 1 ? "es" : "", n[2], too_high);
}

void
fci_sites_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_sites_view *view = what;

    fci_doc_for(doc, FCI_IN_PAGE);
    fci_doc_title(doc, "Pressure check of %zu sites", view->n);
    fci_doc_pair(doc, "Program", "flushcalc %s", fc_version());
    if (doc->options && doc->options->made)
        fci_doc_pair(doc, "Calculated", "%s", doc->options->made);
    fci_doc_for(doc, FCI_IN_ALL);
    say_total(doc, view);
    fci_part_set(doc);
    fci_doc_for(doc, FCI_IN_BRIEF);
    say_overrides(doc, view, MOST_OVERRIDES);
    fci_doc_gap(doc);
    put_some(doc, view);
    fci_doc_for(doc, FCI_IN_DEPTH);
    say_overrides(doc, view, SIZE_MAX);
    fci_doc_gap(doc);
    put_all(doc, view);
    fci_doc_for(doc, FCI_IN_ALL);
    fci_doc_say(doc, "Judged after retrofit, where a site has one. Check one "
                     "site alone for its report.");
    fci_doc_for(doc, FCI_IN_DEPTH);
    fci_part_cautions(doc);
    fci_part_close(doc, 0);
}
