/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/page_points.c -- what flush, diagnose and verify tell of places
 * in the riser diagram of their pages. */
#include "page/figure.h"
#include "report/page_parts.h"
#include "report/report.h"
#include "report/verify_report.h"

#include <math.h>
#include <string.h>

/* Points by place; names are borrowed.  `told` counts what each tells. */
struct points {
    size_t *told;
    struct fci_names names;
    struct fci_point *list;
    size_t n;
};

static bool
point_at(void *context, const char *name, struct fci_point *point)
{
    const struct points *points = context;
    const size_t at = fci_names_find(&points->names, name);

    if (at == FCI_NO_NAME)
        return false;
    *point = points->list[at];
    return true;
}

/* Room for so many; NULL: out of memory. */
static struct points *
points_new(struct fci_page *page, size_t n)
{
    struct fci_arena *arena = &page->doc->arena;
    struct points *points = fci_arena_alloc(arena, sizeof *points);
    struct fci_points *told = fci_arena_alloc(arena, sizeof *told);

    if (!points || !told)
        return NULL;
    points->list = fci_arena_array(arena, n, sizeof *points->list);
    points->told = fci_arena_array(arena, n, sizeof *points->told);
    if (!points->list || !points->told)
        return NULL;
    *told = (struct fci_points){ point_at, points };
    page->points = told;
    page->names = &points->names;
    return points;
}

/* The point of a place; a new one is drawn by itself.  NULL: out of memory. */
static struct fci_point *
point_of(struct fci_page *page, struct points *points, const char *name)
{
    size_t at = points->n;
    bool known = false;

    if (fci_names_enter(&points->names, name, &at, &known) != FC_OK) {
        page->doc->failed = true;
        return NULL;
    }
    if (!known)
        points->list[points->n++] =
            (struct fci_point){ .mark = FC_WORKS, .apart = true };
    return &points->list[at];
}

#define PRINT(page, ...) fci_arena_printf(&(page)->doc->arena, __VA_ARGS__)

/* ---- flush ------------------------------------------------------------ */

static const char *
flush_word(const fc_flush_fixture *f)
{
    return !f->required.given            ? "no minimum"
           : f->enough == FC_WORKS       ? "works"
           : f->enough == FC_CANNOT_TELL ? "cannot tell"
                                         : "short";
}

void
fci_page_of_flush(struct fci_page *page, const void *what)
{
    const struct fci_flush_view *view = what;
    const fc_flush_result *result = view->result;
    struct points *points = points_new(page, result->n_fixtures);

    for (size_t i = 0; points && i < result->n_fixtures; i++) {
        const fc_flush_fixture *f = &result->fixtures[i];
        struct fci_point *point =
            f->flushing > 0 ? point_of(page, points, f->name) : NULL;

        if (!point)
            continue;
        point->pressure = f->pressure;
        point->flow = f->flow;
        point->word = PRINT(page, "%d of %d open: %s", f->flushing, f->count,
                            flush_word(f));
        point->mark = f->enough;
        point->unmarked = !f->required.given;
    }
    page->of_points = "Flowing pressure, flow of one valve and verdict stand "
                      "at each fixture that flushes.";
}

/* ---- diagnose --------------------------------------------------------- */

/* "reads 45.0, 20.0, 9.0 psi": as many as a cell holds. */
#define MOST_READ 3

static const char *
told_reading(struct fci_page *page, struct points *points,
             const struct fci_point *point, const fc_explained_reading *r)
{
    const fc_unit_system u = page->doc->units;
    const size_t n = ++points->told[point - points->list];

    if (n == 1)
        return PRINT(page, "reads %s",
                     fci_figure_said(u, r->dimension, r->read).text);
    if (n <= MOST_READ)
        return PRINT(page, "%s, %s", point->word,
                     fci_figure_said(u, r->dimension, r->read).text);
    return n == MOST_READ + 1 ? PRINT(page, "%s...", point->word)
                              : point->word;
}

void
fci_page_of_diagnosis(struct fci_page *page, const void *what)
{
    const struct fci_diagnosis_view *view = what;
    const fc_diagnosis *d = view->d;
    struct points *points = points_new(page, d->n_readings);

    for (size_t i = 0; points && i < d->n_readings; i++) {
        const fc_explained_reading *r = &d->readings[i];
        struct fci_point *point = point_of(page, points, r->at);

        if (!point)
            continue;
        point->word = told_reading(page, points, point, r);
        if (r->as_described && points->told[point - points->list] == 1)
            point->unmarked = true;
        if (!r->as_described) {
            point->mark = FC_CANNOT_TELL;
            point->unmarked = false;
        }
    }
    page->of_points =
        d->n_readings == 0
            ? NULL
            : "What the gauges read stands at their places, in the order of "
              "the file; a place where a reading is not as the file "
              "describes is marked as in doubt.";
}

/* ---- verify ----------------------------------------------------------- */

/* "35.0 psi: supported"; "3 claims: contradicted", by the worst. */
static const char *
told_claim(struct fci_page *page, struct points *points,
           const struct fci_point *point, const fc_checked_claim *c)
{
    static const char *const words[] = { "supported", "contradicted",
                                         "undecided" };
    const size_t n = ++points->told[point - points->list];

    if (n == 1)
        return PRINT(page, "%s: %s",
                     fci_support_said(page->doc, c, c->claimed).text,
                     fci_support_word(c->verdict));
    return PRINT(page, "%zu claims: %s", n,
                 words[point->mark == FC_WORKS           ? 0
                       : point->mark == FC_WILL_NOT_WORK ? 1
                                                         : 2]);
}

void
fci_page_of_verify(struct fci_page *page, const void *what)
{
    const struct fci_verify_view *view = what;
    const fc_verify_result *result = view->result;
    struct points *points = points_new(page, result->n_claims);

    for (size_t i = 0; points && i < result->n_claims; i++) {
        const fc_checked_claim *c = &result->claims[i];
        const fc_verdict mark = c->verdict == FC_SUPPORTED ? FC_WORKS
                                : c->verdict == FC_CONTRADICTED
                                    ? FC_WILL_NOT_WORK
                                    : FC_CANNOT_TELL;
        struct fci_point *point = point_of(page, points, c->fixture);

        if (!point)
            continue;
        /* of several claims on one fixture the worst marks it */
        if (!point->word || mark == FC_WILL_NOT_WORK
            || point->mark == FC_WORKS)
            point->mark = mark;
        point->word = told_claim(page, points, point, c);
    }
    page->of_points = "The flowing pressure that is claimed, and the verdict, "
                      "stand at the fixture; of several claims the worst "
                      "verdict.";
}
