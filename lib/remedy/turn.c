/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/turn.c -- what turns a pressure, and how far: a source, a
 * reducer, a pump in place. */
#include "remedy/pressure.h"
#include "units/units.h"

#include <stdlib.h>

#include <gsl/gsl_const_mksa.h>

static const struct fci_element *
element_of(const struct fci_cures *c, const void *lever)
{
    return &c->site->elements[((const struct fci_pressure_lever *)lever)
                                  ->element];
}

/* ---- What is turned --------------------------------------------------- */

static fc_range
value_of_source(const void *given, fc_dimension *dimension)
{
    const fc_source *source = given;

    *dimension = source->kind == FC_TANK ? FC_LENGTH : FC_PRESSURE;
    return source->kind == FC_TANK    ? source->water_level
           : source->kind == FC_FIXED ? source->pressure
                                      : source->static_pressure;
}

static const char *
what_of_source(const void *given)
{
    const fc_source *source = given;

    return source->kind == FC_TANK    ? "the water level"
           : source->kind == FC_FIXED ? "the pressure"
           : source->residual.given
               ? "the static pressure (and the residual by as much)"
               : "the static pressure";
}

static fc_range
value_of_reducer(const void *given, fc_dimension *dimension)
{
    *dimension = FC_PRESSURE;
    return ((const fc_reducer *)given)->set;
}

static const char *
what_of_reducer(const void *given)
{
    (void)given;
    return "the set pressure";
}

static fc_range
value_of_pump(const void *given, fc_dimension *dimension)
{
    const fc_pump *pump = given;

    *dimension = pump->hold.given ? FC_PRESSURE : FC_LENGTH;
    return pump->hold.given ? pump->hold : fc_exactly(pump->curve[0].y);
}

static const char *
what_of_pump(const void *given)
{
    return ((const fc_pump *)given)->hold.given
               ? "the discharge set pressure"
               : "the shutoff head (and the head at every flow by as much)";
}

fc_range
fci_value_turned(const struct fci_cures *c,
                 const struct fci_pressure_lever *lever,
                 fc_dimension *dimension)
{
    return lever->kind->value(fci_given(c->site, element_of(c, lever)->part),
                              dimension);
}

int
fci_steps_in(double most, double step)
{
    return (int)(most / step);
}

static double
step_of(const struct fci_cures *c, fc_dimension dimension)
{
    return dimension == FC_LENGTH ? fci_head_step(c) : fci_pressure_step(c);
}

double
fci_turned_by(const struct fci_cures *c,
              const struct fci_pressure_lever *lever, int steps)
{
    fc_dimension dimension;
    const double now = fci_value_turned(c, lever, &dimension).nominal;

    return fci_figure(c, dimension, FC_NEAREST,
                      now + steps * step_of(c, dimension))
           - now;
}

/* ---- Turning ---------------------------------------------------------- */

/* A copy of the part's struct as it was given, to be changed; NULL when out of
 * memory. */
static void *
to_change(const struct fci_cures *c, const struct fci_element *element)
{
    return fci_arena_copy(c->arena, fci_given(c->site, element->part),
                          fci_part_kinds[element->part->kind].size);
}

static bool
put(struct fci_change_list *list, const struct fci_element *element,
    const char *key, const void *data)
{
    return fci_change_put(list, element->part->kind, element->name, key, data);
}

static bool
turn_source(const struct fci_cures *c, const void *lever, int steps,
            struct fci_change_list *list)
{
    const struct fci_element *element = element_of(c, lever);
    const double by = fci_turned_by(c, lever, steps);
    fc_source *to = to_change(c, element);
    fc_range was;

    if (!to)
        return false;
    if (to->kind == FC_TANK) {
        to->water_level = fci_moved(c, FC_LENGTH, to->water_level, by);
        return put(list, element, "water level", to);
    }
    if (to->kind == FC_FIXED) {
        to->pressure = fci_moved(c, FC_PRESSURE, to->pressure, by);
        return put(list, element, "pressure", to);
    }
    was = to->static_pressure;
    to->static_pressure = fci_moved(c, FC_PRESSURE, was, by);
    if (to->n_flow_test > 0 && !to->test_static.given) {
        to->test_static = was;
        if (!put(list, element, "test static", to))
            return false;
    }
    if (!to->residual.given || to->test_static.given)
        return put(list, element, "static", to);
    /* By just as much: a rounded sag would be another main. */
    to->residual =
        fc_between(to->residual.low + (to->static_pressure.low - was.low),
                   to->residual.high + (to->static_pressure.high - was.high));
    return put(list, element, "residual", to)
           && put(list, element, "static", to);
}

