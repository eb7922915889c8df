/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/tank_chance.c -- whether a tank runs out when more flush than
 * the mean.
 *
 * Let D be what was drawn less what came in since the start, each flush drawn
 * at once as it begins.  With flushes of v that begin at random, n in a time,
 * and a that fills meanwhile, exp(x D - k t) is a martingale for
 *
 *     k(x) = n (exp(x v) - 1) - a x
 *
 * and any x, so that D exceeds the water w in a time T with a chance of no
 * more than exp(max(k, 0) T - x w), by Doob's inequality; with the x where k
 * is 0 that is Lundberg's bound [F71].  Each x gives a bound: the least of
 * many is taken.
 *
 * A pump stops at the cut-out and starts at the cut-in.  Each time it starts
 * again there is a new try, with up to one flush less, as it starts within
 * one; from one to the next all that is between is drawn, and has come in, so
 * that the i-th is no sooner than after i between / a, and there are no more
 * than T drawn / between of them in the mean.  A roof tank is full at the
 * start and never more, which adds a x to what exp(x (w - level)) grows by.
 * What is added at a time t counts exp(-k t) of that where k is above 0.
 *
 * Where that is little work the level is followed step by step as well, which
 * is far nearer to the truth.
 *
 *   [F71]  W. Feller, An Introduction to Probability Theory and Its
 *          Applications, vol. II, 2nd ed. (1971), ch. XII.5 (from memory)
 */
#include "effects/tank_chance.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* ---- A bound ---------------------------------------------------------- */

/* x v from the least to the most, each so many times the one before. */
#define LEAST 1e-6
#define MOST 20.0
#define RATIO 1.05

static double
bound(const struct fci_tank_run *run, double x)
{
    const double k = run->flushes * expm1(x * run->volume) - x * run->fills;
    const double fills = fmax(run->fills, 0);
    const double grown = fmax(k, 0) * run->time;
    const double span = k > 0 ? -expm1(-grown) / k : run->time;
    const double first = exp(grown - x * run->water);

    if (run->between > 0)
        return first
               + fmin(fills * span, run->drawn * run->time) / run->between
                     * exp(grown - x * fmax(run->water - run->volume, 0));
    return first * (1 + fills * span * x);
}

/* ---- Cell by cell ----------------------------------------------------- */

#define MOST_CELLS 4096
#define MOST_AT_ONCE 48 /* flushes that begin in one step */
#define MOST_WORK 4e6
#define UNTOLD 2.0 /* too much work */
#define FINEST 32  /* cells to a flush */

struct walk {
    size_t flush, top, n_begin;
    size_t at_top; /* where it goes on from there; SIZE_MAX: it runs out */
    int moves;     /* cells in a step, but for flushes: 1, 0 or -1 */
    double cells[2][MOST_CELLS], begin[MOST_AT_ONCE];
};

/* So many begin in one step with these chances; more, hardly ever, and then it
 * counts as run out. */
static void
count_begun(struct walk *w, double mean)
{
    double chance = exp(-mean), left = 1;

    for (w->n_begin = 0; w->n_begin < MOST_AT_ONCE && left > 1e-12;
         w->n_begin++) {
        w->begin[w->n_begin] = chance;
        left -= chance;
        chance *= mean / (double)(w->n_begin + 1);
    }
}

/* One step: flushes begin first, then a cell comes in, or is drawn. */
static double
step(struct walk *w, const double *now, double *next)
{
    double stays = 0;
    size_t i, j, to;

    for (i = 0; i < w->top; i++)
        next[i] = 0;
    for (i = 0; i < w->top; i++) {
        double chance = 0;

        for (j = 0; j < w->n_begin && i + j * w->flush < w->top; j++)
            chance += w->begin[j] * now[i + j * w->flush];
        to = i + 1 == w->top && w->moves > 0 ? w->at_top
             : w->moves > 0                  ? i + 1
             : w->moves < 0                  ? i - 1
                                             : i;
        if (to >= w->top)
            continue; /* run out */
        next[to] += chance;
        stays += chance;
    }
    return stays;
}

/* The level in cells of a flush's part, each rounded down, whose water is
 * there after it is drawn: never more than there is, so that it runs out no
 * less often.  A full tank has a cell less, as what comes in before a flush
 * is lost; at the cut-out all that is between is drawn in no time, and most
 * of a flush with it. */
static double
walked(const struct fci_tank_run *run, size_t flush)
{
    struct walk w = { .flush = flush };
    const bool cycles = run->between > 0;
    const double cell = run->volume / (double)flush;
    const double moved = fabs(run->fills) * run->time / cell;
    const double time =
        fmin(moved < 1 ? 1 / run->flushes : run->time / moved, run->time);
    const double steps = ceil(run->time / time);
    double start = floor(run->water / cell + 1e-9), top, stays = 1;
    int i, at = 0;

    w.moves = moved < 1 ? 0 : run->fills > 0 ? 1 : -1;
    start -= w.moves == 0 && run->fills < 0 ? 1 : 0;
    top = cycles        ? start + fmax(floor(run->between / cell), 1)
          : w.moves > 0 ? start
                        : start + 1;
    if (start < 1)
        return 1;
    if (top >= MOST_CELLS || run->flushes * time > MOST_AT_ONCE / 4.0
        || steps * top * (3 + run->flushes * time) > MOST_WORK)
        return UNTOLD;
    w.top = (size_t)top;
    w.at_top = !cycles                  ? w.top - 1
               : start >= (double)flush ? (size_t)start - flush
                                        : SIZE_MAX;
    count_begun(&w, run->flushes * time);
    w.cells[0][(size_t)fmin(start, top - 1)] = 1;
    for (i = 0; i < (int)steps; i++, at = !at)
        stays = step(&w, w.cells[at], w.cells[!at]);
    return fmax(1 - stays, 0);
}

double
fci_tank_runs_out(const struct fci_tank_run *run)
{
    double least = 1, x, chance;
    size_t flush;

    if (!(run->flushes * run->volume > 0))
        return -run->fills * run->time > run->water ? 1 : 0;
    for (x = LEAST; x < MOST; x *= RATIO)
        least = fmin(least, bound(run, x / run->volume));
    for (flush = FINEST; flush > 1; flush /= 2) {
        chance = walked(run, flush);
        if (chance < UNTOLD)
            return fmin(least, chance);
    }
    return least;
}

static double
with_times(const struct fci_tank_run *run, double times)
{
    struct fci_tank_run more = *run;

    more.water *= times;
    more.between *= times;
    return fci_tank_runs_out(&more);
}

#define HALVINGS 10
#define MOST_TIMES 1e9

double
fci_tank_times_more(const struct fci_tank_run *run, double chance)
{
    double low = 0, high = 1;
    int i;

    if (!(run->water > 0))
        return INFINITY;
    while (with_times(run, high) > chance && high < MOST_TIMES) {
        low = high;
        high *= 2;
    }
    if (with_times(run, high) > chance)
        return INFINITY;
    for (i = 0; i < HALVINGS; i++) {
        const double middle = (low + high) / 2;

        if (with_times(run, middle) > chance)
            low = middle;
        else
            high = middle;
    }
    return high;
}
