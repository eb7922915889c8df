/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/flush_brief.c -- what each gauge would read, in one table of one
 * screen.
 *
 * Gauges alike are one row: of valves that flush the one with the least
 * margin, of others the one whose pressure falls most.
 */
#include "ground/stem.h"
#include "page/figure.h"
#include "page/screen.h"
#include "report/flush_report.h"
#include "report/shared.h"
#include "report/words.h"
#include "site/site.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A gauge, or the first of several alike. */
struct gauge {
    const fc_flush_fixture *fixture; /* NULL: an element */
    const fc_flush_element *element;
    const char *prv; /* upstream; NULL: none */
    size_t alike;    /* others told with it */
};

enum group { DEVICES, FLUSHING, OTHERS, GROUPS };

struct gauges {
    struct gauge *list[GROUPS];
    size_t n[GROUPS]; /* rows */
};

/* ---- Which are alike -------------------------------------------------- */

static const char *
prv_above(const fc_site *site, size_t element)
{
    while (element != FCI_NONE
           && site->elements[element].part->kind != FCI_REDUCER)
        element = site->elements[element].parent;
    return element == FCI_NONE ? NULL : site->elements[element].name;
}

static double
drop_of(const fc_flush_fixture *f)
{
    return f->still.nominal - f->pressure.nominal;
}

/* Short ones first, then what cannot be told. */
static int
rank(const fc_flush_fixture *f)
{
    return !f->required.given              ? 3
           : f->enough == FC_WILL_NOT_WORK ? 0
           : f->enough == FC_CANNOT_TELL   ? 1
                                           : 2;
}

static int
compare_doubles(double a, double b)
{
    return a < b ? -1 : a > b;
}

/* Of equals the first of the file comes first. */
static int
compare_places(const struct gauge *a, const struct gauge *b)
{
    return a->fixture < b->fixture ? -1 : a->fixture > b->fixture;
}

static int
by_margin(const void *p, const void *q)
{
    const struct gauge *a = p, *b = q;
    int order = rank(a->fixture) - rank(b->fixture);

    if (order == 0)
        order = compare_doubles(fci_flush_margin(a->fixture).low,
                                fci_flush_margin(b->fixture).low);
    return order ? order : compare_places(a, b);
}

/* By more than the solver's accuracy, that like fixtures keep their order. */
#define AS_MUCH 1.0 /* Pa */

static int
by_drop(const void *p, const void *q)
{
    const struct gauge *a = p, *b = q;
    const int order = compare_doubles(round(drop_of(b->fixture) / AS_MUCH),
                                      round(drop_of(a->fixture) / AS_MUCH));

    if (order != 0)
        return order;
    if (fabs(a->fixture->pressure.low - b->fixture->pressure.low) > AS_MUCH)
        return compare_doubles(a->fixture->pressure.low,
                               b->fixture->pressure.low);
    return compare_places(a, b);
}

static bool
same_zone(const char *a, const char *b)
{
    return a && b ? fci_names_alike(a, b) : a == b;
}

/* Far below what a gauge shows. */
#define SAME 100.0 /* Pa */

/* PRVs of one set pressure have the same static outlet pressure; of other
 * devices it may differ by their elevation. */
static bool
same_set(const fc_flush_element *a, const fc_flush_element *b)
{
    return strcmp(a->kind, "prv") != 0 || fabs(a->still - b->still) < SAME;
}

static bool
same_required(fc_range a, fc_range b)
{
    return a.given == b.given
           && (!a.given
               || (fabs(a.low - b.low) < SAME
                   && fabs(a.high - b.high) < SAME));
}

static bool
are_alike(const struct gauge *a, const struct gauge *b)
{
    if (a->element && b->element)
        return strcmp(a->element->kind, "source") != 0
               && strcmp(a->element->kind, b->element->kind) == 0
               && same_set(a->element, b->element)
               && fci_names_alike(a->element->name, b->element->name);
    return same_zone(a->prv, b->prv)
           && strcmp(a->fixture->kind, b->fixture->kind) == 0
           && rank(a->fixture) == rank(b->fixture)
           && same_required(a->fixture->required, b->fixture->required)
           && fci_names_alike(a->fixture->name, b->fixture->name);
}

/* The first of each sort stays; how many are left. */
static size_t
fold(struct gauge *list, size_t n)
{
    size_t kept = 0;

    for (size_t i = 0; i < n; i++) {
        size_t k = 0;

        while (k < kept && !are_alike(&list[k], &list[i]))
            k++;
        if (k < kept)
            list[k].alike++;
        else
            list[kept++] = list[i];
    }
    return kept;
}

