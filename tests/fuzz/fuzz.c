/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/fuzz/fuzz.c -- an input with its blocks, run. */
#include "fuzz/fuzz.h"
#include "tables/tables.h"
#include "variants/setting.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

bool fuzz_thorough = false;

/* ---- Blocks ------------------------------------------------------------ */

/* Where a line `;;NAME` begins, from `text` on; its end where there is none.
 * NULL is any name. */
static const char *
find_mark(const char *text, const char *end, const char *name)
{
    const size_t n = name ? strlen(name) : 0;

    for (; text && text < end; text = memchr(text, '\n', (size_t)(end - text)),
                               text = text ? text + 1 : end) {
        if (end - text < (ptrdiff_t)(n + 3) || text[0] != ';'
            || text[1] != ';')
            continue;
        if (name ? memcmp(text + 2, name, n) == 0 && text[n + 2] == '\n'
                 : text[2] >= 'a' && text[2] <= 'z')
            return text;
    }
    return end;
}

/* A block without its first line; n is 0 where there is none. */
static const char *
find_block(const struct fuzz_input *input, const char *name, size_t *n)
{
    const char *end = input->text + input->length;
    const char *mark = find_mark(input->text, end, name);

    *n = 0;
    if (mark == end)
        return end;
    mark += strlen(name) + 3;
    *n = (size_t)(find_mark(mark, end, NULL) - mark);
    return mark;
}

void
fuzz_lines(const struct fuzz_input *input, const char *block,
           struct fuzz_lines *lines)
{
    size_t n;
    const char *text = find_block(input, block, &n);
    char *at = lines->room;

    lines->n = 0;
    if (n >= sizeof lines->room)
        n = sizeof lines->room - 1;
    memcpy(at, text, n);
    at[n] = '\0';
    while (*at && lines->n < FUZZ_MOST_LINES) {
        char *end = strchr(at, '\n');

        lines->lines[lines->n++] = at;
        if (!end)
            break;
        *end = '\0';
        at = end + 1;
    }
}

/* The FNV-1a hash: http://www.isthe.com/chongo/tech/comp/fnv/ */
unsigned
fuzz_pick(const struct fuzz_input *input, unsigned what)
{
    uint32_t hash = 2166136261u ^ what;
    size_t i;

    for (i = 0; i < input->length; i++)
        hash = (hash ^ (unsigned char)input->text[i]) * 16777619u;
    return hash >> 8;
}

/* ---- Sites ------------------------------------------------------------- */

fc_status
fuzz_read(const char *text, size_t length, const char *path,
          const struct fuzz_lines *set, fc_site **site,
          fc_diagnostics *messages)
{
    static struct fci_tables *tables;

    if (!tables && fci_tables_read(NULL, &tables, NULL) != FC_OK)
        return FC_ENOMEM;
    return fci_read_site(tables, path, text, length, set ? set->lines : NULL,
                         set ? set->n : 0, site, messages);
}

/* ---- Runs -------------------------------------------------------------- */

struct fuzz_outcome fuzz_outcome;

static bool
write_file(const char *path, const char *text, size_t length)
{
    FILE *file = fopen(path, "wb");
    bool whole;

    if (!file)
        return false;
    whole = fwrite(text, 1, length, file) == length;
    return fclose(file) == 0 && whole;
}

/* The file of the tables stands in a folder of its own. */
static const char *
run_beside(const struct fuzz_target *target, struct fuzz_input *input,
           const char *tables, size_t n)
{
    char folder[] = "/tmp/flushcalc-fuzz-XXXXXX", beside[48];
    const char *broken;

    HOLDS(mkdtemp(folder));
    snprintf(input->path, sizeof input->path, "%s/site.ini", folder);
    snprintf(beside, sizeof beside, "%s/tables.ini", folder);
    broken = write_file(beside, tables, n) ? target->run(input)
                                           : "the tables can be written";
    unlink(beside);
    rmdir(folder);
    return broken;
}

const char *
fuzz_run(const struct fuzz_target *target, const uint8_t *data, size_t length)
{
    char *text = malloc(length + 1);
    struct fuzz_input input = { .text = text,
                                .length = length,
                                .path = "nowhere/site.ini" };
    const char *tables, *broken;
    size_t n;

    if (!text)
        return NULL;
    memcpy(text, data, length);
    text[length] = '\0';
    input.site = (size_t)(find_mark(text, text + length, NULL) - text);
    fuzz_outcome = (struct fuzz_outcome){ .read = FC_OK };
    tables = find_block(&input, "tables", &n);
    broken =
        n > 0 ? run_beside(target, &input, tables, n) : target->run(&input);
    free(text);
    return broken;
}
