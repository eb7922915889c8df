/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/ini_blocks.c -- values by way of iniparser, a block at a time.
 *
 * iniparser 4.1 takes nothing but a path, and the callback that would keep its
 * messages from standard error is the whole process's, and cannot be asked
 * for, so as to be put back.  It is left alone: a block holds nothing that
 * iniparser would complain of, and its file can be opened.  iniparser keeps
 * nothing else between calls, so that threads need not wait for each other.
 */
#define _GNU_SOURCE /* memfd_create, mkostemp */
#include "ini/ini_blocks.h"
#include "ground/diagnostics.h"
#include "ini/ini_text.h"

#include <errno.h>
#include <fcntl.h>
#include <iniparser/iniparser.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

#define MEMORY_FOR_BLOCK ((size_t)80 << 10)
/* No section begins behind so many items, so that it stays in one block unless
 * it is uncommonly long. */
#define MOST_BEFORE_SECTION (FCI_MOST_ITEMS - 24u)
/* The lines of a section and of a value, without the value. */
#define LONGEST_MARKS 64u
/* What iniparser reads has these for what it would take for a comment, and a
 * mark at both ends of a value, behind which quotes, backslashes and what an
 * 8-bit locale takes for spaces are nothing special: versions of iniparser
 * differ about a value in quotes, and print when they lack memory for one.
 * Screening let none of these characters through. */
#define SEMICOLON '\1'
#define HASH '\2'
#define MARK '\3'

/* ---- Writing a block ---------------------------------------------------- */

/* Like stpcpy(); sprintf() would take a tenth of the time of reading. */
static char *
put_line(char *to, int line, const char *behind)
{
    char digits[3 * sizeof line];
    size_t at = sizeof digits;

    for (; line > 0; line /= 10)
        digits[--at] = (char)('0' + line % 10);
    memcpy(to, digits + at, sizeof digits - at);
    return stpcpy(to + (sizeof digits - at), behind);
}

/* Sections and keys go by their lines: names that hold a colon would be
 * ambiguous, and an 8-bit locale may take what is in them for capitals or
 * spaces. */
bool
fci_block_put(struct fci_block *block, int section, int line,
              const char *value, size_t entry)
{
    const size_t length = strlen(value);
    const bool goes_on = section == block->section;
    const size_t most = goes_on ? FCI_MOST_ITEMS : MOST_BEFORE_SECTION;
    struct fci_put_value *put = &block->values[block->n_values];
    char *to = block->text + block->length, *c;

    if (block->n_items + 2 > most
        || block->length + length + LONGEST_MARKS > FCI_BLOCK_SIZE)
        return false;
    if (!goes_on) {
        *to++ = '[';
        to = put_line(to, section, "]\n");
        block->section = section;
        block->n_items++;
    }
    to = put_line(to, line, "=");
    *put = (struct fci_put_value){ section, entry, (size_t)(to - block->text),
                                   length + 2 };
    block->n_values++;
    block->n_items++;
    *to++ = MARK;
    memcpy(to, value, length);
    for (c = to; c < to + length; c++)
        *c = *c == ';' ? SEMICOLON : *c == '#' ? HASH : *c;
    *c++ = MARK;
    *c++ = '\n';
    block->length = (size_t)(c - block->text);
    return true;
}

/* ---- Handing it over ---------------------------------------------------- */

static bool
write_all(int fd, const char *text, size_t n)
{
    while (n > 0) {
        const ssize_t wrote = write(fd, text, n);

        if (wrote < 0 && errno != EINTR)
            return false;
        if (wrote > 0) {
            text += wrote;
            n -= (size_t)wrote;
        }
    }
    return true;
}

/* iniparser prints when it cannot open its file, and does not survive every
 * want of memory.  So make sure just before that both are to be had. */
static bool
is_ready(const char *path)
{
    /* volatile: or compilers leave out what is freed unused. */
    void *volatile memory = malloc(MEMORY_FOR_BLOCK);
    const int fd = memory ? open(path, O_RDONLY | O_CLOEXEC) : -1;

    free(memory);
    return fd >= 0 && close(fd) == 0;
}

struct block_file {
    char path[4096];
    bool is_named;
    int fd; /* -1: none; errno tells why */
};

static void
close_file(const struct block_file *file)
{
    const int error = errno;

    close(file->fd);
    if (file->is_named)
        unlink(file->path);
    errno = error;
}

static void
open_file(struct block_file *file, const struct fci_block *block)
{
    if (file->is_named) {
        const char *folder = getenv("TMPDIR");

        snprintf(file->path, sizeof file->path, "%s/flushcalc-XXXXXX",
                 folder && *folder ? folder : "/tmp");
        file->fd = mkostemp(file->path, O_CLOEXEC);
    } else {
        file->fd = memfd_create("flushcalc", MFD_CLOEXEC);
        snprintf(file->path, sizeof file->path, "/proc/self/fd/%d", file->fd);
    }
    if (file->fd < 0
        || (write_all(file->fd, block->text, block->length)
            && is_ready(file->path)))
        return;
    close_file(file);
    file->fd = -1;
}

/* NULL: errno tells why.  Otherwise it is 0, or ENOMEM when iniparser may have
 * left something out for want of memory, of which it does not tell. */
static dictionary *
load(const struct fci_block *block)
{
    struct block_file file = { .is_named = false };
    dictionary *read;

    /* A file in memory needs no folder that can be written to, and cannot be
     * left behind.  Without /proc it has no path. */
    open_file(&file, block);
    if (file.fd < 0) {
        file.is_named = true;
        open_file(&file, block);
    }
    if (file.fd < 0)
        return NULL;
    errno = 0;
    read = iniparser_load(file.path);
    if (read ? errno != ENOMEM : errno == 0)
        errno = read ? 0 : EINVAL;
    close_file(&file);
    return read;
}

/* ---- Taking its values -------------------------------------------------- */

static fc_status
take_value(const dictionary *read, const struct fci_block *block,
           const struct fci_put_value *put, struct fci_ini *ini,
           struct fci_entry *entry, fc_diagnostics *messages)
{
    char name[LONGEST_MARKS], *taken, *c;
    const char *value;

    put_line(put_line(name, put->section, ":"), entry->line, "");
    value = iniparser_getstring(read, name, "");
    if (!value || strlen(value) != put->length
        || memcmp(value, block->text + put->start, put->length) != 0)
        return errno == ENOMEM
                   ? FC_ENOMEM
                   : fci_fail(messages, FC_EIO, ini->path, entry->line,
                              "iniparser reads another value of "
                              "\"%s\" than stands here",
                              fci_excerpt(entry->key).text);
    taken = fci_arena_substring(&ini->arena, value + 1, put->length - 2);
    for (c = taken; c && *c; c++)
        *c = *c == SEMICOLON ? ';' : *c == HASH ? '#' : *c;
    entry->value = taken;
    return taken ? FC_OK : FC_ENOMEM;
}

fc_status
fci_block_read(struct fci_block *block, struct fci_ini *ini,
               struct fci_entry *entries, fc_diagnostics *messages)
{
    dictionary *read = load(block);
    fc_status status = FC_OK;
    size_t i;

    if (!read)
        return fci_fail_system(
            messages, ini->path,
            "cannot be read by way of /proc or a temporary file", errno);
    for (i = 0; i < block->n_values && status == FC_OK; i++)
        status = take_value(read, block, &block->values[i], ini,
                            &entries[block->values[i].entry], messages);
    iniparser_freedict(read);
    block->n_items = block->n_values = block->length = 0;
    block->section = 0;
    return status;
}
