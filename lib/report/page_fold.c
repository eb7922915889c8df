/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/page_fold.c -- alike rows of a table as one. */
#include "ground/names.h"
#include "report/page_parts.h"

#include <stdlib.h>
#include <string.h>

#define IS_DIGIT(c) ((c) >= '0' && (c) <= '9')

/* Rows that are alike: the first and the last of them, and whether their names
 * count up or down by one. */
struct alike {
    size_t first, last, n;
};

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

/* What rows that are alike have in common. */
static char *
signature(const struct fci_grid *grid, size_t row, size_t names)
{
    const struct fci_cell *cells = &grid->cells[row * grid->n_columns];
    size_t size = 2;
    char *text, *to;

    for (size_t c = 0; c < grid->n_columns; c++)
        size += strlen(cells[c].text) + 1;
    text = to = calloc(size, 1);
    if (!text)
        return NULL;
    *to++ = grid->rule > 0 && row >= grid->rule ? 'b' : 'a';
    for (size_t c = 0; c < grid->n_columns; c++) {
        if (c < names) {
            add_stem(&to, cells[c].text);
        } else {
            memcpy(to, cells[c].text, strlen(cells[c].text));
            to += strlen(cells[c].text);
        }
        *to++ = '\x1f';
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

/* Whether the names of all these rows count on by one. */
static bool
counts_on(const struct fci_grid *grid, const size_t *group,
          const struct alike *alike, size_t column)
{
    const size_t n = grid->n_columns;
    const char *before = grid->cells[alike->first * n + column].text;
    long step = 0;
    size_t at = 0, at_first = 0;

    for (size_t row = alike->first + 1; row <= alike->last; row++) {
        const char *name = grid->cells[row * n + column].text;
        long by;

        if (group[row] != group[alike->first])
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
all_the_same(const struct fci_grid *grid, const size_t *group,
             const struct alike *alike, size_t column)
{
    const size_t n = grid->n_columns;
    const char *first = grid->cells[alike->first * n + column].text;

    for (size_t row = alike->first + 1; row <= alike->last; row++)
        if (group[row] == group[alike->first]
            && strcmp(first, grid->cells[row * n + column].text) != 0)
            return false;
    return true;
}

/* "branch-2 to 7", "branch-2-a to branch-7-a", "branch-2 and others". */
static const char *
names_of(const struct fci_grid *grid, const size_t *group,
         const struct alike *alike, size_t column)
{
    struct fci_arena *arena = &grid->doc->arena;
    const size_t n = grid->n_columns;
    const char *first = grid->cells[alike->first * n + column].text;
    const char *last = grid->cells[alike->last * n + column].text;
    size_t at = 0;

    if (all_the_same(grid, group, alike, column))
        return first;
    if (!counts_on(grid, group, alike, column))
        return fci_arena_printf(arena, "%s and others", first);
    step_between(first, last, &at);
    return fci_arena_printf(
        arena, alike->n == 2 ? "%s and %s" : "%s to %s", first,
        strspn(last + at, "0123456789") == strlen(last + at) ? last + at
                                                             : last);
}

static const char *
counted(const struct fci_grid *grid, const char *names, size_t n)
{
    return names && n > 1 ? fci_arena_printf(&grid->doc->arena,
                                             "%s (%zu alike)", names, n)
                          : names;
}

/* The groups of rows; false: out of memory. */
static bool
find_alike(const struct fci_grid *grid, size_t names, size_t rows,
           size_t *group, struct alike *alike, size_t *n_alike)
{
    struct fci_names known = { 0 };
    char **texts = calloc(rows, sizeof *texts);
    bool good = texts != NULL;

    for (size_t row = 0; good && row < rows; row++) {
        size_t at = *n_alike;
        bool is_known = false;

        texts[row] = signature(grid, row, names);
        good = texts[row]
               && fci_names_enter(&known, texts[row], &at, &is_known) == FC_OK;
        if (!good)
            break;
        if (!is_known)
            alike[(*n_alike)++] = (struct alike){ row, row, 0 };
        group[row] = at;
        alike[at].last = row;
        alike[at].n++;
    }
    fci_names_free(&known);
    for (size_t row = 0; texts && row < rows; row++)
        free(texts[row]);
    free(texts);
    return good;
}

static void
put_alike(struct fci_grid *grid, size_t names, const size_t *group,
          const struct alike *alike, size_t n_alike)
{
    const size_t n = grid->n_columns, rule = grid->rule;

    for (size_t i = 0; i < n_alike; i++) {
        struct fci_cell *to = &grid->cells[i * n];
        const char *text[4] = { NULL };

        if (rule > 0 && alike[i].first == rule)
            grid->rule = i;
        for (size_t c = 0; c < names; c++) {
            text[c] = names_of(grid, group, &alike[i], c);
            if (c == 0)
                text[c] = counted(grid, text[c], alike[i].n);
        }
        memmove(to, &grid->cells[alike[i].first * n], n * sizeof *to);
        for (size_t c = 0; c < names; c++)
            to[c].text = text[c] ? text[c] : "";
    }
    grid->n_cells = n_alike * n;
}

void
fci_page_fold(struct fci_grid *grid, size_t names)
{
    const size_t rows = grid->n_columns ? grid->n_cells / grid->n_columns : 0;
    size_t *group, n_alike = 0;
    struct alike *alike;

    if (rows < 2 || grid->doc->failed || grid->doc->arena.failed)
        return;
    group = calloc(rows, sizeof *group);
    alike = calloc(rows, sizeof *alike);
    if (!group || !alike
        || !find_alike(grid, names, rows, group, alike, &n_alike))
        grid->doc->failed = true;
    else
        put_alike(grid, names, group, alike, n_alike);
    free(group);
    free(alike);
}
