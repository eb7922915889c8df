/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/resolve_feed.c -- what feeds a pressure tank.
 *
 * Whatever leads to it, its outlet has some pressure from the cut-in to the
 * cut-out as long as its water lasts.  So for all that is downstream the tank
 * is a source of such a pressure, and what is upstream of it is kept apart: no
 * flow in the building depends on that, but how long the water lasts.
 */
#include "site/resolve.h"

#include <string.h>

/* ---- What cannot be ---------------------------------------------------- */

static const struct fci_part *
find_tank(struct fci_resolve *r)
{
    const struct fci_part *first = NULL;
    size_t i;

    for (i = 0; i < r->site->n_parts; i++) {
        const struct fci_part *part = &r->site->parts[i];

        if (part->kind != FCI_PRESSURE_TANK)
            continue;
        if (first)
            fci_resolve_note(
                r, fci_part_fail(part, r->messages, NULL,
                                 "is a second one beside \"%.60s\"; one is "
                                 "expected, for several side by side with "
                                 "their volumes added up",
                                 first->name));
        else
            first = part;
    }
    return first;
}

/* A well gives a rate and no pressure. */
static void
check_wells(struct fci_resolve *r, bool tank)
{
    size_t i;

    if (r->site->n_doubtful > 0)
        return; /* one of those may be its tank */
    for (i = 0; i < r->site->n_parts; i++) {
        const struct fci_part *part = &r->site->parts[i];
        const fc_source *source = part->data;

        if (part->kind == FCI_SOURCE && source->kind == FC_WELL && !tank)
            fci_resolve_note(
                r, fci_part_fail(part, r->messages, "kind",
                                 "is a well, which gives a rate and no "
                                 "pressure; a [pressure tank] that it feeds "
                                 "is expected"));
    }
}

/* What leads to the tank, by element; the tank is not. */
static bool *
list_feed(struct fci_resolve *r, size_t tank)
{
    const fc_site *site = r->site;
    bool *feeds =
        fci_arena_array(&r->site->arena, site->n_elements, sizeof *feeds);
    size_t at = site->elements[tank].parent;

    if (!feeds) {
        fci_resolve_note(r, FC_ENOMEM);
        return NULL;
    }
    for (; at != FCI_NONE && !feeds[at]; at = site->elements[at].parent)
        feeds[at] = true;
    return feeds;
}

/* A part that is not of the feed and names one of it. */
static void
check_part(struct fci_resolve *r, const struct fci_part *part,
           const struct fci_part *tank, const bool *feeds)
{
    static const char *const keys[] = { "from", "to", "beside", "on", "at" };
    size_t i, k;

    for (k = 0; k < sizeof keys / sizeof *keys; k++) {
        const char *const *name = fci_part_member(part, keys[k]);

        i = name && *name ? fci_site_find_index(r->site, FCI_PIPE, *name)
                          : FCI_NO_NAME;
        if (i == FCI_NO_NAME || !fci_is_element(r->site->parts[i].kind)
            || !feeds[r->place_of[i]])
            continue;
        fci_resolve_note(
            r, fci_part_fail(part, r->messages, keys[k],
                             "\"%.60s\" is upstream of the pressure tank, "
                             "where the flow is that of the pump alone; "
                             "\"%.60s\" or what is downstream of it is "
                             "expected",
                             *name, tank->name));
    }
}

/* Nothing looks at the pressures while the pump runs. */
static void
check_rating(struct fci_resolve *r, const struct fci_part *part)
{
    const fc_range *rating = fci_part_member(part, "pressure rating");

    if (rating && rating->given)
        fci_resolve_note(
            r, fci_part_fail(part, r->messages, "pressure rating",
                             "is of a part upstream of the pressure tank, "
                             "where no pressure is calculated; none is "
                             "expected"));
}

static void
check_parts(struct fci_resolve *r, const struct fci_part *tank,
            const bool *feeds)
{
    size_t i;

    for (i = 0; i < r->site->n_parts && r->worst != FC_ENOMEM; i++) {
        const struct fci_part *part = &r->site->parts[i];

        if (fci_is_element(part->kind) && feeds[r->place_of[i]])
            check_rating(r, part);
        if (part == tank
            || (fci_is_element(part->kind) && feeds[r->place_of[i]]))
            continue;
        check_part(r, part, tank, feeds);
        if (part->kind == FCI_SOURCE)
            fci_resolve_note(
                r, fci_part_fail(part, r->messages, NULL,
                                 "does not feed the pressure tank \"%.60s\"; "
                                 "one source, which feeds it, is expected",
                                 tank->name));
    }
}

static bool
is_running(const struct fci_element *element)
{
    return element->part->kind == FCI_PUMP
           && ((const fc_pump *)element->part->data)->running != FC_NO;
}

/* The rate of a well is what comes to the tank, by its own pump. */
static void
check_feeder(struct fci_resolve *r, const struct fci_part *tank, size_t at)
{
    const struct fci_element *elements = r->site->elements;
    const struct fci_element *pump = NULL;

    for (at = elements[at].parent; elements[at].parent != FCI_NONE;
         at = elements[at].parent)
        if (is_running(&elements[at]))
            pump = &elements[at];
    if (elements[at].part->kind != FCI_SOURCE)
        return;
    if (((const fc_source *)elements[at].part->data)->kind == FC_WELL) {
        if (pump)
            fci_resolve_note(
                r,
                fci_part_fail(pump->part, r->messages, NULL,
                              "is downstream of the well \"%.60s\", whose "
                              "rate is that of its own pump; for a pump with "
                              "a curve a source of kind = tank with the "
                              "water level in the well is expected",
                              elements[at].name));
    } else if (!pump)
        fci_resolve_note(
            r, fci_part_fail(tank, r->messages, "from",
                             "leads to no pump that runs; a [pump] upstream "
                             "of it, or a source of kind = well, is "
                             "expected"));
}

