/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/resolve_heights.c -- rises, where elevations are given in their
 * place.
 *
 * At each end of its inputs everything stands at that end of its own
 * elevation, and its rise is what lies between it and what feeds it.  So on
 * the way to a fixture the elevations in between cancel, as they do in the
 * building: its own alone counts, and a floor that is known as a range is one
 * unknown for all that stands on it.
 */
#include "ground/names.h"
#include "site/resolve.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

/* ---- What is given ----------------------------------------------------- */

/* The floors of a site while they are looked up. */
struct floors {
    const fc_floors *given;
    struct fci_names names;
};

static bool
is_wrong_name(const char *name)
{
    return !name || !*name || strstr(name, "..") /* a run of floors */
           || name[strspn(name, "abcdefghijklmnopqrstuvwxyz"
                                "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_.")];
}

static fc_status
blame_floor(const struct fci_part *part, const fc_floor *floor, bool known,
            fc_diagnostics *messages)
{
    const bool told = floor->name && *floor->name;

    if (is_wrong_name(floor->name))
        return fci_part_fail(part, messages, told ? floor->name : NULL,
                             "%sis not the name of one floor; letters, "
                             "digits, \"-\", \"_\" and \".\" are expected",
                             told ? "" : "has a name that ");
    if (known)
        return fci_part_fail(part, messages, floor->name,
                             "is given twice; each floor is expected once");
    if (!part->section
        && !(floor->elevation.given && isfinite(floor->elevation.low)
             && isfinite(floor->elevation.high)
             && floor->elevation.low <= floor->elevation.nominal
             && floor->elevation.nominal <= floor->elevation.high))
        return fci_part_fail(part, messages, floor->name,
                             "is not a range of finite figures; low, nominal "
                             "and high in that order are expected");
    if (fmax(fabs(floor->elevation.low), fabs(floor->elevation.high))
        > fci_largest(FC_LENGTH))
        return fci_part_fail(part, messages, floor->name,
                             "is too large to be true; a length that a "
                             "building can have is expected");
    return FC_OK;
}

static void
list_floors(struct fci_resolve *r, const struct fci_part *part,
            struct floors *floors)
{
    size_t i, place;
    bool known;

    floors->given = part->data;
    for (i = 0; i < floors->given->n_floors; i++) {
        const fc_floor *floor = &floors->given->floors[i];

        place = i;
        known = false;
        if (!is_wrong_name(floor->name)
            && fci_names_enter(&floors->names, floor->name, &place, &known)
                   != FC_OK) {
            fci_resolve_note(r, FC_ENOMEM);
            return;
        }
        fci_resolve_note(r, blame_floor(part, floor, known, r->messages));
    }
}

static const fc_floor *
find_floor(struct fci_resolve *r, const struct floors *floors,
           const struct fci_part *part, const char *name)
{
    const size_t place = fci_names_find(&floors->names, name);
    struct fci_nearest nearest = fci_nearest_to(name);

    if (place != FCI_NO_NAME)
        return &floors->given->floors[place];
    if (!floors->given)
        fci_resolve_note(
            r, fci_part_fail(part, r->messages, "elevation",
                             "is over floor %.60s, but the file has no "
                             "[floors]; that section, with %.60s = and its "
                             "elevation, is expected",
                             name, name));
    else if (fci_nearest_try_names(&nearest, &floors->names),
             fci_nearest_word(&nearest))
        fci_resolve_note(
            r, fci_part_fail(part, r->messages, "elevation",
                             "floor \"%.60s\" is not in [floors]; a floor of "
                             "it is expected; did you mean \"%s\"?",
                             name, fci_nearest_word(&nearest)));
    else
        fci_resolve_note(
            r, fci_part_fail(part, r->messages, "elevation",
                             "floor \"%.60s\" is not in [floors]; a floor of "
                             "it is expected",
                             name));
    return NULL;
}

/* A tolerance of elevations is of the floor, where nothing is given over it.
 */
static void
take_height(struct fci_resolve *r, const struct floors *floors,
            const struct fci_part *part, struct fci_height *height)
{
    const fc_range *own = fci_part_member(part, "elevation");
    const char *const *name = fci_part_floor(part);
    const fc_floor *floor;

    if (!name || part->kind == FCI_SOURCE)
        return;
    height->own = *own;
    if (!*name) {
        r->site->by_elevation |= own->given;
        return;
    }
    r->site->by_elevation = true;
    floor = find_floor(r, floors, part, *name);
    if (!floor)
        return;
    height->name = floor->name;
    height->floor = floor->elevation;
    height->ranged = !fci_is_exact(floor->elevation);
    if (!height->own.given)
        fci_widen(&height->floor, &r->site->tolerance.elevation,
                  -(double)INFINITY);
}

