/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/file.c -- files read and written whole. */
#define _XOPEN_SOURCE 700 /* mkstemp(), fchown() */
#include "shell/file.h"
#include "shell/complain.h"
#include "shell/there.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define TEMPORARY ".flushcalc.XXXXXX"
#define LARGEST_INPUT ((size_t)64 << 20) /* as of any other site file */
#define LAST_DIGIT 9 /* of the descriptors that a shell opens by its digit */

bool
file_write_all(int fd, const char *text, size_t size)
{
    while (size > 0) {
        ssize_t n = write(fd, text, size);

        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0)
            return errno == EPIPE; /* the reader has seen all it wanted */
        text += n;
        size -= (size_t)n;
    }
    return true;
}

static bool
blame(const char *path)
{
    complain("%s cannot be written: %s", path, strerror(errno));
    return false;
}

/* ---- A file put in place ----------------------------------------------- */

/* Rights and owners of the file that is replaced, or the rights of any new
 * one. */
static bool
take_over(int fd, const struct stat *before)
{
    struct stat made;
    mode_t mask;

    if (!before) {
        mask = umask(0);
        umask(mask);
        return fchmod(fd, 0666 & ~mask) == 0;
    }
    return fstat(fd, &made) == 0
           && ((made.st_uid == before->st_uid && made.st_gid == before->st_gid)
               || fchown(fd, before->st_uid, before->st_gid) == 0)
           && fchmod(fd, before->st_mode & 0777) == 0;
}

static bool
fill(int fd, const struct stat *before, const char *text, size_t size)
{
    bool done = take_over(fd, before) && file_write_all(fd, text, size)
                && fsync(fd) == 0;
    int error = errno;

    if (close(fd) != 0 && done) {
        done = false;
        error = errno;
    }
    errno = error;
    return done;
}

/* False with errno set. */
static bool
replace(const char *path, char *temporary, const struct stat *before,
        const char *text, size_t size)
{
    int fd = mkstemp(temporary);
    int error;

    if (fd < 0)
        return false;
    if (fill(fd, before, text, size) && rename(temporary, path) == 0)
        return true;
    error = errno;
    unlink(temporary);
    errno = error;
    return false;
}

/* No signal that can be held off leaves the temporary file behind.  Its name
 * is short: that of the file may be as long as names can be. */
static bool
replace_undisturbed(const char *path, const struct stat *before,
                    const char *text, size_t size)
{
    const size_t folder = (size_t)(strrchr(path, '/') - path) + 1;
    char *temporary = malloc(folder + sizeof TEMPORARY);
    sigset_t all, old;
    bool done;

    if (!temporary)
        return false;
    memcpy(temporary, path, folder);
    strcpy(temporary + folder, TEMPORARY);
    sigfillset(&all);
    sigprocmask(SIG_BLOCK, &all, &old);
    done = replace(path, temporary, before, text, size);
    free(temporary);
    sigprocmask(SIG_SETMASK, &old, NULL);
    return done;
}

/* Whoever took the right to write away, if from himself, wants it kept; an
 * administrator may write all the same, and does not by this. */
static bool
may_replace(const char *path, const struct stat *there)
{
    if (S_ISDIR(there->st_mode)) {
        errno = EISDIR;
        return blame(path);
    }
    if ((there->st_mode & 0222) != 0 && access(path, W_OK) == 0)
        return true;
    complain("%s cannot be written: it is write-protected; another name is "
             "expected",
             path);
    return false;
}

static bool
put_in_place(const char *path, const struct stat *before, const char *text,
             size_t size)
{
    char *target = there_target(path);
    bool done = target && replace_undisturbed(target, before, text, size);

    if (!done && errno == EPERM)
        complain("%s cannot be written: it would no longer belong to whom it "
                 "belongs; another name is expected",
                 path);
    else if (!done)
        blame(path);
    free(target);
    return done;
}

/* ---- What is no file --------------------------------------------------- */

static bool
write_as_it_is(const char *path, const char *text, size_t size)
{
    int fd = open(path, O_WRONLY | O_NOCTTY);
    bool done;

    if (fd < 0)
        return blame(path);
    done = file_write_all(fd, text, size);
    if (!done)
        blame(path);
    if (close(fd) != 0 && done)
        done = blame(path);
    return done;
}

/* A descriptor that whoever called left open for writing to this very file, as
 * `>>log` does of /dev/stdout: it knows where to go on.  -1: there is none. */
static int
open_for(const struct stat *there)
{
    struct stat st;

    for (int fd = STDOUT_FILENO; fd <= LAST_DIGIT; fd++) {
        const int flags = fcntl(fd, F_GETFL);

        if (flags != -1 && (flags & O_ACCMODE) != O_RDONLY
            && fstat(fd, &st) == 0 && st.st_dev == there->st_dev
            && st.st_ino == there->st_ino)
            return fd;
    }
    return -1;
}

bool
file_write_whole(const char *path, const char *text, size_t size)
{
    struct stat st;
    int fd;

    if (stat(path, &st) != 0)
        return put_in_place(path, NULL, text, size);
    fd = open_for(&st);
    if (fd >= 0)
        return file_write_all(fd, text, size) || blame(path);
    if (S_ISREG(st.st_mode) || S_ISDIR(st.st_mode))
        return may_replace(path, &st) && put_in_place(path, &st, text, size);
    return write_as_it_is(path, text, size);
}

/* ---- Standard input ---------------------------------------------------- */

char *
file_read_standard_input(size_t *size)
{
    size_t capacity = 1 << 16;
    char *text = malloc(capacity);
    ssize_t n = 1;

    for (*size = 0; text && n != 0 && *size <= LARGEST_INPUT;) {
        if (*size == capacity) {
            char *more =
                capacity <= SIZE_MAX / 2 ? realloc(text, 2 * capacity) : NULL;

            if (!more) {
                free(text);
                text = NULL;
                break;
            }
            text = more;
            capacity *= 2;
        }
        n = read(STDIN_FILENO, text + *size, capacity - *size);
        if (n < 0 && errno != EINTR) {
            complain("standard input cannot be read: %s", strerror(errno));
            free(text);
            return NULL;
        }
        *size += n > 0 ? (size_t)n : 0;
    }
    if (text && *size > LARGEST_INPUT) {
        complain("standard input is more than %zu bytes long; at most %zu (64 "
                 "MiB) can be read",
                 LARGEST_INPUT, LARGEST_INPUT);
        free(text);
        return NULL;
    }
    if (!text)
        complain_memory();
    return text;
}
