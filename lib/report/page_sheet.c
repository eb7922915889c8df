/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/page_sheet.c -- the calculation sheet: what is left for friction,
 * and the friction of every section, in the columns and lines of the worksheet
 * of IPC Appendix E.
 */
#include "page/figure.h"
#include "report/budget.h"
#include "report/page_parts.h"
#include "report/words.h"

#include <math.h>
#include <string.h>

#define PRINT(page, ...) fci_arena_printf(&(page)->doc->arena, __VA_ARGS__)

/* A worksheet sums hundredths. */
static struct fci_figure
finely(fc_unit_system units, double pressure)
{
    return fci_figure_with(units, FC_PRESSURE, FC_NEAREST, 2, pressure);
}

static const fc_path *
path_of(const struct fci_page *page)
{
    return page->path    ? page->path
           : page->paths ? page->paths[fci_judged_state(page->result)]
                         : NULL;
}

/* ---- What is left for friction ---------------------------------------- */

struct lines {
    struct fci_grid *grid;
    fc_unit_system units;
    char letter;
};

static void
add_line(struct lines *lines, const char *what, double pressure)
{
    const char letter[] = { lines->letter++, '\0' };

    fci_cell(lines->grid, letter);
    fci_cell(lines->grid, what);
    fci_cell(lines->grid, finely(lines->units, pressure).text);
}

/* From where the budget starts. */
static double
meters_of(const fc_path *path)
{
    double loss = 0;

    for (size_t i = 0; i < path->n_steps; i++) {
        if (path->steps[i].set > 0.0)
            loss = 0;
        if (strcmp(path->steps[i].kind, "meter") == 0)
            loss += path->steps[i].device_loss;
    }
    return loss;
}

/* What stands before the friction, without what is required. */
static double
lost_but_friction(const fc_budget *b)
{
    return b->sag + b->elevation + b->devices + b->backflow + b->reducers
           - b->pumps;
}

static void
add_lines(struct fci_page *page, struct lines *lines, const fc_path *path)
{
    const fc_budget *b = &path->budget;
    const double required =
        path->end.required.given ? path->end.required.nominal : 0;
    const double meters = meters_of(path);
    const double sum = required + lost_but_friction(b);
    const double left = b->start - sum, friction = b->friction + b->fittings;

    add_line(
        lines,
        b->from
            ? PRINT(page, "set pressure of %s",
                    fci_prv_name(page->doc, b->from, b->beside, SIZE_MAX))
            : PRINT(page, "pressure at %s, static", path->steps[0].element),
        b->start);
    add_line(lines,
             PRINT(page, "residual required at %s%s", path->fixture,
                   path->end.required.given ? "" : ": none"),
             required);
    add_line(lines, "meters", meters);
    add_line(lines, "drop of the main at peak", b->sag);
    add_line(lines, "elevation", b->elevation);
    add_line(lines, "backflow preventers", b->backflow);
    add_line(lines, "PRVs", b->reducers);
    add_line(lines,
             b->pumps > 0.0 ? "other devices and stop, less the boost of pumps"
                            : "other devices and stop",
             b->devices - meters - b->pumps);
    fci_grid_rule(lines->grid);
    add_line(lines, "B to H together", sum);
    add_line(lines, "A less I: available for friction", left);
    add_line(
        lines,
        PRINT(page, "friction of pipes and fittings to %s", path->fixture),
        friction);
    add_line(lines,
             left - friction < 0.0 ? "J less K: short by"
                                   : "J less K: to spare",
             fabs(left - friction));
}

static void
put_lines(struct fci_page *page, const fc_path *path)
{
    const fc_unit_system u = page->doc->units;
    const struct fci_doc_column columns[] = {
        { "line", "", FCI_LEFT, 0 },
        { "pressure", "", FCI_LEFT, 12 },
        { "", fc_unit_name(u, FC_PRESSURE), FCI_RIGHT, 0 },
    };
    struct lines lines = { fci_doc_table(page->doc, columns, 3), u, 'A' };
    const fc_range margin = path->end.margin;
    const char *said = fci_page_said(
        page, fci_figure_margin_range(u, FC_PRESSURE, margin).text);

    add_lines(page, &lines, path);
    if (fci_figure_differs(u, FC_PRESSURE, margin))
        fci_doc_say(page->doc,
                    "At midpoint values. With every input at its worst and "
                    "at its best the margin is %s %s.",
                    said ? said : "", fc_unit_name(u, FC_PRESSURE));
}

/* ---- Sections --------------------------------------------------------- */

static bool
is_on_path(const fc_path *path, const char *pipe)
{
    for (size_t i = 0; path && i < path->n_steps; i++)
        if (strcmp(path->steps[i].element, pipe) == 0)
            return true;
    return false;
}

static const char *
size_text(struct fci_page *page, const fc_checked_pipe *pipe)
{
    return *pipe->size ? pipe->size
                       : PRINT(page, "inside %s",
                               fci_figure_said(page->doc->units, FC_SIZE,
                                               pipe->inside_diameter)
                                   .text);
}

