/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/bench/power_calls.c -- how often pow() is called. */
#define _GNU_SOURCE /* RTLD_NEXT */
#include "bench/power_calls.h"
#include "bench/stopwatch.h"

#include <dlfcn.h>
#include <math.h>
#include <stdbool.h>

static struct call {
    double base, exponent;
} * calls;
static size_t n_calls, room;
static bool noting;
static double (*of_the_system)(double base, double exponent);

static void
find(void)
{
    /* as dlsym(3) has it, since ISO C knows no way from void * */
    *(void **)&of_the_system = dlsym(RTLD_NEXT, "pow");
    if (!of_the_system)
        fail("no pow() beside the benchmark's own");
}

static void
note(double base, double exponent)
{
    if (n_calls == room) {
        room = room ? 2 * room : 1024;
        calls = realloc(calls, room * sizeof *calls);
        if (!calls)
            fail("out of memory");
    }
    calls[n_calls++] = (struct call){ base, exponent };
}

double
pow(double base, double exponent)
{
    if (!of_the_system)
        find();
    if (noting)
        note(base, exponent);
    return of_the_system(base, exponent);
}

void
power_calls_begin(void)
{
    n_calls = 0;
    noting = true;
}

size_t
power_calls_end(void)
{
    noting = false;
    return n_calls;
}

double
power_calls_again(void)
{
    double sum = 0;
    size_t i;

    for (i = 0; i < n_calls; i++)
        sum += of_the_system(calls[i].base, calls[i].exponent);
    return sum;
}
