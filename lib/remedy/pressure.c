/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/pressure.c -- more pressure: at the source, behind a reducer,
 * from a pump in place. */
#include "remedy/pressure.h"
#include "units/units.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const struct fci_element *
element_of(const struct fci_cures *c, const void *lever)
{
    return &c->site->elements[((const struct fci_pressure_lever *)lever)
                                  ->element];
}

/* ---- One lever --------------------------------------------------------- */

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
            fci_show(c->site->settings.units, FC_PRESSURE, FCI_MOST_PRESSURE)
                .text,
            name, fixture);
    return fci_arena_printf(c->arena, "Raising %s leaves %s short: %s.", name,
                            fixture, lever->kind->limit);
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

    told->value = told->now + fci_turned_by(c, lever, steps);
    return fci_say_turned(c, lever, steps);
}

/* What a PRV may be set to for a fixture downstream of it to stay under its
 * maximum, whatever feeds it; INFINITY: it is not downstream. */
static double
most_set_for(const struct fci_cures *c, size_t reducer,
             const struct fci_fixture *fixture)
{
    const double height = c->judge.rest[fixture->element].elevation
                          + fixture->given->rise.nominal
                          - c->judge.rest[reducer].elevation;
    size_t at = fixture->element;

    while (at != FCI_NONE && at != reducer)
        at = c->site->elements[at].parent;
    return at == FCI_NONE ? INFINITY
                          : fci_judge_fixture(&c->judge, fixture, c->state)
                                    .need.maximum_static
                                + c->site->water_weight * height;
}

/* A PRV is turned no further than its fixtures bear: another lever may feed it
 * with more than it has now. */
static int
most_borne(const struct fci_cures *c, const struct fci_pressure_lever *lever)
{
    double most = INFINITY;
    fc_dimension dimension;
    size_t i;

    if (lever->kind != &fci_raise_reducer)
        return lever->most;
    for (i = 0; i < c->site->n_fixtures; i++)
        most =
            fmin(most, most_set_for(c, lever->element, &c->site->fixtures[i]));
    most -= fci_value_turned(c, lever, &dimension).high;
    return fci_steps_in(fmax(fmin(most, FCI_MOST_PRESSURE), 0),
                        fci_pressure_step(c));
}

/* Where it does not do alone; a main that is not in reach is no partner. */
static fc_status
add_partner(struct fci_cures *c, const struct fci_pressure_lever *lever,
            const fc_remedy *told)
{
    const struct fci_turned *t = &lever->turned;
    struct fci_partner partner = {
        .told = *told,
        .kind = element_of(c, lever)->part->kind,
        .turn = lever->turn,
        .lever = lever,
        .serves = t->outcome == FCI_SERVES ? t->steps : 0,
        .most = lever->most,
        .tell = tell_turned,
    };
    fc_status status;

    if (lever->of_utility || t->outcome == FCI_CURES
        || (t->outcome == FCI_SERVES && t->idle))
        return FC_OK;
    status = fci_find_borne(
        c, lever->turn, lever,
        partner.serves ? partner.serves : most_borne(c, lever), &partner.far);
    return status != FC_OK                ? status
           : fci_add_partner(c, &partner) ? FC_OK
                                          : FC_ENOMEM;
}

static fc_status
cure_with(struct fci_cures *c, struct fci_pressure_lever *lever)
{
    fc_remedy told = fci_remedy_of(lever->kind->lever,
                                   element_of(c, lever)->name, FC_PRESSURE);
    struct fci_change_list list = { 0 };
    struct fci_turned *const t = &lever->turned;
    fc_status status = fci_cure_search(c, lever->turn, lever, lever->most, t);

    if (status != FC_OK)
        return status;
    told.reach = lever->of_utility ? FC_BY_UTILITY : FC_IN_REACH;
    told.now = fci_value_turned(c, lever, &told.dimension).nominal;
    if (t->outcome != FCI_USELESS && !(t->outcome == FCI_SERVES && t->idle))
        told.value = told.now + fci_turned_by(c, lever, t->steps);
    told.works = t->outcome == FCI_CURES;
    told.fixture = t->fixture;
    told.text = say(c, lever);
    status = add_partner(c, lever, &told);
    if (status != FC_OK)
        return status;
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
    return cure_with_all(c, &fci_raise_source);
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
        if (c->levers[i].kind == &fci_raise_reducer)
            ok = fci_turn_reducer(c, &c->levers[i], steps, list);
    return ok;
}

/* How many there are, and whether one of them does alone. */
static size_t
count_reducers(const struct fci_cures *c, bool *cured)
{
    size_t i, n = 0;

    *cured = false;
    for (i = 0; i < c->n_levers; i++)
        if (c->levers[i].kind == &fci_raise_reducer) {
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
    const fc_status status = fci_cure_search(
        c, turn_reducers, NULL,
        fci_steps_in(FCI_MOST_PRESSURE, fci_pressure_step(c)), &t);

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
    const fc_status status = cure_with_all(c, &fci_raise_reducer);
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
    fc_status status = cure_with_all(c, &fci_raise_pump);
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
