/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/pairs.c -- two faults at once, of all that may be together.
 *
 * What one fault changes of a reading adds to what another does, nearly: so
 * all pairs are looked through with what each shows by itself at some values
 * of its unknown, and the best are then fitted as they are.
 */
#include "diagnose/fault_kinds.h"
#include "diagnose/uncertain.h"
#include "diagnose/weigh.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MOST_FITTED 32
/* Of more faults those are tried that explain most by themselves. */
#define MOST_SCREENED 400
/* What is shown at one value stands for others up to so many times it. */
#define STRETCHED 2.0
/* A pair is none where one of the two alone leaves no more unexplained than
 * this: the other then explains noise. */
#define LEAST_SHARE 2.0

/* What one fault changes of the readings, from where nothing is amiss, in
 * deviations and divided by the spread: by value and reading. */
struct change {
    const double *by;
    double square, right;
};

struct screened {
    size_t first, second;       /* faults */
    size_t at_first, at_second; /* values of their rows */
    double times[2];
    double misfit, rank;
};

struct screening {
    struct fci_least_squares *fitting;
    const struct fci_faults *faults;
    const struct fci_row *rows;
    struct change **changes; /* by fault, of its row */
    size_t *tried;           /* faults, those that explain most first */
    size_t n_tried;
    struct screened best[MOST_FITTED];
    size_t n_best;
    double unexplained; /* where nothing is amiss */
};

/* Whether the two cannot be tried together; to doubt two readings explains
 * nothing. */
static bool
no_pair(const struct fci_fault *one, const struct fci_fault *other)
{
    if (one->alone || other->alone)
        return true;
    if (fci_doubts(one) && fci_doubts(other))
        return true;
    return one->element == other->element && one->kind->in_slot
           && other->kind->in_slot;
}

static bool
make_changes(struct screening *s, struct fci_arena *arena)
{
    struct fci_least_squares *f = s->fitting;
    const size_t n = f->readings->n;
    const double *left = f->unexplained;
    size_t i, k, v;

    s->changes = fci_arena_array(arena, s->faults->n + 1, sizeof *s->changes);
    if (arena->failed)
        return false;
    for (i = 0; i < n; i++)
        s->unexplained += left[i] * left[i];
    for (k = 0; k < s->faults->n; k++) {
        const struct fci_row *row = &s->rows[k];
        double *by = fci_arena_array(arena, row->n * n + 1, sizeof *by);

        s->changes[k] =
            fci_arena_array(arena, row->n + 1, sizeof **s->changes);
        if (arena->failed)
            return false;
        for (v = 0; v < row->n; v++) {
            struct change *c = &s->changes[k][v];

            for (i = 0; i < n; i++)
                by[v * n + i] = (row->shows[v * n + i] - f->sound[i])
                                / fci_deviation(&f->readings->gauges[i]);
            fci_spread_divide(f, by + v * n);
            c->by = by + v * n;
            for (i = 0; i < n; i++) {
                c->square += c->by[i] * c->by[i];
                c->right += c->by[i] * left[i];
            }
        }
    }
    return true;
}

struct reach {
    size_t fault;
    double explains;
};

static int
by_reach(const void *a, const void *b)
{
    const struct reach *x = a, *y = b;

    if (x->explains > y->explains || x->explains < y->explains)
        return x->explains > y->explains ? -1 : 1;
    return (x->fault > y->fault) - (x->fault < y->fault);
}

static bool
pick_tried(struct screening *s, struct fci_arena *arena)
{
    const size_t n = s->faults->n;
    struct reach *reach = fci_arena_array(arena, n + 1, sizeof *reach);
    size_t i, v;

    s->tried = fci_arena_array(arena, n + 1, sizeof *s->tried);
    if (arena->failed)
        return false;
    for (i = 0; i < n; i++) {
        reach[i].fault = i;
        for (v = 0; v < s->rows[i].n; v++) {
            const struct change *c = &s->changes[i][v];

            if (c->square > 0)
                reach[i].explains =
                    fmax(reach[i].explains, c->right * c->right / c->square);
        }
    }
    if (n > MOST_SCREENED)
        qsort(reach, n, sizeof *reach, by_reach);
    s->n_tried = n < MOST_SCREENED ? n : MOST_SCREENED;
    for (i = 0; i < s->n_tried; i++)
        s->tried[i] = reach[i].fault;
    return true;
}

static double
stretch(const struct fci_fault *fault, double times)
{
    if (!fault->kind->unknown)
        return 1;
    return fmax(1 / STRETCHED, fmin(STRETCHED, times));
}

