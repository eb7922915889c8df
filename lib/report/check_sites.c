/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_sites.c -- the report of `check` on several sites, a line
 * each. */
#include "report/check_text.h"
#include "report/shapes.h"
#include "report/shared.h"
#include "report/words.h"

#include <stdint.h>
#include <string.h>

/* A reason as far as it fits in a line: without what is explained in it. */
static void
add_reason(struct fci_grid *table, const char *reason)
{
    char text[64];

    snprintf(text, sizeof text, "%.*s", (int)strcspn(reason, "(:,"), reason);
    fci_cell(table, text);
}

/* In a brief table a name has a line of so many columns at most. */
#define MOST_NAME 28

/* Why there is none is told beside, on standard error. */
static void
add_broken(struct fci_doc *doc, struct fci_grid *grid,
           const fc_site_line *line, bool brief)
{
    char count[48];

    snprintf(count, sizeof count, "%zu error%s", line->n_errors,
             line->n_errors == 1 ? "" : "s");
    fci_cell(grid,
             fci_short_name(doc, line->path, brief ? MOST_NAME : SIZE_MAX));
    fci_cell_tinted(grid, "not calculated", FCI_BAD);
    fci_cell(grid, "-");
    fci_cell(grid, "-");
    fci_cell(grid, count);
    fci_cell(grid, "-");
    if (!brief)
        fci_cell(grid, "");
}

static void
add_site(struct fci_doc *doc, struct fci_grid *grid, const fc_site_line *line,
         bool brief)
{
    const size_t most = brief ? MOST_NAME : SIZE_MAX;
    const fc_site_state *s = &line->states[line->judged];
    char count[48];

    fci_cell(grid, fci_short_name(doc, line->path, most));
    fci_cell_verdict(grid, line->works, line->too_high);
    snprintf(count, sizeof count, "%zu of %zu", s->working,
             s->working + s->failing + s->unclear);
    fci_cell(grid, count);
    fci_cell(
        grid,
        s->margin.given
            ? fci_figure_margin(doc->units, FC_PRESSURE, s->margin.low).text
            : "-");
    fci_cell(grid,
             s->governing ? fci_short_name(doc, s->governing, most) : "");
    snprintf(count, sizeof count, "%zu", line->n_warnings);
    fci_cell(grid, line->n_warnings > 0 ? count : "-");
    if (!brief)
        add_reason(grid, line->reason);
}

/* One of the text in full tells the reasons too. */
static void
put_table(struct fci_doc *doc, const fc_checked_sites *sites, bool brief)
{
    const struct fci_doc_column columns[] = {
        { "site", "", FCI_LEFT, 16 },
        { "verdict", "", FCI_LEFT, 14 },
        { "fixtures\nwork", "", FCI_RIGHT, 0 },
        { "least\nmargin", fc_unit_name(doc->units, FC_PRESSURE), FCI_RIGHT,
          0 },
        { "governing\nfixture", "", FCI_LEFT, 9 },
        { "warnings", "", FCI_RIGHT, 0 },
        { "reason", "", FCI_LEFT, 10 },
    };
    struct fci_grid *grid = fci_grid_new(
        doc, columns, sizeof columns / sizeof *columns - (brief ? 1 : 0));

    for (size_t i = 0; i < sites->n_lines; i++) {
        const fc_site_line *line = &sites->lines[i];

        (line->calculated ? add_site : add_broken)(doc, grid, line, brief);
    }
    fci_doc_put(doc, grid);
}

#define MOST_OVERRIDES 3

/* No verdict stands without them. */
static void
say_overrides(struct fci_doc *doc, const fc_checked_sites *sites, size_t most)
{
    size_t n = 0;

    for (size_t i = 0; i < sites->n_lines; i++)
        for (size_t k = 0; k < sites->lines[i].n_overrides; k++)
            if (n++ < most)
                fci_doc_say(doc, "%s: %s", sites->lines[i].path,
                            sites->lines[i].overrides[k]);
    if (n > most)
        fci_doc_say(doc, "And %zu more set by the files, see --full.",
                    n - most);
}

static void
say_total(struct fci_doc *doc, const fc_checked_sites *sites)
{
    struct fci_total total = { .broken = sites->n_broken };
    char what[40];

    for (size_t i = 0; i < sites->n_lines - sites->n_broken; i++)
        fci_total_add(&total, sites->lines[i].works, sites->lines[i].too_high);
    snprintf(what, sizeof what, "%zu site%s", sites->n_lines,
             sites->n_lines == 1 ? "" : "s");
    fci_total_say(doc, &total, what);
}

/* Standard error tells them too, but not with the page. */
static void
say_broken(struct fci_doc *doc, const fc_checked_sites *sites)
{
    for (size_t i = 0; i < sites->n_lines; i++) {
        const fc_site_line *line = &sites->lines[i];
        const fc_diagnostics *said =
            line->calculated ? NULL : sites->messages[line->place];

        for (size_t k = 0; said && k < fc_diagnostics_count(said); k++) {
            const fc_diagnostic m = fc_diagnostics_at(said, k);

            if (m.line > 0)
                fci_doc_item(doc, "%s:%d: %s", m.file ? m.file : line->path,
                             m.line, m.text);
            else
                fci_doc_item(doc, "%s: %s", m.file ? m.file : line->path,
                             m.text);
        }
    }
}

static void
list_files(struct fci_doc *doc, const fc_checked_sites *sites)
{
    struct fci_told_file *files =
        fci_arena_array(&doc->arena, sites->n_lines + 1, sizeof *files);

    for (size_t i = 0; files && i < sites->n_lines; i++)
        files[i] = (struct fci_told_file){ sites->lines[i].path,
                                           sites->lines[i].title,
                                           sites->lines[i].digest };
    if (files)
        fci_part_files(doc, files, sites->n_lines);
}

void
fci_sites_compose(struct fci_doc *doc, const void *what)
{
    const fc_checked_sites *sites = what;

    fci_doc_for(doc, FCI_IN_PAGE);
    fci_doc_title(doc, "Pressure check of %zu sites", sites->n_lines);
    fci_doc_pair(doc, "Program", "flushcalc %s", fc_version());
    if (doc->options && doc->options->made)
        fci_doc_pair(doc, "Calculated", "%s", doc->options->made);
    fci_doc_for(doc, FCI_IN_ALL);
    say_total(doc, sites);
    fci_part_set(doc);
    if (sites->n_other_units > 0)
        fci_doc_say(doc,
                    "Figures are in %s units; %zu of the sites %s in %s units "
                    "by %s file%s.",
                    sites->units == FC_SI ? "SI" : "US", sites->n_other_units,
                    sites->n_other_units == 1 ? "is" : "are",
                    sites->units == FC_SI ? "US" : "SI",
                    sites->n_other_units == 1 ? "its" : "their",
                    sites->n_other_units == 1 ? "" : "s");
    fci_doc_for(doc, FCI_IN_BRIEF);
    fci_doc_gap(doc);
    put_table(doc, sites, true);
    say_overrides(doc, sites, MOST_OVERRIDES);
    fci_doc_for(doc, FCI_IN_DEPTH);
    fci_doc_gap(doc);
    put_table(doc, sites, false);
    say_broken(doc, sites);
    say_overrides(doc, sites, SIZE_MAX);
    list_files(doc, sites);
    fci_doc_for(doc, FCI_IN_ALL);
    fci_doc_say(doc, "Judged after retrofit, where a site has one. Check one "
                     "site alone for its report.");
    fci_doc_for(doc, FCI_IN_DEPTH);
    fci_part_cautions(doc);
    fci_part_close(doc, 0);
}
