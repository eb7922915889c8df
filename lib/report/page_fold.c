/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/page_fold.c -- alike rows of a table as one. */
#include "ground/names.h"
#include "report/page_parts.h"

#include <stdlib.h>
#include <string.h>

#define IS_DIGIT(c) ((c) >= '0' && (c) <= '9')

/* A record of a table: a row with a name, and those without one below it. */
struct record {
    size_t row; /* its first; the next record's is where it ends */
    size_t group;
};

/* Records that are alike: the first and the last of them. */
struct alike {
    size_t first, last, n;
};

struct fold {
    struct fci_grid *grid;
    size_t names;           /* columns */
    struct record *records; /* one more, where the last one ends */
    size_t n_records;
    struct alike *alike;
    size_t n_alike;
};

static const char *
name_in(const struct fold *fold, size_t record, size_t column)
{
    const struct fci_grid *grid = fold->grid;

    return grid->cells[fold->records[record].row * grid->n_columns + column]
        .text;
}

/* A name with every number in it as '#'. */
static void
add_stem(char **to, const char *name)
{
    while (*name) {
        if (IS_DIGIT(*name)) {
            *(*to)++ = '#';
            name += strspn(name, "0123456789");
        } else {
            *(*to)++ = *name++;
        }
    }
}

/* What records that are alike have in common. */
static char *
signature(const struct fold *fold, size_t record)
{
    const struct fci_grid *grid = fold->grid;
    const size_t n = grid->n_columns, row = fold->records[record].row;
    const size_t from = row * n, to = fold->records[record + 1].row * n;
    size_t size = 2;
    char *text, *at;

    for (size_t c = from; c < to; c++)
        size += strlen(grid->cells[c].text) + 1;
    text = at = calloc(size, 1);
    if (!text)
        return NULL;
    *at++ = grid->rule > 0 && row >= grid->rule ? 'b' : 'a';
    for (size_t c = from; c < to; c++) {
        const char *cell = grid->cells[c].text;

        if (c - from < fold->names) {
            add_stem(&at, cell);
        } else {
            memcpy(at, cell, strlen(cell));
            at += strlen(cell);
        }
        *at++ = '\x1f';
    }
    return text;
}

/* Where the number stands in which two names differ, and by how much; 0: they
 * differ in more, or not at all. */
static long
step_between(const char *a, const char *b, size_t *at)
{
    size_t i = 0;
    char *end_a, *end_b;
    long from, to;

    while (a[i] && a[i] == b[i])
        i++;
    while (i > 0 && IS_DIGIT(a[i - 1]))
        i--;
    if (!IS_DIGIT(a[i]) || !IS_DIGIT(b[i]))
        return 0;
    from = strtol(a + i, &end_a, 10);
    to = strtol(b + i, &end_b, 10);
    *at = i;
    return strcmp(end_a, end_b) == 0 ? to - from : 0;
}

/* Whether the names of all these records count on by one. */
static bool
counts_on(const struct fold *fold, const struct alike *alike, size_t column)
{
    const char *before = name_in(fold, alike->first, column);
    long step = 0;
    size_t at = 0, at_first = 0;

    for (size_t i = alike->first + 1; i <= alike->last; i++) {
        const char *name = name_in(fold, i, column);
        long by;

        if (fold->records[i].group != fold->records[alike->first].group)
            continue;
        by = step_between(before, name, &at);
        if ((by != 1 && by != -1)
            || (step != 0 && (by != step || at != at_first)))
            return false;
        step = by;
        at_first = at;
        before = name;
    }
    return true;
}

static bool
all_the_same(const struct fold *fold, const struct alike *alike, size_t column)
{
    const char *first = name_in(fold, alike->first, column);

    for (size_t i = alike->first + 1; i <= alike->last; i++)
        if (fold->records[i].group == fold->records[alike->first].group
            && strcmp(first, name_in(fold, i, column)) != 0)
            return false;
    return true;
}

