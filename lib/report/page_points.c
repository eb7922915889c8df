/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/page_points.c -- what flush, diagnose and verify tell of places
 * in the riser diagram of their pages. */
#include "page/figure.h"
#include "report/page_parts.h"
#include "report/report.h"
#include "report/verify_report.h"

#include <math.h>
#include <string.h>

/* Points by place; names are borrowed. */
struct points {
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
    if (!points->list)
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
        point->mark = f->required.given ? f->enough : FC_WORKS;
    }
    page->of_points = "Flowing pressure, flow of one valve and verdict stand "
                      "at each fixture that flushes.";
}

/* ---- diagnose --------------------------------------------------------- */

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
        point->word = PRINT(
            page, "%s%s%s", point->word ? point->word : "reads ",
            point->word ? ", " : "",
            fci_figure_said(page->doc->units, r->dimension, r->read).text);
        if (!r->as_described)
            point->mark = FC_CANNOT_TELL;
    }
    page->of_points =
        d->n_readings == 0
            ? NULL
            : "What the gauges read stands at their places, in the order of "
              "the file; a place where a reading is not as the file "
              "describes is marked as in doubt.";
}

/* ---- verify ----------------------------------------------------------- */

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
        point->word =
            point->word
                ? PRINT(page, "%s, %s", point->word,
                        fci_support_word(c->verdict))
                : PRINT(page, "%s claimed: %s",
                        fci_support_said(page->doc, c, c->claimed).text,
                        fci_support_word(c->verdict));
    }
    page->of_points = "The flowing pressure that is claimed, and the verdict, "
                      "stand at the fixture of each claim.";
}
