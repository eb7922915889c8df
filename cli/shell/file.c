/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/file.c -- files read and written whole. */
#define _XOPEN_SOURCE 700 /* realpath() */
#include "shell/file.h"
#include "shell/complain.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define TEMPORARY ".XXXXXX"

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

/* The rights of the file that is replaced, or those of any new file. */
static mode_t
rights_for(const char *path)
{
    struct stat st;
    mode_t mask;

    if (stat(path, &st) == 0)
        return st.st_mode & 0777;
    mask = umask(0);
    umask(mask);
    return 0666 & ~mask;
}

static bool
fill(int fd, const char *path, const char *text, size_t size)
{
    bool done = file_write_all(fd, text, size)
                && fchmod(fd, rights_for(path)) == 0 && fsync(fd) == 0;
    int error = errno;

    if (close(fd) != 0 && done) {
        done = false;
        error = errno;
    }
    errno = error;
    return done;
}

static bool
replace(const char *path, char *temporary, const char *text, size_t size)
{
    int fd = mkstemp(temporary);
    int error;

    if (fd < 0)
        return blame(path);
    if (fill(fd, path, text, size) && rename(temporary, path) == 0)
        return true;
    error = errno;
    unlink(temporary);
    errno = error;
    return blame(path);
}

/* No signal that can be held off leaves the temporary file behind. */
static bool
replace_undisturbed(const char *path, const char *text, size_t size)
{
    char *temporary = malloc(strlen(path) + sizeof TEMPORARY);
    sigset_t all, before;
    bool done;

    if (!temporary) {
        complain_memory();
        return false;
    }
    strcpy(temporary, path);
    strcat(temporary, TEMPORARY);
    sigfillset(&all);
    sigprocmask(SIG_BLOCK, &all, &before);
    done = replace(path, temporary, text, size);
    sigprocmask(SIG_SETMASK, &before, NULL);
    free(temporary);
    return done;
}

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

bool
file_write_whole(const char *path, const char *text, size_t size)
{
    struct stat st;
    char *real;
    bool done;

    if (stat(path, &st) != 0) /* a link to nothing is replaced itself */
        return replace_undisturbed(path, text, size);
    if (S_ISDIR(st.st_mode)) {
        errno = EISDIR;
        return blame(path);
    }
    if (!S_ISREG(st.st_mode))
        return write_as_it_is(path, text, size);
    real = realpath(path, NULL); /* a link stays one */
    if (!real)
        return blame(path);
    done = replace_undisturbed(real, text, size);
    free(real);
    return done;
}

bool
file_is_same(const char *a, const char *b)
{
    struct stat of_a, of_b;

    return stat(a, &of_a) == 0 && stat(b, &of_b) == 0 && S_ISREG(of_a.st_mode)
           && of_a.st_dev == of_b.st_dev && of_a.st_ino == of_b.st_ino;
}

char *
file_read_standard_input(size_t *size)
{
    size_t capacity = 1 << 16;
    char *text = malloc(capacity);
    ssize_t n = 1;

    for (*size = 0; text && n != 0;) {
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
    if (!text)
        complain_memory();
    return text;
}
