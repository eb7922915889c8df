/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/resolve_tree.c -- the elements of a site, in order from the source.
 */
#include "site/resolve.h"
#include "site/tree.h"
#include "ground/diagnostics.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

/* ---- Elements --------------------------------------------------------- */

/* Elements and fixtures are numbered in the order in which they came. */
static void
number_places(struct fci_resolve *r)
{
    fc_site *site = r->site;
    size_t i;

    for (i = 0; i < site->n_parts; i++) {
        enum fci_kind kind = site->parts[i].kind;

        if (fci_is_element(kind))
            r->place_of[i] = site->n_elements++;
        else if (kind == FCI_FIXTURE)
            r->place_of[i] = site->n_fixtures++;
        site->n_sources += kind == FCI_SOURCE;
    }
}

static bool
make_elements(struct fci_resolve *r)
{
    fc_site *site = r->site;
    struct fci_element *element =
        fci_arena_array(&site->arena, site->n_elements, sizeof *element);
    const fc_range *rise;
    size_t i;

    site->elements = element;
    if (!element) {
        fci_resolve_note(r, FC_ENOMEM);
        return false;
    }
    for (i = 0; i < site->n_parts; i++)
        if (fci_is_element(site->parts[i].kind)) {
            element->part = &site->parts[i];
            element->name = site->parts[i].name;
            rise = fci_part_member(element->part, "rise");
            element->rise = rise ? *rise : fc_exactly(0);
            element->parent = FCI_NONE;
            element->to = FCI_NONE;
            element++;
        }
    return true;
}

/* A second reducer branches off where the first one does, and ends at its
 * outlet: a loop without a pipe. */
static void
put_beside(struct fci_resolve *r, struct fci_element *second)
{
    fc_site *site = r->site;
    const char *name = ((const fc_reducer *)second->part->data)->beside;
    const size_t at = fci_resolve_element(r, second->part, "beside", name);
    struct fci_element *first = at == FCI_NONE ? NULL : &site->elements[at];
    const fc_reducer *reducer = first ? first->part->data : NULL;

    if (!first)
        return;
    if (first->part->kind != FCI_REDUCER || first == second) {
        fci_resolve_note(r, fci_part_fail(second->part, r->messages, "beside",
                                          "\"%.60s\" is not another PRV; the "
                                          "PRV beside this one is expected",
                                          name));
        return;
    }
    if (!reducer->from || first->beside > 0) {
        fci_resolve_note(r, fci_part_fail(second->part, r->messages, "beside",
                                          "\"%.60s\" has one beside it; two "
                                          "PRVs side by side are expected",
                                          name));
        return;
    }
    second->parent =
        fci_resolve_element(r, first->part, "from", reducer->from);
    second->to = at;
    second->beside = at + 1;
    first->beside = (size_t)(second - site->elements) + 1;
    site->n_loops++;
    site->n_pairs++;
}

static bool
is_second(const struct fci_element *element)
{
    return element->part->kind == FCI_REDUCER
           && ((const fc_reducer *)element->part->data)->beside;
}

static void
find_parents(struct fci_resolve *r)
{
    fc_site *site = r->site;
    size_t i;

    for (i = 0; i < site->n_elements && r->worst != FC_ENOMEM; i++) {
        struct fci_element *element = &site->elements[i];
        const struct fci_part *part = element->part;
        const char *const *from = fci_part_member(part, "from");
        const char *const *to = fci_part_member(part, "to");

        if (is_second(element))
            put_beside(r, element);
        if (!from || is_second(element)) /* a source */
            continue;
        element->parent = fci_resolve_element(r, part, "from", *from);
        if (to && *to) {
            site->n_loops++;
            element->to = fci_resolve_element(r, part, "to", *to);
        }
    }
}

/* ---- Order ------------------------------------------------------------ */

static size_t
parent_of(const void *elements, size_t i)
{
    return ((const struct fci_element *)elements)[i].parent;
}

/* What no source reaches is either fed by an element whose `from` failed,
 * which was reported, or goes round in a ring; each ring is reported once. */
