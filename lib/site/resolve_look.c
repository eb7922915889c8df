/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/resolve_look.c -- what was seen or measured without a gauge: where
 * it can be, and what it must not say of one place.
 */
#include "site/resolve.h"
#include "units/units.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* ---- What may be seen where ------------------------------------------- */

/* A pair of opposite sights, or a figure: one matter, of which a place has one
 * truth. */
enum matter { OPENED, CLEAR, TURNING, RISE, LENGTH, SIZE, MATTERS };

#define OF(kind) (1u << (kind))

struct sort {
    const char *key;
    size_t offset; /* of a figure */
    fc_dimension dimension;
    unsigned kinds;    /* of the places that have it */
    const char *needs; /* those in words */
};

/* What is open or shut is the control stop of a fixture, the curb stop of a
 * source, a valve of a pipe, the shut-off valves of anything else; what is
 * clean or clogged a strainer or a screen. */
static const struct sort sorts[MATTERS] = {
    [OPENED] = { .key = "shows",
                 .kinds = OF(FCI_SOURCE) | OF(FCI_PIPE) | OF(FCI_METER)
                          | OF(FCI_BACKFLOW) | OF(FCI_DEVICE) | OF(FCI_REDUCER)
                          | OF(FCI_PUMP) | OF(FCI_FIXTURE),
                 .needs = "an element or a fixture" },
    [CLEAR] = { .key = "shows",
                .kinds = OF(FCI_METER) | OF(FCI_BACKFLOW) | OF(FCI_DEVICE)
                         | OF(FCI_REDUCER) | OF(FCI_PUMP) | OF(FCI_FIXTURE),
                .needs = "a meter, backflow, device, reducer, pump or "
                         "fixture" },
    [TURNING] = { .key = "shows",
                  .kinds = OF(FCI_METER) | OF(FCI_PUMP),
                  .needs = "a meter or pump" },
    [RISE] = { "rise", offsetof(fc_look, rise), FC_LENGTH,
               OF(FCI_PIPE) | OF(FCI_FIXTURE), "a pipe or fixture" },
    [LENGTH] = { "length", offsetof(fc_look, length), FC_LENGTH, OF(FCI_PIPE),
                 "a pipe" },
    [SIZE] = { "size", offsetof(fc_look, size), FC_SIZE, OF(FCI_PIPE),
               "a pipe" },
};
static const struct sort dial = { .key = "dial",
                                  .kinds = OF(FCI_METER),
                                  .needs = "a meter" };

static bool
is_seen(const struct sort *sort)
{
    return sort->offset == 0;
}

/* One thing that was seen. */
struct seen {
    size_t place; /* a part of the site */
    enum matter matter;
    const struct sort *sort;
    const struct fci_part *part;
    fc_sight shows;
    fc_range figure;
};

struct looking {
    struct fci_resolve *r;
    struct seen *seen;
    size_t n;
};

static bool
is_by_elevation(const struct fci_part *part)
{
    const char *const *floor = fci_part_floor(part);

    return floor
           && (*floor
               || ((const fc_range *)fci_part_member(part, "elevation"))
                      ->given);
}

static void
see(struct looking *l, const struct fci_part *part, const char *at,
    enum matter matter, const struct sort *sort, fc_sight shows)
{
    const fc_site *site = l->r->site;
    const size_t place = fci_site_find_index(site, FCI_PIPE, at);
    const enum fci_kind kind = site->parts[place].kind;
    struct seen *seen = &l->seen[l->n];

    if (matter == RISE && is_by_elevation(&site->parts[place])) {
        fci_resolve_note(
            l->r, fci_part_fail(part, l->r->messages, "rise",
                                "is of \"%.60s\", which has an elevation in "
                                "place of a rise; a rise there is expected",
                                at));
        return;
    }
    *seen = (struct seen){ place, matter, sort, part, shows, { 0 } };
    if (!is_seen(sort))
        seen->figure = *(const fc_range *)fci_part_member(part, sort->key);
    if (sort->kinds & OF(kind)) {
        l->n++;
        return;
    }
    fci_resolve_note(
        l->r, is_seen(sort)
                  ? fci_part_fail(
                      part, l->r->messages, sort->key,
                      "\"%s\" is not seen at a %s; \"at\" with %s is expected",
                      fci_sight_words[shows - FC_SEEN_OPEN],
                      fci_part_kinds[kind].word, sort->needs)
                  : fci_part_fail(
                      part, l->r->messages, sort->key,
                      "is not measured at a %s; \"at\" with %s is expected",
                      fci_part_kinds[kind].word, sort->needs));
}

