/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/tables/table_names.c -- entries by their names and synonyms. */
#include "ground/synonyms.h"
#include "tables/table_entries.h"

/* Every typed form begins with its head. */
static const char *
name_at(const void *of, size_t i)
{
    const struct fci_table_list *list = of;
    const struct fci_entry_head *head =
        (const void *)(list->items + i * list->size);

    return head->name;
}

static struct fci_book
book_of(const struct fci_tables *tables, enum fci_table kind,
        const char *synonyms)
{
    const struct fci_table_list *list = &tables->of[kind];

    return (struct fci_book){ synonyms, list, list->n, name_at, NULL };
}

struct fci_book
fci_tables_materials(const struct fci_tables *tables)
{
    return book_of(tables, FCI_TABLE_PIPE, "materials");
}

struct fci_book
fci_tables_meter_names(const struct fci_tables *tables)
{
    return book_of(tables, FCI_TABLE_METER, "meters");
}

struct fci_book
fci_tables_valves(const struct fci_tables *tables)
{
    return book_of(tables, FCI_TABLE_VALVE, NULL);
}

struct fci_book
fci_tables_fixtures(const struct fci_tables *tables, fc_code code)
{
    return book_of(
        tables, code == FC_UPC ? FCI_TABLE_FIXTURE_UPC : FCI_TABLE_FIXTURE_IPC,
        "fixtures");
}

static const void *
find(const struct fci_tables *tables, struct fci_book book, const char *name)
{
    const struct fci_table_list *list = book.of;
    const void *found =
        fci_table_find(tables, (enum fci_table)(list - tables->of), name);
    size_t i;

    if (found || !name)
        return found;
    i = fci_book_find(&book, name);
    return i == FCI_NO_NAME ? NULL : list->items + i * list->size;
}

const struct fci_material *
fci_tables_material(const struct fci_tables *tables, const char *name)
{
    return find(tables, fci_tables_materials(tables), name);
}

const struct fci_meter_kind *
fci_tables_meter(const struct fci_tables *tables, const char *name)
{
    return find(tables, fci_tables_meter_names(tables), name);
}

const struct fci_valve_class *
fci_tables_valve(const struct fci_tables *tables, const char *name)
{
    return find(tables, fci_tables_valves(tables), name);
}

const struct fci_fixture_kind *
fci_tables_fixture(const struct fci_tables *tables, fc_code code,
                   const char *name)
{
    return find(tables, fci_tables_fixtures(tables, code), name);
}

bool
fci_takes_hot_water(const struct fci_fixture_kind *kind)
{
    size_t use;

    for (use = 0; use < sizeof kind->units / sizeof *kind->units; use++)
        if ((kind->units[use].given && kind->units[use].hot > 0)
            || (kind->units_above[use].given
                && kind->units_above[use].hot > 0))
            return true;
    return false;
}

const struct fci_fittings *
fci_tables_fittings(const struct fci_tables *tables, const char *name)
{
    return fci_table_find(tables, FCI_TABLE_FITTINGS, name);
}

/* ---- Fittings ---------------------------------------------------------- */

static const char *
column_at(const void *of, size_t i)
{
    return ((const struct fci_fittings *)of)->columns[i];
}

struct fci_book
fci_fittings_book(const struct fci_fittings *fittings)
{
    return (struct fci_book){ "fittings", fittings, fittings->n_columns,
                              column_at, NULL };
}

size_t
fci_fittings_column(const struct fci_fittings *fittings, const char *name)
{
    const size_t column = fci_names_find(&fittings->names, name);
    const struct fci_book book = fci_fittings_book(fittings);

    return column == FCI_NO_NAME ? fci_book_find(&book, name) : column;
}

/* ---- What a synonym takes for granted ---------------------------------- */

const struct fci_judgment *
fci_tables_judgment(const struct fci_tables *tables, const char *word)
{
    const struct fci_table_list *list = &tables->of[FCI_TABLE_JUDGMENT];
    const struct fci_judgment *judgments = (const void *)list->items;
    char item[FCI_PLAIN_WORDS];
    const char *words;
    size_t i;

    for (i = 0; i < list->n; i++) {
        words = judgments[i].words;
        while (fci_table_next_item(&words, item, sizeof item))
            if (fci_same_words(item, word))
                return &judgments[i];
    }
    return NULL;
}

size_t
fci_tables_judgments(const struct fci_tables *tables)
{
    return tables->of[FCI_TABLE_JUDGMENT].n;
}

const struct fci_judgment *
fci_tables_judgment_at(const struct fci_tables *tables, size_t i)
{
    const struct fci_judgment *judgments =
        (const void *)tables->of[FCI_TABLE_JUDGMENT].items;

    return &judgments[i];
}
