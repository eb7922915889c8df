/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/tables_shape.c -- what `tables` tells programs. */
#include "report/tables_shape.h"
#include "report/report.h"

static const struct fci_member entry_rows[] = {
    FCI_TEXT(fc_table_entry, kind, "kind", "What kind of entry it is"),
    FCI_TEXT(fc_table_entry, name, "name", "Its name"),
    FCI_TEXT(fc_table_entry, source, "source", "Where its figures are from"),
};
static FCI_SHAPE(entry_shape, "table_entry", fc_table_entry, entry_rows,
                 "An entry of the tables");

static const struct fci_member of_rows[] = {
    FCI_TEXT(fc_table_entry, kind, "kind", "What kind of entry it is"),
    FCI_TEXT(fc_table_entry, name, "name", "Its name"),
};
static FCI_SHAPE(of_shape, "table_name", fc_table_entry, of_rows,
                 "The name of an entry");

static const struct fci_member line_rows[] = {
    FCI_TEXT(fc_table_line, key, "key", "What the value is of"),
    FCI_TEXT(fc_table_line, value, "value", "As the table has it"),
};
static FCI_SHAPE(line_shape, "table_line", fc_table_line, line_rows,
                 "A line of an entry");

static const struct fci_member value_rows[] = {
    FCI_SPREAD(struct fci_table_value, entry, &of_shape),
    FCI_SPREAD(struct fci_table_value, line, &line_shape),
};
static FCI_SHAPE(value_shape, "table_value", struct fci_table_value,
                 value_rows, "A value of an entry");

static const struct fci_member tables_rows[] = {
    FCI_LIST(struct fci_tables_view, entries, n, "entries", &entry_shape,
             "The entries that were asked for"),
    FCI_LIST(struct fci_tables_view, values, n_values, "values", &value_shape,
             "Their values"),
};
FCI_SHAPE(fci_tables_shape, "tables", struct fci_tables_view, tables_rows,
          "The built-in tables with their sources");

bool
fci_tables_lay(struct fci_arena *arena, void *what)
{
    struct fci_tables_view *view = what;
    struct fci_table_value *values;
    size_t n = 0;

    for (size_t i = 0; i < view->n; i++)
        n += view->entries[i].n_lines;
    values = fci_arena_array(arena, n + 1, sizeof *values);
    if (!values)
        return false;
    n = 0;
    for (size_t i = 0; i < view->n; i++)
        for (size_t k = 0; k < view->entries[i].n_lines; k++)
            values[n++] =
                (struct fci_table_value){ &view->entries[i],
                                          &view->entries[i].lines[k] };
    view->values = values;
    view->n_values = n;
    return true;
}
