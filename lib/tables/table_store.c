/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/tables/table_store.c -- the entries as they are kept: found by name,
 * shared by several owners. */
#include "tables/table_entries.h"

#include <stdlib.h>
#include <string.h>

const void *
fci_table_find(const struct fci_tables *tables, enum fci_table kind,
               const char *name)
{
    const struct fci_table_list *entries = &tables->of[kind];
    size_t i = name ? fci_names_find(&entries->names, name) : FCI_NO_NAME;

    return i == FCI_NO_NAME ? NULL
                            : entries->items + i * fci_table_kinds[kind].size;
}

struct fci_tables *
fci_tables_share(struct fci_tables *tables)
{
    atomic_fetch_add(&tables->owners, 1);
    return tables;
}

bool
fci_tables_are_of(const struct fci_tables *tables, const char *path)
{
    return path && tables->path ? strcmp(path, tables->path) == 0
                                : path == tables->path;
}

void
fci_tables_free(struct fci_tables *tables)
{
    struct fci_fittings *fittings;
    size_t i;

    if (!tables || atomic_fetch_sub(&tables->owners, 1) > 1)
        return;
    fittings =
        (struct fci_fittings *)(void *)tables->of[FCI_TABLE_FITTINGS].items;
    for (i = 0; i < tables->of[FCI_TABLE_FITTINGS].n; i++)
        fci_names_free(&fittings[i].names);
    for (i = 0; i < FCI_TABLES; i++)
        fci_names_free(&tables->of[i].names);
    for (i = 0; i < tables->n_files; i++)
        fci_ini_free(&tables->files[i]);
    fci_arena_free(&tables->arena);
    free(tables);
}

const char *
fci_tables_digest(const struct fci_tables *tables)
{
    return tables->path ? tables->files[tables->n_files - 1].digest : NULL;
}
