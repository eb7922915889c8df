/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/steps.c -- the pressure budget of one screen, an element a row.
 *
 * Pipes that follow each other and differ in the numbers of their names are
 * one row, so that a riser of twenty stories is.
 */
#include "ground/stem.h"
#include "page/figure.h"
#include "page/screen.h"
#include "report/budget.h"
#include "report/words.h"

#include <math.h>
#include <string.h>

/* Steps first to last of a path, told as one. */
struct run {
    size_t first, last;
    double elevation, loss;
};

/* The next run, from step i on. */
static struct run
run_at(const fc_path *path, size_t i)
{
    const fc_path_step *steps = path->steps;
    struct run run = { i, i, steps[i].elevation_loss,
                       fci_step_loss(&steps[i]) };

    if (strcmp(steps[i].kind, "pipe") != 0)
        return run;
    while (run.last + 1 < path->n_steps
           && strcmp(steps[run.last + 1].kind, "pipe") == 0
           && fci_names_alike(steps[i].element, steps[run.last + 1].element)) {
        run.last++;
        run.elevation += steps[run.last].elevation_loss;
        run.loss += fci_step_loss(&steps[run.last]);
    }
    return run;
}

static size_t
count_rows(const fc_path *path)
{
    size_t n = 0;

    for (size_t i = fci_budget_first(path); i < path->n_steps; n++)
        i = run_at(path, i).last + 1;
    return n;
}

#define MOST_NAME 30 /* columns of a name in the table; */
#define HALF_NAME 14 /* of each of two, or of one with words beside it */

static const char *
name_run(struct fci_doc *doc, const fc_path *path, const struct run *run)
{
    const fc_path_step *first = &path->steps[run->first];
    const fc_path_step *last = &path->steps[run->last];
    const bool plain = strcmp(first->kind, "fixture") == 0
                       || strcmp(first->kind, first->element) == 0;
    const char *kind = plain ? "" : fci_kind_said(first->kind);

    if (last > first)
        return fci_arena_printf(&doc->arena, "%s to %s",
                                fci_short_name(doc, first->element, HALF_NAME),
                                fci_short_name(doc, last->element, HALF_NAME));
    if (first->beside)
        return fci_prv_name(doc, first->element, first->beside, HALF_NAME);
    return fci_arena_printf(
        &doc->arena, "%s%s%s", kind, plain ? "" : " ",
        fci_short_name(doc, first->element, MOST_NAME - strlen(kind)));
}

/* ---- Rows ------------------------------------------------------------- */

/* Nothing is told of no change. */
static void
add_change(struct fci_grid *table, fc_unit_system units, double lost)
{
    fci_cell(table, lost < 0.0 || lost > 0.0
                        ? fci_figure_of(units, FC_PRESSURE, lost).text
                        : "");
}

static void
add_place(struct fci_grid *table, const char *what, const char *flow,
          fc_unit_system units, double residual)
{
    fci_cell(table, what);
    fci_cell(table, flow);
    fci_cell(table, "");
    fci_cell(table, "");
    fci_cell(table, fci_figure_of(units, FC_PRESSURE, residual).text);
}

/* Static before a main drops, the set pressure of a PRV before its
 * fall-off. */
static void
add_start(struct fci_grid *table, struct fci_doc *doc, const fc_path *path)
{
    const fc_path_step *first = &path->steps[fci_budget_first(path)];

    add_place(
        table,
        fci_arena_printf(&doc->arena, "%s %s",
                         path->budget.from ? "set pressure of" : "static at",
                         path->budget.from
                             ? fci_prv_name(doc, path->budget.from,
                                            path->budget.beside, HALF_NAME)
                             : fci_short_name(doc, first->element, HALF_NAME)),
        "", doc->units, path->budget.start);
}

/* "127.0", or "58.0 to 127.0" of a run. */
static const char *
said_flows(struct fci_doc *doc, double first, double last)
{
    const struct fci_figure one = fci_figure_of(doc->units, FC_FLOW, first);
    const struct fci_figure other = fci_figure_of(doc->units, FC_FLOW, last);

    return fci_arena_printf(
        &doc->arena, "%s%s%s",
        strcmp(one.text, other.text) != 0 ? other.text : "",
        strcmp(one.text, other.text) != 0 ? " to " : "", one.text);
}

static void
add_run(struct fci_grid *table, struct fci_doc *doc, const fc_path *path,
        const struct run *run)
{
    const fc_path_step *first = &path->steps[run->first];
    const fc_path_step *last = &path->steps[run->last];
    const char *name = fci_short_name(doc, first->element, HALF_NAME);
    const char *what = name_run(doc, path, run);

    if (first->sag > 0.0)
        what = fci_arena_printf(&doc->arena, "%s drops", name);
    else if (first->set > 0.0)
        what = fci_arena_printf(&doc->arena, "fall-off of %s",
                                fci_prv_name(doc, path->budget.from,
                                             path->budget.beside, HALF_NAME));
    fci_cell(table, what);
    fci_cell(table, said_flows(doc, first->flow, last->flow));
    add_change(table, doc->units, first->set > 0.0 ? 0.0 : run->elevation);
    add_change(table, doc->units, run->loss);
    fci_cell(table,
             fci_figure_of(doc->units, FC_PRESSURE, last->pressure).text);
}

