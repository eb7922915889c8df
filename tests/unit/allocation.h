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

/* No place is known that has asked for memory: a caller, and the callers of
 * that one.  To be called before places are noted. */
void allocation_forget_places(void);
/* Notes from now on, until the next of these calls, the numbers of those
 * allocations that are the first of their place, in this process or a child of
 * it.  At most `room` of them. */
void allocation_note_places(size_t *numbers, size_t room);
size_t allocation_places(void);
/* Every how-many-th place is made to fail: each for `make check-long` and
 * `make coverage`, else every `few`-th. */
size_t allocation_step(size_t few);

size_t allocation_blocks(void); /* in use now */
size_t allocation_bytes(void);

#endif
