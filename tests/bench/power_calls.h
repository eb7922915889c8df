/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/bench/power_calls.h -- how often pow() is called, and what that costs
 * alone.
 *
 * A program that is linked with it has its own pow(), which notes what it is
 * asked when told to and then calls the system's. */
#ifndef TESTS_BENCH_POWER_CALLS_H
#define TESTS_BENCH_POWER_CALLS_H

#include <stddef.h>

/* Note calls from now on, forgetting earlier ones; until they are ended. */
void power_calls_begin(void);
size_t power_calls_end(void);
/* The system's pow() of all that was noted, one after the other; their sum. */
double power_calls_again(void);

#endif
