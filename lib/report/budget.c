/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/budget.c -- where the pressure goes on the way to one fixture. */
#include "page/figure.h"
#include "report/budget.h"
#include "report/words.h"

#include <math.h>
#include <stdint.h>

double
fci_step_loss(const fc_path_step *step)
{
    return step->friction_loss + step->fitting_loss + step->device_loss
           + step->sag;
}

double
fci_budget_loss(const fc_budget *b)
{
    return b->friction + b->fittings + b->devices + b->backflow + b->reducers
           + b->sag;
}

size_t
fci_budget_first(const fc_path *path)
{
    size_t first = 0;

    for (size_t i = 0; i < path->n_steps; i++)
        if (path->steps[i].set > 0.0)
            first = i;
    return first;
}

/* One pipe that is not known spoils the sum; what is no pipe, not. */
static double
darcy_sum(const fc_path *path)
{
    double sum = 0.0;

    for (size_t i = fci_budget_first(path); i < path->n_steps; i++) {
        const fc_path_step *step = &path->steps[i];

        if (!isnan(step->darcy_loss)
            || step->friction_loss + step->fitting_loss != 0.0)
            sum += step->darcy_loss;
    }
    return sum;
}

void
fci_part_darcy(struct fci_doc *doc, const fc_path *path)
{
    const double sum = darcy_sum(path);
    const double beside = path->budget.friction + path->budget.fittings;

    if (isnan(sum))
        fci_doc_say(doc, "By Darcy-Weisbach: not known, for want of a pipe's "
                         "roughness.");
    else
        fci_doc_say(doc,
                    "By Darcy-Weisbach pipes and fittings lose %s; by "
                    "Hazen-Williams, as here, %s.",
                    fci_figure_of(doc->units, FC_PRESSURE, sum).text,
                    fci_figure_said(doc->units, FC_PRESSURE, beside).text);
}

static void
add_pressure(struct fci_grid *table, const struct fci_doc *doc, double si)
{
    fci_cell(table, fci_figure_of(doc->units, FC_PRESSURE, si).text);
}

/* What a step begins with: a name, and with `kind` what it is. */
static void
add_name(struct fci_grid *table, const char *name, const char *kind,
         bool darcy)
{
    char both[160];

    if (!darcy) {
        fci_cell(table, name);
        fci_cell(table, kind);
        return;
    }
    /* there is no room for both */
    snprintf(both, sizeof both, "%.80s%s%.60s", name, *kind ? ", " : "", kind);
    fci_cell(table, both);
}

/* Of two PRVs side by side both names. */
static void
name_step(const fc_path_step *step, char *name, size_t size)
{
    snprintf(name, size, "%.70s%s%.70s", step->element,
             step->beside ? " and " : "", step->beside ? step->beside : "");
}

/* A place with a pressure and nothing lost. */
static void
add_still(struct fci_grid *table, const struct fci_doc *doc, const char *name,
          const char *kind, double pressure, bool darcy)
{
    add_name(table, name, kind, darcy);
    for (int i = 0; i < (darcy ? 6 : 5); i++)
        fci_cell(table, "");
    add_pressure(table, doc, pressure);
}

/* The static pressure of a main comes before its sag, and the set pressure of
 * a reducer before its fall-off. */
static const char *
add_before(struct fci_grid *table, const struct fci_doc *doc,
           const fc_path_step *step, bool darcy)
{
    char name[150];

    if (step->sag > 0.0) {
        add_still(table, doc, step->element, "static",
                  step->pressure + step->sag, darcy);
        return "drop";
    }
    if (step->set > 0.0) {
        name_step(step, name, sizeof name);
        add_still(table, doc, name, "PRV, set",
                  step->pressure + step->device_loss, darcy);
        return "fall-off";
    }
    return darcy ? "" : fci_kind_said(step->kind);
}

static void
add_step(struct fci_grid *table, const struct fci_doc *doc,
         const fc_path_step *step, bool darcy)
{
    const char *kind = add_before(table, doc, step, darcy);
    char name[150];

    name_step(step, name, sizeof name);
    add_name(table, name, kind, darcy);
    fci_cell(table, fci_figure_of(doc->units, FC_FLOW, step->flow).text);
    add_pressure(table, doc, step->set > 0.0 ? 0.0 : step->elevation_loss);
    add_pressure(table, doc, step->friction_loss);
    add_pressure(table, doc, step->fitting_loss);
    add_pressure(table, doc, step->device_loss + step->sag);
    if (darcy)
        add_pressure(table, doc, step->darcy_loss);
    add_pressure(table, doc, step->pressure);
}

static double
in_devices(const fc_budget *b)
{
    return b->devices + b->backflow + b->reducers + b->sag - b->pumps;
}

static void
add_sums(struct fci_grid *table, const struct fci_doc *doc,
         const fc_path *path, bool darcy)
{
    const fc_budget *b = &path->budget;

    add_name(table, "total", "", darcy);
    fci_cell(table, "");
    add_pressure(table, doc, b->elevation);
    add_pressure(table, doc, b->friction);
    add_pressure(table, doc, b->fittings);
    add_pressure(table, doc, in_devices(b));
    if (darcy)
        add_pressure(table, doc, darcy_sum(path));
    fci_cell(table, "");
}

/* Less would show as 0 %. */
#define LEAST_SHARE 0.005

