/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/there.c -- where a file that is to be written comes to stand, and
 * what stands there already. */
#define _XOPEN_SOURCE 700 /* realpath() */
#include "shell/there.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* ---- Where it comes to stand ------------------------------------------- */

#define MOST_LINKS 40 /* one after the other, as the system follows them */

/* The folder of a path as it is written, to be freed; *name becomes what
 * stands behind it. */
static char *
folder_as_written(const char *path, const char **name)
{
    const char *slash = strrchr(path, '/');

    *name = slash ? slash + 1 : path;
    if (!slash)
        return strdup(".");
    return slash == path ? strdup("/") : strndup(path, (size_t)(slash - path));
}

/* To be freed; NULL: out of memory. */
static char *
joined(const char *folder, const char *name)
{
    char *path = malloc(strlen(folder) + strlen("/") + strlen(name) + 1);

    if (path)
        sprintf(path, "%s/%s", folder, name);
    return path;
}

/* What a link leads to, as a path of its own; NULL with errno EINVAL or ENOENT
 * where it is none. */
static char *
link_leads_to(const char *path)
{
    char to[PATH_MAX];
    const ssize_t n = readlink(path, to, sizeof to - 1);
    const char *name;
    char *folder, *target;

    if (n < 0)
        return NULL;
    to[n] = '\0';
    if (*to == '/')
        return strdup(to);
    folder = folder_as_written(path, &name);
    target = folder ? joined(folder, to) : NULL;
    free(folder);
    return target;
}

/* Of what is not there: its folder without links, and its name. */
static char *
in_real_folder(const char *path)
{
    const char *name;
    char *folder = folder_as_written(path, &name);
    char *real = folder ? realpath(folder, NULL) : NULL;
    char *target = real ? joined(real, name) : NULL;

    free(real);
    free(folder);
    return target;
}

char *
there_target(const char *path)
{
    char *at = strdup(path), *next, *target;

    for (int links = 0; at && links < MOST_LINKS; links++) {
        target = realpath(at, NULL);
        if (target || errno != ENOENT) {
            free(at);
            return target;
        }
        next = link_leads_to(at);
        if (!next && errno != ENOMEM)
            target = in_real_folder(at);
        free(at);
        if (!next)
            return target;
        at = next;
    }
    free(at);
    return NULL; /* errno is that of realpath() or of memory */
}

/* ---- What stands there ------------------------------------------------- */

bool
there_is_same(const char *a, const char *b)
{
    struct stat of_a, of_b;
    char *to_a, *to_b;
    bool same;

    if (stat(a, &of_a) == 0)
        return stat(b, &of_b) == 0 && S_ISREG(of_a.st_mode)
               && of_a.st_dev == of_b.st_dev && of_a.st_ino == of_b.st_ino;
    to_a = there_target(a);
    to_b = there_target(b);
    same = to_a && to_b && strcmp(to_a, to_b) == 0;
    free(to_a);
    free(to_b);
    return same;
}

bool
there_is_open_as(const char *path, int fd)
{
    struct stat of_path, of_fd;

    return stat(path, &of_path) == 0 && fstat(fd, &of_fd) == 0
           && S_ISREG(of_fd.st_mode) && of_path.st_dev == of_fd.st_dev
           && of_path.st_ino == of_fd.st_ino;
}

bool
there_is_text(const char *path)
{
    struct stat st;

    return stat(path, &st) == 0 && S_ISREG(st.st_mode) && st.st_size > 0;
}

/* The next line that is neither blank nor a comment; NULL: there is none. */
static const char *
next_line(const char *text, const char *end)
{
    while (text < end) {
        const char *const start = text + strspn(text, " \t\r");
        const char *const stop = memchr(text, '\n', (size_t)(end - text));

        if (*start && !strchr("\n;#", *start))
            return start;
        text = stop ? stop + 1 : end;
    }
    return NULL;
}

bool
there_is_sections(const char *path)
{
    static const char mark[] = "\xef\xbb\xbf"; /* of the order of bytes */
    char text[1 << 16];
    const int fd = there_is_text(path)
                       ? open(path, O_RDONLY | O_NONBLOCK | O_NOCTTY)
                       : -1;
    const ssize_t n = fd >= 0 ? read(fd, text, sizeof text - 1) : 0;
    const char *line = text, *end = text + (n > 0 ? n : 0);

    if (fd >= 0)
        close(fd);
    text[end - text] = '\0';
    if (strncmp(text, mark, strlen(mark)) == 0)
        line += strlen(mark);
    line = next_line(line, end);
    if (!line || *line != '[')
        return false;
    line = strchr(line, '\n');
    line = line ? next_line(line, end) : NULL;
    return line && *line != '[' && line[strcspn(line, "=\n")] == '=';
}
