/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/tables_report.c -- the report of `tables`, in its forms. */
#include "report/report.h"
#include "report/json_put.h"

#include <string.h>

static void
list_all(struct fci_doc *doc, const fc_table_entry *entries, size_t n)
{
    const struct fci_doc_column columns[] = {
        { "", "", FCI_LEFT, 0 },
        { "", "", FCI_LEFT, 24 },
    };
    struct fci_grid *grid = NULL;

    for (size_t i = 0; i < n; i++) {
        if (i == 0 || strcmp(entries[i - 1].kind, entries[i].kind) != 0) {
            fci_doc_heading(doc, "%s", entries[i].kind);
            grid = fci_doc_table(doc, columns, 2);
        }
        fci_cell(grid, entries[i].name);
        fci_cell(grid, entries[i].source);
    }
    fci_doc_gap(doc);
    fci_doc_say(doc, "flushcalc tables NAME gives an entry, or all of a "
                     "kind, in full.");
}

static void
put_entry(struct fci_doc *doc, const fc_table_entry *entry)
{
    fci_doc_heading(doc, "%s %s", entry->kind, entry->name);
    for (size_t i = 0; i < entry->n_lines; i++)
        fci_doc_pair(doc, entry->lines[i].key, "%s", entry->lines[i].value);
    fci_doc_pair(doc, "source", "%s", entry->source);
}

void
fci_tables_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_tables_view *view = what;

    fci_doc_title(doc, "Tables of flushcalc %s", fc_version());
    if (view->listed)
        list_all(doc, view->entries, view->n);
    for (size_t i = 0; i < view->n && !view->listed; i++)
        put_entry(doc, &view->entries[i]);
}

static int
add_entry(json_t *array, const fc_table_entry *entry)
{
    json_t *object = json_object();
    json_t *values = json_object();
    int bad = fci_json_put_text(object, "kind", entry->kind);

    bad |= fci_json_put_text(object, "name", entry->name);
    bad |= fci_json_put_text(object, "source", entry->source);
    for (size_t i = 0; i < entry->n_lines; i++)
        bad |= fci_json_put_text(values, entry->lines[i].key,
                                 entry->lines[i].value);
    bad |= fci_json_put(object, "values", values);
    return bad | fci_json_add(array, object);
}

int
fci_tables_json(json_t *root, const void *what)
{
    const struct fci_tables_view *view = what;
    json_t *array = json_array();
    int bad = 0;

    for (size_t i = 0; i < view->n; i++)
        bad |= add_entry(array, &view->entries[i]);
    return bad | fci_json_put(root, "tables", array);
}
