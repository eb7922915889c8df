/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/fold.c -- what of a building is drawn; see fold.h. */
#include "drawing/fold.h"
#include "drawing/likeness.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LEAST_FLOORS 3 /* two are as soon drawn as told */

/* Heads of alike subtrees, one of them to be drawn. */
struct task {
    size_t parent;
    bool onward;
    size_t branches;
    const size_t *heads;
    size_t n;
};

struct work {
    const fc_site *site;
    const fc_check_result *result;
    const struct fci_points *points;
    struct fci_likeness alike;
    struct fci_fold *fold;
    struct task *tasks; /* a stack */
    size_t n_tasks;
    size_t *pool; /* of all lists */
    size_t used;
};

/* ---- Outlets ---------------------------------------------------------- */

/* The less, the worse: what a fixture has over what is required, or what it
 * has. */
static double
standing(const struct work *w, size_t fixture)
{
    const char *name = w->site->fixtures[fixture].given->name;
    const fc_fixture_state *state;
    struct fci_point point = { 0 };

    if (w->points && w->points->at(w->points->context, name, &point)
        && point.pressure.given)
        return point.pressure.low;
    if (!w->result)
        return INFINITY;
    state = &w->result->fixtures[fixture].states[fci_judged(w->result)];
    if (state->margin.given)
        return state->margin.low;
    return state->flowing.given ? 1e9 + state->flowing.low : INFINITY;
}

static void
add_outlet(struct work *w, bool is_draw, const size_t *alike, size_t n)
{
    struct fci_outlet *outlet = &w->fold->outlets[w->fold->n_outlets++];
    size_t i;

    *outlet = (struct fci_outlet){ is_draw, alike[0], alike, n };
    for (i = 1; i < n && !is_draw; i++)
        if (standing(w, alike[i]) < standing(w, outlet->shown))
            outlet->shown = alike[i];
}

/* Those of all elements drawn as one; as these are alike, their lists are. */
static void
add_outlets(struct work *w, bool is_draw, const struct fci_listed *listed,
            const uint64_t *keys, const size_t *elements, size_t n)
{
    const size_t *first = listed->first;
    const size_t length = first[elements[0] + 1] - first[elements[0]];
    size_t i, k, from, start;

    for (from = 0; from < length; from = k) {
        const size_t *items = listed->items + first[elements[0]];

        for (k = from + 1; k < length && keys[items[k]] == keys[items[from]];)
            k++;
        start = w->used;
        for (i = 0; i < n; i++) {
            memcpy(w->pool + w->used,
                   listed->items + first[elements[i]] + from,
                   (k - from) * sizeof *w->pool);
            w->used += k - from;
        }
        add_outlet(w, is_draw, w->pool + start, w->used - start);
    }
}

static int
by_outlet(const void *a, const void *b)
{
    const struct fci_outlet *x = a, *y = b;

    if (x->is_draw != y->is_draw)
        return x->is_draw ? 1 : -1;
    return (x->alike[0] > y->alike[0]) - (x->alike[0] < y->alike[0]);
}

/* ---- Branches --------------------------------------------------------- */

static void
push(struct work *w, struct task task)
{
    w->tasks[w->n_tasks++] = task;
}

/* The last of the file first, as they are drawn from the top of the stack. */
static int
by_turn(const void *a, const void *b)
{
    const struct task *x = a, *y = b;

    return (x->heads[0] < y->heads[0]) - (x->heads[0] > y->heads[0]);
}

/* The branches of an element without what goes on: how many, from where. */
static size_t
branches_of(struct work *w, size_t at, size_t *out)
{
    const struct fci_listed *children = &w->alike.children;
    size_t i, n = 0;

    for (i = children->first[at]; i < children->first[at + 1]; i++)
        if (children->items[i] != w->alike.onward[at])
            out[n++] = children->items[i];
    return n;
}

