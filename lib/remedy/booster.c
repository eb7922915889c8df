/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/booster.c -- a booster pump put on the building's main.
 *
 * Its curve is that of a centrifugal pump of which no more is known than one
 * point: a fifth more head with no flow than at its duty, falling with the
 * square of the flow (common practice).
 */
#include "remedy/remedies.h"
#include "check/refuse.h"
#include "units/units.h"
#include "ground/ties.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define STILL_HEAD 1.2 /* times that at its duty */

struct booster {
    size_t behind; /* the element that feeds it */
    double flow;   /* peak there, worst end, rounded up [m3/s] */
    const char *name;
};

/* ---- Where it goes ---------------------------------------------------- */

/* Whether anything but one further element hangs on each. */
static void
find_branches(const fc_site *site, size_t *hanging)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].parent != FCI_NONE)
            hanging[site->elements[i].parent]++;
    for (i = 0; i < site->n_fixtures; i++)
        hanging[site->fixtures[i].element] += 2;
    for (i = 0; i < site->n_draws; i++)
        hanging[site->draws[i].element] += 2;
    for (i = 0; i < site->n_fixtures; i++)
        if (site->fixtures[i].heater != FCI_NONE)
            hanging[site->fixtures[i].heater] += 2;
}

/* The last element of the main before the one where it branches, or the
 * source itself. */
static fc_status
find_place(const fc_site *site, size_t *behind)
{
    size_t *hanging = calloc(site->n_elements, sizeof *hanging);
    size_t i, at;

    if (!hanging)
        return FC_ENOMEM;
    find_branches(site, hanging);
    at = site->order[0];
    *behind = at;
    for (i = 1; i < site->n_elements && hanging[at] == 1; i++)
        if (site->elements[site->order[i]].parent == at) {
            *behind = at;
            at = site->order[i];
        }
    free(hanging);
    return FC_OK;
}

/* ---- Turning ---------------------------------------------------------- */

#define POINTS 4u

/* It runs with the curve through the points, which live in the arena. */
static bool
turn_booster(const struct fci_cures *c, const void *lever, int steps,
             struct fci_change_list *list)
{
    static const double parts[POINTS] = { 0, 0.5, 1, 1.5 };
    const struct booster *b = lever;
    const double head = steps * fci_head_step(c);
    fc_pump *pump = fci_arena_alloc(c->arena, sizeof *pump);
    fc_point *curve = fci_arena_array(c->arena, POINTS, sizeof *curve);
    size_t i;

    if (!pump || !curve)
        return false;
    for (i = 0; i < POINTS; i++) {
        const double h = STILL_HEAD - (STILL_HEAD - 1) * parts[i] * parts[i];

        curve[i].x = fci_figure(c, FC_FLOW, FC_NEAREST, parts[i] * b->flow);
        curve[i].y = fci_figure(c, FC_LENGTH, FC_NEAREST, h * head);
    }
    pump->name = b->name;
    pump->from = c->site->elements[b->behind].name;
    pump->curve = curve;
    pump->n_curve = POINTS;
    return fci_change_add_part(list, FCI_PUMP, pump)
           && fci_hang_behind(c, c->site, b->behind, b->name, list);
}

static int
most_steps(const struct fci_cures *c)
{
    return (int)(FCI_MOST_HEAD / fci_head_step(c));
}

/* ---- In words --------------------------------------------------------- */

static struct fci_shown
show(const struct fci_cures *c, fc_dimension dimension, double value)
{
    return fci_show(c->site->settings.units, dimension, value);
}

/* What the lowest fixture has with no flow, the booster running. */
static fc_status
find_static(const struct fci_cures *c, const struct fci_change_list *list,
            const char **text)
{
    fc_site *site = NULL;
    struct fci_judge judge = { 0 };
    struct fci_judgement j;
    const char *name = NULL;
    double most = -INFINITY;
    size_t i;
    fc_status status =
        fci_site_changed(c->site, list->changes, list->n, &site, c->messages);

    if (status == FC_OK)
        status = fci_judge_begin(&judge, site, c->messages);
    for (i = 0; status == FC_OK && i < site->n_fixtures; i++) {
        j = fci_judge_fixture(&judge, &site->fixtures[i], c->state);
        if (fci_is_less(most, j.trapped.high)) {
            most = j.trapped.high;
            name = site->fixtures[i].given->name;
        }
    }
    *text = status == FC_OK && name
                ? fci_arena_printf(c->arena, ", putting %s at %s static", name,
                                   show(c, FC_PRESSURE, most).text)
                : "";
    fci_judge_end(&judge);
    fc_site_free(site);
    return *text ? status : FC_ENOMEM;
}