static void
gather(struct gauges *gauges, const struct fci_doc *doc,
       const struct fci_flush_view *view)
{
    const fc_flush_result *result = view->result;

    for (size_t i = 0; i < result->n_elements; i++) {
        const fc_flush_element *e = &result->elements[i];

        if (strcmp(e->kind, "pipe") != 0 && fabs(e->flow) > 0.0)
            gauges->list[DEVICES][gauges->n[DEVICES]++].element = e;
    }
    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_flush_fixture *f = &result->fixtures[i];
        const enum group group = f->flushing > 0 ? FLUSHING : OTHERS;
        struct gauge *gauge = &gauges->list[group][gauges->n[group]];

        if (group == OTHERS
            && !fci_figure_shows(doc->units, FC_PRESSURE, drop_of(f)))
            continue;
        gauge->fixture = f;
        gauge->prv = prv_above(view->site, view->site->fixtures[i].element);
        gauges->n[group]++;
    }
    qsort(gauges->list[FLUSHING], gauges->n[FLUSHING], sizeof(struct gauge),
          by_margin);
    qsort(gauges->list[OTHERS], gauges->n[OTHERS], sizeof(struct gauge),
          by_drop);
    for (int g = 0; g < GROUPS; g++)
        gauges->n[g] = fold(gauges->list[g], gauges->n[g]);
}

/* ---- The table -------------------------------------------------------- */

#define FEWEST 3 /* rows that a group keeps however little room there is */

/* How many rows of each group are shown: the valves that flush come first,
 * then the devices. */
static void
share_room(const struct gauges *gauges, size_t room, size_t shown[GROUPS])
{
    static const enum group order[] = { FLUSHING, DEVICES, OTHERS };

    for (int g = 0; g < GROUPS; g++) {
        shown[g] = gauges->n[g] < FEWEST ? gauges->n[g] : FEWEST;
        room -= shown[g] < room ? shown[g] : room;
    }
    for (int i = 0; i < GROUPS; i++) {
        const enum group g = order[i];
        size_t more = gauges->n[g] - shown[g];

        if (more > room)
            more = room;
        shown[g] += more;
        room -= more;
    }
}

#define MOST_NAME 30   /* columns; */
#define NARROW_NAME 18 /* where there are few of them */
#define LEAST_NAME 8
#define NARROW 72

/* On a narrow screen what is required is left to the margin. */
static bool
is_narrow(const struct fci_doc *doc)
{
    return doc->options->width > 0 && doc->options->width < NARROW;
}

static const char *
name_gauge(struct fci_doc *doc, const struct gauge *gauge, bool all)
{
    const fc_flush_fixture *f = gauge->fixture;
    const fc_flush_element *e = gauge->element;
    const char *kind =
        e && strcmp(e->kind, e->name) != 0 ? fci_kind_said(e->kind) : "";
    char count[40] = "", alike[40] = "";
    size_t room = (is_narrow(doc) ? NARROW_NAME : MOST_NAME) - LEAST_NAME;
    size_t used;

    if (gauge->alike > 0)
        snprintf(alike, sizeof alike, ", +%zu%s", gauge->alike,
                 is_narrow(doc) ? "" : " alike");
    if (f && f->count > 1 && f->flushing > 0 && !all)
        snprintf(count, sizeof count, ", %d of %d", f->flushing, f->count);
    used = strlen(kind) + strlen(count) + strlen(alike);
    room -= used < room ? used : room;
    return fci_arena_printf(
        &doc->arena, "%s%s%s%s%s", kind, *kind ? " " : "",
        fci_short_name(doc, f ? f->name : e->name, LEAST_NAME + room), count,
        alike);
}

static void
add_figure(struct fci_grid *table, const struct fci_doc *doc, double si)
{
    fci_cell(table, fci_figure_of(doc->units, FC_PRESSURE, si).text);
}

