/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/memory.c -- arenas and growing arrays. */
#include "ground/memory.h"
#include "ground/plain_print.h"

#include <stdalign.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FIRST_BLOCK 4096u
#define LARGEST_BLOCK (1u << 20)

/* For the address sanitizer, and for tests that make memory run out, each
 * piece is a block of its own: the one sees a piece that is overrun, the
 * others have each fail. */
#if !defined APART && defined __has_feature
#if __has_feature(address_sanitizer)
#define APART true
#endif
#endif
#if !defined APART && defined __SANITIZE_ADDRESS__
#define APART true
#endif
#ifndef APART
#define APART false
#endif

struct fci_block {
    struct fci_block *next;
    size_t size, used;
    max_align_t data[];
};

struct object {
    struct fci_arena arena; /* what follows lives in its first block */
    max_align_t data[];
};

static size_t
rounded_up(size_t size)
{
    const size_t unit = alignof(max_align_t);

    return (size + unit - 1) / unit * unit;
}

/* Blocks double, so that an arena of n bytes costs log n allocations.  They
 * come zeroed: of a large one, only the pages in use are ever touched. */
static struct fci_block *
new_block(struct fci_arena *arena, size_t needed)
{
    size_t size = FIRST_BLOCK;
    struct fci_block *block;

    if (arena->blocks)
        size = arena->blocks->size < LARGEST_BLOCK / 2
                   ? 2 * arena->blocks->size
                   : LARGEST_BLOCK;
    if (APART || size < needed)
        size = needed;
    block = calloc(1, sizeof *block + size);
    if (block) {
        block->size = size;
        block->next = arena->blocks;
        arena->blocks = block;
    }
    return block;
}

void *
fci_arena_alloc(struct fci_arena *arena, size_t size)
{
    struct fci_block *block = arena->blocks;
    void *memory;

    if (size > SIZE_MAX / 2) {
        arena->failed = true;
        return NULL;
    }
    size = size ? size : 1;
    if (!APART)
        size = rounded_up(size);
    if (APART || !block || block->size - block->used < size)
        block = new_block(arena, size);
    if (!block) {
        arena->failed = true;
        return NULL;
    }
    memory = (char *)block->data + block->used;
    block->used += size;
    return memory;
}

void *
fci_arena_array(struct fci_arena *arena, size_t count, size_t size)
{
    const bool overflows = size && count > SIZE_MAX / 2 / size;

    return fci_arena_alloc(arena, overflows ? SIZE_MAX : count * size);
}

void *
fci_arena_copy(struct fci_arena *arena, const void *data, size_t n)
{
    void *copy = fci_arena_alloc(arena, n);

    if (copy && n)
        memcpy(copy, data, n);
    return copy;
}

char *
fci_arena_substring(struct fci_arena *arena, const char *text, size_t n)
{
    char *copy = fci_arena_alloc(arena, n + 1);

    if (copy)
        memcpy(copy, text, n);
    return copy;
}

char *
fci_arena_string(struct fci_arena *arena, const char *text)
{
    return fci_arena_substring(arena, text, strlen(text));
}

char *
fci_arena_vprintf(struct fci_arena *arena, const char *format, va_list args)
{
    char first[256]; /* most texts fit, and need not be made twice */
    va_list again;
    char *text = NULL;
    int length;

    va_copy(again, args);
    length = fci_vprint(first, sizeof first, format, args);
    if (length >= 0 && (size_t)length < sizeof first) {
        text = fci_arena_substring(arena, first, (size_t)length);
    } else if (length >= 0) {
        text = fci_arena_alloc(arena, (size_t)length + 1);
        if (text)
            fci_vprint(text, (size_t)length + 1, format, again);
    } else {
        arena->failed = true;
    }
    va_end(again);
    return text;
}

char *
fci_arena_printf(struct fci_arena *arena, const char *format, ...)
{
    va_list args;
    char *text;

    va_start(args, format);
    text = fci_arena_vprintf(arena, format, args);
    va_end(args);
    return text;
}

void
fci_arena_join(struct fci_arena *arena, struct fci_arena *other)
{
    struct fci_block **end = &arena->blocks;

    while (*end)
        end = &(*end)->next;
    *end = other->blocks;
    other->blocks = NULL;
}

void
fci_arena_free(struct fci_arena *arena)
{
    struct fci_block *block = arena->blocks, *next;

    *arena = (struct fci_arena){ 0 }; /* may itself live in a block */
    for (; block; block = next) {
        next = block->next;
        free(block);
    }
}

void *
fci_object_new(size_t size)
{
    struct fci_arena arena = { 0 };
    struct object *object = fci_arena_alloc(&arena, sizeof *object + size);

    if (!object)
        return NULL;
    object->arena = arena;
    return object->data;
}

struct fci_arena *
fci_arena_of(void *object)
{
    void *start = (char *)object - offsetof(struct object, data);

    return &((struct object *)start)->arena;
}

void
fci_object_free(void *object)
{
    if (object)
        fci_arena_free(fci_arena_of(object));
}

void *
fci_grow(void *array, size_t count, size_t *capacity, size_t size)
{
    size_t wanted = *capacity ? 2 * *capacity : 16;
    void *moved;

    if (count < *capacity)
        return array;
    if (wanted > SIZE_MAX / 2 / size)
        return NULL;
    moved = realloc(array, wanted * size);
    if (moved)
        *capacity = wanted;
    return moved;
}
