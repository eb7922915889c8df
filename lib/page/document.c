/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/document.c -- a report for people, as blocks. */
#include "page/document.h"

#include <stdlib.h>
#include <string.h>

/* What a screen has no room for is noted, once each. */
static void
note_left(struct fci_doc *doc)
{
    if (!doc->leaving || doc->leaving == doc->left_last)
        return;
    doc->left = doc->left ? fci_arena_printf(&doc->arena, "%s, %s", doc->left,
                                             doc->leaving)
                          : doc->leaving;
    doc->left_last = doc->leaving;
}

static struct fci_block *
add_block(struct fci_doc *doc, enum fci_block_kind kind)
{
    struct fci_block *block = fci_arena_alloc(&doc->arena, sizeof *block);

    if (!block)
        return NULL;
    note_left(doc);
    block->kind = kind;
    block->forms = doc->forms;
    block->place = doc->place;
    if (doc->last)
        doc->last->next = block;
    else
        doc->first = block;
    doc->last = block;
    return block;
}

static struct fci_block *
add_text(struct fci_doc *doc, enum fci_block_kind kind, const char *format,
         va_list args)
{
    struct fci_block *block = add_block(doc, kind);

    if (block)
        block->text = fci_arena_vprintf(&doc->arena, format, args);
    return block;
}

void
fci_doc_for(struct fci_doc *doc, unsigned forms)
{
    doc->forms = forms;
    if (forms == FCI_IN_DEPTH && doc->place == FCI_ON_TOP && doc->judged
        && !doc->whole)
        doc->place = FCI_IN_TABLES;
}

bool
fci_doc_is_seen(const struct fci_doc *doc)
{
    return (doc->forms & ~doc->unseen) != 0;
}

enum fci_place
fci_doc_place(struct fci_doc *doc, enum fci_place place)
{
    const enum fci_place before = doc->place;

    doc->place = place;
    return before;
}

#define ADD_TEXT(kind)                                                        \
    va_list args;                                                             \
                                                                              \
    va_start(args, format);                                                   \
    add_text(doc, kind, format, args);                                        \
    va_end(args)

void
fci_doc_title(struct fci_doc *doc, const char *format, ...)
{
    ADD_TEXT(FCI_B_TITLE);
}

void
fci_doc_heading(struct fci_doc *doc, const char *format, ...)
{
    ADD_TEXT(FCI_B_HEADING);
}

void
fci_doc_say(struct fci_doc *doc, const char *format, ...)
{
    ADD_TEXT(FCI_B_SAY);
}

void
fci_doc_item(struct fci_doc *doc, const char *format, ...)
{
    ADD_TEXT(FCI_B_ITEM);
}

void
fci_doc_code(struct fci_doc *doc, const char *format, ...)
{
    ADD_TEXT(FCI_B_CODE);
}

void
fci_doc_verdict(struct fci_doc *doc, enum fci_tint tint, const char *word,
                const char *format, ...)
{
    struct fci_block *block;
    va_list args;

    va_start(args, format);
    block = add_text(doc, FCI_B_VERDICT, format, args);
    va_end(args);
    if (!block)
        return;
    doc->judged |= (doc->forms & FCI_IN_PAGE) != 0;
    block->tint = tint;
    block->label = fci_arena_string(&doc->arena, word);
}

void
fci_doc_pair(struct fci_doc *doc, const char *label, const char *format, ...)
{
    struct fci_block *block;
    va_list args;

    va_start(args, format);
    block = add_text(doc, FCI_B_PAIR, format, args);
    va_end(args);
    if (block)
        block->label = fci_arena_string(&doc->arena, label);
}

void
fci_doc_line(struct fci_doc *doc, const char *label, const char *second)
{
    struct fci_block *block = add_block(doc, FCI_B_LINE);

    if (!block)
        return;
    block->label = fci_arena_string(&doc->arena, label);
    block->text = second ? fci_arena_string(&doc->arena, second) : NULL;
}

void
fci_doc_gap(struct fci_doc *doc)
{
    add_block(doc, FCI_B_GAP);
}

void
fci_doc_break(struct fci_doc *doc)
{
    add_block(doc, FCI_B_BREAK);
}

void
fci_doc_drawing(struct fci_doc *doc,
                bool (*draw)(xmlTextWriterPtr out, const void *what),
                const void *what)
{
    struct fci_block *block = add_block(doc, FCI_B_DRAWING);

    if (!block)
        return;
    block->forms &= FCI_IN_PAGE;
    block->draw = draw;
    block->drawn = what;
}

/* ---- Tables ----------------------------------------------------------- */

struct fci_grid *
fci_grid_new(struct fci_doc *doc, const struct fci_doc_column *columns,
             size_t n_columns)
{
    struct fci_grid *grid = fci_arena_alloc(&doc->arena, sizeof *grid);

    if (!grid) {
        doc->lost = (struct fci_grid){ 0 };
        return &doc->lost;
    }
    grid->doc = doc;
    grid->columns =
        fci_arena_copy(&doc->arena, columns, n_columns * sizeof *columns);
    for (size_t i = 0; grid->columns && i < n_columns; i++)
        grid->columns[i].heading =
            fci_arena_string(&doc->arena, columns[i].heading);
    grid->n_columns = n_columns;
    grid->next = doc->grids;
    doc->grids = grid;
    return grid;
}

void
fci_doc_put(struct fci_doc *doc, struct fci_grid *grid)
{
    struct fci_block *block;

    if (fci_grid_is_empty(grid))
        return;
    block = add_block(doc, FCI_B_TABLE);
    if (block)
        block->grid = grid;
}

struct fci_grid *
fci_doc_table(struct fci_doc *doc, const struct fci_doc_column *columns,
              size_t n_columns)
{
    struct fci_grid *grid = fci_grid_new(doc, columns, n_columns);
    struct fci_block *block = grid->doc ? add_block(doc, FCI_B_TABLE) : NULL;

    if (block)
        block->grid = grid;
    return grid;
}

void
fci_cell_tinted(struct fci_grid *grid, const char *text, enum fci_tint tint)
{
    struct fci_cell *cells;

    if (!grid->doc || grid->doc->failed)
        return;
    cells =
        fci_grow(grid->cells, grid->n_cells, &grid->capacity, sizeof *cells);
    if (!cells) {
        grid->doc->failed = true;
        return;
    }
    grid->cells = cells;
    cells[grid->n_cells].text =
        fci_arena_string(&grid->doc->arena, text ? text : "");
    cells[grid->n_cells++].tint = tint;
}

void
fci_cell(struct fci_grid *grid, const char *text)
{
    fci_cell_tinted(grid, text, FCI_PLAIN_TINT);
}

void
fci_grid_rule(struct fci_grid *grid)
{
    if (grid->doc)
        grid->rule = grid->n_cells / grid->n_columns;
}

bool
fci_grid_is_empty(const struct fci_grid *grid)
{
    return grid->n_cells == 0;
}

bool
fci_grids_match(const struct fci_grid *a, const struct fci_grid *b)
{
    if (a->n_cells != b->n_cells)
        return false;
    for (size_t i = 0; i < a->n_cells; i++)
        if (!a->cells[i].text || !b->cells[i].text
            || strcmp(a->cells[i].text, b->cells[i].text) != 0
            || a->cells[i].tint != b->cells[i].tint)
            return false;
    return true;
}

void
fci_doc_free(struct fci_doc *doc)
{
    for (struct fci_grid *grid = doc->grids; grid; grid = grid->next)
        free(grid->cells);
    fci_arena_free(&doc->arena);
}