/* "branch-2 to 7", "branch-2-a to branch-7-a", "branch-2 and others". */
static const char *
names_of(const struct fold *fold, const struct alike *alike, size_t column)
{
    struct fci_arena *arena = &fold->grid->doc->arena;
    const char *first = name_in(fold, alike->first, column);
    const char *last = name_in(fold, alike->last, column);
    size_t at = 0;

    if (all_the_same(fold, alike, column))
        return first;
    if (!counts_on(fold, alike, column))
        return fci_arena_printf(arena, "%s and others", first);
    step_between(first, last, &at);
    return fci_arena_printf(
        arena, alike->n == 2 ? "%s and %s" : "%s to %s", first,
        strspn(last + at, "0123456789") == strlen(last + at) ? last + at
                                                             : last);
}

static const char *
counted(const struct fold *fold, const char *names, size_t n)
{
    return names && n > 1 ? fci_arena_printf(&fold->grid->doc->arena,
                                             "%s (%zu alike)", names, n)
                          : names;
}

static void
find_records(struct fold *fold, size_t rows)
{
    const struct fci_grid *grid = fold->grid;

    for (size_t row = 0; row < rows; row++)
        if (row == 0 || row == grid->rule
            || *grid->cells[row * grid->n_columns].text)
            fold->records[fold->n_records++].row = row;
    fold->records[fold->n_records].row = rows;
}

/* The groups of records; false: out of memory. */
static bool
find_alike(struct fold *fold)
{
    struct fci_names known = { 0 };
    char **texts = calloc(fold->n_records, sizeof *texts);
    bool good = texts != NULL;

    for (size_t i = 0; good && i < fold->n_records; i++) {
        size_t at = fold->n_alike;
        bool is_known = false;

        texts[i] = signature(fold, i);
        good = texts[i]
               && fci_names_enter(&known, texts[i], &at, &is_known) == FC_OK;
        if (!good)
            break;
        if (!is_known)
            fold->alike[fold->n_alike++] = (struct alike){ i, i, 0 };
        fold->records[i].group = at;
        fold->alike[at].last = i;
        fold->alike[at].n++;
    }
    fci_names_free(&known);
    for (size_t i = 0; texts && i < fold->n_records; i++)
        free(texts[i]);
    free(texts);
    return good;
}

/* Each group takes the place of its first record, which never stands before
 * the place that is free. */
static void
put_alike(struct fold *fold)
{
    struct fci_grid *grid = fold->grid;
    const size_t n = grid->n_columns, rule = grid->rule;
    size_t row = 0;

    for (size_t i = 0; i < fold->n_alike; i++) {
        const struct alike *alike = &fold->alike[i];
        const struct record *first = &fold->records[alike->first];
        const size_t rows = first[1].row - first->row;
        struct fci_cell *to = &grid->cells[row * n];
        const char *text[4] = { NULL };

        if (rule > 0 && first->row == rule)
            grid->rule = row;
        for (size_t c = 0; c < fold->names; c++) {
            text[c] = names_of(fold, alike, c);
            if (c == 0)
                text[c] = counted(fold, text[c], alike->n);
        }
        memmove(to, &grid->cells[first->row * n], rows * n * sizeof *to);
        for (size_t c = 0; c < fold->names; c++)
            to[c].text = text[c] ? text[c] : "";
        row += rows;
    }
    grid->n_cells = row * n;
}

void
fci_page_fold(struct fci_grid *grid, size_t names)
{
    const size_t rows = grid->n_columns ? grid->n_cells / grid->n_columns : 0;
    struct fold fold = { .grid = grid, .names = names };

    if (rows < 2 || grid->doc->failed || grid->doc->arena.failed)
        return;
    fold.records = calloc(rows + 1, sizeof *fold.records);
    fold.alike = calloc(rows, sizeof *fold.alike);
    if (fold.records && fold.alike)
        find_records(&fold, rows);
    if (fold.records && fold.alike && find_alike(&fold))
        put_alike(&fold);
    else
        grid->doc->failed = true;
    free(fold.records);
    free(fold.alike);
}
