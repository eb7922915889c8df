/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/ini.c -- an INI file as sections with their lines.
 *
 * Screening goes over the lines, says what is wrong with them
 * (ini/ini_lines.c) and keeps what the others hold in order
 * (ini/ini_sections.c).  Their values it hands to iniparser, and takes them
 * from there (ini/ini_blocks.c).
 */
#include "ini/ini.h"
#include "ini/contents.h"
#include "ini/ini_lines.h"

#include <stdlib.h>
#include <string.h>

/* Of a text that is not even looked at, which was said: anything could stand
 * in it. */
static fc_status
leave_unread(struct fci_ini *ini, const char *path, fc_status status)
{
    if (status != FC_EINPUT) {
        *ini = (struct fci_ini){ 0 };
        return status;
    }
    *ini = (struct fci_ini){ .unclear = true };
    ini->path = fci_arena_string(&ini->arena, path);
    return ini->path ? status : FC_ENOMEM;
}

fc_status
fci_ini_read_text(struct fci_ini *ini, const char *text, size_t length,
                  const char *path, fc_diagnostics *messages)
{
    fc_status status;

    if (length > FCI_LARGEST_TEXT)
        return leave_unread(
            ini, path, fci_contents_too_large(path, length, false, messages));
    *ini = (struct fci_ini){ 0 };
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

fc_status
fci_ini_read_file(struct fci_ini *ini, const char *path,
                  fc_diagnostics *messages)
{
    struct fci_contents contents;
    fc_status status = fci_contents_read(&contents, path, false, messages);

    if (status == FC_OK)
        status = fci_ini_read_text(ini, contents.text, contents.length, path,
                                   messages);
    else
        status = leave_unread(ini, path, status);
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
