/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/steps.c -- the pressure budget of one screen, an element a row.
 *
 * Pipes that follow each other and differ in the numbers of their names are
 * one row, so that a riser of twenty stories is.
 */
#include "page/figure.h"
#include "report/alike.h"
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

static void
name_run(const fc_path *path, const struct run *run, char *name, size_t size)
{
    if (run->last > run->first)
        snprintf(name, size, "%.80s to %.80s", path->steps[run->first].element,
                 path->steps[run->last].element);
    else
        fci_step_name(&path->steps[run->first], name, size);
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
add_start(struct fci_grid *table, fc_unit_system units, const fc_path *path)
{
    const fc_path_step *first = &path->steps[fci_budget_first(path)];
    char what[200];

    if (path->budget.from)
        snprintf(what, sizeof what, "set pressure of PRV %.100s",
                 path->budget.from);
    else
        snprintf(what, sizeof what, "static at %.100s", first->element);
    add_place(table, what, "", units, path->budget.start);
}

static void
add_run(struct fci_grid *table, fc_unit_system units, const fc_path *path,
        const struct run *run)
{
    const fc_path_step *first = &path->steps[run->first];
    const fc_path_step *last = &path->steps[run->last];
    const struct fci_figure flow = fci_figure_of(units, FC_FLOW, first->flow);
    char what[200], flows[100];

    name_run(path, run, what, sizeof what);
    if (first->flow > last->flow
        && strcmp(flow.text, fci_figure_of(units, FC_FLOW, last->flow).text)
               != 0)
        snprintf(flows, sizeof flows, "%s to %s",
                 fci_figure_of(units, FC_FLOW, last->flow).text, flow.text);
    else
        snprintf(flows, sizeof flows, "%s", flow.text);
    if (first->sag > 0.0)
        snprintf(what, sizeof what, "%.100s drops", first->element);
    else if (first->set > 0.0)
        snprintf(what, sizeof what, "fall-off of PRV %.100s", first->element);
    fci_cell(table, what);
    fci_cell(table, flows);
    add_change(table, units, first->set > 0.0 ? 0.0 : run->elevation);
    add_change(table, units, run->loss);
    fci_cell(table, fci_figure_of(units, FC_PRESSURE, last->pressure).text);
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

    add_start(table, doc->units, path);
    for (size_t i = fci_budget_first(path); i < path->n_steps;) {
        const struct run run = run_at(path, i);

        if (!is_start(path, &run))
            add_run(table, doc->units, path, &run);
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
    char name[200];

    for (size_t i = fci_budget_first(path); i < path->n_steps;) {
        const struct run run = run_at(path, i);

        if (run.loss > largest.loss)
            largest = run;
        i = run.last + 1;
    }
    if (!fci_figure_shows(doc->units, FC_PRESSURE, largest.loss))
        return;
    name_run(path, &largest, name, sizeof name);
    fci_doc_say(doc, "Largest loss: %s%s, %s of %s lost to flow.",
                path->steps[largest.first].sag > 0.0 ? "drop of " : "", name,
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
            doc, "%s upstream of PRV %s; what it throttles is no loss.",
            fci_figure_said(u, FC_PRESSURE,
                            path->budget.start + path->budget.throttled)
                .text,
            path->budget.from);
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
    if (count_rows(path) + OTHER_LINES > fci_part_room(doc, kept))
        return false;
    fci_doc_heading(doc, "Pressure to %s at peak%s", path->fixture,
                    fci_state_said(doc, path->state));
    put_rows(doc, path, end);
    say_notes(doc, path, end);
    return true;
}
