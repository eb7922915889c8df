/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/text_stream.c -- a stream that writes a text into memory.
 *
 * The C library's own forgets that it could not grow, goes on when it can
 * again, and closes as if nothing had happened.
 */
#define _GNU_SOURCE /* fopencookie */
#include "ground/text_stream.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#define FIRST_CAPACITY 256

struct stream {
    char **text;
    size_t *size;
    char *bytes;
    size_t length, capacity;
    bool failed;
};

static bool
make_room(struct stream *stream, size_t n)
{
    size_t capacity = stream->capacity;
    char *bytes;

    while (capacity - stream->length <= n) /* one is for the end */
        capacity *= 2;
    if (capacity == stream->capacity)
        return true;
    bytes = realloc(stream->bytes, capacity);
    if (!bytes)
        return false;
    stream->bytes = bytes;
    stream->capacity = capacity;
    return true;
}

static ssize_t
take(void *cookie, const char *bytes, size_t n)
{
    struct stream *stream = cookie;

    if (stream->failed || !make_room(stream, n)) {
        stream->failed = true;
        return 0;
    }
    memcpy(stream->bytes + stream->length, bytes, n);
    stream->length += n;
    return (ssize_t)n;
}

static int
finish(void *cookie)
{
    struct stream *stream = cookie;
    const bool failed = stream->failed;

    if (failed) {
        free(stream->bytes);
    } else {
        stream->bytes[stream->length] = '\0';
        *stream->text = stream->bytes;
        *stream->size = stream->length;
    }
    free(stream);
    return failed ? -1 : 0;
}

FILE *
fci_text_stream(char **text, size_t *size)
{
    const cookie_io_functions_t functions = { .write = take, .close = finish };
    struct stream *stream = calloc(1, sizeof *stream);
    FILE *out = NULL;

    *text = NULL;
    *size = 0;
    if (!stream)
        return NULL;
    stream->text = text;
    stream->size = size;
    stream->capacity = FIRST_CAPACITY;
    stream->bytes = malloc(FIRST_CAPACITY);
    if (stream->bytes)
        out = fopencookie(stream, "w", functions);
    if (!out) {
        free(stream->bytes);
        free(stream);
    }
    return out;
}
