/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/tables_report.c -- the report of `tables` for a person. */
#include "page/figure.h"
#include "report/report.h"

#include <string.h>

static bool
starts_kind(const struct fci_tables_view *view, size_t i)
{
    return i == 0
           || strcmp(view->entries[i - 1].kind, view->entries[i].kind) != 0;
}

static void
list_kinds(struct fci_doc *doc, const struct fci_tables_view *view)
{
    static const struct fci_doc_column columns[] = {
        { "kind", "", FCI_LEFT, 0 },
        { "entries", "", FCI_RIGHT, 0 },
        { "such as", "", FCI_LEFT, 24 },
    };
    struct fci_grid *grid;

    fci_doc_gap(doc);
    grid = fci_doc_table(doc, columns, 3);
    for (size_t i = 0, next; i < view->n; i = next) {
        for (next = i + 1; next < view->n && !starts_kind(view, next);)
            next++;
        fci_cell(grid, view->entries[i].kind);
        fci_cell(grid, fci_figure_number((double)(next - i), 0).text);
        fci_cell(grid, view->entries[i].name);
    }
    fci_doc_gap(doc);
    fci_doc_say(doc,
                "flushcalc tables KIND lists the entries of a kind with their "
                "sources, flushcalc tables NAME gives an entry in full, and "
                "--full lists all of every kind.");
}

static void
list_entries(struct fci_doc *doc, const struct fci_tables_view *view)
{
    static const struct fci_doc_column columns[] = {
        { "", "", FCI_LEFT, 0 },
        { "", "", FCI_LEFT, 24 },
    };
    struct fci_grid *grid = NULL;

    for (size_t i = 0; i < view->n; i++) {
        if (starts_kind(view, i)) {
            fci_doc_heading(doc, "%s", view->entries[i].kind);
            grid = fci_doc_table(doc, columns, 2);
        }
        fci_cell(grid, view->entries[i].name);
        fci_cell(grid, view->entries[i].source);
    }
    fci_doc_gap(doc);
    fci_doc_say(doc, "flushcalc tables NAME gives an entry in full.");
}

static void
put_entry(struct fci_doc *doc, const fc_table_entry *entry)
{
    fci_doc_heading(doc, "%s %s", entry->kind, entry->name);
    for (size_t i = 0; i < entry->n_lines; i++)
        fci_doc_pair(doc, entry->lines[i].key, "%s", entry->lines[i].value);
    fci_doc_pair(doc, "source", "%s", entry->source);
}

static bool
one_kind(const struct fci_tables_view *view)
{
    for (size_t i = 1; i < view->n; i++)
        if (starts_kind(view, i))
            return false;
    return true;
}

void
fci_tables_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_tables_view *view = what;
    const bool kind = one_kind(view);

    fci_doc_title(doc, "Tables of flushcalc %s", fc_version());
    if (view->listed) {
        fci_doc_for(doc, FCI_IN_BRIEF);
        if (kind)
            list_entries(doc, view);
        else
            list_kinds(doc, view);
        fci_doc_for(doc, FCI_IN_DEPTH);
    }
    if (view->listed && !kind)
        list_entries(doc, view);
    else
        for (size_t i = 0; i < view->n; i++)
            put_entry(doc, &view->entries[i]);
}
