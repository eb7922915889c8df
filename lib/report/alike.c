/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/alike.c -- many fixtures told in a few words.
 *
 * A floor is what a typical floor says of its fixture; a number in a name
 * alone may be a room's.  A floor's fixtures of a kind are told together only
 * if all of them are chosen.
 */
#include "report/alike.h"
#include "ground/stem.h"
#include "page/terminal.h"

#include <stdlib.h>
#include <string.h>

#define MOST_DIGITS 6

/* A name taken apart: what stands before the last number, it, and the rest. */
struct named {
    const struct fci_alike_item *item;
    size_t before;
    const char *behind;
    bool numbered;
    int number;
    bool floor; /* the number is a floor's */
    bool told;
};

static struct named
take_apart(const struct fci_alike_item *item)
{
    const char *name = item->name;
    const struct fci_stem stem = fci_stem_of(name);
    const size_t start = stem.before;
    struct named named = { item, strlen(name), "", false, 0, false, false };

    if (stem.digits == 0 || stem.digits > MOST_DIGITS)
        return named;
    named.before = start;
    named.behind = stem.behind;
    named.numbered = true;
    named.number = atoi(name + start);
    if (start > 1 && name[start - 1] == '-' && name[start - 2] == '-') {
        named.before--; /* "wc--1" is of the floor below the ground */
        named.number = -named.number;
    }
    return named;
}

static int
compare_stems(const struct named *a, const struct named *b)
{
    int order = strcmp(a->item->kind, b->item->kind);

    if (order == 0 && a->before != b->before)
        order = a->before < b->before ? -1 : 1;
    if (order == 0)
        order = strncmp(a->item->name, b->item->name, a->before);
    return order != 0 ? order : strcmp(a->behind, b->behind);
}

static int
compare_numbers(const struct named *a, const struct named *b)
{
    if (a->number != b->number)
        return a->number < b->number ? -1 : 1;
    return a->item < b->item ? -1 : a->item > b->item;
}

static int
by_stem(const void *a, const void *b)
{
    const int order = compare_stems(a, b);

    return order != 0 ? order : compare_numbers(a, b);
}

/* What has no floor stands last. */
static int
by_floor(const void *a, const void *b)
{
    const struct named *x = a, *y = b;
    int order = (int)y->floor - (int)x->floor;

    if (order == 0)
        order = strcmp(x->item->kind, y->item->kind);
    return order != 0 ? order : compare_numbers(x, y);
}

static size_t
end_of_floor(const struct named *names, size_t n, size_t i)
{
    size_t end = i + 1;

    while (end < n && names[end].floor && names[end].number == names[i].number
           && strcmp(names[end].item->kind, names[i].item->kind) == 0)
        end++;
    return end;
}

/* What a typical floor says of it; a number in a name alone is no floor. */
static void
find_floors(struct named *names, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        names[i].floor = names[i].item->typical;
        if (names[i].floor)
            names[i].number = names[i].item->floor;
    }
}

/* There is no floor 0 between -1 and 1, unless a building has one. */
static bool
is_next_floor(int floor, int below)
{
    return floor == below + 1 || (below == -1 && floor == 1);
}

struct groups {
    const struct fci_alike_item *items;
    struct fci_alike *list;
    size_t n;
};

static void
start_group(struct groups *groups, const struct named *first, bool floors)
{
    struct fci_alike *group = &groups->list[groups->n++];

    group->first = (size_t)(first->item - groups->items);
    group->margin = first->item->margin;
    group->floors = floors;
    group->from = first->number;
}

static void
add_to_group(struct groups *groups, struct named *named)
{
    struct fci_alike *group = &groups->list[groups->n - 1];

    group->last = (size_t)(named->item - groups->items);
    group->n++;
    group->count += named->item->count;
    group->to = named->number;
    if (named->item->margin < group->margin)
        group->margin = named->item->margin;
    named->told = true;
}

