/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/text_table.c -- columns of text under headings, no wider than the
 * page.
 */
#include "page/forms.h"
#include "page/terminal.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define INDENT 2
#define MOST_COLUMNS 16

struct layout {
    size_t widths[MOST_COLUMNS];
    size_t least[MOST_COLUMNS]; /* 0: may not be narrowed */
    size_t gap;
    bool in_names; /* a line may end within a name */
    bool stacked;  /* headings of several words take two lines */
};

/* Where the first line of a heading of two ends; NULL: it has one.  One that
 * is stacked is parted in the middle. */
static const char *
first_line_end(const char *heading, bool stacked)
{
    const char *end = strchr(heading, '\n'), *at = heading;
    const size_t half = strlen(heading) / 2;

    while (!end && stacked && (at = strchr(at, ' '))) {
        const char *next = strchr(at + 1, ' ');

        if (!next || (size_t)(next - heading) > half)
            end = at;
        at++;
    }
    return end;
}

/* The part of a heading in line 0 or 1 of two; headings stand on the unit
 * row, so a heading of one line is in line 1. */
static struct fci_cell
heading_line(const char *heading, int line, bool stacked, char *buffer,
             size_t size)
{
    const char *end = first_line_end(heading, stacked);
    struct fci_cell cell = { buffer, FCI_PLAIN_TINT };

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
heading_width(const struct fci_doc_column *column, bool stacked)
{
    size_t width = fci_text_width(column->unit);
    char buffer[64];

    for (int line = 0; line < 2; line++)
        width = greater(
            width, fci_text_width(heading_line(column->heading, line, stacked,
                                               buffer, sizeof buffer)
                                      .text));
    return width;
}

static size_t
total_width(const struct fci_grid *grid, const struct layout *layout)
{
    size_t total = INDENT + layout->gap * (grid->n_columns - 1);

    for (size_t i = 0; i < grid->n_columns; i++)
        total += layout->widths[i];
    return total;
}

/* Take a column from the widest that may be narrowed; false: none may. */
static bool
narrow(const struct fci_grid *grid, struct layout *layout)
{
    size_t widest = SIZE_MAX;

    for (size_t i = 0; i < grid->n_columns; i++) {
        if (layout->least[i] == 0 || layout->widths[i] <= layout->least[i])
            continue;
        if (widest == SIZE_MAX || layout->widths[i] > layout->widths[widest])
            widest = i;
    }
    if (widest == SIZE_MAX)
        return false;
    layout->widths[widest]--;
    return true;
}

/* The longest part of a text that is not cut; `in_names`: as of
 * fci_text_fit_word(). */
static size_t
widest_word(const char *text, bool in_names)
{
    size_t widest = 0, columns = 0;

    while (*text) {
        const struct fci_char c = fci_text_next(text);

        columns = *text == ' ' ? 0 : columns + c.columns;
        widest = greater(widest, columns);
        if (in_names && strchr("-_/", *text))
            columns = 0;
        text += c.bytes;
    }
    return widest;
}

/* Words are cut only where the page is too narrow for them, and where they may
 * be; names before others. */
enum may { MAY_KEEP_WORDS, MAY_PART_NAMES, MAY_CUT };

/* How wide the columns want to be, and at least are. */
static void
measure(const struct fci_grid *grid, struct layout *layout, enum may may)
{
    for (size_t i = 0; i < grid->n_columns; i++) {
        layout->widths[i] = heading_width(&grid->columns[i], layout->stacked);
        layout->least[i] =
            grid->columns[i].least > 0
                ? greater(grid->columns[i].least, layout->widths[i])
                : 0;
    }
    for (size_t i = 0; i < grid->n_cells; i++) {
        const char *text = grid->cells[i].text;
        const size_t k = i % grid->n_columns;

        layout->widths[k] = greater(layout->widths[k], fci_text_width(text));
        if (layout->least[k] > 0 && may != MAY_CUT)
            layout->least[k] = greater(
                layout->least[k], widest_word(text, may == MAY_PART_NAMES));
    }
}

/* Whether it is no wider than the page. */
static bool
narrow_all(const struct fci_lines *lines, const struct fci_grid *grid,
           struct layout *layout, enum may may)
{
    measure(grid, layout, may);
    while (total_width(grid, layout) > lines->width)
        if (!narrow(grid, layout))
            return false;
    return true;
}

static struct layout
lay_out(const struct fci_lines *lines, const struct fci_grid *grid)
{
    static const struct {
        size_t gap;
        bool stacked;
    } tries[] = { { 2, false }, { 1, false }, { 2, true }, { 1, true } };
    struct layout layout = { .in_names = lines->terminal };

    for (size_t i = 0; i < sizeof tries / sizeof *tries; i++) {
        layout.gap = tries[i].gap;
        layout.stacked = tries[i].stacked;
        if (narrow_all(lines, grid, &layout, MAY_KEEP_WORDS))
            return layout;
    }
    layout.stacked = layout.in_names; /* else it is too wide all the same */
    if (!narrow_all(lines, grid, &layout,
                    layout.in_names ? MAY_PART_NAMES : MAY_KEEP_WORDS)
        && layout.in_names)
        narrow_all(lines, grid, &layout, MAY_CUT);
    return layout;
}

/* The columns of the part of a cell that fits in `width`, in *bytes; a space
 * where it is cut is not shown. */
static size_t
part_that_fits(const char *text, size_t width, bool in_names, size_t *bytes)
{
    size_t columns = 0;

    *bytes = fci_text_fit_word(text, width, in_names);
    while (*bytes > 0 && text[*bytes - 1] == ' ')
        (*bytes)--;
    for (size_t b = 0; b < *bytes;) {
        struct fci_char c = fci_text_next(text + b);

        columns += c.columns;
        b += c.bytes;
    }
    return columns;
}

/* One line of one row: as much of each cell as fits; what is left over stays
 * in the cells.  Spaces wait until something follows them. */
static void
print_line(const struct fci_grid *grid, const struct layout *layout,
           struct fci_cell *cells, struct fci_lines *lines)
{
    size_t pending = INDENT;

    for (size_t i = 0; i < grid->n_columns; i++) {
        size_t width = layout->widths[i], bytes;
        size_t columns =
            part_that_fits(cells[i].text, width, layout->in_names, &bytes);
        size_t pad = width > columns ? width - columns : 0;
        bool right = grid->columns[i].align == FCI_RIGHT;

        if (bytes > 0) {
            fci_lines_spaces(lines, pending + (right ? pad : 0));
            fci_lines_tinted(lines, cells[i].tint, cells[i].text, bytes);
            pending = right ? 0 : pad;
        } else {
            pending += pad;
        }
        pending += layout->gap;
        cells[i].text += bytes;
        while (*cells[i].text == ' ')
            cells[i].text++;
    }
    fputc('\n', lines->out);
}

static bool
anything_left(const struct fci_cell *cells, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (*cells[i].text)
            return true;
    return false;
}

static void
print_row(const struct fci_grid *grid, const struct layout *layout,
          const struct fci_cell *row, struct fci_lines *lines)
{
    struct fci_cell cells[MOST_COLUMNS];

    memcpy(cells, row, grid->n_columns * sizeof *row);
    while (anything_left(cells, grid->n_columns))
        print_line(grid, layout, cells, lines);
}

static void
print_headings(const struct fci_grid *grid, const struct layout *layout,
               struct fci_lines *lines)
{
    char buffers[MOST_COLUMNS][64];
    struct fci_cell cells[MOST_COLUMNS];

    for (int line = 0; line < 3; line++) {
        for (size_t i = 0; i < grid->n_columns; i++) {
            if (line < 2) {
                cells[i] = heading_line(grid->columns[i].heading, line,
                                        layout->stacked, buffers[i],
                                        sizeof buffers[i]);
            } else {
                snprintf(buffers[i], sizeof buffers[i], "%s",
                         grid->columns[i].unit);
                cells[i].text = buffers[i];
                cells[i].tint = FCI_PLAIN_TINT;
            }
        }
        print_row(grid, layout, cells, lines);
    }
}

static void
print_rule(const struct fci_grid *grid, const struct layout *layout,
           struct fci_lines *lines)
{
    fci_lines_spaces(lines, INDENT);
    for (size_t i = INDENT; i < total_width(grid, layout); i++)
        fputc('-', lines->out);
    fputc('\n', lines->out);
}

void
fci_lines_table(struct fci_lines *lines, const struct fci_grid *grid)
{
    const struct layout layout = lay_out(lines, grid);

    print_headings(grid, &layout, lines);
    for (size_t i = 0; i < grid->n_cells; i += grid->n_columns) {
        if (grid->rule > 0 && i == grid->rule * grid->n_columns)
            print_rule(grid, &layout, lines);
        print_row(grid, &layout, &grid->cells[i], lines);
    }
}