bool
fci_turn_reducer(const struct fci_cures *c, const void *lever, int steps,
                 struct fci_change_list *list)
{
    const struct fci_element *element = element_of(c, lever);
    fc_reducer *to = to_change(c, element);

    if (!to)
        return false;
    to->set =
        fci_moved(c, FC_PRESSURE, to->set, fci_turned_by(c, lever, steps));
    return put(list, element, "set", to);
}

/* One that holds is set to hold more; any other gets so much more head at
 * every flow. */
static bool
turn_pump(const struct fci_cures *c, const void *lever, int steps,
          struct fci_change_list *list)
{
    const struct fci_element *element = element_of(c, lever);
    const double by = fci_turned_by(c, lever, steps);
    fc_pump *to = to_change(c, element);
    fc_point *curve;
    size_t i;

    if (!to)
        return false;
    if (to->hold.given) {
        to->hold = fci_moved(c, FC_PRESSURE, to->hold, by);
        return put(list, element, "hold", to);
    }
    curve = fci_arena_copy(c->arena, to->curve, to->n_curve * sizeof *curve);
    for (i = 0; curve && i < to->n_curve; i++)
        curve[i].y = fci_figure(c, FC_LENGTH, FC_NEAREST, curve[i].y + by);
    to->curve = curve;
    return curve && put(list, element, "curve", to);
}

/* ---- The levers ------------------------------------------------------- */

const struct fci_pressure_kind fci_raise_source = {
    FC_RAISE_SOURCE, FCI_SOURCE,     turn_source,
    value_of_source, what_of_source, NULL
};
const struct fci_pressure_kind fci_raise_reducer = {
    FC_RAISE_REDUCER, FCI_REDUCER,     fci_turn_reducer,
    value_of_reducer, what_of_reducer, "its inlet gives no more"
};
const struct fci_pressure_kind fci_raise_pump = {
    FC_RAISE_PUMP, FCI_PUMP,     turn_pump,
    value_of_pump, what_of_pump, "its inlet and its curve give no more"
};

/* A pump that stands still is none. */
static bool
is_lever(const struct fci_cures *c, size_t element,
         struct fci_pressure_lever *lever)
{
    static const struct fci_pressure_kind *const kinds[] = {
        &fci_raise_source, &fci_raise_reducer, &fci_raise_pump, NULL
    };
    const struct fci_part *part = c->site->elements[element].part;
    fc_dimension dimension;
    size_t i = 0;

    while (kinds[i] && kinds[i]->element != part->kind)
        i++;
    if (!kinds[i]
        || (part->kind == FCI_PUMP
            && ((const fc_pump *)part->data)->running == FC_NO))
        return false;
    lever->element = element;
    lever->kind = kinds[i];
    lever->lever = kinds[i]->lever;
    lever->turn = kinds[i]->turn;
    lever->of_utility =
        part->kind == FCI_SOURCE
        && ((const fc_source *)part->data)->kind == FC_STREET_MAIN;
    fci_value_turned(c, lever, &dimension);
    lever->most = fci_steps_in(dimension == FC_LENGTH ? FCI_MOST_HEAD
                                                      : FCI_MOST_PRESSURE,
                               step_of(c, dimension));
    return true;
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

const char *
fci_say_turned(const struct fci_cures *c,
               const struct fci_pressure_lever *lever, int steps)
{
    const fc_unit_system units = c->site->settings.units;
    fc_dimension dimension;
    const fc_range now = fci_value_turned(c, lever, &dimension);
    const double by = fci_turned_by(c, lever, steps);

    return fci_arena_printf(
        c->arena, "%s %s of %s by %s (now %s, then %s)",
        lever->of_utility
            ? "Not in your hands: the utility would have to raise"
            : "Raise",
        lever->kind->what(fci_given(c->site, element_of(c, lever)->part)),
        element_of(c, lever)->name, fci_show(units, dimension, by).text,
        fci_show_range(units, dimension, now).text,
        fci_show_range(units, dimension, fci_moved(c, dimension, now, by))
            .text);
}
