/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/cure_pressure.c -- more pressure: at the source, behind a reducer, from
 * a pump in place. */
#include "cure.h"
#include "units.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_const_mksa.h>

/* As far as anything is turned: more than any building bears. */
#define MOST_PRESSURE (400 * GSL_CONST_MKSA_PSI)
#define MOST_HEAD 300.0 /* m */

static const struct fci_element *
element_of(const struct fci_cures *c, const void *lever)
{
    return &c->site->elements[((const struct fci_pressure_lever *)lever)
                                  ->element];
}

static int
steps_in(double most, double step)
{
    return (int)(most / step);
}

static bool
add(struct fci_change_list *list, const struct fci_element *element,
    const char *key, const char *value)
{
    return value
           && fci_change_add(list, element->part->kind, element->name, key,
                             value);
}

/* ---- Turning ---------------------------------------------------------- */

static bool
turn_source(const struct fci_cures *c, const void *lever, int steps,
            struct fci_change_list *list)
{
    const struct fci_element *element = element_of(c, lever);
    const fc_source *given = fci_given(c->site, element->part);
    const double by = steps * fci_pressure_step(c);

    if (given->kind == FC_TANK)
        return add(list, element, "water level",
                   fci_moved_text(c, FC_LENGTH, given->water_level,
                                  steps * fci_head_step(c)));
    if (given->kind == FC_FIXED)
        return add(list, element, "pressure",
                   fci_moved_text(c, FC_PRESSURE, given->pressure, by));
    if (given->residual.given
        && !add(list, element, "residual",
                fci_moved_text(c, FC_PRESSURE, given->residual, by)))
        return false;
    return add(list, element, "static",
               fci_moved_text(c, FC_PRESSURE, given->static_pressure, by));
}

static bool
turn_reducer(const struct fci_cures *c, const void *lever, int steps,
             struct fci_change_list *list)
{
    const struct fci_element *element = element_of(c, lever);
    const fc_reducer *given = fci_given(c->site, element->part);

    return add(list, element, "set",
               fci_moved_text(c, FC_PRESSURE, given->set,
                              steps * fci_pressure_step(c)));
}

/* The curve with so much more head at every flow. */
static const char *
raised_curve(const struct fci_cures *c, const fc_pump *pump, double by)
{
    const char *text = "";
    size_t i;

    for (i = 0; text && i < pump->n_curve; i++) {
        const char *flow =
            fci_value_text(c, FC_FLOW, fc_exactly(pump->curve[i].x));
        const char *head =
            fci_value_text(c, FC_LENGTH, fc_exactly(pump->curve[i].y + by));

        text = flow && head ? fci_arena_printf(c->arena, "%s%s%s %s", text,
                                               i ? ", " : "", flow, head)
                            : NULL;
    }
    return text;
}

/* One that holds is set to hold more; any other gets more head. */
static bool
turn_pump(const struct fci_cures *c, const void *lever, int steps,
          struct fci_change_list *list)
{
    const struct fci_element *element = element_of(c, lever);
    const fc_pump *given = fci_given(c->site, element->part);

    if (given->hold.given)
        return add(list, element, "hold",
                   fci_moved_text(c, FC_PRESSURE, given->hold,
                                  steps * fci_pressure_step(c)));
    return add(list, element, "curve",
               raised_curve(c, given, steps * fci_head_step(c)));
}

/* ---- The levers ------------------------------------------------------- */

static bool
is_lever(const struct fci_cures *c, size_t element,
         struct fci_pressure_lever *lever)
{
    const struct fci_part *part = c->site->elements[element].part;
    const bool tank = part->kind == FCI_SOURCE
                      && ((const fc_source *)part->data)->kind == FC_TANK;
    const fc_pump *pump = part->data;

    lever->element = element;
    lever->most = steps_in(MOST_PRESSURE, fci_pressure_step(c));
    switch (part->kind) {
    case FCI_SOURCE:
        lever->kind = FC_RAISE_SOURCE;
        lever->turn = turn_source;
        if (tank)
            lever->most = steps_in(MOST_HEAD, fci_head_step(c));
        return true;
    case FCI_REDUCER:
        lever->kind = FC_RAISE_REDUCER;
        lever->turn = turn_reducer;
        return true;
    case FCI_PUMP:
        lever->kind = FC_RAISE_PUMP;
        lever->turn = turn_pump;
        if (!pump->hold.given)
            lever->most = steps_in(MOST_HEAD, fci_head_step(c));
        return pump->running != FC_NO;
    default:
        return false;
    }
}

bool
fci_pressure_levers(struct fci_cures *c)
{
    size_t i;

    c->levers = calloc(c->site->n_elements, sizeof *c->levers);
    for (i = 0; c->levers && i < c->site->n_elements; i++)
        c->n_levers +=
            c->feeds[c->site->order[i]]
            && is_lever(c, c->site->order[i], &c->levers[c->n_levers]);
    return c->levers != NULL;
}

