/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/ini.c -- an INI file as sections with their lines.
 *
 * Screening goes over the lines, says what is wrong with them
 * (ini/ini_lines.c) and keeps what the others hold in order
 * (ini/ini_sections.c).  Their values it hands to iniparser, and takes them
 * from there (ini/ini_blocks.c).
 */
#include "ini/ini.h"
#include "ground/diagnostics.h"
#include "ini/ini_lines.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define LARGEST_TEXT ((size_t)64 << 20)

static fc_status
blame_size(const char *path, size_t size, bool more, fc_diagnostics *messages)
{
    return fci_fail(messages, FC_EINPUT, path, 0,
                    "is %s%zu bytes long; at most %zu (64 MiB) can be read",
                    more ? "more than " : "", size, LARGEST_TEXT);
}

fc_status
fci_ini_read_text(struct fci_ini *ini, const char *text, size_t length,
                  const char *path, fc_diagnostics *messages)
{
    fc_status status;

    *ini = (struct fci_ini){ 0 };
    if (length > LARGEST_TEXT)
        return blame_size(path, length, false, messages);
    ini->path = fci_arena_string(&ini->arena, path);
    ini->text =
        fci_arena_substring(&ini->arena, length > 0 ? text : "", length);
    ini->length = length;
    fci_digest(text, length, ini->digest);
    status = ini->path && ini->text ? fci_screen(ini, text, length, messages)
                                    : FC_ENOMEM;
    if (status == FC_ENOMEM || status == FC_EIO)
        fci_ini_free(ini);
    return status;
}

struct contents {
    char *text;
    size_t length, room;
};

/* One read, of what there is. */
static ssize_t
read_more(int fd, struct contents *contents)
{
    ssize_t n;

    if (contents->length == contents->room) {
        const size_t room = contents->room ? 2 * contents->room : 1u << 16;
        char *text = realloc(contents->text, room);

        if (!text) {
            errno = ENOMEM;
            return -1;
        }
        contents->text = text;
        contents->room = room;
    }
    do
        n = read(fd, contents->text + contents->length,
                 contents->room - contents->length);
    while (n < 0 && errno == EINTR);
    if (n > 0)
        contents->length += (size_t)n;
    return n;
}

static fc_status
read_contents(int fd, const char *path, struct contents *contents,
              fc_diagnostics *messages)
{
    struct stat about;
    ssize_t n;

    if (fstat(fd, &about) == 0 && S_ISREG(about.st_mode)
        && about.st_size > (off_t)LARGEST_TEXT)
        return blame_size(path, (size_t)about.st_size, false, messages);
    if (fstat(fd, &about) == 0 && S_ISDIR(about.st_mode))
        return fci_fail(messages, FC_EIO, path, 0,
                        "is a folder; its files are expected, such as "
                        "%.200s/*.ini",
                        path);
    do
        n = read_more(fd, contents);
    while (n > 0 && contents->length <= LARGEST_TEXT);
    if (n < 0)
        return fci_fail_system(messages, path, "cannot be read", errno);
    if (contents->length > LARGEST_TEXT)
        return blame_size(path, LARGEST_TEXT, true, messages);
    return FC_OK;
}

fc_status
fci_ini_read_file(struct fci_ini *ini, const char *path,
                  fc_diagnostics *messages)
{
    struct contents contents = { 0 };
    const int fd = open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY);
    fc_status status;

    *ini = (struct fci_ini){ 0 };
    if (fd < 0)
        return fci_fail_system(messages, path, "cannot be read", errno);
    status = read_contents(fd, path, &contents, messages);
    close(fd);
    if (status == FC_OK)
        status = fci_ini_read_text(ini, contents.text, contents.length, path,
                                   messages);
    free(contents.text);
    return status;
}

void
fci_ini_free(struct fci_ini *ini)
{
    fci_arena_free(&ini->arena);
    *ini = (struct fci_ini){ 0 };
}

const char *
fci_entry_key(const struct fci_entry *entry)
{
    return entry->written ? entry->written : entry->key;
}

bool
fci_names_floors(const char *heading)
{
    return strstr(heading, "{floor") != NULL;
}

const struct fci_entry *
fci_section_entry(const struct fci_section *section, const char *key)
{
    size_t i;

    for (i = 0; i < section->n_entries; i++)
        if (strcmp(section->entries[i].key, key) == 0)
            return &section->entries[i];
    return NULL;
}

bool
fci_section_each(const struct fci_section *section, const char *key)
{
    const size_t length = strlen(key);
    const char *at = section->each;

    for (; at && *at; at = strchr(at, '.') + 1)
        if (strncmp(at, key, length) == 0 && at[length] == '.')
            return true;
    return false;
}

struct fci_section *
fci_section_copy(const struct fci_section *section, size_t more,
                 struct fci_arena *arena)
{
    struct fci_section *copy = fci_arena_copy(arena, section, sizeof *copy);
    size_t i;

    if (!copy)
        return NULL;
    copy->told = NULL; /* it belongs to the file that is read */
    copy->kind = fci_arena_string(arena, section->kind);
    copy->name = fci_arena_string(arena, section->name);
    copy->entries = fci_arena_array(arena, section->n_entries + more,
                                    sizeof *copy->entries);
    if (!copy->kind || !copy->name || !copy->entries)
        return NULL;
    if (section->each)
        copy->each = fci_arena_string(arena, section->each);
    if (section->each && !copy->each)
        return NULL;
    for (i = 0; i < section->n_entries; i++) {
        struct fci_entry *entry = &copy->entries[i];

        *entry = section->entries[i];
        entry->key = fci_arena_string(arena, entry->key);
        if (entry->value)
            entry->value = fci_arena_string(arena, entry->value);
        if (entry->written)
            entry->written = fci_arena_string(arena, entry->written);
        if (!entry->key || (section->entries[i].value && !entry->value)
            || (section->entries[i].written && !entry->written))
            return NULL;
    }
    return copy;
}