/* Each kind of branch, of all elements drawn as one. */
static void
push_branches(struct work *w, size_t parent, const size_t *elements, size_t n)
{
    const uint64_t *keys = w->alike.subtree;
    size_t *lists = w->pool + w->used;
    size_t length = 0, i, k, from, m;
    const size_t under = w->n_tasks;
    size_t *heads;

    /* side by side: the lists of all, then their pieces by kind */
    for (i = 0; i < n; i++)
        length = branches_of(w, elements[i], lists + i * length);
    w->used += n * length;
    for (from = 0; from < length; from = k) {
        for (k = from + 1; k < length && keys[lists[k]] == keys[lists[from]];)
            k++;
        heads = w->pool + w->used;
        for (i = 0; i < n; i++)
            for (m = from; m < k; m++)
                w->pool[w->used++] = lists[i * length + m];
        push(w,
             (struct task){ parent, false, k - from, heads, n * (k - from) });
    }
    qsort(w->tasks + under, w->n_tasks - under, sizeof *w->tasks, by_turn);
}

/* ---- Floors ----------------------------------------------------------- */

static size_t
floors_from(const struct work *w, size_t at)
{
    const struct fci_likeness *a = &w->alike;
    size_t n = 1, next = a->onward[at];

    while (next != FCI_NONE && a->floor[next] == a->floor[at]) {
        next = a->onward[next];
        n++;
    }
    return n < LEAST_FLOORS ? 1 : n;
}

static void
draw_one(struct work *w, struct task task)
{
    struct fci_fold *fold = w->fold;
    struct fci_drawn *drawn = &fold->drawn[fold->n_drawn];
    const size_t *onward = w->alike.onward;
    size_t *members = w->pool + w->used, *next;
    size_t i, k, at;

    *drawn = (struct fci_drawn){ .parent = task.parent,
                                 .onward = task.onward,
                                 .element = task.heads[0],
                                 .branches = task.branches,
                                 .floors = floors_from(w, task.heads[0]),
                                 .elements = members,
                                 .n_elements = 0 };
    fold->most_floors =
        drawn->floors > fold->most_floors ? drawn->floors : fold->most_floors;
    w->used += task.n * drawn->floors;
    next = w->pool + w->used;
    w->used += task.n;
    for (i = 0; i < task.n; i++) {
        at = task.heads[i];
        for (k = 0; k < drawn->floors; k++) {
            members[drawn->n_elements++] = at;
            drawn->last = i == 0 ? at : drawn->last;
            next[i] = onward[at];
            at = onward[at];
        }
    }
    drawn->first_outlet = fold->n_outlets;
    add_outlets(w, false, &w->alike.fixtures, w->alike.fixture, members,
                drawn->n_elements);
    add_outlets(w, true, &w->alike.draws, w->alike.draw, members,
                drawn->n_elements);
    drawn->n_outlets = fold->n_outlets - drawn->first_outlet;
    qsort(fold->outlets + drawn->first_outlet, drawn->n_outlets,
          sizeof *fold->outlets, by_outlet);
    if (next[0] != FCI_NONE)
        push(w, (struct task){ fold->n_drawn, true, 1, next, task.n });
    push_branches(w, fold->n_drawn, members, drawn->n_elements);
    fold->n_drawn++;
}

/* ---- All -------------------------------------------------------------- */

/* In the order of the file, as far as the tree allows. */
static void
push_sources(struct work *w)
{
    const fc_site *site = w->site;
    size_t i, n = 0;
    size_t *heads = w->pool;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].parent == FCI_NONE)
            heads[n++] = i;
    w->used = n;
    for (i = n; i-- > 0;)
        push(w, (struct task){ SIZE_MAX, false, 1, heads + i, 1 });
}

bool
fci_fold_make(struct fci_fold *fold, const fc_site *site,
              const fc_check_result *result, const struct fci_points *points,
              struct fci_arena *arena)
{
    const size_t n = site->n_elements;
    struct work w = {
        .site = site, .result = result, .points = points, .fold = fold
    };

    *fold = (struct fci_fold){ 0 };
    fold->drawn = fci_arena_array(arena, n, sizeof *fold->drawn);
    fold->outlets = fci_arena_array(
        arena, site->n_fixtures + site->n_draws + 1, sizeof *fold->outlets);
    w.tasks = fci_arena_array(arena, n + 1, sizeof *w.tasks);
    /* each element stands in four lists at most, each outlet in one */
    w.pool = fci_arena_array(arena, 6 * n + site->n_fixtures + site->n_draws,
                             sizeof *w.pool);
    if (arena->failed
        || !fci_likeness_make(&w.alike, site, result, points, arena))
        return false;
    push_sources(&w);
    while (w.n_tasks > 0)
        draw_one(&w, w.tasks[--w.n_tasks]);
    return true;
}
