/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/surge_waves.h -- what a closing valve does to a tree of
 * pipes, by the method of characteristics. */
#ifndef TESTS_GENERATORS_SURGE_WAVES_H
#define TESTS_GENERATORS_SURGE_WAVES_H

#include <stddef.h>

#define WAVE_PIPES 8
#define WAVE_STEPS 64

/* A pipe that a wave runs through in a whole number of time steps. */
struct wave_pipe {
    int steps;         /* 1 to WAVE_STEPS */
    double admittance; /* bore area over density and wave speed */
    int parent;        /* that feeds it, of a lower number; -1: a source */
    double loss;       /* before it: what is lost over the square of the flow,
                          against it whichever way it runs */
    int one_way;       /* and none runs back there */
};

/* What is lost on the way to the end of pipe i, a flow of 1 to pipe `valve`
 * and none elsewhere. */
double wave_lost(const struct wave_pipe *pipes, int i, int valve);

/* The highest rise over `still` at the end of each of n pipes within so many
 * time steps after the valve at the end of pipe `valve`, which passes `flow`
 * with what is left of `still`, begins to close: its opening shrinks evenly to
 * nothing in `closing` steps.  Other ends are closed, and nothing else rubs.
 */
void wave_peaks(const struct wave_pipe *pipes, int n, int valve, double still,
                double flow, double closing, int steps, double *peaks);

/* A tree drawn with a seed, its valve at one of its ends; pipes grow no larger
 * away from the source. */
struct wave_tree {
    struct wave_pipe pipes[WAVE_PIPES];
    int n, valve;
    int way_steps;      /* from the source to the valve */
    double way_inertia; /* of a flow of 1 times a time step: the sum of steps
                           over admittance */
    double way_hardest; /* rise of a flow of 1 stopped at once, the most of the
                           pipes on that way */
    double run_inertia; /* the same of the last pipe alone */
};
struct wave_tree wave_tree_drawn(unsigned seed, int most);

#endif