static void
add_gauge(struct fci_grid *table, struct fci_doc *doc,
          const struct gauge *gauge, bool all)
{
    const fc_flush_fixture *f = gauge->fixture;
    const fc_flush_element *e = gauge->element;
    const double still = f ? f->still.nominal : e->still;
    const double now = f ? f->pressure.nominal : e->pressure;
    const bool flushes = f && f->flushing > 0;

    fci_cell(table, name_gauge(doc, gauge, all));
    fci_cell(table, !f || flushes
                        ? fci_figure_of(doc->units, FC_FLOW,
                                        f ? f->flow.nominal : e->flow)
                              .text
                        : "");
    add_figure(table, doc, still);
    add_figure(table, doc, now);
    fci_cell(table,
             fci_figure_margin(doc->units, FC_PRESSURE, still - now).text);
    if (!flushes || !f->required.given) {
        if (!is_narrow(doc))
            fci_cell(table, flushes ? "none" : "");
        fci_cell(table, "");
        return;
    }
    if (!is_narrow(doc))
        add_figure(table, doc, f->required.nominal);
    fci_cell_tinted(
        table,
        fci_figure_margin(doc->units, FC_PRESSURE, fci_flush_margin(f).low)
            .text,
        fci_verdict_tint(f->enough));
}

static void
put_table(struct fci_doc *doc, const struct gauges *gauges,
          const size_t shown[GROUPS], const struct fci_flush_view *view)
{
    const bool ranges = fci_flush_ranges(view->result);
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column name = { "gauge at", "", FCI_LEFT,
                                         NARROW_NAME };
    const struct fci_doc_column flow = { "flow,\neach",
                                         fc_unit_name(doc->units, FC_FLOW),
                                         FCI_RIGHT, 0 };
    const struct fci_doc_column still = { "static", p, FCI_RIGHT, 0 };
    const struct fci_doc_column now = { "flowing", p, FCI_RIGHT, 0 };
    const struct fci_doc_column drop = { "drop", p, FCI_RIGHT, 0 };
    const struct fci_doc_column least = { "required", p, FCI_RIGHT, 0 };
    const struct fci_doc_column margin = { ranges ? "margin,\nworst"
                                                  : "margin",
                                           p, FCI_RIGHT, 0 };
    const struct fci_doc_column wide[] = { name, flow,  still, now,
                                           drop, least, margin };
    const struct fci_doc_column narrow[] = { name, flow, still,
                                             now,  drop, margin };
    struct fci_grid *table = is_narrow(doc) ? fci_doc_table(doc, narrow, 6)
                                            : fci_doc_table(doc, wide, 7);

    for (int g = 0; g < GROUPS; g++)
        for (size_t i = 0; i < shown[g]; i++)
            add_gauge(table, doc, &gauges->list[g][i], view->all);
}

static void
say_notes(struct fci_doc *doc, const struct gauges *gauges,
          const size_t shown[GROUPS], const struct fci_flush_view *view)
{
    const bool draws = view->site->n_draws > 0;
    const bool ranges = fci_flush_ranges(view->result);
    bool alike = false;
    size_t left = 0;
    char more[60] = "";

    for (int g = 0; g < GROUPS; g++) {
        left += gauges->n[g] - shown[g];
        for (size_t i = 0; i < shown[g]; i++)
            alike |= gauges->list[g][i].alike > 0;
    }
    if (left > 0)
        snprintf(more, sizeof more, "%zu more sorts of gauges are in --full.",
                 left);
    if (alike || draws || ranges || left > 0)
        fci_doc_say(doc, "%s%s%s%s",
                    alike ? "Of gauges alike the one with the least margin or "
                            "the largest drop is named. "
                          : "",
                    draws ? "Static: nothing flushing, steady draws on. " : "",
                    ranges ? "Pressures at midpoint values of the ranges. "
                           : "",
                    more);
}

#define HEAD_LINES                                                            \
    5 /* a blank line, the heading, columns of two lines, units */
#define NOTE_LINES 4

void
fci_flush_brief(struct fci_doc *doc, const struct fci_flush_view *view,
                size_t kept)
{
    struct gauges gauges = { { NULL }, { 0 } };
    size_t shown[GROUPS];
    bool out_of_memory = false;

    for (int g = 0; g < GROUPS; g++) {
        const size_t n =
            g == DEVICES ? view->result->n_elements : view->result->n_fixtures;

        gauges.list[g] = calloc(n + 1, sizeof(struct gauge));
        out_of_memory |= !gauges.list[g];
    }
    if (out_of_memory) {
        doc->failed = true;
    } else {
        gather(&gauges, doc, view);
        share_room(&gauges,
                   fci_screen_room(doc, kept + HEAD_LINES + NOTE_LINES),
                   shown);
        fci_doc_heading(doc, "What a gauge reads");
        put_table(doc, &gauges, shown, view);
        say_notes(doc, &gauges, shown, view);
    }
    for (int g = 0; g < GROUPS; g++)
        free(gauges.list[g]);
}
