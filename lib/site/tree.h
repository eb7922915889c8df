/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/tree.h -- the elements of a finished site as a tree: what hangs on
 * what, and what is behind it. */
#ifndef FCI_SITE_TREE_H
#define FCI_SITE_TREE_H

#include "site/site.h"

/* Things by what they hang on: those of owner o are list[start[o]] and on,
 * before list[start[o + 1]], in their own order.  `start` has owners + 2
 * entries of 0 before, `list` room for n.  `owner` tells on which a thing
 * hangs; FCI_NONE: on none, and it is left out. */
void fci_list_hanging(size_t *start, size_t owners, size_t *list, size_t n,
                      size_t (*owner)(const void *of, size_t i),
                      const void *of);

/* Every element has a place, depth first, so that what is behind it has the
 * places after its own. */
struct fci_tree {
    const fc_site *site;
    size_t *place;    /* by element */
    size_t *at;       /* by place: the element */
    size_t *size;     /* by element: of the subtree, itself counted */
    size_t *depth;    /* by element: how many are above it */
    size_t *head;     /* by element: topmost of the path it is on (private) */
    size_t *first;    /* by place, and one more: into `fixtures` */
    size_t *fixtures; /* by the place they hang on */
};

/* In linear time; false when out of memory. */
bool fci_tree_make(struct fci_tree *tree, const fc_site *site,
                   struct fci_arena *arena);

/* The last element that the ways to both have in common; FCI_NONE where the
 * two hang on different sources. */
size_t fci_tree_meeting(const struct fci_tree *tree, size_t a, size_t b);

#endif
