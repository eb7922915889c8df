/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/least_cost/frontier.c -- frontiers joined and merged. */
#include "least_cost/frontier.h"
#include "ground/memory.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

bool
fci_frontier_reserve(struct fci_frontier *f, size_t n)
{
    size_t capacity = f->capacity ? f->capacity : 16;
    struct fci_candidate *moved;

    if (n <= f->capacity)
        return true;
    while (capacity < n && capacity <= SIZE_MAX / 4 / sizeof *moved)
        capacity *= 2;
    if (capacity < n)
        return false;
    moved = realloc(f->candidates, capacity * sizeof *moved);
    if (!moved)
        return false;
    f->candidates = moved;
    f->capacity = capacity;
    return true;
}

void
fci_frontier_free(struct fci_frontier *f)
{
    free(f->candidates);
    f->candidates = NULL;
    f->n = f->capacity = 0;
}

void
fci_frontier_work_free(struct fci_frontier_work *work)
{
    free(work->made.points);
    free(work->left.points);
    free(work->right.points);
}

/* ---- Frontiers of two states -------------------------------------------
 *
 * Candidates are met by ascending first need.  Of those met so far, the front
 * holds what nothing undercuts in second need and cost; a candidate that it
 * undercuts is undercut by one that is met before [K75].
 *
 *   [K75]  H. T. Kung, F. Luccio, F. P. Preparata, J. ACM 22 (1975) 469-476
 *          (from memory)
 */

