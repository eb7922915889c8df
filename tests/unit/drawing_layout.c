/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/drawing_layout.c -- nothing of a riser diagram lies over anything
 * else. */
#include "unit/drawing_suite.h"
#include "drawing/cells.h"
#include "generators/buildings.h"

#include <math.h>

#define WIDEST 900

/* Where its line is, and what begins there. */
static double
line_of(const struct fci_cell *cell)
{
    return cell->left + FCI_CELL_LINE;
}

static void
assert_apart(const struct fci_cell *a, const struct fci_cell *b,
             unsigned long seed)
{
    /* upright in line: one ends where the other begins */
    const bool in_line = a->straight || b->straight;
    const double within = in_line ? 2 * 8 : 0;

    ck_assert_msg(a->left + a->width <= b->left + 1e-9
                      || b->left + b->width <= a->left + 1e-9
                      || a->bottom <= b->top + within + 1e-9
                      || b->bottom <= a->top + within + 1e-9,
                  "seed %lu: cells meet at %g, %g", seed, b->left, b->top);
}

/* A level line to a cell crosses no other but those fed from the same end. */
static void
assert_crosses_none(const struct fci_diagram *d, size_t led,
                    unsigned long seed)
{
    const struct fci_cell *cell = &d->cells[led];
    const double from = line_of(&d->cells[cell->parent]);
    size_t i;

    for (i = 0; i < d->n_cells; i++) {
        const struct fci_cell *other = &d->cells[i];

        if (i == led || i == cell->parent || other->sheet != cell->sheet
            || other->parent == cell->parent
            || other->column == d->cells[cell->parent].column
            || other->column == cell->column)
            continue;
        ck_assert_msg(line_of(other) < from || other->left > line_of(cell)
                          || cell->level <= other->top
                          || cell->level >= other->bottom,
                      "seed %lu: the line to %zu crosses %zu", seed, led, i);
    }
}

static void
assert_texts_inside(const struct fci_drawn_cell *shown,
                    const struct fci_cell *cell)
{
    size_t k;

    for (k = 0; k < shown->n_told; k++) {
        const double x =
            FCI_CELL_LINE
            + (shown->told[k].aside ? FCI_CELL_OUTLET : FCI_CELL_TEXT);
        const double y = shown->text_top + shown->told[k].top;

        ck_assert_double_le(
            x + fmin(fci_svg_width(shown->told[k].text), FCI_CELL_WIDEST),
            cell->width);
        ck_assert_double_ge(y, cell->top);
        ck_assert_double_le(y + FCI_LINE, cell->bottom);
    }
}

static void
assert_diagram(const struct fci_diagram *d, unsigned long seed)
{
    size_t i, k;

    for (i = 0; i < d->layout.n_sheets; i++)
        ck_assert_double_le(d->layout.widths[i], WIDEST);
    for (i = 0; i < d->n_cells; i++) {
        const struct fci_cell *cell = &d->cells[i];

        assert_texts_inside(&d->shown[i], cell);
        if (cell->parent != SIZE_MAX && !cell->tagged) {
            ck_assert_uint_eq(cell->sheet, d->cells[cell->parent].sheet);
            if (!cell->straight)
                assert_crosses_none(d, i, seed);
        }
        for (k = 0; k < i; k++)
            if (d->cells[k].sheet == cell->sheet)
                assert_apart(&d->cells[k], cell, seed);
    }
}

static const struct {
    struct building_plan plan;
    unsigned long seeds;
} plans[] = {
    { { .fewest = 3, .most = 8 }, 100 },
    { { .fewest = 40, .most = 60, .ranges = true }, 40 },
    { { .fewest = 30, .most = 50, .loops = 4, .sources = 2 }, 40 },
    { { .fewest = 450, .most = 550 }, 4 },
};

START_TEST(generated)
{
    unsigned long seed;

    for (seed = 1; seed <= plans[_i].seeds; seed++) {
        fc_site *site = building_made(seed, &plans[_i].plan);
        struct fci_diagram d;

        ck_assert(fci_diagram_make(&d, site, NULL, NULL, WIDEST));
        assert_diagram(&d, seed);
        fci_diagram_free(&d);
        fc_site_free(site);
    }
}
END_TEST

/* ---- Heights ---------------------------------------------------------- */

/* 10 px/m; what is more than 5 m is cut to 20 px. */
START_TEST(heights)
{
    double all[] = { 3, 0, 20, 3, 1 };
    struct fci_arena arena = { 0 };
    struct fci_heights h;

    ck_assert(fci_heights_make(&h, all, 5, 10, 5, 20, &arena));
    ck_assert_uint_eq(h.n, 4);
    ck_assert_double_eq(fci_heights_at(&h, 0), 0);
    ck_assert_double_eq(fci_heights_at(&h, 1), 10);
    ck_assert_double_eq(fci_heights_at(&h, 3), 30);
    ck_assert_double_eq(fci_heights_at(&h, 20), 50);
    ck_assert(h.any_broken && h.broken[2] && !h.broken[1]);
    fci_arena_free(&arena);
}
END_TEST

TCase *
drawing_layout_tests(void)
{
    TCase *t = tcase_create("layout");

    tcase_add_loop_test(t, generated, 0, COUNT(plans));
    tcase_add_test(t, heights);
    return t;
}