/* ---- Apart -------------------------------------------------------------- */

static double
reach_of(const fc_site *site, size_t at, enum fci_end end)
{
    double reach = 0;

    if (site->by_elevation)
        return site->elements[at].reach[end];
    for (; site->elements[at].parent != FCI_NONE;
         at = site->elements[at].parent)
        reach += fci_more_is_worse(site->elements[at].rise, end);
    return reach
           + fci_more_is_worse(
               ((const fc_source *)site->elements[at].part->data)->elevation,
               end);
}

/* The tank as a source.  Its part stands behind those of the site, where none
 * that goes over them meets it. */
static bool
make_source(struct fci_resolve *r, struct fci_element *element)
{
    fc_site *site = r->site;
    const fc_pressure_tank *tank = element->part->data;
    const size_t at = (size_t)(element - site->elements);
    struct fci_part *part = &site->parts[site->n_parts];
    fc_source *source = fci_arena_array(&site->arena, 1, sizeof *source);

    if (!source)
        return fci_resolve_note(r, FC_ENOMEM);
    *source = (fc_source){
        .name = tank->name,
        .kind = FC_FIXED,
        .pressure = { true, 0, tank->cut_in.low, tank->cut_out.high },
        .elevation = fc_exactly(reach_of(site, at, FCI_NOMINAL)),
        .volume = tank->volume, /* by which a drawing knows it */
    };
    source->pressure.nominal =
        (tank->cut_in.nominal + tank->cut_out.nominal) / 2;
    *part = *element->part;
    part->kind = FCI_SOURCE;
    part->data = source;
    site->given[site->n_parts] = source;
    site->tank = tank;
    site->tank_rise = element->rise;
    element->part = part;
    element->rise = fc_exactly(0);
    element->height = (struct fci_height){ 0 };
    return true;
}

/* From its source on. */
static bool
keep_feed(struct fci_resolve *r, const bool *feeds)
{
    fc_site *site = r->site;
    struct fci_element *feed =
        fci_arena_array(&site->arena, site->n_elements, sizeof *feed);
    size_t i;

    if (!feed)
        return fci_resolve_note(r, FC_ENOMEM);
    site->feed = feed;
    for (i = 0; i < site->n_elements; i++)
        if (feeds[site->order[i]])
            feed[site->n_feed++] = site->elements[site->order[i]];
    return true;
}

static void
move(size_t *place, const size_t *to)
{
    if (*place != FCI_NONE)
        *place = to[*place];
}

/* All others close up; `to` is where each then is. */
static bool
close_up(struct fci_resolve *r, const bool *feeds)
{
    fc_site *site = r->site;
    size_t *to = fci_arena_array(&site->arena, site->n_elements, sizeof *to);
    size_t i, n = 0, n_order = 0;

    if (!to)
        return fci_resolve_note(r, FC_ENOMEM);
    for (i = 0; i < site->n_elements; i++)
        to[i] = feeds[i] ? FCI_NONE : n++;
    for (i = 0; i < site->n_elements; i++)
        if (!feeds[site->order[i]])
            site->order[n_order++] = to[site->order[i]];
    for (i = 0; i < site->n_elements; i++) {
        struct fci_element element = site->elements[i];

        if (feeds[i])
            continue;
        move(&element.parent, to);
        move(&element.to, to);
        if (element.beside > 0)
            element.beside = to[element.beside - 1] + 1;
        site->elements[to[i]] = element;
    }
    for (i = 0; i < site->n_fixtures; i++) {
        move(&site->fixtures[i].element, to);
        move(&site->fixtures[i].heater, to);
    }
    for (i = 0; i < site->n_draws; i++)
        move(&site->draws[i].element, to);
    for (i = 0; i < site->n_parts; i++)
        if (fci_is_element(site->parts[i].kind))
            move(&r->place_of[i], to);
    site->n_elements = n;
    return true;
}

/* A pump's curve is left open beyond its last point, whatever flows. */
static void
leave_open(fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_feed; i++)
        if (site->feed[i].curve)
            site->feed[i].shape = (fc_range){ true, 0.5, 0, 1 };
}

void
fci_resolve_feed(struct fci_resolve *r)
{
    fc_site *site = r->site;
    const struct fci_part *tank = find_tank(r);
    size_t at;
    bool *feeds;

    check_wells(r, tank != NULL);
    if (!tank || r->worst != FC_OK || site->broken)
        return;
    at = r->place_of[tank - site->parts];
    feeds = list_feed(r, at);
    if (!feeds)
        return;
    check_parts(r, tank, feeds);
    check_feeder(r, tank, at);
    if (r->worst != FC_OK || !make_source(r, &site->elements[at])
        || !keep_feed(r, feeds) || !close_up(r, feeds))
        return;
    site->elements[r->place_of[tank - site->parts]].parent = FCI_NONE;
    leave_open(site);
}