/* None of these: not given, or refused. */
static bool
is_sight(fc_sight shows)
{
    return shows > FC_SEEN_NOTHING && shows <= FC_SEEN_STILL;
}

static void
take_look(struct looking *l, const struct fci_part *part)
{
    const fc_look *look = part->data;
    unsigned matter;

    if (!look->at)
        return;
    if (fci_site_find_index(l->r->site, FCI_PIPE, look->at) == FCI_NO_NAME) {
        fci_resolve_note(l->r, fci_site_unknown(l->r->site, part, "at",
                                                look->at, FCI_PIPE,
                                                "a fixture, a pipe or other "
                                                "element",
                                                l->r->messages));
        return;
    }
    if (is_sight(look->shows)) {
        matter = (look->shows - FC_SEEN_OPEN) / 2;
        see(l, part, look->at, (enum matter)matter, &sorts[matter],
            look->shows);
    }
    for (matter = RISE; matter < MATTERS; matter++) {
        const fc_range *figure = fci_part_member(part, sorts[matter].key);

        if (figure->given)
            see(l, part, look->at, (enum matter)matter, &sorts[matter],
                FC_SEEN_NOTHING);
    }
}

static void
take_dial(struct looking *l, const struct fci_part *part)
{
    const fc_reading *reading = part->data;

    if (is_sight(reading->dial) && reading->at
        && fci_site_find_index(l->r->site, FCI_PIPE, reading->at)
               != FCI_NO_NAME)
        see(l, part, reading->at, TURNING, &dial, reading->dial);
}

/* ---- Two of one place ------------------------------------------------- */

static int
by_place(const void *a, const void *b)
{
    const struct seen *x = a, *y = b;

    if (x->place != y->place)
        return x->place < y->place ? -1 : 1;
    if (x->matter != y->matter)
        return x->matter < y->matter ? -1 : 1;
    return (x->part > y->part) - (x->part < y->part);
}

static bool
is_same(const struct seen *a, const struct seen *b)
{
    return a->shows == b->shows
           && fabs(a->figure.nominal - b->figure.nominal)
                  <= 1e-9 * fabs(a->figure.nominal);
}

/* "shut", or "12 ft" */
static struct fci_shown
what_of(const struct seen *seen)
{
    struct fci_shown text;

    if (!is_seen(seen->sort))
        return fci_show(FC_US, seen->sort->dimension, seen->figure.nominal);
    snprintf(text.text, sizeof text.text, "\"%s\"",
             fci_sight_words[seen->shows - FC_SEEN_OPEN]);
    return text;
}

static void
refuse_opposite(struct fci_resolve *r, const struct seen *first,
                const struct seen *other)
{
    const struct fci_part *part = first->part;
    const struct fci_heading heading =
        fci_heading(fci_part_kinds[part->kind].word, part->name);
    char line[32] = "";

    if (part->section && part->section->line > 0)
        snprintf(line, sizeof line, " on line %d", part->section->line);
    fci_resolve_note(r,
                     fci_part_fail(other->part, r->messages, other->sort->key,
                                   "is %s, and %s%s has %s of the same "
                                   "place; one of the two is expected",
                                   what_of(other).text, heading.text, line,
                                   what_of(first).text));
}

/* ---- What no pipe has ------------------------------------------------- */

/* Of what was measured both; the length of the file may be as wrong as its
 * rise.  A pipe that closes a loop has its rise from the heights of its
 * ends. */
