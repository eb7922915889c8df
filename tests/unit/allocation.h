/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/allocation.h -- make memory run out, and count what is in use.
 *
 * A test program that is built with unit/allocation.c has its malloc, calloc,
 * realloc and free from there, and so have the libraries that it uses.  For
 * glibc, one thread, and not together with a sanitizer or valgrind.
 */
#ifndef TESTS_UNIT_ALLOCATION_H
#define TESTS_UNIT_ALLOCATION_H

#include <stdbool.h>
#include <stddef.h>

/* The n-th allocation from now on fails, n > 0: only that one, or all from
 * then on. */
void allocation_fail_once(size_t n);
void allocation_fail_from(size_t n);
/* Every allocation fails that would bring more than so many bytes into use. */
void allocation_fail_above(size_t bytes);
/* No more failures. */
void allocation_fail_never(void);

/* How many failures there were since the last call of one of these. */
size_t allocation_failures(void);

/* How many allocations there were since, failed ones among them. */
size_t allocation_calls(void);

/* Notes from now on, until the next of these calls, the numbers of those
 * allocations that no earlier one was asked for from the same place: its
 * caller, and the callers of that one.  At most `room` of them. */
void allocation_note_places(size_t *numbers, size_t room);
size_t allocation_places(void);

size_t allocation_blocks(void); /* in use now */
size_t allocation_bytes(void);

#endif