/* What the lever turns, as it stands; *dimension is what it is. */
static fc_range
value_of(const struct fci_cures *c, const struct fci_pressure_lever *lever,
         fc_dimension *dimension)
{
    const struct fci_element *element = element_of(c, lever);
    const void *given = fci_given(c->site, element->part);
    const fc_source *source = given;
    const fc_pump *pump = given;

    *dimension = FC_PRESSURE;
    switch (lever->kind) {
    case FC_RAISE_SOURCE:
        if (source->kind != FC_TANK)
            return source->kind == FC_FIXED ? source->pressure
                                            : source->static_pressure;
        *dimension = FC_LENGTH;
        return source->water_level;
    case FC_RAISE_REDUCER:
        return ((const fc_reducer *)given)->set;
    default:
        if (pump->hold.given)
            return pump->hold;
        *dimension = FC_LENGTH;
        return fc_exactly(pump->curve[0].y);
    }
}

/* "the static pressure", ...: what is turned. */
static const char *
what_is_turned(const struct fci_cures *c,
               const struct fci_pressure_lever *lever)
{
    const struct fci_element *element = element_of(c, lever);
    const void *given = fci_given(c->site, element->part);
    const fc_source *source = given;

    switch (lever->kind) {
    case FC_RAISE_SOURCE:
        return source->kind == FC_TANK    ? "the water level"
               : source->kind == FC_FIXED ? "the pressure"
               : source->residual.given
                   ? "the static pressure (and the residual by as much)"
                   : "the static pressure";
    case FC_RAISE_REDUCER:
        return "the setting";
    default:
        return ((const fc_pump *)given)->hold.given
                   ? "the pressure held"
                   : "the head with no flow (and at every flow by as much)";
    }
}

static const char *
useless(const struct fci_cures *c, const struct fci_pressure_lever *lever,
        const char *fixture)
{
    const char *name = element_of(c, lever)->name;

    if (lever->kind == FC_RAISE_SOURCE)
        return fci_arena_printf(c->arena,
                                "No pressure of %s helps: %s stays short "
                                "behind what bounds its pressure on the way.",
                                name, fixture);
    return fci_arena_printf(c->arena,
                            "However far %s is turned up, %s stays short: its "
                            "inlet does not have more to give, or it does not "
                            "feed that fixture.",
                            name, fixture);
}

static fc_range
moved(fc_range value, double by)
{
    value.nominal += by;
    value.low += by;
    value.high += by;
    return value;
}

static double
step_of(const struct fci_cures *c, fc_dimension dimension)
{
    return dimension == FC_LENGTH ? fci_head_step(c) : fci_pressure_step(c);
}

const char *
fci_say_turned(const struct fci_cures *c,
               const struct fci_pressure_lever *lever, int steps)
{
    const fc_unit_system units = c->site->settings.units;
    fc_dimension dimension;
    const fc_range now = value_of(c, lever, &dimension);
    const double by = steps * step_of(c, dimension);

    return fci_arena_printf(
        c->arena, "Raise %s of %s by %s, from %s to %s",
        what_is_turned(c, lever), element_of(c, lever)->name,
        fci_show(units, dimension, by).text,
        fci_show_range(units, dimension, now).text,
        fci_show_range(units, dimension, moved(now, by)).text);
}

static const char *
say(const struct fci_cures *c, const struct fci_pressure_lever *lever)
{
    const struct fci_turned *t = &lever->turned;
    const char *turned, *end;

    if (t->outcome == FCI_USELESS)
        return useless(c, lever, t->fixture);
    turned = fci_say_turned(c, lever, t->steps);
    end = fci_cure_end(c, t, "less");
    return turned && end ? fci_arena_printf(c->arena, "%s%s.", turned, end)
                         : NULL;
}

static fc_status
cure_with(struct fci_cures *c, struct fci_pressure_lever *lever)
{
    fc_remedy told =
        fci_remedy_of(lever->kind, element_of(c, lever)->name, FC_PRESSURE);
    struct fci_change_list list = { 0 };
    struct fci_turned *const t = &lever->turned;
    const fc_status status =
        fci_cure_search(c, lever->turn, lever, lever->most, t);

    if (status != FC_OK)
        return status;
    told.now = value_of(c, lever, &told.dimension).nominal;
    if (t->outcome != FCI_USELESS)
        told.value = told.now + t->steps * step_of(c, told.dimension);
    told.works = t->outcome == FCI_CURES;
    told.fixture = t->fixture;
    told.text = say(c, lever);
    if (told.works && !lever->turn(c, lever, t->steps, &list)) {
        fci_change_list_free(&list);
        return FC_ENOMEM;
    }
    return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
}

/* All levers of one kind. */
static fc_status
cure_with_all(struct fci_cures *c, fc_lever kind)
{
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; i < c->n_levers && status == FC_OK; i++)
        if (c->levers[i].kind == kind)
            status = cure_with(c, &c->levers[i]);
    return status;
}

fc_status
fci_cure_source(struct fci_cures *c)
{
    return cure_with_all(c, FC_RAISE_SOURCE);
}

fc_status
fci_cure_reducers(struct fci_cures *c)
{
    return cure_with_all(c, FC_RAISE_REDUCER);
}

fc_status
fci_cure_pumps(struct fci_cures *c)
{
    return cure_with_all(c, FC_RAISE_PUMP);
}
