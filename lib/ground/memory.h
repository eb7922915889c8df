/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/memory.h -- arenas and growing arrays. */
#ifndef FCI_GROUND_MEMORY_H
#define FCI_GROUND_MEMORY_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

/* What belongs to one object and is freed with it.  Start from { 0 }.
 *
 * Whoever needs several pieces at once takes them all and then looks at
 * `failed`, before anything is read from them or written to them. */
struct fci_arena {
    struct fci_block *blocks;
    bool failed; /* a piece could not be had; fci_arena_free forgets it */
};

/* Zeroed memory, aligned for any type, or NULL when out of memory. */
void *fci_arena_alloc(struct fci_arena *arena, size_t size);
/* The same for `count` items of `size`; NULL too when the product overflows */
void *fci_arena_array(struct fci_arena *arena, size_t count, size_t size);
/* A copy of n bytes. */
void *fci_arena_copy(struct fci_arena *arena, const void *data, size_t n);
char *fci_arena_string(struct fci_arena *arena, const char *text);
char *fci_arena_substring(struct fci_arena *arena, const char *text, size_t n);
char *fci_arena_printf(struct fci_arena *arena, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
char *fci_arena_vprintf(struct fci_arena *arena, const char *format,
                        va_list args);
/* What belongs to the other one belongs to the first from now on. */
void fci_arena_join(struct fci_arena *arena, struct fci_arena *other);
void fci_arena_free(struct fci_arena *arena);

/* A zeroed object that owns an arena and lives in it, so that both are freed
 * at once; NULL when out of memory. */
void *fci_object_new(size_t size);
/* The arena of such an object. */
struct fci_arena *fci_arena_of(void *object);
/* An object that is NULL is left alone. */
void fci_object_free(void *object);

/* Make room for one more item in a malloc'ed array of *capacity items that
 * holds `count`.  Returns the array, perhaps moved; NULL when out of memory,
 * the old one then still stands. */
void *fci_grow(void *array, size_t count, size_t *capacity, size_t size);

#endif
