/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/tree.c -- the elements of a finished site as a tree. */
#include "site/tree.h"

void
fci_list_hanging(size_t *start, size_t owners, size_t *list, size_t n,
                 size_t (*owner)(const void *of, size_t i), const void *of)
{
    size_t i;

    for (i = 0; i < n; i++)
        if (owner(of, i) != FCI_NONE)
            start[owner(of, i) + 2]++;
    for (i = 2; i < owners + 2; i++)
        start[i] += start[i - 1];
    for (i = 0; i < n; i++)
        if (owner(of, i) != FCI_NONE)
            list[start[owner(of, i) + 1]++] = i;
}

static size_t
place_of_fixture(const void *of, size_t i)
{
    const struct fci_tree *tree = of;

    return tree->place[tree->site->fixtures[i].element];
}

/* Sizes of subtrees from the ends, then places from the source: each child
 * gets the next of its parent's that are free.  `heavy` is the child with the
 * most behind it: paths of such make a meeting point a matter of log n steps,
 * whatever the shape of the tree. */
bool
fci_tree_make(struct fci_tree *tree, const fc_site *site,
              struct fci_arena *arena)
{
    const size_t n = site->n_elements, m = site->n_fixtures;
    size_t *heavy = fci_arena_array(arena, n, sizeof *heavy);
    size_t *next = fci_arena_array(arena, n, sizeof *next);
    size_t i, roots = 0;

    tree->site = site;
    tree->place = fci_arena_array(arena, n, sizeof *tree->place);
    tree->at = fci_arena_array(arena, n, sizeof *tree->at);
    tree->size = fci_arena_array(arena, n, sizeof *tree->size);
    tree->depth = fci_arena_array(arena, n, sizeof *tree->depth);
    tree->head = fci_arena_array(arena, n, sizeof *tree->head);
    tree->first = fci_arena_array(arena, n + 2, sizeof *tree->first);
    tree->fixtures = fci_arena_array(arena, m, sizeof *tree->fixtures);
    if (arena->failed)
        return false;
    for (i = n; i-- > 0;) {
        const size_t at = site->order[i], parent = site->elements[at].parent;

        tree->size[at]++;
        if (parent == FCI_NONE)
            continue;
        /* child + 1, so that 0 means none yet */
        if (heavy[parent] == 0
            || tree->size[at] > tree->size[heavy[parent] - 1])
            heavy[parent] = at + 1;
        tree->size[parent] += tree->size[at];
    }
    for (i = 0; i < n; i++) {
        const size_t at = site->order[i], parent = site->elements[at].parent;
        size_t *const place = parent == FCI_NONE ? &roots : &next[parent];

        tree->place[at] = *place;
        tree->at[*place] = at;
        next[at] = *place + 1;
        *place += tree->size[at];
        tree->head[at] = at;
        if (parent == FCI_NONE)
            continue;
        tree->depth[at] = tree->depth[parent] + 1;
        if (heavy[parent] == at + 1)
            tree->head[at] = tree->head[parent];
    }
    fci_list_hanging(tree->first, n, tree->fixtures, m, place_of_fixture,
                     tree);
    return true;
}

size_t
fci_tree_meeting(const struct fci_tree *tree, size_t a, size_t b)
{
    const size_t *head = tree->head, *depth = tree->depth;

    while (head[a] != head[b]) {
        size_t *lower = depth[head[a]] >= depth[head[b]] ? &a : &b;

        *lower = tree->site->elements[head[*lower]].parent;
        if (*lower == FCI_NONE)
            return FCI_NONE;
    }
    return depth[a] <= depth[b] ? a : b;
}
