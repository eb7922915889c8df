/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/budget.c -- where the pressure goes on the way to one fixture. */
#include "page/figure.h"
#include "report/shared.h"
#include "page/table.h"
#include "page/words.h"

#include <math.h>

static double
lost_in(const fc_path_step *step)
{
    return step->friction_loss + step->fitting_loss + step->device_loss
           + step->sag;
}

/* The step that the budget starts at: a reducer that controls, or the source.
 */
static size_t
first_step(const fc_path *path)
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

    for (size_t i = first_step(path); i < path->n_steps; i++) {
        const fc_path_step *step = &path->steps[i];

        if (!isnan(step->darcy_loss)
            || step->friction_loss + step->fitting_loss != 0.0)
            sum += step->darcy_loss;
    }
    return sum;
}

static void
add_pressure(struct table *table, const struct page *page, double si)
{
    table_add(table, figure_of(page->units, FC_PRESSURE, si).text);
}

/* What a step begins with: a name, and with `kind` what it is. */
static void
add_name(struct table *table, const char *name, const char *kind, bool darcy)
{
    char both[160];

    if (!darcy) {
        table_add(table, name);
        table_add(table, kind);
        return;
    }
    /* there is no room for both */
    snprintf(both, sizeof both, "%.80s%s%.60s", name, *kind ? ", " : "", kind);
    table_add(table, both);
}

/* A place with a pressure and nothing lost. */
static void
add_still(struct table *table, const struct page *page, const char *name,
          const char *kind, double pressure, bool darcy)
{
    add_name(table, name, kind, darcy);
    for (int i = 0; i < (darcy ? 6 : 5); i++)
        table_add(table, "");
    add_pressure(table, page, pressure);
}

/* The static pressure of a main comes before its sag, and the set pressure of
 * a reducer before its fall-off. */
static const char *
add_before(struct table *table, const struct page *page,
           const fc_path_step *step, bool darcy)
{
    if (step->sag > 0.0) {
        add_still(table, page, step->element, "static",
                  step->pressure + step->sag, darcy);
        return "sag";
    }
    if (step->set > 0.0) {
        add_still(table, page, step->element, "PRV, set",
                  step->pressure + step->device_loss, darcy);
        return "fall-off";
    }
    return darcy ? "" : step->kind;
}

static void
add_step(struct table *table, const struct page *page,
         const fc_path_step *step, bool darcy)
{
    const char *kind = add_before(table, page, step, darcy);

    add_name(table, step->element, kind, darcy);
    table_add(table, figure_of(page->units, FC_FLOW, step->flow).text);
    add_pressure(table, page, step->set > 0.0 ? 0.0 : step->elevation_loss);
    add_pressure(table, page, step->friction_loss);
    add_pressure(table, page, step->fitting_loss);
    add_pressure(table, page, step->device_loss + step->sag);
    if (darcy)
        add_pressure(table, page, step->darcy_loss);
    add_pressure(table, page, step->pressure);
}

static double
in_devices(const fc_budget *b)
{
    return b->devices + b->backflow + b->reducers + b->sag - b->pumps;
}

static void
add_sums(struct table *table, const struct page *page, const fc_path *path,
         bool darcy)
{
    const fc_budget *b = &path->budget;

    add_name(table, "in all", "", darcy);
    table_add(table, "");
    add_pressure(table, page, b->elevation);
    add_pressure(table, page, b->friction);
    add_pressure(table, page, b->fittings);
    add_pressure(table, page, in_devices(b));
    if (darcy)
        add_pressure(table, page, darcy_sum(path));
    table_add(table, "");
}

/* Less would show as 0 %. */
#define LEAST_SHARE 0.005

/* Each sort of loss by itself; what gives pressure takes no share. */
static void
print_losses(struct page *page, const fc_budget *b)
{
    const struct {
        const char *what;
        double lost;
    } losses[] = {
        { "elevation", b->elevation },
        { "sag of the street main", b->sag },
        { "pipes", b->friction },
        { "fittings", b->fittings },
        { "meters and other devices", b->devices },
        { "backflow preventers", b->backflow },
        { b->from ? "PRVs, fall-off" : "PRVs, wide open", b->reducers },
    };
    const size_t n = sizeof losses / sizeof *losses;
    const struct column columns[] = {
        { "lost to", "", ALIGN_LEFT, 24 },
        { "loss", fc_unit_name(page->units, FC_PRESSURE), ALIGN_RIGHT, 0 },
        { "share", "%", ALIGN_RIGHT, 0 },
    };
    struct table table = table_new(columns, 3);
    double whole = 0.0;

    for (size_t i = 0; i < n; i++)
        whole += fmax(losses[i].lost, 0.0);
    if (!(whole > 0.0))
        return;
    for (size_t i = 0; i < n; i++) {
        if (!(losses[i].lost > LEAST_SHARE * whole))
            continue;
        table_add(&table, losses[i].what);
        add_pressure(&table, page, losses[i].lost);
        table_add(&table,
                  figure_number(100.0 * losses[i].lost / whole, 0).text);
    }
    page_blank(page);
    table_print(&table, page);
}

