/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/pressure.c -- more pressure: at the source, behind a reducer,
 * from a pump in place. */
#include "remedy/remedies.h"
#include "units/units.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_const_mksa.h>

/* As far as anything is turned: more than any building bears. */
#define MOST_PRESSURE (400 * GSL_CONST_MKSA_PSI)

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

/* ---- What is turned --------------------------------------------------- */

struct fci_pressure_kind {
    fc_lever lever;
    enum fci_kind element;
    fci_turn *turn;
    /* What is turned, as it stands; *dimension is what it is. */
    fc_range (*value)(const void *given, fc_dimension *dimension);
    const char *(*what)(const void *given); /* "the setting" */
    const char *limit; /* why it gives no more; NULL: it gives any pressure */
};

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

static fc_range
value_of(const struct fci_cures *c, const struct fci_pressure_lever *lever,
         fc_dimension *dimension)
{
    return lever->kind->value(fci_given(c->site, element_of(c, lever)->part),
                              dimension);
}

static double
step_of(const struct fci_cures *c, fc_dimension dimension)
{
    return dimension == FC_LENGTH ? fci_head_step(c) : fci_pressure_step(c);
}

/* By how much so many steps go: to a figure that is written. */
static double
turned_by(const struct fci_cures *c, const struct fci_pressure_lever *lever,
          int steps)
{
    fc_dimension dimension;
    const double now = value_of(c, lever, &dimension).nominal;

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
    const double by = turned_by(c, lever, steps);
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

static bool
turn_reducer(const struct fci_cures *c, const void *lever, int steps,
             struct fci_change_list *list)
{
    const struct fci_element *element = element_of(c, lever);
    fc_reducer *to = to_change(c, element);

    if (!to)
        return false;
    to->set = fci_moved(c, FC_PRESSURE, to->set, turned_by(c, lever, steps));
    return put(list, element, "set", to);
}

/* One that holds is set to hold more; any other gets so much more head at
 * every flow. */
static bool
turn_pump(const struct fci_cures *c, const void *lever, int steps,
          struct fci_change_list *list)
{
    const struct fci_element *element = element_of(c, lever);
    const double by = turned_by(c, lever, steps);
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

static const struct fci_pressure_kind raise_source = {
    FC_RAISE_SOURCE, FCI_SOURCE,     turn_source,
    value_of_source, what_of_source, NULL
};
static const struct fci_pressure_kind raise_reducer = {
    FC_RAISE_REDUCER, FCI_REDUCER,     turn_reducer,
    value_of_reducer, what_of_reducer, "its inlet gives no more"
};
static const struct fci_pressure_kind raise_pump = {
    FC_RAISE_PUMP, FCI_PUMP,     turn_pump,
    value_of_pump, what_of_pump, "its inlet and its curve give no more"
};

/* A pump that stands still is none. */
static bool
is_lever(const struct fci_cures *c, size_t element,
         struct fci_pressure_lever *lever)
{
    static const struct fci_pressure_kind *const kinds[] = {
        &raise_source, &raise_reducer, &raise_pump, NULL
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
    value_of(c, lever, &dimension);
    lever->most =
        steps_in(dimension == FC_LENGTH ? FCI_MOST_HEAD : MOST_PRESSURE,
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

/* The reducer that bounds the pressure between the lever and a fixture, the
 * last one before the fixture.  NULL: none; *fed: the lever is on the way. */
static const char *
bounded_by(const struct fci_cures *c, size_t lever, const char *fixture,
           bool *fed)
{
    const fc_site *site = c->site;
    const char *name = NULL;
    size_t at = 0;

    *fed = false;
    while (strcmp(site->fixtures[at].given->name, fixture) != 0)
        at++;
    if (fci_is_second(&site->elements[lever]))
        lever = site->elements[lever].to;
    for (at = site->fixtures[at].element; at != FCI_NONE && at != lever;
         at = site->elements[at].parent) {
        if (!name && site->elements[at].part->kind == FCI_REDUCER)
            name = site->elements[at].name;
    }
    *fed = at == lever;
    return name;
}

static const char *
useless(const struct fci_cures *c, const struct fci_pressure_lever *lever,
        const char *fixture)
{
    const char *name = element_of(c, lever)->name, *bound;
    bool fed;

    bound = bounded_by(c, lever->element, fixture, &fed);
    if (!fed)
        return fci_arena_printf(c->arena,
                                "%s does not feed %s, which stays short.",
                                name, fixture);
    if (bound)
        return fci_arena_printf(c->arena,
                                "Raising %s leaves %s short: limited by %s.",
                                name, fixture, bound);
    if (element_of(c, lever)->beside > 0)
        return fci_arena_printf(c->arena,
                                "Raising %s alone leaves %s short: it passes "
                                "no more, or its inlet gives no more.",
                                name, fixture);
    if (!lever->kind->limit)
        return fci_arena_printf(
            c->arena, "Even %s more at %s leaves %s short.",
            fci_show(c->site->settings.units, FC_PRESSURE, MOST_PRESSURE).text,
            name, fixture);
    return fci_arena_printf(c->arena, "Raising %s leaves %s short: %s.", name,
                            fixture, lever->kind->limit);
}

const char *
fci_say_turned(const struct fci_cures *c,
               const struct fci_pressure_lever *lever, int steps)
{
    const fc_unit_system units = c->site->settings.units;
    fc_dimension dimension;
    const fc_range now = value_of(c, lever, &dimension);
    const double by = turned_by(c, lever, steps);

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

static const char *
say(const struct fci_cures *c, const struct fci_pressure_lever *lever)
{
    const struct fci_turned *t = &lever->turned;
    const char *turned, *end, *what;

    if (t->outcome == FCI_USELESS)
        return useless(c, lever, t->fixture);
    if (t->outcome == FCI_SERVES && t->idle) {
        what = fci_arena_printf(c->arena, "Raising %s",
                                element_of(c, lever)->name);
        return what ? fci_cure_idle(c, t, what) : NULL;
    }
    turned = fci_say_turned(c, lever, t->steps);
    end = fci_cure_end(c, t, true);
    return turned && end ? fci_arena_printf(c->arena, "%s%s.", turned, end)
                         : NULL;
}

static const char *
tell_turned(const struct fci_cures *c, const void *what, int steps,
            fc_remedy *told)
{
    const struct fci_pressure_lever *lever = what;

    told->value = told->now + turned_by(c, lever, steps);
    return fci_say_turned(c, lever, steps);
}

static bool
push(struct fci_cures *c, const struct fci_pressure_lever *lever,
     const fc_remedy *told)
{
    const struct fci_pushed pushed = {
        *told,
        element_of(c, lever)->part->kind,
        lever->turn,
        lever,
        lever->turned.steps,
        lever->most,
        tell_turned,
    };

    return fci_push(c, &pushed);
}

static fc_status
cure_with(struct fci_cures *c, struct fci_pressure_lever *lever)
{
    fc_remedy told = fci_remedy_of(lever->kind->lever,
                                   element_of(c, lever)->name, FC_PRESSURE);
    struct fci_change_list list = { 0 };
    struct fci_turned *const t = &lever->turned;
    const fc_status status =
        fci_cure_search(c, lever->turn, lever, lever->most, t);

    if (status != FC_OK)
        return status;
    told.reach = lever->of_utility ? FC_BY_UTILITY : FC_IN_REACH;
    told.now = value_of(c, lever, &told.dimension).nominal;
    if (t->outcome != FCI_USELESS && !(t->outcome == FCI_SERVES && t->idle))
        told.value = told.now + turned_by(c, lever, t->steps);
    told.works = t->outcome == FCI_CURES;
    told.fixture = t->fixture;
    told.text = say(c, lever);
    if (t->outcome == FCI_SERVES && !t->idle && !lever->of_utility
        && !push(c, lever, &told))
        return FC_ENOMEM;
    if (told.works && !lever->turn(c, lever, t->steps, &list)) {
        fci_change_list_free(&list);
        return FC_ENOMEM;
    }
    return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
}

/* All levers of one kind. */
static fc_status
cure_with_all(struct fci_cures *c, const struct fci_pressure_kind *kind)
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
    return cure_with_all(c, &raise_source);
}

/* ---- Reducers one behind another -------------------------------------- */

/* All of them as far: `lever` is one of them. */
static bool
turn_reducers(const struct fci_cures *c, const void *lever, int steps,
              struct fci_change_list *list)
{
    bool ok = true;
    size_t i;

    (void)lever;
    for (i = 0; ok && i < c->n_levers; i++)
        if (c->levers[i].kind == &raise_reducer)
            ok = turn_reducer(c, &c->levers[i], steps, list);
    return ok;
}

/* How many there are, and whether one of them does alone. */
static size_t
count_reducers(const struct fci_cures *c, bool *cured)
{
    size_t i, n = 0;

    *cured = false;
    for (i = 0; i < c->n_levers; i++)
        if (c->levers[i].kind == &raise_reducer) {
            n++;
            *cured |= c->levers[i].turned.outcome != FCI_USELESS;
        }
    return n;
}

static const char *
say_together(const struct fci_cures *c, const struct fci_turned *t, size_t n)
{
    const fc_unit_system units = c->site->settings.units;
    const char *end;

    if (t->outcome == FCI_USELESS)
        return fci_arena_printf(
            c->arena, "Raising all %zu PRVs together leaves %s short.", n,
            t->fixture);
    end = fci_cure_end(c, t, true);
    return end ? fci_arena_printf(
               c->arena,
               "Raise the set pressure of all %zu PRVs upstream of what is "
               "short by %s%s.",
               n,
               fci_show(units, FC_PRESSURE, t->steps * fci_pressure_step(c))
                   .text,
               end)
               : NULL;
}

static fc_status
cure_together(struct fci_cures *c, size_t n)
{
    fc_remedy told = fci_remedy_of(FC_RAISE_REDUCER, NULL, FC_PRESSURE);
    struct fci_change_list list = { 0 };
    struct fci_turned t;
    const fc_status status =
        fci_cure_search(c, turn_reducers, NULL,
                        steps_in(MOST_PRESSURE, fci_pressure_step(c)), &t);

    if (status != FC_OK)
        return status;
    told.works = t.outcome == FCI_CURES;
    told.fixture = t.fixture;
    told.text = say_together(c, &t, n);
    if (!fci_buy(c, &told, FC_RAISE_REDUCER, FCI_REDUCER, (double)n))
        return FC_ENOMEM;
    if (told.works && !turn_reducers(c, NULL, t.steps, &list)) {
        fci_change_list_free(&list);
        return FC_ENOMEM;
    }
    return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
}

fc_status
fci_cure_reducers(struct fci_cures *c)
{
    const fc_status status = cure_with_all(c, &raise_reducer);
    bool cured;
    const size_t n = count_reducers(c, &cured);

    return status == FC_OK && n > 1 && !cured ? cure_together(c, n) : status;
}

/* ---- Pumps that stand still ------------------------------------------- */

static fc_status
start_pump(struct fci_cures *c, const struct fci_element *element)
{
    fc_remedy told = fci_remedy_of(FC_RAISE_PUMP, element->name, FC_NUMBER);
    struct fci_change_list list = { 0 };
    const char *but = NULL;
    fc_status status = FC_ENOMEM;

    if (fci_change_add(&list, FCI_PUMP, element->name, "running", "yes"))
        status = fci_cure_check(c, &list, &told.works, &but);
    if (status == FC_OK)
        told.text =
            told.works
                ? fci_arena_printf(c->arena, "Run %s.", element->name)
                : fci_arena_printf(c->arena, "Running %s does not help: %s.",
                                   element->name, but);
    if (status != FC_OK || !told.works)
        fci_change_list_free(&list);
    if (status != FC_OK)
        return status;
    return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
}

fc_status
fci_cure_pumps(struct fci_cures *c)
{
    fc_status status = cure_with_all(c, &raise_pump);
    size_t i;

    for (i = 0; i < c->site->n_elements && status == FC_OK; i++) {
        const struct fci_element *element = &c->site->elements[i];
        const fc_pump *pump = element->part->data;

        if (c->feeds[i] && element->part->kind == FCI_PUMP
            && pump->running == FC_NO)
            status = start_pump(c, element);
    }
    return status;
}
