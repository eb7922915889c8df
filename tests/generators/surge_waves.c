/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/surge_waves.c -- what a closing valve does to a tree of
 * pipes, by the method of characteristics.
 *
 * The recipe.  In a pipe without friction the pressure and the flow over what
 * was there before are
 *     p = f + g,  q = Y (f - g),
 * f a wave that runs away from the source and g one that runs toward it, both
 * unchanged but for the time that they take; Y is the area over density and
 * wave speed.  With a time step that goes a whole number of times into that
 * time both are rows of figures that move on by one a step, which is exact.
 * At the ends:
 *     source        p = 0:           f = -g
 *     where pipes   one p for all,   p = 2 sum(Y arriving) / sum(Y), and each
 *     meet          sum of q = 0:    wave that leaves is p less what arrived
 *     a loss        of flow Q = b + q, before which there is p:
 *     before a      Q + Y loss Q |Q| = b + Y loss b^2 + Y (p - 2 g), b the
 * flow pipe          at first; where water can not run back no less than 0.
 *                   Where pipes meet p is then found by halving.
 *     closed end    q = 0:           g = f, p = 2 f
 *     valve         flow + q = s flow sqrt((P + p) / P), P its pressure at
 *                   first and s the share of its opening that is left: a
 *                   quadratic for sqrt(P + p)
 * It shares no code with the library.
 */
#include "generators/surge_waves.h"

#include <math.h>
#include <string.h>

struct waves {
    double away[WAVE_PIPES][WAVE_STEPS], back[WAVE_PIPES][WAVE_STEPS];
    int at[WAVE_PIPES];
    double away_arrives[WAVE_PIPES], back_arrives[WAVE_PIPES];
    double before[WAVE_PIPES]; /* the flow at first */
};

/* The rise before the valve. */
static double
at_valve(double arrives, double y, double first, double flow, double open)
{
    const double c = open * flow / sqrt(first);
    const double right = flow + y * (2 * arrives + first);
    double root;

    if (right <= 0) /* it would run backwards: taken as shut */
        return right / y - first;
    root = (-c + sqrt(c * c + 4 * y * right)) / (2 * y);
    return root * root - first;
}

/* What enters a pipe over what did at first, with p before its loss. */
static double
enters(const struct wave_pipe *pipe, double back, double before, double p)
{
    const double y = pipe->admittance, k = y * pipe->loss;
    const double r = before + k * before * before + y * (p - 2 * back);
    const double q =
        k > 0 ? copysign((sqrt(1 + 4 * k * fabs(r)) - 1) / (2 * k), r) : r;

    return (pipe->one_way ? fmax(q, 0) : q) - before;
}

/* The wave that runs into a pipe. */
static double
sent(const struct wave_pipe *pipe, double back, double before, double p)
{
    return back + enters(pipe, back, before, p) / pipe->admittance;
}

/* What is left over at p where pipe i ends. */
static double
left_over(const struct waves *w, const struct wave_pipe *pipes, int n, int i,
          double p)
{
    double sum = pipes[i].admittance * (2 * w->away_arrives[i] - p);
    int k;

    for (k = i + 1; k < n; k++)
        if (pipes[k].parent == i)
            sum -= enters(&pipes[k], w->back_arrives[k], w->before[k], p);
    return sum;
}

/* The rise at the end of pipe i where others go on. */
static double
at_meeting(const struct waves *w, const struct wave_pipe *pipes, int n, int i)
{
    double sum = pipes[i].admittance;
    double arriving = sum * w->away_arrives[i];
    double low, high, reach;
    int k, plain = 1;

    for (k = i + 1; k < n; k++)
        if (pipes[k].parent == i) {
            sum += pipes[k].admittance;
            arriving += pipes[k].admittance * w->back_arrives[k];
            plain = plain && !(pipes[k].loss > 0) && !pipes[k].one_way;
        }
    low = high = 2 * arriving / sum;
    if (plain)
        return low;
    reach = fabs(left_over(w, pipes, n, i, low)) / pipes[i].admittance + 1e-9;
    low -= reach;
    high += reach;
    for (k = 0; k < 50; k++) {
        const double p = (low + high) / 2;

        if (left_over(w, pipes, n, i, p) > 0)
            low = p;
        else
            high = p;
    }
    return (low + high) / 2;
}

