/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/fuzz/inputs.c -- inputs drawn from a seed: a file that a target begins
 * with, or an input that was accepted before, changed. */
#include "fuzz/fuzz.h"

#include <string.h>

#define POOL 64 /* inputs that were accepted */

static struct {
    uint8_t text[POOL][FUZZ_LARGEST];
    size_t size[POOL];
    size_t n;
} pool;
static const struct fuzz_seed *seeds;
static size_t n_seeds;
static unsigned long long state;

/* Multiplier and increment of Knuth's MMIX generator. */
static size_t
draw(size_t below)
{
    state = state * 6364136223846793005ull + 1442695040888963407ull;
    return (size_t)(state >> 33) % below;
}

bool
fuzz_begin(const struct fuzz_target *target, unsigned long long seed)
{
    pool.n = 0;
    n_seeds = fuzz_seeds(target, &seeds);
    state = seed;
    draw(2);
    return n_seeds > 0;
}

size_t
fuzz_next(const struct fuzz_target *target, uint8_t *data)
{
    size_t size;

    if (pool.n > 0 && draw(4) > 0) {
        const size_t i = draw(pool.n);

        size = pool.size[i];
        memcpy(data, pool.text[i], size);
    } else {
        const size_t i = draw(n_seeds);

        size = seeds[i].length;
        memcpy(data, seeds[i].text, size);
    }
    draw(2);
    return fuzz_mutate(data, size, FUZZ_LARGEST, target->block, state);
}

/* What grows and grows only takes time. */
void
fuzz_keep(const uint8_t *data, size_t size)
{
    const size_t i = pool.n < POOL ? pool.n : draw(POOL);

    if (size > FUZZ_LARGEST / 3)
        return;
    memcpy(pool.text[i], data, size);
    pool.size[i] = size;
    pool.n += i == pool.n;
}