static void
take_heights(struct fci_resolve *r)
{
    fc_site *site = r->site;
    struct floors floors = { NULL, { 0 } };
    size_t i;

    for (i = 0; i < site->n_parts; i++)
        if (site->parts[i].kind == FCI_FLOORS)
            list_floors(r, &site->parts[i], &floors);
    for (i = 0; i < site->n_elements && r->worst != FC_ENOMEM; i++)
        take_height(r, &floors, site->elements[i].part,
                    &site->elements[i].height);
    for (i = 0; i < site->n_fixtures && r->worst != FC_ENOMEM; i++)
        take_height(r, &floors, site->fixtures[i].part,
                    &site->fixtures[i].height);
    fci_names_free(&floors.names);
}

/* ---- Rises ------------------------------------------------------------- */

bool
fci_has_height(const struct fci_height *height)
{
    return height->own.given || height->floor.given;
}

static double
height_at(const struct fci_height *height, enum fci_end end)
{
    return (height->own.given ? fci_more_is_worse(height->own, end) : 0)
           + (height->floor.given ? fci_more_is_worse(height->floor, end) : 0);
}

/* How high the outlet of a source is, when that is worse: what a tank gives
 * is counted from there, and what any other gives is there. */
static double
source_at(const struct fci_element *element, enum fci_end end)
{
    const fc_source *source = element->part->data;

    return source->kind == FC_TANK ? fci_more_is_worse(source->elevation, end)
                                   : fci_less_is_worse(source->elevation, end);
}

/* Its low end is that of the best end, which may be the higher figure. */
static fc_range
rise_between(const double *from, const double *to)
{
    return (fc_range){ true, to[FCI_NOMINAL] - from[FCI_NOMINAL],
                       to[FCI_BEST] - from[FCI_BEST],
                       to[FCI_WORST] - from[FCI_WORST] };
}

void
fci_fit_rises(fc_site *site)
{
    size_t i;
    int e;

    for (i = 0; i < site->n_elements; i++) {
        struct fci_element *element = &site->elements[site->order[i]];
        const double *from = element->parent == FCI_NONE
                                 ? NULL
                                 : site->elements[element->parent].reach;

        for (e = 0; e < FCI_ENDS; e++) {
            const enum fci_end end = (enum fci_end)e;

            element->reach[e] =
                !from ? source_at(element, end)
                : fci_has_height(&element->height)
                    ? height_at(&element->height, end)
                    : from[e] + fci_more_is_worse(element->rise, end);
        }
        if (from && fci_has_height(&element->height))
            element->rise = rise_between(from, element->reach);
    }
}

void
fci_fit_inlet(const fc_site *site, const struct fci_fixture *fixture,
              fc_fixture *given)
{
    double reach[FCI_ENDS];
    int end;

    if (!fci_has_height(&fixture->height))
        return;
    for (end = 0; end < FCI_ENDS; end++)
        reach[end] = height_at(&fixture->height, (enum fci_end)end);
    given->rise = rise_between(site->elements[fixture->element].reach, reach);
}

/* ---- What cannot be ---------------------------------------------------- */

/* The rise that it surely has, up or down, beyond so much; 0: none. */
static double
beyond(const double *from, const double *to, double most)
{
    const double least = to[FCI_BEST] - from[FCI_WORST];
    const double largest = to[FCI_WORST] - from[FCI_BEST];

    return least > most ? least : largest < -most ? largest : 0;
}

static fc_status
check_element(const struct fci_resolve *r, const struct fci_element *element)
{
    const fc_site *site = r->site;
    const fc_unit_system units = site->settings.units;
    const double slack = 1 + 1e-6;
    double rise;

    if (!element->pipe || element->to != FCI_NONE)
        return FC_OK;
    rise = beyond(site->elements[element->parent].reach, element->reach,
                  element->pipe->length.high * slack);
    if (!(fabs(rise) > 0))
        return FC_OK;
    return fci_part_fail(
        element->part, r->messages, "elevation",
        "puts its end %s %s its start, more than the %s of the pipe's length; "
        "a rise or fall up to its length is expected",
        fci_show(units, FC_LENGTH, fabs(rise)).text,
        rise > 0 ? "above" : "below",
        fci_show_range(units, FC_LENGTH, element->pipe->length).text);
}