/* How many points need at most so much. */
static size_t
points_within(const struct fci_front *front, double need)
{
    size_t low = 0, high = front->n;

    while (low < high) {
        const size_t middle = low + (high - low) / 2;

        if (front->points[middle].need <= need)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* Whether a point of no more need costs no more; *at: where it would go. */
static bool
undercut(const struct fci_front *front, const struct fci_front_point *point,
         size_t *at)
{
    *at = points_within(front, point->need);
    return *at > 0
           && !fci_is_cheaper(point->cost, front->points[*at - 1].cost);
}

/* A point at its place instead of those that it undercuts, [from, to). */
static bool
place(struct fci_front *front, const struct fci_front_point *point,
      size_t from, size_t to)
{
    struct fci_front_point *const grown = fci_grow(
        front->points, front->n, &front->capacity, sizeof *front->points);

    if (!grown)
        return false;
    front->points = grown;
    memmove(grown + from + 1, grown + to, (front->n - to) * sizeof *grown);
    grown[from] = *point;
    front->n = front->n + 1 - (to - from);
    return true;
}

/* Where those begin and end that a point at `at` undercuts. */
static void
find_undercut(const struct fci_front *front,
              const struct fci_front_point *point, size_t at, size_t *from,
              size_t *to)
{
    *from = *to = at;
    while (*from > 0 && front->points[*from - 1].need == point->need)
        --*from; /* it is cheaper, or would not be placed */
    while (*to < front->n && front->points[*to].cost >= point->cost)
        ++*to;
}

/* ---- The filter --------------------------------------------------------- */

void
fci_filter_begin(struct fci_frontier_work *work, struct fci_frontier *out)
{
    work->made.n = 0;
    out->n = 0;
}

/* Of one first need, one may come that undercuts others before it: they are
 * struck out by a cost without end. */
bool
fci_filter_take(struct fci_frontier_work *work, struct fci_frontier *out,
                const struct fci_candidate *candidate)
{
    const struct fci_front_point point = { candidate->need[1], candidate->cost,
                                           out->n };
    struct fci_front *const front = &work->made;
    size_t at, from, to, i;

    if (undercut(front, &point, &at))
        return true;
    find_undercut(front, &point, at, &from, &to);
    for (i = from; i < to; i++) {
        struct fci_candidate *other =
            &out->candidates[front->points[i].candidate];

        if (other->need[0] == candidate->need[0])
            other->cost = INFINITY;
    }
    if (!fci_frontier_reserve(out, out->n + 1)
        || !place(front, &point, from, to))
        return false;
    out->candidates[out->n++] = *candidate;
    return true;
}

void
fci_filter_end(struct fci_frontier *out)
{
    size_t i, n = 0;

    for (i = 0; i < out->n; i++)
        if (out->candidates[i].cost < INFINITY)
            out->candidates[n++] = out->candidates[i];
    out->n = n;
}

/* ---- Merging ----------------------------------------------------------- */

/* An candidate with all of the other side that it may go with: the cheapest
 * that needs no more in the second state, and those beyond, until its own side
 * has something cheaper for as much. */
static bool
join_with_front(struct fci_frontier_work *work,
                const struct fci_candidate *candidate,
                const struct fci_front *others, double until,
                struct fci_frontier *out)
{
    size_t i = points_within(others, candidate->need[1]);

    for (i = i > 0 ? i - 1 : 0; i < others->n; i++) {
        const struct fci_front_point *other = &others->points[i];
        const struct fci_candidate both = {
            { candidate->need[0], fmax(candidate->need[1], other->need) },
            candidate->cost + other->cost,
            0
        };

        if (other->need >= until)
            break;
        if (!fci_filter_take(work, out, &both))
            return false;
    }
    return true;
}

/* The next candidate of one side; it goes with what is known of the other. */
static bool
enter(struct fci_frontier_work *work, const struct fci_candidate *candidate,
      struct fci_front *own, const struct fci_front *others,
      struct fci_frontier *out)
{
    const struct fci_front_point point = { candidate->need[1], candidate->cost,
                                           0 };
    size_t at, from, to;
    double until;

    if (undercut(own, &point, &at))
        return true;
    find_undercut(own, &point, at, &from, &to);
    if (!place(own, &point, from, to))
        return false;
    until = from + 1 < own->n ? own->points[from + 1].need : INFINITY;
    return join_with_front(work, candidate, others, until, out);
}

static bool
merge_surfaces(struct fci_frontier_work *work, const struct fci_frontier *a,
               const struct fci_frontier *b, struct fci_frontier *out)
{
    size_t i = 0, j = 0;
    bool room = true;

    fci_filter_begin(work, out);
    work->left.n = work->right.n = 0;
    while (room && (i < a->n || j < b->n))
        if (j == b->n
            || (i < a->n
                && a->candidates[i].need[0] <= b->candidates[j].need[0]))
            room = enter(work, &a->candidates[i++], &work->left, &work->right,
                         out);
        else
            room = enter(work, &b->candidates[j++], &work->right, &work->left,
                         out);
    fci_filter_end(out);
    return room;
}

/* ---- One state --------------------------------------------------------- */

/* There is room, and needs come ascending. */
static inline void
take(struct fci_frontier *out, const struct fci_candidate *candidate)
{
    struct fci_candidate *last = out->candidates + out->n;

    if (out->n > 0) {
        if (!fci_is_cheaper(candidate->cost, last[-1].cost))
            return;
        if (last[-1].need[0] == candidate->need[0]) {
            last[-1] = *candidate;
            return;
        }
    }
    *last = *candidate;
    out->n++;
}

/* From one need to the next that either has. */
static void
merge_lines(const struct fci_frontier *a, const struct fci_frontier *b,
            struct fci_frontier *out)
{
    size_t i = 0, j = 0;

    out->n = 0;
    while (i < a->n && j < b->n) {
        const struct fci_candidate *x = &a->candidates[i],
                                   *y = &b->candidates[j];
        const double nx = i + 1 < a->n ? x[1].need[0] : INFINITY;
        const double ny = j + 1 < b->n ? y[1].need[0] : INFINITY;
        const double need = fmax(x->need[0], y->need[0]);
        const struct fci_candidate both = { { need, need },
                                            x->cost + y->cost,
                                            0 };

        /* At the start one may have reached less than the other needs. */
        if (nx > need && ny > need)
            out->candidates[out->n++] = both;
        i += nx <= ny;
        j += ny <= nx;
    }
}

bool
fci_frontier_merge(struct fci_frontier_work *work,
                   const struct fci_frontier *a, const struct fci_frontier *b,
                   struct fci_frontier *out)
{
    if (a->n == 0 || b->n == 0) {
        out->n = 0;
        return true;
    }
    if (!fci_frontier_reserve(out, a->n + b->n))
        return false;
    if (work->n_states > 1)
        return merge_surfaces(work, a, b, out);
    merge_lines(a, b, out);
    return true;
}

/* ---- Joining ----------------------------------------------------------- */

/* Into the window; false: it cannot. */
static inline bool
fit(int n_states, const struct fci_window *window,
    struct fci_candidate *candidate)
{
    int s;

    for (s = 0; s < n_states; s++) {
        if (candidate->need[s] > window->most[s])
            return false;
        if (candidate->need[s] < window->least[s])
            candidate->need[s] = window->least[s];
    }
    return true;
}

static inline struct fci_candidate
chosen(int n_states, const struct fci_candidate *candidate,
       const struct fci_candidate *choice)
{
    struct fci_candidate sum = *candidate;
    int s;

    for (s = 0; s < n_states; s++)
        sum.need[s] += choice->need[s];
    sum.cost += choice->cost;
    sum.choice = choice->choice;
    return sum;
}

bool
fci_frontier_join(struct fci_frontier_work *work, const struct fci_frontier *a,
                  const struct fci_frontier *b,
                  const struct fci_candidate *choice,
                  const struct fci_window *window, struct fci_frontier *out)
{
    const int n_states = work->n_states;
    size_t i = 0, j = 0;

    if (!fci_frontier_reserve(out, a->n + b->n))
        return false;
    fci_filter_begin(work, out);
    while (i < a->n || j < b->n) {
        struct fci_candidate next;

        if (j < b->n)
            next = chosen(n_states, &b->candidates[j], choice);
        if (j == b->n
            || (i < a->n && a->candidates[i].need[0] <= next.need[0]))
            next = a->candidates[i++];
        else
            j++;
        if (!fit(n_states, window, &next))
            continue;
        if (n_states == 1)
            take(out, &next);
        else if (!fci_filter_take(work, out, &next))
            return false;
    }
    if (n_states > 1)
        fci_filter_end(out);
    return true;
}
