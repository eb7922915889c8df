/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/allocation.c -- make memory run out, and count what is in use. */
#define _GNU_SOURCE /* RTLD_NEXT, MAP_ANONYMOUS */
#include "unit/allocation.h"

#include <dlfcn.h>
#include <errno.h>
#include <execinfo.h>
#include <iniparser/iniparser.h>
#include <malloc.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

/* glibc's own. */
extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t count, size_t size);
extern void *__libc_realloc(void *memory, size_t size);
extern void __libc_free(void *memory);

static size_t blocks, bytes;
static size_t calls, failures;
static size_t first_failure; /* 0: none */
static bool lasting;
static size_t most_bytes = SIZE_MAX;
static size_t sheltered; /* so many of the next calls are not counted */

/* The places that have asked, by a hash of their callers; a child's are known
 * to its parent. */
#define DEPTH 6            /* up to four of an arena's text come first */
#define MOST_PLACES 262144 /* a power of 2 */
static uint64_t *places;
static size_t *numbers; /* NULL: nothing is noted */
static size_t n_places, room;

static void
begin(size_t n, bool is_lasting, size_t limit)
{
    numbers = NULL;
    calls = failures = 0;
    first_failure = n;
    lasting = is_lasting;
    most_bytes = limit;
}

void
allocation_fail_once(size_t n)
{
    begin(n, false, SIZE_MAX);
}

void
allocation_fail_from(size_t n)
{
    begin(n, true, SIZE_MAX);
}

void
allocation_fail_above(size_t limit)
{
    begin(0, false, limit);
}

void
allocation_fail_never(void)
{
    begin(0, false, SIZE_MAX);
}

size_t
allocation_failures(void)
{
    return failures;
}

size_t
allocation_calls(void)
{
    return calls;
}

size_t
allocation_blocks(void)
{
    return blocks;
}

size_t
allocation_bytes(void)
{
    return bytes;
}

void
allocation_forget_places(void)
{
    if (places)
        munmap(places, MOST_PLACES * sizeof *places);
    places = mmap(NULL, MOST_PLACES * sizeof *places, PROT_READ | PROT_WRITE,
                  MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (places == MAP_FAILED)
        abort();
}

void
allocation_note_places(size_t *to, size_t most)
{
    void *frame;

    backtrace(&frame, 1); /* it allocates the first time */
    begin(0, false, SIZE_MAX);
    n_places = 0;
    room = most < MOST_PLACES / 2 ? most : MOST_PLACES / 2;
    numbers = to;
}

size_t
allocation_step(size_t few)
{
    return getenv("FLUSHCALC_LONG") || getenv("FLUSHCALC_PLACES") ? 1 : few;
}

size_t
allocation_places(void)
{
    return n_places;
}

/* The frames of this function, of fails() and of malloc() come first. */
static __attribute__((noinline)) void
note_place(void)
{
    void *frames[3 + DEPTH];
    size_t *const to = numbers;
    const int n = backtrace(frames, 3 + DEPTH);
    uint64_t hash = 14695981039346656037u; /* FNV-1a */
    size_t at;

    for (int i = 3; i < n; i++)
        hash = (hash ^ (uintptr_t)frames[i]) * 1099511628211u;
    for (at = hash % MOST_PLACES; places[at] && places[at] != hash;)
        at = (at + 1) % MOST_PLACES;
    if (places[at] || n_places == room)
        return;
    places[at] = hash;
    to[n_places++] = calls;
}

static __attribute__((noinline)) bool
fails(size_t size)
{
    bool failed = size > most_bytes || bytes > most_bytes - size;

    if (sheltered > 0) {
        sheltered--;
    } else {
        calls++;
        if (numbers)
            note_place();
        failed = failed || (first_failure && calls == first_failure)
                 || (first_failure && lasting && calls > first_failure);
    }
    if (failed) {
        failures++;
        errno = ENOMEM;
    }
    return failed;
}

static void *
counted(void *memory)
{
    if (memory) {
        blocks++;
        bytes += malloc_usable_size(memory);
    }
    return memory;
}

static void
discount(void *memory)
{
    if (memory) {
        blocks--;
        bytes -= malloc_usable_size(memory);
    }
}

void *
malloc(size_t size)
{
    return fails(size) ? NULL : counted(__libc_malloc(size));
}

void *
calloc(size_t count, size_t size)
{
    if (size && count > SIZE_MAX / size)
        return NULL;
    return fails(count * size) ? NULL : counted(__libc_calloc(count, size));
}

/* As glibc's: realloc(memory, 0) frees. */
void *
realloc(void *memory, size_t size)
{
    void *moved;

    if (!memory)
        return malloc(size);
    if (size == 0) {
        free(memory);
        return NULL;
    }
    if (fails(size))
        return NULL;
    discount(memory);
    moved = __libc_realloc(memory, size);
    counted(moved ? moved : memory);
    return moved;
}

void
free(void *memory)
{
    discount(memory);
    __libc_free(memory);
}

/* glibc's strdup and strndup call the malloc above. */

/* iniparser 4.1 opens its file and makes a dictionary by five allocations; it
 * prints when the first of them fails and reads through a null pointer when
 * one of the last three does.  The library tries before whether there is
 * memory enough, so that they can fail for want of it only when another thread
 * takes it meanwhile.  A limit on bytes tests that; failures by number pass
 * the five over. */
dictionary *
iniparser_load(const char *path)
{
    dictionary *(*load)(const char *);
    void *const symbol = dlsym(RTLD_NEXT, "iniparser_load");
    dictionary *read;

    memcpy(&load, &symbol, sizeof load);
    sheltered = 5;
    read = load(path);
    sheltered = 0;
    return read;
}
