/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/fuzz/seeds.c -- what a target begins with. */
#include "fuzz/fuzz.h"

#include <glob.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MOST_SEEDS 400

static struct fuzz_seed seeds[MOST_SEEDS];
static size_t n_seeds;

static void
forget(void)
{
    fuzz_no_donors();
    while (n_seeds > 0) {
        n_seeds--;
        free(seeds[n_seeds].text);
        free(seeds[n_seeds].path);
    }
}

static void
add_seed(const char *path)
{
    static char text[FUZZ_LARGEST];
    FILE *file = fopen(path, "rb");
    struct fuzz_seed *seed = &seeds[n_seeds];
    size_t length;

    if (!file)
        return;
    length = fread(text, 1, sizeof text - 1, file);
    fclose(file);
    if (length == sizeof text - 1 || n_seeds == MOST_SEEDS)
        return;
    text[length] = '\0';
    *seed = (struct fuzz_seed){ strdup(path), malloc(length + 1), length };
    if (!seed->path || !seed->text)
        abort();
    memcpy(seed->text, text, length + 1);
    fuzz_donor(seed->text, length);
    n_seeds++;
}

/* In the order of their names. */
static void
add_seeds(const char *folder)
{
    const char *srcdir = getenv("srcdir");
    char pattern[4096];
    glob_t found;

    snprintf(pattern, sizeof pattern, "%s/%s/*.ini", srcdir ? srcdir : ".",
             folder);
    if (glob(pattern, 0, NULL, &found) == 0)
        for (size_t i = 0; i < found.gl_pathc; i++)
            add_seed(found.gl_pathv[i]);
    globfree(&found);
}

/* A large building takes long, and little of it changes. */
#define LARGEST_SEED 3600

/* Those that hold the text, and are not large, come first; how many. */
static size_t
put_first(const char *text)
{
    size_t n = 0;

    for (size_t i = 0; i < n_seeds; i++)
        if (strstr(seeds[i].text, text) && seeds[i].length <= LARGEST_SEED) {
            const struct fuzz_seed seed = seeds[i];

            seeds[i] = seeds[n];
            seeds[n++] = seed;
        }
    return n;
}

size_t
fuzz_seeds(const struct fuzz_target *target, const struct fuzz_seed **all)
{
    char folder[80];

    forget();
    snprintf(folder, sizeof folder, "tests/fuzz/corpus/%s", target->name);
    add_seeds(folder);
    for (size_t i = 0; target->folders[i]; i++)
        add_seeds(target->folders[i]);
    *all = seeds;
    return put_first(target->needs);
}
