/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/ledger.c -- the pressure budget in a dozen rows, for one screen.
 *
 * Pipes and their fittings are one row, every device has its own.
 */
#include "page/figure.h"
#include "report/budget.h"
#include "report/words.h"
#include "site/site.h"

#include <math.h>
#include <string.h>

#define MOST_NAME 44   /* columns of what a row is of */
#define WORDED_NAME 22 /* of one with words beside it */

/* A ledger while it is put down. */
struct ledger {
    struct fci_doc *doc;
    struct fci_grid *grid;
    fc_unit_system units;
    double most; /* the largest loss that flow makes, to be marked */
};

/* "-0.7"; what is given has no sign. */
static void
add_row(struct ledger *ledger, const char *what, double pressure,
        const char *note)
{
    fci_cell(ledger->grid, fci_short_name(ledger->doc, what, MOST_NAME));
    fci_cell(ledger->grid,
             fci_figure_of(ledger->units, FC_PRESSURE, pressure).text);
    fci_cell(ledger->grid, note);
}

/* Rows of loss: nothing of none. */
static void
add_loss(struct ledger *ledger, const char *what, double loss,
         const char *note)
{
    const bool most = loss > 0.0 && loss >= ledger->most;
    char both[200];

    if (loss < 0.0 || loss > 0.0) {
        snprintf(both, sizeof both, "%.100s%s%s", note,
                 most && *note ? "; " : "", most ? "largest loss" : "");
        add_row(ledger, what, -loss, both);
    }
}

static bool
is_pipe(const fc_path_step *step)
{
    return step->friction_loss + step->fitting_loss > 0.0;
}

static double
most_lost(const fc_path *path)
{
    double most =
        fmax(path->budget.friction + path->budget.fittings, path->budget.sag);

    for (size_t i = fci_budget_first(path); i < path->n_steps; i++)
        most = fmax(most, path->steps[i].device_loss);
    return most;
}

static void
add_start(struct ledger *ledger, const fc_path *path)
{
    const fc_budget *b = &path->budget;
    const fc_path_step *source = &path->steps[0];
    char what[200], note[100] = "";

    if (b->from) {
        snprintf(what, sizeof what, "set pressure of %.140s",
                 fci_prv_name(ledger->doc, b->from, b->beside, WORDED_NAME));
        snprintf(note, sizeof note, "%.40s upstream of %s",
                 fci_figure_said(ledger->units, FC_PRESSURE,
                                 b->start + b->throttled)
                     .text,
                 b->beside ? "them" : "it");
    } else {
        snprintf(what, sizeof what, "static at %.100s",
                 fci_short_name(ledger->doc, source->element, WORDED_NAME));
    }
    add_row(ledger, what, b->start, note);
    snprintf(what, sizeof what, "%.80s drops at %.40s",
             fci_short_name(ledger->doc, source->element, WORDED_NAME),
             fci_figure_said(ledger->units, FC_FLOW, source->flow).text);
    add_loss(ledger, what, b->sag, "");
}

void
fci_step_name(const fc_path_step *step, char *name, size_t size)
{
    const char *kind = fci_kind_said(step->kind);

    if (strcmp(step->kind, "fixture") == 0
        || strcmp(step->kind, step->element) == 0)
        snprintf(name, size, "%.100s", step->element);
    else if (step->beside)
        snprintf(name, size, "%.30ss %.60s and %.60s", kind, step->element,
                 step->beside);
    else
        snprintf(name, size, "%.30s %.100s", kind, step->element);
}

const char *
fci_prv_name(struct fci_doc *doc, const char *name, const char *beside,
             size_t most)
{
    const char *first = fci_short_name(doc, name, most);
    const char *text =
        beside ? fci_arena_printf(&doc->arena, "PRVs %s and %s", first,
                                  fci_short_name(doc, beside, most))
               : fci_arena_printf(&doc->arena, "PRV %s", first);

    return text ? text : "";
}

/* Of a fixture its stop, of a PRV that controls its fall-off. */
static void
name_device(struct fci_doc *doc, const fc_path_step *step, char *what,
            size_t size)
{
    fc_path_step named = *step;
    char name[160];

    named.element = fci_short_name(doc, step->element, WORDED_NAME);
    if (step->beside)
        named.beside = fci_short_name(doc, step->beside, WORDED_NAME);
    fci_step_name(&named, name, sizeof name);
    snprintf(what, size, "%s%s",
             strcmp(step->kind, "fixture") == 0 ? "stop of "
             : step->set > 0.0                  ? "fall-off of "
                                                : "",
             name);
}