static fc_status
check_inlet(const struct fci_resolve *r, const struct fci_fixture *fixture)
{
    const fc_site *site = r->site;
    double reach[FCI_ENDS], rise;
    fc_range most;
    int end;

    if (!fci_read_figure(FCI_FIXTURE_RISES, FC_LENGTH, true, &most, NULL))
        return FC_OK;
    for (end = 0; end < FCI_ENDS; end++)
        reach[end] = height_at(&fixture->height, (enum fci_end)end);
    rise = beyond(site->elements[fixture->element].reach, reach, most.high);
    if (!(fabs(rise) > 0))
        return FC_OK;
    return fci_part_fail(
        fixture->part, r->messages, "elevation",
        "is %s %s the end of \"%.60s\", which no fixture is from its pipe; "
        "%s is expected",
        fci_show(site->settings.units, FC_LENGTH, fabs(rise)).text,
        rise > 0 ? "above" : "below", fixture->given->on, FCI_FIXTURE_RISES);
}

/* Whether the figure in the file is a range: a tolerance moves all elevations
 * alike. */
static bool
is_ranged(const fc_site *site, const struct fci_part *part,
          const struct fci_height *height)
{
    const struct fci_part as_given = {
        .kind = part->kind, .data = (void *)site->given[part - site->parts]
    };
    const bool by_height = fci_has_height(height);
    const fc_range *own =
        fci_part_member(&as_given, by_height ? "elevation" : "rise");
    const fc_range *of_source = part->kind == FCI_SOURCE
                                    ? fci_part_member(&as_given, "elevation")
                                    : NULL;

    if (of_source)
        return !fci_is_exact(*of_source);
    return height->ranged || (own && !fci_is_exact(*own));
}

/* What bounds the pressure does so at its own elevation: were that a range,
 * what is above and what is below it would each be the worse for another end
 * of it. */
static bool
bounds(const struct fci_element *element)
{
    return element->part->kind == FCI_REDUCER
           || element->part->kind == FCI_PRESSURE_TANK
           || (element->part->kind == FCI_PUMP
               && ((const fc_pump *)element->part->data)->hold.given);
}

static fc_status
blame_bound(struct fci_resolve *r, const struct fci_part *part,
            const struct fci_element *bound)
{
    return fci_part_fail(
        part, r->messages, "elevation",
        "is downstream of \"%.60s\", whose own elevation is a range; a rise, "
        "or one figure for that elevation, is expected",
        bound->name);
}

/* By element: whether its elevation is a range, and the last that bounds the
 * pressure at one that is. */
struct loose {
    bool ranged;
    size_t bound;
};

static void
check_bounds(struct fci_resolve *r, struct loose *loose)
{
    const fc_site *site = r->site;
    size_t i;

    for (i = 0; i < site->n_elements && r->worst != FC_ENOMEM; i++) {
        const size_t at = site->order[i];
        const struct fci_element *element = &site->elements[at];
        const size_t parent = element->parent;
        const bool high = fci_has_height(&element->height);

        loose[at].bound = parent == FCI_NONE ? FCI_NONE : loose[parent].bound;
        if (high && loose[at].bound != FCI_NONE)
            fci_resolve_note(r, blame_bound(r, element->part,
                                            &site->elements[loose[at].bound]));
        loose[at].ranged =
            is_ranged(site, element->part, &element->height)
            || (!high && parent != FCI_NONE && loose[parent].ranged);
        if (bounds(element) && loose[at].ranged)
            loose[at].bound = at;
    }
    for (i = 0; i < site->n_fixtures && r->worst != FC_ENOMEM; i++) {
        const struct fci_fixture *fixture = &site->fixtures[i];
        const size_t bound = loose[fixture->element].bound;

        if (fci_has_height(&fixture->height) && bound != FCI_NONE)
            fci_resolve_note(
                r, blame_bound(r, fixture->part, &site->elements[bound]));
    }
}

static void
check_heights(struct fci_resolve *r)
{
    const fc_site *site = r->site;
    struct loose *loose =
        fci_arena_array(&r->site->arena, site->n_elements + 1, sizeof *loose);
    size_t i;

    if (!loose) {
        fci_resolve_note(r, FC_ENOMEM);
        return;
    }
    for (i = 0; i < site->n_elements; i++)
        if (fci_has_height(&site->elements[i].height))
            fci_resolve_note(r, check_element(r, &site->elements[i]));
    for (i = 0; i < site->n_fixtures; i++)
        if (fci_has_height(&site->fixtures[i].height))
            fci_resolve_note(r, check_inlet(r, &site->fixtures[i]));
    check_bounds(r, loose);
}

void
fci_resolve_heights(struct fci_resolve *r)
{
    fc_site *site = r->site;
    size_t i;

    if (r->worst == FC_ENOMEM)
        return;
    take_heights(r);
    if (!site->by_elevation || r->worst != FC_OK || site->broken)
        return;
    fci_fit_rises(site);
    for (i = 0; i < site->n_fixtures; i++)
        fci_fit_inlet(site, &site->fixtures[i], site->fixtures[i].part->data);
    check_heights(r);
}
