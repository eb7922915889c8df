/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/page/table.h -- columns of text under headings, no wider than the page.
 */
#ifndef CLI_PAGE_TABLE_H
#define CLI_PAGE_TABLE_H

#include "page/text.h"

enum align { ALIGN_LEFT, ALIGN_RIGHT };

/* A heading may have two lines ("\n"); a unit may be "". */
struct column {
    const char *heading, *unit;
    enum align align;
    size_t least; /* may be narrowed to this, its cells wrapped; 0: may not */
};

struct cell {
    char *text;
    enum tint tint;
};

struct table {
    const struct column *columns;
    size_t n_columns, n_cells, capacity;
    struct cell *cells;
    size_t rule; /* a rule stands before this row; 0: none */
    bool failed;
};

struct table table_new(const struct column *columns, size_t n_columns);
/* Cells are added row by row, from left to right; texts are copied. */
void table_add(struct table *table, const char *text);
void table_add_tinted(struct table *table, const char *text, enum tint tint);
/* A rule between what was added and what comes. */
void table_rule(struct table *table);
/* Print it and free it. */
void table_print(struct table *table, struct page *page);

#endif
