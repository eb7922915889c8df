/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/page/table.c -- columns of text under headings, no wider than the page.
 */
#include "page/table.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define INDENT 2
#define MOST_COLUMNS 16

struct layout {
    size_t widths[MOST_COLUMNS];
    size_t gap;
};

struct table
table_new(const struct column *columns, size_t n_columns)
{
    struct table table = { 0 };

    table.columns = columns;
    table.n_columns = n_columns;
    table.failed = n_columns > MOST_COLUMNS;
    return table;
}

static bool
make_room(struct table *table)
{
    size_t capacity = table->capacity ? 2 * table->capacity : 64;
    struct cell *cells;

    if (table->n_cells < table->capacity)
        return true;
    if (capacity > SIZE_MAX / sizeof *cells)
        return false;
    cells = realloc(table->cells, capacity * sizeof *cells);
    if (!cells)
        return false;
    table->cells = cells;
    table->capacity = capacity;
    return true;
}

void
table_add_tinted(struct table *table, const char *text, enum tint tint)
{
    struct cell cell = { NULL, tint };

    if (table->failed)
        return;
    if (!make_room(table) || !(cell.text = strdup(text ? text : ""))) {
        table->failed = true;
        return;
    }
    table->cells[table->n_cells++] = cell;
}

void
table_add(struct table *table, const char *text)
{
    table_add_tinted(table, text, TINT_NONE);
}

void
table_rule(struct table *table)
{
    table->rule = table->n_cells / table->n_columns;
}

/* The part of a heading in line 0 or 1 of two; headings stand on the unit
 * row, so a heading of one line is in line 1. */
static struct cell
heading_line(const char *heading, int line, char *buffer, size_t size)
{
    const char *end = strchr(heading, '\n');
    struct cell cell = { buffer, TINT_NONE };

    if (line == 1)
        snprintf(buffer, size, "%s", end ? end + 1 : heading);
    else
        snprintf(buffer, size, "%.*s", end ? (int)(end - heading) : 0,
                 heading);
    return cell;
}

static size_t
greater(size_t a, size_t b)
{
    return a > b ? a : b;
}

static size_t
heading_width(const struct column *column)
{
    size_t width = text_width(column->unit);
    char buffer[64];

    for (int line = 0; line < 2; line++)
        width = greater(width, text_width(heading_line(column->heading, line,
                                                       buffer, sizeof buffer)
                                              .text));
    return width;
}

static size_t
total_width(const struct table *table, const struct layout *layout)
{
    size_t total = INDENT + layout->gap * (table->n_columns - 1);

    for (size_t i = 0; i < table->n_columns; i++)
        total += layout->widths[i];
    return total;
}

/* Take a column from the widest that may be narrowed; false: none may. */
static bool
narrow(const struct table *table, struct layout *layout)
{
    size_t widest = SIZE_MAX;

    for (size_t i = 0; i < table->n_columns; i++) {
        size_t least = greater(table->columns[i].least,
                               heading_width(&table->columns[i]));

        if (table->columns[i].least == 0 || layout->widths[i] <= least)
            continue;
        if (widest == SIZE_MAX || layout->widths[i] > layout->widths[widest])
            widest = i;
    }
    if (widest == SIZE_MAX)
        return false;
    layout->widths[widest]--;
    return true;
}

static struct layout
lay_out(const struct table *table)
{
    struct layout layout = { { 0 }, 2 };

    for (size_t i = 0; i < table->n_columns; i++)
        layout.widths[i] = heading_width(&table->columns[i]);
    for (size_t i = 0; i < table->n_cells; i++) {
        size_t *width = &layout.widths[i % table->n_columns];

        *width = greater(*width, text_width(table->cells[i].text));
    }
    while (total_width(table, &layout) > PAGE_WIDTH)
        if (!narrow(table, &layout))
            break;
    if (total_width(table, &layout) > PAGE_WIDTH)
        layout.gap = 1;
    return layout;
}

/* The columns of the part of a cell that fits in `width`, in *bytes; a space
 * where it is cut is not shown. */
static size_t
part_that_fits(const char *text, size_t width, size_t *bytes)
{
    size_t columns = 0;

    *bytes = text_fit_word(text, width);
    while (*bytes > 0 && text[*bytes - 1] == ' ')
        (*bytes)--;
    for (size_t b = 0; b < *bytes;) {
        struct text_char c = text_next(text + b);

        columns += c.columns;
        b += c.bytes;
    }
    return columns;
}

/* One line of one row: as much of each cell as fits; what is left over stays
 * in the cells.  Spaces wait until something follows them. */
static void
print_line(const struct table *table, const struct layout *layout,
           struct cell *cells, struct page *page)
{
    size_t pending = INDENT;

    for (size_t i = 0; i < table->n_columns; i++) {
        size_t width = layout->widths[i], bytes;
        size_t columns = part_that_fits(cells[i].text, width, &bytes);
        size_t pad = width > columns ? width - columns : 0;
        bool right = table->columns[i].align == ALIGN_RIGHT;

        if (bytes > 0) {
            page_spaces(page, pending + (right ? pad : 0));
            page_tinted(page, cells[i].tint, cells[i].text, bytes);
            pending = right ? 0 : pad;
        } else {
            pending += pad;
        }
        pending += layout->gap;
        cells[i].text += bytes;
        while (*cells[i].text == ' ')
            cells[i].text++;
    }
    page_blank(page);
}

static bool
anything_left(const struct cell *cells, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (*cells[i].text)
            return true;
    return false;
}

static void
print_row(const struct table *table, const struct layout *layout,
          const struct cell *row, struct page *page)
{
    struct cell cells[MOST_COLUMNS];

    memcpy(cells, row, table->n_columns * sizeof *row);
    while (anything_left(cells, table->n_columns))
        print_line(table, layout, cells, page);
}

static void
print_headings(const struct table *table, const struct layout *layout,
               struct page *page)
{
    char buffers[MOST_COLUMNS][64];
    struct cell cells[MOST_COLUMNS];

    for (int line = 0; line < 3; line++) {
        for (size_t i = 0; i < table->n_columns; i++) {
            if (line < 2) {
                cells[i] = heading_line(table->columns[i].heading, line,
                                        buffers[i], sizeof buffers[i]);
            } else {
                snprintf(buffers[i], sizeof buffers[i], "%s",
                         table->columns[i].unit);
                cells[i].text = buffers[i];
                cells[i].tint = TINT_NONE;
            }
        }
        print_row(table, layout, cells, page);
    }
}

static void
print_rule(const struct table *table, const struct layout *layout,
           struct page *page)
{
    page_spaces(page, INDENT);
    for (size_t i = INDENT; i < total_width(table, layout); i++)
        fputc('-', page->out);
    page_blank(page);
}

void
table_print(struct table *table, struct page *page)
{
    struct layout layout;

    if (!table->failed) {
        layout = lay_out(table);
        print_headings(table, &layout, page);
        for (size_t i = 0; i < table->n_cells; i += table->n_columns) {
            if (table->rule > 0 && i == table->rule * table->n_columns)
                print_rule(table, &layout, page);
            print_row(table, &layout, &table->cells[i], page);
        }
    }
    page->failed = page->failed || table->failed;
    for (size_t i = 0; i < table->n_cells; i++)
        free(table->cells[i].text);
    free(table->cells);
}
