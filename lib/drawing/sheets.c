/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/sheets.c -- the sheets of a riser diagram; see sheets.h. */
#include "drawing/sheets.h"

#include <math.h>
#include <stdlib.h>

#define CLEAR 3.0 /* from a cut to a line or a text */
#define MOST 5    /* stretches of one cell */

/* What must not be cut. */
struct stretch {
    double top, bottom;
    size_t sheet;
};

static int
by_place(const void *a, const void *b)
{
    const struct stretch *x = a, *y = b;

    if (x->sheet != y->sheet)
        return x->sheet < y->sheet ? -1 : 1;
    return (x->top > y->top) - (x->top < y->top);
}

static void
keep(struct stretch *list, size_t *n, size_t sheet, double top, double bottom)
{
    list[(*n)++] = (struct stretch){ top - CLEAR, bottom + CLEAR, sheet };
}

/* Its texts, its symbol and tag, where lines leave it, and the note of its
 * floors; but not what lies between. */
static void
keep_cell(struct stretch *list, size_t *n, const struct fci_drawn_cell *shown,
          const struct fci_cell *cell)
{
    const size_t s = cell->sheet;
    const double middle = (shown->out + shown->end) / 2;
    const double symbol = cell->blocks ? FCI_SYMBOL + 3 : 0;

    keep(list, n, s,
         shown->stance == FCI_UP ? shown->text_top
                                 : fmin(shown->level, shown->text_top),
         shown->text_top + shown->told_height);
    keep(list, n, s, cell->level - fmax(cell->tagged ? cell->tag : 0, symbol),
         cell->level + fmax(cell->tagged ? -cell->tag : 0, symbol));
    keep(list, n, s, shown->out, shown->out);
    keep(list, n, s, shown->end, shown->end);
    if (shown->note)
        keep(list, n, s, middle - FCI_LINE / 2, middle + FCI_LINE / 2);
}

static bool
add_sheet(struct fci_sheets *sheets, size_t of, double top, double bottom)
{
    sheets->list[sheets->n++] =
        (struct fci_sheet){ .of = of, .top = top, .bottom = bottom };
    return true;
}

/* Stretches that meet are one; a new sheet begins where the next would make it
 * too high. */
static void
cut(struct fci_sheets *sheets, const struct stretch *list, size_t n,
    double tallest)
{
    double top = list[0].top, bottom = list[0].bottom, end = bottom;
    size_t i, k;

    for (i = 1; i < n; i = k) {
        end = list[i].bottom;
        for (k = i + 1; k < n && list[k].top < fmax(end, bottom); k++)
            end = fmax(end, list[k].bottom);
        if (list[i].top > bottom && end - top > tallest) {
            add_sheet(sheets, list[0].sheet, top, bottom);
            sheets->list[sheets->n - 1].goes_on = true;
            top = list[i].top;
        }
        bottom = fmax(bottom, end);
    }
    add_sheet(sheets, list[0].sheet, top, bottom);
}

bool
fci_sheets_make(struct fci_sheets *sheets, struct fci_diagram *d,
                double tallest)
{
    struct stretch *list =
        fci_arena_array(&d->arena, MOST * d->n_cells + 1, sizeof *list);
    size_t i, k, n = 0;

    *sheets = (struct fci_sheets){ NULL, 0 };
    sheets->list = fci_arena_array(&d->arena, MOST * d->n_cells + 1,
                                   sizeof *sheets->list);
    if (d->arena.failed)
        return false;
    for (i = 0; i < d->n_cells; i++)
        keep_cell(list, &n, &d->shown[i], &d->cells[i]);
    qsort(list, n, sizeof *list, by_place);
    for (i = 0; i < n; i = k) {
        for (k = i; k < n && list[k].sheet == list[i].sheet;)
            k++;
        cut(sheets, list + i, k - i, tallest);
    }
    return true;
}

size_t
fci_sheets_at(const struct fci_sheets *sheets, const struct fci_cell *cell,
              double y)
{
    size_t i, last = 0;

    for (i = 0; i < sheets->n; i++)
        if (sheets->list[i].of == cell->sheet) {
            last = i;
            if (y <= sheets->list[i].bottom)
                break;
        }
    return last;
}
