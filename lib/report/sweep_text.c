/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/sweep_text.c -- the report of `check --sweep` for a person. */
#include "drawing/drawings.h"
#include "report/check_text.h"
#include "report/shapes.h"
#include "report/shared.h"
#include "report/words.h"

#include <string.h>

/* On one screen. */
#define MOST_STEPS 20
#define MOST_NAME 22

/* ---- The table -------------------------------------------------------- */

static void
add_state(struct fci_grid *grid, const fc_site_line *line, fc_state state)
{
    const fc_site_state *s = &line->states[state];

    if (!line->calculated)
        fci_cell_tinted(grid, "not calculated", FCI_BAD);
    else if (state == line->judged)
        fci_cell_verdict(grid, line->works, line->too_high);
    else
        fci_cell_verdict(grid, s->works, s->too_high);
}

static void
add_step(struct fci_doc *doc, struct fci_grid *grid, const fc_sweep_step *step,
         bool both, bool brief)
{
    const fc_site_line *line = &step->line;
    const fc_site_state *s = &line->states[line->judged];
    char text[48];

    fci_cell(grid, step->value);
    add_state(grid, line, line->judged);
    if (both)
        add_state(grid, line, FC_EXISTING);
    snprintf(text, sizeof text, "%zu of %zu", s->failing,
             s->working + s->failing + s->unclear);
    fci_cell(grid, line->calculated ? text : "-");
    fci_cell(
        grid,
        line->calculated && s->margin.given
            ? fci_figure_margin(doc->units, FC_PRESSURE, s->margin.low).text
            : "-");
    snprintf(text, sizeof text, "%d", s->at_once_worst);
    fci_cell(grid, line->calculated && s->flushes ? text : "-");
    fci_cell(grid, s->governing ? fci_short_name(doc, s->governing,
                                                 brief ? MOST_NAME : SIZE_MAX)
                                : "-");
}

static bool
is_converted(const fc_sweep_result *sweep)
{
    return sweep->given.judged == FC_RETROFIT;
}

static void
put_steps(struct fci_doc *doc, const fc_sweep_result *sweep, bool brief)
{
    const bool both = is_converted(sweep);
    const struct fci_doc_column all[] = {
        { "value", "", FCI_RIGHT, 0 },
        { both ? "after\nretrofit" : "verdict", "", FCI_LEFT, 13 },
        { "existing", "", FCI_LEFT, 13 },
        { "fixtures\nshort", "", FCI_RIGHT, 0 },
        { "least\nmargin", fc_unit_name(doc->units, FC_PRESSURE), FCI_RIGHT,
          0 },
        { "at\nonce", "", FCI_RIGHT, 0 },
        { "governing\nfixture", "", FCI_LEFT, 9 },
    };
    struct fci_doc_column columns[sizeof all / sizeof *all];
    const size_t n =
        brief && sweep->n_steps > MOST_STEPS ? MOST_STEPS : sweep->n_steps;
    struct fci_grid *grid;
    size_t n_columns = 0;

    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        if (i != 2 || both)
            columns[n_columns++] = all[i];
    grid = fci_grid_new(doc, columns, n_columns);
    for (size_t i = 0; i < n; i++)
        add_step(doc, grid,
                 &sweep->steps[n > 1 ? i * (sweep->n_steps - 1) / (n - 1) : 0],
                 both, brief);
    fci_doc_put(doc, grid);
    if (n < sweep->n_steps)
        fci_doc_say(doc, "%zu of %zu steps; see --full.", n, sweep->n_steps);
}

/* ---- The whole -------------------------------------------------------- */

static void
say_errors(struct fci_doc *doc, const fc_sweep_result *sweep, size_t most)
{
    const char *last = "";

    for (size_t i = 0; i < sweep->n_steps && most > 0; i++) {
        const fc_sweep_step *step = &sweep->steps[i];

        if (!step->error || strcmp(step->error, last) == 0)
            continue;
        fci_doc_say(doc, "%s is not calculated: %s.", step->value,
                    step->error);
        last = step->error;
        most--;
    }
}

static bool
draw(xmlTextWriterPtr out, const void *what)
{
    return fci_draw_sweep(out, what);
}

void
fci_sweep_compose(struct fci_doc *doc, const void *what)
{
    const fc_sweep_result *sweep = what;
    const enum fci_place top = doc->place; /* of all steps, too */

    doc->converted = is_converted(sweep);
    if (sweep->given.title)
        fci_part_title(doc, sweep->given.title);
    fci_part_verdict(
        doc, sweep->given.works, sweep->given.judged,
        "%sas given%s%s%s%s. Over %s from %s to %s:",
        sweep->given.too_high == FC_WILL_NOT_WORK ? "too much pressure, "
        : sweep->given.too_high == FC_CANNOT_TELL ? "maybe too much pressure, "
                                                  : "",
        sweep->was ? ", " : "", sweep->was ? sweep->input : "",
        sweep->was ? " " : "", sweep->was ? sweep->was : "", sweep->input,
        sweep->steps[0].value, sweep->steps[sweep->n_steps - 1].value);
    for (size_t i = 0; i < sweep->n_told; i++)
        fci_doc_item(doc, "%s", sweep->told[i]);
    fci_part_set(doc);
    fci_doc_place(doc, top);
    for (size_t i = 0; i < sweep->given.n_overrides; i++)
        fci_doc_say(doc, "%s", sweep->given.overrides[i]);
    fci_doc_for(doc, FCI_IN_PAGE);
    fci_doc_drawing(doc, draw, sweep);
    fci_doc_for(doc, FCI_IN_BRIEF);
    fci_doc_gap(doc);
    put_steps(doc, sweep, true);
    say_errors(doc, sweep, 1);
    fci_doc_for(doc, FCI_IN_DEPTH);
    fci_doc_place(doc, top);
    fci_doc_gap(doc);
    put_steps(doc, sweep, false);
    say_errors(doc, sweep, SIZE_MAX);
    fci_doc_for(doc, FCI_IN_ALL);
    fci_doc_say(doc, "Margin and valves at once: worst case. Each step is the "
                     "check of the site with that value.");
    fci_doc_for(doc, FCI_IN_DEPTH);
    fci_part_cautions(doc);
    fci_part_close(doc, 0);
}
