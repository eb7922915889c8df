/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/seed.c -- one stream of random numbers for each block of draws.
 */
#include "ground/seed.h"

#include <stdint.h>

/* Blocks next to each other must not begin alike: a bijection of 64 bits that
 * scatters (the finishing steps of splitmix64: G. L. Steele and others, Fast
 * splittable pseudorandom number generators, OOPSLA 2014; from memory). */
static unsigned long
scatter(uint64_t x)
{
    x += 0x9e3779b97f4a7c15u;
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9u;
    x = (x ^ (x >> 27)) * 0x94d049bb133111ebu;
    return (unsigned long)((x ^ (x >> 31)) & 0xffffffffu);
}

unsigned long
fci_seed_of_block(unsigned long seed, size_t block)
{
    return scatter(scatter(seed) + (uint64_t)block);
}