static void
add_devices(struct ledger *ledger, const fc_path *path)
{
    for (size_t i = fci_budget_first(path); i < path->n_steps; i++) {
        const fc_path_step *step = &path->steps[i];
        char what[200];

        if (is_pipe(step) && !(step->device_loss > 0.0))
            continue;
        name_device(ledger->doc, step, what, sizeof what);
        add_loss(ledger, what, step->device_loss,
                 step->device_loss < 0.0 ? "boost" : "");
    }
}

static void
add_elevation(struct ledger *ledger, const fc_site *site, const fc_path *path)
{
    const double height = path->budget.elevation / site->water_weight;
    char what[100];

    snprintf(what, sizeof what, "elevation, %.40s",
             fci_figure_said(ledger->units, FC_LENGTH, height).text);
    /* height is no loss that flow makes */
    add_row(ledger, what, -path->budget.elevation, "");
}

/* "valve data sheet; code 35.0 psi" */
void
fci_note_required(fc_unit_system u, const fc_fixture_state *end, char *note,
                  size_t size)
{
    const bool valve = end->governed_by == FC_VALVE_GOVERNS;
    char other[60] = "", reserve[60] = "";

    if (valve && !isnan(end->code_minimum))
        snprintf(other, sizeof other, "; code minimum %.30s",
                 fci_figure_of(u, FC_PRESSURE, end->code_minimum).text);
    else if (!valve && end->valve_minimum.given)
        snprintf(other, sizeof other, "; valve minimum %.30s",
                 fci_figure_range(u, FC_PRESSURE, end->valve_minimum).text);
    if (end->reserve > 0.0)
        snprintf(reserve, sizeof reserve, "; reserve %.30s in it",
                 fci_figure_of(u, FC_PRESSURE, end->reserve).text);
    snprintf(note, size, "%s%s%s", valve ? "valve minimum" : "code minimum",
             other, reserve);
}

static void
add_margin(struct ledger *ledger, const fc_fixture_state *end)
{
    const fc_unit_system u = ledger->units;
    const bool differs = fci_figure_differs(u, FC_PRESSURE, end->margin);
    const double m = end->margin.nominal;
    char note[120] = "";

    if (differs)
        snprintf(
            note, sizeof note, "worst case: %s %.40s",
            end->margin.low < 0.0 ? "short by" : "margin",
            fci_figure_margin(u, FC_PRESSURE, fabs(end->margin.low)).text);
    fci_cell(ledger->grid, m < 0.0 ? "short by" : "margin");
    fci_cell_tinted(ledger->grid,
                    fci_figure_margin(u, FC_PRESSURE, fabs(m)).text,
                    m < 0.0 ? FCI_BAD : FCI_PLAIN_TINT);
    fci_cell(ledger->grid, note);
}

static void
add_end(struct ledger *ledger, const fc_fixture_state *end)
{
    char note[200] = "";

    fci_grid_rule(ledger->grid);
    add_row(ledger, "residual at the fixture", end->flowing.nominal,
            end->flowing.nominal < 0.0 ? "none: the valve runs dry" : "");
    if (!end->required.given)
        return;
    fci_note_required(ledger->units, end, note, sizeof note);
    add_row(ledger, "required", end->required.nominal, note);
    if (end->margin.given)
        add_margin(ledger, end);
}

void
fci_part_ledger(struct fci_doc *doc, const fc_site *site, const fc_path *path,
                const fc_fixture_state *end)
{
    static const struct fci_doc_column columns[] = {
        { "", "", FCI_LEFT, 0 },
        { "", "", FCI_RIGHT, 0 },
        { "", "", FCI_LEFT, 12 },
    };
    struct ledger ledger = { doc, NULL, doc->units, most_lost(path) };

    fci_doc_heading(doc, "Pressure to %s%s at peak, %s", path->fixture,
                    fci_state_said(doc, path->state),
                    fc_unit_name(doc->units, FC_PRESSURE));
    ledger.grid = fci_doc_table(doc, columns, 3);
    add_start(&ledger, path);
    add_devices(&ledger, path);
    add_loss(&ledger, "pipe and fittings",
             path->budget.friction + path->budget.fittings, "");
    add_elevation(&ledger, site, path);
    add_end(&ledger, end);
    if (fci_figure_differs(doc->units, FC_PRESSURE, end->flowing))
        fci_doc_say(doc, "At midpoint values of the ranges.");
}
