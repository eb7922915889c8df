/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/tables/table_merge.c -- files of tables read and laid on top of each
 * other. */
#include "ground/diagnostics.h"
#include "ini/contents.h"
#include "tables/table_entries.h"
#include "units/units.h"

#include <stdlib.h>
#include <string.h>

/* While the files are merged. */
struct merger {
    struct fci_tables *tables;
    fc_diagnostics *messages;
    struct fci_names headings; /* of a heading to its part */
    fc_status worst;
};

static void
note(struct merger *m, fc_status status)
{
    if (status != FC_OK && m->worst != FC_ENOMEM)
        m->worst = status;
}

/* ---- Reading ---------------------------------------------------------- */

/* Whether some section of a text is of a kind that tables have, or nothing of
 * it would be quoted: it is empty, or no text at all. */
static fc_status
find_tables(const struct fci_contents *contents, const char *path, bool *found)
{
    struct fci_ini ini;
    const fc_status status =
        fci_ini_read_text(&ini, contents->text, contents->length, path, NULL);

    *found = (status == FC_OK && ini.n_sections == 0)
             || (contents->length > 0
                 && memchr(contents->text, '\0', contents->length));
    for (size_t i = 0; i < ini.n_sections; i++)
        *found |= fci_is_table_word(ini.sections[i].kind);
    fci_ini_free(&ini);
    return status == FC_EINPUT ? FC_OK : status;
}

static fc_status
read_text(struct fci_tables *tables, const struct fci_contents *contents,
          const char *path, fc_diagnostics *messages)
{
    bool found;
    const fc_status status = find_tables(contents, path, &found);

    if (status == FC_EIO)
        return fci_fail(messages, status, path, 0, "cannot be read");
    if (status != FC_OK)
        return status;
    if (!found)
        return fci_fail(messages, FC_EINPUT, path, 0,
                        "is no tables file: none of its sections is of a "
                        "kind that tables have; one such as [pipe NAME] or "
                        "[valve NAME] is expected");
    return fci_ini_read_text(&tables->files[tables->n_files++], contents->text,
                             contents->length, path, messages);
}

/* The site's own.  Its path may lead to any file that whoever calls can read,
 * to passwords as well: of one that is no tables file nothing is quoted. */
static fc_status
read_own(struct fci_tables *tables, const char *path, fc_diagnostics *messages)
{
    struct fci_contents contents;
    fc_status status = fci_contents_read(&contents, path, true, messages);

    if (status == FC_OK)
        status = read_text(tables, &contents, path, messages);
    free(contents.text);
    return status;
}

/* FC_EINPUT: there is something to work on all the same. */
static fc_status
read_files(struct fci_tables *tables, const char *path,
           fc_diagnostics *messages)
{
    fc_status status, worst = FC_OK;
    size_t i;

    tables->files = fci_arena_array(&tables->arena, fci_n_embedded_tables + 1,
                                    sizeof *tables->files);
    if (!tables->files)
        return FC_ENOMEM;
    for (i = 0; i < fci_n_embedded_tables; i++) {
        const struct fci_embedded_table *table = &fci_embedded_tables[i];

        status =
            fci_ini_read_text(&tables->files[tables->n_files++], table->text,
                              table->length, table->name, messages);
        if (status != FC_OK && status != FC_EINPUT)
            return status;
        if (status != FC_OK)
            worst = status;
    }
    if (!path)
        return worst;
    status = read_own(tables, path, messages);
    return status != FC_OK ? status : worst;
}

/* ---- Merging ---------------------------------------------------------- */

/* A key in the one spelling by which rows are told apart: "1 1/4 in" and
 * "DN32" are "1-1/4 in", "10.0" is "10".  NULL: out of memory. */
static const char *
spelling(struct fci_arena *arena, const char *key)
{
    struct fci_reason why;
    fc_range value;

    if (fci_read_figure(key, FC_SIZE, false, &value, &why))
        return fci_arena_printf(arena, "size %.7f", value.nominal);
    if (fci_read_figure(key, FC_NUMBER, false, &value, &why))
        return fci_arena_printf(arena, "number %.12g", value.nominal);
    return key;
}

static bool
new_part(struct fci_arena *arena, struct fci_table_part *part, size_t room)
{
    part->section.entries =
        fci_arena_array(arena, room, sizeof *part->section.entries);
    part->paths =
        (const char **)fci_arena_array(arena, room, sizeof *part->paths);
    return part->section.entries && part->paths;
}

/* Take the entries of a section, each in the place of the one with the same
 * key or behind all others. */