/* Each sort of loss by itself; what gives pressure takes no share. */
static void
print_losses(struct fci_doc *doc, const fc_budget *b)
{
    const struct {
        const char *what;
        double lost;
    } losses[] = {
        { "elevation", b->elevation },
        { "drop of the main", b->sag },
        { "pipes", b->friction },
        { "fittings", b->fittings },
        { "meters and other devices", b->devices },
        { "backflow preventers", b->backflow },
        { b->from ? "PRVs, fall-off" : "PRVs, wide open", b->reducers },
    };
    const size_t n = sizeof losses / sizeof *losses;
    const struct fci_doc_column columns[] = {
        { "lost to", "", FCI_LEFT, 24 },
        { "loss", fc_unit_name(doc->units, FC_PRESSURE), FCI_RIGHT, 0 },
        { "share", "%", FCI_RIGHT, 0 },
    };
    struct fci_grid *table = fci_grid_new(doc, columns, 3);
    double whole = 0.0;

    for (size_t i = 0; i < n; i++)
        whole += fmax(losses[i].lost, 0.0);
    if (!(whole > 0.0))
        return;
    for (size_t i = 0; i < n; i++) {
        if (!(losses[i].lost > LEAST_SHARE * whole))
            continue;
        fci_cell(table, losses[i].what);
        add_pressure(table, doc, losses[i].lost);
        fci_cell(table,
                 fci_figure_number(100.0 * losses[i].lost / whole, 0).text);
    }
    fci_doc_gap(doc);
    fci_doc_put(doc, table);
}

/* What a reducer takes away is what it is there for. */
static void
say_start(struct fci_doc *doc, const fc_budget *b)
{
    fc_unit_system u = doc->units;

    if (!b->from)
        return;
    fci_doc_say(
        doc,
        "The budget starts at the set pressure of %s, %s. What %s, %s, is no "
        "loss, nor is what is lost upstream of %s.",
        fci_prv_name(doc, b->from, b->beside, SIZE_MAX),
        fci_figure_said(u, FC_PRESSURE, b->start).text,
        b->beside ? "they throttle" : "it throttles",
        fci_figure_said(u, FC_PRESSURE, b->throttled).text,
        b->beside ? "them" : "it");
}

static void
print_steps(struct fci_doc *doc, const fc_path *path, bool darcy)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const char *q = fc_unit_name(doc->units, FC_FLOW);
    const struct fci_doc_column element = { "element", "", FCI_LEFT, 8 };
    const struct fci_doc_column kind = { "kind", "", FCI_LEFT, 9 };
    const struct fci_doc_column flow = { "flow", q, FCI_RIGHT, 0 };
    const struct fci_doc_column elevation = { "elevation", p, FCI_RIGHT, 0 };
    const struct fci_doc_column friction = { "friction", p, FCI_RIGHT, 0 };
    const struct fci_doc_column fittings = { "fittings", p, FCI_RIGHT, 0 };
    const struct fci_doc_column device = { "device", p, FCI_RIGHT, 0 };
    const struct fci_doc_column other = { "Darcy-\nWeisbach", p, FCI_RIGHT,
                                          0 };
    const struct fci_doc_column residual = { "residual", p, FCI_RIGHT, 0 };
    const struct fci_doc_column plain[] = { element,   kind,     flow,
                                            elevation, friction, fittings,
                                            device,    residual };
    const struct fci_doc_column beside[] = { element,  flow,     elevation,
                                             friction, fittings, device,
                                             other,    residual };
    struct fci_grid *table = fci_grid_new(doc, darcy ? beside : plain, 8);

    for (size_t i = 0; i < path->n_steps; i++)
        add_step(table, doc, &path->steps[i], darcy);
    fci_grid_rule(table);
    add_sums(table, doc, path, darcy);
    fci_doc_put(doc, table);
}

/* By more than rounding, so that of equals the first is named. */
#define MORE (1 + 1e-6)

static void
say_largest(struct fci_doc *doc, const fc_path *path)
{
    const fc_budget *b = &path->budget;
    const fc_unit_system u = doc->units;
    const fc_path_step *most = NULL;
    char name[160];

    for (size_t i = fci_budget_first(path); i < path->n_steps; i++)
        if (!most
            || fci_step_loss(&path->steps[i]) > fci_step_loss(most) * MORE)
            most = &path->steps[i];
    if (b->pumps > 0.0)
        fci_doc_say(doc, "Pumps add %s.",
                    fci_figure_said(u, FC_PRESSURE, b->pumps).text);
    if (!most || !fci_figure_shows(u, FC_PRESSURE, fci_step_loss(most)))
        return;
    fci_step_name(most, name, sizeof name);
    fci_doc_say(doc, "Largest single loss: %s%s, %s of %s lost to flow.",
                most->sag > 0.0 ? "drop of " : "", name,
                fci_figure_of(u, FC_PRESSURE, fci_step_loss(most)).text,
                fci_figure_said(u, FC_PRESSURE, fci_budget_loss(b)).text);
}

static bool
any_below_zero(const fc_path *path)
{
    for (size_t i = 0; i < path->n_steps; i++)
        if (path->steps[i].pressure < 0.0)
            return true;
    return false;
}

void
fci_part_budget(struct fci_doc *doc, const fc_path *path, bool darcy)
{
    fci_doc_heading(doc, "Pressure budget to %s at peak%s", path->fixture,
                    fci_state_said(doc, path->state));
    print_steps(doc, path, darcy);
    print_losses(doc, &path->budget);
    say_start(doc, &path->budget);
    say_largest(doc, path);
    if (fci_figure_differs(doc->units, FC_PRESSURE, path->end.flowing))
        fci_doc_say(doc, "The table is at midpoint values of the ranges.");
    if (any_below_zero(path))
        fci_doc_say(doc, "A residual below zero: so much flow cannot be had.");
    if (darcy)
        fci_doc_say(
            doc, "Darcy-Weisbach: friction and fittings by that equation, for "
                 "comparison; a dash where it is no pipe, or its roughness is "
                 "not known.");
}