static void
check_rise(struct fci_resolve *r, const struct seen *rise,
           const struct seen *length)
{
    const double slack = 1 + 1e-6;
    const fc_pipe *pipe = r->site->given[rise->place];

    if (pipe->to || !length
        || fabs(rise->figure.nominal) <= length->figure.high * slack)
        return;
    fci_resolve_note(
        r,
        fci_part_fail(rise->part, r->messages, "rise",
                      "is %s, more than the %s of the pipe's length as "
                      "measured; a rise or fall up to its length is "
                      "expected",
                      what_of(rise).text,
                      fci_show_range(FC_US, FC_LENGTH, length->figure).text));
}

static void
check_fixture_rise(struct fci_resolve *r, const struct seen *rise)
{
    fc_range limits;

    if (!fci_read_figure(FCI_FIXTURE_RISES, FC_LENGTH, true, &limits, NULL)
        || (rise->figure.nominal >= limits.low
            && rise->figure.nominal <= limits.high))
        return;
    fci_resolve_note(
        r, fci_part_fail(rise->part, r->messages, "rise",
                         "is %s, which no fixture is from its pipe; %s is "
                         "expected",
                         what_of(rise).text, FCI_FIXTURE_RISES));
}

static void
check_size(struct fci_resolve *r, const struct seen *size)
{
    const fc_pipe *pipe = r->site->given[size->place];
    const char *name =
        pipe->material ? pipe->material : r->site->settings.material;
    const struct fci_material *material =
        name ? fci_tables_material(r->site->tables, name) : NULL;
    double smallest, largest;

    if (material ? fci_material_size(material, size->figure.nominal) != NULL
                 : fci_tables_bores(r->site->tables, size->figure.nominal,
                                    &smallest, &largest))
        return;
    fci_resolve_note(
        r, fci_part_fail(size->part, r->messages, "size",
                         "is not a size of %s; a size of %s is expected",
                         material ? material->head.name : "any pipe",
                         material ? "that material" : "the pipe tables"));
}

/* ---- All -------------------------------------------------------------- */

static const struct seen *
of_matter(const struct seen *seen, size_t n, enum matter matter)
{
    size_t i;

    for (i = 0; i < n; i++)
        if (seen[i].matter == matter)
            return &seen[i];
    return NULL;
}

/* All that was seen of one place. */
static void
check_place(struct fci_resolve *r, const struct seen *seen, size_t n)
{
    const enum fci_kind kind = r->site->parts[seen->place].kind;
    const struct seen *const rise = of_matter(seen, n, RISE);
    const struct seen *const size = of_matter(seen, n, SIZE);
    const struct seen *first = seen;
    size_t i;

    for (i = 1; i < n; i++)
        if (seen[i].matter != first->matter)
            first = &seen[i];
        else if (!is_same(first, &seen[i]))
            refuse_opposite(r, first, &seen[i]);
    if (rise && kind == FCI_PIPE)
        check_rise(r, rise, of_matter(seen, n, LENGTH));
    else if (rise)
        check_fixture_rise(r, rise);
    if (size)
        check_size(r, size);
}

static void
check_all(struct looking *l)
{
    size_t i, end;

    qsort(l->seen, l->n, sizeof *l->seen, by_place);
    for (i = 0; i < l->n && l->r->worst != FC_ENOMEM; i = end) {
        for (end = i + 1; end < l->n && l->seen[end].place == l->seen[i].place;
             end++)
            ;
        check_place(l->r, l->seen + i, end - i);
    }
}

void
fci_resolve_looks(struct fci_resolve *r)
{
    const fc_site *site = r->site;
    struct looking l = { .r = r };
    size_t i, n = 0;

    for (i = 0; i < site->n_parts; i++)
        n += site->parts[i].kind == FCI_LOOK
                 ? MATTERS - RISE + 1
                 : site->parts[i].kind == FCI_READING;
    l.seen = fci_arena_array(&r->site->arena, n + 1, sizeof *l.seen);
    if (!l.seen) {
        fci_resolve_note(r, FC_ENOMEM);
        return;
    }
    for (i = 0; i < site->n_parts && r->worst != FC_ENOMEM; i++)
        if (site->parts[i].kind == FCI_LOOK)
            take_look(&l, &site->parts[i]);
        else if (site->parts[i].kind == FCI_READING)
            take_dial(&l, &site->parts[i]);
    check_all(&l);
}