/* The best of both at these values, each so many times what it shows there. */
static double
fit_two(const struct screening *s, const struct fci_fault *a,
        const struct fci_fault *b, const struct change *x,
        const struct change *y, double *times)
{
    const size_t n = s->fitting->readings->n;
    double across = 0, both;
    size_t i;

    for (i = 0; i < n; i++)
        across += x->by[i] * y->by[i];
    both = x->square * y->square - across * across;
    if (!(both > 1e-9 * x->square * y->square))
        return HUGE_VAL; /* they change the readings alike */
    times[0] = stretch(a, (x->right * y->square - y->right * across) / both);
    times[1] = stretch(
        b, y->square > 0 ? (y->right - times[0] * across) / y->square : 1);
    times[0] = stretch(a, (x->right - times[1] * across) / x->square);
    return s->unexplained - 2 * (times[0] * x->right + times[1] * y->right)
           + times[0] * times[0] * x->square + times[1] * times[1] * y->square
           + 2 * times[0] * times[1] * across;
}

/* Kept where it is among the best. */
static void
keep(struct screening *s, const struct screened *one)
{
    size_t i = s->n_best < MOST_FITTED ? s->n_best++ : MOST_FITTED;

    if (i == MOST_FITTED) {
        if (!(one->rank < s->best[i - 1].rank))
            return;
        i--;
    }
    for (; i > 0 && s->best[i - 1].rank > one->rank; i--)
        s->best[i] = s->best[i - 1];
    s->best[i] = *one;
}

static void
screen(struct screening *s, size_t first, size_t second)
{
    const struct fci_fault *a = &s->faults->list[first];
    const struct fci_fault *b = &s->faults->list[second];
    struct screened best = { first, second, 0, 0, { 1, 1 }, HUGE_VAL, 0 };
    size_t v, w;

    for (v = 0; v < s->rows[first].n; v++)
        for (w = 0; w < s->rows[second].n; w++) {
            double times[2];
            const double misfit = fit_two(s, a, b, &s->changes[first][v],
                                          &s->changes[second][w], times);

            if (!(misfit < best.misfit))
                continue;
            best.misfit = misfit;
            best.at_first = v;
            best.at_second = w;
            memcpy(best.times, times, sizeof times);
        }
    best.rank = best.misfit - 2 * log(a->prior * b->prior);
    if (best.misfit < HUGE_VAL)
        keep(s, &best);
}

/* Whether each of the two explains what the other alone does not. */
static bool
takes_both(const struct fci_cause *pair, const struct fci_cause *singles,
           size_t n)
{
    size_t i, k;

    for (i = 0; i < n; i++)
        for (k = 0; k < 2; k++)
            if (singles[i].fault[0] == pair->fault[k]
                && singles[i].chi2 < pair->chi2 + LEAST_SHARE)
                return false;
    return true;
}

static fc_status
fit_screened(struct screening *s, const struct screened *one,
             struct fci_cause *pair)
{
    struct fci_least_squares *f = s->fitting;
    const size_t at[2] = { one->at_first, one->at_second };
    const size_t of[2] = { one->first, one->second };
    size_t k;

    *pair = (struct fci_cause){ .n_faults = 2, .chi2 = FCI_UNSETTLED };
    pair->u = fci_arena_copy(f->arena, f->uncertain->at,
                             (f->uncertain->n + 1) * sizeof *pair->u);
    if (!pair->u)
        return FC_ENOMEM;
    for (k = 0; k < 2; k++) {
        const struct fci_fault *fault = &s->faults->list[of[k]];

        pair->fault[k] = fault;
        pair->x[k] = 1;
        fci_cause_put(pair, k, s->rows[of[k]].x[at[k]] * one->times[k]);
    }
    return fci_cause_settle(f, pair, false);
}

fc_status
fci_pairs_find(struct fci_least_squares *f, const struct fci_faults *faults,
               const struct fci_row *rows, const struct fci_cause *singles,
               size_t n_singles, struct fci_cause *pairs, size_t *n)
{
    struct screening s = { .fitting = f, .faults = faults, .rows = rows };
    struct fci_arena scratch = { 0 };
    fc_status status = make_changes(&s, &scratch) && pick_tried(&s, &scratch)
                           ? FC_OK
                           : FC_ENOMEM;
    size_t i, k;

    for (i = 0; i < s.n_tried && status == FC_OK; i++)
        for (k = i + 1; k < s.n_tried; k++)
            if (!no_pair(&faults->list[s.tried[i]], &faults->list[s.tried[k]]))
                screen(&s, s.tried[i], s.tried[k]);
    *n = 0;
    for (i = 0; i < s.n_best && status == FC_OK; i++) {
        status = fit_screened(&s, &s.best[i], &pairs[*n]);
        *n += status == FC_OK && pairs[*n].found
              && takes_both(&pairs[*n], singles, n_singles);
    }
    fci_arena_free(&scratch);
    return status;
}

size_t
fci_most_pairs(void)
{
    return MOST_FITTED;
}
