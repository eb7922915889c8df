/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/bench/stopwatch.h -- what the benchmarks share. */
#ifndef TESTS_BENCH_STOPWATCH_H
#define TESTS_BENCH_STOPWATCH_H

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

static inline void
fail(const char *what)
{
    fprintf(stderr, "bench: %s\n", what);
    exit(EXIT_FAILURE);
}

/* Seconds, from some moment on. */
static inline double
now(void)
{
    struct timespec t;

    if (clock_gettime(CLOCK_MONOTONIC, &t) != 0)
        fail("no clock");
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Seconds of processor time that this process has had, which what others do
 * on the machine hardly changes. */
static inline double
worked(void)
{
    struct timespec t;

    if (clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t) != 0)
        fail("no clock");
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

#endif
