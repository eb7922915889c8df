/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/budget.c -- where the pressure goes on the way to one fixture. */
#include "page/figure.h"
#include "report/shared.h"
#include "page/table.h"
#include "page/words.h"

#include <math.h>

/* What the elements take together.  Adding up for the last line of a table is
 * the one sum made here. */
struct sums {
    double elevation, friction, fittings, device, darcy;
    double device_taken, given; /* the device sum by its sign: pumps give */
};

static double
lost_in(const fc_path_step *step)
{
    return step->friction_loss + step->fitting_loss + step->device_loss;
}

static struct sums
add_up(const fc_path *path)
{
    struct sums sums = { 0 };

    for (size_t i = 0; i < path->n_steps; i++) {
        const fc_path_step *step = &path->steps[i];

        sums.elevation += step->elevation_loss;
        sums.friction += step->friction_loss;
        sums.fittings += step->fitting_loss;
        sums.device += step->device_loss;
        sums.device_taken += fmax(step->device_loss, 0.0);
        sums.given += fmax(-step->device_loss, 0.0);
        /* one pipe that is not known spoils the sum; what is no pipe, not */
        if (!isnan(step->darcy_loss)
            || step->friction_loss + step->fitting_loss != 0.0)
            sums.darcy += step->darcy_loss;
    }
    return sums;
}

static void
add_pressure(struct table *table, const struct page *page, double si)
{
    table_add(table, figure_of(page->units, FC_PRESSURE, si).text);
}

static void
add_step(struct table *table, const struct page *page,
         const fc_path_step *step, bool darcy)
{
    table_add(table, step->element);
    if (!darcy) /* there is no room for both */
        table_add(table, step->kind);
    table_add(table, figure_of(page->units, FC_FLOW, step->flow).text);
    add_pressure(table, page, step->elevation_loss);
    add_pressure(table, page, step->friction_loss);
    add_pressure(table, page, step->fitting_loss);
    add_pressure(table, page, step->device_loss);
    if (darcy)
        add_pressure(table, page, step->darcy_loss);
    add_pressure(table, page, step->pressure);
}

static void
add_sums(struct table *table, const struct page *page, const struct sums *sums,
         bool darcy)
{
    table_add(table, "in all");
    if (!darcy)
        table_add(table, "");
    table_add(table, "");
    add_pressure(table, page, sums->elevation);
    add_pressure(table, page, sums->friction);
    add_pressure(table, page, sums->fittings);
    add_pressure(table, page, sums->device);
    if (darcy)
        add_pressure(table, page, sums->darcy);
    table_add(table, "");
}

/* A share of what is taken; what gives pressure takes no share. */
static void
add_share(struct table *table, double part, double whole)
{
    struct figure f = figure_number(100.0 * part / whole, 0);
    char text[sizeof f.text + 2];

    snprintf(text, sizeof text, "%s %%", f.text);
    table_add(table, part > 0.0 ? text : "");
}

static double
taken(const struct sums *sums)
{
    return fmax(sums->elevation, 0.0) + fmax(sums->friction, 0.0)
           + fmax(sums->fittings, 0.0) + sums->device_taken;
}

static void
add_shares(struct table *table, const struct sums *sums, bool darcy)
{
    double whole = taken(sums);

    if (!(whole > 0.0))
        return;
    table_add(table, "share");
    if (!darcy)
        table_add(table, "");
    table_add(table, "");
    add_share(table, sums->elevation, whole);
    add_share(table, sums->friction, whole);
    add_share(table, sums->fittings, whole);
    add_share(table, sums->device_taken, whole);
    if (darcy)
        table_add(table, "");
    table_add(table, "");
}

static void
print_steps(struct page *page, const fc_path *path, const struct sums *sums,
            bool darcy)
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
    add_sums(&table, page, sums, darcy);
    add_shares(&table, sums, darcy);
    table_print(&table, page);
}

/* By more than rounding, so that of equals the first is named. */
#define MORE (1 + 1e-6)

/* Name what takes most of the pressure that the flow costs. */
static void
say_thief(struct page *page, const fc_path *path, const struct sums *sums)
{
    fc_unit_system u = page->units;
    double lost = sums->friction + sums->fittings + sums->device_taken;
    const fc_path_step *most = NULL;

    for (size_t i = 0; i < path->n_steps; i++)
        if (!most || lost_in(&path->steps[i]) > lost_in(most) * MORE)
            most = &path->steps[i];
    if (!most || !(lost_in(most) > 0.0))
        return;
    if (sums->elevation > 0.0)
        page_say(page, 2, 2, "Height takes %s.",
                 figure_said(u, FC_PRESSURE, sums->elevation).text);
    if (sums->given > 0.0)
        page_say(page, 2, 2, "Pumps give %s.",
                 figure_said(u, FC_PRESSURE, sums->given).text);
    page_say(page, 2, 2,
             "Of what the flow costs, most is lost in %s %s: %s of %s.",
             most->kind, most->element,
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
    struct sums sums = add_up(path);

    page_heading(page, "Where the pressure goes: to %s at peak, %s",
                 path->fixture, state_phrase(path->state));
    print_steps(page, path, &sums, darcy);
    say_thief(page, path, &sums);
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
