/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/resolve_lists.c -- lists of fixtures in which a name stands for
 * several: "lav-*". */
#include "site/resolve.h"

#include <stdio.h>
#include <string.h>

#define CANDIDATES 5
/* Names that the patterns of one file are held against: more would take
 * minutes, and gigabytes where they match. */
#define MOST_TRIED 10000000

/* A list that is put together anew, of either sort. */
struct listed {
    struct fci_resolve *r;
    const struct fci_part *part;
    const char *key;
    size_t item; /* bytes an item */
    char *items; /* in the site's arena */
    size_t n, room;
};

/* A place for one more item; NULL when out of memory, which is noted. */
static void *
add_item(struct listed *list)
{
    if (list->n == list->room) {
        const size_t room = list->room ? 2 * list->room : 8;
        char *grown = fci_arena_array(&list->r->site->arena, room, list->item);

        if (!grown) {
            fci_resolve_note(list->r, FC_ENOMEM);
            return NULL;
        }
        if (list->n > 0)
            memcpy(grown, list->items, list->n * list->item);
        list->items = grown;
        list->room = room;
    }
    return list->items + list->item * list->n++;
}

static void
add_flushing(struct listed *list, int count, const char *fixture)
{
    fc_flushing *item = add_item(list);

    if (item)
        *item = (fc_flushing){ .count = count, .fixture = fixture };
}

static void
add_name(struct listed *list, int count, const char *name)
{
    const char **item = add_item(list);

    (void)count;
    if (item)
        *item = name;
}

/* Some of the fixtures that could have been meant. */
static void
blame_nothing(struct listed *list, const char *pattern)
{
    const fc_site *site = list->r->site;
    char names[CANDIDATES * (64 + 2) + 1] = "", more[40] = "";
    size_t i, n = 0, used = 0;

    for (i = 0; i < site->n_parts; i++) {
        if (site->parts[i].kind != FCI_FIXTURE)
            continue;
        if (n++ < CANDIDATES)
            used +=
                (size_t)snprintf(names + used, sizeof names - used, "%s%.64s",
                                 n > 1 ? ", " : "", site->parts[i].name);
    }
    if (n > CANDIDATES)
        snprintf(more, sizeof more, " and %zu more", n - CANDIDATES);
    fci_resolve_note(
        list->r,
        n == 0 ? fci_part_fail(
            list->part, list->r->messages, list->key,
            "\"%.60s\" matches no fixture; this file has none", pattern)
               : fci_part_fail(list->part, list->r->messages, list->key,
                               "\"%.60s\" matches no fixture; this file has "
                               "%s%s",
                               pattern, names, more));
}

/* Whether the name can be a pattern at all. */
static bool
is_clear(struct listed *list, int count, const char *name)
{
    struct fci_resolve *r = list->r;

    if (strchr(name, '?'))
        fci_resolve_note(
            r, fci_part_fail(list->part, r->messages, list->key,
                             "\"%.60s\" holds \"?\"; a name is expected, or "
                             "\"*\" for any letters of it",
                             name));
    else if (count > 0 && fci_is_pattern(name))
        fci_resolve_note(
            r, fci_part_fail(list->part, r->messages, list->key,
                             "\"%d of %.60s\" counts in what may be several "
                             "fixtures; a number of one of them, or "
                             "\"%.60s\" alone for the whole of each, is "
                             "expected",
                             count, name, name));
    else
        return true;
    return false;
}

/* An item of the list: itself, or all fixtures that it stands for, as they
 * come in the file. */
static void
put_item(struct listed *list, int count, const char *name,
         void add(struct listed *list, int count, const char *name))
{
    struct fci_resolve *r = list->r;
    const fc_site *site = r->site;
    const size_t before = list->n;
    size_t i;

    if (!name || !is_clear(list, count, name))
        return;
    if (!fci_is_pattern(name)) {
        add(list, count, name);
        return;
    }
    r->tried += site->n_parts;
    if (r->tried > MOST_TRIED) {
        if (r->tried - site->n_parts <= MOST_TRIED)
            fci_resolve_note(
                r, fci_part_fail(list->part, r->messages, list->key,
                                 "\"%.60s\" is one \"*\" too many for a file "
                                 "of this size; names are expected",
                                 name));
        return;
    }
    for (i = 0; i < site->n_parts && r->worst != FC_ENOMEM; i++)
        if (site->parts[i].kind == FCI_FIXTURE
            && fci_name_matches(name, site->parts[i].name))
            add(list, 0, site->parts[i].name);
    if (list->n == before && r->worst != FC_ENOMEM)
        blame_nothing(list, name);
}

static bool
has_pattern(const char *name)
{
    return name && strpbrk(name, "*?");
}

static void
resolve_flushing(struct fci_resolve *r, const struct fci_part *part,
                 const char *key, const fc_flushing **flushing, size_t *n)
{
    struct listed list = {
        .r = r, .part = part, .key = key, .item = sizeof **flushing
    };
    bool any = false;
    size_t i;

    for (i = 0; i < *n; i++)
        any |= has_pattern((*flushing)[i].fixture);
    if (!any)
        return;
    for (i = 0; i < *n && r->worst != FC_ENOMEM; i++)
        put_item(&list, (*flushing)[i].count, (*flushing)[i].fixture,
                 add_flushing);
    *flushing = (const void *)list.items;
    *n = list.n;
}

static void
resolve_serves(struct fci_resolve *r, const struct fci_part *part,
               fc_heater *heater)
{
    struct listed list = {
        .r = r, .part = part, .key = "serves", .item = sizeof *heater->serves
    };
    bool any = false;
    size_t i;

    for (i = 0; i < heater->n_serves; i++)
        any |= has_pattern(heater->serves[i]);
    if (!any)
        return;
    for (i = 0; i < heater->n_serves && r->worst != FC_ENOMEM; i++)
        put_item(&list, 0, heater->serves[i], add_name);
    heater->serves = (const void *)list.items;
    heater->n_serves = list.n;
}

void
fci_resolve_lists(struct fci_resolve *r)
{
    size_t i;

    for (i = 0; i < r->site->n_parts && r->worst != FC_ENOMEM; i++) {
        const struct fci_part *part = &r->site->parts[i];
        fc_reading *reading = part->data;
        fc_claim *claim = part->data;

        if (part->kind == FCI_HEATER)
            resolve_serves(r, part, part->data);
        else if (part->kind == FCI_READING)
            resolve_flushing(r, part, fci_reading_open_key(part),
                             &reading->flushing, &reading->n_flushing);
        else if (part->kind == FCI_CLAIM)
            resolve_flushing(r, part, "while", &claim->flushing,
                             &claim->n_flushing);
    }
}