/* What a reducer takes away is what it is there for. */
static void
say_start(struct page *page, const fc_budget *b)
{
    fc_unit_system u = page->units;

    if (!b->from)
        return;
    page_say(page, 2, 2,
             "From the set pressure of PRV %s, %s, on. What it throttles, %s, "
             "is no loss, nor is what is lost upstream of it.",
             b->from, figure_said(u, FC_PRESSURE, b->start).text,
             figure_said(u, FC_PRESSURE, b->throttled).text);
}

static void
print_steps(struct page *page, const fc_path *path, bool darcy)
{
    const char *p = fc_unit_name(page->units, FC_PRESSURE);
    const char *q = fc_unit_name(page->units, FC_FLOW);
    const struct column element = { "element", "", ALIGN_LEFT, 8 };
    const struct column kind = { "kind", "", ALIGN_LEFT, 0 };
    const struct column flow = { "flow", q, ALIGN_RIGHT, 0 };
    const struct column elevation = { "elevation", p, ALIGN_RIGHT, 0 };
    const struct column friction = { "friction", p, ALIGN_RIGHT, 0 };
    const struct column fittings = { "fittings", p, ALIGN_RIGHT, 0 };
    const struct column device = { "device", p, ALIGN_RIGHT, 0 };
    const struct column other = { "Darcy-\nWeisbach", p, ALIGN_RIGHT, 0 };
    const struct column left = { "pressure\nleft", p, ALIGN_RIGHT, 0 };
    const struct column plain[] = { element,  kind,     flow,   elevation,
                                    friction, fittings, device, left };
    const struct column beside[] = { element,  flow,   elevation, friction,
                                     fittings, device, other,     left };
    struct table table = table_new(darcy ? beside : plain, 8);

    for (size_t i = 0; i < path->n_steps; i++)
        add_step(&table, page, &path->steps[i], darcy);
    table_rule(&table);
    add_sums(&table, page, path, darcy);
    table_print(&table, page);
}

/* By more than rounding, so that of equals the first is named. */
#define MORE (1 + 1e-6)

/* Name what takes most of the pressure that the flow costs. */
static void
say_thief(struct page *page, const fc_path *path)
{
    const fc_budget *b = &path->budget;
    fc_unit_system u = page->units;
    double lost = b->friction + b->fittings + b->devices + b->backflow
                  + b->reducers + b->sag;
    const fc_path_step *most = NULL;

    for (size_t i = first_step(path); i < path->n_steps; i++)
        if (!most || lost_in(&path->steps[i]) > lost_in(most) * MORE)
            most = &path->steps[i];
    if (!most || !(lost_in(most) > 0.0))
        return;
    if (b->pumps > 0.0)
        page_say(page, 2, 2, "Pumps give %s.",
                 figure_said(u, FC_PRESSURE, b->pumps).text);
    page_say(page, 2, 2,
             "Of what the flow costs, most is lost in %s %s: %s of %s.",
             most->sag > 0.0 ? "the sag of" : most->kind, most->element,
             figure_of(u, FC_PRESSURE, lost_in(most)).text,
             figure_said(u, FC_PRESSURE, lost).text);
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
part_budget(struct page *page, const fc_path *path, bool darcy)
{
    page_heading(page, "Where the pressure goes: to %s at peak, %s",
                 path->fixture, state_phrase(path->state));
    print_steps(page, path, darcy);
    print_losses(page, &path->budget);
    say_start(page, &path->budget);
    say_thief(page, path);
    if (figure_differs(page->units, FC_PRESSURE, path->end.flowing))
        page_say(page, 2, 2,
                 "The table stands at the middle of what is "
                 "given as a range.");
    if (any_below_zero(path))
        page_say(page, 2, 2,
                 "Pressure left below zero means that so much "
                 "flow cannot be had.");
    if (darcy)
        page_say(page, 2, 2,
                 "Darcy-Weisbach: friction and fittings by that equation, for "
                 "comparison; a dash where it is no pipe, or its roughness is "
                 "not known.");
}
