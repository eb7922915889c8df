/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/folder.h -- a test for each file of a folder. */
#ifndef TESTS_UNIT_FOLDER_H
#define TESTS_UNIT_FOLDER_H

#include <check.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define MOST_FILES 1000
#define LONGEST_NAME 80

static char names[MOST_FILES][LONGEST_NAME]; /* sorted, without the ending */
static int n_names;

static inline int
by_name(const void *a, const void *b)
{
    return strcmp(a, b);
}

static inline void
add_name(const char *name, const char *ending)
{
    const size_t n = strlen(name), end = strlen(ending);

    if (*name == '.' || n <= end || n - end >= LONGEST_NAME
        || strcmp(name + n - end, ending) != 0)
        return;
    memcpy(names[n_names], name, n - end);
    names[n_names++][n - end] = '\0';
}

/* Before any test runs: enter tests/FOLDER of the source, where names are
 * paths, and list its files with the ending.  None there fails the first
 * test. */
static inline void
list_folder(const char *folder, const char *ending)
{
    const char *srcdir = getenv("srcdir");
    const struct dirent *entry;
    char path[4096];
    DIR *open;

    snprintf(path, sizeof path, "%s/tests/%s", srcdir ? srcdir : ".", folder);
    if (chdir(path) != 0 || !(open = opendir("."))) {
        perror(path);
        return;
    }
    while ((entry = readdir(open)) && n_names < MOST_FILES)
        add_name(entry->d_name, ending);
    closedir(open);
    qsort(names, (size_t)n_names, sizeof *names, by_name);
}

#endif
