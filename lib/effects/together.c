/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/together.c -- how many of some events are going on at once.
 *
 * How many at a moment is a sum of independent outcomes, whose distribution is
 * found event by event [F68, XI.2].  The most of all moments has no such form
 * where events last differently long, so that it is counted in cases that are
 * drawn.
 *
 *   [F68]  W. Feller, An Introduction to Probability Theory and Its
 *          Applications 1, 3rd ed. (1968) (from memory)
 */
#include "effects/together.h"
#include "ground/gsl_guard.h"
#include "ground/ties.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort.h>

/* So many cases, fewer where many events make each of them long. */
#define CASES 4000
#define FEWEST_CASES 100
#define MOST_EVENTS 4e6
#define SEED 0x68796769ul /* which nobody chooses */
#define OFTEN 0.95

struct drawing {
    const struct fci_events *events;
    double *begins, *ends;
    gsl_rng *rng;
};

static size_t
draw_most(const struct drawing *d)
{
    const size_t n = d->events->n;
    size_t i, ended = 0, most = 0;

    for (i = 0; i < n; i++) {
        d->begins[i] = gsl_rng_uniform(d->rng) * d->events->within;
        d->ends[i] = d->begins[i] + d->events->lasts[i];
    }
    gsl_sort(d->begins, 1, n);
    gsl_sort(d->ends, 1, n);
    for (i = 0; i < n; i++) {
        while (d->ends[ended] <= d->begins[i])
            ended++;
        if (i + 1 - ended > most)
            most = i + 1 - ended;
    }
    return most;
}

static size_t
cases_of(size_t events)
{
    const double cases = MOST_EVENTS / (double)(events + 1);

    return cases > CASES          ? CASES
           : cases < FEWEST_CASES ? FEWEST_CASES
                                  : (size_t)cases;
}

/* `times`: how often so many were the most. */
static void
draw_all(const struct drawing *d, struct fci_at_once *found, size_t *times)
{
    double sum = 0;
    size_t i, below = 0;

    for (i = 0; i < found->cases; i++) {
        const size_t most = draw_most(d);

        times[most]++;
        sum += (double)most;
    }
    found->mean = sum / (double)found->cases;
    for (i = 0; i < d->events->n; i++) {
        below += times[i];
        if ((double)below >= OFTEN * (double)found->cases)
            break;
    }
    found->most_often = i;
}

bool
fci_at_once(const struct fci_events *events, struct fci_at_once *found)
{
    struct drawing d = { .events = events };
    struct fci_arena arena = { 0 };
    size_t *times = fci_arena_array(&arena, events->n + 1, sizeof *times);
    gsl_error_handler_t *host = fci_gsl_quiet();
    bool room;

    d.begins = fci_arena_array(&arena, events->n + 1, sizeof *d.begins);
    d.ends = fci_arena_array(&arena, events->n + 1, sizeof *d.ends);
    d.rng = gsl_rng_alloc(gsl_rng_mt19937);
    fci_gsl_restore(host);
    room = !arena.failed && d.rng;
    if (room) {
        *found = (struct fci_at_once){ .cases = cases_of(events->n) };
        gsl_rng_set(d.rng, SEED);
        draw_all(&d, found, times);
    }
    if (d.rng)
        gsl_rng_free(d.rng);
    fci_arena_free(&arena);
    return room;
}

/* ---- At a moment ------------------------------------------------------ */

/* One more event: what leaves the range is dropped. */
static void
put_in(double *chance, double on, size_t most)
{
    size_t k;

    for (k = most; k > 0; k--)
        chance[k] = chance[k] * (1 - on) + chance[k - 1] * on;
    chance[0] *= 1 - on;
}

/* The others of event i, in the order of what they last. */
static void
of_one(const double *lasts, size_t n, size_t i, double within, double *chance,
       size_t most)
{
    size_t k;

    for (k = 0; k <= most; k++)
        chance[k] = k == 0;
    for (k = 0; k < n; k++)
        if (k != i)
            put_in(chance, fmin(lasts[k] / within, 1), most);
}

bool
fci_others_on(const struct fci_events *events, size_t most, double *chance)
{
    struct fci_arena arena = { 0 };
    const size_t n = events->n;
    double *lasts = fci_arena_copy(&arena, events->lasts, n * sizeof *lasts);
    double *one = fci_arena_array(&arena, most + 1, sizeof *one);
    size_t i, end, k;

    for (k = 0; k <= most; k++)
        chance[k] = 0;
    if (lasts && one)
        gsl_sort(lasts, 1, n);
    /* those that last as long are alike */
    for (i = 0; lasts && one && i < n; i = end) {
        end = i + 1;
        while (end < n && fci_same(lasts[end], lasts[i]))
            end++;
        of_one(lasts, n, i, events->within, one, most);
        for (k = 0; k <= most; k++)
            chance[k] += one[k] * (double)(end - i) / (double)n;
    }
    fci_arena_free(&arena);
    return lasts && one;
}

/* ---- At any moment of a time ------------------------------------------ */

/* How many of all are on, one of `without` left out; SIZE_MAX: none. */
static void
count_on(const struct fci_like_valves *valves, size_t n, size_t without,
         double *chance)
{
    size_t i, k;

    for (k = 0; k <= FCI_MOST_AT_ONCE; k++)
        chance[k] = k == 0;
    for (i = 0; i < n; i++)
        for (k = i == without; k < valves[i].count; k++)
            put_in(chance, valves[i].on, FCI_MOST_AT_ONCE);
}

static void
add_kind(struct fci_like_valves *kinds, size_t *n,
         const struct fci_like_valves *more)
{
    size_t i;

    for (i = 0; i < *n; i++)
        if (fci_same(kinds[i].on, more->on)
            && fci_same(kinds[i].begins, more->begins)) {
            kinds[i].count += more->count;
            return;
        }
    kinds[(*n)++] = *more;
}

/* More than k are on at some moment if they are at the first one, or if a
 * valve comes on later while k others are on.  The chance of that is no more
 * than the number of such times in the mean. */
bool
fci_most_at_once(const struct fci_like_valves *valves, size_t n, double within,
                 size_t *most)
{
    struct fci_arena arena = { 0 };
    struct fci_like_valves *kinds =
        fci_arena_array(&arena, n + 1, sizeof *kinds);
    double *chance =
        fci_arena_array(&arena, FCI_MOST_AT_ONCE + 1, sizeof *chance);
    double *exceeds =
        fci_arena_array(&arena, FCI_MOST_AT_ONCE + 1, sizeof *exceeds);
    const bool room = kinds && chance && exceeds;
    size_t i, k, all = 0, n_kinds = 0;
    double below = 0;

    for (i = 0; room && i < n; i++)
        add_kind(kinds, &n_kinds, &valves[i]);
    for (i = 0; room && i < n_kinds; i++) {
        const double begin = (double)kinds[i].count * kinds[i].begins * within;

        count_on(kinds, n_kinds, i, chance);
        for (k = 0; k <= FCI_MOST_AT_ONCE; k++)
            exceeds[k] += begin * chance[k];
        all += kinds[i].count;
    }
    if (room)
        count_on(kinds, n_kinds, SIZE_MAX, chance);
    for (k = 0; room && k <= FCI_MOST_AT_ONCE; k++) {
        below += chance[k];
        if (exceeds[k] + fmax(1 - below, 0) <= 1 - OFTEN)
            break;
    }
    *most = k > FCI_MOST_AT_ONCE || k > all ? all : k;
    fci_arena_free(&arena);
    return room;
}
