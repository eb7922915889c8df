/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/folder.c -- the folders that files are in. */
#define _XOPEN_SOURCE 700 /* realpath() */
#include "shell/folder.h"
#include "shell/complain.h"
#include "shell/there.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#define UP "../"

/* Without links, so that ".." leads where it seems to; the root is "".  NULL
 * with errno set. */
static char *
folder_of(const char *file)
{
    char *name = strdup(file ? file : ""), *real;
    char *slash = name ? strrchr(name, '/') : NULL;

    if (!name)
        return NULL;
    if (slash)
        slash[slash == name] = '\0';
    real = realpath(slash ? name : ".", NULL);
    free(name);
    if (real && strcmp(real, "/") == 0)
        *real = '\0';
    return real;
}

/* How far two paths run through the same folders. */
static size_t
common_length(const char *a, const char *b)
{
    size_t i, common = 0;

    for (i = 0;; i++) {
        const bool ends_a = a[i] == '\0' || a[i] == '/';
        const bool ends_b = b[i] == '\0' || b[i] == '/';

        if (ends_a && ends_b)
            common = i;
        if (a[i] != b[i] || a[i] == '\0')
            return common;
    }
}

/* Up from one folder to what both are in, and down to the other. */
static char *
way_between(const char *from, const char *to)
{
    const size_t common = common_length(from, to);
    const char *down = to[common] == '/' ? to + common + 1 : to + common;
    size_t ups = 0, i;
    char *way;

    for (i = common; from[i]; i++)
        ups += from[i] == '/';
    way = malloc(ups * strlen(UP) + strlen(down) + 1);
    if (!way)
        return NULL;
    *way = '\0';
    for (i = 0; i < ups; i++)
        strcat(way, UP);
    if (*down)
        strcat(way, down);
    else
        way[ups * strlen(UP) - 1] = '\0'; /* no "/" at the end */
    return way;
}

static bool
is_a_file(const char *path)
{
    struct stat st;

    return stat(path, &st) != 0 || S_ISREG(st.st_mode);
}

bool
folder_seen_from(const char *written, const char *file, char **folder)
{
    char *target = there_target(written); /* it may be a link to nothing */
    char *from = target ? folder_of(target) : NULL;
    char *to = from ? folder_of(file) : NULL;
    bool ok = to != NULL;

    *folder = NULL;
    if (!ok && errno == ENOMEM)
        complain_memory();
    else if (!ok)
        complain("%s cannot be written: %s", written, strerror(errno));
    else if (!is_a_file(written) || strcmp(from, to) != 0) {
        *folder = is_a_file(written) ? way_between(from, to)
                                     : strdup(*to ? to : "/");
        ok = *folder != NULL;
        if (!ok)
            complain_memory();
    }
    free(target);
    free(from);
    free(to);
    return ok;
}
