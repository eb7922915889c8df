/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/repeating_towers.h -- small invented towers of alike
 * branches at random, some of them changed a little. */
#ifndef TESTS_GENERATORS_REPEATING_TOWERS_H
#define TESTS_GENERATORS_REPEATING_TOWERS_H

#include "flushcalc.h"

/* A site file that is written piece by piece. */
struct text {
    char of[65536];
    size_t n;
};

void append(struct text *text, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* A tower of some places, at each of them some branches, most of one kind: no
 * more than SMALL_GROUPS fixtures and SMALL_VALVES valves, all of them flush
 * valves.  The same for one seed. */
fc_site *repeating_tower(unsigned long seed);

#endif
