/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/draws.h -- numbers drawn alike on every machine. */
#ifndef TESTS_GENERATORS_DRAWS_H
#define TESTS_GENERATORS_DRAWS_H

#include <stdbool.h>

/* Multiplier and increment of Knuth's MMIX generator. */
static inline double
draw(unsigned long long *state, double low, double high)
{
    *state = *state * 6364136223846793005ull + 1442695040888963407ull;
    return low + (high - low) * (double)(*state >> 11) / 9007199254740992.0;
}

static inline bool
flip(unsigned long long *state, double chance)
{
    return draw(state, 0, 1) < chance;
}

#endif