static fc_status
take_entries(struct merger *m, struct fci_names *keys,
             struct fci_table_part *part, const struct fci_section *section,
             const char *path)
{
    struct fci_heading heading = fci_heading(section->kind, section->name);
    size_t i, place;
    bool known;

    for (i = 0; i < section->n_entries; i++) {
        const struct fci_entry *entry = &section->entries[i];
        const char *key = spelling(&m->tables->arena, entry->key);
        fc_status status;

        place = part->section.n_entries;
        if (!key)
            return FC_ENOMEM;
        status = fci_names_enter(keys, key, &place, &known);
        if (status != FC_OK)
            return status;
        if (known && part->paths[place] == path)
            note(m, fci_fail(m->messages, FC_EINPUT, path, entry->line,
                             "%s %s is the same row as \"%.40s\"; each row "
                             "once is expected",
                             heading.text, entry->key,
                             part->section.entries[place].key));
        if (!known)
            part->section.n_entries++;
        part->section.entries[place] = *entry;
        part->paths[place] = path;
    }
    return FC_OK;
}

/* Lay the keys of a section on top of a part's own. */
static fc_status
amend(struct merger *m, struct fci_table_part *part,
      const struct fci_section *section, const char *path)
{
    const struct fci_table_part old = *part;
    struct fci_names keys = { 0 };
    fc_status status;

    if (!new_part(&m->tables->arena, part,
                  old.section.n_entries + section->n_entries))
        return FC_ENOMEM;
    part->section.line = section->line;
    part->section.incomplete |= section->incomplete;
    part->section.n_entries = 0;
    part->path = path;
    part->amended = true;
    status = take_entries(m, &keys, part, &old.section, old.path);
    if (status == FC_OK)
        status = take_entries(m, &keys, part, section, path);
    fci_names_free(&keys);
    return status;
}

static fc_status
add_part(struct merger *m, const struct fci_section *section, const char *path,
         bool amended)
{
    struct fci_table_part *part = &m->tables->parts[m->tables->n_parts];
    size_t i;

    *part = (struct fci_table_part){ .path = path, .amended = amended };
    if (!new_part(&m->tables->arena, part, section->n_entries))
        return FC_ENOMEM;
    memcpy(part->section.entries, section->entries,
           section->n_entries * sizeof *section->entries);
    part->section.kind = section->kind;
    part->section.name = section->name;
    part->section.line = section->line;
    part->section.n_entries = section->n_entries;
    part->section.incomplete = section->incomplete;
    for (i = 0; i < section->n_entries; i++)
        part->paths[i] = path;
    m->tables->n_parts++;
    return FC_OK;
}

static fc_status
merge_section(struct merger *m, const struct fci_section *section,
              const char *path, bool amending)
{
    struct fci_heading heading = fci_heading(section->kind, section->name);
    size_t place = m->tables->n_parts;
    const char *name;
    fc_status status;
    bool known;

    if (!fci_section_entry(section, "source") && !section->incomplete)
        note(m, fci_fail(m->messages, FC_EINPUT, path, section->line,
                         "%s lacks \"source\"; a text that tells where its "
                         "figures come from is needed",
                         heading.text));
    name = fci_arena_printf(&m->tables->arena, "%s %s", section->kind,
                            section->name);
    if (!name)
        return FC_ENOMEM;
    status = fci_names_enter(&m->headings, name, &place, &known);
    if (status != FC_OK)
        return status;
    if (!known)
        return add_part(m, section, path, amending);
    if (amending)
        return amend(m, &m->tables->parts[place], section, path);
    note(m, fci_fail(m->messages, FC_EINPUT, path, section->line,
                     "%s stands in %s already; one section of that kind and "
                     "name is expected",
                     heading.text, m->tables->parts[place].path));
    return FC_OK;
}

static fc_status
merge_files(struct merger *m)
{
    struct fci_tables *tables = m->tables;
    fc_status status = FC_OK;
    size_t i, k, n = 0;

    for (i = 0; i < tables->n_files; i++)
        n += tables->files[i].n_sections;
    tables->parts = fci_arena_array(&tables->arena, n, sizeof *tables->parts);
    if (!tables->parts)
        return FC_ENOMEM;
    for (i = 0; i < tables->n_files; i++)
        for (k = 0; k < tables->files[i].n_sections && status == FC_OK; k++)
            status = merge_section(m, &tables->files[i].sections[k],
                                   tables->files[i].path,
                                   i >= fci_n_embedded_tables);
    return status;
}

fc_status
fci_table_parts(struct fci_tables *tables, const char *path,
                fc_diagnostics *messages)
{
    struct merger m = { .tables = tables, .messages = messages };

    note(&m, read_files(tables, path, messages));
    if (m.worst == FC_OK || m.worst == FC_EINPUT)
        note(&m, merge_files(&m));
    fci_names_free(&m.headings);
    return m.worst;
}