/* Whether a PRV is on the way to a fixture. */
static bool
is_bounded(const struct fci_cures *c, const char *fixture)
{
    size_t at = 0;

    while (strcmp(c->site->fixtures[at].given->name, fixture) != 0)
        at++;
    at = c->site->fixtures[at].element;
    while (at != FCI_NONE && c->site->elements[at].part->kind != FCI_REDUCER)
        at = c->site->elements[at].parent;
    return at != FCI_NONE;
}

static fc_status
say(const struct fci_cures *c, const struct booster *b, fc_remedy *told,
    const struct fci_turned *t, const struct fci_change_list *list)
{
    const char *place = c->site->elements[b->behind].name, *still, *end;
    fc_status status;

    if (t->outcome == FCI_USELESS) {
        told->text = fci_arena_printf(
            c->arena,
            is_bounded(c, t->fixture)
                ? "No booster downstream of %s helps: a PRV on the way keeps "
                  "%s short."
                : "No booster downstream of %s helps: %s does not work with "
                  "any head.",
            place, t->fixture);
        return told->text ? FC_OK : FC_ENOMEM;
    }
    if (t->outcome == FCI_SERVES && t->idle) {
        told->text = fci_cure_idle(c, t, "A booster");
        return told->text ? FC_OK : FC_ENOMEM;
    }
    status = find_static(c, list, &still);
    end = fci_cure_end(c, t, true);
    if (status != FC_OK || !end)
        return status != FC_OK ? status : FC_ENOMEM;
    told->text = fci_arena_printf(
        c->arena,
        "Install a booster downstream of %s with %s of head at %s. Its "
        "shutoff head is a fifth more (common practice), %s%s%s.",
        place, show(c, FC_LENGTH, told->value).text,
        show(c, FC_FLOW, b->flow).text,
        show(c, FC_LENGTH, STILL_HEAD * told->value).text, still, end);
    return told->text ? FC_OK : FC_ENOMEM;
}

static const char *
tell_booster(const struct fci_cures *c, const void *lever, int steps,
             fc_remedy *told)
{
    const struct booster *b = lever;

    told->value = steps * fci_head_step(c);
    return fci_arena_printf(
        c->arena, "Install a booster downstream of %s with %s of head at %s",
        c->site->elements[b->behind].name,
        show(c, FC_LENGTH, told->value).text, show(c, FC_FLOW, b->flow).text);
}

static bool
add_partner(struct fci_cures *c, const struct booster *b,
            const fc_remedy *told, int steps)
{
    const struct fci_partner partner = {
        .told = *told,
        .kind = FCI_PUMP,
        .turn = turn_booster,
        .lever = fci_arena_copy(c->arena, b, sizeof *b),
        .serves = steps,
        .most = most_steps(c),
        .tell = tell_booster,
    };

    return partner.lever && fci_add_partner(c, &partner);
}

static fc_status
cure_with(struct fci_cures *c, const struct booster *b)
{
    fc_remedy told = fci_remedy_of(
        FC_ADD_BOOSTER, c->site->elements[b->behind].name, FC_LENGTH);
    struct fci_change_list list = { 0 };
    struct fci_turned t;
    fc_status status = fci_cure_search(c, turn_booster, b, most_steps(c), &t);

    if (status == FC_OK && t.outcome != FCI_USELESS
        && !(t.outcome == FCI_SERVES && t.idle)) {
        told.value = t.steps * fci_head_step(c);
        status = turn_booster(c, b, t.steps, &list) ? FC_OK : FC_ENOMEM;
    }
    told.works = t.outcome == FCI_CURES;
    told.fixture = t.fixture;
    if (status == FC_OK)
        status = say(c, b, &told, &t, &list);
    if (status == FC_OK && t.outcome == FCI_SERVES && !t.idle
        && !add_partner(c, b, &told, t.steps))
        status = FC_ENOMEM;
    if (status != FC_OK || !told.works)
        fci_change_list_free(&list);
    if (status != FC_OK)
        return status;
    return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
}

fc_status
fci_cure_booster(struct fci_cures *c)
{
    struct booster b = { 0, 0, fci_new_name(c, "booster") };
    const fc_status status = find_place(c->site, &b.behind);

    if (status != FC_OK || !b.name)
        return status != FC_OK ? status : FC_ENOMEM;
    b.flow = fci_figure(c, FC_FLOW, FC_UP,
                        c->judge.demand[c->state][b.behind].flow[FCI_WORST]);
    return b.flow > 0 ? cure_with(c, &b) : FC_OK;
}