static int
goes_on(const struct wave_pipe *pipes, int n, int i)
{
    int k;

    for (k = i + 1; k < n; k++)
        if (pipes[k].parent == i)
            return 1;
    return 0;
}

static int
is_on_way(const struct wave_pipe *pipes, int i, int valve)
{
    for (; valve > i; valve = pipes[valve].parent)
        ;
    return valve == i;
}

double
wave_lost(const struct wave_pipe *pipes, int i, int valve)
{
    double sum = 0;

    for (; i >= 0; i = pipes[i].parent)
        sum += is_on_way(pipes, i, valve) ? pipes[i].loss : 0;
    return sum;
}

void
wave_peaks(const struct wave_pipe *pipes, int n, int valve, double still,
           double flow, double closing, int steps, double *peaks)
{
    struct waves w;
    double rise[WAVE_PIPES], lost[WAVE_PIPES];
    int step, i;

    memset(&w, 0, sizeof w);
    for (i = 0; i < n; i++) {
        peaks[i] = 0;
        lost[i] = wave_lost(pipes, i, valve) * flow * flow;
        w.before[i] = is_on_way(pipes, i, valve) ? flow : 0;
    }
    for (step = 1; step <= steps; step++) {
        const double open = step < closing ? 1 - step / closing : 0;

        for (i = 0; i < n; i++) {
            w.away_arrives[i] = w.away[i][w.at[i]];
            w.back_arrives[i] = w.back[i][w.at[i]];
        }
        for (i = 0; i < n; i++) {
            if (i == valve)
                rise[i] = at_valve(w.away_arrives[i], pipes[i].admittance,
                                   still - lost[valve], flow, open);
            else if (goes_on(pipes, n, i))
                rise[i] = at_meeting(&w, pipes, n, i);
            else
                rise[i] = 2 * w.away_arrives[i];
            peaks[i] = fmax(peaks[i], rise[i] - lost[i]);
        }
        for (i = 0; i < n; i++) {
            const double head =
                pipes[i].parent < 0 ? 0 : rise[pipes[i].parent];

            w.away[i][w.at[i]] =
                sent(&pipes[i], w.back_arrives[i], w.before[i], head);
            w.back[i][w.at[i]] = rise[i] - w.away_arrives[i];
            w.at[i] = (w.at[i] + 1) % pipes[i].steps;
        }
    }
}

/* ---- Trees -------------------------------------------------------------- */

/* Numerical Recipes' linear congruence, its high bits: 0 to below 1. */
static double
drawn(unsigned *state)
{
    *state = *state * 1664525u + 1013904223u;
    return (double)(*state >> 8) / (double)(1u << 24);
}

struct wave_tree
wave_tree_drawn(unsigned seed, int most)
{
    struct wave_tree t = { .n = 1 };
    unsigned state = seed * 2654435761u + 1;
    int i;

    t.n += (int)(drawn(&state) * most);
    for (i = 0; i < t.n; i++) {
        t.pipes[i].parent = i == 0 ? -1 : (int)(drawn(&state) * i);
        t.pipes[i].steps = 1 + (int)(drawn(&state) * 20);
        t.pipes[i].admittance =
            i == 0
                ? 1 + 7 * drawn(&state)
                : t.pipes[t.pipes[i].parent].admittance
                      * (drawn(&state) < 0.6 ? 1 : 0.2 + 0.8 * drawn(&state));
    }
    t.valve = t.n - 1; /* nothing goes on from the last */
    t.run_inertia = t.pipes[t.valve].steps / t.pipes[t.valve].admittance;
    for (i = t.valve; i >= 0; i = t.pipes[i].parent) {
        t.way_steps += t.pipes[i].steps;
        t.way_inertia += t.pipes[i].steps / t.pipes[i].admittance;
        t.way_hardest = fmax(t.way_hardest, 1 / t.pipes[i].admittance);
    }
    return t;
}