/* Floors on which all of a kind are chosen, with those next to them. */
static void
group_floors(struct groups *groups, struct named *names, size_t n)
{
    const struct named *before = NULL; /* of the floor below, if that is one */

    for (size_t i = 0, end; i < n && names[i].floor; i = end) {
        bool all = true;

        end = end_of_floor(names, n, i);
        for (size_t k = i; k < end; k++)
            all = all && names[k].item->chosen;
        if (all
            && !(before && strcmp(before->item->kind, names[i].item->kind) == 0
                 && is_next_floor(names[i].number, before->number)))
            start_group(groups, &names[i], true);
        for (size_t k = i; all && k < end; k++)
            add_to_group(groups, &names[k]);
        before = all ? &names[i] : NULL;
    }
}

/* Names that differ in their number, with nothing between them. */
static void
group_names(struct groups *groups, struct named *names, size_t n)
{
    const struct named *before = NULL;

    for (size_t i = 0; i < n; i++) {
        if (!names[i].item->chosen || names[i].told) {
            before = NULL;
            continue;
        }
        if (!before || !names[i].numbered
            || compare_stems(before, &names[i]) != 0)
            start_group(groups, &names[i], false);
        add_to_group(groups, &names[i]);
        before = &names[i];
    }
}

static int
by_margin(const void *a, const void *b)
{
    const struct fci_alike *x = a, *y = b;

    if (x->margin < y->margin || x->margin > y->margin)
        return x->margin < y->margin ? -1 : 1;
    return x->first < y->first ? -1 : x->first > y->first;
}

struct fci_alike *
fci_alike_find(struct fci_arena *arena, const struct fci_alike_item *items,
               size_t n, size_t *n_groups)
{
    struct named *names = fci_arena_array(arena, n + 1, sizeof *names);
    struct groups groups = { items, NULL, 0 };

    groups.list = fci_arena_array(arena, n + 1, sizeof *groups.list);
    if (!names || !groups.list)
        return NULL;
    for (size_t i = 0; i < n; i++)
        names[i] = take_apart(&items[i]);
    qsort(names, n, sizeof *names, by_stem);
    find_floors(names, n);
    qsort(names, n, sizeof *names, by_floor);
    group_floors(&groups, names, n);
    qsort(names, n, sizeof *names, by_stem);
    group_names(&groups, names, n);
    qsort(groups.list, groups.n, sizeof *groups.list, by_margin);
    *n_groups = groups.n;
    return groups.list;
}

/* "closets" of "water closet, flush valve", "lavatories" of "lavatory". */
static void
write_plural(FILE *out, const char *kind)
{
    static const char water[] = "water ";
    size_t length;

    if (strncmp(kind, water, sizeof water - 1) == 0)
        kind += sizeof water - 1;
    length = strcspn(kind, ",0123456789");
    while (length > 0 && kind[length - 1] == ' ')
        length--;
    if (length > 1 && kind[length - 1] == 'y')
        fprintf(out, "%.*sies", (int)length - 1, kind);
    else
        fprintf(out, "%.*ss", (int)length, kind);
}

static void
write_name(FILE *out, const char *name, size_t columns)
{
    if (fci_text_width(name) <= columns)
        fputs(name, out);
    else
        fprintf(out, "...%s", fci_text_end(name, columns - 3));
}

void
fci_alike_write(FILE *out, const struct fci_alike_item *items,
                const struct fci_alike *group, size_t columns)
{
    const struct fci_alike_item *first = &items[group->first];

    if (group->n == 1 || !group->floors) {
        write_name(out, first->name, columns);
        if (group->n == 1)
            return;
        fputs(group->n == 2 ? " and " : " to ", out);
        write_name(out, items[group->last].name, columns);
        return;
    }
    if (group->from == group->to)
        fprintf(out, "floor %d ", group->from);
    else
        fprintf(out, group->from < 0 ? "floors %d to %d " : "floors %d-%d ",
                group->from, group->to);
    write_plural(out, first->kind);
}