static void
report_rings(struct fci_resolve *r, size_t *seen)
{
    const fc_site *site = r->site;
    size_t i, at, round;

    for (i = 0; i < site->n_elements; i++) {
        if (seen[i])
            continue;
        round = i + 2;
        for (at = i; at != FCI_NONE && !seen[at];
             at = site->elements[at].parent)
            seen[at] = round;
        if (at == FCI_NONE || seen[at] != round)
            continue;
        if (!fci_resolve_note(
                r, fci_part_fail(
                       site->elements[at].part, r->messages, "from",
                       "\"%.60s\" leads back to itself in a ring; elements "
                       "that branch out from a source are expected, and a "
                       "pipe that closes a loop names its end by \"to\"",
                       *(const char *const *)fci_part_member(
                           site->elements[at].part, "from"))))
            return;
    }
}

/* Breadth first from the sources: linear, and no recursion however long the
 * run is. */
static void
put_in_order(struct fci_resolve *r)
{
    fc_site *site = r->site;
    const size_t n = site->n_elements;
    size_t *order = fci_arena_array(&site->arena, n, sizeof *order);
    size_t *seen = fci_arena_array(&site->arena, n, sizeof *seen);
    size_t *start = fci_arena_array(&site->arena, n + 2, sizeof *start);
    size_t *list = fci_arena_array(&site->arena, n, sizeof *list);
    size_t i, k, done = 0;

    if (!order || !seen || !start || !list) {
        fci_resolve_note(r, FC_ENOMEM);
        return;
    }
    fci_list_hanging(start, n, list, n, parent_of, site->elements);
    for (i = 0; i < n; i++)
        if (site->elements[i].part->kind == FCI_SOURCE)
            order[done++] = i;
    for (i = 0; i < done; i++) {
        seen[order[i]] = 1;
        for (k = start[order[i]]; k < start[order[i] + 1]; k++)
            order[done++] = list[k];
    }
    site->order = order;
    if (done < n)
        report_rings(r, seen);
}

/* ---- Loops ------------------------------------------------------------ */

/* Heights are added up along the tree from whole feet and inches; what is
 * further off than this was drawn wrong, and would make water circle [m]. */
#define SAME_HEIGHT 0.1

/* The ends of such a pipe stand where the tree puts them, and its rise is
 * what lies between, whatever it says itself. */
static void
fit_loop(struct fci_resolve *r, struct fci_element *element,
         const double *height)
{
    const double rise = height[element->to] - height[element->parent];
    const fc_unit_system units = r->site->settings.units;

    if (element->rise.given && element->pipe
        && fabs(element->rise.nominal - rise) > SAME_HEIGHT)
        fci_resolve_note(
            r, fci_part_fail(
                   element->part, r->messages, "rise",
                   "%s does not reach the elevation of \"%.60s\"; %s is "
                   "expected, or no rise at all",
                   fci_show(units, FC_LENGTH, element->rise.nominal).text,
                   ((const fc_pipe *)element->part->data)->to,
                   fci_show(units, FC_LENGTH, rise).text));
    element->rise = fc_exactly(rise);
}

static void
fit_loops(struct fci_resolve *r)
{
    double *height =
        fci_arena_array(&r->site->arena, r->site->n_elements, sizeof *height);
    size_t i;

    if (!height) {
        fci_resolve_note(r, FC_ENOMEM);
        return;
    }
    fci_heights(r->site, height);
    for (i = 0; i < r->site->n_elements; i++) {
        struct fci_element *element = &r->site->elements[i];

        if (element->to != FCI_NONE && element->parent != FCI_NONE)
            fit_loop(r, element, height);
    }
}

void
fci_resolve_tree(struct fci_resolve *r)
{
    number_places(r);
    if (!make_elements(r))
        return;
    find_parents(r);
    if (r->worst != FC_ENOMEM)
        put_in_order(r);
}

void
fci_resolve_loops(struct fci_resolve *r)
{
    if (r->worst == FC_OK && r->site->n_loops > 0)
        fit_loops(r);
}