static void
add_end(struct fci_grid *table, fc_unit_system units,
        const fc_fixture_state *end)
{
    const double margin = end->margin.nominal;

    if (!end->required.given)
        return;
    fci_grid_rule(table);
    add_place(table, "required", "", units, end->required.nominal);
    if (!end->margin.given)
        return;
    fci_cell(table, margin < 0.0 ? "short by" : "margin");
    fci_cell(table, "");
    fci_cell(table, "");
    fci_cell(table, "");
    fci_cell_tinted(table,
                    fci_figure_margin(units, FC_PRESSURE, fabs(margin)).text,
                    margin < 0.0 ? FCI_BAD : FCI_PLAIN_TINT);
}

/* A source that does not drop is told by its static pressure. */
static bool
is_start(const fc_path *path, const struct run *run)
{
    const fc_path_step *step = &path->steps[run->first];

    return run->first == fci_budget_first(path) && !(run->loss > 0.0)
           && (step->set > 0.0 || run->first == 0);
}

static void
put_rows(struct fci_doc *doc, const fc_path *path, const fc_fixture_state *end)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column columns[] = {
        { "element", "", FCI_LEFT, 20 },
        { "flow", fc_unit_name(doc->units, FC_FLOW), FCI_RIGHT, 0 },
        { "elevation", p, FCI_RIGHT, 0 },
        { "loss", p, FCI_RIGHT, 0 },
        { "residual", p, FCI_RIGHT, 0 },
    };
    struct fci_grid *table =
        fci_doc_table(doc, columns, sizeof columns / sizeof *columns);

    add_start(table, doc, path);
    for (size_t i = fci_budget_first(path); i < path->n_steps;) {
        const struct run run = run_at(path, i);

        if (!is_start(path, &run))
            add_run(table, doc, path, &run);
        i = run.last + 1;
    }
    add_end(table, doc->units, end);
}

/* ---- Notes ------------------------------------------------------------ */

static void
say_largest(struct fci_doc *doc, const fc_path *path)
{
    const double lost = fci_budget_loss(&path->budget);
    struct run largest = { 0, 0, 0.0, 0.0 };

    for (size_t i = fci_budget_first(path); i < path->n_steps;) {
        const struct run run = run_at(path, i);

        if (run.loss > largest.loss)
            largest = run;
        i = run.last + 1;
    }
    if (!fci_figure_shows(doc->units, FC_PRESSURE, largest.loss))
        return;
    fci_doc_say(doc, "Largest loss: %s%s, %s of %s lost to flow.",
                path->steps[largest.first].sag > 0.0 ? "drop of " : "",
                name_run(doc, path, &largest),
                fci_figure_of(doc->units, FC_PRESSURE, largest.loss).text,
                fci_figure_said(doc->units, FC_PRESSURE, lost).text);
}

static bool
any_gained(const fc_path *path)
{
    for (size_t i = fci_budget_first(path); i < path->n_steps; i++)
        if (path->steps[i].elevation_loss < 0.0
            || path->steps[i].device_loss < 0.0)
            return true;
    return false;
}

static void
say_notes(struct fci_doc *doc, const fc_path *path,
          const fc_fixture_state *end)
{
    const fc_unit_system u = doc->units;
    char note[200] = "";

    say_largest(doc, path);
    if (end->required.given) {
        fci_note_required(u, end, note, sizeof note);
        fci_doc_say(doc, "Required: %s.", note);
    }
    if (path->budget.from)
        fci_doc_say(
            doc, "%s upstream of %s; what %s is no loss.",
            fci_figure_said(u, FC_PRESSURE,
                            path->budget.start + path->budget.throttled)
                .text,
            fci_prv_name(doc, path->budget.from, path->budget.beside,
                         SIZE_MAX),
            path->budget.beside ? "they throttle" : "it throttles");
    if (fci_figure_differs(u, FC_PRESSURE, end->flowing))
        fci_doc_say(
            doc, "At midpoint values of the ranges%s%s.",
            !end->margin.given      ? ""
            : end->margin.low < 0.0 ? "; worst case short by "
                                    : "; worst-case margin ",
            end->margin.given
                ? fci_figure_margin_said(u, FC_PRESSURE, end->margin.low).text
                : "");
    if (any_gained(path))
        fci_doc_say(doc, "A negative figure is a gain.");
}

#define OTHER_LINES 15 /* heading, columns, required, margin, notes */

bool
fci_part_steps(struct fci_doc *doc, const fc_path *path,
               const fc_fixture_state *end, size_t kept)
{
    if (count_rows(path) + OTHER_LINES > fci_screen_room(doc, kept))
        return false;
    fci_doc_heading(doc, "Pressure to %s at peak%s", path->fixture,
                    fci_state_said(doc, path->state));
    put_rows(doc, path, end);
    say_notes(doc, path, end);
    return true;
}