static void
add_section(struct fci_page *page, struct fci_grid *grid,
            const fc_checked_pipe *pipe, fc_state state)
{
    const fc_unit_system u = page->doc->units;
    const fc_pipe_state *s = &pipe->states[state];
    const double total = pipe->length + pipe->equivalent_length;
    /* of 100 ft or m */
    const double hundred = 100.0 / fc_from_si(u, FC_LENGTH, 1.0);

    fci_cell(grid, pipe->name);
    fci_cell(grid, pipe->from);
    fci_cell(grid, fci_figure_of(u, FC_FLOW, s->peak_flow.nominal).text);
    fci_cell(grid, fci_figure_of(u, FC_LENGTH, pipe->length).text);
    fci_cell(grid, size_text(page, pipe));
    fci_cell(grid, fci_figure_of(u, FC_LENGTH, pipe->equivalent_length).text);
    fci_cell(grid, fci_figure_of(u, FC_LENGTH, total).text);
    fci_cell(grid,
             total > 0.0
                 ? finely(u, s->friction_loss.nominal / total * hundred).text
                 : "-");
    fci_cell(grid, finely(u, s->friction_loss.nominal).text);
    fci_cell(grid, fci_figure_number(s->fixture_units, 1).text);
    fci_cell_tinted(
        grid, fci_figure_of(u, FC_VELOCITY, s->velocity.nominal).text,
        s->velocity.low > pipe->velocity_limit ? FCI_UNSURE : FCI_PLAIN_TINT);
    fci_cell(grid, is_on_path(path_of(page), pipe->name) ? "yes" : "");
}

static void
put_sections(struct fci_page *page, fc_state state)
{
    const fc_unit_system u = page->doc->units;
    const char *l = fc_unit_name(u, FC_LENGTH);
    const char *p = fc_unit_name(u, FC_PRESSURE);
    const struct fci_doc_column columns[] = {
        { "section", "", FCI_LEFT, 16 },
        { "from", "", FCI_LEFT, 10 },
        { "flow", fc_unit_name(u, FC_FLOW), FCI_RIGHT, 0 },
        { "length", l, FCI_RIGHT, 0 },
        { "trial\nsize", "", FCI_LEFT, 6 },
        { "fittings,\nequivalent", l, FCI_RIGHT, 0 },
        { "total\nequivalent", l, FCI_RIGHT, 0 },
        { "friction\nloss", PRINT(page, "%s per 100 %s", p, l), FCI_RIGHT, 0 },
        { "loss in\nsection", p, FCI_RIGHT, 0 },
        { "fixture\nunits", "", FCI_RIGHT, 0 },
        { "velocity", fc_unit_name(u, FC_VELOCITY), FCI_RIGHT, 0 },
        { "governing\npath", "", FCI_LEFT, 0 },
    };
    struct fci_grid *grid;

    if (page->doc->arena.failed)
        return;
    grid = fci_grid_new(page->doc, columns, 12);
    for (size_t i = 0; i < page->result->n_pipes; i++)
        if (!page->path || is_on_path(page->path, page->result->pipes[i].name))
            add_section(page, grid, &page->result->pipes[i], state);
    fci_page_fold(grid, 2);
    fci_doc_put(page->doc, grid);
}

/* Whether both states have the same flows. */
static bool
flows_are_same(const fc_check_result *result)
{
    for (size_t i = 0; i < result->n_pipes; i++) {
        const fc_pipe_state *s = result->pipes[i].states;
        const double a = s[FC_EXISTING].peak_flow.nominal;
        const double b = s[FC_RETROFIT].peak_flow.nominal;

        if (fabs(a - b) > 1e-9 * fmax(a, b))
            return false;
    }
    return true;
}

static void
say_flows(struct fci_page *page)
{
    const fc_site *site = page->site;
    const struct fci_curve_rows *rows =
        fci_tables_demand(site->tables, site->settings.code);
    const char *mark = fci_page_cite(page, &rows->head, "", rows->head.source);

    fci_doc_say(page->doc,
                "Every section carries its own peak: %s. Friction by "
                "Hazen-Williams, C as in the inputs.",
                page->result->peak == FC_PROBABILITY
                    ? "by the probability of flushes"
                    : PRINT(page,
                            "by its fixture units and the %s demand table %s, "
                            "%s",
                            page->result->code, mark ? mark : "",
                            page->result->demand == FC_INTERPOLATE
                                ? "interpolated"
                                : "read at the next row up"));
}

void
fci_page_sheet(struct fci_page *page)
{
    const fc_check_result *result = page->result;
    const fc_path *path;
    fc_state state;

    if (!result || result->n_pipes == 0)
        return;
    path = path_of(page);
    state = page->path ? page->path->state : fci_judged_state(result);
    page->doc->converted = result->converted;
    if (path) {
        fci_doc_heading(page->doc,
                        "Calculation sheet: pressure for friction%s",
                        !result->converted     ? ""
                        : state == FC_RETROFIT ? ", after retrofit"
                                               : ", existing");
        put_lines(page, path);
    }
    fci_doc_heading(page->doc, "Calculation sheet: sections%s",
                    !result->converted || flows_are_same(result) ? ""
                    : state == FC_RETROFIT ? ", after retrofit"
                                           : ", existing");
    put_sections(page, state);
    say_flows(page);
    if (!page->path && result->converted && !flows_are_same(result)) {
        fci_doc_heading(page->doc, "Calculation sheet: sections, existing");
        put_sections(page, FC_EXISTING);
    }
}
