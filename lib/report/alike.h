/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/alike.h -- many fixtures told in a few words.
 *
 * "floors 2-7 closets" stands for all of them, "wc-3 to wc-7" for a row of
 * names that differ in their number.
 */
#ifndef FCI_REPORT_ALIKE_H
#define FCI_REPORT_ALIKE_H

#include "ground/memory.h"

#include <stdbool.h>
#include <stdio.h>

struct fci_alike_item {
    const char *name;
    const char *kind; /* "water closet, flush valve" */
    int count;        /* that it stands for */
    double margin;    /* what is worst is told first */
    bool typical;     /* one floor of a typical floor, */
    int floor;        /* this one */
    bool chosen;      /* to be told of */
};

/* Chosen ones that are told together. */
struct fci_alike {
    size_t first, last; /* items, by their names' numbers */
    size_t n;           /* items; */
    int count;          /* what they stand for */
    double margin;      /* the least of them */
    bool floors;        /* all of the kind on the floors `from` to `to` */
    int from, to;
};

/* In groups, the one of the least margin first.  NULL when out of memory. */
struct fci_alike *fci_alike_find(struct fci_arena *arena,
                                 const struct fci_alike_item *items, size_t n,
                                 size_t *n_groups);

/* "floors 2-7 closets", "wc-3 to wc-7", "wc-3"; of a name that takes more
 * columns than these the end. */
void fci_alike_write(FILE *out, const struct fci_alike_item *items,
                     const struct fci_alike *group, size_t columns);

#endif
