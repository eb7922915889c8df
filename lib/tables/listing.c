/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/tables/listing.c -- the built-in tables, for a reader. */
#include "tables/tables.h"
#include "ground/synonyms.h"

#include <stdlib.h>
#include <string.h>

struct fc_tables {
    struct fci_arena arena;
    fc_table_entry *entries;
    size_t n;
};

/* Keys are kept in lower case; a word of the trade has the case of its own. */
static const char *
key_of(const struct fci_section *section, const char *key)
{
    const struct fci_synonym *synonyms;
    size_t i, n;

    if (strcmp(section->kind, "synonyms") != 0)
        return key;
    synonyms = fci_synonyms_of(section->name, &n);
    for (i = 0; i < n; i++)
        if (fci_same_name(synonyms[i].means, key))
            return synonyms[i].means;
    return key;
}

/* The source is told apart from the lines. */
static bool
list_section(fc_tables *tables, const struct fci_section *section,
             fc_table_entry *entry)
{
    fc_table_line *lines =
        fci_arena_array(&tables->arena, section->n_entries, sizeof *lines);
    size_t i;

    entry->kind = fci_arena_string(&tables->arena, section->kind);
    entry->name = fci_arena_string(&tables->arena, section->name);
    entry->source = "";
    entry->lines = lines;
    if (!lines || !entry->kind || !entry->name)
        return false;
    for (i = 0; i < section->n_entries; i++) {
        const struct fci_entry *from = &section->entries[i];
        const char *value = fci_arena_string(&tables->arena, from->value);

        if (!value)
            return false;
        if (strcmp(from->key, "source") == 0) {
            entry->source = value;
            continue;
        }
        lines->key =
            fci_arena_string(&tables->arena, key_of(section, from->key));
        if (!lines->key)
            return false;
        lines->value = value;
        lines++;
        entry->n_lines++;
    }
    return true;
}

/* Those of one kind together, wherever their files stand. */
static bool
list_all(fc_tables *tables, const struct fci_tables *from)
{
    fc_table_entry *to;
    size_t i, k;

    tables->n = fci_tables_count(from);
    tables->entries =
        fci_arena_array(&tables->arena, tables->n, sizeof *tables->entries);
    if (!tables->entries)
        return false;
    to = tables->entries;
    for (i = 0; i < tables->n; i++) {
        const char *kind = fci_tables_section(from, i, NULL)->kind;

        for (k = 0; k < i; k++)
            if (strcmp(fci_tables_section(from, k, NULL)->kind, kind) == 0)
                break;
        for (k = k == i ? i : tables->n; k < tables->n; k++) {
            const struct fci_section *section =
                fci_tables_section(from, k, NULL);

            if (strcmp(section->kind, kind) == 0
                && !list_section(tables, section, to++))
                return false;
        }
    }
    return true;
}

fc_tables *
fc_tables_new(fc_diagnostics *messages)
{
    fc_tables *tables = calloc(1, sizeof *tables);
    struct fci_tables *from = NULL;
    bool listed;

    if (!tables)
        return NULL;
    listed = fci_tables_read(NULL, &from, messages) == FC_OK
             && list_all(tables, from);
    fci_tables_free(from);
    if (listed)
        return tables;
    fc_tables_free(tables);
    return NULL;
}

void
fc_tables_free(fc_tables *tables)
{
    if (!tables)
        return;
    fci_arena_free(&tables->arena);
    free(tables);
}

size_t
fc_tables_count(const fc_tables *tables)
{
    return tables ? tables->n : 0;
}

fc_table_entry
fc_tables_at(const fc_tables *tables, size_t i)
{
    static const fc_table_entry none = { .kind = "",
                                         .name = "",
                                         .source = "" };

    return tables && i < tables->n ? tables->entries[i] : none;
}
